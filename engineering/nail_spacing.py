"""How close nails stand so that wood does not split: the commentary's guide, in diameters. Not a limit of strength."""

from __future__ import annotations

from typing import Final

from engineering.sources import Source

NAIL_SPACING: Final = Source("AWC NDS commentary", "2018", "Table C12.1.6.6")
SPACING_DIAMETERS: Final = 15.0  # along the grain: to the next in a row and to an end, not pre-drilled
ACROSS_DIAMETERS: Final = 10.0  # to the next in a row across the grain, load across it
EDGE_DIAMETERS: Final = 2.5


def row_holds(clear_in: float, end_in: float, apart_in: float) -> int:
    """How many one row holds in `clear_in`, `end_in` from both ends and `apart_in` from each other. [in]"""
    return 1 + int((clear_in - 2 * end_in) / apart_in + 1e-9) if clear_in >= 2 * end_in - 1e-9 else 0
