"""Blocked wood structural panels: unit shear by sheathing and nailing, apparent stiffness, 3x framing (SDPWS 2021)."""

from __future__ import annotations

from functools import cache, lru_cache
from typing import Final, Literal, NamedTuple

from engineering import tables
from engineering.errors import OutOfRange, require_positive
from engineering.inputs import NOT_OBSERVED, NotObserved, PanelInputs, Sheathing
from engineering.limits import require_specific_gravity
from engineering.results import Check, Step
from engineering.sources import Source
from engineering.steps import step

EdgeSpacing = Literal[6, 4, 3, 2]
Penny = Literal["6d", "8d", "10d"]

SDPWS_DIVISOR: Final = Source("AWC SDPWS", "2021", "4.1.4")
SDPWS_SPECIFIC_GRAVITY: Final = Source("AWC SDPWS", "2021", "Table 4.3A, footnote 3")
SDPWS_ASPECT: Final = Source("AWC SDPWS", "2021", "Table 4.3.3, 4.3.3.3")
SDPWS_THREE_X: Final = Source("AWC SDPWS", "2021", "4.3.7.1")
SDPWS_TWO_FACES: Final = Source("AWC SDPWS", "2021", "4.3.3.3, same material on both faces")
SDPWS_STIFFNESS: Final = Source("AWC SDPWS", "2021", "Table 4.3A, G_a and its footnotes")
SDPWS_10D: Final = Source(
    "AWC SDPWS", "2021", "4.3, 10d nails", read="https://www.scribd.com/document/669544138/282107-C-CodesStandards-Line"
)

ASD_SEISMIC_DIVISOR: Final = 2.8
FULL_STRENGTH_ASPECT: Final = 2.0
GREATEST_ASPECT: Final = 3.5
THREE_X_ABOVE_PLF: Final = 980.0
TEN_PENNY_FACTOR: Final = 0.92
WET_STIFFNESS_FACTOR: Final = 0.5
FOUR_PLY_FACTOR: Final = 1.2
SPACINGS_IN: Final[tuple[EdgeSpacing, ...]] = (6, 4, 3, 2)

# Diameter by the table's nail: common in any finish, box only hot-dip; least penetration into the framing.
COMMON_DIAMETER_IN: Final[dict[Penny, float]] = {"6d": 0.113, "8d": 0.131, "10d": 0.148}
HOT_DIP_BOX_DIAMETER_IN: Final[dict[Penny, float]] = {"6d": 0.099, "8d": 0.113, "10d": 0.128}
LEAST_PENETRATION_IN: Final = {"6d": 1.25, "8d": 1.375, "10d": 1.5}
THICKNESS_IN: Final = {"5/16": 5 / 16, "3/8": 3 / 8, "7/16": 7 / 16, "15/32": 15 / 32, "19/32": 19 / 32}

# Footnote 2: these panels take the values of 15/32 with the same 8d nailing where the studs are close enough.
RAISED_THICKNESSES: Final = ("3/8", "7/16")
RAISED_TO: Final = "15/32"
RAISED_STUD_SPACING_IN: Final = 16.0


class _Row(NamedTuple):
    value: float
    source: Source


def panel_capacity(inputs: PanelInputs) -> Check:
    """Unit shear on a panel against what its nailing allows, ASD seismic. [lb/ft]

    v = v_n/2.8 · [1 − (0.5 − G), at most 1] · 2b/h above 2:1; · 0.92 for 10d nails, whose panels have a tie-down
    inside the end post. Panels on both faces: v_n = K_min·(G_a + G_a'), K_min the lesser v_n/G_a of the two (twice v_n
    where they are alike). h/b at most 3.5, nails as in the table and long enough, else OutOfRange. SDPWS 2021 4.1.4,
    4.3. The step `three_x_at_joints` says whether 3x framing is needed at adjoining panel edges.
    """
    capacity_plf, steps = allowable_unit_shear_plf(
        sheathing=inputs.sheathing,
        edge_spacing_in=inputs.edge_spacing_in,
        height_ft=inputs.height_ft,
        length_ft=inputs.length_ft,
        specific_gravity=inputs.specific_gravity,
        other_face=inputs.other_face,
        stud_spacing_in=inputs.stud_spacing_in,
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
    faces = " on both faces" if inputs.other_face else ""
    return Check(
        name=f"{inputs.sheathing.thickness} {inputs.sheathing.grade} panel, {inputs.sheathing.nail} nails at "
        f"{inputs.edge_spacing_in} in{faces}",
        status="ok" if ratio <= 1 + 1e-9 else "over",
        demand=demand_plf,
        capacity=capacity_plf,
        unit="plf",
        ratio=ratio,
        clause="AWC SDPWS 2021 4.3",
        steps=(*steps, *last),
    )


@lru_cache(maxsize=4096)
def allowable_unit_shear_plf(
    *,
    sheathing: Sheathing,
    edge_spacing_in: EdgeSpacing,
    height_ft: float,
    length_ft: float,
    specific_gravity: float,
    other_face: Sheathing | None = None,
    stud_spacing_in: float | NotObserved = NOT_OBSERVED,
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
    nominal_plf, nominal_steps = _nominal(sheathing, other_face, edge_spacing_in, stud_spacing_in)
    gravity = min(1.0, 1 - (0.5 - specific_gravity))
    slender = aspect > FULL_STRENGTH_ASPECT + 1e-9
    aspect_factor = 2 * length_ft / height_ft if slender else 1.0
    steps = [
        step("aspect_ratio", "h/b", "h/b", aspect, "-", SDPWS_ASPECT, h=height_ft, b=length_ft),
        *nominal_steps,
        step("specific_gravity_factor", "C_G", "1 − (0.5 − G), at most 1", gravity, "-", SDPWS_SPECIFIC_GRAVITY,
             G=specific_gravity),
        step("aspect_ratio_factor", "C_h/b", "2·b/h" if slender else "1 up to 2:1", aspect_factor, "-", SDPWS_ASPECT,
             h=height_ft, b=length_ft),
    ]  # fmt: skip
    value_plf, expression = nominal_plf / ASD_SEISMIC_DIVISOR * gravity * aspect_factor, "v_n/2.8·C_G·C_h/b"
    factors: dict[str, float] = {"v_n": nominal_plf, "C_G": gravity, "C_h/b": aspect_factor}
    if "10d" in (sheathing.nail, other_face.nail if other_face else ""):
        value_plf, expression = value_plf * TEN_PENNY_FACTOR, f"{expression}·C_10d"
        factors["C_10d"] = TEN_PENNY_FACTOR
        steps.append(
            step(
                "ten_penny_factor", "C_10d", "10d nails, tie-down inside the end post", TEN_PENNY_FACTOR, "-", SDPWS_10D
            )
        )
    steps.append(step("v_allow_plf", "v_allow", expression, value_plf, "plf", SDPWS_DIVISOR, **factors))
    return value_plf, tuple(steps)


@lru_cache(maxsize=512)
def nominal_unit_shear(
    sheathing: Sheathing, edge_spacing_in: EdgeSpacing, stud_spacing_in: float | NotObserved = NOT_OBSERVED
) -> Step:
    """The nominal unit shear v_n of SDPWS 2021 Table 4.3A for this sheathing and nailing, one face. [lb/ft]

    With studs known to stand not more than 16 in apart, 3/8 and 7/16 panels with 8d nails take the 15/32 value
    (footnote 2). OutOfRange for a combination that the table does not have, or a nail that is not the table's.
    """
    _require_table_nail(sheathing)
    row = _row(sheathing, edge_spacing_in)
    expression = f"{sheathing.grade} {sheathing.thickness} {sheathing.nail} at {edge_spacing_in} in"
    if stud_spacing_in == NOT_OBSERVED or sheathing.thickness not in RAISED_THICKNESSES or sheathing.nail != "8d":
        return step("v_n_plf", "v_n", expression, row.value, "plf", row.source, spacing=edge_spacing_in)
    if stud_spacing_in > RAISED_STUD_SPACING_IN + 1e-9:
        return step("v_n_plf", "v_n", expression, row.value, "plf", row.source, spacing=edge_spacing_in)
    raised = _nominal_rows()[sheathing.grade, RAISED_TO, sheathing.nail, edge_spacing_in]
    source = Source("AWC SDPWS", "2021", "Table 4.3A, footnote 2")
    return step("v_n_plf", "v_n", f"{expression}, as 15/32: studs not over 16 in", raised.value, "plf", source,
                spacing=edge_spacing_in, studs=stud_spacing_in)  # fmt: skip


@lru_cache(maxsize=512)
def apparent_stiffness_kip_per_in(sheathing: Sheathing, edge_spacing_in: EdgeSpacing, *, wet: bool = False) -> Step:
    """Apparent shear stiffness G_a of SDPWS 2021 Table 4.3A for this sheathing and nailing, one face. [kip/in]

    By panel: OSB, 3-ply plywood, or 1.2 times the latter for four plies and more; where the panel was not chosen the
    lesser of OSB and 3-ply. Half where the framing is wetter than 19 % (`wet`). OutOfRange as `nominal_unit_shear`.
    """
    _require_table_nail(sheathing)
    _row(sheathing, edge_spacing_in)  # the same combinations stand in both columns
    of = {
        panel: _stiffness_rows()[sheathing.grade, sheathing.thickness, sheathing.nail, edge_spacing_in, panel]
        for panel in ("OSB", "plywood 3-ply")
    }
    panel = sheathing.panel
    if panel == NOT_OBSERVED:
        row, words = min(of.values(), key=lambda one: one.value), "lesser of OSB and 3-ply plywood, panel not chosen"
    elif panel == "plywood 4-ply or more":
        row, words = of["plywood 3-ply"], "1.2·table of 3-ply plywood"
    else:
        row, words = of[panel], panel
    value = row.value * (FOUR_PLY_FACTOR if panel == "plywood 4-ply or more" else 1.0)
    value *= WET_STIFFNESS_FACTOR if wet else 1.0
    expression = f"{sheathing.grade} {sheathing.thickness} {sheathing.nail} at {edge_spacing_in} in, {words}"
    if wet:
        expression = f"0.5·table, framing over 19 % wet: {expression}"
    inputs = {"spacing": edge_spacing_in, "table": row.value}
    return step("G_a_kip_per_in", "G_a", expression, value, "kip/in", row.source, **inputs)


def _nominal(
    sheathing: Sheathing,
    other_face: Sheathing | None,
    edge_spacing_in: EdgeSpacing,
    stud_spacing_in: float | NotObserved,
) -> tuple[float, tuple[Step, ...]]:
    """v_n of one face, or of both together: the stiffer face takes more and reaches its strength first."""
    one = nominal_unit_shear(sheathing, edge_spacing_in, stud_spacing_in)
    assert isinstance(one.value, float)
    if other_face is None:
        return one.value, (one,)
    other = nominal_unit_shear(other_face, edge_spacing_in, stud_spacing_in)
    g_one = apparent_stiffness_kip_per_in(sheathing, edge_spacing_in)
    g_other = apparent_stiffness_kip_per_in(other_face, edge_spacing_in)
    assert isinstance(other.value, float)
    assert isinstance(g_one.value, float)
    assert isinstance(g_other.value, float)
    least = min(one.value / g_one.value, other.value / g_other.value)
    both_plf = least * (g_one.value + g_other.value)
    return both_plf, (
        one,
        g_one,
        _renamed(other, "v_n_other_plf", "v_n'"),
        _renamed(g_other, "G_a_other_kip_per_in", "G_a'"),
        step("k_min", "K_min", "lesser of v_n/G_a and v_n'/G_a'", least, "-", SDPWS_TWO_FACES, **{
            "v_n": one.value, "G_a": g_one.value, "v_n'": other.value, "G_a'": g_other.value}),
        step("v_n_both_plf", "v_n", "K_min·(G_a + G_a')", both_plf, "plf", SDPWS_TWO_FACES, **{
            "K_min": least, "G_a": g_one.value, "G_a'": g_other.value}),
    )  # fmt: skip


def _renamed(one: Step, key: str, symbol: str) -> Step:
    return step(key, symbol, one.expression, one.value, one.unit, one.source, **one.inputs)


def _three_x(inputs: PanelInputs, required_plf: float) -> tuple[bool, str]:
    """Whether adjoining panel edges need 3x framing (or two 2x stitched for the same shear), and why."""
    faces = [face for face in (inputs.sheathing, inputs.other_face) if face is not None]
    if inputs.edge_spacing_in == 2:
        return True, "edge nails at 2 in"
    for face in faces:
        into_framing_in = face.nail_length_in - THICKNESS_IN[face.thickness]
        if inputs.edge_spacing_in == 3 and face.nail == "10d" and into_framing_in > 1.5:
            return True, "10d nails at 3 in, more than 1-1/2 in into the framing"
    if required_plf > THREE_X_ABOVE_PLF:
        return True, "required nominal more than 980 plf"
    if len(faces) > 1 and inputs.edge_spacing_in < SPACINGS_IN[0]:
        return True, "both faces nailed closer than 6 in, unless their joints lie on different studs"
    return False, "required nominal not more than 980 plf, nails wider than 2 in"


def _row(sheathing: Sheathing, edge_spacing_in: EdgeSpacing) -> _Row:
    table = _nominal_rows()
    key = (sheathing.grade, sheathing.thickness, sheathing.nail, edge_spacing_in)
    if key in table:
        return table[key]
    if edge_spacing_in not in SPACINGS_IN:
        raise OutOfRange("edge_spacing_in", edge_spacing_in, "must be 6, 4, 3 or 2")
    nails = sorted({nail for grade, thickness, nail, _ in table if (grade, thickness) == key[:2]})
    allowed = f"must be {' or '.join(nails)} for {sheathing.thickness} {sheathing.grade} (SDPWS Table 4.3A)"
    if not nails:
        raise OutOfRange("sheathing.thickness", sheathing.thickness, f"is not in SDPWS Table 4.3A as {sheathing.grade}")
    raise OutOfRange("sheathing.nail", sheathing.nail, allowed)


@cache
def _nominal_rows() -> dict[tuple[str, str, str, int], _Row]:
    return {
        (row["grade"], row["thickness"], row["nail"], int(row["edge_spacing_in"])): _Row(
            float(row["v_n_plf"]), Source("AWC SDPWS", "2021", "Table 4.3A", read=row["read"])
        )
        for row in tables.rows("sdpws-2021-4-3A")
    }


@cache
def _stiffness_rows() -> dict[tuple[str, str, str, int, str], _Row]:
    return {
        (row["grade"], row["thickness"], row["nail"], int(row["edge_spacing_in"]), row["panel"]): _Row(
            float(row["ga_kip_per_in"]), Source("AWC SDPWS", "2021", "Table 4.3A, G_a", read=row["read"])
        )
        for row in tables.rows("sdpws-2021-4-3A-stiffness")
    }


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
