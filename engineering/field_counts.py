"""What counts of what stands on a line, and why the rest does not: not logged, sunk, off its line, not inspected."""

from __future__ import annotations

from dataclasses import dataclass, replace

from engineering import field_log, inspections, overdriven, plate_connectors, wall_panels
from engineering.as_built_inputs import LineLog
from engineering.as_built_results import PlannedTest, Tolerance, Uncounted
from engineering.errors import OutOfRange
from engineering.field_log import Row
from engineering.inputs import Catalogue
from engineering.layout import STEP_IN
from engineering.overdriven import SunkNails
from engineering.schedule import LineSchedule, ScheduleItem
from engineering.tolerances import ACROSS

NOT_LOGGED = "not logged as installed"
FEWER = "fewer stand than scheduled"
SUNK = "sunk, off the framing or not counted"
MISPLACED = "where the layout has no place for it"


@dataclass(frozen=True, slots=True)
class Counted:
    """One line as logged: its rows, the items that count, what doesn't and why, the tests it takes, its sunk nails."""

    rows: tuple[Row, ...]
    items: tuple[ScheduleItem, ...]
    uncounted: tuple[Uncounted, ...]
    plan: tuple[PlannedTest, ...]
    sunk: dict[int, SunkNails]

    @property
    def standing(self) -> tuple[ScheduleItem, ...]:
        """All that stands, counted or not."""
        return tuple(item for row in self.rows for item in row.standing())


def count(
    log: LineLog, schedule: LineSchedule, catalogue: Catalogue, limits: tuple[Tolerance, ...]
) -> Counted:  # fmt: skip
    """The line as logged, row by row. OutOfRange for an entry, tally or inspection of what the schedule lacks."""
    rows = field_log.rows(log, schedule)
    sunk = _sunk(log, schedule)
    items: list[ScheduleItem] = []
    lost: list[Uncounted] = []
    plan: list[PlannedTest] = []
    for row in rows:
        lost += _absent(log.label, row)
        standing = row.standing()
        if row.item.role == wall_panels.ROLE and (tally := _tally(log, row.item.panel)):
            off = max(0, sum(item.count for item in standing) - tally) + sunk[row.item.panel or 0].lost
            standing, gone = _without(standing, off)
            if gone:
                lost.append(uncounted(log.label, row.item, gone, (), SUNK))
        for item in standing:
            kept, off_line = _on_its_line(row, item, _across_limit(log.label, item, catalogue, limits))
            if off_line:
                reason = "further off its line than the tolerance"
                lost.append(uncounted(log.label, item, len(off_line), off_line, reason))
            rule = inspections.needed(item, catalogue)
            if rule is None or inspections.held(item, log) or not kept.count:
                items += [kept] if kept.count else []
                continue
            proven = inspections.tested(kept, log)
            items += [proven] if proven else []
            left_in = tuple(at for at in kept.positions_in if proven is None or at not in proven.positions_in)
            left = kept.count - (proven.count if proven else 0)
            if left:
                lost.append(uncounted(log.label, item, left, left_in, inspections.NOT_HELD))
                plan.append(inspections.plan(log.label, item, left_in, left, rule))
    return Counted(tuple(rows), tuple(items), tuple(lost), tuple(plan), sunk)


def _sunk(log: LineLog, schedule: LineSchedule) -> dict[int, SunkNails]:
    found = {}
    nailing = {row.panel: row for row in schedule.rows(wall_panels.ROLE) if row.spacing_in}
    for tally in log.tallies:
        row = nailing.get(tally.panel)
        if row is None or row.spacing_in is None:
            raise OutOfRange(f"log.{log.label}.tallies.panel", tally.panel, "must be a panel with scheduled edge nails")
        found[tally.panel] = overdriven.judge(tally, row.spacing_in, row.count)
    return found


def _tally(log: LineLog, panel: int | None) -> int:
    return next((one.total for one in log.tallies if one.panel == panel), 0)


def _without(items: tuple[ScheduleItem, ...], off: int) -> tuple[tuple[ScheduleItem, ...], int]:
    """Items with `off` taken from them, the first (the scheduled connector) first; and how many were taken."""
    kept, left = [], off
    for item in items:
        taken = min(left, item.count)
        left -= taken
        kept.append(replace(item, count=item.count - taken) if taken else item)
    return tuple(kept), off - left


def _across_limit(label: str, item: ScheduleItem, catalogue: Catalogue, limits: tuple[Tolerance, ...]) -> float:
    """How far off its line a connector may stand: a through-plate screw by its set-up check, others by the tape."""
    screws = {one.key for one in catalogue.evaluated if one.kind == "through-plate screw"}
    if item.role == plate_connectors.ROLE and item.connector in screws:
        for limit in limits:
            if (limit.key, limit.line) == (ACROSS.key, label) and limit.limit is not None:
                return limit.limit
    return STEP_IN


def _on_its_line(row: Row, item: ScheduleItem, limit_in: float) -> tuple[ScheduleItem, tuple[float, ...]]:
    off = tuple(at for at in item.positions_in if row.across.get(at, 0.0) > limit_in + 1e-9)
    if not off:
        return item, ()
    kept = tuple(at for at in item.positions_in if at not in off)
    return replace(item, count=len(kept), positions_in=kept), off


def _absent(label: str, row: Row) -> list[Uncounted]:
    """Scheduled connectors that nothing stands for, by reason."""
    item = row.item
    if row.by_number:
        short = item.count - sum(row.numbers.values())
        reason = FEWER if row.logged else NOT_LOGGED
        return [uncounted(label, item, short, (), reason)] if short > 0 else []
    by_reason: dict[str, list[float]] = {}
    for at_in, held in row.places.items():
        if held is None:
            by_reason.setdefault(row.lost.get(at_in, NOT_LOGGED), []).append(at_in)
    return [uncounted(label, item, len(at), tuple(at), reason) for reason, at in by_reason.items()]


def uncounted(
    label: str, item: ScheduleItem, number: int, places_in: tuple[float, ...], reason: str
) -> Uncounted:  # fmt: skip
    """What of an item doesn't count."""
    return Uncounted(
        line=label, role=item.role, panel=item.panel, piece=item.piece, count=number, positions_in=places_in,
        reason=reason,
    )  # fmt: skip
