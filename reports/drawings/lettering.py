"""How wide a text prints in the shipped family, and how it breaks into rows."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from fontTools.ttLib import TTFont

NOTE_PT = 7.5
FAMILY = "Stemwall Sans"
FONTS = Path(__file__).parent.parent / "static/reports/fonts"
FILES = {False: "DejaVuSansCondensed.ttf", True: "DejaVuSansCondensed-Bold.ttf"}
CAPITAL_EMS = 0.729  # height of a capital
BASELINE_EMS = 0.36  # from a text's middle down to its baseline


@lru_cache(maxsize=2)
def _advances(bold: bool) -> tuple[dict[str, float], float]:
    """Width of each letter in ems, and that of a letter the font lacks."""
    with TTFont(FONTS / FILES[bold], lazy=True) as font:
        em, widths = font["head"].unitsPerEm, font["hmtx"].metrics
        letters = {chr(code): widths[name][0] / em for code, name in font.getBestCmap().items()}
        return letters, widths[".notdef"][0] / em


@lru_cache(maxsize=8192)  # the same texts are measured at each scale that is tried
def text_width_pt(text: str, size_pt: float, *, bold: bool = False) -> float:
    """How wide a text prints; kerning, which only draws letters together, is left out."""
    letters, missing = _advances(bold)
    return sum(letters.get(letter, missing) for letter in text) * size_pt


def wrapped(text: str, width_pt: float, size_pt: float = NOTE_PT) -> list[str]:
    """Text in rows no wider than `width_pt`, broken at spaces and at line ends; a longer word keeps its row."""
    rows: list[str] = []
    for part in text.split("\n"):
        row = ""
        for word in part.split(" "):
            longer = f"{row} {word}" if row else word
            if row and text_width_pt(longer, size_pt) > width_pt:
                rows.append(row)
                row = word
            else:
                row = longer
        rows.append(row)
    return rows
