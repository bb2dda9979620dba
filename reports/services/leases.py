"""Who may write a document now: claim, progress, cancelling, failure, and the sweep that frees what a dead worker held.

Every write is one conditional UPDATE by the database's own clock, so workers on several machines can't both win.
"""

from __future__ import annotations

from datetime import timedelta

from django.conf import settings
from django.db.models import F, Q
from django.db.models.functions import Now

from reports.models import UNDER_WAY, Document, State

MAX_ATTEMPTS = 5


def lease() -> timedelta:
    """How long a claim holds without progress: longer than the slowest section takes."""
    return timedelta(seconds=settings.STEMWALL_LEASE_S)


def claim(document_id: int, *, holder: str) -> bool:
    """Take the lease, or learn that someone else has it or that the work is done."""
    return bool(
        Document.objects.filter(pk=document_id, state=State.QUEUED, attempts__lt=MAX_ATTEMPTS).update(
            state=State.RENDERING, holder=holder, lease_until=Now() + lease(), at_work=True
        )
    )


def begin(document_id: int, *, holder: str, done: int, total: int) -> bool:
    """Record how much there is to do. Its sections wait in the queue from now on."""
    return bool(
        _held(document_id, holder).update(
            sections_done=done, sections_total=total, lease_until=Now() + lease(), at_work=False
        )
    )


def start(document_id: int, *, holder: str) -> bool:
    """A worker begins with a section; renews the lease. False when the claim no longer stands."""
    return bool(_held(document_id, holder).update(lease_until=Now() + lease(), at_work=True))


def progress(document_id: int, *, holder: str, rendered: bool) -> bool:
    """One more section is there; renews the lease. Attempts count from the last section that was really drawn."""
    anew = {"attempts": 0, "problem": ""} if rendered else {}
    return bool(
        _held(document_id, holder).update(
            sections_done=F("sections_done") + 1, lease_until=Now() + lease(), at_work=False, **anew
        )
    )


def take_over(document_id: int, *, holder: str, winner: str) -> bool:
    """Swap the holder for a new one: of several callers with the same holder exactly one wins."""
    return bool(_held(document_id, holder).update(holder=winner, lease_until=Now() + lease(), at_work=True))


def finish(document_id: int, *, holder: str, file: str, file_sha256: str, pages: int) -> bool:
    """The file is stored: ready."""
    return bool(
        _held(document_id, holder).update(
            state=State.READY,
            file=file,
            file_sha256=file_sha256,
            pages=pages,
            sections_done=F("sections_total"),
            **_released(),
            problem="",
        )
    )


def note_problem(document_id: int, *, holder: str, problem: str) -> None:
    """Keep what went wrong in this attempt; the lease runs out and the sweep tries again."""
    _held(document_id, holder).update(problem=problem)


def fail(document_id: int, *, holder: str, problem: str) -> bool:
    """Give up at once: trying again would end the same way."""
    return bool(_held(document_id, holder).update(state=State.FAILED, problem=problem, **_released()))


def cancel(document_id: int, *, problem: str) -> bool:
    """Stop what is under way: whoever holds it finds the claim gone at the next step. False when it had ended."""
    under_way = Document.objects.filter(pk=document_id, state__in=UNDER_WAY)
    return bool(under_way.update(state=State.CANCELLED, problem=problem, **_released()))


def sweep() -> list[int]:
    """Free expired leases, fail what was tried too often; return the documents whose workers need a new hint."""
    expired = Document.objects.filter(state=State.RENDERING, lease_until__lt=Now())
    again = {"state": State.QUEUED, "hinted_at": Now() - 2 * lease(), **_released()}
    expired.filter(at_work=True).update(attempts=F("attempts") + 1, **again)
    expired.update(**again)
    spent = Document.objects.filter(state=State.QUEUED, attempts__gte=MAX_ATTEMPTS)
    for pk, problem in spent.values_list("pk", "problem"):
        why = f"Gave up after {MAX_ATTEMPTS} attempts without progress: {problem or 'the worker stopped each time.'}"
        spent.filter(pk=pk).update(state=State.FAILED, problem=why)
    lost = Q(state=State.QUEUED, hinted_at__lt=Now() - lease())  # its message was lost, or the queue is long
    waiting = list(Document.objects.filter(lost).values_list("pk", flat=True))
    return [pk for pk in waiting if Document.objects.filter(lost, pk=pk).update(hinted_at=Now())]


def _held(document_id: int, holder: str):
    return Document.objects.filter(pk=document_id, holder=holder, state=State.RENDERING)


def _released() -> dict[str, object]:
    return {"holder": "", "lease_until": None, "at_work": False}
