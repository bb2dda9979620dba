"""A sill wider than the studs: nails that a block in a stud bay holds, or the sill cut flush with the studs.

The block is a flat 2x4 on the sill between the studs, flush with their inner face. Beside an anchor, a rod or an end
post it is short or in pieces, and pre-drilled there: short blocks split first. Cut flush, the sill's edge takes the
panel's nails itself.
"""

from __future__ import annotations

from itertools import pairwise
from typing import NamedTuple

from engineering.connector_values import LineContext
from engineering.geometry_factor import EDGE_D
from engineering.inputs import Span, WallLine
from engineering.nail_spacing import DRILLED_DIAMETERS, SPACING_DIAMETERS, row_holds, rows_across
from engineering.panel_shares import Panel
from engineering.plate_washers import axis_in, axis_window
from engineering.results import Step
from engineering.schedule import ScheduleItem
from engineering.sill_anchors import ROLE, new_anchor
from engineering.sources import Source
from engineering.steps import step
from engineering.tie_downs import panel_overturning

BLOCK_WIDTH_IN = 3.5
WASHER_CLEAR_IN = 1.75  # half a 3 in plate washer and a wrench ("common practice, no source")
# No agency text on cutting a sill flush was found.
FLUSH_CUT = Source("Wide sill", "", "cut flush with the studs", "common practice")


class Bay(NamedTuple):
    """One stud bay of a panel: its length stud centre to stud centre, clear, and the block's pieces. [in]"""

    length_in: float
    clear_in: float
    pieces_in: tuple[float, ...]

    @property
    def whole(self) -> bool:
        """Whether one block runs from stud to stud."""
        return len(self.pieces_in) == 1 and self.pieces_in[0] > self.clear_in - 1e-6


def bays(context: LineContext, panel: Panel, anchors: tuple[ScheduleItem, ...]) -> tuple[Bay, ...]:
    """The stud bays in a panel with the blocks that fit between studs, end posts, anchors (old, new) and rods."""
    places_in = tuple(at for row in anchors if row.role == ROLE for at in row.positions_in)
    rods = panel_overturning(context, panel).tension_lb > 0
    asked = ("bays", panel.number, places_in, rods)
    return context.surveyed(asked, lambda bare: _bays(bare.line, panel.span, places_in, rods=rods))


def _bays(line: WallLine, span: Span, places_in: tuple[float, ...], *, rods: bool) -> tuple[Bay, ...]:
    post, from_in, to_in = line.end_post, 12 * span.from_ft, 12 * span.to_ft
    inner = [at for at in line.framing.stud_centrelines_in if from_in + 1e-9 < at < to_in - 1e-9]
    closed = [
        (at - line.framing.stud_thickness_in / 2, at + line.framing.stud_thickness_in / 2)
        for at in line.framing.stud_centrelines_in
    ]
    closed += [(from_in, from_in + post.width_in), (to_in - post.width_in, to_in)]
    axes = [*(12 * old.at_ft for old in line.existing_anchors), *places_in]
    if rods:
        axes += [from_in + post.rod_from_end_in, to_in - post.rod_from_end_in]
    closed += [(at - WASHER_CLEAR_IN, at + WASHER_CLEAR_IN) for at in axes]
    closed.sort()
    stud_in = line.framing.stud_thickness_in
    return tuple(
        Bay(b - a, b - a - stud_in, _open_lengths(closed, a, b)) for a, b in pairwise((from_in, *inner, to_in))
    )


def _open_lengths(closed: list[tuple[float, float]], from_in: float, to_in: float) -> tuple[float, ...]:
    at_in, found = from_in, list[float]()
    for low, high in closed:
        if high <= from_in or low >= to_in:
            continue
        if low > at_in + 1e-9:
            found.append(low - at_in)
        at_in = max(at_in, high)
    if to_in > at_in + 1e-9:
        found.append(to_in - at_in)
    return tuple(found)


class Blocks(NamedTuple):
    """A panel's blocks for one nail: bays, what each holds, the widest [in]; nails in a row and rows of a block."""

    bays: tuple[Bay, ...]
    held: tuple[int, ...]
    widest_in: float
    clear_in: float
    one_row: int
    rows: int


def blocks(context: LineContext, panel: Panel, anchors: tuple[ScheduleItem, ...], diameter_in: float) -> Blocks:
    """What the blocks in a panel's bays hold of nails of this diameter. [in]"""
    inside = bays(context, panel, anchors)
    return context.surveyed(("blocks", inside, diameter_in), lambda bare: _blocks(bare, inside, diameter_in))


def _blocks(context: LineContext, inside: tuple[Bay, ...], diameter_in: float) -> Blocks:
    clear_in = max(bay.clear_in for bay in inside)
    return Blocks(
        inside,
        tuple(nails_a_bay_holds(context, bay, diameter_in) for bay in inside),
        max(bay.length_in for bay in inside),
        clear_in,
        nails_in_a_row(clear_in, diameter_in),
        rows_a_block_takes(context, diameter_in),
    )


def nails_in_a_row(length_in: float, diameter_in: float, *, drilled: bool = False) -> int:
    """How many nails one row on a block holds: 15 diameters to its ends and to each other, 10 where it is drilled."""
    apart_in = (DRILLED_DIAMETERS if drilled else SPACING_DIAMETERS) * diameter_in
    return row_holds(length_in, apart_in, apart_in)


def rows_a_block_takes(context: LineContext, diameter_in: float) -> int:
    """Rows of nails across a block, at most two: 2.5 diameters to its edges, 5 between the rows; 0 on a narrow one."""
    return rows_across(min(BLOCK_WIDTH_IN, context.line.framing.stud_depth_in), diameter_in)


def nails_a_bay_holds(context: LineContext, bay: Bay, diameter_in: float) -> int:
    """Nails on all pieces of the block in one bay, in as many rows as it takes; pieces are pre-drilled."""
    rows = rows_a_block_takes(context, diameter_in)
    drilled = not bay.whole
    return rows * sum([nails_in_a_row(length_in, diameter_in, drilled=drilled) for length_in in bay.pieces_in])


def shortest_block_in(diameter_in: float) -> float:
    """The shortest block that holds a nail at all, pre-drilled. [in]"""
    return 2 * DRILLED_DIAMETERS * diameter_in


def flush_cut(context: LineContext) -> tuple[str, tuple[Step, ...]]:
    """Why the sill can't be cut flush with the studs, empty where it can; depth of the cut and what stays, as steps.

    What stays must take the end post's bearing, the bolts' edge distance of 1.5 diameters and a plate washer.
    """
    return context.surveyed("flush cut", _flush_cut)


def _flush_cut(context: LineContext) -> tuple[str, tuple[Step, ...]]:
    line, framing = context.line, context.line.framing
    stays_in = min(framing.sill_width_in, framing.stud_depth_in)
    steps = [
        step("cut_depth_in", "d_cut", "w_sill − w_stud", framing.sill_width_in - stays_in, "in", FLUSH_CUT,
             w_sill=framing.sill_width_in, w_stud=framing.stud_depth_in),
        step("sill_stays_in", "w", "width of the sill that stays", stays_in, "in", FLUSH_CUT),
        step("post_depth_in", "d_post", "at most w, to bear whole", line.end_post.depth_in, "in", FLUSH_CUT,
             w=stays_in),
    ]  # fmt: skip
    reasons = list[str]()
    if line.end_post.depth_in > stays_in + 1e-9:
        reasons.append(f"an end post {line.end_post.depth_in:g} in deep does not bear whole on {stays_in:g} in of sill")
    for old in line.existing_anchors:
        across_in = axis_in(line, old)
        if not old.accepted or across_in is None:
            continue
        least_in = EDGE_D * old.diameter_in
        steps.append(
            step("bolt_to_cut_in", "e", "w − x, at least 1.5·D", stays_in - across_in, "in", FLUSH_CUT,
                 w=stays_in, x=across_in, D=old.diameter_in)
        )  # fmt: skip
        if stays_in - across_in < least_in - 1e-9:
            left_in = stays_in - across_in
            reasons.append(f"the cut leaves {left_in:g} in at the bolt at {old.at_ft:g} ft, {least_in:g} in needed")
    if key := line.methods.sill_anchor:
        anchor = new_anchor(context, key).connector
        window = axis_window(line, anchor.diameter_in, anchor.minimum_edge_in)
        if window.reason:
            reasons.append(f"{key}: {window.reason}")
    return "; ".join(reasons), tuple(steps)
