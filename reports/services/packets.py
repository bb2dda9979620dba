"""Packets: ask for the documents, then assemble each one's review copy and signing copy."""

from __future__ import annotations

import json

from django.db import transaction

from jobs.models import Packet, PacketFile, User
from jobs.services import packets as packet_facts
from reports import hint, storage
from reports.documents.registry import PACKET_KINDS
from reports.models import Document, State
from reports.sections import sha256_of
from reports.services.documents import assemble, request_document
from reports.signing import prepare_signing_copy
from reports.title_strip import preliminary_strip, signing_strip, verification_url


@transaction.atomic
def make_packet(*, design_id: int, by: User) -> Packet:
    """A packet of the design's plan set and calculations; its files are filled as the documents become ready.

    PermissionDenied; Refused for a quantity study.
    """
    packet = packet_facts.record_packet(design_id=design_id, kinds=PACKET_KINDS, by=by)
    for kind in PACKET_KINDS:
        request_document(kind=kind, design_id=design_id, by=by)
    transaction.on_commit(lambda: hint.fill_packet(packet.pk))
    return packet


def fill_packet(packet_id: int) -> bool:
    """Assemble the copies whose document is ready; True when every file of the packet has them.

    The copies are the same bytes however often they are made, and the first to be recorded stay.
    """
    packet = Packet.objects.select_related("design").get(pk=packet_id)
    for file in packet.files.filter(review_copy=""):
        document = document_of(file)
        if document is not None and document.state == State.READY:
            _fill(file, document)
    return not packet.files.filter(review_copy="").exists()


def document_of(file: PacketFile) -> Document | None:
    """The document that a packet file is a copy of; None before it was asked for."""
    return (
        Document.objects.select_related("design__job")
        .filter(kind=file.kind, design_id=file.packet.design_id, subject_id__isnull=True)
        .first()
    )


def fillable(document_id: int | None = None) -> list[int]:
    """Packets with an empty file whose document is ready: all, or those that wait for one document."""
    empty = PacketFile.objects.filter(review_copy="", packet__withdrawn_at__isnull=True)
    ready = Document.objects.filter(state=State.READY, subject_id__isnull=True)
    if document_id is not None:
        ready = ready.filter(pk=document_id)
    found: set[int] = set()
    for kind in PACKET_KINDS:
        designs = ready.filter(kind=kind).values("design")
        found.update(empty.filter(kind=kind, packet__design__in=designs).values_list("packet", flat=True))
    return sorted(found)


def _fill(file: PacketFile, document: Document) -> None:
    design = document.design
    facts = {
        "revision": design.revision,
        "design_sha256": design.snapshot_sha256,
        "verify_url": verification_url(file.packet.token),
    }
    snapshot = json.loads(design.snapshot)
    review = _store(assemble(document, preliminary_strip(snapshot, **facts)))
    signing = ("", "")
    if file.needs_stamp:
        signing = _store(prepare_signing_copy(assemble(document, signing_strip(snapshot, **facts))))
    packet_facts.record_copies(
        packet_file_id=file.pk, document_sha256=document.file_sha256, review_copy=review, signing_copy=signing
    )


def _store(pdf: bytes) -> tuple[str, str]:
    sha256 = sha256_of(pdf)
    name = f"packets/{sha256}.pdf"
    storage.put(name, pdf)
    return name, sha256
