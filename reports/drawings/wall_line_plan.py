"""The plan of the braced level, as found and as designed: outline, wall lines, panels, anchors, the way in, north.

`existing` shows what was surveyed; `new` shows what is added, over the existing walls in thin lines; `key` is the new
plan without dimensions, small, to find the sheets by.
"""

from __future__ import annotations

from typing import Any, Literal

from reports.drawings import svg, wall_line
from reports.drawings.labels import Labels
from reports.drawings.plan_marks import PANEL, draw_anchor, draw_north, draw_side_connection, draw_tie_down
from reports.drawings.running_dimensions import Mark, running_dimensions
from reports.drawings.sheet import (
    ACCENT,
    ADDED,
    DIMENSION,
    EXISTING,
    GROUND,
    HIDDEN,
    INK,
    JOINT,
    NEW,
    NOTE_PT,
    PAPER,
    QUIET_TEXT,
    TEXT,
    Layer,
    Point,
    Sheet,
    length_text,
    text_width_pt,
)

State = Literal["existing", "new", "key"]

ROW_PT, OVERALL_PT = 56.0, 124.0  # from the walls outwards: running dimensions, then the whole building
RING_PT, BEYOND_ROW_PT = 36.0, 90.0  # a line's ring before its row, or beyond it inside the house
INSIDE_ROW_PT = 20.0
SHALLOW, STEPS = 5, 20  # how far inwards a label may move to stand free

Json = dict[str, Any]


def draw(
    inputs: Json,
    schedule: Json | None,
    *,
    paper_width_in: float,
    paper_height_in: float,
    state: State = "new",
    sheets: dict[str, str] | None = None,
    revisions: dict[str, int] | None = None,
    zoom: float = 1.0,
) -> svg.Svg:
    """The plan as SVG, north up, from house inputs and schedule as JSON; ValueError when no scale fits the paper.

    `sheets` names the sheet of each line's elevation; `revisions` gives the revision that last changed a line.
    """
    return svg.write_fitting(
        lambda sheet: _Plan(sheet, inputs, schedule, state, sheets or {}, revisions or {}).draw(),
        title=f"Plan of the wall lines, {state}",
        paper_width_in=paper_width_in,
        paper_height_in=paper_height_in,
        zoom=zoom,
    )


class _Along:
    """Places along and across one wall line; across is positive towards the outside."""

    def __init__(self, line: Json, outline: list[list[float]]) -> None:
        self.line = line
        self.length = wall_line.length_in(line)
        (x0, y0), (x1, y1) = line["start_ft"], line["end_ft"]
        self.origin = (x0 * 12, y0 * 12)
        self.way = ((x1 - x0) * 12 / self.length, (y1 - y0) * 12 / self.length)
        out = (self.way[1], -self.way[0])
        self.out = out if wall_line.interior_is_left(line, outline) else (-out[0], -out[1])
        self.upright = abs(self.way[1]) > abs(self.way[0])
        self.inside = wall_line.facing(line, outline) == "inside"
        self.thick = line["framing"]["sill_width_in"]

    def at(self, along_in: float, across_in: float = 0.0) -> Point:
        return (
            self.origin[0] + along_in * self.way[0] + across_in * self.out[0],
            self.origin[1] + along_in * self.way[1] + across_in * self.out[1],
        )

    def turn(self, point: Point) -> tuple[float, float]:
        """A point as (along the row, across it) of the line's direction on the sheet."""
        return (point[1], point[0]) if self.upright else point

    @property
    def out_sign(self) -> Literal[1, -1]:
        """Whether the outside lies to the right of an upright line or above a level one."""
        return 1 if self.turn(self.out)[1] > 0 else -1


class _Plan:
    """One plan on a sheet. Walls first, so that nothing fastened to one is hidden by the next; texts last."""

    def __init__(
        self,
        sheet: Sheet,
        inputs: Json,
        schedule: Json | None,
        state: State,
        sheets: dict[str, str],
        revisions: dict[str, int],
    ) -> None:
        self.sheet, self.inputs, self.sheets, self.revisions = sheet, inputs, sheets, revisions
        self.outline = inputs["building"]["floor_outline_ft"]
        self.places = [_Along(line, self.outline) for line in inputs["lines"]]
        self.schedules = {item["label"]: item for item in (schedule or {"lines": []})["lines"]}
        self.labels = Labels(sheet)
        self.is_new, self.is_key = state != "existing", state == "key"
        points = [*self.outline, *(point for line in inputs["lines"] for point in (line["start_ft"], line["end_ft"]))]
        xs, ys = [x * 12 for x, _ in points], [y * 12 for _, y in points]
        self.left, self.right, self.low, self.high = min(xs), max(xs), min(ys), max(ys)

    def draw(self) -> None:
        self.sheet.polyline(EXISTING, [(x * 12, y * 12) for x, y in self.outline], closed=True, fill=PAPER)
        for place in self.places:
            self._wall(place)
        for place in self.places:
            self._anchors(place)
            if self.is_new:
                self._added(place)
        for place in self.places:
            self._keep_clear(place)
            if not self.is_key:
                self._row(place)
            self._ring(place)
        self._around()
        for weight in self.inputs["building"]["point_weights"]:
            self._point_weight(weight)
        for place in self.places:
            self._names(place)
        if not self.is_new:
            self._joists()

    def _schedule(self, place: _Along) -> Json | None:
        return self.schedules.get(place.line["label"])

    def _wall(self, place: _Along) -> None:
        sheet, line, thick = self.sheet, place.line, place.thick
        corners = (place.at(0), place.at(place.length), place.at(place.length, -thick), place.at(0, -thick))
        sheet.polyline(EXISTING if self.is_new else GROUND, corners, closed=True, fill=PAPER)
        if not self.is_new:
            for joint in wall_line.sill_joints_in(line):
                sheet.line(JOINT, place.at(joint, sheet.pt(2)), place.at(joint, -thick - sheet.pt(2)))
        for strut in line.get("struts", ()):
            end, way = (0.0, -1) if strut["end"] == "zero" else (place.length, 1)
            beyond = end + way * strut["length_ft"] * 12
            sheet.line(HIDDEN, place.at(end, -thick / 2), place.at(beyond, -thick / 2))
        for opening in line["openings"]:
            low, high = opening["from_ft"] * 12, opening["to_ft"] * 12
            over = sheet.pt(2.5)
            for end in (low, high):
                sheet.line(EXISTING, place.at(end, over), place.at(end, -thick - over))
            sheet.line(HIDDEN, place.at(low, -thick / 2), place.at(high, -thick / 2))

    def _anchors(self, place: _Along) -> None:
        sheet = self.sheet
        for anchor in place.line["existing_anchors"]:
            if anchor["accepted"] or not self.is_new:
                centre = place.at(anchor["at_ft"] * 12, -place.thick / 2)
                draw_anchor(sheet, centre, counted=anchor["accepted"])

    def _added(self, place: _Along) -> None:
        sheet, schedule, thick = self.sheet, self._schedule(place), place.thick
        inside = self._panel_across(place)
        for panel in place.line["panels"]:
            low, high = panel["from_ft"] * 12, panel["to_ft"] * 12
            sheet.line(PANEL, place.at(low, inside), place.at(high, inside))
            for end in (low, high):
                sheet.line(NEW, place.at(end, inside + sheet.pt(3)), place.at(end, inside - sheet.pt(3)))
        for station in wall_line.positions_in(schedule, "sill anchors"):
            sheet.circle(ADDED, place.at(station, -thick / 2), sheet.pt(2.6), fill=ACCENT)
        for station in wall_line.positions_in(schedule, "side connections"):
            draw_side_connection(sheet, place.at(station, -thick / 2))
        for station in wall_line.positions_in(schedule, "tie-downs"):
            draw_tie_down(sheet, place.at(station, inside - sheet.pt(4.5)))
        for role in wall_line.FLOOR_ROLES:
            for station in wall_line.positions_in(schedule, role):
                sheet.line(ADDED, place.at(station, sheet.pt(2)), place.at(station, sheet.pt(8)))

    def _panel_across(self, place: _Along) -> float:
        return -place.thick - self.sheet.pt(3.5)

    def _keep_clear(self, place: _Along) -> None:
        """No text on a wall, nor on the marks beside it."""
        out = self.sheet.pt(9)
        inside = self._panel_across(place) - self.sheet.pt(3) if self.is_new else -place.thick - self.sheet.pt(2)
        self.labels.keep_clear(place.at(0, out), place.at(place.length, inside))
        if self.is_new:
            half, across = self.sheet.pt(3.5), self._panel_across(place) - self.sheet.pt(4.5)
            for station in wall_line.positions_in(self._schedule(place), "tie-downs"):
                self.labels.keep_clear(place.at(station - half, across - half), place.at(station + half, across + half))

    def _row(self, place: _Along) -> None:
        """Running dimensions from the line's zero end: panel ends, or what was found; always the line's length."""
        line, sheet = place.line, self.sheet
        marks = [Mark(place.length, bold=True)]
        if self.is_new:
            marks += [Mark(panel[key] * 12, bold=True) for panel in line["panels"] for key in ("from_ft", "to_ft")]
        else:
            spans = [*line["sill_pieces"], *line["openings"], *line["segments"]]
            marks += [Mark(span[key] * 12) for span in spans for key in ("from_ft", "to_ft")]
            marks += [Mark(anchor["at_ft"] * 12, QUIET_TEXT) for anchor in line["existing_anchors"]]
        away = sheet.pt(INSIDE_ROW_PT if place.inside else ROW_PT)
        row_in = place.turn(place.at(0, away))[1]
        for end in (0.0, place.length):
            sheet.line(DIMENSION, place.at(end, sheet.pt(10)), place.at(end, away))
        far = running_dimensions(
            sheet,
            marks,
            along=lambda station: place.turn(place.at(station))[0],
            row_in=row_in,
            way=place.out_sign,
            ends=(place.turn(place.at(0))[0], place.turn(place.at(place.length))[0]),
            vertical=place.upright,
        )
        out = abs(far - place.turn(place.at(0))[1])
        self.labels.keep_clear(place.at(-sheet.pt(5), away - sheet.pt(4)), place.at(place.length + sheet.pt(5), out))

    def _ring(self, place: _Along) -> None:
        """The line's label in a ring outside its middle, the sheet of its elevation, and an arrow from its zero end."""
        sheet, label = self.sheet, place.line["label"]
        away, middle = sheet.pt(BEYOND_ROW_PT if place.inside and not self.is_key else RING_PT), place.length / 2
        at = place.at(middle, away)
        sheet.line(DIMENSION, place.at(middle, sheet.pt(10)), at)
        half = sheet.pt(_ring_half(label))
        if half > sheet.pt(11):
            low, high = (at[0] - half, at[1] - sheet.pt(9)), (at[0] + half, at[1] + sheet.pt(9))
            sheet.rectangle(NEW, low, high, fill=PAPER)
        else:
            sheet.circle(NEW, at, half, fill=PAPER)
        self.labels.keep_clear((at[0] - half, at[1] - sheet.pt(11)), (at[0] + half, at[1] + sheet.pt(11)))
        sheet.text(at, label, size_pt=12.0, bold=True, anchor="middle")
        if number := self.revisions.get(label):
            mark = (at[0], at[1] + sheet.pt(22)) if place.upright else (at[0] - half - sheet.pt(11), at[1])
            sheet.revision_mark(mark, number)
            self.labels.keep_clear(*((mark[0] + sheet.pt(by), mark[1] + sheet.pt(by)) for by in (-7, 8)))
        if see := self.sheets.get(label, ""):
            beside = (at[0] + half + sheet.pt(4), at[1]) if not place.upright else (at[0], at[1] - sheet.pt(18))
            self.labels.place(
                [beside], f"see {see}", size_pt=7.0, anchor="middle" if place.upright else "start", halo=True
            )
        self._zero(place)

    def _zero(self, place: _Along) -> None:
        sheet, across = self.sheet, self.sheet.pt(16)
        tip_at = min(34.0, place.length / 2 / sheet.pt(1))
        start, tip = place.at(0.0, across), place.at(sheet.pt(tip_at), across)
        sheet.line(DIMENSION, start, tip)
        sheet.circle(DIMENSION, start, sheet.pt(1.8), fill=INK)
        for side in (-3, 3):
            sheet.line(DIMENSION, place.at(sheet.pt(tip_at - 6), across + sheet.pt(side)), tip)
        places = [place.at(sheet.pt(along), across + sheet.pt(8)) for along in (8, 16, 24)]
        self.labels.place(places, "0", size_pt=6.5, anchor="middle", halo=True)

    def _names(self, place: _Along) -> None:
        """What stands along the line, written inside of it as near as there is room."""
        line, sheet = place.line, self.sheet
        if self.is_new:
            across = self._panel_across(place)
            for number, panel in enumerate(line["panels"], start=1):
                low, high = panel["from_ft"] * 12, panel["to_ft"] * 12
                self._along_text(
                    place, (low + high) / 2, across, f"{line['label']}·{number}  {length_text(high - low)}", layer=TEXT
                )
        for strut in line.get("struts", ()):
            half = strut["length_ft"] * 6
            middle = -half if strut["end"] == "zero" else place.length + half
            self._along_text(place, middle, -place.thick, f"strut {length_text(half * 2)}", layer=QUIET_TEXT)
        for opening in line["openings"]:
            middle = (opening["from_ft"] + opening["to_ft"]) * 6
            self._along_text(place, middle, -place.thick, opening["label"] or "opening", layer=QUIET_TEXT)
        if not self.is_new:
            for segment in line["segments"]:
                height, span = segment["stud_height_ft"] * 12, (segment["to_ft"] - segment["from_ft"]) * 12
                words = segment["kind"] + (f", studs {length_text(height)}" if height else "")
                self._along_text(
                    place,
                    segment["from_ft"] * 12 + span / 2,
                    -place.thick,
                    words,
                    layer=QUIET_TEXT,
                    slide_in=span / 3,
                )
            if not place.inside:
                words = f"{line['foundation']['material']} foundation, sill {length_text(place.thick)} wide"
                self._along_text(
                    place,
                    place.length / 2,
                    -place.thick - sheet.pt(10),
                    words,
                    layer=QUIET_TEXT,
                    slide_in=place.length / 3,
                )

    def _along_text(
        self, place: _Along, along_in: float, across_in: float, text: str, *, layer: Layer, slide_in: float = 0.0
    ) -> None:
        """A text beside the line, readable from the bottom or the right of the sheet, moved until it stands free.

        It goes inwards, and before that up to `slide_in` along the line.
        """
        step = self.sheet.pt(5)
        slides = (0.0, 0.5, -0.5, 1.0, -1.0) if slide_in else (0.0,)
        self.labels.place(
            [
                place.at(along_in + slide * slide_in, across_in - self.sheet.pt(9) - index * step)
                for steps in (range(SHALLOW), range(SHALLOW, STEPS))
                for slide in slides
                for index in steps
            ],
            text,
            layer=layer,
            anchor="middle",
            rotation_deg=90.0 if place.upright else 0.0,
            halo=True,
        )

    def _around(self) -> None:
        """Overall dimensions, north, scale and title."""
        sheet = self.sheet
        if self.is_key:
            draw_north(sheet, (self.right + sheet.pt(80), self.high - sheet.pt(30)))
            sheet.scale_bar((self.left, self.low - sheet.pt(76)))
            return
        # From points short of the rows' texts, so that no extension line runs through one.
        far, near = sheet.pt(OVERALL_PT), sheet.pt(OVERALL_PT - 12)
        below, beside = self.low - near, self.right + near
        sheet.dimension((self.left, below), (self.right, below), self.low - far)
        sheet.dimension((beside, self.low), (beside, self.high), self.right + far, vertical=True)
        draw_north(sheet, (self.right + far + sheet.pt(34), self.high - sheet.pt(30)))
        below = self.low - far - sheet.pt(34)
        sheet.scale_bar((self.left, below))
        words = "as found" if not self.is_new else "new work; existing in thin lines"
        sheet.caption((self.left, below - sheet.pt(34)), f"Wall lines, {words}")

    def _joists(self) -> None:
        """Which way the joists span, as surveyed at the wall lines."""
        sheet = self.sheet
        spans = {place.upright != (place.line["framing"]["joists"] == "parallel") for place in self.places}
        if len(spans) != 1:
            return
        x, y = (value * 12 for value in wall_line.centre_ft(self.outline))
        along_x = spans.pop()
        half, barb = sheet.pt(70), sheet.pt(6)
        ends = ((x - half, y), (x + half, y)) if along_x else ((x, y - half), (x, y + half))
        sheet.line(EXISTING, *ends)
        for (ex, ey), way in zip(ends, (1, -1), strict=True):
            for side in (-barb / 2, barb / 2):
                tip = (ex + way * barb, ey + side) if along_x else (ex + side, ey + way * barb)
                sheet.line(EXISTING, (ex, ey), tip)
        turn = 0.0 if along_x else 90.0
        more = {"layer": QUIET_TEXT, "anchor": "middle", "halo": True, "rotation_deg": turn}
        self.labels.place([(x, y)], self._joist_words(), **more)

    def _joist_words(self) -> str:
        framings = [place.line["framing"] for place in self.places]
        spacings = {framing.get("joist_spacing_in", "not observed") for framing in framings}
        depths = {framing["rim_depth_in"] for framing in framings}
        words = "joists"
        if len(depths) == 1:
            words += f" {length_text(depths.pop())} deep"
        measured = {value for value in spacings if not isinstance(value, str)}
        return f"{words} at {length_text(measured.pop())}" if len(measured) == 1 else words

    def _point_weight(self, weight: Json) -> None:
        """A chimney or the like, where it stands, with its name inwards of it."""
        sheet, (x, y) = self.sheet, (value * 12 for value in weight["at_ft"])
        half = max(12.0, sheet.pt(5))
        sheet.rectangle(HIDDEN, (x - half, y - half), (x + half, y + half))
        self.labels.keep_clear((x - half, y - half), (x + half, y + half))
        words = weight["label"] if self.is_new else f"{weight['label']}, {weight['weight_lb']:,.0f} lb"
        inwards = -1 if x > (self.left + self.right) / 2 else 1
        reach = half + sheet.pt(4 + text_width_pt(words, NOTE_PT) / 2)
        places = [
            (x + inwards * (reach + sheet.pt(away)), y + sheet.pt(up))
            for away in (0, 30, 60, 90)
            for up in (0, 10, -10, 20, -20)
        ]
        self.labels.place(places, words, layer=QUIET_TEXT, anchor="middle", halo=True)


def _ring_half(label: str) -> float:
    return max(11.0, text_width_pt(label, 12.0, bold=True) / 2 + 4)
