"""A panel with every nail of its edges in place, and the joint of two pieces on a stud. True sizes."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from math import ceil
from typing import Any

from reports.drawings import svg
from reports.drawings import wall_section as section
from reports.drawings.callouts import Note, callouts
from reports.drawings.sheet import (
    ACCENT,
    ADDED,
    ADDED_TEXT,
    DIMENSION,
    HIDDEN,
    JOINT,
    NEW,
    PAPER,
    QUIET_TEXT,
    TEXT,
    Point,
    Sheet,
    length_text,
)

EDGE_IN = 3 / 8  # from panel edge and stud edge to a nail
ON_FRAMING_IN = 0.75  # where an outer edge nail is drawn: in the middle of a member 1-1/2 in wide
STUD_SHOWN_IN, BESIDE_IN = 3.5, 5.0


def draw(
    *,
    length_in: float,
    heights_in: tuple[float, float],
    joints_in: Sequence[float],
    studs_in: Sequence[float],
    edge_in: float,
    field_in: float,
    nail: str,
    sheathing: str,
    plates_in: float,
    sill_in: float,
    small_pieces: bool,
    title: str,
    paper_width_in: float,
    paper_height_in: float,
) -> svg.Svg:
    """One panel seen from inside; joints and studs from its zero end, heights at its two ends.

    `plates_in`, `sill_in`: how much of the top plates and of the sill or block the panel covers.
    """

    def fill(sheet: Sheet) -> None:
        def bottom(x: float) -> float:
            return -(heights_in[0] + (heights_in[1] - heights_in[0]) * x / length_in)

        edges = [0.0, *joints_in, length_in]
        sheet.polyline(NEW, ((0, 0), (length_in, 0), (length_in, bottom(length_in)), (0, bottom(0))), closed=True)
        for stud in studs_in:
            sheet.line(HIDDEN, (stud, -plates_in), (stud, bottom(stud) + sill_in))
        sheet.line(HIDDEN, (0, -plates_in), (length_in, -plates_in))
        sheet.line(HIDDEN, (0, bottom(0) + sill_in), (length_in, bottom(length_in) + sill_in))
        for low, high in itertools.pairwise(edges):
            if high < length_in:
                sheet.line(JOINT, (high, 0), (high, bottom(high)))
            left = low + (ON_FRAMING_IN if low == 0 else EDGE_IN)
            right = high - (ON_FRAMING_IN if high == length_in else EDGE_IN)
            _ring(sheet, left, right, bottom, edge_in)
            for stud in studs_in:
                if low + 3 < stud < high - 3:
                    _row(sheet, (stud, -ON_FRAMING_IN), (stud, bottom(stud) + ON_FRAMING_IN), field_in, filled=False)
        _dimensions(sheet, edges, heights_in, bottom)
        _notes(sheet, length_in, bottom)

    def _notes(sheet: Sheet, length: float, bottom: Any) -> None:
        middle = bottom(length) / 2
        inner = [stud for stud in studs_in if all(abs(stud - edge) > 3 for edge in (0.0, *joints_in, length))]
        notes = [
            Note((length, -ON_FRAMING_IN), sheathing),
            Note(
                (length - ON_FRAMING_IN, middle * 0.6),
                f"{nail}: {edge_in:g} in apart at all edges of every piece (filled), {field_in:g} in at inner studs "
                "(open)",
                ADDED_TEXT,
            ),
            Note(
                (length - ON_FRAMING_IN, middle * 1.3),
                f"at least {length_text(EDGE_IN)} from panel edges and from the edge of the framing; heads flush",
            ),
        ]
        if joints_in:
            pieces = "pieces small enough for the access opening; " if small_pieces else ""
            notes.append(Note((joints_in[-1], bottom(joints_in[-1]) * 0.85), f"{pieces}joints on studs only"))
        elif inner:
            notes.append(Note((inner[-1], bottom(inner[-1]) * 0.85), "stud as measured", QUIET_TEXT))
        callouts(sheet, notes, x_in=length + sheet.pt(52))

    return svg.write_fitting(
        fill, title=title, paper_width_in=paper_width_in, paper_height_in=paper_height_in, zoom=section.ZOOM
    )


def _ring(sheet: Sheet, left: float, right: float, bottom: Any, spacing_in: float) -> None:
    """Nails around one piece at no more than the spacing; the corners are shared."""
    up, down = -ON_FRAMING_IN, ON_FRAMING_IN
    corners = ((left, up), (right, up), (right, bottom(right) + down), (left, bottom(left) + down))
    for start, end in itertools.pairwise((*corners, corners[0])):
        _row(sheet, start, end, spacing_in, filled=True)


def _row(sheet: Sheet, start: Point, end: Point, spacing_in: float, *, filled: bool) -> None:
    length = ((end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2) ** 0.5
    count = max(1, ceil(length / spacing_in - 1e-9))
    # A ring's corner belongs to one of its sides; at the ends of a row of field nails the edges' own stand already.
    for index in range(0 if filled else 1, count):
        share = index / count
        at = (start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share)
        layer, fill = (ADDED, ACCENT) if filled else (DIMENSION, PAPER)
        sheet.circle(layer, at, sheet.pt(1.2 if filled else 1.5), fill=fill)


def _dimensions(sheet: Sheet, edges: list[float], heights_in: tuple[float, float], bottom: Any) -> None:
    tier = sheet.pt(20)
    for low, high in itertools.pairwise(edges):
        sheet.dimension((low, 0), (high, 0), tier)
    if len(edges) > 2:
        sheet.dimension((edges[0], 0), (edges[-1], 0), 2 * tier)
    sheet.dimension((0, bottom(0)), (0, 0), -tier, vertical=True)
    if heights_in[0] != heights_in[1]:
        end = edges[-1]
        sheet.dimension((end, bottom(end)), (end, 0), end + sheet.pt(22), vertical=True)
    sheet.scale_bar((0, min(bottom(0), bottom(edges[-1])) - sheet.pt(38)))


def draw_joint(
    *,
    stud_in: tuple[float, float],
    panel_in: float,
    nail: dict[str, Any],
    three_x: bool,
    title: str,
    paper_width_in: float,
    paper_height_in: float,
) -> svg.Svg:
    """Two panel pieces on one stud, cut level: stud thickness and depth, nails of both edges, staggered.

    `three_x`: the required unit shear asks for 3 in nominal framing here.
    """

    def fill(sheet: Sheet) -> None:
        thick, deep = stud_in
        section.cut(sheet, (-thick / 2, 0), (thick / 2, deep))
        for low, high in ((-BESIDE_IN, 0.0), (0.0, BESIDE_IN)):
            sheet.rectangle(NEW, (low, -panel_in), (high, 0), fill=PAPER)
        for x in (-BESIDE_IN, BESIDE_IN):
            section.break_line(sheet, (x, -panel_in), (x, 0.0))
        for side in (-1, 1):
            section.nail(sheet, (side * EDGE_IN, -panel_in), (side * EDGE_IN, nail["length_in"] - panel_in))
        tier = sheet.pt(20)
        sheet.dimension((-thick / 2, deep), (thick / 2, deep), deep + tier)
        sheet.dimension((0, -panel_in), (EDGE_IN, -panel_in), -panel_in - tier)
        sheet.dimension((-EDGE_IN, -panel_in), (0, -panel_in), -panel_in - 2 * tier)
        sheet.dimension((-thick / 2, 0), (-thick / 2, deep), -thick / 2 - tier, vertical=True)
        member = f"stud {length_text(thick)} × {length_text(deep)}"
        if three_x:
            member += ": 3 in nominal or two studs nailed together at this joint, by the required unit shear"
        notes = [
            Note((thick / 2, deep * 0.75), member, TEXT if three_x else QUIET_TEXT),
            Note(
                (EDGE_IN, deep * 0.25),
                f"panel edge nails {nail['name']} in each piece, one row staggered to the other",
                ADDED_TEXT,
            ),
            Note((BESIDE_IN * 0.7, -panel_in / 2), "panel pieces meet on the stud's middle"),
        ]
        callouts(sheet, notes, x_in=BESIDE_IN + sheet.pt(18))
        sheet.scale_bar((-BESIDE_IN, -panel_in - 2 * tier - sheet.pt(40)))

    return svg.write_fitting(
        fill, title=title, paper_width_in=paper_width_in, paper_height_in=paper_height_in, zoom=section.ZOOM
    )
