"""Writes a display list as SVG text: presentation attributes only, for the pages' content policy blocks style."""

from __future__ import annotations

from collections.abc import Callable
from math import cos, radians, sin
from xml.sax.saxutils import escape, quoteattr

from reports.drawings.sheet import (
    DIMENSION,
    INK,
    NOTE_PT,
    PAPER,
    POINTS_PER_INCH,
    SCALES,
    Arc,
    Circle,
    Dimension,
    Hatch,
    Item,
    Layer,
    Line,
    Point,
    Polyline,
    Sheet,
    Text,
    text_width_pt,
)

FONT = "Stemwall Sans"
MARGIN_PT = 6.0


def write_fitting(
    fill: Callable[[Sheet], None], *, title: str, paper_width_in: float, paper_height_in: float, zoom: float = 1.0
) -> str:
    """Fill a sheet at the largest architect's scale at which all that is drawn fits the paper; ValueError if none."""
    for name, scale in SCALES:
        sheet = Sheet(scale, title, name, zoom)
        fill(sheet)
        _, _, width_pt, height_pt = _frame(sheet)
        if width_pt <= paper_width_in * POINTS_PER_INCH and height_pt <= paper_height_in * POINTS_PER_INCH:
            return write(sheet)
    raise ValueError(f"{title}: fits no scale on {paper_width_in} × {paper_height_in} in")


def _frame(sheet: Sheet) -> tuple[float, float, float, float]:
    """Left, top, width and height of what is drawn with its margin, in points of the SVG's own axes."""
    if not sheet.items:
        raise ValueError(f"nothing is drawn on {sheet.title!r}")
    factor = sheet.scale * POINTS_PER_INCH
    xs, ys = zip(*(point for item in sheet.items for point in _extent(item, sheet)), strict=True)
    width, height = (max(xs) - min(xs)) * factor + 2 * MARGIN_PT, (max(ys) - min(ys)) * factor + 2 * MARGIN_PT
    return min(xs) * factor - MARGIN_PT, -max(ys) * factor - MARGIN_PT, width, height


def write(sheet: Sheet) -> str:
    """The sheet as one SVG text, cut to what is drawn plus a small margin; sized in paper points at its scale."""
    left, top, width, height = _frame(sheet)
    factor = sheet.scale * POINTS_PER_INCH
    items = [part for item in sheet.items for part in _expanded(item, sheet)]
    body = "\n".join(_element(item, factor, left, top) for item in items)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_n(width)}pt" height="{_n(height)}pt" '
        f'viewBox="0 0 {_n(width)} {_n(height)}" role="img" font-family="{FONT}, sans-serif" '
        f'stroke-linecap="butt" stroke-linejoin="miter">\n<title>{escape(sheet.title)}</title>\n{body}\n</svg>\n'
    )


def _n(value: float) -> str:
    """A coordinate with at most two decimals and no negative zero."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _expanded(item: Item, sheet: Sheet) -> list[Item]:
    if isinstance(item, Dimension):
        return _dimension_parts(item, sheet)
    if isinstance(item, Hatch):
        return _hatch_lines(item, sheet)
    return [item]


def _dimension_parts(item: Dimension, sheet: Sheet) -> list[Item]:
    """Extension lines, the dimension line, slashes at its ends and the text above it (outside when it doesn't fit)."""
    gap, over, slash = sheet.pt(2.5), sheet.pt(3), sheet.pt(3)
    ends = (item.start, item.end)
    parts: list[Item] = []
    if item.vertical:
        for x, y in ends:
            away = 1 if item.at_in >= x else -1
            parts.append(Line(DIMENSION, (x + away * gap, y), (item.at_in + away * over, y)))
            parts.append(Line(item.layer, (item.at_in - slash, y - slash), (item.at_in + slash, y + slash)))
        low, high = sorted((item.start[1], item.end[1]))
        parts.append(Line(item.layer, (item.at_in, low), (item.at_in, high)))
        fits = (high - low) >= sheet.pt(text_width_pt(item.text, NOTE_PT) + 4)
        middle = (low + high) / 2 if fits else high + sheet.pt(text_width_pt(item.text, NOTE_PT) / 2 + 5)
        at = (item.at_in - sheet.pt(6), middle)
        parts.append(Text(item.layer, at, item.text, NOTE_PT * sheet.zoom, "middle", 90.0))
        return parts
    for x, y in ends:
        away = 1 if item.at_in >= y else -1
        parts.append(Line(DIMENSION, (x, y + away * gap), (x, item.at_in + away * over)))
        parts.append(Line(item.layer, (x - slash, item.at_in - slash), (x + slash, item.at_in + slash)))
    low, high = sorted((item.start[0], item.end[0]))
    parts.append(Line(item.layer, (low, item.at_in), (high, item.at_in)))
    fits = (high - low) >= sheet.pt(text_width_pt(item.text, NOTE_PT) + 4)
    middle = (low + high) / 2 if fits else high + sheet.pt(text_width_pt(item.text, NOTE_PT) / 2 + 5)
    parts.append(Text(item.layer, (middle, item.at_in + sheet.pt(6)), item.text, NOTE_PT * sheet.zoom, "middle"))
    return parts


def _hatch_lines(item: Hatch, sheet: Sheet) -> list[Item]:
    """Scan lines across the polygon, even-odd, at the hatch's angle."""
    angle = radians(item.angle_deg)
    along, across = (cos(angle), sin(angle)), (-sin(angle), cos(angle))
    turned = [(x * along[0] + y * along[1], x * across[0] + y * across[1]) for x, y in item.points]
    step = sheet.pt(item.spacing_pt)
    lines: list[Item] = []
    level = (int(min(v for _, v in turned) / step) - 1) * step
    while (level := level + step) < max(v for _, v in turned):
        cuts = sorted(
            u0 + (level - v0) / (v1 - v0) * (u1 - u0)
            for (u0, v0), (u1, v1) in zip(turned, turned[1:] + turned[:1], strict=True)
            if (v0 <= level) != (v1 <= level)
        )
        for start, end in zip(cuts[::2], cuts[1::2], strict=True):
            ends = ((u * along[0] + level * across[0], u * along[1] + level * across[1]) for u in (start, end))
            first, second = ends
            lines.append(Line(item.layer, first, second))
    return lines


def _extent(item: Item, sheet: Sheet) -> tuple[Point, ...]:
    if isinstance(item, Dimension):
        return tuple(point for part in _dimension_parts(item, sheet) for point in _extent(part, sheet))
    if isinstance(item, Line):
        return (item.start, item.end)
    if isinstance(item, Polyline | Hatch):
        return item.points
    if isinstance(item, Circle | Arc):
        (x, y), r = item.centre, item.radius_in
        return ((x - r, y - r), (x + r, y + r))
    if isinstance(item, Text):
        inch = POINTS_PER_INCH * sheet.scale
        width, half = text_width_pt(item.text, item.size_pt, bold=item.bold) / inch, item.size_pt * 0.6 / inch
        start = {"start": 0.0, "middle": -width / 2, "end": -width}[item.anchor]
        angle = radians(item.rotation_deg)
        corners = ((start, -half), (start + width, -half), (start + width, half), (start, half))
        return tuple(
            (item.at[0] + u * cos(angle) - v * sin(angle), item.at[1] + u * sin(angle) + v * cos(angle))
            for u, v in corners
        )
    raise TypeError(f"{item!r} has no extent")


def _stroke(layer: Layer) -> str:
    dash = f' stroke-dasharray="{" ".join(_n(d) for d in layer.dash_pt)}"' if layer.dash_pt else ""
    return f'stroke="{layer.colour}" stroke-width="{_n(layer.width_pt)}"{dash}'


def _element(item: Item, factor: float, left: float, top: float) -> str:
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
    if isinstance(item, Text):
        return _text(item, at(item.at))
    raise TypeError(f"{item!r} should have been expanded")


def _text(item: Text, at: tuple[str, str]) -> str:
    x, y = at
    # Baseline set by hand: alignment attributes are read differently by printers and browsers.
    baseline = _n(item.size_pt * 0.36)
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
