"""Blocked wood structural panels on one face: allowable unit shear, aspect ratio, framing at joints (SDPWS 2021)."""

from __future__ import annotations

from typing import Final, Literal

from engineering import tables
from engineering.errors import OutOfRange, require_positive
from engineering.inputs import PanelInputs, Sheathing
from engineering.limits import require_specific_gravity
from engineering.results import Check, Step
from engineering.sources import Source
from engineering.steps import step

EdgeSpacing = Literal[6, 4, 3, 2]

SDPWS_DIVISOR: Final = Source("AWC SDPWS", "2021", "4.1.4")
SDPWS_SPECIFIC_GRAVITY: Final = Source("AWC SDPWS", "2021", "Table 4.3A, footnote 3")
SDPWS_ASPECT: Final = Source("AWC SDPWS", "2021", "Table 4.3.3, 4.3.3.3")
SDPWS_THREE_X: Final = Source("AWC SDPWS", "2021", "4.3.7.1")
SDPWS_10D: Final = Source(
    "AWC SDPWS", "2021", "4.3, 10d nails", read="https://www.scribd.com/document/669544138/282107-C-CodesStandards-Line"
)

ASD_SEISMIC_DIVISOR: Final = 2.8
FULL_STRENGTH_ASPECT: Final = 2.0
GREATEST_ASPECT: Final = 3.5
THREE_X_ABOVE_PLF: Final = 980.0
TEN_PENNY_FACTOR: Final = 0.92
SPACINGS_IN: Final[tuple[EdgeSpacing, ...]] = (6, 4, 3, 2)

# Diameter by the table's nail: common in any finish, box only hot-dip; least penetration into the framing.
COMMON_DIAMETER_IN: Final = {"6d": 0.113, "8d": 0.131, "10d": 0.148}
HOT_DIP_BOX_DIAMETER_IN: Final = {"6d": 0.099, "8d": 0.113, "10d": 0.128}
LEAST_PENETRATION_IN: Final = {"6d": 1.25, "8d": 1.375, "10d": 1.5}
THICKNESS_IN: Final = {"5/16": 5 / 16, "3/8": 3 / 8, "7/16": 7 / 16, "15/32": 15 / 32, "19/32": 19 / 32}


def panel_capacity(inputs: PanelInputs) -> Check:
    """Unit shear on a panel against what its nailing allows, ASD seismic. [lb/ft]

    v = v_n/2.8 · [1 − (0.5 − G), at most 1] · 2b/h above 2:1; · 0.92 for 10d nails, whose panels have a tie-down
    inside the end post. h/b at most 3.5, nails as in the table and long enough, else OutOfRange. SDPWS 2021 4.1.4,
    4.3. The step `three_x_at_joints` says whether 3x framing is needed at adjoining panel edges.
    """
    capacity_plf, steps = allowable_unit_shear_plf(
        sheathing=inputs.sheathing,
        edge_spacing_in=inputs.edge_spacing_in,
        height_ft=inputs.height_ft,
        length_ft=inputs.length_ft,
        specific_gravity=inputs.specific_gravity,
    )
    demand_plf = inputs.unit_shear_plf
    required_plf = demand_plf * ASD_SEISMIC_DIVISOR
    three_x, reason = _three_x(inputs, required_plf)
    ratio = demand_plf / capacity_plf
    last = (
        step("required_nominal_plf", "v_n required", "v·2.8", required_plf, "plf", SDPWS_DIVISOR, v=demand_plf),
        step("three_x_at_joints", "3x at joints", reason, three_x, "-", SDPWS_THREE_X, v_n_required=required_plf),
        step("ratio", "v / v_allow", "v / v_allow", ratio, "-", SDPWS_DIVISOR, v=demand_plf, v_allow=capacity_plf),
    )
    return Check(
        name=f"{inputs.sheathing.thickness} {inputs.sheathing.grade} panel, {inputs.sheathing.nail} nails at "
        f"{inputs.edge_spacing_in} in",
        status="ok" if ratio <= 1 + 1e-9 else "over",
        demand=demand_plf,
        capacity=capacity_plf,
        unit="plf",
        ratio=ratio,
        clause="AWC SDPWS 2021 4.3",
        steps=(*steps, *last),
    )


def allowable_unit_shear_plf(
    *, sheathing: Sheathing, edge_spacing_in: EdgeSpacing, height_ft: float, length_ft: float, specific_gravity: float
) -> tuple[float, tuple[Step, ...]]:
    """Allowable unit shear of a panel, ASD seismic, and its steps. [lb/ft] Limits as in `panel_capacity`."""
    require_positive(height_ft=height_ft, length_ft=length_ft)
    require_specific_gravity("specific_gravity", specific_gravity)
    aspect = height_ft / length_ft
    if aspect > GREATEST_ASPECT + 1e-9:
        raise OutOfRange(
            "length_ft",
            length_ft,
            f"must be at least {height_ft / GREATEST_ASPECT:.3f} ft: height to length at most 3.5",
        )
    nominal = nominal_unit_shear(sheathing, edge_spacing_in)
    assert isinstance(nominal.value, float)
    gravity = min(1.0, 1 - (0.5 - specific_gravity))
    slender = aspect > FULL_STRENGTH_ASPECT + 1e-9
    aspect_factor = 2 * length_ft / height_ft if slender else 1.0
    steps = [
        step("aspect_ratio", "h/b", "h/b", aspect, "-", SDPWS_ASPECT, h=height_ft, b=length_ft),
        nominal,
        step(
            "specific_gravity_factor",
            "C_G",
            "1 − (0.5 − G), at most 1",
            gravity,
            "-",
            SDPWS_SPECIFIC_GRAVITY,
            G=specific_gravity,
        ),
        step(
            "aspect_ratio_factor",
            "C_h/b",
            "2·b/h" if slender else "1 up to 2:1",
            aspect_factor,
            "-",
            SDPWS_ASPECT,
            h=height_ft,
            b=length_ft,
        ),
    ]
    value_plf, expression = nominal.value / ASD_SEISMIC_DIVISOR * gravity * aspect_factor, "v_n/2.8·C_G·C_h/b"
    factors: dict[str, float] = {"v_n": nominal.value, "C_G": gravity, "C_h/b": aspect_factor}
    if sheathing.nail == "10d":
        value_plf, expression = value_plf * TEN_PENNY_FACTOR, f"{expression}·C_10d"
        factors["C_10d"] = TEN_PENNY_FACTOR
        steps.append(
            step(
                "ten_penny_factor", "C_10d", "10d nails, tie-down inside the end post", TEN_PENNY_FACTOR, "-", SDPWS_10D
            )
        )
    steps.append(step("v_allow_plf", "v_allow", expression, value_plf, "plf", SDPWS_DIVISOR, **factors))
    return value_plf, tuple(steps)


def nominal_unit_shear(sheathing: Sheathing, edge_spacing_in: EdgeSpacing) -> Step:
    """The nominal unit shear v_n of SDPWS 2021 Table 4.3A for this sheathing and nailing. [lb/ft]

    OutOfRange for a combination that the table does not have, or a nail that is not the table's.
    """
    _require_table_nail(sheathing)
    wanted = (sheathing.grade, sheathing.thickness, sheathing.nail)
    for row in tables.rows("sdpws-2021-4-3A"):
        if (row["grade"], row["thickness"], row["nail"]) == wanted and int(row["edge_spacing_in"]) == edge_spacing_in:
            source = Source("AWC SDPWS", "2021", "Table 4.3A", read=row["read"])
            expression = f"{' '.join(wanted)} at {edge_spacing_in} in"
            return step("v_n_plf", "v_n", expression, float(row["v_n_plf"]), "plf", source, spacing=edge_spacing_in)
    nails = sorted(
        {row["nail"] for row in tables.rows("sdpws-2021-4-3A") if (row["grade"], row["thickness"]) == wanted[:2]}
    )
    allowed = f"must be {' or '.join(nails)} for {sheathing.thickness} {sheathing.grade} (SDPWS Table 4.3A)"
    if not nails:
        raise OutOfRange("sheathing.thickness", sheathing.thickness, f"is not in SDPWS Table 4.3A as {sheathing.grade}")
    raise OutOfRange("sheathing.nail", sheathing.nail, allowed)


def widest_spacing(
    *, sheathing: Sheathing, height_ft: float, length_ft: float, specific_gravity: float, unit_shear_plf: float
) -> EdgeSpacing:
    """The widest edge nailing of 6, 4, 3, 2 in that carries `unit_shear_plf`; OutOfRange saying what it would take."""
    capacity_plf = 0.0
    for spacing_in in SPACINGS_IN:
        capacity_plf, _ = allowable_unit_shear_plf(
            sheathing=sheathing,
            edge_spacing_in=spacing_in,
            height_ft=height_ft,
            length_ft=length_ft,
            specific_gravity=specific_gravity,
        )
        if unit_shear_plf <= capacity_plf * (1 + 1e-9):
            return spacing_in
    more = unit_shear_plf / capacity_plf
    raise OutOfRange(
        "unit_shear_plf",
        unit_shear_plf,
        f"must be at most {capacity_plf:.1f} plf, nails at 2 in: panels {more:.2f} times as long would do",
    )


def _three_x(inputs: PanelInputs, required_plf: float) -> tuple[bool, str]:
    """Whether adjoining panel edges need 3x framing (or two 2x stitched for the same shear), and why."""
    into_framing_in = inputs.sheathing.nail_length_in - THICKNESS_IN[inputs.sheathing.thickness]
    if inputs.edge_spacing_in == 2:
        return True, "edge nails at 2 in"
    if inputs.edge_spacing_in == 3 and inputs.sheathing.nail == "10d" and into_framing_in > 1.5:
        return True, "10d nails at 3 in, more than 1-1/2 in into the framing"
    if required_plf > THREE_X_ABOVE_PLF:
        return True, "required nominal more than 980 plf"
    return False, "required nominal not more than 980 plf, nails wider than 2 in"


def _require_table_nail(sheathing: Sheathing) -> None:
    common_in, box_in = COMMON_DIAMETER_IN[sheathing.nail], HOT_DIP_BOX_DIAMETER_IN[sheathing.nail]
    allowed = {common_in, box_in} if sheathing.finish == "hot-dip" else {common_in}
    if sheathing.nail_diameter_in not in allowed:
        raise OutOfRange(
            "sheathing.nail_diameter_in",
            sheathing.nail_diameter_in,
            f"must be {common_in:g} in ({sheathing.nail} common), or {box_in:g} in as hot-dip box",
        )
    least_in = THICKNESS_IN[sheathing.thickness] + LEAST_PENETRATION_IN[sheathing.nail]
    if sheathing.nail_length_in < least_in - 1e-9:
        raise OutOfRange("sheathing.nail_length_in", sheathing.nail_length_in, f"must be at least {least_in:g} in")
