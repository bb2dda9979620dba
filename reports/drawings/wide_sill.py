"""A sill wider than the studs: flat blocks that take the panel's bottom nails, or the sill cut flush. True sizes."""

from __future__ import annotations

from math import ceil
from typing import Any

from engineering.connector_values import BLOCK_THICKNESS_IN
from engineering.wide_sill import WASHER_CLEAR_IN
from reports.drawings import svg
from reports.drawings import wall_section as section
from reports.drawings.callouts import Note, callouts
from reports.drawings.sheet import (
    ACCENT,
    ADDED,
    ADDED_TEXT,
    EXISTING,
    HIDDEN,
    NEW,
    PAPER,
    QUIET_TEXT,
    Sheet,
    length_text,
)

WALL_SHOWN_IN, CONCRETE_IN = 6.0, 6.0


def draw_block(
    *,
    framing: dict[str, Any],
    foundation: dict[str, Any],
    panel_thickness_in: float,
    nail: dict[str, Any],
    nails_a_bay: int,
    rows: int,
    shortest_in: float,
    bay_in: float,
    title: str,
    paper_width_in: float,
    paper_height_in: float,
) -> svg.Svg:
    """Section, and beside it two bays from above: one block from stud to stud, and two pieces beside an anchor.

    `bay_in`: from stud centre to stud centre.
    """

    def fill(sheet: Sheet) -> None:
        thick, sill, deep = framing["sill_thickness_in"], framing["sill_width_in"], framing["stud_depth_in"]
        outer, inner = section.concrete_faces(framing, foundation)
        section.concrete(sheet, outer, inner, -thick, CONCRETE_IN)
        section.cut(sheet, (0.0, -thick), (sill, 0.0))
        section.stud(sheet, framing, 0.0, WALL_SHOWN_IN, broken=WALL_SHOWN_IN)
        section.cut(sheet, (0.0, 0.0), (deep, BLOCK_THICKNESS_IN), new=True, block=True)
        section.panel(sheet, framing, panel_thickness_in, 0.0, WALL_SHOWN_IN)
        for row in range(rows):
            x = deep / 2 if rows == 1 else deep * (1 + row) / 3
            section.nail(sheet, (x, BLOCK_THICKNESS_IN), (x, BLOCK_THICKNESS_IN - nail["length_in"]))
        section.nail(sheet, (deep + panel_thickness_in, BLOCK_THICKNESS_IN / 2), (deep - 1.6, BLOCK_THICKNESS_IN / 2))
        tier, left = sheet.pt(20), min(outer, 0.0) - sheet.pt(18)
        sheet.dimension((0.0, -thick), (0.0, 0.0), left, vertical=True)
        sheet.dimension((0.0, 0.0), (0.0, BLOCK_THICKNESS_IN), left, vertical=True)
        low = -thick - CONCRETE_IN
        sheet.dimension((0.0, WALL_SHOWN_IN), (deep, WALL_SHOWN_IN), WALL_SHOWN_IN + tier)
        sheet.dimension((0.0, low), (sill, low), low - tier)
        start = inner + sheet.pt(60)
        _plan(sheet, start)
        sheet.scale_bar((min(outer, 0.0), low - sheet.pt(58)))
        end = start + 2 * bay_in + framing["stud_thickness_in"]
        _notes(sheet, start, end)

    def _plan(sheet: Sheet, start: float) -> None:
        """From above, inside at the bottom: studs, sill, blocks, panel, nails."""
        stud, deep, sill = framing["stud_thickness_in"], framing["stud_depth_in"], framing["sill_width_in"]
        end = start + 2 * bay_in + stud
        top = sill / 2  # the sill's outer face; x runs along the wall here
        sheet.rectangle(EXISTING, (start, top - sill), (end, top), fill=PAPER)
        for index in range(3):
            at = start + index * bay_in
            section.cut(sheet, (at, top - deep), (at + stud, top))
        sheet.rectangle(NEW, (start, top - deep - panel_thickness_in), (end, top - deep), fill=PAPER)
        clear = bay_in - stud
        whole = start + stud
        _piece(sheet, whole, whole + clear, top, nails_a_bay)
        second = whole + bay_in
        middle = second + clear / 2
        _piece(sheet, second, middle - WASHER_CLEAR_IN, top, -(-nails_a_bay // 2))
        _piece(sheet, middle + WASHER_CLEAR_IN, second + clear, top, nails_a_bay - -(-nails_a_bay // 2))
        sheet.circle(ADDED, (middle, top - deep / 2), 0.25, fill=ACCENT)
        sheet.rectangle(HIDDEN, (middle - 1.5, top - deep / 2 - 1.5), (middle + 1.5, top - deep / 2 + 1.5))
        tier = sheet.pt(20)
        sheet.dimension((start + stud / 2, top), (start + stud / 2 + bay_in, top), top + 2 * tier)
        sheet.dimension((whole, top), (whole + clear, top), top + tier)
        sheet.dimension((second, top), (middle - WASHER_CLEAR_IN, top), top + tier)
        sheet.dimension((middle - WASHER_CLEAR_IN, top), (middle + WASHER_CLEAR_IN, top), top + 2 * tier)
        sheet.text((start, top - sill - sheet.pt(14)), "two bays from above, inside at the bottom", size_pt=6.5)

    def _piece(sheet: Sheet, low: float, high: float, top: float, nails: int) -> None:
        deep = framing["stud_depth_in"]
        sheet.rectangle(NEW, (low, top - deep), (high, top), fill=PAPER)
        for index in range(nails):
            along = low + (high - low) * (index + 1) / (nails + 1)
            across = top - deep * ((1 + index % 2) / 3 if rows > 1 else 0.5)
            sheet.circle(ADDED, (along, across), max(nail["diameter_in"] / 2, sheet.pt(1.3)), fill=ACCENT)

    def _notes(sheet: Sheet, start: float, end: float) -> None:
        stud, deep, sill = framing["stud_thickness_in"], framing["stud_depth_in"], framing["sill_width_in"]
        top = sill / 2
        notes = [
            Note(
                (start + stud + bay_in / 3, top - 0.3),
                f"flat block {length_text(BLOCK_THICKNESS_IN)} × {length_text(deep)} on the sill in every stud bay of "
                f"a panel, flush with the studs' inner face: {nails_a_bay} nails {nail['name']} in each bay",
                ADDED_TEXT,
            ),
            Note(
                (end - stud - 1.0, top - deep * 0.6),
                "two pieces beside an anchor or rod, pre-drilled, none under "
                f"{length_text(ceil(shortest_in * 16) / 16)}",
                ADDED_TEXT,
            ),
            Note((end - stud, top - deep - panel_thickness_in / 2), "panel, bottom nails into the blocks"),
            Note((end - stud, top - sill + 0.4), f"sill {length_text(sill)} wide", QUIET_TEXT),
        ]
        callouts(sheet, notes, x_in=end + sheet.pt(18))

    return svg.write_fitting(
        fill,
        title=title,
        paper_width_in=paper_width_in,
        paper_height_in=paper_height_in,
        zoom=section.ZOOM,
        largest=0.25,
    )


def draw_flush_cut(
    *,
    framing: dict[str, Any],
    foundation: dict[str, Any],
    panel_thickness_in: float,
    cut_depth_in: float,
    stays_in: float,
    bolt_to_cut_in: float | None,
    edge_nail: str,
    title: str,
    paper_width_in: float,
    paper_height_in: float,
) -> svg.Svg:
    """The sill before (dashed) and after the cut; `bolt_to_cut_in`: what the computed check leaves at a bolt."""

    def fill(sheet: Sheet) -> None:
        thick, sill, deep = framing["sill_thickness_in"], framing["sill_width_in"], framing["stud_depth_in"]
        outer, inner = section.concrete_faces(framing, foundation)
        section.concrete(sheet, outer, inner, -thick, CONCRETE_IN)
        section.cut(sheet, (0.0, -thick), (stays_in, 0.0))
        sheet.rectangle(HIDDEN, (stays_in, -thick), (sill, 0.0))
        section.stud(sheet, framing, 0.0, WALL_SHOWN_IN, broken=WALL_SHOWN_IN)
        section.panel(sheet, framing, panel_thickness_in, -thick, WALL_SHOWN_IN)
        section.nail(sheet, (deep + panel_thickness_in, -thick / 2), (deep - 1.6, -thick / 2))
        tier, low = sheet.pt(20), -thick - CONCRETE_IN
        sheet.dimension((0.0, -thick), (0.0, 0.0), min(outer, 0.0) - sheet.pt(18), vertical=True)
        sheet.dimension((0.0, low), (stays_in, low), low - tier)
        sheet.dimension((stays_in, low), (stays_in + cut_depth_in, low), low - 2 * tier)
        kept = "" if bolt_to_cut_in is None else f"; {length_text(bolt_to_cut_in)} left from a bolt's axis to the cut"
        notes = [
            Note(
                (sill, -thick * 0.4),
                f"{length_text(cut_depth_in)} cut off along the panel, flush with the studs, {length_text(stays_in)} "
                f"of the sill stays{kept}; not deeper, nothing cut outside the panels",
                ADDED_TEXT,
            ),
            Note(
                (deep + panel_thickness_in, -thick / 2),
                f"panel edge nails {edge_nail} into the sill's edge",
                ADDED_TEXT,
            ),
            Note((deep + panel_thickness_in, WALL_SHOWN_IN * 0.7), "shear panel"),
            Note((inner, low + 2.0), "existing foundation", QUIET_TEXT),
        ]
        callouts(sheet, notes, x_in=max(inner, sill) + sheet.pt(18))
        sheet.scale_bar((min(outer, 0.0), low - sheet.pt(78)))

    return svg.write_fitting(
        fill,
        title=title,
        paper_width_in=paper_width_in,
        paper_height_in=paper_height_in,
        zoom=section.ZOOM,
        largest=0.25,
    )
