"""Link 1 by new blocking: nailing blocks on the plate, nailed down into it and sideways into what carries the floor."""

from __future__ import annotations

from dataclasses import replace

from engineering.adjustments import END_GRAIN_LATERAL, end_grain_factor
from engineering.connector_values import BLOCK_THICKNESS_IN, LineContext
from engineering.errors import OutOfRange
from engineering.floor_diaphragm import RIM_WAIVER
from engineering.floor_edges import BLOCKS, NOTHING, ROOM, Method, Room, joist_bays
from engineering.inputs import Nail
from engineering.link_checks import count_for
from engineering.nail_spacing import ACROSS_DIAMETERS, EDGE_DIAMETERS, NAIL_SPACING, SPACING_DIAMETERS, row_holds
from engineering.results import Check, Step
from engineering.steps import step

ROLE = "blocking nails"
BLOCKING = "nailed blocking"
# A nailing block is 1-1/2 × 1-1/2 in, the same to nail through down and sideways ("common practice, no source").
BLOCK_IN = BLOCK_THICKNESS_IN
ACROSS_BLOCK_FT = 1.0  # blocks across the plates stand no closer than one to a foot


def method(context: LineContext, key: str) -> Method:
    """Blocking with this catalogue nail: value of a nail and room for them. [lb] OutOfRange where it can't be used.

    A joist along the line takes one nailing block on its inner side, in pieces between the joists that meet it;
    blocks between joists take one each. Where nothing stands on the plates there is a new block of the joists' full
    depth in each bay (joists across the line) or across the plates between the end joist and the next (joists along
    it), with its nailing blocks. The least of down, sideways and, across the plates, the ends counts. 15 diameters
    from nail to nail and to the ends.
    """
    return context.surveyed(("blocking", key), lambda bare: _method(bare, key))


def blocks_needed(context: LineContext, chosen: Method, demand_lb: float) -> int:
    """In how many bays blocks are set: by demand, by the maximum spacing, every other one where nothing stood. [-]"""
    assert chosen.room is not None
    if chosen.room.places == 1 or not chosen.room.each:
        return 1
    spacing_in = context.inputs.criteria.maximum_connector_spacing_in
    by_demand = count_for(demand_lb / (chosen.room.each * chosen.each_lb))
    by_spacing = count_for(12 * context.length_ft / spacing_in)
    return max(by_demand, by_spacing, _upright(context, chosen.room.places))


def nails_needed(context: LineContext, chosen: Method, demand_lb: float) -> int:
    """Nails down into the plate: the same number in every block, at least two in each."""
    blocks = blocks_needed(context, chosen, demand_lb)
    least = 2 if chosen.room and chosen.room.places > 1 else 0
    return blocks * max(least, count_for(demand_lb / chosen.each_lb / blocks))


def note(context: LineContext, chosen: Method, count: int, demand_lb: float) -> str:
    """What the crew builds, in words for the schedule."""
    blocks = blocks_needed(context, chosen, demand_lb)
    if blocks == 1:
        return "down into the plate, as many sideways into the joist"
    return f"{count // blocks} down in each of {blocks} blocks, as many sideways"


def _upright(context: LineContext, bays: int) -> int:
    """Bays that must have a full-depth block so that the joists stay upright: every other one where nothing stood."""
    framing = context.line.framing
    nothing = framing.floor_edge == NOTHING and framing.joists == "perpendicular"
    return count_for(bays / 2) if nothing else 0


def _method(context: LineContext, key: str) -> Method:
    nail, values, line = context.values.nail(key), context.values, context.line
    across = line.framing.floor_edge == NOTHING and line.framing.joists == "parallel"
    _require_ledge(context, nail)
    room = _room_across(context, nail) if across else _room(context, nail)
    down, sideways = values.block_to_plate(line, nail), values.block_to_joist(line, nail)
    assert down.capacity is not None
    assert sideways.capacity is not None
    weaker = down if down.capacity <= sideways.capacity else sideways
    steps = (
        *room.steps,
        step("down_lb", "Z_d", "through the nailing block into the plate", down.capacity, "lb", NAIL_SPACING),
        step("sideways_lb", "Z_s", "through the nailing block into joist or block", sideways.capacity, "lb",
             NAIL_SPACING),
        *(_ends(context, nail, room, min(down.capacity, sideways.capacity)) if across else ()),
    )  # fmt: skip
    check = replace(weaker, name=f"{nail.name}, {BLOCKING}", steps=(*weaker.steps, *steps))
    assert check.capacity is not None
    return Method(BLOCKING, key, check.capacity, check, room)


def _require_ledge(context: LineContext, nail: Nail) -> None:
    """Raise OutOfRange unless the plate leaves a nailing block's width beside what stands on it."""
    framing = context.line.framing
    if framing.floor_edge == NOTHING and framing.joists == "parallel":
        return  # the block lies across the plates
    width_in = framing.sill_width_in if context.on_sill else framing.plate_width_in
    standing_in = BLOCK_IN if framing.floor_edge == NOTHING else framing.rim_set_back_in + framing.rim_thickness_in
    if width_in - standing_in < BLOCK_IN - 1e-9:
        allowed = f"must leave {BLOCK_IN:g} in of the {width_in:g} in plate beside the joist for a nailing block"
        raise OutOfRange("rim_set_back_in", framing.rim_set_back_in, allowed)
    if EDGE_DIAMETERS * nail.diameter_in > BLOCK_IN / 2:
        most_in = BLOCK_IN / 2 / EDGE_DIAMETERS
        raise OutOfRange("diameter_in", nail.diameter_in, f"must be at most {most_in:g} in: the block splits")


def _room(context: LineContext, nail: Nail) -> Room:
    """One row of nails in each nailing block, in one piece only along a joist that nothing meets."""
    framing, spacing_in = context.line.framing, SPACING_DIAMETERS * nail.diameter_in
    pieces = framing.joists == "perpendicular" or framing.floor_edge == BLOCKS
    places, clear_in = joist_bays(context) if pieces else (1, 12 * context.length_ft)
    each = row_holds(clear_in, spacing_in, spacing_in)
    if not each:
        allowed = f"must leave {2 * spacing_in:g} in clear: 15 diameters to each end of a block"
        raise OutOfRange("joist_spacing_in", framing.joist_spacing_in, allowed)
    steps: tuple[Step, ...] = (
        step("places", "m", "bays between joists" if pieces else "one block all along", places, "-", ROOM),
        step("held_each", "n_m", "1 + (ℓ − 2·15·D)/(15·D), rounded down", each, "nails", NAIL_SPACING,
             ℓ=clear_in, D=nail.diameter_in),
    )  # fmt: skip
    if upright := _upright(context, places):
        rule = RIM_WAIVER["perpendicular"][context.inputs.criteria.code_family]
        steps = (*steps, step("upright", "m_min", "m/2, every other bay", upright, "-", rule, m=places))
    return Room(places, each, steps)


def _room_across(context: LineContext, nail: Nail) -> Room:
    """Blocks across the plates: a row on the plate's width in the nailing block at each of their two sides."""
    framing = context.line.framing
    d_in, width_in = nail.diameter_in, framing.sill_width_in if context.on_sill else framing.plate_width_in
    row = row_holds(width_in, EDGE_DIAMETERS * d_in, ACROSS_DIAMETERS * d_in)
    places = int(context.length_ft / ACROSS_BLOCK_FT + 1e-9)
    steps = (
        step("places", "m", "at most a block to a foot", places, "-", ROOM, L=context.length_ft),
        step("held_each", "n_m", "2·(1 + (w − 2·2.5·D)/(10·D)), the row rounded down", 2 * row, "nails", NAIL_SPACING,
             w=width_in, D=d_in),
    )  # fmt: skip
    return Room(places, 2 * row, steps)


def _ends(context: LineContext, nail: Nail, room: Room, each_lb: float) -> tuple[Step, ...]:
    """Nails through the joists into both ends of a full block across the plates, so that it can't roll or slip."""
    value: Check = context.values.joist_to_block_end(context.line, nail)
    assert value.capacity is not None
    end_lb = value.capacity * END_GRAIN_LATERAL
    needed = count_for(room.each * each_lb / (2 * end_lb))
    depth_in = context.line.framing.rim_depth_in
    held = row_holds(depth_in, EDGE_DIAMETERS * nail.diameter_in, ACROSS_DIAMETERS * nail.diameter_in)
    if needed > held:
        raise OutOfRange("rim_depth_in", depth_in, f"must hold {needed} nails into each end of a block, holds {held}")
    return (
        end_grain_factor(END_GRAIN_LATERAL),
        step("end_nails", "n_e", "n_m·Z/(2·Z_e·C_eg), rounded up, each end of a full block", needed, "nails",
             NAIL_SPACING, n_m=room.each, Z=each_lb, Z_e=value.capacity, C_eg=END_GRAIN_LATERAL),
    )  # fmt: skip
