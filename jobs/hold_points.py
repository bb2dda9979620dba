"""Hold points: what the crew's lead has looked at, on each wall line, before the work may be covered."""

from __future__ import annotations

from collections.abc import Iterable

ANCHORS = "Anchors set and looked at, before panels cover them"
CONNECTORS = "Connectors and stitch nails counted, before panels go on"
BLOCKS = "Blocks on the wide sill nailed in every bay, before panels go on"
TIE_DOWNS = "Tie-downs tight on their rods"
PANELS = "Panel edge nailing looked at, before any finish"
NUTS = "All nuts tightened again, before cover"

ANCHOR_ROLES = {"sill anchors", "tie-down anchors"}
CONNECTOR_ROLES = {"floor to plate", "stitch nails", "splice nails each side"}


def of_line(roles: Iterable[str]) -> list[str]:
    """The hold points of a wall line, in the order of the work, from the roles that its schedule has."""
    roles = set(roles)
    asked = (
        (ANCHORS, roles & ANCHOR_ROLES),
        (CONNECTORS, roles & CONNECTOR_ROLES),
        (BLOCKS, "block nails" in roles),
        (TIE_DOWNS, "tie-downs" in roles),
        (PANELS, "panel edge nails" in roles),
        (NUTS, roles & (ANCHOR_ROLES | {"tie-downs"})),
    )
    return [name for name, wanted in asked if wanted]
