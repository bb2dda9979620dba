"""What a dowel is and bears on: bearing strength of the members, bending yield strength, standard sizes (NDS 12.3)."""

from __future__ import annotations

from functools import cache
from math import cos, floor, radians, sin
from typing import Final, Literal

from engineering import tables
from engineering.adjustments import LARGE_DIAMETER_IN
from engineering.errors import OutOfRange, require_positive, require_within
from engineering.inputs import DowelInputs
from engineering.results import Step
from engineering.sources import Source
from engineering.steps import step

Fastener = Literal["nail", "wood screw", "lag screw", "bolt"]

NDS_BEARING: Final = Source("AWC NDS", "2018", "Table 12.3.3")
NDS_BEARING_ANGLE: Final = Source("AWC NDS", "2018", "12.3.4")
CONCRETE_BEARING: Final = Source(
    "AWC NDS", "2018", "Table 12E", read="https://web.mst.edu/jthomas/classes/5260/concept/13/03/index.html"
)
STEEL_BEARING: Final = Source("AWC NDS", "2018", "12.3.3 (steel: as entered)")
# With this bearing strength every legible cell of a scanned Table 12K is reproduced; the page names it.
GAUGE_STEEL: Final = Source(
    "AWC NDS",
    "2018",
    "Table 12K, note on ASTM A653 grade 33",
    read="https://lfportal.everettwa.gov/WebLink/0/doc/1831805/Page32.aspx",
)
PLATE_STEEL: Final = Source("AWC NDS", "2018", "Table 12B, note on ASTM A36")
NDS_BENDING_YIELD: Final = Source("AWC NDS", "2018", "Appendix I, Table I1")

CONCRETE_BEARING_PSI: Final = 7500.0
# Bearing strength by grade, with the thickness that the tables give it for: sheet up to 3 gage, plate from 1/4 in.
STEELS: Final = {
    "ASTM A653 grade 33": (61_850.0, 0.03, 0.24, GAUGE_STEEL),
    "ASTM A36": (87_000.0, 0.25, 12.0, PLATE_STEEL),
}


@cache
def wood_bearing_psi(*, specific_gravity: float, diameter_in: float, angle_deg: float = 0.0) -> float:
    """Dowel bearing strength F_e of wood at an angle of load to grain, nominal diameter. [psi]

    Under 1/4 in 16 600 G^1.84 at any angle; else 11 200 G along and 6 100 G^1.45/√D across the grain, each to the
    nearest 50 psi as printed, between them Hankinson's formula. G 0.31 to 0.73, D > 0. NDS Table 12.3.3, 12.3.4.
    """
    require_within("specific_gravity", specific_gravity, 0.31, 0.73)
    require_positive(diameter_in=diameter_in)
    require_within("angle_deg", angle_deg, 0, 90)
    if diameter_in < LARGE_DIAMETER_IN:
        return _nearest_50(16600 * specific_gravity**1.84)
    along = _nearest_50(11200 * specific_gravity)
    across = _nearest_50(6100 * specific_gravity**1.45 / diameter_in**0.5)
    if angle_deg in (0, 90):
        return across if angle_deg else along
    sine, cosine = sin(radians(angle_deg)), cos(radians(angle_deg))
    return along * across / (along * sine**2 + across * cosine**2)


def _nearest_50(value_psi: float) -> float:
    return 50.0 * floor(value_psi / 50 + 0.5)


def main_bearing(inputs: DowelInputs) -> Step:
    """F_em of the main member, across the grain where the fastener stands in its end grain. [psi] NDS 12.3.3.4."""
    angle_deg = main_angle_deg(inputs)
    if inputs.main_kind == "concrete":
        return step("Fem_psi", "Fem", "concrete", CONCRETE_BEARING_PSI, "psi", CONCRETE_BEARING)
    if inputs.main_kind == "steel":
        return _entered_steel("Fem", inputs.main_bearing_psi)
    return _wood("main", "Fem", inputs.main_specific_gravity, angle_deg, inputs.diameter_in)


def side_bearing(inputs: DowelInputs) -> Step:
    """F_es of the side member. [psi] A named steel needs a thickness for which the tables give it."""
    if inputs.side_steel is not None:
        value, thinnest_in, thickest_in, source = STEELS[inputs.side_steel]
        assert inputs.side_bearing_in is not None  # DowelInputs asks for it
        require_within("side_bearing_in", inputs.side_bearing_in, thinnest_in, thickest_in)
        return step("Fes_psi", "Fes", inputs.side_steel, value, "psi", source)
    if inputs.side_kind == "steel":
        return _entered_steel("Fes", inputs.side_bearing_psi)
    return _wood("side", "Fes", inputs.side_specific_gravity, inputs.side_angle_deg, inputs.diameter_in)


def main_angle_deg(inputs: DowelInputs) -> float:
    """Angle of load to grain in the main member: in its end grain every load is across. [deg]"""
    return 90.0 if inputs.end_grain else inputs.main_angle_deg


def _entered_steel(symbol: str, bearing_psi: float | None) -> Step:
    assert bearing_psi is not None  # DowelInputs asks for it
    return step(f"{symbol}_psi", symbol, "steel, as entered", bearing_psi, "psi", STEEL_BEARING)


def _wood(member: str, symbol: str, specific_gravity: float | None, angle_deg: float, diameter_in: float) -> Step:
    assert specific_gravity is not None  # DowelInputs asks for it
    try:
        value = wood_bearing_psi(specific_gravity=specific_gravity, diameter_in=diameter_in, angle_deg=angle_deg)
    except OutOfRange as problem:
        raise OutOfRange(f"{member}_{problem.field}", problem.value, problem.allowed) from None
    values = {"G": specific_gravity}
    if diameter_in < LARGE_DIAMETER_IN:
        expression = "16 600·G^1.84, to 50 psi"
    elif angle_deg == 0:
        expression = "11 200·G, to 50 psi"
    elif angle_deg == 90:
        expression, values = "6 100·G^1.45/√D, to 50 psi", {"G": specific_gravity, "D": diameter_in}
    else:
        expression = "Fe∥·Fe⊥ / (Fe∥·sin²θ + Fe⊥·cos²θ)"
        along, across = (
            wood_bearing_psi(specific_gravity=specific_gravity, diameter_in=diameter_in, angle_deg=angle)
            for angle in (0.0, 90.0)
        )
        values = {"Fe∥": along, "Fe⊥": across, "θ": angle_deg}
    source = NDS_BEARING if angle_deg in (0, 90) or diameter_in < LARGE_DIAMETER_IN else NDS_BEARING_ANGLE
    return step(f"{symbol}_psi", symbol, expression, value, "psi", source, **values)


def bending_yield(inputs: DowelInputs) -> Step:
    """F_yb as entered, or by kind and diameter. [psi] NDS Table I1."""
    value, expression = inputs.bending_yield_psi, "as entered"
    if value is None:
        value, expression = listed_bending_yield_psi(inputs.fastener, inputs.diameter_in), "by kind and diameter"
    return step("Fyb_psi", "Fyb", expression, value, "psi", NDS_BENDING_YIELD, D=inputs.diameter_in)


@cache
def listed_bending_yield_psi(fastener: Fastener, diameter_in: float) -> float:
    """Bending yield strength F_yb by kind and nominal diameter, low-carbon steel. [psi] NDS Table I1."""
    kind = "nail" if fastener == "wood screw" else fastener
    bands = [row for row in tables.rows("nds-2018-I1-bending-yield") if row["kind"] == kind]
    low, high = float(bands[0]["above_in"]), float(bands[-1]["to_in"])
    if not low <= diameter_in <= high:
        raise OutOfRange(
            "diameter_in", diameter_in, f"must be from {low:g} to {high:g} in for a {fastener} of listed strength"
        )
    return next(float(band["bending_yield_psi"]) for band in bands if diameter_in <= float(band["to_in"]))


def standard_size_in(inputs: DowelInputs, column: str) -> float:
    """A standard size of a lag or wood screw by its diameter. [in] NDS Appendix L."""
    listed = _sizes(inputs.fastener, column)
    if inputs.diameter_in not in listed:
        sizes = ", ".join(f"{size:g}" for size in listed)
        raise OutOfRange(
            "diameter_in",
            inputs.diameter_in,
            f"give {column}, or one of the standard diameters {sizes} in (NDS Appendix L)",
        )
    return listed[inputs.diameter_in]


def root_diameter_in(inputs: DowelInputs) -> float:
    """Root diameter of a lag or wood screw, as given or of its standard size. [in]"""
    return inputs.root_diameter_in or standard_size_in(inputs, "root_diameter_in")


@cache
def _sizes(fastener: Fastener, column: str) -> dict[float, float]:
    name = "nds-2018-L2-lag-screws" if fastener == "lag screw" else "nds-2018-L3-wood-screws"
    return {float(row["diameter_in"]): float(row[column]) for row in tables.rows(name)}
