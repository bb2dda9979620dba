"""Who may write a document now: claim, progress, failure, and the sweep that frees what a dead worker held.

Every write is one conditional UPDATE by the database's own clock, so workers on several machines can't both win.
"""

from __future__ import annotations

from datetime import timedelta

from django.conf import settings
from django.db.models import F, Q
from django.db.models.functions import Now

from reports.models import Document, State

MAX_ATTEMPTS = 5


def lease() -> timedelta:
    """How long a claim holds without progress: longer than the slowest section takes."""
    return timedelta(seconds=settings.STEMWALL_LEASE_S)


def claim(document_id: int, *, holder: str) -> bool:
    """Take the lease, or learn that someone else has it or that the work is done."""
    free = Q(state=State.QUEUED) | Q(state=State.RENDERING, lease_until__lt=Now())
    return bool(
        Document.objects.filter(free, pk=document_id, attempts__lt=MAX_ATTEMPTS).update(
            state=State.RENDERING, holder=holder, lease_until=Now() + lease(), attempts=F("attempts") + 1
        )
    )


def holds(document_id: int, holder: str) -> bool:
    """Whether this holder's claim still stands."""
    return _held(document_id, holder).exists()


def begin(document_id: int, *, holder: str, done: int, total: int) -> bool:
    """Record how much there is to do."""
    return bool(_held(document_id, holder).update(sections_done=done, sections_total=total))


def progress(document_id: int, *, holder: str, rendered: bool) -> bool:
    """One more section is there; renews the lease. Attempts count from the last section that was really drawn."""
    first_attempt = {"attempts": 1, "problem": ""} if rendered else {}
    return bool(
        _held(document_id, holder).update(
            sections_done=F("sections_done") + 1, lease_until=Now() + lease(), **first_attempt
        )
    )


def take_over(document_id: int, *, holder: str, winner: str) -> bool:
    """Swap the holder for a new one: of several callers with the same holder exactly one wins."""
    return bool(_held(document_id, holder).update(holder=winner, lease_until=Now() + lease()))


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


def sweep() -> list[int]:
    """Free expired leases, fail what was tried too often; return the documents whose workers need a new hint."""
    expired = Q(state=State.RENDERING, lease_until__lt=Now())
    spent = Document.objects.filter(expired | Q(state=State.QUEUED), attempts__gte=MAX_ATTEMPTS)
    for pk, problem in spent.values_list("pk", "problem"):
        why = f"Gave up after {MAX_ATTEMPTS} attempts without progress: {problem or 'the worker stopped each time.'}"
        spent.filter(pk=pk).update(state=State.FAILED, problem=why, **_released())
    Document.objects.filter(expired).update(state=State.QUEUED, hinted_at=Now() - 2 * lease(), **_released())
    lost = Q(state=State.QUEUED, hinted_at__lt=Now() - lease())  # its message was lost, or the queue is long
    waiting = list(Document.objects.filter(lost).values_list("pk", flat=True))
    return [pk for pk in waiting if Document.objects.filter(lost, pk=pk).update(hinted_at=Now())]


def _held(document_id: int, holder: str):
    return Document.objects.filter(pk=document_id, holder=holder, state=State.RENDERING)


def _released() -> dict[str, object]:
    return {"holder": "", "lease_until": None}
