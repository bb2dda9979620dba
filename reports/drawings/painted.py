"""A display list as a picture for WeasyPrint, painted straight into the page.

By way of SVG, reading and drawing a sheet's drawings again took more than half of that sheet's time. What is painted is
what svg.py writes, from the same parts; a test holds the two to the same picture.
"""

from __future__ import annotations

import logging
from collections.abc import Iterator
from functools import lru_cache
from math import cos, radians, sin, tau
from typing import Any

from fontTools.ttLib import TTFont
from weasyprint.css.properties import INITIAL_VALUES
from weasyprint.svg.text import Style
from weasyprint.text.line_break import create_layout

from reports.drawings.lettering import BASELINE_EMS, FAMILY, FILES, FONTS, text_width_pt
from reports.drawings.parts import Simple, frame_pt, simple_parts
from reports.drawings.sheet import PAPER, POINTS_PER_INCH, Arc, Circle, Layer, Line, Point, Polyline, Sheet, Text

PX_PER_PT = 96 / 72
MITER_LIMIT = 4  # SVG's own
ROUND = 0.5522847498  # handle of a quarter circle, in radii

log = logging.getLogger("weasyprint")  # where the rendering looks for complaints


class PaintedDrawing:
    """What WeasyPrint wants of a picture: its size in px, and to draw itself down from the upper left corner."""

    def __init__(self, sheet: Sheet) -> None:
        self.sheet = sheet
        self.left, self.top, self.width, self.height = frame_pt(sheet)

    def get_intrinsic_size(self, _resolution: float, _font_size: float) -> tuple[float, float, float]:
        """Width, height and their ratio."""
        return self.width * PX_PER_PT, self.height * PX_PER_PT, self.width / self.height

    def draw(self, stream: Any, width_px: float, height_px: float, style: Any) -> None:
        """Add the drawing to a page's content stream."""
        stream.transform(a=width_px / self.width, d=height_px / self.height)
        brush = _Brush(self, stream, style.font_config)
        stream.stream.append(b"%d M" % MITER_LIMIT)
        for item in self.sheet.items:
            for part in simple_parts(item, self.sheet):
                stream.stream.append(" ".join(brush.strokes(part)).encode())


class _Brush:
    """Turns parts into operators, and says a pen or colour only where it changes."""

    def __init__(self, drawing: PaintedDrawing, stream: Any, font_config: Any) -> None:
        self.factor = drawing.sheet.scale * POINTS_PER_INCH
        self.left, self.top = drawing.left, drawing.top
        self.stream, self.font_config = stream, font_config
        self.fonts: dict[bool, Any] = {}
        self.layer: Layer | None = None
        self.filling = ""

    def strokes(self, part: Simple) -> Iterator[str]:
        """The operators that draw one part."""
        if isinstance(part, Text):
            yield from self.text(part)
            return
        fill = part.fill if isinstance(part, Polyline | Circle) else None
        stroked = part.stroked if isinstance(part, Polyline) else True
        if stroked:
            yield from self.pen(part.layer)
        if fill:
            yield from self.colour(fill)
        if isinstance(part, Line):
            yield f"{self.at(part.start)} m {self.at(part.end)} l"
        elif isinstance(part, Polyline):
            first, *others = part.points
            yield f"{self.at(first)} m"
            yield from (f"{self.at(point)} l" for point in others)
            if part.closed:
                yield "h"
        elif isinstance(part, Circle):
            yield self.arc(part.centre, part.radius_in, 0, tau)
            yield "h"
        else:
            assert isinstance(part, Arc)
            start, end = radians(part.start_deg), radians(part.end_deg)
            yield self.arc(part.centre, part.radius_in, start, start + ((end - start) % tau or tau))
        yield {(True, True): "B", (True, False): "f", (False, True): "S", (False, False): "n"}[bool(fill), stroked]

    def at(self, point: Point) -> str:
        """A place in points from the upper left corner."""
        return f"{_n(point[0] * self.factor - self.left)} {_n(-point[1] * self.factor - self.top)}"

    def pen(self, layer: Layer) -> Iterator[str]:
        """Colour, width and dashes of a layer's lines."""
        if layer is not self.layer:
            self.layer = layer
            yield f"{_rgb(layer.colour)} RG {_n(layer.width_pt)} w [{' '.join(map(_n, layer.dash_pt))}] 0 d"

    def colour(self, colour: str) -> Iterator[str]:
        """The colour of fillings and letters."""
        if colour != self.filling:
            self.filling = colour
            yield f"{_rgb(colour)} rg"

    def arc(self, centre: Point, radius_in: float, start: float, end: float) -> str:
        """A piece of a circle, anticlockwise, from curves of at most a quarter."""
        pieces = max(1, round((end - start) / (tau / 4) + 0.499))
        step = (end - start) / pieces
        reach = ROUND * radius_in * step / (tau / 4)
        path = ""
        for index in range(pieces + 1):
            angle = start + index * step
            place = (centre[0] + radius_in * cos(angle), centre[1] + radius_in * sin(angle))
            along = (-sin(angle) * reach, cos(angle) * reach)
            before, after = (place[0] - along[0], place[1] - along[1]), (place[0] + along[0], place[1] + along[1])
            path += f"{self.at(place)} m " if index == 0 else f"{self.at(before)} {self.at(place)} c "
            if index < pieces:
                path += f"{self.at(after)} "
        return path

    def text(self, part: Text) -> Iterator[str]:
        """Letters of the shipped font, with the paper cleared behind them where they ask for it."""
        width = text_width_pt(part.text, part.size_pt, bold=part.bold)
        start = {"start": 0.0, "middle": -width / 2, "end": -width}[part.anchor]
        turn = radians(part.rotation_deg)
        c, s = f"{cos(turn):.5f}", f"{sin(turn):.5f}"
        minus_s = f"{-sin(turn):.5f}"
        place = self.at(part.at)
        if part.halo:
            yield from self.colour(PAPER)
            yield f"q {c} {minus_s} {s} {c} {place} cm {_n(start - 1)} {_n(-part.size_pt * 0.6)} {_n(width + 2)}"
            yield f"{_n(part.size_pt * 1.2)} re f Q"
        yield from self.colour(part.layer.colour)
        # y runs downwards on the page, and letters stand upright.
        down = part.size_pt * BASELINE_EMS
        x, y = (float(number) for number in place.split())
        x += start * cos(turn) + down * sin(turn)
        y += -start * sin(turn) + down * cos(turn)
        name, glyphs = self.glyphs(part.text, bold=part.bold)
        matrix = f"{c} {minus_s} {minus_s} {-cos(turn):.5f} {_n(x)} {_n(y)}"
        yield f"BT {matrix} Tm /{name} {_n(part.size_pt)} Tf <{glyphs}> Tj ET"

    def glyphs(self, text: str, *, bold: bool) -> tuple[str, str]:
        """The font's name in the file, and the letters as it numbers them; they are noted as used."""
        if bold not in self.fonts:
            self.fonts[bold] = _font(self.stream, self.font_config, bold)
        font, numbers = self.fonts[bold], _numbers(bold)
        shown = ""
        for letter in text:
            number, width = numbers.get(letter, (0, 0))
            if not number:
                log.warning('.notdef glyph rendered for "%s"', letter)
            font.widths[number], font.to_unicode[number] = width, letter
            shown += f"{number:04x}"
        return font.hash, shown


def _font(stream: Any, font_config: Any, bold: bool) -> Any:
    """The shipped font as the page's own texts use it, so that it is embedded once."""
    style = Style()
    style.update(INITIAL_VALUES)
    style.font_config = font_config
    style["font_family"], style["font_weight"], style["font_size"] = [FAMILY], 700 if bold else 400, 10
    layout = create_layout("0", style, None, None, 0)
    line, _ = layout.get_first_line()
    font, _ = stream.add_font(line.runs[0].data.item.analysis.font)
    return font


@lru_cache(maxsize=2)
def _numbers(bold: bool) -> dict[str, tuple[int, int]]:
    """Letter → its number in the font file and its width in thousandths."""
    with TTFont(FONTS / FILES[bold], lazy=True) as font:
        em, widths = font["head"].unitsPerEm, font["hmtx"].metrics
        return {
            chr(code): (font.getGlyphID(name), round(widths[name][0] * 1000 / em))
            for code, name in font.getBestCmap().items()
        }


def _n(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")


@lru_cache(maxsize=64)
def _rgb(colour: str) -> str:
    return " ".join(f"{int(colour[at : at + 2], 16) / 255:.4f}" for at in (1, 3, 5))
