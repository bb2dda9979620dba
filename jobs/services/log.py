"""The log: one way to write it."""

from __future__ import annotations

from django.utils import timezone

from jobs.models import House, Job, JobEvent, User


def record(
    *,
    by: User,
    what: str,
    job: Job | None = None,
    house: House | None = None,
    subject: str = "",
    before: str = "",
    after: str = "",
    note: str = "",
) -> JobEvent:
    """Add one entry: who, when (now), what, from what to what. It is about a job, a house or a named subject."""
    return JobEvent.objects.create(
        job=job,
        house=house,
        subject=subject,
        by=by,
        at=timezone.now(),
        what=what,
        before=before,
        after=after,
        note=note,
    )
