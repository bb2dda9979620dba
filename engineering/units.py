"""The suffixes that names carry, and the only conversions between units. Not physics."""

from __future__ import annotations

from functools import cache
from typing import Final

INCHES_PER_FOOT: Final = 12.0

# Suffix of a name → the unit as printed. A number whose name ends in none of these has no unit.
UNIT_OF_SUFFIX: Final[dict[str, str]] = {
    "_lb": "lb",
    "_in": "in",
    "_ft": "ft",
    "_plf": "plf",
    "_psf": "psf",
    "_psi": "psi",
    "_in2": "in²",
    "_f": "°F",
    "_deg": "deg",
    "_g": "g",
    "_s": "s",
    "_percent": "%",
    "_ft_lb": "ft·lb",
    "_lb_per_in": "lb/in",
    "_kip_per_in": "kip/in",
}
NO_UNIT: Final = "-"


@cache
def unit_of(name: str) -> str:
    """The unit that a name's suffix stands for, "-" where it has none. The longest suffix wins."""
    fitting = [suffix for suffix in UNIT_OF_SUFFIX if name.endswith(suffix)]
    return UNIT_OF_SUFFIX[max(fitting, key=len)] if fitting else NO_UNIT


def feet_to_inches(length_ft: float) -> float:
    """Feet to inches."""
    return length_ft * INCHES_PER_FOOT


def inches_to_feet(length_in: float) -> float:
    """Inches to feet."""
    return length_in / INCHES_PER_FOOT
