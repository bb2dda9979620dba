"""The boxes of a drawing's texts, measured in the shipped font, and what is wrong with where they stand."""

from __future__ import annotations

import itertools
from functools import cache
from pathlib import Path

from fontTools.ttLib import TTFont

import reports
from reports.drawings.parts import frame_pt, simple_parts
from reports.drawings.sheet import POINTS_PER_INCH, Sheet, Text

FONTS = Path(reports.__file__).parent / "static/reports/fonts"
CAPITAL_EMS, DESCENT_EMS = 0.76, 0.24  # of the ink above and below the baseline
BASELINE_EMS = 0.36  # below the middle that a text is placed by
TOUCH_PT = 0.2
SMALLEST_PT = 6.0  # on the letter page of the crew; sheets are enlarged


@cache
def font(bold: bool):
    with TTFont(FONTS / f"DejaVuSansCondensed{'-Bold' if bold else ''}.ttf") as opened:
        return opened["head"].unitsPerEm, dict(opened["hmtx"].metrics), opened.getBestCmap()


def width_pt(text: Text) -> float:
    em, metrics, glyphs = font(text.bold)
    return sum(metrics[glyphs[ord(letter)]][0] for letter in text.text) / em * text.size_pt


def box_pt(text: Text, sheet: Sheet) -> tuple[float, float, float, float]:
    """Left, bottom, right and top in paper points; texts run along the sheet or up it."""
    assert text.rotation_deg in (0.0, 90.0), text
    factor = sheet.scale * POINTS_PER_INCH
    x, y = text.at[0] * factor, text.at[1] * factor
    wide = width_pt(text)
    start = {"start": 0.0, "middle": -wide / 2, "end": -wide}[text.anchor]
    low, high = -(BASELINE_EMS + DESCENT_EMS) * text.size_pt, (CAPITAL_EMS - BASELINE_EMS) * text.size_pt
    if text.rotation_deg:
        return x - high, y + start, x - low, y + start + wide
    return x + start, y + low, x + start + wide, y + high


def texts_of(sheet: Sheet) -> list[Text]:
    return [part for item in sheet.items for part in simple_parts(item, sheet) if isinstance(part, Text)]


def faults(sheet: Sheet) -> list[str]:
    """Texts that overlap, leave the drawing's frame or are too small to read. Scale-free: the same at half size."""
    found = []
    texts = texts_of(sheet)
    left, top, wide, tall = frame_pt(sheet)
    boxes = [box_pt(text, sheet) for text in texts]
    for text, (x0, y0, x1, y1) in zip(texts, boxes, strict=True):
        if x0 < left or x1 > left + wide or y1 > -top or y0 < -top - tall:
            found.append(f"“{text.text}” leaves the frame")
        if text.size_pt < SMALLEST_PT:
            found.append(f"“{text.text}” is set in {text.size_pt:g} pt")
    for (one, a), (other, b) in itertools.combinations(zip(texts, boxes, strict=True), 2):
        wide_pt, tall_pt = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
        if wide_pt > TOUCH_PT and tall_pt > TOUCH_PT:
            found.append(f"“{one.text}” and “{other.text}” overlap")
    return found
