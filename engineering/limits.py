"""What sizes, woods, dates and names can be at all. A rule of one connection lives with that connection."""

from __future__ import annotations

from datetime import date
from typing import Final

from engineering.errors import OutOfRange, require_within
from engineering.units import unit_of

# Lightest and heaviest wood of NDS Table 12.3.3A.
LEAST_SPECIFIC_GRAVITY: Final = 0.31
GREATEST_SPECIFIC_GRAVITY: Final = 0.73

# What a fastener, member, panel or house can measure at all, by unit; wide, it stops slips of the decimal point.
SIZES: Final = {
    "in": (0.01, 1200.0),
    "ft": (0.1, 1000.0),
    "lb": (1.0, 100_000.0),
    "plf": (0.1, 10_000.0),
    "psf": (0.1, 500.0),
    "psi": (100.0, 1_000_000.0),
    "in²": (0.01, 10_000.0),
    "°F": (-60.0, 150.0),
    "g": (0.001, 5.0),
    "s": (0.01, 30.0),
}

# Diameters that the NDS covers, by kind of fastener.
DIAMETERS_IN: Final = {
    "nail": (0.09, 0.375),
    "wood screw": (0.138, 0.372),
    "lag screw": (0.25, 1.0),
    "bolt": (0.25, 1.0),
}


def iso_date(field: str, text: str) -> date:
    """The date written as YYYY-MM-DD; OutOfRange for anything else."""
    try:
        if len(text) != 10:
            raise ValueError
        return date.fromisoformat(text)
    except ValueError:
        raise OutOfRange(field, text, "must be a date as YYYY-MM-DD") from None


def require_sizes(**values: float | None) -> None:
    """Raise OutOfRange for the first value that nothing here can measure, by the unit in its name.

    None passes: whether it may be left out is asked elsewhere.
    """
    for field, value in values.items():
        low, high = SIZES[unit_of(field.split(".")[0])]
        if value is not None and not low <= value <= high:
            raise OutOfRange(field, value, f"must be from {low:g} to {high:g}")


def require_below(field: str, value: float, limit_field: str, limit: float) -> None:
    """Raise OutOfRange unless `value` is less than the limit, which is the value of another field."""
    if value >= limit:
        raise OutOfRange(field, value, f"must be less than {limit_field}, {limit:g}")


def require_text(**values: str) -> None:
    """Raise OutOfRange for the first text that is empty or blank."""
    for field, value in values.items():
        if not value.strip():
            raise OutOfRange(field, value, "must not be empty")


def require_specific_gravity(field: str, value: float) -> None:
    """Raise OutOfRange unless `value` lies among the woods of NDS Table 12.3.3A."""
    require_within(field, value, LEAST_SPECIFIC_GRAVITY, GREATEST_SPECIFIC_GRAVITY)


def require_diameter(fastener: str, diameter_in: float) -> None:
    """Raise OutOfRange unless the NDS covers this diameter for this kind of fastener."""
    require_within("diameter_in", diameter_in, *DIAMETERS_IN[fastener])
