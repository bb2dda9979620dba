"""Celery tasks: call a service, record how it went. Each may be delivered twice, late, or never."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from uuid import uuid4

from celery import shared_task
from celery.exceptions import SoftTimeLimitExceeded

from reports import hint
from reports.rendering import NotRenderable
from reports.services import documents, leases, packets

# Shorter than a lease, so that whoever holds one is stopped before another may take it.
LIMIT_S = 25


@shared_task(soft_time_limit=LIMIT_S)
def render_document(document_id: int) -> None:
    """Claim the document and hand its missing sections to the workers."""
    holder = uuid4().hex
    if not leases.claim(document_id, holder=holder):
        return
    with _recorded(document_id, holder, doing="planning the sheets"):
        for sha256 in documents.begin(document_id, holder=holder):
            hint.render_section(document_id, sha256, holder)
    _assemble(document_id, holder)


@shared_task(soft_time_limit=LIMIT_S)
def render_section(document_id: int, sha256: str, holder: str) -> None:
    """Draw one section; the last one assembles the document."""
    with _recorded(document_id, holder, doing=lambda: f"drawing “{documents.section_label(document_id, sha256)}”"):
        documents.render_section(document_id, sha256, holder=holder)
    _assemble(document_id, holder)


@shared_task(soft_time_limit=120)
def fill_packet(packet_id: int) -> None:
    """Assemble the packet's copies whose documents are ready."""
    packets.fill_packet(packet_id)


@shared_task(soft_time_limit=60)
def sweep() -> None:
    """Send again what got lost. Runs on celery beat; on several machines at once it does no harm."""
    for document_id in leases.sweep():
        hint.render_document(document_id)
    for packet_id in packets.fillable():
        hint.fill_packet(packet_id)


def _assemble(document_id: int, holder: str) -> None:
    winner = documents.take_if_complete(document_id, holder=holder)
    if not winner:
        return
    with _recorded(document_id, winner, doing="joining the sheets"):
        documents.assemble_and_store(document_id, holder=winner)
        for packet_id in packets.fillable(document_id=document_id):
            hint.fill_packet(packet_id)


@contextmanager
def _recorded(document_id: int, holder: str, *, doing: str | Callable[[], str]) -> Iterator[None]:
    try:
        yield
    except NotRenderable as why:  # a reason that a person can act on: trying again would not help
        leases.fail(document_id, holder=holder, problem=str(why))
    except SoftTimeLimitExceeded:
        what = doing if isinstance(doing, str) else doing()
        problem = (
            f"Stopped while {what}: it took longer than {LIMIT_S} seconds. Draw it again when the server is less busy; "
            "if it stops there again, that part of the paper is too large: use fewer or smaller photos there."
        )
        leases.fail(document_id, holder=holder, problem=problem)
    except Exception as why:
        leases.note_problem(document_id, holder=holder, problem=f"{type(why).__name__}: {why}")
        raise
