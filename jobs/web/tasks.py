"""A work order as tasks: the connection schedule bay by bay, each with what the crew has logged. No write."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from engineering import collectors, field_log, wall_panels
from engineering.feet_inches import format_feet_inches, format_inches
from engineering.layout import Bay, by_bay
from jobs import hold_points, log_entries
from jobs.models import FieldEvent, FieldEventKind, HoldPoint, ScheduleLine, WorkOrder

# Roles in the order of the work, in the crew's words.
ROLES = {
    "sill anchors": "Sill anchors",
    "tie-down anchors": "Tie-down anchors",
    "side connections": "Side connections, sill to foundation",
    "blocking nails": "New blocking between joists",
    "floor to plate": "Floor to top plate",
    "stitch nails": "Stitch nails, lower to upper plate",
    "splice nails each side": "Plate splice nails, each side of the lap",
    "plate straps": "Straps across plate joints",
    "strut splice": "Strut to top plates",
    "block nails": "Blocks on the wide sill",
    "tie-downs": "Tie-downs",
    "panel edge nails": "Panel edge nails",
}
TO_DO = "to do"
OF_TASKS = log_entries.OF_ROWS - {FieldEventKind.ADDED}  # what was added stands besides them


@dataclass(frozen=True, slots=True)
class Task:
    """Something to install and tick: so many of one connector in one bay, or all over a panel."""

    key: str
    role: str
    connector: str
    connector_key: str
    count: int
    where: str
    positions_in: tuple[float, ...]
    spacing_in: float | None
    panel: int | None
    piece: int | None
    note: str
    last: FieldEvent | None = None

    @property
    def title(self) -> str:
        return ROLES.get(self.role, self.role)

    @property
    def state(self) -> str:
        """What was logged last, or "to do"."""
        return self.last.get_kind_display() if self.last else TO_DO

    @property
    def is_done(self) -> bool:
        return self.last is not None and self.last.kind == FieldEventKind.INSTALLED

    @property
    def places(self) -> list[str]:
        """Each position as the tape reads it from the zero end."""
        return [tape(at_in) for at_in in self.positions_in]

    @property
    def last_places(self) -> str:
        """Of what of the task the last entry speaks, and where to, where it says more than the task itself."""
        if self.last is None:
            return ""
        said, new = self.last.payload, self.last.payload.get("moved_to_in")
        places, new = said.get("positions_in") or [], new if isinstance(new, list) else [] if new is None else [new]
        some = ", ".join(map(tape, places)) if not self.by_number and tuple(places) != self.positions_in else ""
        if self.by_number and said.get("count") != self.count:
            some = f"{said.get('count')} of {self.count}"
        return f"{some} to {', '.join(map(tape, new))}".strip() if new else some

    @property
    def by_number(self) -> bool:
        """Whether it is counted: a pattern without places, or a splice, whose one place is its joint."""
        return field_log.by_number(self)

    def payload(self) -> dict[str, Any]:
        """What an entry about this task says of it, so that the log can be read without this page."""
        return {
            "task": self.key,
            "role": self.role,
            "connector": self.connector_key,
            "count": self.count,
            "panel": self.panel,
            "piece": self.piece,
            "positions_in": list(self.positions_in),
        }


@dataclass(frozen=True, slots=True)
class Group:
    """The tasks of one kind on one wall."""

    title: str
    tasks: tuple[Task, ...]

    @property
    def total(self) -> int:
        return len(self.tasks)

    @property
    def done(self) -> int:
        return sum(task.is_done for task in self.tasks)

    @property
    def is_done(self) -> bool:
        return self.done == self.total


@dataclass(frozen=True, slots=True)
class Point:
    """A hold point of a wall and its tick, if given."""

    name: str
    text: str
    tick: HoldPoint | None


@dataclass(frozen=True, slots=True)
class WallPanel:
    """A panel of a wall, where it is drawn, and what was logged last of its nails and of where it stands."""

    number: int
    drawn: str
    nails: FieldEvent | None
    built: FieldEvent | None


@dataclass(frozen=True, slots=True)
class Wall:
    """One wall line of a work order."""

    number: int
    label: str
    zero_end: str
    facts: dict[str, Any]
    tasks: tuple[Task, ...]
    points: tuple[Point, ...]
    panels: tuple[WallPanel, ...]
    notes: tuple[FieldEvent, ...]

    @property
    def total(self) -> int:
        return len(self.tasks)

    @property
    def done(self) -> int:
        return sum(task.is_done for task in self.tasks)

    @property
    def otherwise(self) -> int:
        """How many were logged as something else than installed."""
        return sum(task.last is not None and not task.is_done for task in self.tasks)

    @property
    def unticked(self) -> int:
        return sum(point.tick is None for point in self.points)

    @property
    def groups(self) -> list[Group]:
        """The tasks by what they are, in the order of the work."""
        found: dict[str, list[Task]] = {}
        for task in self.tasks:
            found.setdefault(task.title, []).append(task)
        return [Group(title, tuple(tasks)) for title, tasks in found.items()]

    @property
    def next_task(self) -> Task | None:
        return next((task for task in self.tasks if task.last is None), None)

    def task(self, key: str) -> Task | None:
        return next((task for task in self.tasks if task.key == key), None)

    def after(self, key: str) -> Task | None:
        """The next task after this one that nothing has been logged about."""
        keys = [task.key for task in self.tasks]
        return next((task for task in self.tasks[keys.index(key) + 1 :] if task.last is None), None)


class Sheet:
    """A work order read once: its design's snapshot, schedule, log and ticks."""

    def __init__(self, order: WorkOrder) -> None:
        self.order = order

    @cached_property
    def snapshot(self) -> dict[str, Any]:
        return json.loads(self.order.design.snapshot)

    @cached_property
    def walls(self) -> list[Wall]:
        """The walls in the order that the work order names them."""
        return [self._wall(number, label) for number, label in enumerate(self.order.wall_line_labels, start=1)]

    @property
    def done(self) -> int:
        return sum(wall.done for wall in self.walls)

    @property
    def total(self) -> int:
        return sum(wall.total for wall in self.walls)

    @cached_property
    def _schedule(self) -> list[ScheduleLine]:
        return list(self.order.design.connection_schedule.lines.all())

    @cached_property
    def _events(self) -> list[FieldEvent]:
        return list(self.order.events.select_related("by"))

    @cached_property
    def _ticks(self) -> dict[tuple[str, str], HoldPoint]:
        ticks = self.order.hold_points.select_related("ticked_by")
        return {(tick.wall_line_label, tick.name): tick for tick in ticks}

    def _wall(self, number: int, label: str) -> Wall:
        line = next(line for line in self.snapshot["inputs"]["lines"] if line["label"] == label)
        rows = [row for row in self._schedule if row.wall_line_label == label and (row.count or row.spacing_in)]
        rows.sort(key=lambda row: (_place_in_work(row.role), row.panel or 0, row.piece or 0, row.pk))
        events = [event for event in self._events if event.wall_line_label == label]
        about = [event for event in events if event.kind in OF_TASKS and event.payload.get("role")]
        tasks = [_with_last(task, about) for row in rows for task in tasks_of_row(row, line)]
        return Wall(
            number=number,
            label=label,
            zero_end=zero_end(line),
            facts=self.snapshot["lines"][label],
            tasks=tuple(tasks),
            points=tuple(
                Point(point.name, point.text, self._ticks.get((label, point.name)))
                for point in hold_points.of(self.snapshot, [label])
            ),
            panels=tuple(_panels(rows, line, events)),
            notes=tuple(event for event in events if event not in about and event.payload.get("text")),
        )


def tasks_of_row(row: ScheduleLine, line: dict[str, Any]) -> Iterable[Task]:
    """One schedule row as tasks: a bay each where it has positions, else the row as a whole."""
    whole = Task(
        key=f"{row.pk}-0",
        role=row.role,
        connector=row.connector_name,
        connector_key=row.connector_key,
        count=row.count,
        where=_part(row),
        positions_in=(),
        spacing_in=row.spacing_in,
        panel=row.panel,
        piece=row.piece,
        note=row.note,
    )
    if not row.positions_in:
        yield whole
        return
    (x0, y0), (x1, y1) = line["start_ft"], line["end_ft"]
    framing, length_in = line["framing"], 12 * (abs(x1 - x0) + abs(y1 - y0))
    stud_in = framing["stud_thickness_in"]
    for bay in by_bay(row.positions_in, tuple(framing["stud_centrelines_in"]), stud_in, length_in):
        if bay.positions_in:
            yield replace(
                whole,
                key=f"{row.pk}-{bay.number}",
                count=row.count if whole.role in collectors.ROLES else len(bay.positions_in),
                where=_bay(bay, row, stud_in / 2, length_in),
                positions_in=bay.positions_in,
                spacing_in=None,
            )


def _with_last(task: Task, events: list[FieldEvent]) -> Task:
    """The task with the last entry that tells how it stands: of the same row, and of any of its places.

    Not an installation of some of its places only: then something is still to do.
    """
    for event in reversed(events):
        said = event.payload
        same = (said["role"], said.get("connector"), said.get("panel"), said.get("piece")) == (
            task.role, task.connector_key, task.panel, task.piece
        )  # fmt: skip
        places, own = set(said.get("positions_in") or ()), set(task.positions_in)
        some = places == own if task.by_number else places & own
        all_of_it = said.get("count", 0) >= task.count if task.by_number else places >= own
        if same and some and (all_of_it or event.kind != FieldEventKind.INSTALLED):
            return replace(task, last=event)
    return task


def _panels(rows: list[ScheduleLine], line: dict[str, Any], events: list[FieldEvent]) -> Iterable[WallPanel]:
    kinds = (FieldEventKind.NAIL_COUNT, FieldEventKind.PANEL_BUILT)
    last = {(event.kind, event.payload["panel"]): event for event in events if event.kind in kinds}
    for number in sorted({row.panel for row in rows if row.role == wall_panels.ROLE and row.panel}):
        drawn = line["panels"][number - 1]
        yield WallPanel(
            number=number,
            drawn=f"{tape(drawn['from_ft'] * 12)} to {tape(drawn['to_ft'] * 12)}",
            nails=last.get((FieldEventKind.NAIL_COUNT, number)),
            built=last.get((FieldEventKind.PANEL_BUILT, number)),
        )


def zero_end(line: dict[str, Any]) -> str:
    """Which end the tape starts from, north being +y; wall lines run along x or y."""
    (x0, y0), (x1, y1) = line["start_ft"], line["end_ft"]
    if x0 != x1:
        return "west end" if x0 < x1 else "east end"
    return "south end" if y0 < y1 else "north end"


def _bay(bay: Bay, row: ScheduleLine, half_stud_in: float, length_in: float) -> str:
    """The bay by the centrelines of its studs, numbered as on the work order's paper."""
    low = tape(bay.from_in - half_stud_in) if bay.from_in > 0 else "the zero end"
    high = tape(bay.to_in + half_stud_in) if bay.to_in < length_in else "the far end"
    part = f", {_part(row)}" if row.panel or row.piece else ""
    return f"Bay {bay.number}, studs {low} to {high}{part}"


def _part(row: ScheduleLine) -> str:
    if row.panel:
        return f"panel {row.panel}"
    return f"sill piece {row.piece}" if row.piece else "whole wall"


def tape(at_in: float) -> str:
    """A place as the tape reads it."""
    return format_inches(at_in) if at_in < 12 else format_feet_inches(at_in)


def _place_in_work(role: str) -> int:
    return list(ROLES).index(role) if role in ROLES else len(ROLES)
