"""Which mass each wall line carries, in plan: one drawing a direction, a hatching a line, to scale."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from reports.drawings import svg, wall_line
from reports.drawings.plan_marks import draw_north
from reports.drawings.sheet import (
    DIMENSION,
    EXISTING,
    HIDDEN,
    INK,
    NEW,
    PAPER,
    QUIET_TEXT,
    TEXTURE,
    Layer,
    Point,
    Sheet,
    text_width_pt,
)

LINE = Layer("wall lines", INK, 2.6)
CUT = Layer("strips", INK, 0.8, (6.0, 2.0, 1.5, 2.0))
DASHED = Layer("hatching, dashed", TEXTURE.colour, 0.4, (3.0, 2.0))
# Angle, spacing and stroke of each line's hatching; neighbours differ in more than one of them.
PATTERNS: Final[tuple[tuple[float, float, Layer], ...]] = (
    (45.0, 6.0, TEXTURE),
    (-45.0, 9.0, DASHED),
    (0.0, 7.0, TEXTURE),
    (90.0, 9.0, DASHED),
    (22.5, 5.0, TEXTURE),
    (-22.5, 7.0, DASHED),
)
ROW_PT = 9.5

Json = dict[str, Any]


def along_x(line: Json) -> bool:
    """Whether a wall line runs east–west, and so carries the force along x."""
    (x0, y0), (x1, y1) = line["start_ft"], line["end_ft"]
    return abs(x1 - x0) > abs(y1 - y0)


def directions(inputs: Json) -> list[tuple[str, list[Json]]]:
    """The two directions of force by name, each with the wall lines that carry it."""
    ways = (("east–west", True), ("north–south", False))
    return [(name, [line for line in inputs["lines"] if along_x(line) == way]) for name, way in ways]


def draw(
    inputs: Json,
    picture: Sequence[Json],
    lines: Sequence[Json],
    *,
    direction: str,
    paper_width_in: float,
    paper_height_in: float,
) -> str:
    """The plan for one direction as SVG, north up; ValueError where no piece of mass is known or no scale fits."""
    shares = [share for share in picture if share["line"] in {line["label"] for line in lines}]
    if not shares:
        raise ValueError(f"force {direction}: no piece of mass is known")
    return svg.write_fitting(
        lambda sheet: _draw(sheet, inputs, shares, lines),
        title=f"Mass by wall line, force {direction}",
        paper_width_in=paper_width_in,
        paper_height_in=paper_height_in,
    )


def _draw(sheet: Sheet, inputs: Json, shares: Sequence[Json], lines: Sequence[Json]) -> None:
    floor = shares[0]["level"]
    for number, line in enumerate(lines):
        own = [share for share in shares if share["line"] == line["label"]]
        angle, spacing, layer = PATTERNS[number % len(PATTERNS)]
        for share in own:
            points = _inches(share["outline_ft"])
            if share["kind"] == "area" and share["level"] == floor:
                sheet.polyline(CUT, points, closed=True)
                sheet.hatch(points, spacing_pt=spacing, angle_deg=angle, layer=layer)
            elif share["kind"] == "area":
                sheet.polyline(HIDDEN, points, closed=True)
            elif share["kind"] == "wall" and share["level"] == floor:
                sheet.polyline(EXISTING, points)
                _ticks(sheet, points)
    for line in lines:
        _wall_line(sheet, line, inputs["building"]["floor_outline_ft"])
        own = [share for share in shares if share["line"] == line["label"]]
        areas = [share for share in own if share["kind"] == "area" and share["level"] == floor]
        if areas:
            largest = max(areas, key=lambda share: float(share["weight_lb"]))
            _words(sheet, _middle(_inches(largest["outline_ft"])), _said(line["label"], own))
    _point_weights(sheet, inputs)
    xs, ys = zip(*(point for share in shares for point in _inches(share["outline_ft"])), strict=True)
    outline = _inches(inputs["building"]["floor_outline_ft"])
    left, right = min(x for x, _ in outline), max(x for x, _ in outline)
    low, high = min(y for _, y in outline), max(y for _, y in outline)
    under, beside = min(ys) - sheet.pt(24), max(xs) + sheet.pt(24)
    sheet.dimension((left, low), (right, low), under)
    sheet.dimension((right, low), (right, high), beside, vertical=True)
    draw_north(sheet, (beside + sheet.pt(32), high - sheet.pt(30)))
    sheet.scale_bar((left, under - sheet.pt(22)))


def _said(label: str, own: Sequence[Json]) -> list[str]:
    """The label's rows: what the line carries by level, and the whole."""
    levels = dict.fromkeys(share["level"] for share in own)
    rows = [
        f"{level} {sum(share['weight_lb'] for share in own if share['level'] == level):,.0f} lb" for level in levels
    ]
    return [f"to line {label}", *rows, f"{sum(share['weight_lb'] for share in own):,.0f} lb"]


def _words(sheet: Sheet, at: Point, rows: Sequence[str]) -> None:
    """Rows of text about a point on a patch of paper, so that no hatching runs through them."""
    wide = max(text_width_pt(row, 7.5, bold=True) for row in rows)
    half = (sheet.pt(wide / 2 + 4), sheet.pt(len(rows) * ROW_PT / 2 + 3))
    sheet.rectangle(
        DIMENSION, (at[0] - half[0], at[1] - half[1]), (at[0] + half[0], at[1] + half[1]), fill=PAPER, stroked=False
    )
    for number, row in enumerate(rows):
        y = at[1] + sheet.pt(((len(rows) - 1) / 2 - number) * ROW_PT)
        sheet.text((at[0], y), row, anchor="middle", bold=number in (0, len(rows) - 1))


def _wall_line(sheet: Sheet, line: Json, outline: list[list[float]]) -> None:
    """The line itself with its label in a ring beyond its far end, clear of dimensions."""
    start, end = _inches([line["start_ft"], line["end_ft"]])
    sheet.line(LINE, start, end)
    # The ring stands at the west or the north end: dimensions run below and to the east.
    first, other = sorted((start, end), key=lambda point: (point[0], -point[1]))
    length = wall_line.length_in(line)
    way = ((first[0] - other[0]) / length, (first[1] - other[1]) / length)
    near, far = sheet.pt(15), sheet.pt(33)
    at = (first[0] + way[0] * far, first[1] + way[1] * far)
    sheet.line(
        DIMENSION, (first[0] + way[0] * sheet.pt(3), first[1] + way[1] * sheet.pt(3)),
        (first[0] + way[0] * (far - near + sheet.pt(5)), first[1] + way[1] * (far - near + sheet.pt(5))),
    )  # fmt: skip
    half = sheet.pt(text_width_pt(line["label"], 10.0, bold=True) / 2 + 4)
    if half > sheet.pt(10):
        tall = sheet.pt(8)
        sheet.rectangle(NEW, (at[0] - half, at[1] - tall), (at[0] + half, at[1] + tall), fill=PAPER)
    else:
        sheet.circle(NEW, at, sheet.pt(10), fill=PAPER)
    sheet.text(at, line["label"], size_pt=10.0, bold=True, anchor="middle")


def _point_weights(sheet: Sheet, inputs: Json) -> None:
    for weight in inputs["building"]["point_weights"]:
        x, y = weight["at_ft"][0] * 12, weight["at_ft"][1] * 12
        half = max(9.0, sheet.pt(4))
        sheet.rectangle(NEW, (x - half, y - half), (x + half, y + half), fill=PAPER)
        sheet.line(NEW, (x - half, y - half), (x + half, y + half))
        sheet.line(NEW, (x - half, y + half), (x + half, y - half))
        at = (x + half, y - half - sheet.pt(6))
        sheet.text(at, weight["label"], layer=QUIET_TEXT, anchor="end", halo=True)


def _ticks(sheet: Sheet, points: Sequence[Point]) -> None:
    """A short stroke across each end of a wall's piece: where one line's share ends and the next begins."""
    (x0, y0), (x1, y1) = points[0], points[-1]
    length = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
    across = (-(y1 - y0) / length * sheet.pt(4), (x1 - x0) / length * sheet.pt(4))
    for x, y in (points[0], points[-1]):
        sheet.line(EXISTING, (x - across[0], y - across[1]), (x + across[0], y + across[1]))


def _middle(points: Sequence[Point]) -> Point:
    """The middle of a piece's bounds: the pieces are parts of rectangles."""
    xs, ys = zip(*points, strict=True)
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def _inches(points: Sequence[Sequence[float]]) -> list[Point]:
    return [(point[0] * 12, point[1] * 12) for point in points]
