"""A panel nailed with other nails than its sheathing was specified with: what is left of its strength."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from typing import Final

from engineering.dowels import single_shear
from engineering.errors import OutOfRange
from engineering.inputs import DowelInputs, Nail, Sheathing
from engineering.results import Step
from engineering.shear_panels import (
    COMMON_DIAMETER_IN,
    HOT_DIP_BOX_DIAMETER_IN,
    LEAST_PENETRATION_IN,
    THICKNESS_IN,
    EdgeSpacing,
    Penny,
    nominal_unit_shear,
)
from engineering.sources import Source
from engineering.steps import step

BY_TABLE: Final = Source("AWC SDPWS", "2021", "Table 4.3A, row of the nail used")
BY_YIELD: Final = Source("Substituted nail", "", "ratio of yield-limit values, NDS 12.3", "common practice")
BOX_LENGTH_IN: Final[dict[Penny, float]] = {"6d": 2.0, "8d": 2.5, "10d": 3.0}
# Wood structural panels as a side member, NDS 2018 Table 12.3.3B.
PANEL_SPECIFIC_GRAVITY: Final = {"Structural I": 0.50, "Sheathing": 0.42}
OSB_SPECIFIC_GRAVITY: Final = 0.50


@lru_cache(maxsize=512)
def nailing_factor(sheathing: Sheathing, nail: Nail, edge_spacing_in: EdgeSpacing, specific_gravity: float) -> Step:
    """C_nail: the part of the specified panel's strength that another nail of the same spacing gives. [-]

    By the table's row for the nail used where it has one and the nail is long enough; else by the ratio of yield-limit
    values of the two nails, panel to framing of `specific_gravity`; 0 with its reason for a nail that reaches less
    than 6 diameters into the framing. Never above 1: a heavier nail earns nothing. OutOfRange where the specified nail
    is not the table's.
    """
    own = nominal_unit_shear(sheathing, edge_spacing_in)
    used = f"{nail.diameter_in:g} × {nail.length_in:g} in for {sheathing.nail_diameter_in:g} × " \
           f"{sheathing.nail_length_in:g} in"  # fmt: skip
    for penny in _pennies(sheathing, nail):
        as_used = replace(
            sheathing, nail=penny, nail_diameter_in=nail.diameter_in, nail_length_in=nail.length_in,
            finish=nail.finish,
        )  # fmt: skip
        try:
            real = nominal_unit_shear(as_used, edge_spacing_in)
        except OutOfRange:
            continue  # the table has no row of this nail for this panel
        factor = min(1.0, float(real.value) / float(own.value))
        return step("nail_factor", "C_nail", f"v_n used/v_n, at most 1: {used}", factor, "-", BY_TABLE,
                    **{"v_n used": real.value, "v_n": own.value})  # fmt: skip
    try:
        real_lb = _lateral_lb(sheathing, nail.diameter_in, nail.length_in, specific_gravity)
        own_lb = _lateral_lb(sheathing, sheathing.nail_diameter_in, sheathing.nail_length_in, specific_gravity)
    except OutOfRange as error:
        reason = f"0: {used}, {error.field.replace('_', ' ')} {error.allowed}"
        return step("nail_factor", "C_nail", reason, 0.0, "-", BY_YIELD, D=nail.diameter_in, L=nail.length_in)
    factor = min(1.0, real_lb / own_lb)
    return step("nail_factor", "C_nail", f"Z used/Z, at most 1: {used}, no row of the table", factor, "-", BY_YIELD,
                **{"Z used": real_lb, "Z": own_lb})  # fmt: skip


def _pennies(sheathing: Sheathing, nail: Nail) -> Iterator[Penny]:
    """What a nail is in the table, heaviest first: common, or hot-dip box at its full length; long enough for 4.3A."""
    for penny in reversed(COMMON_DIAMETER_IN):
        common = nail.diameter_in == COMMON_DIAMETER_IN[penny]
        box = nail.finish == "hot-dip" and nail.diameter_in == HOT_DIP_BOX_DIAMETER_IN[penny]
        box = box and nail.length_in >= BOX_LENGTH_IN[penny] - 1e-9
        least_in = THICKNESS_IN[sheathing.thickness] + LEAST_PENETRATION_IN[penny]
        if (common or box) and nail.length_in >= least_in - 1e-9:
            yield penny


def _lateral_lb(sheathing: Sheathing, diameter_in: float, length_in: float, specific_gravity: float) -> float:
    side = OSB_SPECIFIC_GRAVITY if sheathing.panel == "OSB" else PANEL_SPECIFIC_GRAVITY[sheathing.grade]
    check = single_shear(
        DowelInputs(
            fastener="nail",
            diameter_in=diameter_in,
            length_in=length_in,
            main_specific_gravity=specific_gravity,
            side_specific_gravity=side,
            side_bearing_in=THICKNESS_IN[sheathing.thickness],
            load_duration=1.0,
        )
    )
    assert check.capacity is not None
    return check.capacity
