"""Places boxes on a sheet's canvas, in order, clear of one another and of the stamp space. Inches from the top left."""

from __future__ import annotations

from dataclasses import dataclass

WIDTH_IN, HEIGHT_IN = 32.8, 22.95  # the canvas of a plan sheet
STAMPS_IN = (6.1, 5.75)  # at the lower right
GAP_IN = 0.45


@dataclass(frozen=True, slots=True)
class Box:
    left: float
    top: float
    width: float
    height: float

    def meets(self, other: Box) -> bool:
        """Whether two boxes come closer than the gap between drawings."""
        return (
            self.left < other.left + other.width + GAP_IN
            and other.left < self.left + self.width + GAP_IN
            and self.top < other.top + other.height + GAP_IN
            and other.top < self.top + self.height + GAP_IN
        )


STAMPS = Box(WIDTH_IN - STAMPS_IN[0], HEIGHT_IN - STAMPS_IN[1], *STAMPS_IN)


def pack(sizes: list[tuple[float, float]]) -> list[tuple[int, Box]]:
    """For each size the number of its sheet (from 0) and its place: the highest, then the leftmost that is free.

    ValueError for one that fits no empty sheet.
    """
    sheets: list[list[Box]] = []
    placed = []
    for width, height in sizes:
        tried = ((number, _free(width, height, taken)) for number, taken in enumerate([*sheets, []]))
        place = next(((number, box) for number, box in tried if box is not None), None)
        if place is None:
            raise ValueError(f"{width:.1f} × {height:.1f} in does not fit a sheet beside its stamp space")
        if place[0] == len(sheets):
            sheets.append([])
        sheets[place[0]].append(place[1])
        placed.append(place)
    return placed


def _free(width: float, height: float, taken: list[Box]) -> Box | None:
    """The highest free place on a sheet: at a corner that the boxes there make."""
    lefts = [0.0, *(box.left + box.width + GAP_IN for box in taken)]
    tops = [0.0, *(box.top + box.height + GAP_IN for box in taken)]
    for top in sorted(tops):
        for left in sorted(lefts):
            box = Box(left, top, width, height)
            inside = left + width <= WIDTH_IN + 1e-9 and top + height <= HEIGHT_IN + 1e-9
            if inside and not any(box.meets(other) for other in (STAMPS, *taken)):
                return box
    return None
