"""Joints of the top plates: splice nails each side of a lap, a strap across a joint, a strut lapping the plates."""

from __future__ import annotations

import itertools
from math import ceil
from typing import Any

from engineering.nail_spacing import SPACING_DIAMETERS
from reports.drawings import svg
from reports.drawings import wall_section as section
from reports.drawings.callouts import Note, callouts
from reports.drawings.sheet import (
    ACCENT,
    ADDED,
    ADDED_TEXT,
    EXISTING,
    GROUND,
    NEW,
    PAPER,
    QUIET_TEXT,
    Sheet,
    length_text,
)

BEYOND_IN, LAP_SHOWN_IN, STRAP_IN, STRUT_SHOWN_IN = 8.0, 24.0, 24.0, 36.0


def draw_joint(
    *,
    plates_in: list[float],
    lap_in: float | None,
    connector: dict[str, Any],
    count: int,
    strap: bool,
    where: str,
    holds: int | None,
    rows: int,
    title: str,
    paper_width_in: float,
    paper_height_in: float,
) -> svg.Svg:
    """The plates seen from inside around one joint of the upper one; `where` names line and place.

    `lap_in`: the shorter distance to a joint of the lower plate, None where nobody saw it; `count`: nails each side, or
    straps; `holds`: the most nails that the lap holds each side, in
    `rows` along the plates.
    """

    def fill(sheet: Sheet) -> None:
        near = lap_in if lap_in is not None and lap_in <= LAP_SHOWN_IN else None
        half = max(near or 0.0, (connector.get("length_in") or STRAP_IN) / 2 if strap else 16.0) + BEYOND_IN
        base = -sum(plates_in)
        low = base + (plates_in[0] if len(plates_in) > 1 else 0.0)
        for start, end in ((-half, 0.0), (0.0, half)):
            sheet.rectangle(GROUND, (start, low), (end, 0.0), fill=PAPER)
        if len(plates_in) > 1:
            joint = half if near is None else near
            sheet.rectangle(GROUND, (-half, base), (joint, low), fill=PAPER)
            if joint < half:
                sheet.rectangle(GROUND, (joint, base), (half, low), fill=PAPER)
        for x in (-half, half):
            section.break_line(sheet, (x, base), (x, 0.0))
        lapped = "" if lap_in is None else f", {length_text(lap_in)} to the nearer joint of the lower plate"
        notes = [Note((0.0, low / 2), f"joint of the upper plate: {where}{lapped}", QUIET_TEXT)]
        notes += _strap(sheet, low) if strap else _nails(sheet, base, low)
        if near and len(plates_in) > 1:
            notes.append(Note((near, (base + low) / 2), "joint of the lower plate", QUIET_TEXT))
            sheet.dimension((0.0, 0.0), (near, base), sheet.pt(20))
        sheet.dimension((-half, base), (-half, 0.0), -half - sheet.pt(20), vertical=True)
        callouts(sheet, notes, x_in=half + sheet.pt(18))
        sheet.scale_bar((-half, base - sheet.pt(64)))

    def _nails(sheet: Sheet, base: float, low: float) -> list[Note]:
        """From below through the lower plate, as many on one side of the joint as on the other."""
        apart = SPACING_DIAMETERS * connector["diameter_in"]
        places = [apart * (1 + index // rows) for index in range(count)]
        for side, along in itertools.product((-1, 1), dict.fromkeys(places)):
            section.nail(sheet, (side * along, base), (side * along, base + connector["length_in"]))
        sheet.dimension((-places[-1], base), (0.0, base), base - sheet.pt(20))
        room = "" if holds is None else f"; this lap holds {holds} each side"
        in_rows = "two rows" if rows > 1 else "one row"
        text = (
            f"{count} nails {connector['name']} each side of this joint, others by the schedule; {in_rows}, at least "
            f"{length_text(ceil(apart * 16) / 16)} from each other and from the joints, besides the stitch nails{room}"
        )
        return [Note((places[-1], base + 0.3), text, ADDED_TEXT)]

    def _strap(sheet: Sheet, low: float) -> list[Note]:
        long = connector.get("length_in") or STRAP_IN
        middle, wide = low / 2, min(1.25, abs(low))
        sheet.rectangle(ADDED, (-long / 2, middle - wide / 2), (long / 2, middle + wide / 2), fill=PAPER)
        for index in range(8):
            along = long / 2 * (index // 2 + 1) / 5
            for side in (-1, 1):
                at = (side * along, middle + (0.25 if index % 2 else -0.25))
                sheet.circle(ADDED, at, sheet.pt(1.2), fill=ACCENT)
        if connector.get("length_in"):
            sheet.dimension((-long / 2, middle), (long / 2, middle), low - sum(plates_in[:-1]) - sheet.pt(20))
        text = (
            f"{count} × {connector['name']}, report {connector['report']}, centred on the joint; shape by its report, "
            "every hole that it names filled"
        )
        return [Note((long / 2, middle), text, ADDED_TEXT)]

    return svg.write_fitting(
        fill,
        title=title,
        paper_width_in=paper_width_in,
        paper_height_in=paper_height_in,
        zoom=section.ZOOM,
        largest=0.25,
    )


def draw_strut(
    *,
    plate_width_in: float,
    strut: dict[str, Any],
    connector: dict[str, Any],
    count: int,
    strap: bool,
    title: str,
    paper_width_in: float,
    paper_height_in: float,
) -> svg.Svg:
    """The end of the plates and the strut beyond it, seen from below; `count` nails or straps join them."""

    def fill(sheet: Sheet) -> None:
        lap = strut["lap_in"] if isinstance(strut["lap_in"], int | float) else None
        over = lap or 0.0
        shown = min(strut["length_ft"] * 12, STRUT_SHOWN_IN)
        plate, deep = over + BEYOND_IN, strut["depth_in"]
        low = (plate_width_in - deep) / 2
        sheet.rectangle(GROUND, (-plate, 0.0), (0.0, plate_width_in), fill=PAPER)
        section.break_line(sheet, (-plate, 0.0), (-plate, plate_width_in))
        sheet.rectangle(NEW, (-over, low), (shown, low + deep), fill=PAPER)
        if shown < strut["length_ft"] * 12:
            section.break_line(sheet, (shown, low), (shown, low + deep))
        sheet.line(EXISTING, (0.0, 0.0), (0.0, plate_width_in))
        if strap:
            middle, long = plate_width_in / 2, connector.get("length_in") or STRAP_IN
            sheet.rectangle(ADDED, (-long / 2, middle - 0.6), (long / 2, middle + 0.6), fill=PAPER)
            at = (long / 2, middle)
        else:
            places = [-over * (index + 1) / (count + 1) for index in range(count)]
            for index, along in enumerate(places):
                across = plate_width_in / 2 + deep * (0.2 if index % 2 else -0.2)
                sheet.circle(ADDED, (along, across), max(connector["diameter_in"] / 2, sheet.pt(1.4)), fill=ACCENT)
            at = (places[0], plate_width_in / 2 - deep * 0.2)
        tier, foot = sheet.pt(20), min(0.0, low)
        if lap:
            sheet.dimension((-lap, foot), (0.0, foot), foot - tier)
        sheet.dimension((shown, low), (shown, low + deep), shown + tier, vertical=True)
        sheet.dimension((-plate, 0.0), (-plate, plate_width_in), -plate - tier, vertical=True)
        size = f"{length_text(strut['thickness_in'])} × {length_text(deep)}"
        joined = (
            f"{count} × {connector['name']}, report {connector['report']}"
            if strap
            else f"{count} nails {connector['name']} through the strut into the plates, in two rows"
        )
        notes = [
            Note(
                (shown * 0.8, low + deep), f"strut {size}, {length_text(strut['length_ft'] * 12)} beyond the wall's end"
            ),
            Note(at, joined, ADDED_TEXT),
            Note((-over - 2.0, plate_width_in * 0.2), "top plates of the wall line", QUIET_TEXT),
        ]
        callouts(sheet, notes, x_in=shown + tier + sheet.pt(28))
        sheet.scale_bar((-plate, foot - sheet.pt(64)))

    return svg.write_fitting(
        fill,
        title=title,
        paper_width_in=paper_width_in,
        paper_height_in=paper_height_in,
        zoom=section.ZOOM,
        largest=0.25,
    )
