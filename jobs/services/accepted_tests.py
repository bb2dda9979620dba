"""The engineer's word on a test that stands for a missed inspection. Not the test itself, nor what it then counts."""

from __future__ import annotations

from collections.abc import Iterable

from django.db import transaction
from django.utils import timezone

from engineering import field_log, inspections
from jobs import policy
from jobs.errors import Refused
from jobs.models import AcceptedTest, Design, ScheduleLine, User
from jobs.services import log
from jobs.services.versions import create


@transaction.atomic
def accept_test(
    *,
    design_id: int,
    wall_line_label: str,
    role: str,
    method: str,
    value: str,
    reason: str,
    by: User,
    panel: int | None = None,
    piece: int | None = None,
    positions_in: Iterable[float] = (),
) -> AcceptedTest:
    """Let what a test has proven count: `value` is what was measured or seen. Without places, all of the row.

    PermissionDenied to any but the assigned engineer. Refused without value or reason, for work that no inspection is
    asked of, or a row or place that the design does not schedule. It is kept for good.
    """
    design = Design.objects.select_related("job").get(pk=design_id)
    policy.require(by, "test.accept", on=design)
    places = [float(at_in) for at_in in positions_in]
    reasons = [] if value.strip() else ["Write down what was measured or seen."]
    reasons += [] if reason.strip() else ["Say why the test is accepted."]
    if role not in inspections.METHODS:
        reasons.append(f"No inspection is asked of {role}; no test can stand for one.")
    rows = ScheduleLine.objects.filter(
        schedule__design=design, wall_line_label=wall_line_label, role=role, panel=panel, piece=piece
    )
    if not rows:
        reasons.append(f"Revision {design.revision} schedules no such {role} on wall line {wall_line_label}.")
    known = [at_in for row in rows for at_in in row.positions_in]
    strange = [at_in for at_in in places if all(abs(at_in - one) > field_log.SAME_PLACE_IN for one in known)]
    if rows and strange:
        reasons.append(f"Nothing is scheduled at {', '.join(f'{at_in:g} in' for at_in in strange)}.")
    if reasons:
        raise Refused(*reasons)
    facts = {
        "design": design,
        "wall_line_label": wall_line_label,
        "role": role,
        "panel": panel,
        "piece": piece,
        "positions_in": places,
        "method": method,
        "value": value.strip(),
        "reason": reason.strip(),
    }
    test = create(AcceptedTest, {**facts, "accepted_by": by, "accepted_at": timezone.now()})
    log.record(by=by, what="test.accept", job=design.job, after=f"{test}: {test.value}", note=test.reason)
    return test
