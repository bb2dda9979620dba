"""Links 6a and 6b: each footing's share against its old and new anchors, wood side and concrete side."""

from __future__ import annotations

from dataclasses import dataclass, replace

from engineering.anchor_credit import Credit, credit, end_note, old_bolts, piece_credit, washers_to_fit
from engineering.anchor_layout import why_not
from engineering.clauses import LIGHT_FRAME_ANCHORS
from engineering.connector_values import LineContext
from engineering.footings import (
    END_DIAMETERS,
    LEAST_END_DIAMETERS,
    SHARES,
    Footing,
    end_distance_in,
    end_factor,
    footings,
    piece_minimum,
    piece_steps,
    unfit_foundation,
)
from engineering.geometry_factor import NDS_END, SPACING_FULL_D
from engineering.inputs import Span
from engineering.link_checks import LINK_NAMES, count_for, open_link, outside_chain, shortfall, value_step, weighed
from engineering.panel_shares import panels
from engineering.plate_washers import WASHER, near_edge_step
from engineering.results import Check, LinkResult, Step
from engineering.schedule import ScheduleItem
from engineering.side_connections import choice, headroom_step
from engineering.sill_anchors import SIDE_ROLE, NewAnchor, adhesive_steps, new_anchor
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


def check_6a(context: LineContext, rows: tuple[ScheduleItem, ...]) -> LinkResult:
    """Link 6a: each footing's share against the wood side of its old and new anchors. [lb]"""
    return _link(context, rows, "6a")


def check_6b(context: LineContext, rows: tuple[ScheduleItem, ...]) -> LinkResult:
    """Link 6b: each footing's share against the concrete side: evaluated values at the real strength, and old bolts
    whose light-frame conditions are shown. [lb] Open in a foundation that is not fit, with that reason."""
    return _link(context, rows, "6b")


def standing(context: LineContext, row: ScheduleItem) -> Standing:
    """How many anchors of a row stand where they count: in their footing, off the sill's ends, 4 diameters apart.

    Nearer than 7 diameters to the end of the sill piece an anchor counts by C_Δ, nearer than 3.5 not at all; a side
    connection has no such factor. A row without places is taken as standing well.
    """
    # By identity, the row kept beside it: a row hashes slowly, and each link asks for each again.
    return context.once(("standing", id(row)), lambda: (row, _standing(context, row)))[1]


def _standing(context: LineContext, row: ScheduleItem) -> Standing:
    anchor, line = new_anchor(context, row.connector), context.line
    if not row.positions_in:
        return Standing(anchor, row.count, float(row.count), row.count, ())
    diameter_in = anchor.connector.diameter_in
    within, where = _within(context, row)
    lost, factors, places = list[str](), list[float](), list[float]()
    old = [(12 * bolt.at_ft, max(bolt.diameter_in, diameter_in)) for bolt in line.existing_anchors if bolt.accepted]
    for at_in in sorted(row.positions_in):
        named, factor = f"anchor at {at_in:g} in", end_factor(line, at_in / 12, diameter_in)
        least = END_DIAMETERS if row.role == SIDE_ROLE else LEAST_END_DIAMETERS
        if not within.from_ft - 1e-6 <= at_in / 12 <= within.to_ft + 1e-6:
            lost.append(f"{named} stands outside {where}")
        elif factor < least / END_DIAMETERS - 1e-6:
            lost.append(f"{named} is nearer than {least:g} diameters to the end of its sill piece")
        elif places and at_in - places[-1] < SPACING_FULL_D * diameter_in - 1e-9:
            lost.append(f"{named} is nearer than {SPACING_FULL_D:g} diameters to the one before")
        elif any(abs(at_in - at) < SPACING_FULL_D * wider_in - 1e-9 for at, wider_in in old):
            lost.append(f"{named} is nearer than {SPACING_FULL_D:g} diameters to an old bolt that counts")
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


def _within(context: LineContext, row: ScheduleItem) -> tuple[Span | Footing, str]:
    """The stretch that a row belongs to: its footing, or its sill piece where it stands between the panels."""
    for footing in footings(context):
        if (footing.panel, footing.piece) == (row.panel, row.piece):
            return footing, footing.name
    if row.piece is not None and row.panel is None:
        return context.line.sill_pieces[row.piece - 1], f"sill piece {row.piece}"
    return Span(from_ft=0.0, to_ft=context.line.length_ft), "the line"


def _link(context: LineContext, rows: tuple[ScheduleItem, ...], link: str) -> LinkResult:
    name = LINK_NAMES[link]
    if not footings(context):
        return LinkResult(link=link, name=name, check=outside_chain(name, "no panel on this line"))
    if link == "6b" and (reason := unfit_foundation(context.line.foundation)):
        return LinkResult(link=link, name=name, check=open_link(name, context.demand.demand_lb, reason))
    parts = tuple(_footing_check(context, footing, rows, link) for footing in footings(context))
    if opened := [part for part in parts if part.status == "open"]:
        reason = "; ".join(f"{part.name}: {part.notes[0]}" for part in opened)
        check = open_link(name, sum((part.demand or 0.0) for part in parts), reason)
        return LinkResult(link=link, name=name, check=check, parts=parts)
    worst = max(parts, key=lambda part: part.ratio or 0.0)
    assert worst.demand is not None
    assert worst.capacity is not None
    total = sum(row.count for row in rows)
    steps = [
        *worst.steps,
        step("new_in_panels", "n", "new anchors in panels", sum(row.count for row in rows if row.panel), "-", SHARES),
        step("new_total", "n_line", "in panels and by the sill piece rule", total, "-", SHARES),
    ]
    warnings = [warning for part in parts for warning in part.warnings]
    notes, too_few = [worst.name], list[str]()
    more_steps, more_notes = _wood_rules(context, rows) if link == "6a" else _concrete_rules(context, rows)
    steps += more_steps
    notes += more_notes
    if link == "6a":
        too_few = [*panel_warnings(context, rows), *piece_warnings(context, rows)]
        warnings += [warning for warning in (*too_few, *washers_to_fit(context)) if warning not in warnings]
    checked = weighed(
        name,
        worst.demand,
        worst.capacity,
        clause=worst.clause,
        steps=tuple(steps),
        notes=tuple(notes),
        warnings=tuple(dict.fromkeys(warnings)),
    )
    if too_few:  # strong enough, but under the least number of a panel or a sill piece
        checked = replace(checked, status="over")
    return LinkResult(link=link, name=name, check=checked, parts=parts)


def _wood_rules(context: LineContext, rows: tuple[ScheduleItem, ...]) -> tuple[list[Step], list[str]]:
    """Headroom, place across the sill, washers, sill pieces: what the sill asks of anchors besides strength."""
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
    placed_ft = [at_in / 12 for row in rows for at_in in standing(context, row).places_in]
    old_ft = [bolt.anchor.at_ft for bolt in old_bolts(context) if bolt.anchor.accepted]
    if all(row.positions_in for row in rows):
        of_pieces, end_notes = piece_steps(context, sorted([*placed_ft, *old_ft]))
        steps += of_pieces
        notes += end_notes
    return steps, notes


def _concrete_rules(context: LineContext, rows: tuple[ScheduleItem, ...]) -> tuple[list[Step], list[str]]:
    """What adhesive anchors ask of inspection and concrete."""
    steps, notes = list[Step](), list[str]()
    for key in dict.fromkeys(row.connector for row in rows):
        of_one, note = adhesive_steps(new_anchor(context, key).connector)
        steps += of_one
        notes += note
    return steps, notes


def panel_warnings(context: LineContext, rows: tuple[ScheduleItem, ...]) -> list[str]:
    """Panels with fewer anchors than their minimum, new ones and old ones that count together."""
    found: list[str] = []
    for panel in panels(context):
        own = [footing for footing in footings(context) if footing.panel == panel.number]
        old = sum(credit(context, footing).least for footing in own)
        new = sum(standing(context, row).at_full_end for row in rows if row.panel == panel.number)
        more = context.inputs.criteria.anchors_per_panel - old - new
        if more > 0:
            found += shortfall(more, _what(context), f"in panel {panel.number}")
    return found


def piece_warnings(context: LineContext, rows: tuple[ScheduleItem, ...]) -> list[str]:
    """Sill pieces with fewer anchors than their minimum, new ones and old ones that count together."""
    found: list[str] = []
    for number, piece in enumerate(context.line.sill_pieces, 1):
        new = sum(standing(context, row).at_full_end for row in rows if row.piece == number)
        more = piece_minimum(context, piece) - piece_credit(context, number) - new
        if more > 0:
            found += shortfall(more, _what(context), f"in sill piece {number}")
    return found


def _what(context: LineContext) -> str:
    return choice(context)[0]


def _footing_check(context: LineContext, footing: Footing, rows: tuple[ScheduleItem, ...], link: str) -> Check:
    old = credit(context, footing)
    old_lb = old.wood_lb if link == "6a" else old.concrete_lb
    here = [standing(context, row) for row in rows if (row.panel, row.piece) == (footing.panel, footing.piece)]
    good = [one for one in here if one.anchor.side(link) is not None]
    reasons = [reason for one in here for reason in one.lost]
    reasons += [
        f"{one.anchor.connector.key} can't be counted in this concrete ({one.anchor.reason})"
        for one in here
        if one.anchor.side(link) is None
    ]
    capacity_lb = old_lb + sum(one.lb(link) for one in good)
    steps = _footing_steps(context, footing, link, old, good, capacity_lb)
    if capacity_lb <= 0:
        return open_link(footing.name, footing.share_lb, "; ".join(reasons) or _nothing(context, footing), steps=steps)
    clause = next((side.clause for one in reversed(good) if (side := one.anchor.side(link))), "")
    one_more_lb = good[-1].anchor.lb(link) if good else _chosen_lb(context, link)
    more = count_for((footing.share_lb - capacity_lb) / one_more_lb) if one_more_lb else 0
    warnings = shortfall(more, _what(context), f"in {footing.name}") if more > 0 else ()
    if capacity_lb < footing.share_lb and not warnings:
        warnings = (f"{footing.share_lb - capacity_lb:,.0f} lb more needed in {footing.name}",)
    return weighed(
        footing.name, footing.share_lb, capacity_lb, clause=clause or str(SHARES), steps=steps,
        notes=_old_notes(context, footing, link), warnings=(*warnings, *reasons),
    )  # fmt: skip


def _old_notes(context: LineContext, footing: Footing, link: str) -> tuple[str, ...]:
    """Why old bolts in this footing count as nothing, or for less, on this side."""
    found = []
    for bolt in old_bolts(context):
        if bolt.footing is not footing:
            continue
        if bolt.why_not:
            found.append(bolt.why_not)
        elif link == "6b" and bolt.why_no_concrete:
            found.append(f"bolt at {bolt.anchor.at_ft:g} ft: {bolt.why_no_concrete}")
        elif link == "6a" and bolt.end_factor < 1.0:
            at_ft, diameter_in = bolt.anchor.at_ft, bolt.anchor.diameter_in
            found.append(f"bolt at {at_ft:g} ft is {end_note(context.line, at_ft, diameter_in)}")
    return tuple(found)


def _nothing(context: LineContext, footing: Footing) -> str:
    """Why a footing has no anchor: what keeps the chosen one out, where something does."""
    reason = why_not(context, footing)
    return f"no anchor: {reason}" if reason else "no anchor"


def _chosen_lb(context: LineContext, link: str) -> float:
    """What one more of the line's chosen anchor would bring on this side, 0 where none was chosen or counts."""
    _, key = choice(context)
    return new_anchor(context, key).lb(link) if key else 0.0


def _footing_steps(
    context: LineContext, footing: Footing, link: str, old: Credit, good: list[Standing], capacity_lb: float
) -> tuple[Step, ...]:
    old_lb, source = (old.wood_lb, SHARES) if link == "6a" else (old.concrete_lb, LIGHT_FRAME_ANCHORS)
    new_count = sum(one.count for one in good)
    steps = [
        step("sill_piece", "piece", "sill piece under it", footing.piece, "-", SHARES),
        step("demand_lb", "V", "v·length", footing.share_lb, "lb", SHARES,
             v=footing.share_lb / footing.length_ft, length=footing.length_ft),
        step("accepted_inside", "n_old", "accepted bolts inside", old.count, "bolts", SHARES),
        step("credit_lb", "credit", "their value on this side", old_lb, "lb", source, n_old=old.count),
        step("new", "n", "new anchors", new_count, "-", SHARES),
    ]  # fmt: skip
    if not good:
        return (*steps, step("capacity_lb", "capacity", "credit alone", capacity_lb, "lb", SHARES, credit=old_lb))
    each_lb = good[-1].anchor.lb(link)
    by_share = count_for((footing.share_lb - old_lb) / each_lb)
    side = good[-1].anchor.side(link)
    assert side is not None
    steps += [
        value_step("each_lb", side),
        step("new_by_share", "n_V", "(V − credit)/Z', rounded up", by_share, "-", SHARES,
             **{"V": footing.share_lb, "credit": old_lb, "Z'": each_lb}),
    ]  # fmt: skip
    factors = sum(one.factors for one in good)
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
