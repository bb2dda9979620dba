"""One wall line as an elevation: what stands, what is added, and where, measured from one datum.

Seen from outside for the permit set, from inside for the crew. Order: ground, framing, openings, panels, anchors,
connectors, dimensions. The finish over the framing is left away.
"""

from __future__ import annotations

from typing import Any

from reports.drawings import svg, wall_line
from reports.drawings.elevation_dimensions import draw_dimensions
from reports.drawings.elevation_view import FLOOR_IN, FOOTING_IN, View
from reports.drawings.sheet import (
    ADDED,
    DIMENSION,
    EXISTING,
    GROUND,
    HIDDEN,
    JOINT,
    NEW,
    PAPER,
    QUIET_TEXT,
    Point,
    Sheet,
    length_text,
    text_width_pt,
)
from reports.drawings.wall_line import Viewpoint
from reports.drawings.wall_parts import (
    draw_anchor,
    draw_floor_connector,
    draw_side_connection,
    draw_stitch_nails,
    draw_strap,
    draw_tie_down,
)


def draw(
    line: dict[str, Any],
    *,
    catalogue: dict[str, Any],
    outline_ft: list[list[float]],
    seen_from: Viewpoint,
    paper_width_in: float,
    paper_height_in: float = 7.0,
    schedule: dict[str, Any] | None = None,
    result: dict[str, Any] | None = None,
    window_in: tuple[float, float] | None = None,
    crew: bool = False,
    zoom: float = 1.0,
) -> str:
    """The elevation as SVG at the largest architect's scale that fits the paper.

    `schedule` and `result` are the line's own, absent before a design exists. `window_in` cuts a stretch of the line;
    `crew` leaves out the rows of panels and studs, which a work order lists.
    ValueError when no scale fits.
    """
    low, high = window_in or (0.0, wall_line.length_in(line))
    zero_left = wall_line.zero_is_left(line, outline_ft, seen_from)

    def fill(sheet: Sheet) -> None:
        view = _Elevation(
            sheet=sheet,
            line=line,
            schedule=schedule,
            result=result,
            catalogue=catalogue,
            low_in=low,
            high_in=high,
            zero_left=zero_left,
        )
        view.ground()
        view.framing()
        view.openings()
        view.panels()
        view.anchors()
        view.connectors()
        draw_dimensions(view, crew=crew)

    return svg.write_fitting(
        fill,
        title=f"Wall line {line['label']}, {wall_line.facing(line, outline_ft)} side, seen from {seen_from}",
        paper_width_in=paper_width_in,
        paper_height_in=paper_height_in,
        zoom=zoom,
    )


class _Elevation(View):
    """The drawing itself, part by part."""

    def ground(self) -> None:
        """Concrete under the sill, stepping with the segments, and where the drawing is cut off."""
        sheet, base = self.sheet, self.lowest - FOOTING_IN
        for segment in self.line["segments"]:
            if (ends := self.stretch(segment["from_ft"], segment["to_ft"])) is None:
                continue
            top = wall_line.sill_bottom_in(self.line, segment)
            sheet.hatch_rectangle((ends[0], base), (ends[1], top), spacing_pt=9.0)
            sheet.line(GROUND, (ends[0], top), (ends[1], top))
        for x in (0.0, self.width_in):
            if self.is_line_end(x):
                sheet.line(GROUND, (x, base), (x, self.bottom(self.station(x))))
            else:
                self._break_line(x, base)
        self._break_along(base)

    def _break_line(self, x: float, base: float) -> None:
        top, step = self.line["framing"]["rim_depth_in"] + self.sheet.pt(6), self.sheet.pt(4)
        middle = (base + top) / 2
        points = (
            (x, base),
            (x, middle - step),
            (x - step, middle - step / 3),
            (x + step, middle + step / 3),
            (x, middle + step),
            (x, top),
        )
        self.sheet.polyline(DIMENSION, points)

    def _break_along(self, base: float) -> None:
        width, step = self.high_in - self.low_in, self.sheet.pt(4)
        middle = width / 2
        points = (
            (0.0, base),
            (middle - step, base),
            (middle - step / 3, base - step),
            (middle + step / 3, base + step),
            (middle + step, base),
            (width, base),
        )
        self.sheet.polyline(DIMENSION, points)

    def framing(self) -> None:
        """Sill pieces, studs as measured, plates with their laps, rim or end joist, floor."""
        sheet, framing = self.sheet, self.line["framing"]
        half, plates = framing["stud_thickness_in"] / 2, wall_line.plates_height_in(self.line)
        panels = [(panel["from_ft"] * 12, panel["to_ft"] * 12) for panel in self.line["panels"]]
        for segment in self.line["segments"]:
            bottom = wall_line.sill_bottom_in(self.line, segment)
            for piece in self.line["sill_pieces"]:
                low, high = max(piece["from_ft"], segment["from_ft"]), min(piece["to_ft"], segment["to_ft"])
                if ends := self.stretch(low, high):
                    top = bottom + framing["sill_thickness_in"]
                    sheet.rectangle(EXISTING, (ends[0], bottom), (ends[1], top), fill=PAPER)
        for station in framing["stud_centrelines_in"]:
            if not self.shows(station):
                continue
            low, x = self.bottom(station) + framing["sill_thickness_in"], self.x(station)
            if low >= -plates - 0.01:
                continue  # joists bear on the sill: no studs here
            if any(start < station < end for start, end in panels):
                for edge in (x - half, x + half):
                    sheet.line(HIDDEN, (edge, low), (edge, -plates))
            else:
                sheet.rectangle(EXISTING, (x - half, low), (x + half, -plates), fill=PAPER)
        ends = self.stretch(0.0, wall_line.length_in(self.line) / 12)
        if ends is None:
            return
        level = -plates
        for thickness in framing["plates_in"]:
            sheet.rectangle(EXISTING, (ends[0], level), (ends[1], level + thickness), fill=PAPER)
            level += thickness
        depth = framing["rim_depth_in"]
        sheet.rectangle(EXISTING, (ends[0], 0.0), (ends[1], depth), fill=PAPER)
        sheet.line(GROUND, (ends[0], depth + FLOOR_IN), (ends[1], depth + FLOOR_IN))
        self._plate_laps()

    def _plate_laps(self) -> None:
        laps, plates = self.line["plate_laps_ft"], self.line["framing"]["plates_in"]
        if not plates or isinstance(laps, str):
            return
        for at_ft in laps:
            if self.shows(at_ft * 12):
                x = self.x(at_ft * 12)
                self.sheet.line(JOINT, (x, -plates[-1]), (x, 0.0))
                self.sheet.text(
                    (x, self.line["framing"]["rim_depth_in"] / 2),
                    "plate lap",
                    layer=QUIET_TEXT,
                    size_pt=6.5,
                    anchor="middle",
                    halo=True,
                )
                self.sheet.line(DIMENSION, (x, 0.0), (x, self.line["framing"]["rim_depth_in"] / 2 - self.sheet.pt(5)))

    def openings(self) -> None:
        plates = wall_line.plates_height_in(self.line)
        for opening in self.line["openings"]:
            if ends := self.stretch(opening["from_ft"], opening["to_ft"]):
                middle = (opening["from_ft"] + opening["to_ft"]) * 6
                low = self.bottom(middle) + self.line["framing"]["sill_thickness_in"]
                self.sheet.rectangle(EXISTING, (ends[0], low), (ends[1], -plates), fill=PAPER)
                self.sheet.line(EXISTING, (ends[0], low), (ends[1], -plates))
                self.sheet.line(EXISTING, (ends[0], -plates), (ends[1], low))
                self._lines_of_text(
                    (sum(ends) / 2, (low - plates) / 2), opening["label"].split(", "), ends, layer=QUIET_TEXT
                )

    def panels(self) -> None:
        top = -self.line["framing"]["plates_in"][-1] if wall_line.ends_at_lower_plate(self.line) else 0.0
        for number, panel in enumerate(self.line["panels"], start=1):
            ends = self.stretch(panel["from_ft"], panel["to_ft"])
            if ends is None:
                continue
            bottom = self.bottom((panel["from_ft"] + panel["to_ft"]) * 6)
            self.sheet.hatch_rectangle((ends[0], bottom), (ends[1], top), spacing_pt=14.0, angle_deg=-45.0)
            self.sheet.rectangle(NEW, (ends[0], bottom), (ends[1], top))
            for joint in wall_line.panel_joints_in(self.result, number):
                if self.shows(joint):
                    self.sheet.line(JOINT, (self.x(joint), bottom), (self.x(joint), top))
            nailing = [
                item for item in wall_line.rows(self.schedule, "panel edge nails") if item["panel"] in (None, number)
            ]
            texts = [
                f"Panel {self.line['label']}·{number}, {length_text((panel['to_ft'] - panel['from_ft']) * 12)} long"
            ]
            sheathing = self.line["sheathing"]
            texts.append(f"{sheathing['thickness']} in {sheathing['grade']}")
            texts += [
                f"{sheathing['nail']} {sheathing['nail_diameter_in']:g} × "
                f"{length_text(sheathing['nail_length_in'])} nails at {item['spacing_in']:g} in at all edges"
                for item in nailing
                if item["spacing_in"]
            ]
            whole = (panel["from_ft"] * 12 >= self.low_in - 0.01) and (panel["to_ft"] * 12 <= self.high_in + 0.01)
            self._lines_of_text(
                (sum(ends) / 2, (bottom + top) / 2), texts if whole else texts[:1], ends, bold_first=True
            )

    def _lines_of_text(
        self, at: Point, texts: list[str], ends: tuple[float, float], *, layer: Any = None, bold_first: bool = False
    ) -> None:
        """Lines of text about a point, leaving away those wider than the part they name (the schedule has them)."""
        room = (ends[1] - ends[0]) - self.sheet.pt(4)
        fitting = [text for text in texts if self.sheet.pt(text_width_pt(text, 7.5, bold=True)) <= room]
        if not fitting and texts:
            fitting = [texts[0].split(",")[0].removeprefix("Panel ")]
        step = self.sheet.pt(10)
        for index, text in enumerate(fitting):
            y = at[1] + (len(fitting) - 1) / 2 * step - index * step
            more = {"layer": layer} if layer else {}
            self.sheet.text((at[0], y), text, anchor="middle", halo=True, bold=bold_first and index == 0, **more)

    def anchors(self) -> None:
        sill = self.line["framing"]["sill_thickness_in"]
        for anchor in self.line["existing_anchors"]:
            station = anchor["at_ft"] * 12
            if self.shows(station):
                draw_anchor(
                    self.sheet,
                    (self.x(station), self.bottom(station) + sill),
                    sill_in=sill,
                    new=False,
                    counted=anchor["accepted"],
                    embedment_in=anchor["embedment_in"],
                )
        evaluated = {item["key"]: item for item in self.catalogue["evaluated"]}
        for item in wall_line.rows(self.schedule, "sill anchors"):
            for station in item["positions_in"]:
                if self.shows(station):
                    embedment = evaluated.get(item["connector"], {}).get("embedment_in")
                    draw_anchor(
                        self.sheet,
                        (self.x(station), self.bottom(station) + sill),
                        sill_in=sill,
                        new=True,
                        counted=True,
                        embedment_in=embedment,
                    )
        for station in wall_line.positions_in(self.schedule, "side connections"):
            if self.shows(station):
                draw_side_connection(self.sheet, (self.x(station), self.bottom(station) + sill), sill_in=sill)
        for station in wall_line.positions_in(self.schedule, "tie-downs"):
            if self.shows(station):
                x, bottom = self.x(station), self.bottom(station)
                draw_tie_down(
                    self.sheet, (x, bottom + sill), post_x=self._post_edge(station), footing_in=FOOTING_IN - 2
                )

    def _post_edge(self, station_in: float) -> float:
        """The face of the end post that a tie-down is fastened to: the side away from the panel's middle is its end."""
        post = self.line["end_post"]
        ends = [edge * 12 for panel in self.line["panels"] for edge in (panel["from_ft"], panel["to_ft"])]
        end = min(ends, key=lambda edge: abs(edge - station_in))
        return self.x(end + (post["width_in"] if station_in > end else -post["width_in"]))

    def connectors(self) -> None:
        kinds, framing = wall_line.connector_kinds(self.catalogue), self.line["framing"]
        to_plate = [item for role in wall_line.FLOOR_ROLES for item in wall_line.rows(self.schedule, role)]
        for item in to_plate:
            for station in item["positions_in"]:
                if self.shows(station):
                    draw_floor_connector(
                        self.sheet,
                        self.x(station),
                        kind=kinds[item["connector"]],
                        plates_in=wall_line.plates_height_in(self.line),
                        rim_in=framing["rim_depth_in"],
                    )
        for station in wall_line.positions_in(self.schedule, "stitch nails"):
            if self.shows(station):
                draw_stitch_nails(self.sheet, self.x(station), plates_in=framing["plates_in"])
        for role in ("plate straps", "strut splice"):
            for station in wall_line.positions_in(self.schedule, role):
                if self.shows(station):
                    draw_strap(self.sheet, self.x(station), plates_in=framing["plates_in"])
        self._blocks()

    def _blocks(self) -> None:
        """Flat blocks on a sill wider than the studs, bay by bay inside the panels that have them."""
        framing = self.line["framing"]
        half, height = framing["stud_thickness_in"] / 2, 1.5
        for item in wall_line.rows(self.schedule, "block nails"):
            for bay in wall_line.bays_inside(self.line, self.line["panels"][(item["panel"] or 1) - 1]):
                low, high = bay.from_in, bay.to_in
                if self.shows(low) and self.shows(high):
                    base = self.bottom((low + high) / 2) + framing["sill_thickness_in"]
                    left, right = sorted((self.x(low + half), self.x(high - half)))
                    self.sheet.rectangle(ADDED, (left, base), (right, base + height))
