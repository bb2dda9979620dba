"""One dowel-type fastener in single shear: penetration, diameter, reference and adjusted lateral value (NDS 12)."""

from __future__ import annotations

from functools import lru_cache
from math import cos, radians
from typing import Final

from engineering import adjustments
from engineering.adjustments import LARGE_DIAMETER_IN
from engineering.dowel_bearing import (
    bending_yield,
    main_angle_deg,
    main_bearing,
    root_diameter_in,
    side_bearing,
    standard_size_in,
)
from engineering.errors import OutOfRange
from engineering.geometry_factor import placing_factor, splitting_warnings
from engineering.group_action import group_action_factor
from engineering.inputs import DowelInputs
from engineering.lead_holes import lead_holes
from engineering.results import Check, Step
from engineering.sources import Source
from engineering.steps import step
from engineering.yield_modes import reduction_terms, yield_modes

NDS_LAG_SIZES: Final = Source("AWC NDS", "2018", "Appendix L, Table L2")
NDS_SCREW_SIZES: Final = Source("AWC NDS", "2018", "Appendix L, Table L3")
NDS_DIAMETER: Final = Source("AWC NDS", "2018", "12.3.7")
NDS_BEARING_LENGTH: Final = Source("AWC NDS", "2018", "12.3.5")
NDS_TOENAIL_GEOMETRY: Final = Source("AWC NDS", "2018", "12.1.6.4")
NDS_PENETRATION: Final = Source(
    "AWC NDS", "2018", "12.1", read="http://www.awc.org/wood-design/2006/05/does-penetration-depth-factor-cd-apply.html"
)
NDS_LATERAL: Final = Source("AWC NDS", "2018", "12.3.1")
NDS_ADJUSTED: Final = Source("AWC NDS", "2018", "Table 11.3.1")
GAP: Final = Source("as observed", "", "gap or layer between the members", read="common practice")

TOENAIL_ANGLE_DEG: Final = 30.0
TIP_DIAMETERS: Final = 2.0  # tip of a nail or wood screw


@lru_cache(maxsize=1024)  # the same few nails and bolts in every line of every house
def single_shear(inputs: DowelInputs) -> Check:
    """Adjusted lateral value Z' of one fastener in single shear, with every step. Capacity in lb.

    Z' = Z · C_D · C_M · C_t · C_g · C_Δ · C_eg · C_tn, those that apply; Z the least of six yield modes, not rounded,
    with the general dowel equations where a gap lies between the members. Wood bearing strength is taken to the nearest
    50 psi as printed. Needs 6 D of penetration with the tip for nails and wood screws, 4 D without it for lag screws.
    A nail's bearing length is p for p ≥ 10 D, else p − D; a lag screw's is p − E/2; p stops at the far face of the
    main member. C_g and C_Δ from D = 1/4 in up; below, close placing warns. Raises OutOfRange for anything outside.
    NDS 11.3, 12.1, 12.3, 12.5.
    """
    steps: list[Step] = []
    side_in, penetration_in = _reach(inputs, steps)
    main_length = _main_bearing_length(inputs, penetration_in, steps)
    main_length_in = float(main_length.value)
    yield_diameter_in = _yield_diameter(inputs, penetration_in, steps)
    main, side, bending = main_bearing(inputs), side_bearing(inputs), bending_yield(inputs)
    steps += [main, side, bending]
    if inputs.gap_in:
        steps.append(step("gap_in", "g", "between the members", inputs.gap_in, "in", GAP))
    steps.append(main_length)
    if inputs.length_in is not None and inputs.toenail:
        steps.append(step("ls_in", "ls", "L/3", side_in, "in", NDS_TOENAIL_GEOMETRY, L=inputs.length_in))
    else:
        steps.append(step("ls_in", "ls", "thickness of the side member", side_in, "in", NDS_BEARING_LENGTH))
    rd_1, rd_2, rd_3, reduction_steps = reduction_terms(
        nominal_diameter_in=inputs.diameter_in,
        diameter_in=yield_diameter_in,
        angle_deg=max(main_angle_deg(inputs), inputs.side_angle_deg),
    )
    z_lb, mode_steps = yield_modes(
        diameter_in=yield_diameter_in,
        main_length_in=main_length_in,
        side_length_in=side_in,
        main_bearing_psi=float(main.value),
        side_bearing_psi=float(side.value),
        bending_yield_psi=float(bending.value),
        reduction_i=rd_1,
        reduction_ii=rd_2,
        reduction_iii_iv=rd_3,
        gap_in=inputs.gap_in,
    )
    steps += [*reduction_steps, *mode_steps]
    factors = _factors(inputs, main_length_in, side_in, steps)
    adjusted_lb, last = adjustments.adjusted("Zp_lb", "Z′", ("Z", z_lb), factors, NDS_ADJUSTED)
    steps += [*factors, last, *lead_holes(inputs)]
    return Check(
        name=f"{'toenail' if inputs.toenail else inputs.fastener} {inputs.diameter_in:g} in, single shear",
        status="recorded",
        capacity=adjusted_lb,
        unit="lb",
        clause=str(NDS_LATERAL),
        steps=tuple(steps),
        warnings=splitting_warnings(inputs) if inputs.diameter_in < LARGE_DIAMETER_IN else (),
    )


def _factors(inputs: DowelInputs, main_in: float, side_in: float, steps: list[Step]) -> list[Step]:
    """The adjustment factors that apply, in the order of NDS Table 11.3.1; their own steps go to `steps`."""
    factors = [adjustments.load_duration_factor(inputs.load_duration)]
    if inputs.moisture != "dry":
        factors.append(
            adjustments.wet_service_lateral(inputs.moisture, inputs.diameter_in, one_row=_one_row_along(inputs))
        )
    heat = adjustments.temperature_factor(inputs.temperature_f, inputs.moisture)
    if heat.value != 1.0:
        factors.append(heat)
    if inputs.diameter_in >= LARGE_DIAMETER_IN:
        if inputs.row is not None:
            metal = "steel" in (inputs.main_kind, inputs.side_kind)
            *before, group = group_action_factor(inputs.row, inputs.diameter_in, metal=metal)
            steps += before
            factors.append(group)
        if inputs.main_placing is not None or inputs.side_placing is not None:
            *before, geometry = placing_factor(inputs, slenderness=min(main_in, side_in) / inputs.diameter_in)
            steps += before
            factors.append(geometry)
    if inputs.end_grain:
        factors.append(adjustments.end_grain_factor(adjustments.END_GRAIN_LATERAL))
    if inputs.toenail:
        factors.append(adjustments.toenail_factor(adjustments.TOENAIL_LATERAL, "lateral"))
    return factors


def _one_row_along(inputs: DowelInputs) -> bool:
    """Whether the placing shows one fastener alone, or one row of them along the grain of every member."""
    placings = [placing for placing in (inputs.main_placing, inputs.side_placing) if placing is not None]
    alone = all(placing.spacing_in is None for placing in placings)
    along = max(main_angle_deg(inputs), inputs.side_angle_deg) == 0
    return bool(placings) and all(placing.rows == 1 for placing in placings) and (alone or along)


def _reach(inputs: DowelInputs, steps: list[Step]) -> tuple[float, float]:
    """Bearing length in the side member and penetration p into the main member, its tip included."""
    length_in, limit_in = inputs.length_in, inputs.main_thickness_in
    if inputs.toenail:
        assert length_in is not None  # DowelInputs refuses a toenail without its length
        side_in = length_in / 3
        reach_in = length_in * cos(radians(TOENAIL_ANGLE_DEG)) - side_in
        expression, source = "L·cos 30° − L/3", NDS_TOENAIL_GEOMETRY
        values = {"L": length_in}
    else:
        assert inputs.side_bearing_in is not None
        side_in, values, source = inputs.side_bearing_in, {}, NDS_BEARING_LENGTH
        if inputs.penetration_in is not None:
            reach_in, expression = inputs.penetration_in, "into the main member, as given"
        elif length_in is not None:
            reach_in, expression, values = length_in - side_in, "L − ls", {"L": length_in, "ls": side_in}
            if inputs.gap_in:
                reach_in, expression = reach_in - inputs.gap_in, "L − ls − g"
                values = {**values, "g": inputs.gap_in}
        else:
            assert limit_in is not None  # a bolt through both members
            reach_in, expression = limit_in, "through the main member"
    if limit_in is not None and limit_in < reach_in:
        values = {**values, "reach": reach_in, "thickness": limit_in}
        reach_in, expression = limit_in, f"{expression}, not beyond the far face"
    if inputs.fastener != "bolt":
        key = "penetration_incl_tip_in" if inputs.fastener == "lag screw" else "penetration_in"
        steps.append(step(key, "p", expression, reach_in, "in", source, **values))
    return side_in, reach_in


def _main_bearing_length(inputs: DowelInputs, penetration_in: float, steps: list[Step]) -> Step:
    """l_m as a step, once the penetration is enough: p less what of the tip does not bear (convention 7)."""
    diameter_in, nds = inputs.diameter_in, NDS_PENETRATION
    if inputs.fastener == "bolt":
        expression = "through the main member" if inputs.penetration_in is None else "embedment, no more than counts"
        return step("lm_in", "lm", expression, penetration_in, "in", NDS_BEARING_LENGTH)
    if inputs.fastener == "lag screw":
        tip_in = inputs.tip_in if inputs.tip_in is not None else standard_size_in(inputs, "tip_in")
        clear_in, least_in = penetration_in - tip_in, 4 * diameter_in
        steps.append(
            step("penetration_excl_tip_in", "p − E", "p − E", clear_in, "in", NDS_LAG_SIZES, p=penetration_in, E=tip_in)
        )
        steps.append(step("min_penetration_4D_in", "p min", "4·D", least_in, "in", nds, D=diameter_in))
        if clear_in < least_in - 1e-9:
            raise OutOfRange(
                "penetration_in", penetration_in, f"must be at least {least_in + tip_in:g} in: 4 D and the tip"
            )
        length_in = penetration_in - tip_in / 2
        return step("lm_in", "lm", "p − E/2", length_in, "in", NDS_BEARING_LENGTH, p=penetration_in, E=tip_in)
    ratio = penetration_in / diameter_in
    steps.append(step("penetration_over_D", "p/D", "p/D", ratio, "-", nds, p=penetration_in, D=diameter_in))
    if ratio < 6 - 1e-9:
        raise OutOfRange("penetration_in", penetration_in, f"must be at least {6 * diameter_in:g} in: 6 D")
    if ratio >= 10 - 1e-9:
        return step("lm_in", "lm", "p, at least 10·D", penetration_in, "in", NDS_BEARING_LENGTH, p=penetration_in)
    length_in = penetration_in - TIP_DIAMETERS * diameter_in / 2
    return step("lm_in", "lm", "p − D", length_in, "in", NDS_BEARING_LENGTH, p=penetration_in, D=diameter_in)


def _yield_diameter(inputs: DowelInputs, penetration_in: float, steps: list[Step]) -> float:
    """D of the yield equations: the root where the thread counts (12.3.7)."""
    diameter_in, expression, source = inputs.diameter_in, "full diameter", NDS_DIAMETER
    values = {"D": diameter_in}
    if inputs.fastener in ("lag screw", "wood screw"):
        if inputs.thread_in is not None and inputs.length_in is not None:
            steps.append(
                step(
                    "shank_in",
                    "S",
                    "L − T",
                    inputs.length_in - inputs.thread_in,
                    "in",
                    NDS_LAG_SIZES,
                    L=inputs.length_in,
                    T=inputs.thread_in,
                )
            )
        root_in = root_diameter_in(inputs)
        assert inputs.thread_in_shear_plane or inputs.thread_in is not None
        if inputs.thread_in_shear_plane:
            diameter_in, expression = root_in, "root diameter: the shear plane cuts the thread"
        elif inputs.thread_in is not None and inputs.thread_in > penetration_in / 4 + 1e-9:
            diameter_in = root_in
            expression = "root diameter: more than a quarter of the bearing in the main member is thread"
        values = {"D": inputs.diameter_in, "Dr": root_in}
        source = NDS_LAG_SIZES if inputs.fastener == "lag screw" else NDS_SCREW_SIZES
    steps.append(step("D_used_in", "D", expression, diameter_in, "in", source, **values))
    return diameter_in
