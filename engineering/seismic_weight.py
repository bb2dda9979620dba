"""Seismic weight: which mass lies on which outline of which level, and what it adds up to. Not what it does.

Conventions 1 and 2: half of each wall goes up, half down; the lower half of the braced walls goes to the base.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import Final, Literal

from engineering.clauses import SEISMIC_WEIGHT_READ, asce, convention
from engineering.inputs import Building, CodeFamily, PointWeight
from engineering.outlines import outline
from engineering.results import Step
from engineering.steps import step
from engineering.tributary import Strip, outlines_of
from engineering.unit_weights import require_assemblies, snow_weight

MASS: Final = convention(1, "mass")
HALF_WALLS: Final = convention(2, "weight")


@dataclass(frozen=True, slots=True)
class Mass:
    """Mass of one level, alike over an outline [psf] or along its edges [plf].

    `outline` counts as `tributary.outlines_of` does: 0 is the floor's, the last the roof's.
    """

    level: int
    outline: int
    kind: Literal["area", "wall"]
    per: float


@dataclass(frozen=True, slots=True)
class Level:
    """A level that holds mass: the floor over the braced walls, each floor above it, the roof."""

    label: str
    key: str  # the label as a part of step keys
    height_ft: float  # above the base, the foot of the braced walls
    weight_lb: float


@cache
def slug(label: str) -> str:
    """A label as a part of step keys."""
    return re.sub(r"\W+", "_", label)


def roof_psf(building: Building, family: CodeFamily) -> float:
    """The roof with the snow that counts. [psf]"""
    snow_psf, _ = snow_weight(building.unit_weights, roof_sf=1.0, code_family=family)
    return building.unit_weights.roof_psf + snow_psf


def masses(building: Building, family: CodeFamily) -> tuple[Mass, ...]:
    """All mass but the point weights, by level and outline. [psf, plf]"""
    weights = building.unit_weights
    below_plf = building.story_wall_height_ft / 2 * weights.story_wall_psf
    braced_plf = building.braced_wall_height_ft / 2 * weights.braced_wall_psf
    found = [
        Mass(0, 0, "area", weights.floor_psf + weights.partitions_psf),
        Mass(0, 0, "wall", braced_plf + below_plf),
    ]
    for number, story in enumerate(building.upper_stories, 1):
        own_plf = story.wall_height_ft / 2 * story.wall_psf
        found += [
            Mass(number, number, "area", story.floor_psf + story.partitions_psf),
            Mass(number, number - 1, "wall", below_plf),
            Mass(number, number, "wall", own_plf),
        ]
        below_plf = own_plf
    roof = len(building.upper_stories) + 1
    return (*found, Mass(roof, roof, "area", roof_psf(building, family)), Mass(roof, roof - 1, "wall", below_plf))


def point_levels_lb(weight: PointWeight, levels: int) -> tuple[float, ...]:
    """A point weight by level; all at the floor where nobody said otherwise. [lb]"""
    return weight.by_level_lb or (weight.weight_lb, *[0.0] * (levels - 1))


def strip_levels_lb(building: Building, spread: tuple[Mass, ...], strip: Strip) -> list[tuple[float, float, float]]:
    """Area, wall and point mass in a strip, by level. [lb]"""
    count = len(building.upper_stories) + 2
    found = [[0.0, 0.0, 0.0] for _ in range(count)]
    for mass in spread:
        if mass.kind == "area":
            found[mass.level][0] += mass.per * strip.areas_sf[mass.outline]
        else:
            found[mass.level][1] += mass.per * strip.walls_ft[mass.outline]
    for weight in building.point_weights:
        if weight.label in strip.point_weights:
            for level, share_lb in enumerate(point_levels_lb(weight, count)):
                found[level][2] += share_lb
    return [(area, wall, point) for area, wall, point in found]


def seismic_weight(building: Building, family: CodeFamily) -> tuple[list[Step], tuple[Level, ...]]:
    """The weight by component and by level, with its steps. [lb]

    Raises OutOfRange where assemblies don't add up to the unit weights. ASCE 7 12.7.2.
    """
    weights = building.unit_weights
    dead = asce(family, "12.7.2", SEISMIC_WEIGHT_READ)
    floor = outline("floor_outline_ft", building.floor_outline_ft)
    floor_sf, perimeter_ft = float(floor.area), float(floor.length)
    roof_sf = float(outline("roof_outline_ft", building.roof_outline_ft).area)
    roof_lb, floor_lb = roof_sf * weights.roof_psf, floor_sf * weights.floor_psf
    partitions_lb = floor_sf * weights.partitions_psf
    story_ft, braced_ft = building.story_wall_height_ft, building.braced_wall_height_ft
    story_lb = perimeter_ft * story_ft * weights.story_wall_psf
    braced_lb = perimeter_ft * braced_ft / 2 * weights.braced_wall_psf
    points = {weight.label: weight.weight_lb for weight in building.point_weights}
    upper_steps, upper_lb = _upper_stories(building, family)
    snow_lb, snow_steps = snow_weight(weights, roof_sf=roof_sf, code_family=family)
    total_lb = snow_lb + roof_lb + floor_lb + partitions_lb + story_lb + braced_lb + upper_lb + sum(points.values())
    steps = [
        *require_assemblies(weights),
        step("floor_area_sf", "A_floor", "area of the floor outline", floor_sf, "ft²", MASS),
        step("roof_area_sf", "A_roof", "area of the roof outline", roof_sf, "ft²", MASS),
        step("perimeter_ft", "P", "length of the floor outline", perimeter_ft, "ft", MASS),
        step("roof_lb", "W_roof", "A_roof·p", roof_lb, "lb", dead, A_roof=roof_sf, p=weights.roof_psf),
        *snow_steps,
        step("floor_lb", "W_floor", "A_floor·p", floor_lb, "lb", dead, A_floor=floor_sf, p=weights.floor_psf),
        step("partitions_lb", "W_partitions", "A_floor·p", partitions_lb, "lb", dead,
             A_floor=floor_sf, p=weights.partitions_psf),
        step("story_walls_lb", "W_story walls", "P·h·p", story_lb, "lb", HALF_WALLS,
             P=perimeter_ft, h=story_ft, p=weights.story_wall_psf),
        step("braced_wall_top_half_lb", "W_braced walls", "P·h/2·p", braced_lb, "lb", HALF_WALLS,
             P=perimeter_ft, h=braced_ft, p=weights.braced_wall_psf),
        *upper_steps,
        *(
            step(f"point_weight_{label}_lb", f"W_{label}", "point weight as given", weight_lb, "lb", MASS)
            for label, weight_lb in points.items()
        ),
        step("weight_lb", "W", "sum", total_lb, "lb", dead, W_roof=roof_lb, W_floor=floor_lb,
             W_partitions=partitions_lb, W_story_walls=story_lb, W_braced_walls=braced_lb,
             **({"W_upper_stories": upper_lb} if building.upper_stories else {}),
             **({"W_snow": snow_lb} if snow_steps else {}), W_points=sum(points.values())),
    ]  # fmt: skip
    level_steps, levels = _levels(building, family)
    return [*steps, *level_steps], levels


def _upper_stories(building: Building, family: CodeFamily) -> tuple[list[Step], float]:
    """Floor, partitions and walls of each story above the first. [lb]"""
    steps: list[Step] = []
    total_lb = 0.0
    dead = asce(family, "12.7.2", SEISMIC_WEIGHT_READ)
    for story in building.upper_stories:
        floor = outline("floor_outline_ft", story.floor_outline_ft)
        area_sf, perimeter_ft = float(floor.area), float(floor.length)
        key, label = slug(story.label), story.label
        floor_lb, partitions_lb = area_sf * story.floor_psf, area_sf * story.partitions_psf
        walls_lb = perimeter_ft * story.wall_height_ft * story.wall_psf
        total_lb += floor_lb + partitions_lb + walls_lb
        steps += [
            step(f"{key}_floor_lb", f"W_floor {label}", "A·p", floor_lb, "lb", dead, A=area_sf, p=story.floor_psf),
            step(f"{key}_partitions_lb", f"W_partitions {label}", "A·p", partitions_lb, "lb", dead,
                 A=area_sf, p=story.partitions_psf),
            step(f"{key}_walls_lb", f"W_walls {label}", "P·h·p", walls_lb, "lb", HALF_WALLS,
                 P=perimeter_ft, h=story.wall_height_ft, p=story.wall_psf),
        ]  # fmt: skip
    return steps, total_lb


def _levels(building: Building, family: CodeFamily) -> tuple[list[Step], tuple[Level, ...]]:
    """Height and weight of each level, the lowest first, with their steps."""
    polygons = [outline("outline_ft", one) for one in outlines_of(building)]
    areas_sf, edges_ft = [float(one.area) for one in polygons], [float(one.length) for one in polygons]
    stories = building.upper_stories
    labels = ["floor", *(story.label for story in stories), "roof"]
    depths_ft = [building.floor_depth_ft, *(story.floor_depth_ft for story in stories), 0.0]
    walls_ft = [building.braced_wall_height_ft, building.story_wall_height_ft, *(s.wall_height_ft for s in stories)]
    steps: list[Step] = []
    levels: list[Level] = []
    height_ft = 0.0
    spread = masses(building, family)
    for number, (label, wall_ft, depth_ft) in enumerate(zip(labels, walls_ft, depths_ft, strict=True)):
        key, below_ft = slug(label), height_ft
        height_ft = below_ft + wall_ft + depth_ft
        area_lb = sum(m.per * areas_sf[m.outline] for m in spread if m.level == number and m.kind == "area")
        walls = [m for m in spread if m.level == number and m.kind == "wall"]
        wall_lb = sum(mass.per * edges_ft[mass.outline] for mass in walls)
        point_lb = sum(point_levels_lb(weight, len(labels))[number] for weight in building.point_weights)
        weight_lb = area_lb + wall_lb + point_lb
        levels.append(Level(label, key, height_ft, weight_lb))
        for mass in walls:
            below = mass.outline < number < len(labels) - 1
            name, where = ("wall_below", " below") if below else ("wall", "")
            steps.append(
                step(f"level_{key}_{name}_plf", f"w_wall {label}{where}", "half of each wall that meets the level",
                     mass.per, "plf", HALF_WALLS)
            )  # fmt: skip
        steps += [
            step(f"level_{key}_ft", f"h_{label}", "h_below + wall + floor depth", height_ft, "ft", MASS,
                 h_below=below_ft, wall=wall_ft, floor_depth=depth_ft),
            step(f"level_{key}_weight_lb", f"w_{label}", "areas + walls + points of the level", weight_lb, "lb", MASS,
                 areas=area_lb, walls=wall_lb, points=point_lb),
        ]  # fmt: skip
    return steps, tuple(levels)
