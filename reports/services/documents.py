"""Documents: request, draw section by section, assemble. Every write of a document goes through here or leases.py."""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import date
from functools import lru_cache
from typing import Any
from uuid import uuid4

from django.conf import settings
from django.db import transaction
from django.utils import timezone

from jobs import policy
from jobs.errors import Refused
from jobs.models import Design, Packet, User, WorkOrder
from jobs.services import log
from reports import hint, merging, rendering, storage
from reports.documents import registry
from reports.models import Document, Kind, State
from reports.sections import Section, canonical, sha256_of
from reports.services import leases
from reports.title_strip import TitleStrip, preliminary_strip, stamped_strip


@transaction.atomic
def request_document(*, kind: str, design_id: int, by: User, subject_id: int | None = None) -> Document:
    """The document of this kind for a frozen design, queued unless it is there or under way.

    `subject_id` is a work order's, for work orders only. A failed or cancelled document is tried anew.
    PermissionDenied, DoesNotExist; ValueError for an unknown kind or a subject that does not fit.
    """
    design = Design.objects.select_related("job").get(pk=design_id)
    policy.require(by, "document.request", on=design.job)
    text = snapshot_of(kind, design, subject_id)
    now = timezone.now()
    document, created = Document.objects.get_or_create(
        kind=kind,
        design=design,
        subject_id=subject_id,
        inputs_sha256=sha256_of(text),
        defaults={"snapshot": text, "requested_by": by, "requested_at": now, "hinted_at": now},
    )
    if not created:
        given_up = Document.objects.filter(pk=document.pk, state__in=(State.FAILED, State.CANCELLED))
        created = bool(given_up.update(state=State.QUEUED, attempts=0, problem="", hinted_at=now))
        document.refresh_from_db()
    if created:
        transaction.on_commit(lambda: hint.render_document(document.pk))
    return document


@transaction.atomic
def cancel_document(*, document_id: int, by: User) -> Document:
    """Stop drawing a document; the sections that are drawn stay for the next time. PermissionDenied; Refused when it
    has ended already."""
    document = _document(document_id)
    policy.require(by, "document.cancel", on=document.design.job)
    if not leases.cancel(document_id, problem=f"{by.display_name} cancelled it."):
        ended = _document(document_id).state
        raise Refused(f"Nothing to cancel: this paper is {ended} already.")
    after = f"{document.get_kind_display()} of revision {document.design.revision}"
    log.record(by=by, what="document.cancel", job=document.design.job, after=after)
    return _document(document_id)


def snapshot_of(kind: str, design: Design, subject_id: int | None) -> str:
    """What the paper says besides the design's own snapshot, as canonical JSON text."""
    kind = Kind(kind)
    registered = registry.KINDS[kind]
    if registered.of_work_order != (subject_id is not None):
        raise ValueError(f"{kind.label}: {'needs a work order' if registered.of_work_order else 'has no subject'}.")
    order = None
    if registered.of_work_order:
        order = WorkOrder.objects.select_related("job", "crew__lead").get(pk=subject_id, design=design)
    return canonical(
        {
            "format": 1,
            "kind": kind.value,
            "design": {"revision": design.revision, "snapshot_sha256": design.snapshot_sha256},
            "subject": _work_order_facts(order) if order else None,
            # Papers for the crew name the stamp that they rest on; the stamped papers themselves can't.
            "stamp": None if registered.stamped else _stamp_facts(design),
        }
    )


def _work_order_facts(order: WorkOrder) -> dict[str, Any]:
    return {
        "number": f"{order.job.number}-W{order.number}",
        "day": order.day.isoformat(),
        "crew": order.crew.name,
        "lead": order.crew.lead.display_name,
        "members": [user.display_name for user in order.crew.members.exclude(pk=order.crew.lead_id).order_by("pk")],
        "permit": {"number": order.job.permit_number, "issued_on": _iso(order.job.permit_issued_on)},
        "city_set": {"sha256": order.job.city_set_sha256, "uploaded_on": _iso(order.job.city_set_uploaded_on)},
        "inspections": [
            {"stage": visit.stage, "day": visit.day.isoformat(), "inspector": visit.inspector, "result": visit.result}
            for visit in order.job.inspections.all()
        ],
        "wall_lines": order.wall_line_labels,
    }


def _iso(day: date | None) -> str:
    return day.isoformat() if day else ""


def _stamp_facts(design: Design) -> dict[str, Any] | None:
    packets = Packet.objects.filter(design=design, withdrawn_at__isnull=True).order_by("-number")
    for packet in packets:
        if packet.is_stamped:
            stamps = [file.stamp for file in packet.files.filter(needs_stamp=True).select_related("stamp__signer")]
            last = max(stamps, key=lambda stamp: stamp.signed_at)
            return {
                "packet": packet.number,
                "token": packet.token,
                "by": last.signer.display_name,
                "licence": last.licence,
                "on": timezone.localdate(last.signed_at).isoformat(),
            }
    return None


def sections_of(document: Document) -> dict[str, Section]:
    """The document's sections in order, by the SHA-256 that names each one's file."""
    return _sections(document.kind, document.snapshot, document.design_id)


@lru_cache(maxsize=4)
def _sections(kind: str, text: str, design_id: int) -> dict[str, Section]:
    # Each section task of a document asks for the whole list; the text holds the design's hash, so it is a safe key.
    snapshot = json.loads(Design.objects.values_list("snapshot", flat=True).get(pk=design_id))
    found = registry.sections(kind, snapshot, json.loads(text)["subject"])
    return {section.sha256(rendering.fingerprint()): section for section in found}


def begin(document_id: int, *, holder: str) -> list[str]:
    """After a claim: note how much there is, and return the sections that nobody has drawn yet, the longest first.

    Started last, a long one would keep one worker busy while the others have nothing left to do.
    """
    sections = sections_of(_document(document_id))
    missing = [sha256 for sha256 in sections if not storage.exists(section_file(sha256))]
    leases.begin(document_id, holder=holder, done=len(sections) - len(missing), total=len(sections))
    return sorted(missing, key=lambda sha256: sections[sha256].work, reverse=True)


def render_section(document_id: int, sha256: str, *, holder: str) -> bool:
    """Draw one section unless its file is there. False, and no work, when the claim no longer stands.

    NotRenderable for a reason that a person can act on; KeyError when this worker runs other code than the claimer.
    """
    if not leases.start(document_id, holder=holder):
        return False
    missing = not storage.exists(section_file(sha256))
    if missing:
        section = sections_of(_document(document_id))[sha256]
        storage.put(section_file(sha256), rendering.render_section(section))
    return leases.progress(document_id, holder=holder, rendered=missing)


def section_label(document_id: int, sha256: str) -> str:
    """What a person calls a section of a document."""
    return sections_of(_document(document_id))[sha256].label


def take_if_complete(document_id: int, *, holder: str) -> str:
    """The holder who may assemble the document, now that every section is there; "" for all but one caller."""
    document = _document(document_id)
    if document.state != State.RENDERING or document.holder != holder:
        return ""
    if document.sections_done < document.sections_total:
        return ""
    if not all(storage.exists(section_file(sha256)) for sha256 in sections_of(document)):
        return ""
    winner = uuid4().hex
    return winner if leases.take_over(document_id, holder=holder, winner=winner) else ""


def assemble_and_store(document_id: int, *, holder: str) -> bool:
    """Merge and store the document: ready. NotRenderable for a reason that a person can act on."""
    document = _document(document_id)
    pdf = assemble([document], strip_of(document))
    file_sha256 = sha256_of(pdf)
    file = f"documents/{file_sha256}.pdf"
    storage.put(file, pdf)
    return leases.finish(document_id, holder=holder, file=file, file_sha256=file_sha256, pages=merging.page_count(pdf))


def assemble(documents: Sequence[Document], strip: TitleStrip) -> bytes:
    """The stored sections of one or more documents of a design under one title strip, on the jurisdiction's paper.

    NotRenderable when it could not be taken back signed.
    """
    sections = [pair for document in documents for pair in sections_of(document).items()]
    pdf = merging.merge(
        title=f"{strip.project}: {' and '.join(document.get_kind_display().lower() for document in documents)}",
        sections=[section for _, section in sections],
        files=[storage.read(section_file(sha256)) for sha256, _ in sections],
        strip=strip,
        sheet_size=json.loads(documents[0].design.snapshot)["jurisdiction"]["sheet_size"],
    )
    size_mb, limit_mb = len(pdf) / 1024**2, settings.STEMWALL_UPLOAD_LIMIT_MB
    if size_mb > limit_mb:
        raise rendering.NotRenderable(
            f"The file would have {size_mb:.0f} MB, and {limit_mb} MB are the most that can be handed in and taken "
            "back signed. Use fewer photos."
        )
    return pdf


def strip_of(document: Document) -> TitleStrip:
    """The strip of the document by itself: the stamp that it rests on, else preliminary."""
    design = document.design
    snapshot = json.loads(design.snapshot)
    stamp = json.loads(document.snapshot)["stamp"]
    if stamp:
        return stamped_strip(snapshot, revision=design.revision, design_sha256=design.snapshot_sha256, stamp=stamp)
    return preliminary_strip(snapshot, revision=design.revision, design_sha256=design.snapshot_sha256)


def render_here(document_id: int) -> Document:
    """Draw and assemble in this process what no worker has claimed; returns the document as it then stands."""
    holder = uuid4().hex
    if leases.claim(document_id, holder=holder):
        try:
            for sha256 in begin(document_id, holder=holder):
                render_section(document_id, sha256, holder=holder)
            assemble_and_store(document_id, holder=holder)
        except rendering.NotRenderable as why:
            leases.fail(document_id, holder=holder, problem=str(why))
    return _document(document_id)


def section_file(sha256: str) -> str:
    """The name of a section's file in default_storage."""
    return f"sections/{sha256}.pdf"


def _document(document_id: int) -> Document:
    return Document.objects.select_related("design__job").get(pk=document_id)
