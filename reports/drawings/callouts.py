"""Callouts in a column beside a drawing: in the order of what they point at, never over one another."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from reports.drawings.lettering import wrapped
from reports.drawings.sheet import DIMENSION, INK, JOINT, OPEN, PAPER, TEXT, Layer, Line, Point, Sheet

ROW_PT, BETWEEN_PT, MARK_PT = 10.0, 5.0, 11.0
Mark = Literal["", "square", "ring", "gap"]


@dataclass(frozen=True, slots=True)
class Note:
    """What is written about the part at `at`; a mark before it says its state beside the word."""

    at: Point
    text: str
    layer: Layer = TEXT
    mark: Mark = ""
    bold: bool = False


def callouts(
    sheet: Sheet, notes: Sequence[Note], *, x_in: float, away: Literal[1, -1] = 1, wrap_pt: float = 165
) -> None:
    """Write the notes in a column that starts at `x_in` and runs away from the drawing, each with its leader."""
    ordered = sorted(notes, key=lambda note: -note.at[1])
    rows = [wrapped(note.text, wrap_pt) for note in ordered]
    heights = [sheet.pt(len(lines) * ROW_PT + BETWEEN_PT) for lines in rows]
    for note, lines, middle in zip(ordered, rows, _kept_apart([note.at[1] for note in ordered], heights), strict=True):
        first = middle + sheet.pt((len(lines) - 1) / 2 * ROW_PT)
        _leader(sheet, note, (x_in, first), away)
        text_x = x_in + away * sheet.pt(3 + (MARK_PT if note.mark else 0))
        if note.mark:
            draw_mark(sheet, (x_in + away * sheet.pt(3 + MARK_PT / 2 - 1), first), note.mark)
        for index, line in enumerate(lines):
            at = (text_x, first - index * sheet.pt(ROW_PT))
            anchor: Literal["start", "end"] = "start" if away > 0 else "end"
            sheet.text(at, line, layer=note.layer, anchor=anchor, bold=note.bold)


def draw_mark(sheet: Sheet, at: Point, mark: Mark) -> None:
    """A filled square holds, a ring is noted only, a broken stroke is open."""
    (x, y), half = at, sheet.pt(3)
    if mark == "square":
        sheet.rectangle(DIMENSION, (x - half, y - half), (x + half, y + half), fill=INK)
    elif mark == "ring":
        sheet.circle(DIMENSION, at, half, fill=PAPER)
    elif mark == "gap":
        for side in (-1, 1):
            sheet.line(JOINT, (x - half, y + side * half), (x + half, y + side * half))
        sheet.line(OPEN, (x, y - half), (x, y + half))


def _leader(sheet: Sheet, note: Note, to: Point, away: int) -> None:
    shoulder = (to[0] - away * sheet.pt(8), to[1])
    sheet.items.append(Line(DIMENSION, note.at, shoulder))
    sheet.items.append(Line(DIMENSION, shoulder, to))
    sheet.circle(DIMENSION, note.at, sheet.pt(1.2), fill=INK)


def _kept_apart(wanted: list[float], heights: list[float]) -> list[float]:
    """Middles of blocks of these heights, from the top down, as near to where they are wanted as they fit."""
    below = [0.0]
    for above, following in itertools.pairwise(heights):
        below.append(below[-1] + (above + following) / 2)
    groups: list[tuple[float, int]] = []
    for want, drop in zip(wanted, below, strict=False):
        level, size = want + drop, 1
        while groups and groups[-1][0] < level:
            other, count = groups.pop()
            level, size = (other * count + level * size) / (count + size), count + size
        groups.append((level, size))
    levels = [level for level, size in groups for _ in range(size)]
    return [level - drop for level, drop in zip(levels, below, strict=False)]
