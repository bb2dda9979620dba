"""Rows and places of new sill anchors and side connections: in their panel, clear of what stands there. Not how many.

Anchors from above stand clear of studs, posts, rods, old bolts and sill ends; a side connection reaches the sill and
the concrete from their faces, so studs and posts are not in its way.
"""

from __future__ import annotations

from itertools import pairwise

from engineering import side_connections
from engineering.connector_values import LineContext
from engineering.errors import OutOfRange
from engineering.footings import END_DIAMETERS, Foot, Footing, concrete_ends_in, feet
from engineering.inputs import EvaluatedConnector, Span, WallLine
from engineering.layout import NOTHING_CLOSED, Closed, Keep, closed, place, stud_keeps
from engineering.panel_shares import Panel, panels
from engineering.results import MethodOption
from engineering.schedule import ScheduleItem
from engineering.sill_anchors import ROLE, SIDE_ROLE, counts, least_apart_in, new_anchor
from engineering.tie_downs import panel_overturning

# Working rules ("common practice, no source") but for the piece ends: within 12 in, not under 7 diameters.
NEAR_END_IN = 9.0
WASHER_CLEAR_IN = 1.75  # half a 3 in plate washer and a wrench
APART_IN = 6.0
ANYWHERE = ""  # a reason that holds for the whole line


def proposed_rows(context: LineContext) -> tuple[ScheduleItem, ...]:
    """New anchors by panel and sill piece, then those a piece needs besides. None where they can't be used here."""
    rows, _ = _judged(context)
    return rows


def why_not(context: LineContext, footing: Footing | None = None) -> str:
    """Why the line's chosen anchors can't be used, in one footing or in any: foundation, headroom, no place."""
    _, reasons = _judged(context)
    if footing is not None:
        return reasons.get(footing.name) or reasons.get(ANYWHERE, "")
    return "; ".join(f"{where}: {reason}" if where else reason for where, reason in reasons.items())


def option(context: LineContext) -> tuple[MethodOption, ...]:
    """The chosen sill anchor and side connection: how many, or why it can't be used here."""
    methods = context.line.methods
    role, _ = side_connections.choice(context)
    found = []
    for name, key, link in ((ROLE, methods.sill_anchor, "6b"), (SIDE_ROLE, methods.side_connection, "6a")):
        if not key:
            continue
        anchor = new_anchor(context, key)
        reason = why_not(context) if name == role else anchor.reason
        if name == ROLE and role == SIDE_ROLE:
            reason = reason or side_connections.why_not_from_above(context)
        elif name != role:
            reason = reason or "an anchor can be drilled from above"
        rows = proposed_rows(context)
        found.append(
            MethodOption(
                link=link,
                method=name,
                connector=key,
                feasible=not reason,
                reason=reason,
                count=None if reason else sum(row.count for row in rows),
                each_lb=None if reason else anchor.lb("6b"),
                ratio=None,
                opens_ceiling=False,
            )
        )
    return tuple(found)


def _judged(context: LineContext) -> tuple[tuple[ScheduleItem, ...], dict[str, str]]:
    return context.once("sill anchor rows", lambda: _rows(context))


def _rows(context: LineContext) -> tuple[tuple[ScheduleItem, ...], dict[str, str]]:
    """The rows that find their places, and why others do not, by the name of their footing or sill piece."""
    role, key = side_connections.choice(context)
    if not key:
        return (), {ANYWHERE: "no sill anchor was chosen"}
    anchor = new_anchor(context, key)
    blocked = side_connections.why_not_from_above(context) if role == ROLE else ""
    if reason := anchor.reason or blocked:
        return (), {ANYWHERE: reason}
    inside, extra = counts(context, anchor)
    wanted, rods = (tuple(inside.values()), tuple(extra.values())), rods_in(context)
    asked = ("sill anchor rows", role, key, wanted, rods)
    return context.surveyed(asked, lambda bare: _placed(bare, role, key, wanted, rods))


def _placed(
    context: LineContext, role: str, key: str, wanted: tuple[tuple[int, ...], tuple[int, ...]], rods: tuple[float, ...]
) -> tuple[tuple[ScheduleItem, ...], dict[str, str]]:
    """So many anchors on each foot, and besides them in each sill piece, where they find a place."""
    anchor, pieces = new_anchor(context, key), context.line.sill_pieces
    stretches: list[tuple[Span | Foot, Foot | None, int, int]] = [
        (foot, foot, foot.piece, count) for foot, count in zip(feet(context), wanted[0], strict=True) if count
    ]
    besides = zip(pieces, wanted[1], strict=True)
    stretches += [(piece, None, number, count) for number, (piece, count) in enumerate(besides, 1) if count]
    taken = [12 * old.at_ft for old in context.line.existing_anchors]
    rows, reasons = list[ScheduleItem](), dict[str, str]()
    for span, foot, number, count in stretches:
        try:
            places = _places(context, role, span, pieces[number - 1], count, anchor.connector, taken, rods)
        except OutOfRange as error:
            reasons[foot.name if foot else f"sill piece {number}"] = error.allowed
            continue
        taken += places
        rows.append(_row(role, key, places, foot, number))
    return tuple(sorted(rows, key=lambda row: row.positions_in)), reasons


def _row(role: str, key: str, places: tuple[float, ...], foot: Foot | None, piece: int) -> ScheduleItem:
    side = role == SIDE_ROLE
    return ScheduleItem(
        link="6a",
        role=role,
        connector=key,
        count=len(places),
        spacing_in=max(b - a for a, b in pairwise(places)) if side and len(places) > 1 else None,
        positions_in=places,
        panel=foot.panel if foot else None,
        piece=piece,
        note="" if foot else "by the sill piece rule; carries no counted shear",
    )


def _places(
    context: LineContext,
    role: str,
    span: Span | Foot,
    piece: Span,
    count: int,
    anchor: EvaluatedConnector,
    taken: list[float],
    rods: tuple[float, ...],
) -> tuple[float, ...]:
    line, from_in, to_in = context.line, 12 * span.from_ft, 12 * span.to_ft
    end_in, apart_in = END_DIAMETERS * anchor.diameter_in, max(APART_IN, least_apart_in(anchor))
    beside = f"{apart_in:g} in from another anchor"
    besides = [
        Keep(12 * piece.from_ft, 12 * piece.from_ft, end_in, f"{END_DIAMETERS:g} diameters from a sill end"),
        Keep(12 * piece.to_ft, 12 * piece.to_ft, end_in, f"{END_DIAMETERS:g} diameters from a sill end"),
        *[Keep(at, at, apart_in, beside) for at in taken],
        *[Keep(at, at, apart_in, f"{apart_in:g} in from a tie-down rod") for at in rods],
        *_concrete_ends(line, anchor),
    ]
    return place(
        _targets(from_in, to_in, 12 * piece.from_ft, 12 * piece.to_ft, count, taken),
        from_in=from_in,
        to_in=to_in,
        keeps=_framing_keeps(context) if role == ROLE else NOTHING_CLOSED,
        besides=besides,
        apart_in=apart_in,
        what=f"lines.{line.label}.{role.replace(' ', '_')}",
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


def _framing_keeps(context: LineContext) -> Closed:
    """Studs and the end posts of panels."""
    return context.surveyed("framing keeps", lambda bare: closed(_studs_and_posts(bare.line)))


def _studs_and_posts(line: WallLine) -> list[Keep]:
    framing = line.framing
    keeps = stud_keeps(framing.stud_centrelines_in, framing.stud_thickness_in, WASHER_CLEAR_IN)
    post, rule = line.end_post, f"{WASHER_CLEAR_IN:g} in clear of an end post"
    for panel in line.panels:
        from_in, to_in = 12 * panel.from_ft, 12 * panel.to_ft
        keeps += [
            Keep(from_in, from_in + post.width_in, WASHER_CLEAR_IN, rule),
            Keep(to_in - post.width_in, to_in, WASHER_CLEAR_IN, rule),
        ]
    return keeps


def rods_in(context: LineContext) -> tuple[float, ...]:
    """Places of the tie-down rods that the panels' net tension asks for. [in]"""
    return context.once("rods", lambda: tuple(at for panel in panels(context) for at in _rods_of(context, panel)))


def _rods_of(context: LineContext, panel: Panel) -> tuple[float, ...]:
    if panel_overturning(context, panel).tension_lb <= 0:
        return ()
    rod_in = context.line.end_post.rod_from_end_in
    return 12 * panel.span.from_ft + rod_in, 12 * panel.span.to_ft - rod_in


def _concrete_ends(line: WallLine, anchor: EvaluatedConnector) -> list[Keep]:
    """Clear of the concrete's ends as far as the report states it."""
    least_in = anchor.minimum_end_in
    if least_in is None:
        return []
    return [Keep(at, at, least_in, f"{least_in:g} in from the concrete's end") for at in concrete_ends_in(line)]
