"""Hold points: where work stops until someone named has looked. The same on the work order and on the crew's pages."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

CLOSE_NAILING_IN = 4.0  # edge nails this close or closer ask for special inspection
ANCHOR_ROLES = {"sill anchors", "side connections", "tie-down anchors"}
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
ANCHORS = HoldPoint(
    "Anchors", "Special inspector present while holes are drilled and filled; passed before panels hide them."
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


def of(snapshot: dict[str, Any], labels: Iterable[str]) -> list[HoldPoint]:
    """The hold points of these wall lines of a design, in the order of the work; only what the lines have."""
    labels = set(labels)
    result = snapshot["result"]
    items = [
        item
        for line in result["schedule"]["lines"]
        if line["label"] in labels
        for item in line["items"]
        if item["count"] or item["spacing_in"]
    ]
    roles = {item["role"] for item in items}
    screws = any(line["through_plate"] for line in result["lines"] if line["label"] in labels)
    close = any(item["role"] == "panel edge nails" and (item["spacing_in"] or 99) <= CLOSE_NAILING_IN for item in items)
    asked = (
        (PROBE_HOLES, screws),
        (ANCHORS, roles & ANCHOR_ROLES),
        (CONNECTORS_WITH_BLOCKS if "block nails" in roles else CONNECTORS, roles & CONNECTOR_ROLES),
        (TIE_DOWNS, "tie-downs" in roles),
        (PANELS_CLOSE if close else PANELS, "panel edge nails" in roles),
    )
    return [point for point, wanted in asked if wanted]
