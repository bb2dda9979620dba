"""What the crew's log says of one house, against its schedule: plain frozen facts. Not what follows from them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from engineering.errors import OutOfRange, require_within
from engineering.inputs import HouseInputs
from engineering.limits import require_sizes, require_text
from engineering.schedule import Schedule
from engineering.single_inputs import Nail

EntryKind = Literal["installed", "missed", "moved", "split", "substituted", "added"]
MOST = 100_000  # of one thing in one row; stops a slip of the pen


@dataclass(frozen=True, slots=True, kw_only=True)
class LogEntry:
    """One entry of the crew's log about a row of the schedule, in the order of logging.

    `role`, `connector`, `panel` and `piece` name the row as scheduled, `positions_in` the scheduled places that the
    entry is about; of a place the last entry counts. A row without places (edge nails, block nails) and a splice row
    are logged by number: `installed` says how many stand now, what is missed, split or substituted after it is taken
    off. `moved_to_in` gives each place's new one. `substitute` is the catalogue key of what stands instead, with
    `nail` where it is a nail that the catalogue lacks. `added` stands besides the schedule, at places of its own.
    """

    kind: EntryKind
    role: str
    connector: str
    count: int
    panel: int | None = None
    piece: int | None = None
    positions_in: tuple[float, ...] = ()
    moved_to_in: tuple[float, ...] = ()
    across_in: float = 0.0  # off the line that it was drawn on, across the wall
    substitute: str = ""
    nail: Nail | None = None

    def __post_init__(self) -> None:
        require_within("count", self.count, 0 if self.kind == "installed" else 1, MOST)
        require_within("across_in", self.across_in, 0.0, 12.0)
        for at_in in (*self.positions_in, *self.moved_to_in):
            require_within("positions_in", at_in, -1.0, 12_000.0)
        if len(self.moved_to_in) != (len(self.positions_in) if self.kind == "moved" else 0):
            allowed = "must give one new place for each place moved, and none for another entry"
            raise OutOfRange("moved_to_in", self.moved_to_in, allowed)
        if self.kind == "moved" and not self.positions_in:
            raise OutOfRange("positions_in", (), "must name the places that were moved")
        if bool(self.substitute) != (self.kind == "substituted") and self.kind != "added":
            raise OutOfRange("substitute", self.substitute, "must name what stands instead, of a substituted one alone")
        if self.nail is not None and self.nail.key != self.substitute:
            raise OutOfRange("nail.key", self.nail.key, f"must be the substitute's, {self.substitute!r}")


@dataclass(frozen=True, slots=True, kw_only=True)
class NailTally:
    """The edge nails of one panel, each looked at once: they add up to `total`.

    `over_16th` are sunk more than 1/16 in and not more than 1/8 in, `over_8th` more than 1/8 in, both below the face.
    """

    panel: int
    total: int
    flush: int
    over_16th: int
    over_8th: int
    missed_framing: int

    def __post_init__(self) -> None:
        for name in ("panel", "total"):
            require_within(name, getattr(self, name), 1, MOST)
        parts = ("flush", "over_16th", "over_8th", "missed_framing")
        for name in parts:
            require_within(name, getattr(self, name), 0, MOST)
        counted = sum(getattr(self, name) for name in parts)
        if counted != self.total:
            raise OutOfRange("total", self.total, f"must be the sum of {', '.join(parts)}: {counted}")


@dataclass(frozen=True, slots=True, kw_only=True)
class BuiltPanel:
    """Where a panel stands that was shortened or moved, from the line's zero end."""

    panel: int
    from_ft: float
    to_ft: float

    def __post_init__(self) -> None:
        require_within("panel", self.panel, 1, MOST)
        require_within("from_ft", self.from_ft, 0.0, 10_000.0)
        require_sizes(to_ft=self.to_ft)
        if self.to_ft <= self.from_ft:
            raise OutOfRange("to_ft", self.to_ft, f"must be beyond from_ft = {self.from_ft:g}")


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldInspection:
    """Whether the inspection of a role was held before the work was covered; of one panel, or (None) of all."""

    role: str
    held: bool
    panel: int | None = None
    by: str = ""  # the inspector and the day

    def __post_init__(self) -> None:
        if self.held:
            require_text(by=self.by)


@dataclass(frozen=True, slots=True, kw_only=True)
class AcceptedTest:
    """A test in place of a missed inspection. It counts once an engineer accepts it by name.

    It covers what it names: panel and piece None are all, no places are all places.
    """

    role: str
    method: Literal["torque test", "pull test", "inspection of exposed work"]
    result: str
    accepted_by: str  # the engineer, or empty
    panel: int | None = None
    piece: int | None = None
    positions_in: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        require_text(result=self.result)


@dataclass(frozen=True, slots=True, kw_only=True)
class LineLog:
    """All that was logged on one wall line. What no entry names was not installed."""

    label: str
    entries: tuple[LogEntry, ...]
    panels: tuple[BuiltPanel, ...] = ()
    tallies: tuple[NailTally, ...] = ()
    inspections: tuple[HeldInspection, ...] = ()
    tests: tuple[AcceptedTest, ...] = ()

    def __post_init__(self) -> None:
        for name in ("panels", "tallies"):
            numbers = [one.panel for one in getattr(self, name)]
            if len(set(numbers)) != len(numbers):
                raise OutOfRange(name, numbers, "must give each panel once")


@dataclass(frozen=True, slots=True, kw_only=True)
class AsBuiltInputs:
    """The house and schedule as designed, and the log line by line."""

    house: HouseInputs
    schedule: Schedule
    log: tuple[LineLog, ...]

    def __post_init__(self) -> None:
        labels = [line.label for line in self.log]
        known = [line.label for line in self.house.lines]
        if len(set(labels)) != len(labels) or set(labels) - set(known):
            raise OutOfRange("log", labels, f"must be among {', '.join(known)}, each line once")
