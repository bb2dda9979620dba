"""Rows of nails in wood that has to hold without splitting: how many fit. Not what one nail carries.

The standard gives no spacing for fasteners under 1/4 in; the commentary's guide for wood side members is taken.
"""

from __future__ import annotations

from typing import Final

from engineering.sources import Source

NAIL_SPACING: Final = Source("AWC NDS commentary", "2018", "Table C12.1.6.6")
SPACING_DIAMETERS: Final = 15.0  # along the grain, nail to nail and to a loaded end, not pre-drilled
DRILLED_DIAMETERS: Final = 10.0
EDGE_DIAMETERS: Final = 2.5
BETWEEN_ROWS_DIAMETERS: Final = 5.0
MOST_ROWS: Final = 2  # along plates and blocks ("common practice, no source")


def nails_in_a_row(length_in: float, diameter_in: float, *, drilled: bool = False) -> int:
    """How many nails a row of this length holds: 15 diameters to its ends and from nail to nail, 10 pre-drilled."""
    apart_in = (DRILLED_DIAMETERS if drilled else SPACING_DIAMETERS) * diameter_in
    return max(0, int(length_in / apart_in - 1 + 1e-9))


def rows_across(width_in: float, diameter_in: float) -> int:
    """How many rows a width takes, at most two: 2.5 diameters to its edges, 5 between the rows; 0 on a narrow one."""
    spare_in = width_in - 2 * EDGE_DIAMETERS * diameter_in
    if spare_in < -1e-9:
        return 0
    return min(MOST_ROWS, 1 + int(spare_in / (BETWEEN_ROWS_DIAMETERS * diameter_in) + 1e-9))
