"""What all parts of an elevation share: the wall line, its schedule, and where a station falls on the sheet."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Literal

from reports.drawings import wall_line
from reports.drawings.labels import Labels
from reports.drawings.sheet import Layer, Point, Sheet, text_width_pt

FOOTING_IN = 12.0
FLOOR_IN = 0.75
CALLOUT_PT = 6.5
STRUT_PT = 44.0  # of a strut shown beyond the wall


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
    crew: bool
    revisions: dict[str, int]  # by role of the schedule: the revision that last changed it
    labels: Labels = field(init=False)

    def __post_init__(self) -> None:
        self.labels = Labels(self.sheet)

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

    def bottom(self, station_in: float, segment: dict[str, Any] | None = None) -> float:
        return wall_line.sill_bottom_at(self.line, station_in, segment)

    @property
    def lowest(self) -> float:
        return min(
            self.bottom(segment[end] * 12, segment) for segment in self.line["segments"] for end in ("from_ft", "to_ft")
        )

    @property
    def width_in(self) -> float:
        return self.high_in - self.low_in

    def is_line_end(self, x: float) -> bool:
        """Whether the stretch ends here because the line does."""
        station = self.station(x)
        return station < 0.01 or station > wall_line.length_in(self.line) - 0.01

    def away(self, end: Literal["zero", "far"]) -> Literal[1, -1]:
        """Which way leads off the wall at one of its ends."""
        return -1 if (end == "zero") == self.zero_left else 1

    def struts(self, end: Literal["zero", "far"]) -> list[dict[str, Any]]:
        return [strut for strut in self.line.get("struts", ()) if strut["end"] == end]

    def station(self, x: float) -> float:
        return x + self.low_in if self.zero_left else self.high_in - x

    def revision(self, *roles: str) -> int | None:
        """The latest revision that changed one of these roles."""
        return max((self.revisions[role] for role in roles if role in self.revisions), default=None)

    def keep_clear(self, x: float, low: float, high: float, half_pt: float = 4.0) -> None:
        """No word goes over what stands at x between two levels."""
        half = self.sheet.pt(half_pt)
        self.labels.keep_clear((x - half, low), (x + half, high))

    def callout(self, at: Point, text: str, *, up: bool, layer: Layer) -> None:
        """A word beside a place too small for it, with a line from there, within the wall; none for the crew."""
        if self.crew:
            return
        sheet, way = self.sheet, 1 if up else -1
        ceiling = -wall_line.plates_height_in(self.line) - sheet.pt(5)
        floor = self.lowest + self.line["framing"]["sill_thickness_in"] + sheet.pt(5)
        half = sheet.pt(text_width_pt(text, CALLOUT_PT) / 2)
        places = [
            (min(max(at[0] + sheet.pt(aside), half), self.width_in - half), at[1] + way * sheet.pt(away))
            for away in (13, 23, 33, 43)
            for aside in (0, 24, -24)
        ]
        places = [place for place in places if floor <= place[1] <= ceiling]
        more = {"layer": layer, "size_pt": CALLOUT_PT, "anchor": "middle", "halo": True}
        found = self.labels.place(places, text, needed=False, **more) if places else None
        if found is not None:
            sheet.line(layer, at, (at[0], found[1] - way * sheet.pt(4.5)))
