"""What the anchors of a line's schedule bring where they stand, foot by foot. Nothing of the shear that they carry."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from engineering.anchor_credit import credit, end_note, old_bolts, piece_credit
from engineering.anchor_layout import rods_in
from engineering.clauses import LIGHT_FRAME_ANCHORS
from engineering.connector_values import LineContext
from engineering.footings import (
    END_DIAMETERS,
    LEAST_END_DIAMETERS,
    SHARES,
    Foot,
    concrete_end_in,
    end_distance_in,
    end_factor,
    feet,
    piece_minimum,
    piece_steps,
)
from engineering.geometry_factor import NDS_END, SPACING_FULL_D
from engineering.inputs import Span
from engineering.link_checks import shortfall, value_step
from engineering.plate_washers import WASHER, near_edge_step
from engineering.results import Step
from engineering.schedule import ScheduleItem
from engineering.side_connections import choice, headroom_step
from engineering.sill_anchors import ROLE, SIDE_ROLE, NewAnchor, adhesive_steps, least_apart_in, new_anchor
from engineering.steps import step


@dataclass(frozen=True, slots=True)
class Standing:
    """The anchors of one row that count: how many, the sum of their end-distance factors, at full end distance."""

    anchor: NewAnchor
    count: int
    factors: float
    at_full_end: int
    lost: tuple[str, ...]
    places_in: tuple[float, ...] = ()

    def lb(self, link: str) -> float:
        """What they bring on one side: the sill's end takes off the wood side alone. [lb]"""
        return (self.factors if link == "6a" else self.count) * self.anchor.lb(link)


class Held(NamedTuple):
    """What old and new anchors bring to one foot on one side, with the steps that no shear decides.

    `each`: what one new anchor brings, None where none counts; `one_more_lb`: what one more would.
    """

    piece: Step
    counted: tuple[Step, ...]
    each: Step | None
    summed: tuple[Step, ...]
    old_lb: float
    capacity_lb: float
    one_more_lb: float
    clause: str
    reasons: tuple[str, ...]  # why anchors count as nothing, or for less
    notes: tuple[str, ...]


def held(context: LineContext, rows: tuple[ScheduleItem, ...], link: str) -> tuple[Held, ...]:
    """What the line's anchors bring to each of its feet, on the side of link 6a or 6b."""
    rods = rods_in(context)
    asked = ("held", link, rows, rods)
    return context.surveyed(asked, lambda bare: tuple([_held(bare, foot, rows, rods, link) for foot in feet(bare)]))


def _held(context: LineContext, foot: Foot, rows: tuple[ScheduleItem, ...], rods: tuple[float, ...], link: str) -> Held:
    old = credit(context, foot)
    old_lb, source = (old.wood_lb, SHARES) if link == "6a" else (old.concrete_lb, LIGHT_FRAME_ANCHORS)
    here = [standing(context, row, rows, rods) for row in rows if (row.panel, row.piece) == foot.place]
    good = [one for one in here if one.anchor.side(link) is not None]
    reasons = [reason for one in here for reason in one.lost]
    reasons += [
        f"{one.anchor.connector.key} can't be counted in this concrete ({one.anchor.reason})"
        for one in here
        if one.anchor.side(link) is None
    ]
    new_count, capacity_lb = sum([one.count for one in good]), old_lb + sum([one.lb(link) for one in good])
    last = good[-1].anchor.side(link) if good else None
    return Held(
        piece=step("sill_piece", "piece", "sill piece under it", foot.piece, "-", SHARES),
        counted=(
            step("accepted_inside", "n_old", "accepted bolts inside", old.count, "bolts", SHARES),
            step("credit_lb", "credit", "their value on this side", old_lb, "lb", source, n_old=old.count),
            step("new", "n", "new anchors", new_count, "-", SHARES),
        ),
        each=value_step("each_lb", last) if last else None,
        summed=_summed(context, good, link, old_lb, capacity_lb),
        old_lb=old_lb,
        capacity_lb=capacity_lb,
        one_more_lb=good[-1].anchor.lb(link) if good else _chosen_lb(context, link),
        clause=last.clause if last else str(SHARES),
        reasons=tuple(reasons),
        notes=_old_notes(context, foot, link),
    )


def _summed(
    context: LineContext, good: list[Standing], link: str, old_lb: float, capacity_lb: float
) -> tuple[Step, ...]:
    """How old and new anchors add up."""
    if not good:
        return (step("capacity_lb", "capacity", "credit alone", capacity_lb, "lb", SHARES, credit=old_lb),)
    steps, each_lb = list[Step](), good[-1].anchor.lb(link)
    new_count, factors = sum([one.count for one in good]), sum([one.factors for one in good])
    expression, values = "credit + n·Z'", {"credit": old_lb, "n": new_count, "Z'": each_lb}
    if link == "6a" and factors < new_count - 1e-9:
        steps.append(
            step("end_factors", "ΣC_Δ", "sum of end/(7·D) of each anchor, at most 1", factors, "-", NDS_END,
                 D=good[-1].anchor.connector.diameter_in, **_ends(context, good))
        )  # fmt: skip
        expression, values = "credit + ΣC_Δ·Z'", {"credit": old_lb, "ΣC_Δ": factors, "Z'": each_lb}
    if len({one.anchor.connector.key for one in good}) > 1:
        expression = "credit + sum over the connectors"
        values = {"credit": old_lb, **{one.anchor.connector.key: one.lb(link) for one in good}}
    return (*steps, step("capacity_lb", "capacity", expression, capacity_lb, "lb", SHARES, **values))


def _ends(context: LineContext, good: list[Standing]) -> dict[str, float]:
    """End distance of each anchor by its number along the footing. [in]"""
    places_in = sorted(at_in for one in good for at_in in one.places_in)
    return {f"end_{number}": end_distance_in(context.line, at_in / 12) for number, at_in in enumerate(places_in, 1)}


def _old_notes(context: LineContext, foot: Foot, link: str) -> tuple[str, ...]:
    """Why old bolts on this foot count as nothing, or for less, on this side."""
    found = []
    for bolt in old_bolts(context):
        if bolt.foot is None or bolt.foot.place != foot.place:
            continue
        if bolt.why_not:
            found.append(bolt.why_not)
        elif link == "6b" and bolt.why_no_concrete:
            found.append(f"bolt at {bolt.anchor.at_ft:g} ft: {bolt.why_no_concrete}")
        elif link == "6a" and bolt.end_factor < 1.0:
            at_ft, diameter_in = bolt.anchor.at_ft, bolt.anchor.diameter_in
            found.append(f"bolt at {at_ft:g} ft is {end_note(context.line, at_ft, diameter_in)}")
    return tuple(found)


def _chosen_lb(context: LineContext, link: str) -> float:
    """What one more of the line's chosen anchor would bring on this side, 0 where none was chosen or counts."""
    _, key = choice(context)
    return new_anchor(context, key).lb(link) if key else 0.0


def standing(
    context: LineContext, row: ScheduleItem, rows: tuple[ScheduleItem, ...], rods: tuple[float, ...]
) -> Standing:
    """How many anchors of a row stand where they count: in their footing, off the sill's ends, 4 diameters apart.

    Further apart, and off the concrete's ends, where the report asks for it; none through a stud or an end post.
    Nearer than 7 diameters to the end of the sill piece an anchor counts by C_Δ, nearer than 3.5 not at all; a side
    connection has no such factor. A row without places is taken as standing well, unless its report states distances.
    `rows`: all of the line, which stand apart from each other as well, and from its tie-down rods at `rods`. [in]
    """
    return context.surveyed(("standing", row, rows, rods), lambda bare: _standing(bare, row, rows, rods))


def _standing(
    context: LineContext, row: ScheduleItem, rows: tuple[ScheduleItem, ...], rods: tuple[float, ...]
) -> Standing:
    anchor, line = new_anchor(context, row.connector), context.line
    if not row.positions_in:
        if anchor.connector.minimum_end_in is None and anchor.connector.minimum_spacing_in is None:
            return Standing(anchor, row.count, float(row.count), row.count, ())
        unplaced = f"{row.count} anchors without places: {anchor.connector.report} asks for distances from them"
        return Standing(anchor, 0, 0.0, 0, (unplaced,))
    diameter_in = anchor.connector.diameter_in
    others = [at for one in rows if one is not row for at in one.positions_in]
    within, where = _within(context, row)
    lost, factors, places = list[str](), list[float](), list[float]()
    end_in, apart_in = anchor.connector.minimum_end_in, least_apart_in(anchor.connector)
    apart = f"{SPACING_FULL_D:g} diameters"
    if apart_in > SPACING_FULL_D * diameter_in + 1e-9:
        apart = f"the {apart_in:g} in of its report"
    near = rods if anchor.connector.minimum_spacing_in is not None else ()
    old = [(12 * bolt.at_ft, max(bolt.diameter_in, diameter_in)) for bolt in line.existing_anchors if bolt.accepted]
    for at_in in sorted(row.positions_in):
        named, factor = f"anchor at {at_in:g} in", end_factor(line, at_in / 12, diameter_in)
        least = END_DIAMETERS if row.role == SIDE_ROLE else LEAST_END_DIAMETERS
        if not within.from_ft - 1e-6 <= at_in / 12 <= within.to_ft + 1e-6:
            lost.append(f"{named} stands outside {where}")
        elif factor < least / END_DIAMETERS - 1e-6:
            lost.append(f"{named} is nearer than {least:g} diameters to the end of its sill piece")
        elif row.role == ROLE and (stud := _in_the_way(context, at_in)):
            lost.append(f"{named} can't be: {stud} stands there")
        elif end_in is not None and concrete_end_in(line, at_in) < end_in - 1e-9:
            lost.append(
                f"{named} is {concrete_end_in(line, at_in):.3g} in from the concrete's end: {_asks(anchor, end_in)}"
            )
        elif any(0 <= at_in - at < apart_in - 1e-9 for at in (*places[-1:], *others)):
            lost.append(f"{named} is nearer than {apart} to the one before")
        elif any(abs(at_in - at) < max(apart_in, SPACING_FULL_D * wider_in) - 1e-9 for at, wider_in in old):
            lost.append(f"{named} is nearer than {apart} to an old bolt that counts")
        elif any(abs(at_in - at) < apart_in - 1e-9 for at in near):
            lost.append(f"{named} is nearer than {apart} to a tie-down rod")
        else:
            factors.append(factor)
            places.append(at_in)
    lost += [
        f"anchor at {at_in:g} in is {end_note(line, at_in / 12, diameter_in)}: {factor:.2f} of its value in wood"
        for at_in, factor in zip(places, factors, strict=True)
        if factor < 1.0
    ]
    full = sum(factor == 1.0 for factor in factors)
    return Standing(anchor, len(factors), sum(factors), full, tuple(lost), tuple(places))


def _asks(anchor: NewAnchor, least_in: float) -> str:
    return f"{anchor.connector.report} asks for at least {least_in:g} in"


def _in_the_way(context: LineContext, at_in: float) -> str:
    """The stud or end post on whose footprint a place lies; empty where it stands between them."""
    framing, post_in = context.line.framing, context.line.end_post.width_in
    stud = next(
        (at for at in framing.stud_centrelines_in if abs(at - at_in) < framing.stud_thickness_in / 2 - 1e-6), None
    )
    if stud is not None:
        return f"the stud at {stud:g} in"
    for number, panel in enumerate(context.line.panels, 1):
        from_in, to_in = 12 * panel.from_ft, 12 * panel.to_ft
        if from_in + 1e-6 < at_in < from_in + post_in - 1e-6 or to_in - post_in + 1e-6 < at_in < to_in - 1e-6:
            return f"an end post of panel {number}"
    return ""


def _within(context: LineContext, row: ScheduleItem) -> tuple[Span | Foot, str]:
    """The stretch that a row belongs to: its footing, or its sill piece where it stands between the panels."""
    for foot in feet(context):
        if foot.place == (row.panel, row.piece):
            return foot, foot.name
    if row.piece is not None and row.panel is None:
        return context.line.sill_pieces[row.piece - 1], f"sill piece {row.piece}"
    return Span(from_ft=0.0, to_ft=context.length_ft), "the line"


def wood_rules(context: LineContext, rows: tuple[ScheduleItem, ...]) -> tuple[tuple[Step, ...], tuple[str, ...]]:
    """Headroom, place across the sill, washers, sill pieces: what the sill asks of anchors besides strength."""
    rods = rods_in(context)
    return context.surveyed(("wood rules", rows, rods), lambda bare: _wood_rules(bare, rows, rods))


def _wood_rules(
    context: LineContext, rows: tuple[ScheduleItem, ...], rods: tuple[float, ...]
) -> tuple[tuple[Step, ...], tuple[str, ...]]:
    line, keys = context.line, dict.fromkeys(row.connector for row in rows)
    steps, notes = [headroom_step(context)] if choice(context)[1] else [], list[str]()
    for key in keys:
        window = new_anchor(context, key).window
        if window is not None:
            steps += window.steps
            notes += [window.reason] if window.reason else []
    if line.panels:
        steps += [near_edge_step(face) for face in (line.sheathing, line.other_face) if face is not None]
    to_fit = sum(not bolt.why_not and bool(bolt.washer_found) for bolt in old_bolts(context) if bolt.washer_in)
    steps.append(step("washers_to_fit", "n_w", "plate washers to fit on old bolts", to_fit, "washers", WASHER))
    placed_ft = [at_in / 12 for row in rows for at_in in standing(context, row, rows, rods).places_in]
    old_ft = [bolt.anchor.at_ft for bolt in old_bolts(context) if bolt.anchor.accepted]
    if all(row.positions_in for row in rows):
        of_pieces, end_notes = piece_steps(context, sorted([*placed_ft, *old_ft]))
        steps += of_pieces
        notes += end_notes
    return tuple(steps), tuple(notes)


def concrete_rules(context: LineContext, rows: tuple[ScheduleItem, ...]) -> tuple[tuple[Step, ...], tuple[str, ...]]:
    """What adhesive anchors ask of inspection and concrete."""
    keys = tuple(dict.fromkeys([row.connector for row in rows]))
    return context.surveyed(("concrete rules", keys), lambda bare: _adhesive_rules(bare, keys))


def _adhesive_rules(context: LineContext, keys: tuple[str, ...]) -> tuple[tuple[Step, ...], tuple[str, ...]]:
    steps, notes = list[Step](), list[str]()
    for key in keys:
        of_one, note = adhesive_steps(new_anchor(context, key).connector)
        steps += of_one
        notes += note
    return tuple(steps), tuple(notes)


def too_few_anchors(context: LineContext, rows: tuple[ScheduleItem, ...]) -> tuple[str, ...]:
    """Panels and sill pieces with fewer anchors than their minimum, new ones and old ones that count together."""
    rods = rods_in(context)
    return context.surveyed(("too few anchors", rows, rods), lambda bare: _too_few(bare, rows, rods))


def _too_few(context: LineContext, rows: tuple[ScheduleItem, ...], rods: tuple[float, ...]) -> tuple[str, ...]:
    found, what = list[str](), choice(context)[0]
    full = [(row, standing(context, row, rows, rods).at_full_end) for row in rows]
    for number in range(1, len(context.line.panels) + 1):
        old = sum([credit(context, foot).least for foot in feet(context) if foot.panel == number])
        new = sum([count for row, count in full if row.panel == number])
        found += shortfall(context.inputs.criteria.anchors_per_panel - old - new, what, f"in panel {number}")
    for number, piece in enumerate(context.line.sill_pieces, 1):
        new = sum([count for row, count in full if row.piece == number])
        more = piece_minimum(context, piece) - piece_credit(context, number) - new
        found += shortfall(more, what, f"in sill piece {number}")
    return tuple(found)
