"""What a recheck gives back: each link as found, as designed and as built, what is short, what is to be asked."""

from __future__ import annotations

from typing import Final, Literal

from engineering.records import record
from engineering.results import Check, HouseResult, Status
from engineering.schedule import LineSchedule
from engineering.sources import Source

Ruling = Literal["inside tolerance: log only", "outside: stop, field question"]
INSIDE: Final[Ruling] = "inside tolerance: log only"
OUTSIDE: Final[Ruling] = "outside: stop, field question"
Remedy = Literal["install", "test or inspect"]


@record
class Standing:
    """Status, ratio and capacity of a link at one time; None where there is nothing to compare."""

    status: Status
    ratio: float | None
    capacity: float | None
    unit: str


@record
class LinkAsBuilt:
    """One link three times. `as_found` is None for a link that only the retrofit brings."""

    link: str
    name: str
    as_found: Standing | None
    as_designed: Standing
    as_built: Standing


@record
class LineAsBuilt:
    """One wall line three times; `shortfall` says that it is poorer than the design and not ok."""

    label: str
    as_found_status: Status
    as_designed_status: Status
    as_designed_ratio: float | None
    as_built_status: Status
    as_built_ratio: float | None
    links: tuple[LinkAsBuilt, ...]
    shortfall: bool

    def link(self, name: str) -> LinkAsBuilt:
        """The link of this name; KeyError when there is none."""
        for link in self.links:
            if link.link == name:
                return link
        raise KeyError(name)


@record
class Shortfall:
    """What would close a link again: `more` of one connector, at these places where a place can be named.

    A splice's place is its joint, whatever the number.

    `remedy` "test or inspect": they stand, but count only after an accepted test. `closes` is False where even all
    of the schedule would not do (the panel was shortened, no place is left): then the engineer decides. `lacking` is
    demand less capacity of the link, in its unit, None where the link is open.
    """

    line: str
    link: str
    role: str
    connector: str
    panel: int | None
    piece: int | None
    more: int
    positions_in: tuple[float, ...]
    remedy: Remedy
    closes: bool
    lacking: float | None
    unit: str
    text: str


@record
class Uncounted:
    """Connectors of a row that don't count as built, and why."""

    line: str
    role: str
    panel: int | None
    piece: int | None
    count: int
    positions_in: tuple[float, ...]
    reason: str


@record
class Decision:
    """What becomes of one thing that was built otherwise. `tolerance` is the key of the tolerance it was held to."""

    line: str
    role: str
    panel: int | None
    piece: int | None
    ruling: Ruling
    tolerance: str
    text: str


@record
class PlannedTest:
    """What has to be tested or looked at, since its inspection was not held."""

    line: str
    role: str
    connector: str
    panel: int | None
    piece: int | None
    count: int
    positions_in: tuple[float, ...]
    method: str
    reason: str
    source: Source


@record
class Tolerance:
    """What may differ from the drawings with a log entry only. `line` and `connector` empty: all of them.

    `limit` is the number, None where the rule is not one ("the same stud bay").
    """

    key: str
    role: str
    measured: str
    limit: float | None
    unit: str
    source: Source
    line: str = ""
    connector: str = ""


@record
class AsBuiltResult:
    """The house as built: `built` is the whole chain computed again, with its steps and the schedule that counts."""

    lines: tuple[LineAsBuilt, ...]
    shortfalls: tuple[Shortfall, ...]
    uncounted: tuple[Uncounted, ...]
    decisions: tuple[Decision, ...]
    test_plan: tuple[PlannedTest, ...]
    close_out_blocked_by: tuple[str, ...]
    assumptions: tuple[str, ...]
    tolerances: tuple[Tolerance, ...]
    sunk_nails: tuple[Check, ...]  # each panel's count with its steps
    standing: tuple[LineSchedule, ...]  # all that stands, counted or not
    from_memory: tuple[str, ...]  # of the chain, the tolerances and the counts
    built: HouseResult

    def line(self, label: str) -> LineAsBuilt:
        """The line of this label; KeyError when there is none."""
        for line in self.lines:
            if line.label == label:
                return line
        raise KeyError(label)
