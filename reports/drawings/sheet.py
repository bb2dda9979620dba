"""One display list for every drawing: geometry in real inches, text and line weights in paper points.

x grows right, y grows up. A writer (svg.py, dxf.py) turns the list into a file; what stands here knows no file format.
Parts thinner than a pen, such as symbols and gaps, are sized with `Sheet.pt`: paper points as real inches.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Literal

from engineering.feet_inches import format_feet_inches, format_inches
from reports.drawings.lettering import NOTE_PT, text_width_pt, wrapped

POINTS_PER_INCH = 72.0

INK, QUIET, ACCENT, RULE, PAPER, ACCENT_GROUND = "#1f2a33", "#5d6870", "#9b3d2e", "#d8d3c8", "#ffffff", "#f4e7e2"

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class Layer:
    name: str
    colour: str
    width_pt: float
    dash_pt: tuple[float, ...] = ()


EXISTING = Layer("existing", QUIET, 0.5)
HIDDEN = Layer("existing hidden", QUIET, 0.4, (4.0, 2.5))
GROUND = Layer("ground and concrete", QUIET, 0.7)
NEW = Layer("new panels", INK, 1.4)
JOINT = Layer("panel joints", INK, 0.7)
ADDED = Layer("added connectors", ACCENT, 1.3)
OPEN = Layer("open", INK, 0.9, (2.0, 3.0))
DIMENSION = Layer("dimensions", INK, 0.4)
TEXT = Layer("text", INK, 0.5)
QUIET_TEXT = Layer("text existing", QUIET, 0.5)
ADDED_TEXT = Layer("text added", ACCENT, 0.5)
TEXTURE = Layer("hatching", QUIET, 0.25)
RULES = Layer("rules", RULE, 0.6)
REVISION = Layer("revisions", INK, 0.9)

# Architect's scales as written on a sheet → paper inches per real inch, largest first.
SCALES: tuple[tuple[str, float], ...] = (
    ("full size", 1.0),
    ("6″ = 1′-0″", 1 / 2),
    ("3″ = 1′-0″", 1 / 4),
    ("1 1/2″ = 1′-0″", 1 / 8),
    ("1″ = 1′-0″", 1 / 12),
    ("3/4″ = 1′-0″", 1 / 16),
    ("1/2″ = 1′-0″", 1 / 24),
    ("3/8″ = 1′-0″", 1 / 32),
    ("1/4″ = 1′-0″", 1 / 48),
    ("3/16″ = 1′-0″", 1 / 64),
    ("1/8″ = 1′-0″", 1 / 96),
    ("3/32″ = 1′-0″", 1 / 128),
    ("1/16″ = 1′-0″", 1 / 192),
)


@dataclass(frozen=True, slots=True)
class Line:
    layer: Layer
    start: Point
    end: Point


@dataclass(frozen=True, slots=True)
class Polyline:
    layer: Layer
    points: tuple[Point, ...]
    closed: bool = False
    fill: str | None = None
    stroked: bool = True


@dataclass(frozen=True, slots=True)
class Circle:
    layer: Layer
    centre: Point
    radius_in: float
    fill: str | None = None


@dataclass(frozen=True, slots=True)
class Arc:
    """Part of a circle, anticlockwise from start to end, degrees from +x."""

    layer: Layer
    centre: Point
    radius_in: float
    start_deg: float
    end_deg: float


@dataclass(frozen=True, slots=True)
class Hatch:
    """Parallel lines inside a polygon."""

    layer: Layer
    points: tuple[Point, ...]
    spacing_pt: float
    angle_deg: float


@dataclass(frozen=True, slots=True)
class Text:
    """`at` is the middle of the text's height; `halo` clears the paper behind it."""

    layer: Layer
    at: Point
    text: str
    size_pt: float = NOTE_PT
    anchor: Anchor = "start"
    rotation_deg: float = 0.0
    bold: bool = False
    halo: bool = False


@dataclass(frozen=True, slots=True)
class Dimension:
    """Distance between two points on a horizontal or vertical dimension line at `at_in` (y, or x when vertical)."""

    layer: Layer
    start: Point
    end: Point
    at_in: float
    text: str
    vertical: bool = False


@dataclass(frozen=True, slots=True)
class Running:
    """One of a row of running dimensions: how far a place lies from the datum, written across the row beside it.

    `datum` and `place` lie on the row's line (upright when `vertical`); the text stands at `text_at_in` along the row,
    moved where neighbours crowd, above it (or right of it) when `way` is 1, below (or left) when -1.
    """

    layer: Layer
    datum: Point
    place: Point
    text_at_in: float
    text: str
    size_pt: float
    way: Literal[1, -1]
    bold: bool = False
    vertical: bool = False


Item = Line | Polyline | Circle | Arc | Hatch | Text | Dimension | Running


@dataclass(slots=True)
class Sheet:
    """A drawing at one scale (paper inches per real inch), to be filled in painting order.

    `zoom` enlarges texts and symbols, not geometry: large sheets are read at half size too.
    """

    scale: float
    title: str
    scale_name: str = ""
    zoom: float = 1.0
    items: list[Item] = field(default_factory=list)

    def pt(self, points: float) -> float:
        """Paper points, enlarged by the zoom, as real inches at this scale."""
        return points * self.zoom / POINTS_PER_INCH / self.scale

    def line(self, layer: Layer, start: Point, end: Point) -> None:
        self.items.append(Line(layer, start, end))

    def polyline(self, layer: Layer, points: Iterable[Point], *, closed: bool = False, fill: str | None = None) -> None:
        self.items.append(Polyline(layer, tuple(points), closed, fill))

    def rectangle(
        self, layer: Layer, low: Point, high: Point, *, fill: str | None = None, stroked: bool = True
    ) -> None:
        corners = (low, (high[0], low[1]), high, (low[0], high[1]))
        self.items.append(Polyline(layer, corners, True, fill, stroked))

    def circle(self, layer: Layer, centre: Point, radius_in: float, *, fill: str | None = None) -> None:
        self.items.append(Circle(layer, centre, radius_in, fill))

    def arc(self, layer: Layer, centre: Point, radius_in: float, start_deg: float, end_deg: float) -> None:
        self.items.append(Arc(layer, centre, radius_in, start_deg, end_deg))

    def hatch(
        self, points: Sequence[Point], *, spacing_pt: float = 5.0, angle_deg: float = 45.0, layer: Layer = TEXTURE
    ) -> None:
        self.items.append(Hatch(layer, tuple(points), spacing_pt, angle_deg))

    def hatch_rectangle(self, low: Point, high: Point, *, spacing_pt: float = 5.0, angle_deg: float = 45.0) -> None:
        self.hatch((low, (high[0], low[1]), high, (low[0], high[1])), spacing_pt=spacing_pt, angle_deg=angle_deg)

    def text(
        self,
        at: Point,
        text: str,
        *,
        layer: Layer = TEXT,
        size_pt: float = NOTE_PT,
        anchor: Anchor = "start",
        rotation_deg: float = 0.0,
        bold: bool = False,
        halo: bool = False,
    ) -> None:
        self.items.append(Text(layer, at, text, size_pt * self.zoom, anchor, rotation_deg, bold, halo))

    def leader(self, at: Point, to: Point, text: str, *, layer: Layer = TEXT, wrap_pt: float = 150.0) -> None:
        """A thin line from the part at `at` to a text at `to` that runs away from the part, wrapped at `wrap_pt`."""
        self.items.append(Line(DIMENSION, at, to))
        self.circle(DIMENSION, at, self.pt(1.2), fill=INK)
        away = 1 if to[0] >= at[0] else -1
        for index, row in enumerate(wrapped(text, wrap_pt)):
            place = (to[0] + away * self.pt(3), to[1] - index * self.pt(10))
            self.text(place, row, layer=layer, anchor="start" if away > 0 else "end", halo=True)

    def dimension(self, start: Point, end: Point, at_in: float, *, text: str = "", vertical: bool = False) -> None:
        """Dimension a distance in feet-inches (or with a text of its own)."""
        along = abs(end[1] - start[1]) if vertical else abs(end[0] - start[0])
        self.items.append(Dimension(DIMENSION, start, end, at_in, text or length_text(along), vertical))

    def running(
        self,
        datum: Point,
        place: Point,
        *,
        text_at_in: float,
        text: str,
        size_pt: float,
        way: Literal[1, -1],
        layer: Layer = TEXT,
        bold: bool = False,
        vertical: bool = False,
    ) -> None:
        """One running dimension; the texts of a row are kept apart by the caller."""
        self.items.append(Running(layer, datum, place, text_at_in, text, size_pt * self.zoom, way, bold, vertical))

    def scale_bar(self, at: Point, note: str = "") -> None:
        """A bar of four equal parts near two paper inches long, its lower left end at `at`, and the scale's name.

        A `note` stands over the scale's name.
        """
        part_in = next(
            (part for part in (0.5, 1, 2, 3, 6, 12, 24, 48, 60, 120, 240) if part * self.scale >= 0.4 * self.zoom), 480
        )
        height = self.pt(4)
        for index in range(4):
            low = (at[0] + index * part_in, at[1])
            fill = INK if index % 2 == 0 else PAPER
            self.rectangle(DIMENSION, low, (low[0] + part_in, low[1] + height), fill=fill)
        for index in range(5):
            label = "0" if index == 0 else length_text(index * part_in)
            self.text((at[0] + index * part_in, at[1] + self.pt(10)), label, size_pt=6.5, anchor="middle")
        if self.scale_name:
            beside = (at[0] + 4 * part_in + self.pt(14), at[1] + height / 2)
            self.text(beside, f"Scale {self.scale_name} at full sheet size", size_pt=6.5)
            if note:
                self.text((beside[0], beside[1] + self.pt(10)), note, size_pt=6.5)

    def revision_mark(self, at: Point, number: int) -> None:
        """The triangle that marks a change, with the revision's number; `at` is its middle."""
        x, y = at
        half, up, down = self.pt(6.5), self.pt(7.5), self.pt(4)
        corners = ((x - half, y - down), (x + half, y - down), (x, y + up))
        self.polyline(REVISION, corners, closed=True, fill=PAPER)
        self.text(at, str(number), layer=REVISION, size_pt=6.5, anchor="middle", bold=True)

    def caption(self, at: Point, text: str, *, number: str = "") -> None:
        """The drawing's title with a rule over it and its detail number in front."""
        title = f"{number}   {text}" if number else text
        width = self.pt(text_width_pt(title, 11.0, bold=True))
        self.line(NEW, (at[0], at[1] + self.pt(11)), (at[0] + width, at[1] + self.pt(11)))
        self.text(at, title, size_pt=11.0, bold=True)


@lru_cache(maxsize=8192)
def length_text(length_in: float) -> str:
    """A length as written on a drawing: feet-inches from one foot up, inches below."""
    text = format_feet_inches(length_in) if abs(length_in) >= 12 else format_inches(length_in)
    return text.replace('"', "″").replace("'", "′")
