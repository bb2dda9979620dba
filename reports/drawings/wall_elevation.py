"""One wall line as an elevation: what stands, what is added, and where, measured from one datum.

Seen from outside for the permit set, from inside for the crew. Order: ground, framing, openings, panels, anchors,
connectors, dimensions. The finish over the framing is left away.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from reports.drawings import svg, wall_line
from reports.drawings.running_dimensions import Mark, running_dimensions
from reports.drawings.sheet import (
    ADDED,
    ADDED_TEXT,
    DIMENSION,
    EXISTING,
    GROUND,
    HIDDEN,
    INK,
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
from reports.drawings.wall_parts import draw_anchor, draw_floor_connector, draw_stitch_nails, draw_tie_down

FOOTING_IN = 12.0
FLOOR_IN = 0.75


def draw(
    line: dict[str, Any], *, catalogue: dict[str, Any], outline_ft: list[list[float]], seen_from: Viewpoint,
    paper_width_in: float, paper_height_in: float = 7.0, schedule: dict[str, Any] | None = None,
    result: dict[str, Any] | None = None, window_in: tuple[float, float] | None = None, studs_row: bool = True, zoom: float = 1.0,
) -> str:  # fmt: skip
    """The elevation as SVG at the largest architect's scale that fits the paper.

    `schedule` and `result` are the line's own, absent before a design exists. `window_in` cuts a stretch of the line.
    ValueError when no scale fits.
    """
    low, high = window_in or (0.0, wall_line.length_in(line))
    zero_left = wall_line.zero_is_left(line, outline_ft, seen_from)

    def fill(sheet: Sheet) -> None:
        view = _Elevation(
            sheet=sheet, line=line, schedule=schedule, result=result, catalogue=catalogue, low_in=low, high_in=high,
            zero_left=zero_left,
        )  # fmt: skip
        view.ground()
        view.framing()
        view.openings()
        view.panels()
        view.anchors()
        view.connectors()
        view.dimensions(studs_row=studs_row)

    return svg.write_fitting(
        fill,
        title=f"Wall line {line['label']}, {wall_line.facing(line, outline_ft)} side, seen from {seen_from}",
        paper_width_in=paper_width_in,
        paper_height_in=paper_height_in,
        zoom=zoom,
    )


@dataclass(slots=True)
class _Elevation:
    sheet: Sheet
    line: dict[str, Any]
    schedule: dict[str, Any] | None
    result: dict[str, Any] | None
    catalogue: dict[str, Any]
    low_in: float
    high_in: float
    zero_left: bool

    def x(self, station_in: float) -> float:
        return station_in - self.low_in if self.zero_left else self.high_in - station_in

    def shows(self, station_in: float) -> bool:
        return self.low_in - 0.01 <= station_in <= self.high_in + 0.01

    def stretch(self, from_ft: float, to_ft: float) -> tuple[float, float] | None:
        """A stretch cut to the window, as left and right x; None outside it."""
        low, high = max(from_ft * 12, self.low_in), min(to_ft * 12, self.high_in)
        if high - low < 0.01:
            return None
        left, right = sorted((self.x(low), self.x(high)))
        return left, right

    def bottom(self, station_in: float) -> float:
        return wall_line.sill_bottom_in(self.line, wall_line.segment_at(self.line, station_in))

    @property
    def lowest(self) -> float:
        return min(wall_line.sill_bottom_in(self.line, segment) for segment in self.line["segments"])

    def ground(self) -> None:
        """Concrete under the sill, stepping with the segments, and where the drawing is cut off."""
        sheet, base = self.sheet, self.lowest - FOOTING_IN
        for segment in self.line["segments"]:
            if (ends := self.stretch(segment["from_ft"], segment["to_ft"])) is None:
                continue
            top = wall_line.sill_bottom_in(self.line, segment)
            sheet.hatch_rectangle((ends[0], base), (ends[1], top), spacing_pt=9.0)
            sheet.line(GROUND, (ends[0], top), (ends[1], top))
        for x, end in ((0.0, self.x(0.0)), (self.high_in - self.low_in, self.x(wall_line.length_in(self.line)))):
            if abs(x - end) < 0.01 or abs(x - self.x(0.0)) < 0.01 or self._is_line_end(x):
                sheet.line(GROUND, (x, base), (x, self.bottom(self._station(x))))
            else:
                self._break_line(x, base)
        self._break_along(base)

    def _station(self, x: float) -> float:
        return x + self.low_in if self.zero_left else self.high_in - x

    def _is_line_end(self, x: float) -> bool:
        station = self._station(x)
        return station < 0.01 or station > wall_line.length_in(self.line) - 0.01

    def _break_line(self, x: float, base: float) -> None:
        top, step = self.line["framing"]["rim_depth_in"] + self.sheet.pt(6), self.sheet.pt(4)
        middle = (base + top) / 2
        points = ((x, base), (x, middle - step), (x - step, middle - step / 3), (x + step, middle + step / 3),
                  (x, middle + step), (x, top))  # fmt: skip
        self.sheet.polyline(DIMENSION, points)

    def _break_along(self, base: float) -> None:
        width, step = self.high_in - self.low_in, self.sheet.pt(4)
        middle = width / 2
        points = ((0.0, base), (middle - step, base), (middle - step / 3, base - step), (middle + step / 3, base + step),
                  (middle + step, base), (width, base))  # fmt: skip
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
                self.sheet.text((x, self.line["framing"]["rim_depth_in"] / 2), "plate lap", layer=QUIET_TEXT, size_pt=6.5,
                                anchor="middle", halo=True)  # fmt: skip
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
                self._lines_of_text((sum(ends) / 2, (low - plates) / 2), opening["label"].split(", "), ends,
                                    layer=QUIET_TEXT)  # fmt: skip

    def panels(self) -> None:
        top = -self.line["framing"]["plates_in"][-1] if wall_line.ends_at_lower_plate(self.line) else 0.0
        for number, panel in enumerate(self.line["panels"], start=1):
            ends = self.stretch(panel["from_ft"], panel["to_ft"])
            if ends is None:
                continue
            bottom = self.bottom((panel["from_ft"] + panel["to_ft"]) * 6)
            self.sheet.hatch_rectangle((ends[0], bottom), (ends[1], top), spacing_pt=14.0, angle_deg=-45.0)
            self.sheet.rectangle(NEW, (ends[0], bottom), (ends[1], top))
            for joint in wall_line.panel_joints_in(self.result, self.schedule, number):
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
                for item in nailing if item["spacing_in"]
            ]  # fmt: skip
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
                draw_anchor(self.sheet, (self.x(station), self.bottom(station) + sill), sill_in=sill, new=False,
                            counted=anchor["accepted"], embedment_in=anchor["embedment_in"])  # fmt: skip
        evaluated = {item["key"]: item for item in self.catalogue["evaluated"]}
        for item in wall_line.rows(self.schedule, "sill anchors"):
            for station in item["positions_in"]:
                if self.shows(station):
                    embedment = evaluated.get(item["connector"], {}).get("embedment_in")
                    draw_anchor(self.sheet, (self.x(station), self.bottom(station) + sill), sill_in=sill, new=True,
                                counted=True, embedment_in=embedment)  # fmt: skip
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
        for item in wall_line.rows(self.schedule, "floor to plate"):
            for station in item["positions_in"]:
                if self.shows(station):
                    draw_floor_connector(self.sheet, self.x(station), kind=kinds[item["connector"]],
                                         plates_in=wall_line.plates_height_in(self.line),
                                         rim_in=framing["rim_depth_in"])  # fmt: skip
        for station in wall_line.positions_in(self.schedule, "stitch nails"):
            if self.shows(station):
                draw_stitch_nails(self.sheet, self.x(station), plates_in=framing["plates_in"])
        self._blocks()

    def _blocks(self) -> None:
        """Flat blocks on a sill wider than the studs, bay by bay inside the panels that have them."""
        framing = self.line["framing"]
        half, height = framing["stud_thickness_in"] / 2, 1.5
        for item in wall_line.rows(self.schedule, "block nails"):
            panels = self.line["panels"]
            for panel in panels if item["panel"] is None else [panels[item["panel"] - 1]]:
                for bay in wall_line.bays(self.line):
                    low, high = max(bay.from_in, panel["from_ft"] * 12), min(bay.to_in, panel["to_ft"] * 12)
                    if high - low < 2 * half + 1 or not (self.shows(low) and self.shows(high)):
                        continue
                    base = self.bottom((low + high) / 2) + framing["sill_thickness_in"]
                    left, right = sorted((self.x(low + half), self.x(high - half)))
                    self.sheet.rectangle(ADDED, (left, base), (right, base + height))

    def dimensions(self, *, studs_row: bool) -> None:
        """Running dimensions from the datum: connectors above, panels, then anchors and studs below; overall length."""
        sheet, names = self.sheet, wall_line.connector_names(self.catalogue)
        y = self.line["framing"]["rim_depth_in"] + FLOOR_IN + sheet.pt(10)
        marks = [Mark(s, ADDED_TEXT) for s in wall_line.positions_in(self.schedule, "floor to plate")]
        rows = wall_line.rows(self.schedule, "floor to plate")
        heading = "; ".join(f"{names[item['connector']][:1].upper()}{names[item['connector']][1:]}: {item['count']} on this line" for item in rows)
        edges = sorted({edge * 12 for panel in self.line["panels"] for edge in (panel["from_ft"], panel["to_ft"])})
        joints = [joint for n in range(1, len(self.line["panels"]) + 1)
                  for joint in wall_line.panel_joints_in(self.result, self.schedule, n)]  # fmt: skip
        y = self._row(y, marks, heading, up=True)
        panel_marks = [Mark(s, bold=True) for s in edges] + [Mark(s) for s in joints]
        self._row(y, panel_marks, "Panel ends (bold) and panel joints, on stud centrelines", up=True)

        y = self.lowest - FOOTING_IN - sheet.pt(10)
        tie_downs = wall_line.positions_in(self.schedule, "tie-downs")
        new = wall_line.rows(self.schedule, "sill anchors")
        anchor_marks = [Mark(a["at_ft"] * 12, QUIET_TEXT) for a in self.line["existing_anchors"]]
        anchor_marks += [Mark(s, ADDED_TEXT, bold=True) for item in new for s in item["positions_in"]]
        anchor_marks += [Mark(s, ADDED_TEXT) for s in tie_downs]
        parts = [f"new {name}: {sum(i['count'] for i in new if names[i['connector']] == name)}"
                 for name in dict.fromkeys(names[item["connector"]] for item in new)]  # fmt: skip
        parts += [f"tie-down rods: {len(tie_downs)}"] if tie_downs else []
        parts += (
            [f"existing anchors (grey): {len(self.line['existing_anchors'])}"] if self.line["existing_anchors"] else []
        )
        y = self._row(y, anchor_marks, "; ".join(parts).capitalize() if parts else "", up=False)
        if studs_row:
            studs = [Mark(s, QUIET_TEXT) for s in self.line["framing"]["stud_centrelines_in"]]
            y = self._row(y, studs, "Stud centrelines as measured", up=False)
        width = self.high_in - self.low_in
        y -= sheet.pt(14)
        text = "" if self._is_line_end(0.0) and self._is_line_end(width) else self._window_text()
        sheet.dimension((0.0, self.lowest - FOOTING_IN), (width, self.lowest - FOOTING_IN), y, text=text)
        self._datum()
        self._heights()
        sheet.scale_bar((0.0, y - sheet.pt(26)))

    def _window_text(self) -> str:
        low, high = length_text(self.low_in), length_text(self.high_in)
        return f"{length_text(self.high_in - self.low_in)} shown: {low} to {high} of {self._overall()}"

    def _overall(self) -> str:
        return length_text(wall_line.length_in(self.line))

    def _row(self, y: float, marks: list[Mark], heading: str, *, up: bool) -> float:
        """One row of running dimensions; the y where the next row may start."""
        shown = [mark for mark in marks if self.shows(mark.station_in)]
        if not shown:
            return y
        return running_dimensions(self.sheet, shown, x=self.x, y=y, width_in=self.high_in - self.low_in,
                                  heading=heading, up=up)  # fmt: skip

    def _datum(self) -> None:
        if not self.shows(0.0):
            return
        x, away = self.x(0.0), -1 if self.zero_left else 1
        y = -wall_line.plates_height_in(self.line) / 2
        sheet = self.sheet
        tip = sheet.pt(5)
        sheet.polyline(
            JOINT, ((x, y), (x + away * tip, y + tip * 0.7), (x + away * tip, y - tip * 0.7)), closed=True, fill=INK
        )
        anchor = "end" if away < 0 else "start"
        name = wall_line.zero_end_name(self.line)
        sheet.text((x + away * sheet.pt(8), y + sheet.pt(5)), "Datum 0", bold=True, anchor=anchor)
        sheet.text((x + away * sheet.pt(8), y - sheet.pt(5)), name, size_pt=6.5, anchor=anchor)

    def _heights(self) -> None:
        """Sill bottom to top of upper plate, at the end away from the datum."""
        far = self.high_in if self.shows(0.0) or self.low_in > 0 else self.low_in
        x, away = self.x(far), 1 if self.zero_left else -1
        low = self.bottom(min(max(far, 0.0), wall_line.length_in(self.line)))
        at = x + away * self.sheet.pt(24 if away > 0 else 16)
        self.sheet.dimension((x, low), (x, 0.0), at, vertical=True)
