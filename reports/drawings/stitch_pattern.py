"""The fastener pattern under the plates: screws on the target line, stitch nails beside them, studs as measured."""

from __future__ import annotations

import itertools
from typing import Any

from reports.drawings import svg
from reports.drawings import wall_section as section
from reports.drawings.callouts import Note, callouts
from reports.drawings.sheet import ACCENT, ADDED, ADDED_TEXT, GROUND, HIDDEN, PAPER, QUIET_TEXT, Sheet

STITCH_FROM_INSIDE_IN = (0.65, 1.35)  # two rows, staggered, as the section shows them


def draw(
    *,
    framing: dict[str, Any],
    studs_in: list[float],
    screws_in: list[float],
    stitches_in: list[float],
    target_in: float,
    stitch_nail: str,
    screw: str,
    shown_in: tuple[float, float],
    title: str,
    paper_width_in: float,
    paper_height_in: float,
) -> svg.Svg:
    """The plates' underside over one stretch of the line, seen from below; places from the line's zero end."""

    def fill(sheet: Sheet) -> None:
        start, end = shown_in
        near = [screw for screw in screws_in if start <= screw <= end]
        nails = [nail for nail in stitches_in if start <= nail <= end]
        _plates(sheet, framing, studs_in, start, end)
        sheet.line(section.CENTRE, (-sheet.pt(8), target_in), (end - start + sheet.pt(8), target_in))
        for place in near:
            sheet.circle(ADDED, (place - start, target_in), max(0.22, sheet.pt(2.6)), fill=ACCENT)
        rows = [_across(framing, index) for index in range(len(nails))]
        for nail, across in zip(nails, rows, strict=True):
            sheet.circle(ADDED, (nail - start, across), max(0.14, sheet.pt(1.7)), fill=PAPER)
        _dimensions(sheet, framing, studs_in, target_in, near, nails, start, end)
        notes = [Note((end - start, target_in), "target line, from the plates' outer edge")]
        if near:
            notes.append(Note((near[-1] - start, target_in - 0.1), screw, ADDED_TEXT))
        if nails:
            text = f"stitch nails {stitch_nail}, in two rows, staggered"
            notes.append(Note((nails[-1] - start, rows[-1]), text, ADDED_TEXT))
        notes.append(Note((end - start - 1.0, 0.2), "outer edge of the plates", QUIET_TEXT))
        callouts(sheet, notes, x_in=end - start + sheet.pt(26))

    return svg.write_fitting(
        fill, title=title, paper_width_in=paper_width_in, paper_height_in=paper_height_in, zoom=section.ZOOM
    )


def _across(framing: dict[str, Any], index: int) -> float:
    return float(framing["plate_width_in"]) - STITCH_FROM_INSIDE_IN[index % 2]


def _plates(sheet: Sheet, framing: dict[str, Any], studs_in: list[float], start: float, end: float) -> None:
    width, half = framing["plate_width_in"], framing["stud_thickness_in"] / 2
    sheet.rectangle(GROUND, (0, 0), (end - start, width), fill=PAPER)
    for stud in studs_in:
        if start + half < stud < end - half:
            low, high = (stud - start - half, 0.0), (stud - start + half, framing["stud_depth_in"])
            sheet.rectangle(HIDDEN, low, high, fill=PAPER)
            sheet.hatch_rectangle(low, high, spacing_pt=4)
    for x in (0.0, end - start):
        section.break_line(sheet, (x, 0.0), (x, width))


def _dimensions(
    sheet: Sheet,
    framing: dict[str, Any],
    studs_in: list[float],
    target_in: float,
    screws: list[float],
    nails: list[float],
    start: float,
    end: float,
) -> None:
    width, tier = framing["plate_width_in"], sheet.pt(20)
    for first, second in itertools.pairwise(screws):
        sheet.dimension((first - start, target_in), (second - start, target_in), -tier)
    sheet.dimension((0, 0), (0, target_in), -tier, vertical=True)
    sheet.dimension((0, 0), (0, width), -2 * tier, vertical=True)
    if screws and nails:
        after = [nail for nail in nails if nail > screws[0] + 0.01][:1]
        for nail in after:
            sheet.dimension((screws[0] - start, width), (nail - start, width), width + tier)
    studs = [stud for stud in studs_in if start < stud < end]
    for first, second in itertools.pairwise(studs):
        sheet.dimension((first - start, width), (second - start, width), width + 2 * tier)
    sheet.scale_bar((0, -tier - sheet.pt(40)), "seen from below; studs hatched, dimensioned on top")
