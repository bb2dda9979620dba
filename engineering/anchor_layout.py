"""Rows and places of new sill anchors: inside their panel, clear of studs, posts, rods, old bolts and sill ends."""

from __future__ import annotations

from engineering.connector_values import LineContext
from engineering.errors import OutOfRange
from engineering.inputs import Span
from engineering.layout import Keep, place, stud_keeps
from engineering.results import MethodOption
from engineering.schedule import ScheduleItem
from engineering.sill_anchors import END_DIAMETERS, ROLE, counts, new_anchor
from engineering.tie_downs import panel_overturning
from engineering.wall_panels import panels

# Working rules ("common practice, no source") but for the piece ends: within 12 in, not under 7 diameters.
NEAR_END_IN = 9.0
WASHER_CLEAR_IN = 1.75  # half a 3 in plate washer and a wrench
APART_IN = 6.0


def proposed_rows(context: LineContext) -> tuple[ScheduleItem, ...]:
    """New anchors by panel and sill piece, then those a piece needs besides. None where they can't be used here."""
    rows, _ = _judged(context)
    return rows


def option(context: LineContext) -> tuple[MethodOption, ...]:
    """The chosen sill anchor: how many, or why it can't be used here (foundation, concrete, no place to stand)."""
    key = context.line.methods.sill_anchor
    if not key:
        return ()
    rows, reason = _judged(context)
    concrete = new_anchor(context, key).concrete
    feasible = not reason
    return (
        MethodOption(
            link="6b",
            method="sill anchors",
            connector=key,
            feasible=feasible,
            reason=reason,
            count=sum(row.count for row in rows) if feasible else None,
            each_lb=concrete.capacity if feasible and concrete else None,
            ratio=None,
            opens_ceiling=False,
        ),
    )


def _judged(context: LineContext) -> tuple[tuple[ScheduleItem, ...], str]:
    return context.once("sill anchor rows", lambda: _rows(context))


def _rows(context: LineContext) -> tuple[tuple[ScheduleItem, ...], str]:
    """The rows, or none and the reason."""
    key = context.line.methods.sill_anchor
    if not key:
        return (), "no sill anchor was chosen"
    anchor = new_anchor(context, key)
    if anchor.concrete is None:
        return (), anchor.reason
    inside, extra = counts(context, anchor)
    diameter_in = context.values.evaluated(key, "sill anchor").diameter_in
    pieces = context.line.sill_pieces
    wanted: list[tuple[Span, int | None, int, int, str]] = [
        (Span(from_ft=foot.from_ft, to_ft=foot.to_ft), foot.panel, foot.piece, count, "")
        for foot, count in inside.items()
        if count
    ]
    by_rule = "by the sill piece rule; carries no counted shear"
    wanted += [(pieces[number - 1], None, number, count, by_rule) for number, count in extra.items() if count]
    taken = [12 * old.at_ft for old in context.line.existing_anchors]
    rows = []
    for span, panel, number, count, note in wanted:
        try:
            places = _places(context, span, pieces[number - 1], count, diameter_in, taken)
        except OutOfRange as error:
            where = f"panel {panel}, sill piece {number}" if panel else f"sill piece {number}"
            return (), f"{where}: {error.allowed}"
        taken += places
        rows.append(_row(key, places, panel, number, note))
    return tuple(sorted(rows, key=lambda row: row.positions_in)), ""


def _row(key: str, places: tuple[float, ...], panel: int | None, piece: int, note: str) -> ScheduleItem:
    return ScheduleItem(
        link="6a", role=ROLE, connector=key, count=len(places), positions_in=places, panel=panel, piece=piece, note=note
    )  # fmt: skip


def _places(
    context: LineContext, span: Span, piece: Span, count: int, diameter_in: float, taken: list[float]
) -> tuple[float, ...]:
    line, from_in, to_in = context.line, 12 * span.from_ft, 12 * span.to_ft
    end_in = END_DIAMETERS * diameter_in
    keeps = [
        *stud_keeps(line.framing.stud_centrelines_in, line.framing.stud_thickness_in, WASHER_CLEAR_IN),
        Keep(12 * piece.from_ft, 12 * piece.from_ft, end_in, f"{END_DIAMETERS:g} diameters from a sill end"),
        Keep(12 * piece.to_ft, 12 * piece.to_ft, end_in, f"{END_DIAMETERS:g} diameters from a sill end"),
        *(Keep(at, at, APART_IN, f"{APART_IN:g} in from another anchor") for at in taken),
        *_end_post_keeps(context),
    ]
    return place(
        _targets(from_in, to_in, 12 * piece.from_ft, 12 * piece.to_ft, count, taken),
        from_in=from_in,
        to_in=to_in,
        keeps=keeps,
        apart_in=APART_IN,
        what=f"lines.{line.label}.sill_anchors",
    )


def _targets(
    from_in: float, to_in: float, piece_from_in: float, piece_to_in: float, count: int, taken: list[float]
) -> list[float]:
    """First the sill ends that have no anchor within 12 in, then the panel's ends, then evenly between."""
    low, high = from_in + NEAR_END_IN, to_in - NEAR_END_IN
    if count > 1:
        return [low + (high - low) * index / (count - 1) for index in range(count)]
    inside = [at for at in taken if from_in <= at <= to_in]
    if from_in <= piece_from_in + 1e-6 and not any(at - piece_from_in <= 12 for at in inside):
        return [low]
    if to_in >= piece_to_in - 1e-6 and not any(piece_to_in - at <= 12 for at in inside):
        return [high]
    return [(from_in + to_in) / 2]


def _end_post_keeps(context: LineContext) -> list[Keep]:
    """End posts of panels, and the rods of tie-downs where there are any."""
    post, keeps = context.line.end_post, []
    for panel in panels(context):
        from_in, to_in = 12 * panel.span.from_ft, 12 * panel.span.to_ft
        rule = f"{WASHER_CLEAR_IN:g} in clear of an end post"
        keeps += [
            Keep(from_in, from_in + post.width_in, WASHER_CLEAR_IN, rule),
            Keep(to_in - post.width_in, to_in, WASHER_CLEAR_IN, rule),
        ]
        if panel_overturning(context, panel).tension_lb > 0:
            rods = (from_in + post.rod_from_end_in, to_in - post.rod_from_end_in)
            keeps += [Keep(at, at, APART_IN, f"{APART_IN:g} in from a tie-down rod") for at in rods]
    return keeps
