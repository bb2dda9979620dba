"""What each item of a display list is drawn as, and the room that it takes. The same for every file format."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import cos, radians, sin

from reports.drawings.lettering import NOTE_PT, text_width_pt
from reports.drawings.sheet import (
    DIMENSION,
    POINTS_PER_INCH,
    SCALES,
    Arc,
    Circle,
    Dimension,
    Hatch,
    Item,
    Line,
    Point,
    Polyline,
    Running,
    Sheet,
    Text,
)

MARGIN_PT = 6.0
LINE_HEIGHT_EMS = 1.2

Simple = Line | Polyline | Circle | Arc | Text


def fitting(
    fill: Callable[[Sheet], None],
    *,
    title: str,
    paper_width_in: float,
    paper_height_in: float,
    zoom: float = 1.0,
    largest: float = 1.0,
) -> Sheet:
    """A filled sheet at the largest architect's scale (up to `largest`) at which all that is drawn fits the paper.

    ValueError if there is none.
    """
    for name, scale in (pair for pair in SCALES if pair[1] <= largest):
        sheet = Sheet(scale, title, name, zoom)
        fill(sheet)
        _, _, width_pt, height_pt = frame_pt(sheet)
        if width_pt <= paper_width_in * POINTS_PER_INCH and height_pt <= paper_height_in * POINTS_PER_INCH:
            return sheet
    raise ValueError(f"{title}: fits no scale on {paper_width_in} × {paper_height_in} in")


def frame_pt(sheet: Sheet) -> tuple[float, float, float, float]:
    """Left, top, width and height of what is drawn with its margin, in paper points, y downwards.

    ValueError where nothing is drawn.
    """
    if not sheet.items:
        raise ValueError(f"nothing is drawn on {sheet.title!r}")
    factor = sheet.scale * POINTS_PER_INCH
    xs, ys = zip(*(point for item in sheet.items for point in extent(item, sheet)), strict=True)
    width, height = (max(xs) - min(xs)) * factor + 2 * MARGIN_PT, (max(ys) - min(ys)) * factor + 2 * MARGIN_PT
    return min(xs) * factor - MARGIN_PT, -max(ys) * factor - MARGIN_PT, width, height


def simple_parts(item: Item, sheet: Sheet) -> Iterator[Simple]:
    """The lines, curves and texts that an item is drawn with."""
    if isinstance(item, Dimension):
        yield from dimension_parts(item, sheet)
    elif isinstance(item, Running):
        yield from running_parts(item, sheet)
    elif isinstance(item, Hatch):
        yield from hatch_lines(item, sheet)
    else:
        yield item


def dimension_parts(item: Dimension, sheet: Sheet) -> list[Simple]:
    """Extension lines, the dimension line, slashes at its ends and the text above it (outside when it doesn't fit)."""
    gap, over, slash = sheet.pt(2.5), sheet.pt(3), sheet.pt(3)
    parts: list[Simple] = []

    def turned(along: float, across: float) -> Point:
        return (across, along) if item.vertical else (along, across)

    ends = [(y, x) if item.vertical else (x, y) for x, y in (item.start, item.end)]
    for along, across in ends:
        away = 1 if item.at_in >= across else -1
        if abs(item.at_in - across) > gap:
            parts.append(Line(DIMENSION, turned(along, across + away * gap), turned(along, item.at_in + away * over)))
        low, high = (along - slash, item.at_in - slash), (along + slash, item.at_in + slash)
        parts.append(Line(item.layer, turned(*low), turned(*high)))
    low_end, high_end = sorted((ends[0][0], ends[1][0]))
    parts.append(Line(item.layer, turned(low_end, item.at_in), turned(high_end, item.at_in)))
    wide = sheet.pt(text_width_pt(item.text, NOTE_PT))
    fits = high_end - low_end >= wide + sheet.pt(4)
    middle = (low_end + high_end) / 2 if fits else high_end + wide / 2 + sheet.pt(5)
    beside = item.at_in - sheet.pt(6) if item.vertical else item.at_in + sheet.pt(6)
    turn = 90.0 if item.vertical else 0.0
    parts.append(Text(item.layer, turned(middle, beside), item.text, NOTE_PT * sheet.zoom, "middle", turn))
    return parts


def running_parts(item: Running, sheet: Sheet) -> list[Simple]:
    """A tick on the row's line, the way to the text where it had to move aside, and the text."""
    x, y = item.place
    along, row = (y, x) if item.vertical else (x, y)
    tick, elbow = sheet.pt(2) * item.way, sheet.pt(6) * item.way

    def turned(along_in: float, away_in: float) -> Point:
        return (row + away_in, along_in) if item.vertical else (along_in, row + away_in)

    return [
        Line(DIMENSION, turned(along, -sheet.pt(3) * item.way), turned(along, tick)),
        Line(DIMENSION, turned(along, tick), turned(item.text_at_in, elbow)),
        Text(
            item.layer,
            turned(item.text_at_in, elbow + tick),
            item.text,
            item.size_pt,
            "start" if item.way > 0 else "end",
            0.0 if item.vertical else 90.0,
            item.bold,
        ),
    ]


def hatch_lines(item: Hatch, sheet: Sheet) -> Iterator[Line]:
    """Scan lines across the polygon, even-odd, at the hatch's angle."""
    angle = radians(item.angle_deg)
    along, across = (cos(angle), sin(angle)), (-sin(angle), cos(angle))
    turned = [(x * along[0] + y * along[1], x * across[0] + y * across[1]) for x, y in item.points]
    step = sheet.pt(item.spacing_pt)
    level = (int(min(v for _, v in turned) / step) - 1) * step
    while (level := level + step) < max(v for _, v in turned):
        cuts = sorted(
            u0 + (level - v0) / (v1 - v0) * (u1 - u0)
            for (u0, v0), (u1, v1) in zip(turned, turned[1:] + turned[:1], strict=True)
            if (v0 <= level) != (v1 <= level)
        )
        for start, end in zip(cuts[::2], cuts[1::2], strict=True):
            first, second = ((u * along[0] + level * across[0], u * along[1] + level * across[1]) for u in (start, end))
            yield Line(item.layer, first, second)


def extent(item: Item, sheet: Sheet) -> tuple[Point, ...]:
    """Points around all that an item covers, in real inches."""
    if isinstance(item, Dimension | Running):
        return tuple(point for part in simple_parts(item, sheet) for point in extent(part, sheet))
    if isinstance(item, Line):
        return (item.start, item.end)
    if isinstance(item, Polyline | Hatch):
        return item.points
    if isinstance(item, Circle | Arc):
        (x, y), r = item.centre, item.radius_in
        return ((x - r, y - r), (x + r, y + r))
    return text_corners(item, sheet)


def text_corners(item: Text, sheet: Sheet) -> tuple[Point, ...]:
    """The four corners of a text's box, in real inches."""
    inch = POINTS_PER_INCH * sheet.scale
    width = text_width_pt(item.text, item.size_pt, bold=item.bold) / inch
    half = item.size_pt * LINE_HEIGHT_EMS / 2 / inch
    start = {"start": 0.0, "middle": -width / 2, "end": -width}[item.anchor]
    angle = radians(item.rotation_deg)
    return tuple(
        (item.at[0] + u * cos(angle) - v * sin(angle), item.at[1] + u * sin(angle) + v * cos(angle))
        for u, v in ((start, -half), (start + width, -half), (start + width, half), (start, half))
    )
