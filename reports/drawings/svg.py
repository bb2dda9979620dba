"""Writes a display list as SVG text: presentation attributes only, for the pages' content policy blocks style."""

from __future__ import annotations

from collections.abc import Callable
from math import cos, radians, sin
from typing import Any
from xml.sax.saxutils import escape, quoteattr

from reports.drawings.lettering import BASELINE_EMS, FAMILY, text_width_pt
from reports.drawings.parts import Simple, fitting, frame_pt, simple_parts
from reports.drawings.sheet import (
    INK,
    PAPER,
    POINTS_PER_INCH,
    Arc,
    Circle,
    Layer,
    Line,
    Point,
    Polyline,
    Sheet,
    Text,
)


class Svg(str):
    """A drawing as SVG text that keeps its display list, so that its DXF shows the very same drawing."""

    sheet: Sheet

    def __new__(cls, text: str, sheet: Sheet) -> Svg:
        drawing = super().__new__(cls, text)
        drawing.sheet = sheet
        return drawing

    def __deepcopy__(self, memo: dict[int, Any]) -> Svg:
        return self

    def __reduce__(self) -> tuple[type[str], tuple[str]]:
        return str, (str(self),)


def write_fitting(fill: Callable[[Sheet], None], **paper: Any) -> Svg:
    """Fill a sheet at the largest scale at which it fits the paper (see `parts.fitting`) and write it."""
    return write(fitting(fill, **paper))


def write(sheet: Sheet) -> Svg:
    """The sheet as one SVG text, cut to what is drawn plus a small margin; sized in paper points at its scale."""
    left, top, width, height = frame_pt(sheet)
    factor = sheet.scale * POINTS_PER_INCH
    body = "\n".join(_element(part, factor, left, top) for item in sheet.items for part in simple_parts(item, sheet))
    return Svg(
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_n(width)}pt" height="{_n(height)}pt" '
        f'viewBox="0 0 {_n(width)} {_n(height)}" role="img" font-family="{FAMILY}, sans-serif" '
        f'stroke-linecap="butt" stroke-linejoin="miter">\n<title>{escape(sheet.title)}</title>\n{body}\n</svg>\n',
        sheet,
    )


def _n(value: float) -> str:
    """A coordinate with at most two decimals and no negative zero."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _stroke(layer: Layer) -> str:
    dash = f' stroke-dasharray="{" ".join(_n(d) for d in layer.dash_pt)}"' if layer.dash_pt else ""
    return f'stroke="{layer.colour}" stroke-width="{_n(layer.width_pt)}"{dash}'


def _element(item: Simple, factor: float, left: float, top: float) -> str:
    def at(point: Point) -> tuple[str, str]:
        return _n(point[0] * factor - left), _n(-point[1] * factor - top)

    if isinstance(item, Line):
        (x1, y1), (x2, y2) = at(item.start), at(item.end)
        return f'<line x1="{x1}" y1="{y1}" x2="{x2}" y2="{y2}" {_stroke(item.layer)}/>'
    if isinstance(item, Polyline):
        points = " ".join(",".join(at(point)) for point in item.points)
        name = "polygon" if item.closed else "polyline"
        stroke = _stroke(item.layer) if item.stroked else 'stroke="none"'
        return f'<{name} points="{points}" fill="{item.fill or "none"}" {stroke}/>'
    if isinstance(item, Circle):
        x, y = at(item.centre)
        radius = _n(item.radius_in * factor)
        return f'<circle cx="{x}" cy="{y}" r="{radius}" fill="{item.fill or "none"}" {_stroke(item.layer)}/>'
    if isinstance(item, Arc):
        (cx, cy), r = item.centre, item.radius_in
        ends = [at((cx + r * cos(radians(a)), cy + r * sin(radians(a)))) for a in (item.start_deg, item.end_deg)]
        large = 1 if (item.end_deg - item.start_deg) % 360 > 180 else 0
        radius = _n(r * factor)
        path = f"M{' '.join(ends[0])}A{radius} {radius} 0 {large} 0 {' '.join(ends[1])}"
        return f'<path d="{path}" fill="none" {_stroke(item.layer)}/>'
    return _text(item, at(item.at))


def _text(item: Text, at: tuple[str, str]) -> str:
    x, y = at
    # Baseline set by hand: alignment attributes are read differently by printers and browsers.
    baseline = _n(item.size_pt * BASELINE_EMS)
    turn = f" rotate({_n(-item.rotation_deg)})" if item.rotation_deg else ""
    halo = ""
    if item.halo:
        width = text_width_pt(item.text, item.size_pt, bold=item.bold)
        start = {"start": 0.0, "middle": -width / 2, "end": -width}[item.anchor]
        halo = (
            f'<rect x="{_n(start - 1)}" y="{_n(-item.size_pt * 0.6)}" width="{_n(width + 2)}" '
            f'height="{_n(item.size_pt * 1.2)}" fill="{PAPER}"/>'
        )
    weight = ' font-weight="700"' if item.bold else ""
    colour = item.layer.colour or INK
    return (
        f'<g transform="translate({x} {y}){turn}">{halo}<text x="0" y="{baseline}" font-size="{_n(item.size_pt)}" '
        f'text-anchor={quoteattr(item.anchor)}{weight} fill="{colour}">{escape(item.text)}</text></g>'
    )
