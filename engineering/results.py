"""What a calculation gives back: steps, checks, links, lines, the house. No formatting, no rounding."""

from __future__ import annotations

from dataclasses import field
from typing import Literal, NamedTuple

from engineering.records import record
from engineering.schedule import Schedule
from engineering.sources import Source

Status = Literal["ok", "over", "open", "not observed", "recorded", "not in the chain"]
Scalar = float | int | str | bool


class Step(NamedTuple):
    """One printed line of a calculation: symbol = expression = numbers = value unit, source.

    A house has thousands: a named tuple is made in a third of a dataclass's time. `key` names the step within its
    check (stable, snake_case), for tests and links; `inputs` are the substituted values by printed symbol.
    """

    key: str
    symbol: str
    expression: str
    inputs: dict[str, Scalar]
    value: Scalar
    unit: str
    source: Source


@record
class Check:
    """Demand against capacity for one thing, with the steps that led there.

    `ratio` is None where there is nothing to compare (recorded, open, not observed, not in the chain). For a pure
    capacity question `demand` and `ratio` are None. `unit` is that of demand and capacity ("lb", "plf" …).
    """

    name: str
    status: Status
    demand: float | None = None
    capacity: float | None = None
    unit: str = "lb"
    ratio: float | None = None
    clause: str = ""
    steps: tuple[Step, ...] = ()
    notes: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()

    def step(self, key: str) -> Step:
        """The step with this key; KeyError when there is none."""
        for step in self.steps:
            if step.key == key:
                return step
        raise KeyError(key)


@record
class LinkResult:
    """One link of a wall line's load path. `link` is "0", "1", "2", "3", "4", "5", "6a", "6b", "7a", "7b" or "8"."""

    link: str
    name: str
    check: Check
    parts: tuple[Check, ...] = ()  # panel by panel, sill piece by sill piece, where the link is checked by part


@record
class MethodOption:
    """One way of making a link: how many it takes, or why it can't be used here."""

    link: str
    method: str  # "through-plate screws", "framing angles", "nailed blocking", "face plates from outside" …
    connector: str  # catalogue key; empty where it takes none
    feasible: bool
    reason: str  # empty when feasible
    count: int | None
    each_lb: float | None
    ratio: float | None
    opens_ceiling: bool
    opens_outside: bool = False
    # Of link 1 by the diaphragm force F_px, beside the story shear (convention 9).
    px_count: int | None = None
    px_feasible: bool = False


@record
class AnchorLedger:
    """What each old bolt of a line brings, and the anchors' ratios with and without them.

    `bolts` holds one check a bolt, in order along the line: capacity is what it brings on the wood side, 0 where it
    does not count; the first note says why. `check` holds the ratios of links 6a and 6b as steps.
    """

    check: Check
    bolts: tuple[Check, ...]


@record
class LineResult:
    """A wall line's whole chain at one force level. Status of the line is that of its weakest link.

    `weakest_link` is the link with the highest ratio (at a tie the earlier one); an open link makes the line "open"
    and `weakest_link` names the first open link, `weakest_ratio` is None.
    """

    label: str
    demand_lb: float
    status: Status
    weakest_link: str | None
    weakest_ratio: float | None
    open_links: tuple[str, ...]  # "load path open at upper to lower plate" …
    links: tuple[LinkResult, ...]
    as_found: tuple[LinkResult, ...]
    as_found_status: Status
    as_found_open: tuple[str, ...]
    options: tuple[MethodOption, ...]
    through_plate: Check | None  # the screw's set-up: jig bar, pilot, penetration, tolerance, out of plumb
    panel_joints_in: tuple[tuple[float, ...], ...] = ()  # by panel: where its pieces meet, from the zero end
    warnings: tuple[str, ...] = ()
    ledger: AnchorLedger | None = None  # None where the line has no old bolt

    def link(self, name: str) -> LinkResult:
        """The link of this name; KeyError when there is none."""
        for link in self.links:
            if link.link == name:
                return link
        raise KeyError(name)


@record
class MassShare:
    """One piece of mass and the wall line that carries its inertia, for a drawing of which mass goes where.

    `outline_ft` is the place in plan, x east, y north: a polygon (roof, floor), two ends (wall) or one point. Each
    direction of the house is served whole, so every mass appears once for each.
    """

    line: str
    level: str
    kind: Literal["area", "wall", "point"]
    outline_ft: tuple[tuple[float, float], ...]
    weight_lb: float


@record
class HouseResult:
    """Everything computed for one house at one force level."""

    code_family: str
    force_level: str
    demand: Check  # weight, base shear, redundancy
    fasteners: tuple[Check, ...]  # each computed or evaluated connector value, once
    lines: tuple[LineResult, ...]
    schedule: Schedule
    assumptions: tuple[str, ...]
    from_memory: tuple[str, ...]  # printed sources that nobody has read yet
    warnings: tuple[str, ...] = field(default=())
    scope: Check | None = None  # the scope screen's answer
    basis: Check | None = None  # the legal basis: force level, R, what the engineer has still to accept
    picture: tuple[MassShare, ...] = ()
    to_accept: tuple[str, ...] = ()  # what the engineer has still to accept before the house may be stamped

    def line(self, label: str) -> LineResult:
        """The line of this label; KeyError when there is none."""
        for line in self.lines:
            if line.label == label:
                return line
        raise KeyError(label)
