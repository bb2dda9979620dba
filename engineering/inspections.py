"""Which work needs an inspection before it is covered, what counts where none was held, and what is then tested."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from engineering import sill_anchors, tie_downs, wall_panels
from engineering.as_built_inputs import AcceptedTest, LineLog
from engineering.as_built_results import PlannedTest
from engineering.inputs import Catalogue
from engineering.schedule import ScheduleItem
from engineering.sources import Source

NAILING_INSPECTION: Final = Source("IBC", "2021", "1705.13.2")
NOT_HELD: Final = "inspection not held"
METHODS: Final = {
    wall_panels.ROLE: "inspection of the exposed nailing, one sample nail pulled; where covered, the cover comes off",
    sill_anchors.ROLE: "torque or pull test; number, load and place set by the engineer; proves the bond only",
    sill_anchors.SIDE_ROLE: "torque test of its anchors; number and torque set by the engineer; proves the bond only",
    tie_downs.ANCHOR_ROLE: "pull test; number, load and place set by the engineer; proves the bond only",
}


def needed(item: ScheduleItem, catalogue: Catalogue) -> Source | None:
    """The rule that asks for an inspection of this row before cover; None where there is none.

    Anchors set in existing concrete by their report, and panel edge nails at 4 in or closer.
    """
    if item.role in (*sill_anchors.KINDS, tie_downs.ANCHOR_ROLE):
        return sill_anchors.INSPECTION if any(one.key == item.connector for one in catalogue.evaluated) else None
    close = (item.spacing_in or 99.0) <= wall_panels.INSPECTED_SPACING_IN + 1e-9
    return NAILING_INSPECTION if item.role == wall_panels.ROLE and close else None


def held(item: ScheduleItem, log: LineLog) -> bool:
    """Whether an inspection of this row was held; what is said of its own panel goes before what is said of all."""
    of_role = [one for one in log.inspections if one.role == item.role]
    of_panel = [one for one in of_role if one.panel is not None and one.panel == item.panel]
    said = of_panel or [one for one in of_role if one.panel is None]
    return bool(said) and all(one.held for one in said)


def tested(item: ScheduleItem, log: LineLog) -> ScheduleItem | None:
    """What of a row counts by accepted tests alone; None where nothing does."""
    accepted = [one for one in log.tests if one.accepted_by.strip() and _covers(one, item)]
    if any(not one.positions_in for one in accepted):
        return item
    places = {at for one in accepted for at in one.positions_in}
    kept = tuple(at for at in item.positions_in if any(abs(at - one) < 0.01 for one in places))
    if not kept or len(kept) == item.count:
        return item if kept else None
    return replace(item, count=len(kept), positions_in=kept)


def _covers(test: AcceptedTest, item: ScheduleItem) -> bool:
    return test.role == item.role and test.panel in (None, item.panel) and test.piece in (None, item.piece)


def plan(label: str, item: ScheduleItem, places_in: tuple[float, ...], count: int, rule: Source) -> PlannedTest:
    """The test of what stands in a row and was not inspected."""
    return PlannedTest(
        line=label, role=item.role, connector=item.connector, panel=item.panel, piece=item.piece, count=count,
        positions_in=places_in, method=METHODS[item.role], reason=NOT_HELD, source=rule,
    )  # fmt: skip
