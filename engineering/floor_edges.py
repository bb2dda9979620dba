"""What stands on the plates at the floor's edge, and how many of a connector it has room for. Not their values."""

from __future__ import annotations

from typing import NamedTuple

from engineering.connector_values import LineContext
from engineering.errors import OutOfRange
from engineering.inputs import NOT_OBSERVED
from engineering.nail_spacing import row_holds
from engineering.results import Check, Step
from engineering.sources import Source
from engineering.steps import step

BLOCKS, NOTHING = "blocks between joists", "nothing"
NEEDS_BLOCKING = "needs blocking first: nothing stands on the plates to go into, and joists that nothing holds roll"
ROOM = Source("common practice, no source", "", "room to set one beside the next", read="common practice")


class Room(NamedTuple):
    """How many of one connector there is room for: `each` in one block, `places` blocks; one place: all along."""

    places: int
    each: int
    steps: tuple[Step, ...]

    @property
    def total(self) -> int:
        """What all the blocks hold together."""
        return self.places * self.each


class Method(NamedTuple):
    """One way of making link 1 with one connector: its name, its value each, and where the value comes from.

    `room` is None where the layout decides, place by place.
    """

    name: str
    connector: str
    each_lb: float
    check: Check
    room: Room | None = None


def in_blocks(context: LineContext) -> bool:
    """Whether connectors go into blocks between joists; a joist along the line takes them anywhere."""
    return context.line.framing.floor_edge == BLOCKS


def require_edge(context: LineContext) -> None:
    """Raise OutOfRange where nothing stands on the plates for a connector to go into.

    Not observed counts as the joist along the line whose size was measured, printed as an assumption.
    """
    if context.line.framing.floor_edge == NOTHING:
        raise OutOfRange("floor_edge", NOTHING, NEEDS_BLOCKING)


def joist_bays(context: LineContext) -> tuple[int, float]:
    """Bays between joists along the line, and the clear length of one. [-, in] OutOfRange where not observed.

    Joists are taken as thick as what stands on the plates.
    """
    framing, spacing_in = context.line.framing, context.line.framing.joist_spacing_in
    if spacing_in == NOT_OBSERVED:
        raise OutOfRange("joist_spacing_in", spacing_in, "must be observed: it gives the blocks' length and number")
    clear_in = spacing_in - framing.rim_thickness_in
    if clear_in <= 0:
        raise OutOfRange("joist_spacing_in", spacing_in, f"must be more than a joist, {framing.rim_thickness_in:g} in")
    return int(12 * context.length_ft / spacing_in + 1e-9), clear_in


def row_room(context: LineContext, end_in: float, apart_in: float, source: Source) -> Room:
    """Room for one row, `end_in` from the ends of each block or of the line, `apart_in` from one to the next. [in]"""
    places, clear_in = joist_bays(context) if in_blocks(context) else (1, 12 * context.length_ft)
    where = "blocks between joists" if in_blocks(context) else "all along the joist"
    each = row_holds(clear_in, end_in, apart_in)
    steps = (
        step("places", "m", where, places, "-", ROOM),
        step("held_each", "n_m", "1 + (ℓ − 2·e)/s, rounded down", each, "-", source, ℓ=clear_in, e=end_in, s=apart_in),
    )
    return Room(places, each, steps)
