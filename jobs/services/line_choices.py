"""What a job's design proposes for each wall line."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.db import transaction

from jobs import policy
from jobs.errors import Stale
from jobs.models import Connector, ConnectorKind, Job, LineChoice, User, WallLine
from jobs.services import log
from jobs.services.versions import create, editable, refuse, save_if_current

EDITABLE = editable(LineChoice, "job", "wall_line")
KINDS = {  # what may be chosen where
    "sheathing_nail": {ConnectorKind.NAIL},
    "floor_to_plate": {
        ConnectorKind.NAIL,
        ConnectorKind.LAG_SCREW,
        ConnectorKind.THROUGH_PLATE_SCREW,
        ConnectorKind.FRAMING_ANGLE,
        ConnectorKind.FACE_PLATE,
    },
    "stitch_nail": {ConnectorKind.NAIL},
    "splice_nail": {ConnectorKind.NAIL, ConnectorKind.STRAP},
    "block_nail": {ConnectorKind.NAIL},
    "sill_anchor": {ConnectorKind.SILL_ANCHOR},
    "tie_down": {ConnectorKind.TIE_DOWN},
    "tie_down_anchor": {ConnectorKind.TIE_DOWN_ANCHOR},
    "blocking_nail": {ConnectorKind.NAIL},
    "side_connection": {ConnectorKind.SIDE_CONNECTION},
    "strut_splice": {ConnectorKind.NAIL, ConnectorKind.STRAP},
    "other_face_nail": {ConnectorKind.NAIL},
}


@transaction.atomic
def set_line_choice(
    *,
    job_id: int,
    wall_line_id: int,
    by: User,
    seen_version: int | None = None,
    alternatives: Iterable[Connector] | None = None,
    **choices: Any,
) -> LineChoice:
    """Choose sheathing, connectors and end posts for one line of a job; `seen_version` None: for the first time.

    ValidationError for a connector of the wrong kind or a line of another house; Stale as everywhere.
    """
    job = Job.objects.select_related("house").get(pk=job_id)
    policy.require(by, "design.draft", on=job)
    line = WallLine.objects.get(pk=wall_line_id)
    if line.house_id != job.house_id:
        refuse(wall_line=f"{line} belongs to another house.")
    for name, kinds in KINDS.items():
        _check_kind(name, choices.get(name), kinds)
    alternatives = None if alternatives is None else list(alternatives)
    for connector in alternatives or []:
        _check_kind("alternatives", connector, KINDS["floor_to_plate"])

    row = LineChoice.objects.filter(job=job, wall_line=line).first()
    if row is None:
        row = create(LineChoice, {"job": job, "wall_line": line, **choices}, allowed=EDITABLE | {"job", "wall_line"})
        before, after = "", "chosen"
    elif seen_version is None:
        raise Stale(row)
    else:
        change = save_if_current(row, seen_version=seen_version, changes=choices, allowed=EDITABLE)
        before, after = change.before, change.after
    if alternatives is not None:
        row.alternatives.set(alternatives)
    if before != after or alternatives is not None:
        log.record(by=by, what="design.draft", job=job, before=f"{line}: {before}", after=f"{line}: {after}")
    return row


def _check_kind(name: str, connector: Connector | None, kinds: set[ConnectorKind]) -> None:
    if connector is not None and connector.kind not in kinds:
        refuse(**{name: f"{connector} is a {connector.get_kind_display().lower()}, which does not go here."})
