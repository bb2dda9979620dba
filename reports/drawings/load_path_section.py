"""The load path through a wall line in section: floor, joist, plates, studs, panel, sill, concrete. True sizes.

Each link of the chain is called out where it lies, with its state; one that is open is a gap in the section, edged
with dashes, and the word. What joins the parts is drawn only where it is there.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from engineering.connector_values import BLOCK_THICKNESS_IN
from engineering.plate_washers import THICKNESS_IN
from reports.drawings import svg
from reports.drawings import wall_section as section
from reports.drawings.callouts import Note, callouts
from reports.drawings.load_path import LinkState
from reports.drawings.sheet import ACCENT, ADDED, GROUND, OPEN, PAPER, QUIET_TEXT, TEXT, Point, Sheet

CONCRETE_IN, INSIDE_IN = 12.0, 13.0
LARGEST = 1 / 8  # 1-1/2 in to the foot, so that a set of lines keeps one scale


@dataclass(frozen=True, slots=True, kw_only=True)
class Joiners:
    """What joins the members of one section: nothing, existing or new."""

    new: bool
    floor_to_plate: str = ""  # kind of connector, "nail" or "blocking"
    stitched: bool = False
    panel: bool = False
    block: bool = False  # on a wide sill
    flush_cut: bool = False
    anchor_embedment_in: float | None = None  # None: no anchor
    anchor_at_in: float = 0.0  # across the sill, from its outer face
    washer_in: float = 0.0


def draw(
    *,
    framing: dict[str, Any],
    foundation: dict[str, Any],
    stud_height_in: float,
    panel_thickness_in: float,
    joiners: Joiners,
    links: Sequence[LinkState],
    title: str,
    paper_width_in: float,
    paper_height_in: float,
) -> svg.Svg:
    """One section with the state of each link; `framing` and `foundation` as surveyed."""

    def fill(sheet: Sheet) -> None:
        wall = _Wall(sheet, framing, foundation, stud_height_in, panel_thickness_in, joiners)
        wall.members()
        wall.connectors()
        wall.states(links)
        wall.dimensions()

    return svg.write_fitting(
        fill,
        title=title,
        paper_width_in=paper_width_in,
        paper_height_in=paper_height_in,
        zoom=section.ZOOM,
        largest=LARGEST,
    )


class _Wall:
    """The section's levels, and what is drawn on them."""

    def __init__(
        self,
        sheet: Sheet,
        framing: dict[str, Any],
        foundation: dict[str, Any],
        stud_height_in: float,
        panel_thickness_in: float,
        joiners: Joiners,
    ) -> None:
        self.sheet, self.framing, self.joiners, self.panel_in = sheet, framing, joiners, panel_thickness_in
        self.base = section.plates_base_in(framing)
        self.sill_top = self.base - (stud_height_in if framing["plates_in"] else 0.0)
        self.sill_low = self.sill_top - framing["sill_thickness_in"]
        self.floor_level = 0.0 if framing["plates_in"] else self.sill_top
        self.outer, self.inner = section.concrete_faces(framing, foundation)
        self.sill_in = framing["stud_depth_in"] if joiners.flush_cut else framing["sill_width_in"]

    def members(self) -> None:
        sheet, framing, joiners = self.sheet, self.framing, self.joiners
        section.concrete(sheet, self.outer, self.inner, self.sill_low, CONCRETE_IN)
        section.cut(sheet, (0.0, self.sill_low), (self.sill_in, self.sill_top))
        if framing["plates_in"]:
            section.stud(sheet, framing, self.sill_top, self.base)
        section.plates(sheet, framing)
        section.floor(sheet, framing, INSIDE_IN, level=self.floor_level)
        if joiners.block:
            section.cut(
                sheet,
                (0.0, self.sill_top),
                (framing["stud_depth_in"], self.sill_top + BLOCK_THICKNESS_IN),
                new=True,
                block=True,
            )
        if joiners.panel and framing["plates_in"]:
            low = self.sill_top if joiners.block else self.sill_low
            section.panel(sheet, framing, self.panel_in, low, self._panel_top())

    def _panel_top(self) -> float:
        levels = section.plate_levels(self.framing)
        return levels[0][1] if self.framing["top_nails_reach"] == "lower plate" else 0.0

    def connectors(self) -> None:
        sheet, framing, joiners = self.sheet, self.framing, self.joiners
        layer = ADDED if joiners.new else GROUND
        outer, inner = section.floor_at(framing)
        middle, kind, foot = (outer + inner) / 2, joiners.floor_to_plate, self.floor_level
        if kind in ("through-plate screw", "lag screw") and framing["plates_in"]:
            section.nail(sheet, (middle, self.base), (middle, min(3.0, framing["rim_depth_in"] * 0.6)), layer=layer)
        elif kind == "framing angle":
            sheet.polyline(layer, ((inner, foot + 3.0), (inner, foot), (inner + 1.5, foot)))
        elif kind == "face plate":
            sheet.line(layer, (outer, foot + 3.0), (outer, foot - min(3.0, -self.base)))
        elif kind == "nail":
            section.nail(sheet, (inner, foot + 1.2), (inner - 0.9, foot - 1.0), layer=layer)
        elif kind == "blocking":
            section.cut(
                sheet, (inner, foot), (inner + BLOCK_THICKNESS_IN, foot + BLOCK_THICKNESS_IN), new=True, block=True
            )
        if joiners.stitched and framing["plates_in"]:
            x = framing["plate_width_in"] - 0.9
            section.nail(sheet, (x, self.base), (x, self.base + min(2.9, -self.base)), layer=layer)
        if joiners.anchor_embedment_in is not None:
            x = joiners.anchor_at_in
            low, top = self.sill_low - joiners.anchor_embedment_in, self.sill_top + 1.2
            sheet.rectangle(layer, (x - 0.25, low), (x + 0.25, top), fill=PAPER)
            if joiners.washer_in:
                half = joiners.washer_in / 2
                fill = ACCENT if joiners.new else GROUND.colour
                washer = ((x - half, self.sill_top), (x + half, self.sill_top + THICKNESS_IN))
                sheet.rectangle(layer, *washer, fill=fill)

    def states(self, links: Sequence[LinkState]) -> None:
        places = self._places()
        shown = [link for link in links if link.link in places]
        for link in shown:
            if link.status == "open":
                self._gap(*places[link.link])
        notes = [self._note(link, *places[link.link]) for link in shown]
        callouts(self.sheet, notes, x_in=INSIDE_IN + self.sheet.pt(22), wrap_pt=150)

    def _places(self) -> dict[str, tuple[Point, Point]]:
        """Where each link lies: the ends of the joint that it crosses, or one point within a part."""
        framing = self.framing
        outer, inner = section.floor_at(framing)
        width, face, sill = framing["plate_width_in"], framing["stud_depth_in"], self.sill_in
        levels = section.plate_levels(framing)
        top = framing["rim_depth_in"] + (0.0 if levels else self.sill_top)
        anchor = self.joiners.anchor_at_in or sill / 2
        found = {
            "0": ((outer, top), (inner, top)),
            "6a": ((0.0, self.sill_low), (sill, self.sill_low)),
            "6b": _point(anchor, self.sill_low - 3.0),
            "8": _point(self.inner, self.sill_low - CONCRETE_IN * 0.85),
        }
        if not levels:
            return found | {"1": ((0.0, self.sill_top), (max(sill, inner), self.sill_top))}
        middle = (self.sill_top + self.base) / 2
        found |= {
            "1": ((0.0, 0.0), (max(width, inner), 0.0)),
            "3": _point(width, (levels[-1][0] + levels[-1][1]) / 2),
            "4": ((face, self.sill_top + 2.5), (face, self.base - 1.5)),
            "5": ((0.0, self.sill_top), (face + self.panel_in, self.sill_top)),
            "7a": _point(face * 0.7, self.sill_top + (middle - self.sill_top) * 0.5),
            "7b": _point(anchor, self.sill_low - 6.0),
        }
        if len(levels) > 1:
            found["2"] = ((0.0, levels[0][1]), (width, levels[0][1]))
        return found

    def _gap(self, start: Point, end: Point) -> None:
        """Paper over the joint between two dashed edges: nothing holds here."""
        sheet, over, half = self.sheet, self.sheet.pt(6), self.sheet.pt(2.4)
        (x0, y0), (x1, y1) = start, end
        if start == end:  # within a part: a broken stroke across it
            x0, x1 = x0 - over, x1 + over
        low, high = (x0 - over, y0 - half), (x1 + over, y1 + half)
        if x0 == x1:  # along the studs' face, where a panel would stand
            low, high = (x0, y0), (x0 + max(self.panel_in, 2 * half), y1)
        sheet.rectangle(OPEN, low, high, fill=PAPER)

    def _note(self, link: LinkState, start: Point, end: Point) -> Note:
        at = (end[0], (start[1] + end[1]) / 2)
        quiet = link.mark == ""
        words = f"{link.link}  {link.name}: {link.words}"
        return Note(at, words, QUIET_TEXT if quiet else TEXT, link.mark, bold=link.status in ("open", "over"))

    def dimensions(self) -> None:
        sheet, framing = self.sheet, self.framing
        tier = sheet.pt(20)
        left = min(self.outer, 0.0) - tier
        outer, _ = section.floor_at(framing)
        level = self.floor_level
        sheet.dimension((outer, level), (outer, level + framing["rim_depth_in"]), left, vertical=True)
        if framing["plates_in"]:
            sheet.dimension((0.0, self.base), (0.0, 0.0), left - tier, vertical=True)
            sheet.dimension((0.0, self.sill_top), (0.0, self.base), left - tier, vertical=True)
        row = left if framing["plates_in"] else left - tier
        sheet.dimension((0.0, self.sill_low), (0.0, self.sill_top), row, vertical=True)
        low = self.sill_low - CONCRETE_IN - tier
        sheet.dimension((0.0, self.sill_low), (self.sill_in, self.sill_low), low)
        sheet.scale_bar((left - tier, low - sheet.pt(34)))


def _point(x: float, y: float) -> tuple[Point, Point]:
    return (x, y), (x, y)
