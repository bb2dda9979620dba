"""Keeps the texts of a drawing apart: each goes to the first of its places that is still free."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from reports.drawings.parts import text_corners
from reports.drawings.sheet import Point, Sheet, Text

Box = tuple[float, float, float, float]


class Labels:
    """The room that is taken on one sheet. Boxes are upright: texts run along or across the sheet."""

    def __init__(self, sheet: Sheet) -> None:
        self.sheet = sheet
        self.taken: list[Box] = []

    def keep_clear(self, *corners: Point) -> None:
        """No text goes over the box around these points."""
        self.taken.append(_box(corners))

    def is_free(self, box: Box) -> bool:
        return not any(
            box[0] < right and left < box[2] and box[1] < top and bottom < box[3]
            for left, bottom, right, top in self.taken
        )

    def place(self, places: Iterable[Point], text: str, *, needed: bool = True, **more: Any) -> Point | None:
        """Write the text at the first place where it touches no other, and say where.

        Without a free place it goes to the last one; one that is not `needed` is left out.
        """
        sheet = self.sheet
        for at in places:
            sheet.text(at, text, **more)
            item = sheet.items.pop()
            assert isinstance(item, Text)
            box = _box(text_corners(item, sheet))
            if self.is_free(box):
                break
        else:
            if not needed:
                return None
        sheet.items.append(item)
        self.taken.append(box)
        return item.at


def _box(points: Iterable[Point]) -> Box:
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)
