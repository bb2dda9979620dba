"""What all parts of an elevation share: the wall line, its schedule, and where a station falls on the sheet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from reports.drawings import wall_line
from reports.drawings.sheet import Sheet

FOOTING_IN = 12.0
FLOOR_IN = 0.75


@dataclass(slots=True)
class View:
    """A stretch of a wall line on a sheet: stations along the line to x, seen from one side."""

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

    @property
    def width_in(self) -> float:
        return self.high_in - self.low_in

    def is_line_end(self, x: float) -> bool:
        """Whether the stretch ends here because the line does."""
        station = self.station(x)
        return station < 0.01 or station > wall_line.length_in(self.line) - 0.01

    def station(self, x: float) -> float:
        return x + self.low_in if self.zero_left else self.high_in - x
