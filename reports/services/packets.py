"""Packets: ask for the documents, then assemble each one's review copy and signing copy."""

from __future__ import annotations

import json

from django.db import transaction

from jobs.models import Jurisdiction, Packet, PacketFile, PacketFileKind, StampMethod, User
from jobs.services import packets as packet_facts
from reports import hint, storage
from reports.documents.registry import PACKET_KINDS
from reports.models import Document, State
from reports.rendering import NotRenderable
from reports.sections import sha256_of
from reports.services.documents import assemble, request_document
from reports.signing import prepare_signing_copy
from reports.title_strip import preliminary_strip, signing_strip, verification_url


@transaction.atomic
def make_packet(*, design_id: int, by: User) -> Packet:
    """A packet of the design's plan set and calculations; its files are filled as the documents become ready.

    One file or two, as the jurisdiction wants it. PermissionDenied; Refused for a quantity study.
    """
    place = Jurisdiction.objects.get(houses__jobs__designs=design_id)
    kinds = (PacketFileKind.SET,) if place.one_file else PACKET_KINDS
    packet = packet_facts.record_packet(design_id=design_id, kinds=kinds, by=by)
    for kind in PACKET_KINDS:
        request_document(kind=kind, design_id=design_id, by=by)
    transaction.on_commit(lambda: hint.fill_packet(packet.pk))
    return packet


def fill_packet(packet_id: int) -> bool:
    """Assemble the copies whose documents are ready; True when every file of the packet has them.

    The copies are the same bytes however often they are made, and the first to be recorded stay. A copy that can't be
    made leaves its reason with the file.
    """
    packet = Packet.objects.select_related("design").get(pk=packet_id)
    for file in packet.files.filter(review_copy="", problem=""):
        if documents := ready_documents_of(file):
            try:
                _fill(file, documents)
            except NotRenderable as why:
                packet_facts.record_problem(packet_file_id=file.pk, problem=str(why))
    return not packet.files.filter(review_copy="").exists()


def documents_of(file: PacketFile) -> list[Document]:
    """The documents that a packet file is a copy of, in its order; without those that nobody asked for yet."""
    kinds = PACKET_KINDS if file.kind == PacketFileKind.SET else (file.kind,)
    found = Document.objects.select_related("design__job").filter(
        kind__in=kinds, design_id=file.packet.design_id, subject_id__isnull=True
    )
    return sorted(found, key=lambda document: kinds.index(document.kind))


def ready_documents_of(file: PacketFile) -> list[Document]:
    """Its documents once all of them are ready; before that none."""
    documents = documents_of(file)
    wanted = len(PACKET_KINDS) if file.kind == PacketFileKind.SET else 1
    ready = len(documents) == wanted and all(document.state == State.READY for document in documents)
    return documents if ready else []


def fillable(document_id: int | None = None) -> list[int]:
    """Packets with an empty file whose documents are ready: all, or those that wait for one document."""
    empty = PacketFile.objects.filter(review_copy="", problem="", packet__withdrawn_at__isnull=True)
    if document_id is not None:
        empty = empty.filter(packet__design__documents=document_id)
    return sorted({file.packet_id for file in empty.select_related("packet") if ready_documents_of(file)})


def _fill(file: PacketFile, documents: list[Document]) -> None:
    design = documents[0].design
    facts = {
        "revision": design.revision,
        "design_sha256": design.snapshot_sha256,
        "verify_url": verification_url(file.packet.token),
    }
    snapshot = json.loads(design.snapshot)
    review = _store(assemble(documents, preliminary_strip(snapshot, **facts)))
    signing = ("", "")
    if file.needs_stamp:
        pdf = assemble(documents, signing_strip(snapshot, **facts))
        # What is signed with a pen or sealed as a picture has no use for an empty field.
        digital = snapshot["jurisdiction"]["stamp_method"] == StampMethod.DIGITAL
        signing = _store(prepare_signing_copy(pdf) if digital else pdf)
    packet_facts.record_copies(
        packet_file_id=file.pk,
        document_sha256=_sha256_of_all(documents),
        review_copy=review,
        signing_copy=signing,
    )


def _sha256_of_all(documents: list[Document]) -> str:
    """The document's hash, or for several that of their hashes in order."""
    hashes = [document.file_sha256 for document in documents]
    return hashes[0] if len(hashes) == 1 else sha256_of("".join(hashes))


def _store(pdf: bytes) -> tuple[str, str]:
    sha256 = sha256_of(pdf)
    name = f"packets/{sha256}.pdf"
    storage.put(name, pdf)
    return name, sha256
