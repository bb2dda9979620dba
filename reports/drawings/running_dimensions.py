"""Running dimensions: every part's distance from one datum, written upright at its place; crowded texts fan out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from reports.drawings.sheet import DIMENSION, TEXT, Layer, Sheet, length_text, text_width_pt

SIZE_PT = 7.0
PITCH_PT = 8.6  # between neighbouring texts


@dataclass(frozen=True, slots=True)
class Mark:
    station_in: float
    layer: Layer = TEXT
    bold: bool = False


def running_dimensions(
    sheet: Sheet, marks: list[Mark], *, x: Callable[[float], float], y: float, width_in: float, heading: str, up: bool
) -> float:
    """Draw one row away from the wall (`up` or down) and return the y where the next one may start."""
    way = 1 if up else -1
    merged: dict[float, Mark] = {}
    for mark in marks:
        known = merged.get(round(mark.station_in, 2))
        merged[round(mark.station_in, 2)] = known if known is not None and known.bold else mark
    ordered = sorted(merged.values(), key=lambda mark: x(mark.station_in))
    places = _spread([x(mark.station_in) for mark in ordered], sheet.pt(PITCH_PT))
    longest = max(text_width_pt(length_text(mark.station_in), SIZE_PT, bold=mark.bold) for mark in ordered)
    sheet.line(DIMENSION, (0.0, y), (width_in, y))
    for mark, place in zip(ordered, places, strict=True):
        sheet.running(
            (x(0.0), y),
            (x(mark.station_in), y),
            text_x_in=place,
            text=length_text(mark.station_in),
            size_pt=SIZE_PT,
            up=up,
            layer=mark.layer,
            bold=mark.bold,
        )
    far = y + way * sheet.pt(longest + 7)
    if heading:
        sheet.text((sheet.pt(5), far + way * sheet.pt(5)), heading, size_pt=SIZE_PT)
        far += way * sheet.pt(10)
    return far + way * sheet.pt(5)


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
