"""What an old sill bolt counts for: accepted, far enough from its sill end, a washer that fits, the concrete shown.

Zero until accepted; zero in the concrete until every light-frame condition is shown; zero outside the panels.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from engineering import plate_washers
from engineering.clauses import LIGHT_FRAME_ANCHORS
from engineering.connector_values import LineContext
from engineering.fasteners import SILL_BOLT_EMBEDMENT_IN
from engineering.footings import (
    END_DIAMETERS,
    LEAST_END_DIAMETERS,
    Foot,
    end_distance_in,
    end_factor,
    foot_of,
    unfit_foundation,
)
from engineering.geometry_factor import EDGE_D, SPACING_FULL_D
from engineering.inputs import NOT_OBSERVED, ExistingAnchor, NotObserved, WallLine
from engineering.results import Step
from engineering.steps import step

OUTSIDE = "outside the panels: it would count only through a sill piece checked as a drag member, which is not done"
GREATEST_DIAMETER_IN, LEAST_EMBEDMENT_IN, LEAST_EDGE_IN, LEAST_CORNER_DIAMETERS = 0.625, 7.0, 1.75, 15.0
# A full-sawn sill measures its nominal 2 or 3 in.
SILL_FROM_IN, SILL_TO_IN = 1.5, 3.0


def light_frame_shown(line: WallLine, anchor: ExistingAnchor) -> tuple[bool, str]:
    """Whether all conditions are shown under which a sill bolt's concrete side need not be computed, and if not why.

    At most 5/8 in, at least 7 in embedded, 1-3/4 in from the edge along the sill, 15 diameters from the end, a sill of
    2 or 3 in nominal. IBC 1905.1.8 exception 1.
    """
    why, _ = _light_frame(
        anchor.diameter_in, anchor.embedment_in, anchor.edge_in, anchor.end_in, line.framing.sill_thickness_in
    )
    return not why, why or "all shown"


def light_frame_steps(line: WallLine, anchor: ExistingAnchor) -> tuple[Step, ...]:
    """Each light-frame condition of an old bolt with what was measured."""
    return _light_frame(
        anchor.diameter_in, anchor.embedment_in, anchor.edge_in, anchor.end_in, line.framing.sill_thickness_in
    )[1]


@lru_cache(maxsize=4096)
def _light_frame(
    diameter_in: float,
    embedment_in: float | NotObserved,
    edge_in: float | NotObserved,
    end_in: float | NotObserved,
    sill_in: float,
) -> tuple[str, tuple[Step, ...]]:
    """The first condition that is not shown, and all of them as steps."""
    corner_in = LEAST_CORNER_DIAMETERS * diameter_in
    why = ""
    if diameter_in > GREATEST_DIAMETER_IN:
        why = "larger than 5/8 in"
    elif not SILL_FROM_IN <= sill_in <= SILL_TO_IN:
        why = "sill not 2 or 3 in nominal"
    for value, least, what in (
        (embedment_in, LEAST_EMBEDMENT_IN, "embedment under 7 in"),
        (edge_in, LEAST_EDGE_IN, "edge distance under 1-3/4 in"),
        (end_in, corner_in, "end distance under 15 diameters"),
    ):
        if value == NOT_OBSERVED:
            why = why or f"{what.split(' under')[0]} not observed"
        elif value < least - 1e-9:
            why = why or what
    source = LIGHT_FRAME_ANCHORS
    return why, (
        step("light_frame_diameter_in", "D", "at most D_max", diameter_in, "in", source, D_max=GREATEST_DIAMETER_IN),
        step("light_frame_embedment_in", "h_ef", "at least h_min", embedment_in, "in", source,
             h_min=LEAST_EMBEDMENT_IN),
        step("light_frame_edge_in", "c_1", "at least c_min from the edge along the sill", edge_in, "in", source,
             c_min=LEAST_EDGE_IN),
        step("light_frame_end_in", "c_2", "at least 15·D from the end of the wall", end_in, "in", source,
             D=diameter_in),
        step("light_frame_sill_in", "t", "2 or 3 in nominal, from t_min to t_max", sill_in, "in", source,
             t_min=SILL_FROM_IN, t_max=SILL_TO_IN),
        step("light_frame_shown", "shown", "all five", not why, "-", source),
    )  # fmt: skip


def counted(line: WallLine, anchor: ExistingAnchor) -> str:
    """Why an old bolt counts as nothing today; empty where it counts. Not accepted, near its sill end or a bolt."""
    if not anchor.accepted:
        return ": ".join(filter(None, (f"bolt at {anchor.at_ft:g} ft not accepted", anchor.reason)))
    if not end_factor(line, anchor.at_ft, anchor.diameter_in):
        return (
            f"bolt at {anchor.at_ft:g} ft is nearer than {LEAST_END_DIAMETERS:g} diameters to the end of its sill piece"
        )
    apart_ft = SPACING_FULL_D * anchor.diameter_in / 12
    if any(other.accepted and 0 < anchor.at_ft - other.at_ft < apart_ft - 1e-9 for other in line.existing_anchors):
        return f"bolt at {anchor.at_ft:g} ft is nearer than {SPACING_FULL_D:g} diameters to the one before"
    return ""


def wood_value_lb(context: LineContext, anchor: ExistingAnchor) -> float:
    """Wood side of an old bolt by its end distance; 6 in of embedment taken where it was not observed. [lb]"""
    embedment_in = SILL_BOLT_EMBEDMENT_IN if anchor.embedment_in == NOT_OBSERVED else anchor.embedment_in
    value_lb = context.values.sill_bolt(context.line, anchor.diameter_in, embedment_in).capacity
    assert value_lb is not None
    return value_lb * end_factor(context.line, anchor.at_ft, anchor.diameter_in)


class OldBolt(NamedTuple):
    """One old bolt in the strengthened line: what it brings [lb], why not, and the washer that it still needs."""

    anchor: ExistingAnchor
    foot: Foot | None
    why_not: str  # why it counts as nothing; empty where it counts
    wood_lb: float
    end_factor: float
    concrete_lb: float
    why_no_concrete: str
    washer_in: float | None  # side of the plate washer under a panel, None outside one
    washer_found: str  # what is wrong with the one that is there, empty where it stays

    @property
    def at_full_end(self) -> bool:
        """Whether it counts towards the least number of anchors of its panel and sill piece: 7 D from the end."""
        return not self.why_not and self.end_factor == 1.0


def old_bolts(context: LineContext) -> tuple[OldBolt, ...]:
    """Every old bolt of the line, in order."""
    return context.surveyed("old bolts", lambda bare: tuple(_old_bolt(bare, one) for one in _in_order(bare.line)))


def _in_order(line: WallLine) -> list[ExistingAnchor]:
    return sorted(line.existing_anchors, key=lambda anchor: anchor.at_ft)


def _old_bolt(context: LineContext, anchor: ExistingAnchor) -> OldBolt:
    line, foot = context.line, foot_of(context, anchor.at_ft)
    why_not, washer_in, found = counted(line, anchor), None, ""
    if not why_not and foot is None:
        why_not = OUTSIDE
    if not why_not and foot is not None and foot.panel is not None:
        why_not, washer_in, found = _washer(line, anchor)
    if why_not:
        return OldBolt(anchor, foot, why_not, 0.0, 0.0, 0.0, "", washer_in, found)
    factor, wood_lb = end_factor(line, anchor.at_ft, anchor.diameter_in), wood_value_lb(context, anchor)
    no_concrete = unfit_foundation(line.foundation)
    if not no_concrete:
        shown, why = light_frame_shown(line, anchor)
        no_concrete = "" if shown else why
    # The end of the sill piece weakens the wood alone: in the concrete the whole value counts.
    concrete_lb = 0.0 if no_concrete else wood_lb / factor
    return OldBolt(anchor, foot, "", wood_lb, factor, concrete_lb, no_concrete, washer_in, found)


def _washer(line: WallLine, anchor: ExistingAnchor) -> tuple[str, float, str]:
    """Why the bolt can't stand under a panel, its washer's side there, what is wrong with the one that is there."""
    across_in = plate_washers.axis_in(line, anchor)
    side_in, reason = (plate_washers.SIDE_IN, "") if across_in is None else plate_washers.washer_for(line, across_in)
    if not reason and across_in is not None:
        least_in = EDGE_D * anchor.diameter_in
        if plate_washers.bearing_width_in(line) - across_in < least_in - 1e-9:
            reason = f"nearer than {least_in:g} in to the edge of the sill that stays"
    where = f"bolt at {anchor.at_ft:g} ft: {reason}" if reason else ""
    return where, side_in, plate_washers.too_small(anchor, side_in)


@dataclass(frozen=True, slots=True)
class Credit:
    """What the old bolts in a footing bring. [lb] `least` of them count towards its least number."""

    count: int
    least: int
    wood_lb: float
    concrete_lb: float


def credit(context: LineContext, foot: Foot) -> Credit:
    """Old bolts inside a footing: wood value for all that count, concrete only where the conditions are shown."""
    return context.surveyed(("credit", foot.panel, foot.piece), lambda bare: _credit(bare, foot.place))


def _credit(context: LineContext, place: tuple[int | None, int]) -> Credit:
    good = [bolt for bolt in old_bolts(context) if bolt.foot and bolt.foot.place == place and not bolt.why_not]
    return Credit(
        len(good),
        sum([bolt.at_full_end for bolt in good]),
        sum([bolt.wood_lb for bolt in good], 0.0),
        sum([bolt.concrete_lb for bolt in good], 0.0),
    )


def piece_credit(context: LineContext, piece: int) -> int:
    """Old bolts that count towards the least number of a sill piece, in its panels and between them."""
    return context.surveyed(("piece credit", piece), lambda bare: _piece_credit(bare, piece))


def _piece_credit(context: LineContext, piece: int) -> int:
    span = context.line.sill_pieces[piece - 1]
    return sum(
        span.from_ft <= bolt.anchor.at_ft <= span.to_ft and (bolt.at_full_end or _stands_between(context.line, bolt))
        for bolt in old_bolts(context)
    )


def _stands_between(line: WallLine, bolt: OldBolt) -> bool:
    """A sound bolt outside the panels holds its sill piece down, though it carries none of their shear."""
    return bolt.why_not == OUTSIDE and end_factor(line, bolt.anchor.at_ft, bolt.anchor.diameter_in) == 1.0


def washers_to_fit(context: LineContext) -> tuple[str, ...]:
    """Plate washers to fit on old bolts that count under a panel, one sentence a size, by place."""
    return context.surveyed("washers to fit", _washers_to_fit)


def _washers_to_fit(context: LineContext) -> tuple[str, ...]:
    sizes: dict[float, list[str]] = {}
    for bolt in old_bolts(context):
        if not bolt.why_not and bolt.washer_in is not None and bolt.washer_found:
            sizes.setdefault(bolt.washer_in, []).append(f"{bolt.anchor.at_ft:g} ft")
    return tuple(
        f"fit {len(places)} plate washer{'s' if len(places) > 1 else ''} {side_in:g} × {side_in:g} × "
        f"{plate_washers.THICKNESS_IN:g} in on the old bolts at {', '.join(places)}"
        for side_in, places in sorted(sizes.items())
    )


def end_note(line: WallLine, at_ft: float, diameter_in: float) -> str:
    """What the end distance of an anchor that still counts takes off its wood value."""
    diameters = end_distance_in(line, at_ft) / diameter_in
    return f"{diameters:.1f} of {END_DIAMETERS:g} diameters from the end of its sill piece"
