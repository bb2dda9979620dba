"""A design computed again with what was logged, ticked, inspected and accepted. Reads frozen snapshots, writes nothing.

Nothing here looks at the survey: what the crew built is held against what was issued.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from engineering import as_built, as_built_inputs, exchange, field_log
from engineering.as_built_inputs import AsBuiltInputs, BuiltPanel, HeldInspection, LineLog, LogEntry, NailTally
from engineering.as_built_results import INSIDE, AsBuiltResult
from engineering.errors import OutOfRange
from engineering.inputs import HouseInputs
from engineering.schedule import LineSchedule, Schedule, ScheduleItem
from jobs import hold_points, log_entries
from jobs.models import AcceptedTest, Design, FieldEvent, HoldPoint, InspectionItem, InspectionResult, Job

NOT_YET = "taken as held, the work goes on"
Row = tuple[str, str, int | None, int | None]  # line, role, panel, piece


@dataclass(frozen=True, slots=True)
class Issued:
    """House and schedule of a design, from its snapshot."""

    house: HouseInputs
    schedule: Schedule

    def line(self, label: str) -> LineSchedule:
        """What is scheduled on a line, nothing where nothing is."""
        return next((one for one in self.schedule.lines if one.label == label), LineSchedule(label=label, items=()))


@dataclass(frozen=True, slots=True)
class Record:
    """A design's recheck: its result, or the `problem` that stands against one, and what of the log it leaves out.

    `unread` are entries that don't fit the design, `unidentified` those of which nobody could say what stands there:
    both count as nothing.
    """

    design: Design
    result: AsBuiltResult | None
    problem: str = ""
    unread: tuple[str, ...] = ()
    unidentified: tuple[str, ...] = ()

    @property
    def close_out_blocked_by(self) -> tuple[str, ...]:
        """Everything that stands between what was logged and a close-out."""
        if self.result is None:
            return (self.problem,)
        return (*self.result.close_out_blocked_by, *(f"left out of the recheck: {one}" for one in self.unread))


def design_built(job: Job) -> Design | None:
    """The design that the crew builds: the newest stamped one, else the newest with a work order."""
    designs = list(job.designs.order_by("-revision"))
    for design in designs:
        if any(packet.is_stamped for packet in design.packets.filter(withdrawn_at__isnull=True)):
            return design
    return next((design for design in designs if design.work_orders.exists()), None)


def is_begun(design: Design) -> bool:
    """Whether anything of what the design schedules has been logged."""
    events = FieldEvent.objects.filter(work_order__design=design, kind__in=log_entries.KINDS)
    return events.filter(payload__has_any_keys=["role", "panel"]).exists()


def recheck(design: Design) -> Record:
    """What is logged, and nothing else, counts."""
    return _recheck(design, rest_as_drawn=False)


def recheck_rest_as_drawn(design: Design) -> Record:
    """What was logged otherwise than drawn counts as logged; what nobody logged or inspected yet, as drawn."""
    return _recheck(design, rest_as_drawn=True)


def rows_inside_tolerance(design: Design) -> frozenset[Row]:
    """The rows on which everything that was logged otherwise than drawn is inside its tolerance."""
    result = recheck_rest_as_drawn(design).result
    if result is None:
        return frozenset()
    rulings: dict[Row, set[str]] = {}
    for one in result.decisions:
        rulings.setdefault((one.line, one.role, one.panel, one.piece), set()).add(one.ruling)
    return frozenset(row for row, ruled in rulings.items() if ruled == {INSIDE})


def could_stand(design: Design, role: str) -> list[log_entries.Connector]:
    """The design's connectors that could stand in for those that it schedules for a role."""
    try:
        issued = _issued(design.snapshot)
    except OutOfRange:
        return []
    return log_entries.could_stand(role, issued.schedule, issued.house.catalogue)


def against(design: Design, label: str, kind: str, payload: Mapping[str, Any]) -> list[str]:
    """Why an entry can't be logged on a wall line after all that is logged there, as sentences; empty: it can."""
    try:
        entry = log_entries.read(kind, payload)
    except OutOfRange as why:
        return [_sentence(why)]
    if entry is None:
        return []
    try:
        issued = _issued(design.snapshot)
    except OutOfRange:
        return []  # nothing to hold it against: whoever rechecks the design is told so
    reading = _Reading(design, issued)
    try:
        log_entries.check(entry, label, issued.schedule, issued.house.catalogue)
        reading.add(label, entry)
        as_built.recheck(reading.inputs(rest_as_drawn=True))
    except OutOfRange as why:
        return [_sentence(why)]
    return []


def _recheck(design: Design, *, rest_as_drawn: bool) -> Record:
    try:
        issued = _issued(design.snapshot)
    except OutOfRange as why:
        return Record(design, None, problem=f"This version can't compute {design} again: {_sentence(why)}")
    reading = _Reading(design, issued)
    facts = {"unread": tuple(reading.unread), "unidentified": tuple(reading.unidentified)}
    try:
        result = as_built.recheck(reading.inputs(rest_as_drawn=rest_as_drawn))
    except OutOfRange as why:
        return Record(design, None, problem=f"What was logged can't be computed: {_sentence(why)}", **facts)
    return Record(design, result, **facts)


@lru_cache(maxsize=8)
def _issued(snapshot: str) -> Issued:
    """OutOfRange where this version of the program can't read the snapshot."""
    parts = json.loads(snapshot)
    schedule = exchange.loads(Schedule, parts["result"].get("schedule"))
    return Issued(exchange.loads(HouseInputs, parts["inputs"]), schedule)


def _sentence(why: OutOfRange) -> str:
    """Which member of an entry can't be, what it was and what is allowed."""
    name = re.sub(r"^log\..*?\.(entries\.\d+\.)?(?=[a-z])", "", why.field)
    return f"{name} {why.allowed}; it is {why.value!r}."


class _Reading:
    """A design's log, line by line, as engineering takes it."""

    def __init__(self, design: Design, issued: Issued) -> None:
        self.issued = issued
        self.unread: list[str] = []
        self.unidentified: list[str] = []
        self._entries: dict[str, list[log_entries.Entry]] = {line.label: [] for line in issued.schedule.lines}
        self._tests = list(AcceptedTest.objects.filter(design=design).select_related("accepted_by"))
        self._visits = _visits(design.job)
        ticks = HoldPoint.objects.filter(work_order__design=design).select_related("ticked_by")
        self._ticks = {(tick.wall_line_label, tick.name): tick for tick in ticks}
        read: dict[str, list[tuple[FieldEvent, log_entries.Entry]]] = {}
        for event in FieldEvent.objects.filter(work_order__design=design).select_related("work_order__job"):
            if entry := self._read(event):
                read.setdefault(event.wall_line_label, []).append((event, entry))
        for label, entries in read.items():
            self._fit(label, entries)

    def _read(self, event: FieldEvent) -> log_entries.Entry | None:
        try:
            entry = log_entries.read(event.kind, event.payload)
            if entry is not None:
                log_entries.check(entry, event.wall_line_label, self.issued.schedule, self.issued.house.catalogue)
        except OutOfRange as why:
            self._leave_out(event, why)
            return None
        if log_entries.unidentified(event.kind, event.payload):
            self.unidentified.append(f"line {event.wall_line_label}, {entry.role}: {event.payload.get('text', '')}")
        return entry

    def _fit(self, label: str, read: list[tuple[FieldEvent, log_entries.Entry]]) -> None:
        """Take a line's entries, without those that don't fit its rows and places as they stand by then."""
        try:
            self._require_places(label, [entry for _, entry in read])
        except OutOfRange:
            for event, entry in read:
                try:
                    self._require_places(label, [*self._entries[label], entry])
                except OutOfRange as why:
                    self._leave_out(event, why)
                else:
                    self._entries[label].append(entry)
        else:
            self._entries[label] = [entry for _, entry in read]

    def _require_places(self, label: str, entries: list[log_entries.Entry]) -> None:
        of_rows = tuple(entry for entry in entries if isinstance(entry, LogEntry))
        field_log.rows(LineLog(label=label, entries=of_rows), self.issued.line(label))

    def _leave_out(self, event: FieldEvent, why: OutOfRange) -> None:
        self.unread.append(f"{event} ({event.work_order}): {_sentence(why)}")

    def add(self, label: str, entry: log_entries.Entry) -> None:
        """One more entry, which nobody has held against the design yet."""
        self._entries[label].append(entry)

    def inputs(self, *, rest_as_drawn: bool) -> AsBuiltInputs:
        """House and schedule as issued, and the log."""
        logs = tuple(self._log(line, rest_as_drawn=rest_as_drawn) for line in self.issued.schedule.lines)
        return AsBuiltInputs(house=self.issued.house, schedule=self.issued.schedule, log=logs)

    def _log(self, line: LineSchedule, *, rest_as_drawn: bool) -> LineLog:
        label, entries = line.label, self._entries[line.label]
        drawn = tuple(_as_drawn(item) for item in line.items) if rest_as_drawn else ()
        return LineLog(
            label=label,
            entries=(*drawn, *(one for one in entries if isinstance(one, LogEntry))),
            panels=_last(one for one in entries if isinstance(one, BuiltPanel)),
            tallies=_last(one for one in entries if isinstance(one, NailTally)),
            inspections=tuple(self._inspections(label, rest_as_drawn=rest_as_drawn)),
            tests=tuple(_test(row) for row in self._tests if row.wall_line_label == label),
        )

    def _inspections(self, label: str, *, rest_as_drawn: bool) -> Iterable[HeldInspection]:
        """By hold point: what the last visits say, else the lead's tick."""
        for name, roles in hold_points.INSPECTS.items():
            seen = self._visits.get((name.lower(), label), [])
            tick = self._ticks.get((label, name))
            if seen:
                held = all(item.result == InspectionResult.PASS for item in seen)
                by = f"{seen[-1].inspection.inspector}, {seen[-1].inspection.day.isoformat()}"
            elif tick or rest_as_drawn:
                held = True
                by = f"{tick.ticked_by.display_name}, {tick.ticked_on.isoformat()}" if tick else NOT_YET
            else:
                continue
            yield from (HeldInspection(role=role, held=held, by=by) for role in roles)


def _visits(job: Job) -> dict[tuple[str, str], list[InspectionItem]]:
    """By stage (lower case) and line: each item as the last visit left it, in the order of the visits."""
    last: dict[tuple[str, str, str], InspectionItem] = {}
    items = InspectionItem.objects.filter(inspection__job=job).select_related("inspection")
    for item in items.order_by("inspection__day", "inspection__pk", "pk"):
        key = item.inspection.stage.lower(), item.wall_line_label, item.text
        last.pop(key, None)
        last[key] = item
    found: dict[tuple[str, str], list[InspectionItem]] = {}
    for (stage, label, _), item in last.items():
        found.setdefault((stage, label), []).append(item)
    return found


def _as_drawn(item: ScheduleItem) -> LogEntry:
    count = item.count if field_log.by_number(item) else len(item.positions_in)
    return LogEntry(
        kind="installed", role=item.role, connector=item.connector, count=count, panel=item.panel, piece=item.piece,
        positions_in=item.positions_in,
    )  # fmt: skip


def _last(entries: Iterable[Any]) -> tuple[Any, ...]:
    """What was said of each panel last."""
    return tuple({entry.panel: entry for entry in entries}.values())


def _test(row: AcceptedTest) -> as_built_inputs.AcceptedTest:
    return as_built_inputs.AcceptedTest(
        role=row.role, method=row.method, result=f"{row.value}; {row.reason}",
        accepted_by=row.accepted_by.display_name, panel=row.panel, piece=row.piece,
        positions_in=tuple(float(at) for at in row.positions_in),
    )  # fmt: skip
