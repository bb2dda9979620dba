"""Seismic weight, base shear, redundancy and the ASD demand on each wall line, put together. Not capacities.

The demand on a line is of one mass over the braced walls, shared by the strips of a flexible diaphragm (`tributary`)
or by stiffness (`rigid_diaphragm`); the levels give redundancy, F_px and the moment above.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from engineering.base_shear import EARTHQUAKE_ASD, base_shear, period, used_s_ds, vertical_effect
from engineering.clauses import STATICS, asce, convention
from engineering.diaphragm_force import diaphragm_force, irregular_plan_factor, re_entrant_irregularity
from engineering.errors import OutOfRange
from engineering.inputs import DemandInputs, DemandLine, HouseInputs
from engineering.legal_basis import force_source
from engineering.line_demand import DiaphragmPart, LineDemand
from engineering.mass_picture import centre, mass_picture
from engineering.outlines import outline
from engineering.panel_shares import line_stiffness, panel_height_ft
from engineering.redundancy import redundancy_factor
from engineering.results import Check, MassShare, Step
from engineering.rigid_diaphragm import NO_RELIEF, RigidShares, rigid_shares, stiff_lines
from engineering.seismic_weight import (
    HALF_WALLS,
    MASS,
    Level,
    Mass,
    masses,
    roof_psf,
    seismic_weight,
    slug,
    strip_levels_lb,
)
from engineering.site_coefficients import category_warnings, require_agreement
from engineering.steps import step
from engineering.structural_systems import require_system
from engineering.tributary import Cut, Strip, axis_of, strips
from engineering.vertical_distribution import distribution_factors, level_forces_lb

DIAPHRAGM_VALUE = convention(9, "diaphragm force")
OVERTURNING_ABOVE = convention(11, "moment of the levels above, left out")

EXTREME_TORSION = "torsional irregularity type 1b is not permitted in SDC E and F (ASCE 7 12.3.3.1, from memory)"
LEVELS_OF_ONE_STORY = 2  # the floor and the roof
HEIGHT_AGREES_FT = 0.25  # what tapes and steps of the ground leave between the house's height and a panel's


@dataclass(frozen=True, slots=True)
class HouseDemand:
    """The demand check with all its steps, the line demands by label, and which mass goes to which line."""

    check: Check
    lines: dict[str, LineDemand]
    picture: tuple[MassShare, ...]


@dataclass(frozen=True, slots=True)
class _Factors:
    """What every line's demand follows from."""

    inputs: DemandInputs
    spread: tuple[Mass, ...]
    roof_psf: float
    wall_plf: float  # of the first story and the upper half of the braced wall
    levels: tuple[Level, ...]
    forces_lb: tuple[float, ...]
    coefficient: float
    shear_lb: float
    redundancy: float
    diaphragm_lb: float  # F_px of the floor
    diaphragm_factor: float
    vertical_asd: float
    rigid: RigidShares | None


def demand(inputs: DemandInputs) -> Check:
    """ASD demand on the house and on each wall line at the force level. [lb]

    Weight by component and level, C_s with its limits, redundancy, F_px, and for each line by its strips half-way
    between lines (flexible) or by stiffness (rigid) V_ASD = 0.7·ρ·Q_E·level. The check's demand is the base shear V; a
    line's is its step `demand_<label>_lb`, by F_px its `px_<label>_lb`. Raises OutOfRange where the floor is not held
    by two lines in each direction, for a mapped motion that gives another hazard, for an S_DS cap whose conditions are
    not met, and for a rigid diaphragm without stiffness. ASCE 7 12.3, 12.4, 12.7, 12.8, 12.10; 2.4.5.
    """
    return house_demand(inputs).check


def demand_inputs(inputs: HouseInputs) -> DemandInputs:
    """The part of a house that its demand follows from; lines with their stiffness where the floor is rigid.

    Raises OutOfRange where a rigid floor asks for a stiffness that is not decided, and for braced walls entered lower
    than those that the panels stand on.
    """
    _require_braced_height(inputs)
    rigid = inputs.criteria.diaphragm == "rigid"
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
                carries=bool(line.panels) or not line.framing.plates_in,
                stiffness_kip_per_in=float(line_stiffness(line)[-1].value) if rigid else None,
            )
            for line in inputs.lines
        ),
    )


def _require_braced_height(inputs: HouseInputs) -> None:
    """Refuse braced walls lower than the tallest panel: weight, redundancy and the period would come out too low."""
    taken_ft = inputs.building.braced_wall_height_ft
    heights = [(panel_height_ft(line, panel), line.label, panel) for line in inputs.lines for panel in line.panels]
    tallest_ft, label, panel = max(heights, key=lambda one: one[0], default=(0.0, "", None))
    if panel is not None and tallest_ft > taken_ft + HEIGHT_AGREES_FT + 1e-9:
        where = f"line {label}, panel from {panel.from_ft:g} to {panel.to_ft:g} ft"
        allowed = f"must be at least the tallest wall with panels, {tallest_ft:.2f} ft ({where}: sill to upper plate)"
        raise OutOfRange("building.braced_wall_height_ft", taken_ft, allowed)


def house_demand(inputs: DemandInputs) -> HouseDemand:
    """The same as `demand`, with the line demands as values for the chain."""
    building, criteria, hazard = inputs.building, inputs.criteria, inputs.hazard
    family = criteria.code_family
    weight_steps, levels = seismic_weight(building, family)
    served, cuts, idle = _served(inputs)
    carried = [strip for strip in served if strip.label not in idle]
    spread = masses(building, family)
    picture = mass_picture(building, levels, spread, carried)
    height, height_ft = _height(inputs, levels)
    period_step, period_s = period(height_ft, family)
    share_steps, factors, shares = distribution_factors(levels, period_s, family)
    rigid = _rigid(inputs, picture) if criteria.diaphragm == "rigid" else None
    torsion = rigid.irregularity if rigid else ""
    irregularity = re_entrant_irregularity(inputs) or (f"torsion, type {torsion}" if torsion else "")
    rho_steps, redundancy, notes = redundancy_factor(inputs, shares, irregularity)
    cap_steps, s_ds_g = used_s_ds(inputs, period_s=period_s, redundancy=redundancy, irregularity=irregularity)
    vertical_steps, vertical_asd = vertical_effect(hazard, criteria, s_ds_g)
    weight_lb = float(next(one.value for one in weight_steps if one.key == "weight_lb"))
    base_steps, coefficient, shear_lb = base_shear(inputs, period_s=period_s, s_ds_g=s_ds_g, weight_lb=weight_lb)
    force_steps, forces_lb = level_forces_lb(levels, factors, shear_lb, family)
    px_steps, diaphragm_lb = diaphragm_force(0, levels, forces_lb, hazard.s_ds_g, criteria.importance, family)
    raised_steps, raised = irregular_plan_factor(inputs, torsion)
    wall_mass = _wall_line_mass(inputs)
    common = _Factors(
        inputs=inputs,
        spread=spread,
        roof_psf=roof_psf(building, family),
        wall_plf=float(wall_mass.value),
        levels=levels,
        forces_lb=forces_lb,
        coefficient=coefficient,
        shear_lb=shear_lb,
        redundancy=redundancy,
        diaphragm_lb=diaphragm_lb,
        diaphragm_factor=raised,
        vertical_asd=vertical_asd,
        rigid=rigid,
    )
    steps = [
        *require_agreement(hazard, criteria),
        *require_system(criteria, category=hazard.seismic_design_category, height_ft=height_ft),
        *weight_steps,
        height,
        period_step,
        *share_steps,
        *(rigid.steps if rigid else ()),
        *rho_steps,
        *cap_steps,
        *vertical_steps,
        *base_steps,
        *force_steps,
        *px_steps,
        *raised_steps,
        wall_mass,
        *(_cut_step(cut, inputs.lines) for cut in cuts),
    ]
    lines = {}
    for line in inputs.lines:
        own = [strip for strip in served if strip.label == line.label]
        if not own:
            allowed = "must hold a part of the floor: no strip of it reaches this line"
            raise OutOfRange(f"lines.{line.label}", (line.start_ft, line.end_ft), allowed)
        line_steps, lines[line.label] = _line(common, line, own)
        steps += line_steps
    check = Check(
        name="seismic demand",
        status="recorded",
        demand=shear_lb,
        clause=str(asce(family, "12.8")),
        steps=tuple(steps),
        notes=(f"unit weights: {building.unit_weights.source}", f"hazard: {hazard.source}", *_taken(inputs), *notes),
        warnings=(
            *category_warnings(hazard, criteria),
            *(f"line {label} carries nothing: the others are computed as if it did not stand there" for label in idle),
            *((EXTREME_TORSION,) if torsion == "1b" and hazard.seismic_design_category in ("E", "F") else ()),
        ),
    )
    return HouseDemand(check, lines, picture)


def _served(inputs: DemandInputs) -> tuple[tuple[Strip, ...], tuple[Cut, ...], tuple[str, ...]]:
    """Strips and cuts, and the lines that carry nothing and without which the floor is held all the same.

    Such a line relieves no other: it keeps its own strip, and the others are served as if it did not stand there.
    """
    found, cuts = strips(inputs.building, inputs.lines)
    kept, idle = inputs.lines, dict[str, DemandLine]()
    for line in (one for one in inputs.lines if not one.carries):
        rest = tuple(one for one in kept if one is not line)
        try:
            strips(inputs.building, rest)
        except OutOfRange:
            continue  # a line of the house's edge: the floor is not held without it, and its own chain is open
        kept, idle[line.label] = rest, line
    if not idle:
        return found, cuts, ()
    others, cuts = strips(inputs.building, kept)
    return (*others, *(strip for strip in found if strip.label in idle)), cuts, tuple(idle)


def _taken(inputs: DemandInputs) -> tuple[str, ...]:
    """Where mass is taken to lie though nobody said so."""
    building = inputs.building
    below = [weight.label for weight in building.point_weights if not weight.by_level_lb]
    outlines = {building.floor_outline_ft, *(story.floor_outline_ft for story in building.upper_stories)}
    return (
        *((f"taken at the floor, for their levels were not given: {', '.join(below)}",) if below else ()),
        *(("the roof is taken at one height, over the highest story",) if len(outlines) > 1 else ()),
    )


def _height(inputs: DemandInputs, levels: tuple[Level, ...]) -> tuple[Step, float]:
    building = inputs.building
    heights = {
        "h_braced": building.braced_wall_height_ft,
        "floor_depth": building.floor_depth_ft,
        "h_story": building.story_wall_height_ft,
    }
    expression = "h_braced + floor depth + h_story"
    if building.upper_stories:
        heights["upper_stories"] = sum(one.floor_depth_ft + one.wall_height_ft for one in building.upper_stories)
        expression += " + upper stories"
    height_ft = levels[-1].height_ft
    return step("hn_ft", "h_n", expression, height_ft, "ft", asce(inputs.criteria.code_family, "11.2"), **heights), (
        height_ft
    )


def _rigid(inputs: DemandInputs, picture: Iterable[MassShare]) -> RigidShares:
    """Shares by stiffness about the centre of the mass, which one direction's lines carry whole."""
    along_x = {line.label for line in inputs.lines if axis_of(line) == "x"}
    left, low, right, high = outline("floor_outline_ft", inputs.building.floor_outline_ft).bounds
    return rigid_shares(
        stiff_lines(inputs.lines),
        mass_centre_ft=centre(share for share in picture if share.line in along_x),
        low_ft=(left, low),
        high_ft=(right, high),
        category=inputs.hazard.seismic_design_category,
        family=inputs.criteria.code_family,
    )


def _cut_step(cut: Cut, lines: tuple[DemandLine, ...]) -> Step:
    across = 1 if cut.axis == "x" else 0
    at = {line.label: line.start_ft[across] for line in lines}
    one, two = cut.between
    name = "y" if cut.axis == "x" else "x"
    return step(
        f"cut_{one}_{two}_ft", f"cut {one}–{two}", f"half-way: ({name}_1 + {name}_2)/2", cut.at_ft, "ft", MASS,
        **{f"{name}_1": at[one], f"{name}_2": at[two]},
    )  # fmt: skip


def _wall_line_mass(inputs: DemandInputs) -> Step:
    building, weights = inputs.building, inputs.building.unit_weights
    wall_plf = (
        building.story_wall_height_ft * weights.story_wall_psf
        + building.braced_wall_height_ft / 2 * weights.braced_wall_psf
    )
    return step(
        "wall_line_mass_plf", "w_wall", "p_story·h_story + p_braced·h_braced/2", wall_plf, "plf", HALF_WALLS,
        p_story=weights.story_wall_psf, h_story=building.story_wall_height_ft,
        p_braced=weights.braced_wall_psf, h_braced=building.braced_wall_height_ft,
    )  # fmt: skip


def _line(house: _Factors, line: DemandLine, own: list[Strip]) -> tuple[list[Step], LineDemand]:
    """One line: its mass by strips, its force by level, the story shear, the value by F_px, the moment above."""
    criteria, label = house.inputs.criteria, line.label
    by_strip = [strip_levels_lb(house.inputs.building, house.spread, strip) for strip in own]
    mass_steps, total_lb = _mass(house, label, own, by_strip)
    force_steps, forces_lb, effect_lb, floor_lb = _forces(house, label, by_strip, total_lb)
    level, factor = criteria.force_factor, house.diaphragm_factor
    rho, above_lb = house.redundancy, house.redundancy * sum(forces_lb[1:])
    asd = EARTHQUAKE_ASD * level
    demand_lb, diaphragm_lb = asd * rho * effect_lb, asd * factor * (above_lb + floor_lb)
    top_ft = house.inputs.building.braced_wall_height_ft
    arms_ft = [one.height_ft - top_ft for one in house.levels]
    moment = asd * rho * sum(force * arm for force, arm in zip(forces_lb, arms_ft, strict=True))
    source = force_source(criteria)
    steps = [
        *mass_steps,
        *force_steps,
        step(f"demand_{label}_lb", f"V_{label}", "0.7·ρ·Q_E·level", demand_lb, "lb", source,
             ρ=rho, Q_E=effect_lb, level=level),
        step(f"px_{label}_above_lb", f"F_above,{label}", "ρ·ΣF of the levels above", above_lb, "lb",
             DIAPHRAGM_VALUE, ρ=rho, ΣF=sum(forces_lb[1:])),
        step(f"px_{label}_lb", f"V_px,{label}", "0.7·f·(F_above + 1.0·F_part)·level", diaphragm_lb, "lb",
             DIAPHRAGM_VALUE, f=factor, F_above=above_lb, F_part=floor_lb, level=level),
        step(f"moment_above_{label}_ft_lb", f"M_above,{label}", "0.7·ρ·ΣF·(h − h_braced)·level", moment, "ft·lb",
             OVERTURNING_ABOVE, ρ=rho, level=level, h_braced=top_ft,
             **{f"F_{one.label}": force for one, force in zip(house.levels, forces_lb, strict=True)},
             **{f"h_{one.label}": one.height_ft for one in house.levels}),
    ]  # fmt: skip
    return steps, LineDemand(
        label=label,
        length_ft=line.length_ft,
        demand_lb=demand_lb,
        parts=_parts(own, [sum(map(sum, levels)) for levels in by_strip], demand_lb),
        diaphragm_demand_lb=diaphragm_lb,
        diaphragm_parts=_parts(own, _diaphragm_weights(house, by_strip), diaphragm_lb),
        moment_above_ft_lb=moment,
        vertical_asd=house.vertical_asd,
    )


def _mass(
    house: _Factors, label: str, own: list[Strip], by_strip: list[list[tuple[float, float, float]]]
) -> tuple[list[Step], float]:
    """Mass in the line's strips by what it is. [lb]"""
    building = house.inputs.building
    weights, outlines = building.unit_weights, range(len(house.levels))
    areas_sf = [sum(strip.areas_sf[number] for strip in own) for number in outlines]
    walls_ft = [sum(strip.walls_ft[number] for strip in own) for number in outlines]
    floor_psf = weights.floor_psf + weights.partitions_psf
    snowy_psf, wall_plf = house.roof_psf, house.wall_plf
    roof_lb, floor_lb, walls_lb = areas_sf[-1] * snowy_psf, areas_sf[0] * floor_psf, walls_ft[0] * wall_plf
    points_lb = sum((point for levels in by_strip for _, _, point in levels), 0.0)
    upper: list[Step] = []
    for number, story in enumerate(building.upper_stories, 1):
        name, area_psf = slug(story.label), story.floor_psf + story.partitions_psf
        upper += [
            step(f"strip_{label}_{name}_floor_lb", f"W_floor {story.label}", "A·p", areas_sf[number] * area_psf,
                 "lb", MASS, A=areas_sf[number], p=area_psf),
            step(f"strip_{label}_{name}_walls_lb", f"W_walls {story.label}", "L·h·p",
                 walls_ft[number] * story.wall_height_ft * story.wall_psf, "lb", MASS,
                 L=walls_ft[number], h=story.wall_height_ft, p=story.wall_psf),
        ]  # fmt: skip
    upper_lb = sum(float(one.value) for one in upper)
    total_lb = roof_lb + floor_lb + walls_lb + upper_lb + points_lb
    return [
        step(f"strip_{label}_roof_lb", "W_roof", "A·p", roof_lb, "lb", MASS, A=areas_sf[-1], p=snowy_psf),
        step(f"strip_{label}_floor_lb", "W_floor", "A·p", floor_lb, "lb", MASS, A=areas_sf[0], p=floor_psf),
        step(f"strip_{label}_walls_lb", "W_walls", "L·w_wall", walls_lb, "lb", MASS, L=walls_ft[0], w_wall=wall_plf),
        *upper,
        step(f"strip_{label}_points_lb", "W_points", "point weights in the strip", points_lb, "lb", MASS),
        step(f"strip_{label}_weight_lb", f"W_{label}", "sum", total_lb, "lb", MASS, W_roof=roof_lb, W_floor=floor_lb,
             W_walls=walls_lb, **({"W_upper_stories": upper_lb} if upper else {}), W_points=points_lb),
    ], total_lb  # fmt: skip


def _forces(
    house: _Factors, label: str, by_strip: list[list[tuple[float, float, float]]], total_lb: float
) -> tuple[list[Step], list[float], float, float]:
    """The line's force by level, its Q_E and its part of the floor's F_px. [lb]"""
    if house.rigid is not None:
        return _rigid_forces(house, label, house.rigid.shares[label])
    steps: list[Step] = []
    masses_lb, forces_lb = [], []
    for number, (level, force_lb) in enumerate(zip(house.levels, house.forces_lb, strict=True)):
        area, wall, point = [sum([levels[number][kind] for levels in by_strip]) for kind in (0, 1, 2)]
        mass_lb = area + wall + point
        masses_lb.append(mass_lb)
        forces_lb.append(force_lb * mass_lb / level.weight_lb)
        steps += [
            step(f"strip_{label}_{level.key}_mass_lb", f"W_{label},{level.label}", "areas + walls + points",
                 mass_lb, "lb", MASS, areas=area, walls=wall, points=point),
            step(f"strip_{label}_{level.key}_force_lb", f"F_{label},{level.label}", "F_x·W/w_x", forces_lb[-1], "lb",
                 STATICS, F_x=force_lb, W=mass_lb, w_x=level.weight_lb),
        ]  # fmt: skip
    effect_lb, floor = house.coefficient * total_lb, house.levels[0]
    effect, named = "C_s·W", {"C_s": house.coefficient, "W": total_lb}
    if len(house.levels) > LEVELS_OF_ONE_STORY and sum(forces_lb) > effect_lb:
        # An upper story over a part of the plan: the forces of its levels reach the lines under it.
        effect_lb, effect = sum(forces_lb), "ΣF of the line, more than C_s·W"
    floor_lb = house.diaphragm_lb * masses_lb[0] / floor.weight_lb
    return [
        step(f"strip_{label}_QE_lb", f"Q_E,{label}", effect, effect_lb, "lb", STATICS, **named),
        *steps,
        step(f"strip_{label}_by_level_lb", f"Q_E,{label} by levels, beside it", "ΣF of the line", sum(forces_lb), "lb",
             MASS, **{f"F_{one.label}": force for one, force in zip(house.levels, forces_lb, strict=True)}),
        step(f"px_{label}_floor_part_lb", f"F_part,{label}", "F_px·W/w_px", floor_lb, "lb", DIAPHRAGM_VALUE,
             F_px=house.diaphragm_lb, W=masses_lb[0], w_px=floor.weight_lb),
    ], forces_lb, effect_lb, floor_lb  # fmt: skip


def _rigid_forces(house: _Factors, label: str, share: float) -> tuple[list[Step], list[float], float, float]:
    """The same by the line's share of the story shear, whatever lies in its strips."""
    effect_lb, floor_lb = share * house.shear_lb, share * house.diaphragm_lb
    named = {"V_i/V": share}
    return [
        step(f"strip_{label}_QE_lb", f"Q_E,{label}", "V·V_i/V", effect_lb, "lb", NO_RELIEF, V=house.shear_lb, **named),
        step(f"px_{label}_floor_part_lb", f"F_part,{label}", "F_px·V_i/V", floor_lb, "lb", DIAPHRAGM_VALUE,
             F_px=house.diaphragm_lb, **named),
    ], [share * force for force in house.forces_lb], effect_lb, floor_lb  # fmt: skip


def _diaphragm_weights(house: _Factors, by_strip: list[list[tuple[float, float, float]]]) -> list[float]:
    """What the strips bring to the line by F_px, as weights: the levels above and the floor's own part."""
    found = []
    for levels in by_strip:
        masses_lb = [sum(kinds) for kinds in levels]
        shares = [
            force * mass / level.weight_lb
            for force, mass, level in zip(house.forces_lb, masses_lb, house.levels, strict=True)
        ]
        own = house.diaphragm_lb * masses_lb[0] / house.levels[0].weight_lb
        found.append(house.redundancy * sum(shares[1:]) + own)
    return found


def _parts(own: list[Strip], weights: list[float], whole_lb: float) -> tuple[DiaphragmPart, ...]:
    """A line's force over its strips, in proportion to `weights`."""
    each = whole_lb / sum(weights)
    return tuple(
        DiaphragmPart(strip.from_ft, strip.to_ft, each * weight) for strip, weight in zip(own, weights, strict=True)
    )
