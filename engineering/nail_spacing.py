"""How close nails stand so that wood does not split: the commentary's guide, in diameters. Not a limit of strength."""

from __future__ import annotations

from typing import Final

from engineering.sources import Source

NAIL_SPACING: Final = Source("AWC NDS commentary", "2018", "Table C12.1.6.6")
SPACING_DIAMETERS: Final = 15.0  # along the grain: to the next in a row and to an end, not pre-drilled
DRILLED_DIAMETERS: Final = 10.0  # the same, pre-drilled
ACROSS_DIAMETERS: Final = 10.0  # to the next in a row across the grain, load across it
EDGE_DIAMETERS: Final = 2.5
BETWEEN_ROWS_DIAMETERS: Final = 5.0
MOST_ROWS: Final = 2  # along plates and blocks ("common practice, no source")


def row_holds(clear_in: float, end_in: float, apart_in: float) -> int:
    """How many one row holds in `clear_in`, `end_in` from both ends and `apart_in` from each other. [in]"""
    return 1 + int((clear_in - 2 * end_in) / apart_in + 1e-9) if clear_in >= 2 * end_in - 1e-9 else 0


def rows_across(width_in: float, diameter_in: float) -> int:
    """How many rows a width takes, at most two: 2.5 diameters to its edges, 5 between the rows; 0 on a narrow one."""
    spare_in = width_in - 2 * EDGE_DIAMETERS * diameter_in
    if spare_in < -1e-9:
        return 0
    return min(MOST_ROWS, 1 + int(spare_in / (BETWEEN_ROWS_DIAMETERS * diameter_in) + 1e-9))
