"""Seismic weight, base shear, redundancy and the ASD demand on each wall line. Not capacities.

One mass over the braced walls, shared to the lines by the strips of a flexible diaphragm (`tributary`).
"""

from __future__ import annotations

from dataclasses import dataclass

from engineering.clauses import (
    BASE_SHEAR_READ,
    SEISMIC_WEIGHT_READ,
    STATICS,
    asce,
    convention,
    reduced_forces,
)
from engineering.inputs import DemandInputs, DemandLine, HouseInputs
from engineering.outlines import outline
from engineering.redundancy import redundancy_factor
from engineering.results import Check, Step
from engineering.steps import step
from engineering.tributary import Cut, Strip, strips

PERIOD_COEFFICIENT = 0.02  # C_t and x of "all other structural systems"
PERIOD_EXPONENT = 0.75
EARTHQUAKE_ASD = 0.7


@dataclass(frozen=True, slots=True)
class DiaphragmPart:
    """ASD force that one rectangle of the floor brings to the line along its own edge. [lb, ft from the zero end]"""

    from_ft: float
    to_ft: float
    demand_lb: float


@dataclass(frozen=True, slots=True)
class LineDemand:
    """What a wall line must carry at the force level. `parts` add up to `demand_lb`, `diaphragm_parts` to the other.

    `diaphragm_demand_lb` is the ASD line force by F_px. `moment_above_ft_lb` is the ASD moment of the levels above
    about the top of the braced wall, left out of its overturning. `vertical_asd` is 0.14·S_DS: the share of the dead
    load that the vertical effect adds or takes away, not reduced with the level.
    """

    label: str
    length_ft: float
    demand_lb: float
    parts: tuple[DiaphragmPart, ...]
    diaphragm_demand_lb: float
    diaphragm_parts: tuple[DiaphragmPart, ...]
    moment_above_ft_lb: float
    vertical_asd: float


@dataclass(frozen=True, slots=True)
class HouseDemand:
    """The demand check with all its steps, and the line demands by label."""

    check: Check
    lines: dict[str, LineDemand]


def demand(inputs: DemandInputs) -> Check:
    """ASD demand on the house and on each wall line at the force level. [lb]

    Weight by component, C_s with its limits, redundancy from the bays (or as given), strips half-way between lines,
    V_ASD = 0.7·ρ·Q_E·level. The check's demand is the base shear V; a line's is its step `demand_<label>_lb`. Raises
    OutOfRange where the floor is not held by two lines in each direction. ASCE 7 12.3.4, 12.7.2, 12.8; 2.4.5.
    """
    return house_demand(inputs).check


def demand_inputs(inputs: HouseInputs) -> DemandInputs:
    """The part of a house that its demand follows from."""
    return DemandInputs(
        hazard=inputs.hazard,
        criteria=inputs.criteria,
        building=inputs.building,
        lines=tuple(
            DemandLine(
                label=line.label,
                start_ft=line.start_ft,
                end_ft=line.end_ft,
                panel_length_ft=sum(panel.to_ft - panel.from_ft for panel in line.panels),
            )
            for line in inputs.lines
        ),
    )


def house_demand(inputs: DemandInputs) -> HouseDemand:
    """The same as `demand`, with the line demands as values for the chain."""
    building = inputs.building
    steps, weight_lb, wall_plf = _weight(inputs)
    base_steps, coefficient, shear_lb = _base_shear(inputs, weight_lb)
    rho_steps, redundancy, notes = redundancy_factor(inputs)
    served, cuts = strips(building, inputs.lines)
    family = inputs.criteria.code_family
    steps += [
        *base_steps,
        *rho_steps,
        step(
            "wall_line_mass_plf",
            "w_wall",
            "p_story·h_story + p_braced·h_braced/2",
            wall_plf,
            "plf",
            convention(2, "weight"),
            p_story=building.unit_weights.story_wall_psf,
            h_story=building.story_wall_height_ft,
            p_braced=building.unit_weights.braced_wall_psf,
            h_braced=building.braced_wall_height_ft,
        ),
        *(_cut_step(cut, inputs.lines) for cut in cuts),
    ]
    lines = {}
    for line in inputs.lines:
        own = [strip for strip in served if strip.label == line.label]
        line_steps, parts = _line(inputs, line, own, wall_plf, coefficient, redundancy)
        steps += line_steps
        demand_lb = float(line_steps[-1].value)
        vertical_asd = EARTHQUAKE_ASD * 0.2 * inputs.hazard.s_ds_g
        lines[line.label] = LineDemand(
            line.label, line.length_ft, demand_lb, parts, demand_lb, parts, 0.0, vertical_asd
        )
    check = Check(
        name="seismic demand",
        status="recorded",
        demand=shear_lb,
        clause=str(asce(family, "12.8")),
        steps=tuple(steps),
        notes=(f"unit weights: {building.unit_weights.source}", f"hazard: {inputs.hazard.source}", *notes),
    )
    return HouseDemand(check, lines)


def _weight(inputs: DemandInputs) -> tuple[list[Step], float, float]:
    building, weights = inputs.building, inputs.building.unit_weights
    mass, half = convention(1, "mass"), convention(2, "weight")
    dead = asce(inputs.criteria.code_family, "12.7.2", SEISMIC_WEIGHT_READ)
    floor = outline("floor_outline_ft", building.floor_outline_ft)
    floor_sf, perimeter_ft = float(floor.area), float(floor.length)
    roof_sf = float(outline("roof_outline_ft", building.roof_outline_ft).area)
    roof_lb, floor_lb = roof_sf * weights.roof_psf, floor_sf * weights.floor_psf
    partitions_lb = floor_sf * weights.partitions_psf
    story_lb = perimeter_ft * building.story_wall_height_ft * weights.story_wall_psf
    braced_lb = perimeter_ft * building.braced_wall_height_ft / 2 * weights.braced_wall_psf
    wall_plf = (
        building.story_wall_height_ft * weights.story_wall_psf
        + building.braced_wall_height_ft / 2 * weights.braced_wall_psf
    )
    points = {weight.label: weight.weight_lb for weight in building.point_weights}
    total_lb = roof_lb + floor_lb + partitions_lb + story_lb + braced_lb + sum(points.values())
    steps = [
        step("floor_area_sf", "A_floor", "area of the floor outline", floor_sf, "ft²", mass),
        step("roof_area_sf", "A_roof", "area of the roof outline", roof_sf, "ft²", mass),
        step("perimeter_ft", "P", "length of the floor outline", perimeter_ft, "ft", mass),
        step("roof_lb", "W_roof", "A_roof·p", roof_lb, "lb", dead, A_roof=roof_sf, p=weights.roof_psf),
        step("floor_lb", "W_floor", "A_floor·p", floor_lb, "lb", dead, A_floor=floor_sf, p=weights.floor_psf),
        step(
            "partitions_lb",
            "W_partitions",
            "A_floor·p",
            partitions_lb,
            "lb",
            dead,
            A_floor=floor_sf,
            p=weights.partitions_psf,
        ),
        step(
            "story_walls_lb",
            "W_story walls",
            "P·h·p",
            story_lb,
            "lb",
            half,
            P=perimeter_ft,
            h=building.story_wall_height_ft,
            p=weights.story_wall_psf,
        ),
        step(
            "braced_wall_top_half_lb",
            "W_braced walls",
            "P·h/2·p",
            braced_lb,
            "lb",
            half,
            P=perimeter_ft,
            h=building.braced_wall_height_ft,
            p=weights.braced_wall_psf,
        ),
        *(
            step(f"point_weight_{label}_lb", f"W_{label}", "point weight as given", weight_lb, "lb", mass)
            for label, weight_lb in points.items()
        ),
        step(
            "weight_lb",
            "W",
            "sum",
            total_lb,
            "lb",
            dead,
            W_roof=roof_lb,
            W_floor=floor_lb,
            W_partitions=partitions_lb,
            W_story_walls=story_lb,
            W_braced_walls=braced_lb,
            W_points=sum(points.values()),
        ),
    ]
    return steps, total_lb, wall_plf


def _base_shear(inputs: DemandInputs, weight_lb: float) -> tuple[list[Step], float, float]:
    """C_s by 12.8-2 between the limits 12.8-3 or -4 and 12.8-5, -6; V = C_s·W."""
    hazard, criteria, building = inputs.hazard, inputs.criteria, inputs.building

    family = criteria.code_family
    reduction = criteria.response_modification / criteria.importance
    height_ft = building.braced_wall_height_ft + building.floor_depth_ft + building.story_wall_height_ft
    period_s = PERIOD_COEFFICIENT * height_ft**PERIOD_EXPONENT
    basic = hazard.s_ds_g / reduction
    long_period = period_s > hazard.t_l_s
    upper = hazard.s_d1_g / (period_s * reduction) * (hazard.t_l_s / period_s if long_period else 1.0)
    lower = max(0.044 * hazard.s_ds_g * criteria.importance, 0.01)
    near_fault = 0.5 * hazard.s_1_g / reduction if hazard.s_1_g >= 0.6 else 0.0
    coefficient = max(min(basic, upper), lower, near_fault)
    steps = [
        step(
            "hn_ft",
            "h_n",
            "h_braced + floor depth + h_story",
            height_ft,
            "ft",
            asce(family, "11.2"),
            h_braced=building.braced_wall_height_ft,
            floor_depth=building.floor_depth_ft,
            h_story=building.story_wall_height_ft,
        ),
        step(
            "Ta_s",
            "T_a",
            "C_t·h_n^x",
            period_s,
            "s",
            asce(family, "12.8-7", BASE_SHEAR_READ),
            C_t=PERIOD_COEFFICIENT,
            h_n=height_ft,
            x=PERIOD_EXPONENT,
        ),
        step(
            "Cs_12_8_2",
            "C_s",
            "S_DS/(R/I_e)",
            basic,
            "-",
            asce(family, "12.8-2", BASE_SHEAR_READ),
            S_DS=hazard.s_ds_g,
            R=criteria.response_modification,
            I_e=criteria.importance,
        ),
        step(
            "Cs_max",
            "C_s,max",
            "S_D1·T_L/(T²·R/I_e)" if long_period else "S_D1/(T·R/I_e)",
            upper,
            "-",
            asce(family, "12.8-4" if long_period else "12.8-3", BASE_SHEAR_READ),
            S_D1=hazard.s_d1_g,
            T=period_s,
            T_L=hazard.t_l_s,
            R=criteria.response_modification,
            I_e=criteria.importance,
        ),
        step(
            "Cs_min",
            "C_s,min",
            "max(0.044·S_DS·I_e, 0.01)",
            lower,
            "-",
            asce(family, "12.8-5", BASE_SHEAR_READ),
            S_DS=hazard.s_ds_g,
            I_e=criteria.importance,
        ),
    ]
    if near_fault:
        steps.append(
            step(
                "Cs_min_12_8_6",
                "C_s,min",
                "0.5·S_1/(R/I_e), S_1 ≥ 0.6",
                near_fault,
                "-",
                asce(family, "12.8-6", BASE_SHEAR_READ),
                S_1=hazard.s_1_g,
                R=criteria.response_modification,
                I_e=criteria.importance,
            )
        )
    shear_lb = coefficient * weight_lb
    source = asce(family, "12.8-1", BASE_SHEAR_READ)
    steps += [
        step("Cs", "C_s", "12.8-2 between its limits", coefficient, "-", source),
        step("V_lb", "V", "C_s·W", shear_lb, "lb", source, C_s=coefficient, W=weight_lb),
    ]
    return steps, coefficient, shear_lb


def _cut_step(cut: Cut, lines: tuple[DemandLine, ...]) -> Step:
    across = 1 if cut.axis == "x" else 0
    at = {line.label: line.start_ft[across] for line in lines}
    one, two = cut.between
    name = "y" if cut.axis == "x" else "x"
    return step(
        f"cut_{one}_{two}_ft",
        f"cut {one}–{two}",
        f"half-way: ({name}_1 + {name}_2)/2",
        cut.at_ft,
        "ft",
        convention(1, "mass"),
        **{f"{name}_1": at[one], f"{name}_2": at[two]},
    )


def _line(
    inputs: DemandInputs,
    line: DemandLine,
    own: list[Strip],
    wall_plf: float,
    coefficient: float,
    redundancy: float,
) -> tuple[list[Step], tuple[DiaphragmPart, ...]]:
    weights, criteria = inputs.building.unit_weights, inputs.criteria
    point_lb = {weight.label: weight.weight_lb for weight in inputs.building.point_weights}
    label, mass = line.label, convention(1, "mass")
    floor_psf = weights.floor_psf + weights.partitions_psf
    asd = EARTHQUAKE_ASD * redundancy * coefficient * criteria.force_factor
    parts = []
    for strip in own:
        points_lb = sum((point_lb[name] for name in strip.point_weights), 0.0)
        strip_lb = strip.roof_sf * weights.roof_psf + strip.floor_sf * floor_psf + strip.wall_ft * wall_plf + points_lb
        parts.append(DiaphragmPart(strip.from_ft, strip.to_ft, asd * strip_lb))
    roof_sf, floor_sf = sum(strip.roof_sf for strip in own), sum(strip.floor_sf for strip in own)
    wall_ft = sum(strip.wall_ft for strip in own)
    roof_lb, floor_lb, walls_lb = roof_sf * weights.roof_psf, floor_sf * floor_psf, wall_ft * wall_plf
    points_lb = sum((point_lb[name] for strip in own for name in strip.point_weights), 0.0)
    total_lb = roof_lb + floor_lb + walls_lb + points_lb
    effect_lb = coefficient * total_lb
    demand_lb = EARTHQUAKE_ASD * redundancy * effect_lb * criteria.force_factor
    combination = asce(criteria.code_family, "2.4.5")
    level = combination if criteria.force_factor == 1.0 else reduced_forces(criteria.code_family)
    steps = [
        step(f"strip_{label}_roof_lb", "W_roof", "A·p", roof_lb, "lb", mass, A=roof_sf, p=weights.roof_psf),
        step(f"strip_{label}_floor_lb", "W_floor", "A·p", floor_lb, "lb", mass, A=floor_sf, p=floor_psf),
        step(f"strip_{label}_walls_lb", "W_walls", "L·w_wall", walls_lb, "lb", mass, L=wall_ft, w_wall=wall_plf),
        step(f"strip_{label}_points_lb", "W_points", "point weights in the strip", points_lb, "lb", mass),
        step(
            f"strip_{label}_weight_lb",
            f"W_{label}",
            "sum",
            total_lb,
            "lb",
            mass,
            W_roof=roof_lb,
            W_floor=floor_lb,
            W_walls=walls_lb,
            W_points=points_lb,
        ),
        step(f"strip_{label}_QE_lb", f"Q_E,{label}", "C_s·W", effect_lb, "lb", STATICS, C_s=coefficient, W=total_lb),
        step(
            f"demand_{label}_lb",
            f"V_{label}",
            "0.7·ρ·Q_E·level",
            demand_lb,
            "lb",
            level,
            ρ=redundancy,
            Q_E=effect_lb,
            level=criteria.force_factor,
        ),
    ]
    return steps, tuple(parts)
