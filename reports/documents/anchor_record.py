"""The special inspector's record of anchors set in existing concrete: a line for each, with what its report asks."""

from __future__ import annotations

from typing import Any

from jobs.hold_points import ANCHOR_ROLES
from reports.documents import figures, notes, schedule_rows
from reports.drawings import wall_line


def records(snapshot: dict[str, Any]) -> list[dict[str, Any]]:
    """One record for each product that is specially inspected, with its places; empty where none is.

    Torque and pull values stand in no published rule for house retrofits: the engineer's drawings give them or nobody
    does, so the paper leaves them blank.
    """
    found = []
    evaluated = {one["key"]: one for one in snapshot["inputs"]["catalogue"]["evaluated"]}
    for how in (row for row in notes.special_inspections(snapshot) if row["stage"] == "B"):
        anchor = evaluated[how["connector"]]
        wanted = {"depth": "embedment_in", "edge": "minimum_edge_in"}
        found.append(
            {
                "name": anchor["name"],
                "report": anchor["report"],
                "expires": figures.day(anchor["expires"]),
                "how": how["how"],
                "adhesive": anchor["adhesive"],
                "least": {key: figures.length(anchor[field]) if anchor[field] else "by report"
                          for key, field in wanted.items()},
                "places": places(snapshot, anchor["key"]),
            }
        )  # fmt: skip
    return found


def places(snapshot: dict[str, Any], connector: str) -> list[dict[str, str]]:
    """Wall line and distance from its datum of every scheduled anchor of a product."""
    return [
        {"line": label, "at": figures.length(at_in)}
        for label in schedule_rows.labels(snapshot)
        for at_in in sorted(
            at_in
            for role in ANCHOR_ROLES
            for item in wall_line.rows(schedule_rows.line_schedule(snapshot, label), role)
            if item["connector"] == connector
            for at_in in item["positions_in"]
        )
    ]
