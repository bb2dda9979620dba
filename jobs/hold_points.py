"""Hold points: where work stops until someone named has looked. The same on the work order and on the crew's pages."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from engineering import exchange, inspections, sill_anchors, tie_downs, wall_panels
from engineering.inputs import Catalogue
from engineering.schedule import Schedule

CLOSE_NAILING_IN = wall_panels.INSPECTED_SPACING_IN
ANCHOR_ROLES = (*sill_anchors.KINDS, tie_downs.ANCHOR_ROLE)
CONNECTOR_ROLES = {
    "floor to plate",
    "blocking nails",
    "stitch nails",
    "splice nails each side",
    "plate straps",
    "strut splice",
    "block nails",
}


@dataclass(frozen=True, slots=True)
class HoldPoint:
    name: str
    text: str


PROBE_HOLES = HoldPoint(
    "Probe holes", "One at each end of each line, before the first screw: joist over the target line?"
)
ANCHORS = HoldPoint("Anchors", "Looked at and passed before panels hide them.")
ANCHORS_INSPECTED = HoldPoint(
    ANCHORS.name, "Special inspector present while holes are drilled and filled; passed before panels hide them."
)
CONNECTORS = HoldPoint("Connectors and blocks", "Counted, photographed and passed before panels go on.")
CONNECTORS_WITH_BLOCKS = HoldPoint(
    CONNECTORS.name,
    "Counted, photographed and passed before panels go on; a photo of every bay with a block.",
)
TIE_DOWNS = HoldPoint("Tie-downs", "Nuts tightened again and passed before cover.")
PANELS = HoldPoint("Panel nailing", "Passed before any cover.")
PANELS_CLOSE = HoldPoint(
    PANELS.name,
    "Passed before any cover. Edge nails at 4 in or closer: special inspection; a sunk head means stop and ask.",
)
INSPECTS: dict[str, tuple[str, ...]] = {ANCHORS.name: ANCHOR_ROLES, PANELS.name: (wall_panels.ROLE,)}  # by hold point


def of(snapshot: dict[str, Any], labels: Iterable[str]) -> list[HoldPoint]:
    """The hold points of these wall lines of a design, in the order of the work; only what the lines have."""
    labels, result = set(labels), snapshot["result"]
    schedule = exchange.loads(Schedule, result["schedule"])
    catalogue = exchange.loads(Catalogue, snapshot["inputs"]["catalogue"])
    items = [
        item for line in schedule.lines if line.label in labels for item in line.items if item.count or item.spacing_in
    ]
    roles = {item.role for item in items}
    inspected = {item.role for item in items if inspections.needed(item, catalogue)}
    screws = any(line["through_plate"] for line in result["lines"] if line["label"] in labels)
    asked = (
        (PROBE_HOLES, screws),
        (ANCHORS_INSPECTED if inspected & set(ANCHOR_ROLES) else ANCHORS, roles & set(ANCHOR_ROLES)),
        (CONNECTORS_WITH_BLOCKS if "block nails" in roles else CONNECTORS, roles & CONNECTOR_ROLES),
        (TIE_DOWNS, tie_downs.ROLE in roles),
        (PANELS_CLOSE if wall_panels.ROLE in inspected else PANELS, wall_panels.ROLE in roles),
    )
    return [point for point, wanted in asked if wanted]
