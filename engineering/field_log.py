"""From the crew's log to what stands: each row of the schedule with its places and counts as built. No judgement."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from engineering import collectors
from engineering.as_built_inputs import LineLog, LogEntry
from engineering.errors import OutOfRange
from engineering.load_path import ROLES
from engineering.schedule import LineSchedule, ScheduleItem

SAME_PLACE_IN = 0.01  # a place of the log is the schedule's own number
Place = tuple[str, float]  # connector, where


@dataclass(slots=True)
class Row:
    """One row of the schedule while its entries are read, then what stands of it.

    `places` gives for each scheduled place what stands for it (None: nothing), `besides` what was added; `numbers`
    counts a row without places by connector. `lost` says why nothing stands at a place ("missed", "split"); at
    `spoiled_in` nothing can. `across` is how far off its line a connector stands, by place.
    """

    item: ScheduleItem
    places: dict[float, Place | None] = field(default_factory=dict)
    besides: list[Place] = field(default_factory=list)
    numbers: dict[str, int] = field(default_factory=dict)
    lost: dict[float, str] = field(default_factory=dict)
    spoiled_in: list[float] = field(default_factory=list)
    across: dict[float, float] = field(default_factory=dict)
    logged: bool = False

    @property
    def by_number(self) -> bool:
        """Whether the row is a pattern or a splice, whose count is not one a place."""
        return by_number(self.item)

    def standing(self) -> tuple[ScheduleItem, ...]:
        """The row as it stands: the scheduled connector first, then substitutes; nothing where nothing stands."""
        if self.by_number:
            return tuple(
                self.item if (key, count) == (self.item.connector, self.item.count)
                else replace(self.item, connector=key, count=count)
                for key, count in self.numbers.items() if count
            )  # fmt: skip
        at: dict[str, list[float]] = {}
        for connector, place_in in (*filter(None, self.places.values()), *self.besides):
            at.setdefault(connector, []).append(place_in)
        found = []
        for connector in sorted(at, key=lambda key: (key != self.item.connector, key)):
            placed = tuple(sorted(at[connector]))
            same = connector == self.item.connector and placed == tuple(sorted(self.item.positions_in))
            one = replace(self.item, connector=connector, count=len(placed), positions_in=placed)
            found.append(self.item if same else one)
        return tuple(found)

    def vacant_in(self) -> tuple[float, ...]:
        """Scheduled places that nothing of the schedule's own connector stands at, in order."""
        return tuple(at for at, held in sorted(self.places.items()) if held != (self.item.connector, at))


def by_number(item: ScheduleItem) -> bool:
    """Whether a row is logged by number: no places, or a splice, whose one place is its joint."""
    return not item.positions_in or item.role in collectors.ROLES


def rows(log: LineLog, schedule: LineSchedule) -> list[Row]:
    """Each row of the schedule as the log leaves it, then rows that were added besides.

    What no entry names does not stand. OutOfRange for an entry that names no row, or no place of its row.
    """
    found = [Row(item, places=dict.fromkeys(() if by_number(item) else item.positions_in)) for item in schedule.items]
    for number, entry in enumerate(log.entries):
        try:
            _read(entry, found)
        except OutOfRange as error:
            where = f"log.{log.label}.entries.{number}.{error.field}"
            raise OutOfRange(where, error.value, error.allowed) from error
    return found


def _read(entry: LogEntry, found: list[Row]) -> None:
    row = _row_of(entry, found)
    row.logged = True
    if row.by_number:
        _by_number(entry, row)
        return
    if entry.count != len(entry.positions_in):
        raise OutOfRange("count", entry.count, f"must match the {len(entry.positions_in)} places given")
    for index, at_in in enumerate(entry.positions_in):
        _at_place(entry, row, at_in, entry.moved_to_in[index] if entry.moved_to_in else at_in)


def _row_of(entry: LogEntry, found: list[Row]) -> Row:
    """The row that an entry is about; what was added beside every row makes one of its own."""
    same = [
        row for row in found
        if (row.item.role, row.item.connector, row.item.panel, row.item.piece)
        == (entry.role, entry.connector, entry.panel, entry.piece)
    ]  # fmt: skip
    for row in same:
        if not row.item.positions_in or not entry.positions_in or _scheduled(row, entry.positions_in[0]) is not None:
            return row
    if entry.kind == "added":
        if same and entry.role not in collectors.ROLES:
            return same[0]
        return _new_row(entry, found)
    if same:
        raise OutOfRange("positions_in", entry.positions_in[0], "must be a place of the schedule")
    told = (entry.role, entry.connector, entry.panel, entry.piece)
    raise OutOfRange("role", told, "must be role, connector, panel and piece of a row of the schedule")


def _new_row(entry: LogEntry, found: list[Row]) -> Row:
    if entry.role not in ROLES:
        raise OutOfRange("role", entry.role, f"must be one of {', '.join(ROLES)}")
    item = ScheduleItem(
        link=ROLES[entry.role], role=entry.role, connector=entry.connector, count=0,
        positions_in=entry.positions_in, panel=entry.panel, piece=entry.piece, note="added on site",
    )  # fmt: skip
    found.append(Row(item))
    return found[-1]


def _scheduled(row: Row, at_in: float) -> float | None:
    """The row's own number for a place, None where it has none there."""
    known = (*row.item.positions_in, *(place_in for _, place_in in row.besides))
    return next((one for one in known if abs(one - at_in) < SAME_PLACE_IN), None)


def _by_number(entry: LogEntry, row: Row) -> None:
    own, numbers = row.item.connector, row.numbers
    if entry.kind == "moved":
        raise OutOfRange("kind", entry.kind, "must not be moved: the row is counted, its places are not drawn")
    if entry.kind == "installed":
        numbers.clear()
        numbers[own] = entry.count
        return
    if entry.kind == "added":
        key = entry.substitute or own
        numbers[key] = numbers.get(key, 0) + entry.count
        return
    numbers[own] = max(0, numbers.get(own, 0) - entry.count)  # missed before any was logged: still none
    if entry.kind == "substituted":
        numbers[entry.substitute] = numbers.get(entry.substitute, 0) + entry.count


def _at_place(entry: LogEntry, row: Row, at_in: float, to_in: float) -> None:
    own = entry.substitute or row.item.connector
    if entry.kind == "added":
        row.besides.append((own, at_in))
        row.across[at_in] = entry.across_in
        return
    place_in = _scheduled(row, at_in)
    if place_in is None:
        raise OutOfRange("positions_in", at_in, "must be a place of the schedule, or one that was added before")
    if entry.kind == "split":
        row.spoiled_in.append(place_in)
    held = None if entry.kind in ("missed", "split") else (own, to_in if entry.kind == "moved" else place_in)
    row.lost.pop(place_in, None)
    if held:
        row.across[held[1]] = entry.across_in
    else:
        row.lost[place_in] = entry.kind
    if place_in in row.places:
        row.places[place_in] = held
    else:
        row.besides = [one for one in row.besides if one[1] != place_in] + ([held] if held else [])
