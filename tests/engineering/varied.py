"""Variations of the worked house for tests of one behaviour each."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from engineering.inputs import HouseInputs, WallLine
from engineering.schedule import LineSchedule, Schedule, ScheduleItem
from tests.published.house_a import house_inputs


def house(*, level: str = "full", **changes: Any) -> HouseInputs:
    """The worked house; `hazard`, `criteria` or `building` as dicts of changed fields, others as new values."""
    given = house_inputs(level)
    for name, change in changes.items():
        value = replace(getattr(given, name), **change) if isinstance(change, dict) else change
        given = replace(given, **{name: value})
    return given


def with_line(given: HouseInputs, label: str, **changes: Any) -> HouseInputs:
    """The house with one wall line changed; `framing`, `foundation`, `methods` … as dicts of changed fields."""
    return replace(given, lines=tuple(changed(one, **changes) if one.label == label else one for one in given.lines))


def changed(line: WallLine, **changes: Any) -> WallLine:
    """A wall line with some fields changed."""
    values = {
        name: replace(getattr(line, name), **change) if isinstance(change, dict) else change
        for name, change in changes.items()
    }
    return replace(line, **values)


def line_of(given: HouseInputs, label: str) -> WallLine:
    """The wall line of this label."""
    return next(one for one in given.lines if one.label == label)


def edited(schedule: Schedule, label: str, role: str, *, of_panel: int | None = None, **changes: Any) -> Schedule:
    """A schedule with every row of a role on a line (or of one panel) changed; `count=0` takes the rows out."""

    def row(item: ScheduleItem) -> ScheduleItem | None:
        if item.role != role or of_panel not in (None, item.panel):
            return item
        if changes.get("count") == 0:
            return None
        places = (
            item.positions_in[: changes["count"]] if "count" in changes and item.positions_in else item.positions_in
        )
        return replace(item, **{"positions_in": places, **changes})

    def line(one: LineSchedule) -> LineSchedule:
        if one.label != label:
            return one
        return replace(one, items=tuple(kept for item in one.items if (kept := row(item)) is not None))

    return replace(schedule, lines=tuple(line(one) for one in schedule.lines))
