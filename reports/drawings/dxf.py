"""Writes display lists as one DXF file: true sizes in model space, real dimensions, texts to be printed at scale.

R2010, in inches. A dimension measures its points; its text is the feet-inches of the sheet. What it looks like is drawn
from the same parts as in SVG, so that a viewer shows what the sheet shows.
"""

from __future__ import annotations

import io
from collections.abc import Iterable
from math import cos, radians, sin
from typing import Any

import ezdxf
from ezdxf.document import Drawing
from ezdxf.enums import TextEntityAlignment
from ezdxf.lldxf.const import VALID_DXF_LINEWEIGHTS

from reports.drawings.lettering import CAPITAL_EMS, FILES, NOTE_PT
from reports.drawings.parts import dimension_parts, frame_pt, running_parts
from reports.drawings.sheet import (
    ACCENT,
    DIMENSION,
    INK,
    PAPER,
    POINTS_PER_INCH,
    QUIET,
    TEXT,
    Arc,
    Circle,
    Dimension,
    Hatch,
    Item,
    Layer,
    Line,
    Point,
    Polyline,
    Running,
    Sheet,
    Text,
)
from reports.drawings.svg import Svg

# The file must depend on the drawing alone: no clock and no random identity in its header.
ezdxf.options.write_fixed_meta_data_for_testing = True

VERSION, INCHES, IMPERIAL, ARCHITECTURAL, SIXTEENTHS = "R2010", 1, 0, 4, 4
STYLES = {False: "LETTERING", True: "LETTERING BOLD"}
# The program's own numbers, so that ink turns white on a dark screen; other colours are given true besides.
NUMBERED = {INK: 7, QUIET: 8, ACCENT: 14, PAPER: 255}
OTHER_NUMBER = 9
LINEAR, ORDINATE, ALONG_X, OWN_BLOCK, TEXT_PLACED = 0, 6, 64, 32, 128
ALIGNMENTS = {
    "start": (TextEntityAlignment.MIDDLE_LEFT, 4),
    "middle": (TextEntityAlignment.MIDDLE_CENTER, 5),
    "end": (TextEntityAlignment.MIDDLE_RIGHT, 6),
}
SIDE_PT = 72.0  # of paper between two drawings of one file
MARKS = str.maketrans("′″", "'\"")  # the marks that every CAD font has


def write(*sheets: Sheet) -> bytes:
    """The sheets' drawings side by side, each at true size with texts for its own scale; the same bytes each time.

    The first one keeps its own zero. ValueError without a drawing, or for one on which nothing is drawn.
    """
    if not sheets:
        raise ValueError("there is no drawing to write")
    document = ezdxf.new(VERSION, units=INCHES)
    header = document.header
    header["$MEASUREMENT"], header["$LUNITS"], header["$LUPREC"] = IMPERIAL, ARCHITECTURAL, SIXTEENTHS
    header["$LTSCALE"], header["$LWDISPLAY"], header["$DIMLFAC"] = 1 / sheets[0].scale, 1, 1.0
    for bold, name in STYLES.items():
        document.styles.add(name, font=FILES[bold])
    document.set_wipeout_variables(frame=0)
    left = right = None
    lows, highs = [], []
    for sheet in sheets:
        x_pt, top_pt, width_pt, height_pt = frame_pt(sheet)
        point_in = 1 / POINTS_PER_INCH / sheet.scale
        left = 0.0 if right is None else right + SIDE_PT * point_in - x_pt * point_in
        right = left + (x_pt + width_pt) * point_in
        low, high = -(top_pt + height_pt) * point_in, -top_pt * point_in
        lows.append((left + x_pt * point_in, low - 2 * NOTE_PT * point_in))
        highs.append((right, high))
        writer = _Writer(document, sheet, left, 1 / sheets[0].scale)
        for item in sheet.items:
            writer.add(item)
        title = f"{sheet.title}. Scale {sheet.scale_name}" if sheet.scale_name else sheet.title
        writer.add(Text(TEXT, (x_pt * point_in, low), title, NOTE_PT * sheet.zoom, bold=True))
    extents = (min(x for x, _ in lows), min(y for _, y in lows)), (max(x for x, _ in highs), max(y for _, y in highs))
    document.modelspace().reset_extents((*extents[0], 0), (*extents[1], 0))
    header["$EXTMIN"], header["$EXTMAX"] = (*extents[0], 0), (*extents[1], 0)
    wide, tall = extents[1][0] - extents[0][0], extents[1][1] - extents[0][1]
    middle = ((extents[0][0] + extents[1][0]) / 2, (extents[0][1] + extents[1][1]) / 2)
    document.set_modelspace_vport(height=max(tall, wide / 1.5), center=middle)
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().encode(document.output_encoding)


def to_scale(drawings: Iterable[str]) -> list[Sheet]:
    """The display lists of those drawings that have a scale. Diagrams have no true size and stay out."""
    return [drawing.sheet for drawing in drawings if isinstance(drawing, Svg) and drawing.sheet.scale_name]


def layer_name(layer: Layer) -> str:
    """A layer's name in the file."""
    return layer.name.upper()


class _Writer:
    """Puts one sheet's items into the model space (or into a dimension's own block), moved to its place."""

    def __init__(self, document: Drawing, sheet: Sheet, left_in: float, line_scale: float) -> None:
        self.document, self.sheet, self.left_in = document, sheet, left_in
        self.line_scale = 1 / sheet.scale / line_scale
        self.space: Any = document.modelspace()

    def at(self, point: Point) -> Point:
        return point[0] + self.left_in, point[1]

    def on(self, layer: Layer) -> dict[str, Any]:
        """The attributes that put an entity on a layer, which is made when it is first used."""
        name, layers = layer_name(layer), self.document.layers
        if name not in layers:
            made = layers.add(name, lineweight=_line_weight(layer.width_pt))
            made.color = NUMBERED.get(layer.colour, OTHER_NUMBER)
            if layer.colour != INK:
                made.rgb = _rgb(layer.colour)
            if layer.dash_pt:
                dashes = [length * sign / POINTS_PER_INCH for length, sign in zip(layer.dash_pt, _SIGNS, strict=False)]
                self.document.linetypes.add(name, [sum(map(abs, dashes)), *dashes])
                made.dxf.linetype = name
        scaled = {"ltscale": self.line_scale} if layer.dash_pt and self.line_scale != 1 else {}
        return {"layer": name, **scaled}

    def add(self, item: Item) -> None:
        if isinstance(item, Line):
            self.space.add_line(self.at(item.start), self.at(item.end), dxfattribs=self.on(item.layer))
        elif isinstance(item, Polyline):
            points = [self.at(point) for point in item.points]
            if item.fill:
                self._fill(item.layer, points, item.fill)
            if item.stroked:
                self.space.add_lwpolyline(points, close=item.closed, dxfattribs=self.on(item.layer))
        elif isinstance(item, Circle):
            if item.fill:
                self._fill_circle(item)
            self.space.add_circle(self.at(item.centre), item.radius_in, dxfattribs=self.on(item.layer))
        elif isinstance(item, Arc):
            on = self.on(item.layer)
            self.space.add_arc(self.at(item.centre), item.radius_in, item.start_deg, item.end_deg, dxfattribs=on)
        elif isinstance(item, Hatch):
            self._hatch(item)
        elif isinstance(item, Text):
            self._text(item)
        elif isinstance(item, Dimension):
            self._dimension(item)
        else:
            self._running(item)

    def _fill(self, layer: Layer, points: list[Point], colour: str) -> None:
        """Paper hides what lies under it, whatever the screen's ground; other colours are solid."""
        if colour == PAPER:
            self.space.add_wipeout(points, dxfattribs=self.on(layer))
        else:
            self._solid(layer, colour).paths.add_polyline_path(points, is_closed=True)

    def _fill_circle(self, item: Circle) -> None:
        x, y = self.at(item.centre)
        if item.fill == PAPER:
            turns = [radians(angle) for angle in range(0, 360, 15)]
            points = [(x + item.radius_in * cos(turn), y + item.radius_in * sin(turn)) for turn in turns]
            self._fill(item.layer, points, PAPER)
        elif item.fill:
            self._solid(item.layer, item.fill).paths.add_edge_path().add_arc((x, y), item.radius_in, 0, 360)

    def _solid(self, layer: Layer, colour: str) -> Any:
        hatch = self.space.add_hatch(color=NUMBERED.get(colour, OTHER_NUMBER), dxfattribs=self.on(layer))
        if colour != INK:
            hatch.rgb = _rgb(colour)
        return hatch

    def _hatch(self, item: Hatch) -> None:
        hatch = self.space.add_hatch(dxfattribs={**self.on(item.layer), "color": 256})
        step, turn = self.sheet.pt(item.spacing_pt), radians(item.angle_deg)
        inch = 1 / POINTS_PER_INCH / self.sheet.scale
        dashes = [length * sign * inch for length, sign in zip(item.layer.dash_pt, _SIGNS, strict=False)]
        pattern = [[item.angle_deg, (0.0, 0.0), (-step * sin(turn), step * cos(turn)), dashes]]
        hatch.set_pattern_fill("LINES", color=256, definition=pattern)
        hatch.paths.add_polyline_path([self.at(point) for point in item.points], is_closed=True)

    def _text(self, item: Text) -> None:
        inch = 1 / POINTS_PER_INCH / self.sheet.scale
        height = item.size_pt * CAPITAL_EMS * inch
        alignment, attachment = ALIGNMENTS[item.anchor]
        on = {**self.on(item.layer), "style": STYLES[item.bold]}
        text, at = item.text.translate(MARKS), self.at(item.at)
        if not item.halo:
            on |= {"height": height, "rotation": item.rotation_deg}
            self.space.add_text(text, dxfattribs=on).set_placement(at, align=alignment)
            return
        on |= {"char_height": height, "rotation": item.rotation_deg, "attachment_point": attachment, "insert": at}
        note = self.space.add_mtext(_escaped(text), dxfattribs=on)
        note.set_bg_color("canvas", scale=1.25)

    def _dimension(self, item: Dimension) -> None:
        """A linear dimension between two points of the drawing."""
        start, end = self.at(item.start), self.at(item.end)
        foot = (self.left_in + item.at_in, end[1]) if item.vertical else (end[0], item.at_in)
        points = {"defpoint": foot, "defpoint2": start, "defpoint3": end, "angle": 90.0 if item.vertical else 0.0}
        self._measured(item, dimension_parts(item, self.sheet), LINEAR, points)

    def _running(self, item: Running) -> None:
        """An ordinate dimension: a place's distance from the datum along one axis."""
        parts = running_parts(item, self.sheet)
        end = next(part.at for part in parts if isinstance(part, Text))
        points = {"defpoint": self.at(item.datum), "defpoint2": self.at(item.place), "defpoint3": self.at(end)}
        self._measured(item, parts, ORDINATE if item.vertical else ORDINATE | ALONG_X, points)

    def _measured(self, item: Dimension | Running, parts: list[Any], kind: int, points: dict[str, Any]) -> None:
        block = self.document.blocks.new_anonymous_block(type_char="D")
        self.space, space = block, self.space
        for part in parts:
            self.add(part)
        self.space = space
        place = next(part.at for part in parts if isinstance(part, Text))
        self.space.new_entity(
            "DIMENSION",
            {
                **self.on(item.layer),
                **points,
                "dimtype": kind | OWN_BLOCK | TEXT_PLACED,
                "text": item.text.translate(MARKS),
                "text_midpoint": self.at(place),
                "geometry": block.name,
                "dimstyle": self._style(),
            },
        )

    def _style(self) -> str:
        """How dimensions at this scale are drawn when somebody edits one: as they stand now."""
        name, styles = f"FEET-INCHES 1-{1 / self.sheet.scale / self.sheet.zoom:g}", self.document.dimstyles
        if name not in styles:
            made, inch = styles.add(name), 1 / POINTS_PER_INCH
            for key, value in (
                ("dimscale", self.sheet.zoom / self.sheet.scale),
                ("dimlfac", 1.0),
                ("dimlunit", ARCHITECTURAL),
                ("dimdec", SIXTEENTHS),
                ("dimtxt", NOTE_PT * CAPITAL_EMS * inch),
                ("dimtsz", 3 * inch),
                ("dimexo", 2.5 * inch),
                ("dimexe", 3 * inch),
                ("dimgap", 2 * inch),
                ("dimtad", 1),
                ("dimtih", 0),
                ("dimtoh", 0),
                ("dimtxsty", STYLES[False]),
            ):
                made.dxf.set(key, value)
            self.on(DIMENSION)
        return name


_SIGNS = (1, -1) * 4


def _escaped(text: str) -> str:
    """A text without the signs that a multi-line text would read as commands."""
    return text.replace("\\", "\\\\").replace("{", "\\{").replace("}", "\\}")


def _rgb(colour: str) -> tuple[int, int, int]:
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def _line_weight(width_pt: float) -> int:
    """The nearest line weight that the format knows, in hundredths of a millimetre."""
    wanted = width_pt / POINTS_PER_INCH * 2540
    return min(VALID_DXF_LINEWEIGHTS, key=lambda weight: abs(weight - wanted))
