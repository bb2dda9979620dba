"""Running dimensions: every part's distance from one datum, written across the row; crowded texts fan out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from reports.drawings.sheet import DIMENSION, TEXT, Layer, Point, Sheet, length_text, text_width_pt

SIZE_PT = 7.0
PITCH_PT = 8.6  # between neighbouring texts


@dataclass(frozen=True, slots=True)
class Mark:
    station_in: float
    layer: Layer = TEXT
    bold: bool = False


def running_dimensions(
    sheet: Sheet,
    marks: list[Mark],
    *,
    along: Callable[[float], float],
    row_in: float,
    way: Literal[1, -1],
    ends: tuple[float, float],
    vertical: bool = False,
) -> float:
    """Draw one row at `row_in` (its y, or x when vertical) with the texts on its `way` side; where they end.

    `along` turns a station into a place along the row; the row's line runs between `ends`.
    """

    def point(along_in: float) -> Point:
        return (row_in, along_in) if vertical else (along_in, row_in)

    merged: dict[float, Mark] = {}
    for mark in marks:
        known = merged.get(round(mark.station_in, 2))
        merged[round(mark.station_in, 2)] = known if known is not None and known.bold else mark
    ordered = sorted(merged.values(), key=lambda mark: along(mark.station_in))
    places = _spread([along(mark.station_in) for mark in ordered], sheet.pt(PITCH_PT))
    sheet.line(DIMENSION, point(ends[0]), point(ends[1]))
    for mark, place in zip(ordered, places, strict=True):
        sheet.running(
            point(along(0.0)),
            point(along(mark.station_in)),
            text_at_in=place,
            text=length_text(mark.station_in),
            size_pt=SIZE_PT,
            way=way,
            layer=mark.layer,
            bold=mark.bold,
            vertical=vertical,
        )
    longest = max(text_width_pt(length_text(mark.station_in), SIZE_PT, bold=mark.bold) for mark in ordered)
    return row_in + way * sheet.pt(longest + 8)


def _spread(places: list[float], pitch: float) -> list[float]:
    """Move ordered places as little as needed so that neighbours stand at least a pitch apart."""
    groups: list[list[float]] = []  # sum of the starts wished for, count, start
    for place in places:
        groups.append([place, 1.0, place])
        while len(groups) > 1 and groups[-2][2] + (groups[-2][1] - 1) * pitch + pitch > groups[-1][2]:
            later = groups.pop()
            earlier = groups[-1]
            total = earlier[0] + later[0] - later[1] * earlier[1] * pitch
            count = earlier[1] + later[1]
            groups[-1] = [total, count, total / count]
    return [start + index * pitch for _, count, start in groups for index in range(int(count))]
