"""Crews' logs for tests: the log that is equal to a schedule, and changes to it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from engineering.as_built_inputs import AsBuiltInputs, HeldInspection, LineLog, LogEntry, NailTally
from engineering.as_built_results import Shortfall
from engineering.inputs import HouseInputs
from engineering.schedule import LineSchedule, Schedule, ScheduleItem

SPLICE = "splice nails each side"


def entry(item: ScheduleItem, kind: str = "installed", **changes: Any) -> LogEntry:
    """An entry about a whole row; with `positions_in` about those places of it."""
    places = changes.pop("positions_in", item.positions_in)
    by_number = not item.positions_in or item.role == SPLICE
    given: dict[str, Any] = {
        "kind": kind,
        "role": item.role,
        "connector": item.connector,
        "count": item.count if by_number else len(places),
        "panel": item.panel,
        "piece": item.piece,
        "positions_in": places,
    }
    return LogEntry(**{**given, **changes})


def tally(item: ScheduleItem, **sunk: int) -> NailTally:
    """The edge nails of a panel's row, all flush but those named."""
    counts = {"over_16th": 0, "over_8th": 0, "missed_framing": 0, **sunk}
    assert item.panel is not None
    return NailTally(panel=item.panel, total=item.count, flush=item.count - sum(counts.values()), **counts)


def log_of(line: LineSchedule) -> LineLog:
    """All of a line installed as scheduled, inspected, every edge nail flush."""
    return LineLog(
        label=line.label,
        entries=tuple(entry(item) for item in line.items),
        tallies=tuple(tally(item) for item in line.rows("panel edge nails")),
        inspections=tuple(
            HeldInspection(role=role, held=True, by="the city's inspector, 2025-07-01")
            for role in dict.fromkeys(item.role for item in line.items)
        ),
    )


def as_scheduled(house: HouseInputs, schedule: Schedule) -> AsBuiltInputs:
    """The log that is equal to the schedule."""
    return AsBuiltInputs(house=house, schedule=schedule, log=tuple(log_of(line) for line in schedule.lines))


def with_log(given: AsBuiltInputs, label: str, *more: LogEntry, **changes: Any) -> AsBuiltInputs:
    """More entries at the end of one line's log, or other facts of it changed."""

    def line(one: LineLog) -> LineLog:
        return replace(one, entries=(*one.entries, *more), **changes) if one.label == label else one

    return replace(given, log=tuple(line(one) for one in given.log))


def row(given: AsBuiltInputs, label: str, role: str, number: int = 0) -> ScheduleItem:
    """One row of a role on a line."""
    return given.schedule.line(label).rows(role)[number]


def made_good(given: AsBuiltInputs, shortfalls: tuple[Shortfall, ...]) -> AsBuiltInputs:
    """The log after the crew has put in what the shortfalls ask for, at the places they name."""
    for short in shortfalls:
        if not short.more or short.remedy != "install":
            continue
        places = short.positions_in
        more = LogEntry(
            kind="added", role=short.role, connector=short.connector, count=short.more, panel=short.panel,
            piece=short.piece, positions_in=places,
        )  # fmt: skip
        given = with_log(given, short.line, more)
        if short.role == "panel edge nails":
            given = _counted_again(given, short)
    return given


def _counted_again(given: AsBuiltInputs, short: Shortfall) -> AsBuiltInputs:
    """The panel's nails counted again, the added ones flush."""
    tallies = next(log.tallies for log in given.log if log.label == short.line)
    again = tuple(
        replace(one, total=one.total + short.more, flush=one.flush + short.more) if one.panel == short.panel else one
        for one in tallies
    )
    return with_log(given, short.line, tallies=again)
