"""The connection schedule: what is built, by wall line and link. Proposed by one function, checked by another."""

from __future__ import annotations

from engineering.records import record


@record
class ScheduleItem:
    """One row: so many of one connector at one place of the load path.

    `role` is one of: "floor to plate", "blocking nails", "stitch nails", "splice nails each side", "plate straps",
    "strut splice", "panel edge nails", "block nails", "sill anchors", "side connections", "tie-downs", "tie-down
    anchors". `panel` and `piece` count from 1 along the line from its zero end; both None means the whole line.
    `positions_in` run from the line's zero end; empty where the row is a pattern (edge nails, nails per bay). A splice
    row's count is nails each side of its one lap, all straps across one joint or all that splices one strut; a block
    row's count is all nails of its panel, the same number in every bay.
    """

    link: str
    role: str
    connector: str  # catalogue key
    count: int
    spacing_in: float | None = None
    positions_in: tuple[float, ...] = ()
    panel: int | None = None
    piece: int | None = None
    note: str = ""


@record
class LineSchedule:
    label: str
    items: tuple[ScheduleItem, ...]

    def rows(self, role: str) -> tuple[ScheduleItem, ...]:
        """The rows of one role, in order along the line."""
        return tuple([item for item in self.items if item.role == role])

    def count(self, role: str) -> int:
        """How many of this role stand on the line."""
        return sum(item.count for item in self.rows(role))


@record
class Schedule:
    lines: tuple[LineSchedule, ...]

    def line(self, label: str) -> LineSchedule:
        """The line of this label; KeyError when there is none."""
        for line in self.lines:
            if line.label == label:
                return line
        raise KeyError(label)
