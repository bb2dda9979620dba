"""The redundancy factor ρ from the bays of the outside walls. Not the demand it multiplies."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from engineering.clauses import REDUNDANCY_READ, asce
from engineering.errors import OutOfRange
from engineering.inputs import LINE_OFF_OUTLINE_FT, DemandInputs
from engineering.results import Step
from engineering.seismic_weight import slug
from engineering.steps import step
from engineering.tributary import AXES, axis_of

DIRECT_CATEGORIES: Final = ("A", "B", "C")  # redundancy is 1.0 there
LEAST_BAYS: Final = 2.0
COUNTED_ABOVE: Final = 0.35  # share of the base shear from which a story's bays count


@dataclass(frozen=True, slots=True)
class _Story:
    """One story: its name in sentences and step keys, its share of the base shear, its walls by line. [ft]"""

    name: str
    key: str
    share: float
    height_ft: float
    walls_ft: dict[str, float]


def redundancy_factor(
    inputs: DemandInputs, shares: Sequence[float], irregularity: str
) -> tuple[list[Step], float, list[str]]:
    """ρ with its steps, and a note where 1.3 follows from what was not shown.

    Given by the criteria sheet, or 1.0 in SDC A to C, or 1.0 where the plan is regular and each side has two bays
    (2·length/height) or more in each story that resists more than 35 % of the base shear, else 1.3. `shares` are the
    stories' shares, the braced walls first; `irregularity` is what the plan itself shows, or empty. Raises OutOfRange
    for a story-above wall of an unknown line. ASCE 7 12.3.4.
    """
    criteria = inputs.criteria
    source = asce(criteria.code_family, "12.3.4.2(b)", REDUNDANCY_READ)
    if unknown := sorted({wall.line for wall in inputs.building.story_above} - {line.label for line in inputs.lines}):
        raise OutOfRange("building.story_above", unknown, "must name wall lines of this house")
    _require_room_for_walls(inputs)
    stories = _stories(inputs, shares)
    steps = [
        step(f"rho_bays{story.key}_{line.label}", f"bays{story.name}, line {line.label}", "2·b/h",
             2 * story.walls_ft[line.label] / story.height_ft, "bays", source,
             b=story.walls_ft[line.label], h=story.height_ft)
        for line in inputs.lines
        for story in stories
        if line.label in story.walls_ft
    ]  # fmt: skip
    if criteria.redundancy is not None:
        steps.append(step("rho", "ρ", "as given on the criteria sheet", criteria.redundancy, "-", source))
        return steps, criteria.redundancy, []
    category = inputs.hazard.seismic_design_category
    if category in DIRECT_CATEGORIES:
        source = asce(criteria.code_family, "12.3.4.1")
        steps.append(step("rho", "ρ", "1.0 in SDC A to C", 1.0, "-", source, SDC=category))
        return steps, 1.0, []
    if short := _short_of_bays(inputs, stories, irregularity):
        steps.append(step("rho", "ρ", "1.3: the conditions are not shown", 1.3, "-", source))
        return steps, 1.3, [f"ρ = 1.3: {short}"]
    expression = "1.0: regular in plan, two bays or more on each side in each story over 35 % of V"
    steps.append(step("rho", "ρ", expression, 1.0, "-", source))
    return steps, 1.0, []


def _require_room_for_walls(inputs: DemandInputs) -> None:
    """Refuse a wall above a line that is longer than both the line and its story's floor in that direction."""
    building, lines = inputs.building, {line.label: line for line in inputs.lines}
    floors_ft = {"": building.floor_outline_ft, **{one.label: one.floor_outline_ft for one in building.upper_stories}}
    for wall in building.story_above:
        along = AXES.index(axis_of(lines[wall.line]))
        places_ft = [point[along] for point in floors_ft[wall.story]]
        room_ft = max(lines[wall.line].length_ft, max(places_ft) - min(places_ft))
        if wall.full_height_wall_ft > room_ft + LINE_OFF_OUTLINE_FT:
            where = f"building.story_above.{wall.line}.full_height_wall_ft"
            raise OutOfRange(where, wall.full_height_wall_ft, f"must not be longer than its side, {room_ft:g} ft")


def _stories(inputs: DemandInputs, shares: Sequence[float]) -> list[_Story]:
    building = inputs.building
    above: dict[str, dict[str, float]] = {"": {}, **{story.label: {} for story in building.upper_stories}}
    for wall in building.story_above:
        above[wall.story][wall.line] = wall.full_height_wall_ft
    braced = {line.label: line.panel_length_ft for line in inputs.lines}
    return [
        _Story("", "", shares[0], building.braced_wall_height_ft, braced),
        _Story(" above", "_story_above", shares[1], building.story_wall_height_ft, above[""]),
        *(
            _Story(f" {story.label}", f"_{slug(story.label)}", share, story.wall_height_ft, above[story.label])
            for story, share in zip(building.upper_stories, shares[2:], strict=True)
        ),
    ]


def _short_of_bays(inputs: DemandInputs, stories: list[_Story], irregularity: str) -> str:
    """Why the bays rule does not give ρ = 1.0, empty where it does."""
    if not inputs.criteria.regular_in_plan:
        return "the plan is not shown to be regular"
    if irregularity:
        return f"the plan is not regular: {irregularity}"
    counted = [story for story in stories if story.share > COUNTED_ABOVE]
    for axis in AXES:
        across = 1 if axis == "x" else 0
        running = [line for line in inputs.lines if axis_of(line) == axis]
        for edge in {min(line.start_ft[across] for line in running), max(line.start_ft[across] for line in running)}:
            side = [line.label for line in running if abs(line.start_ft[across] - edge) <= LINE_OFF_OUTLINE_FT]
            names = " and ".join(side)
            for story in counted:
                where = _where(story)
                if not all(label in story.walls_ft for label in side):
                    return f"full-height walls of {where} line {names} are not given"
                if 2 * sum(story.walls_ft[label] for label in side) / story.height_ft < LEAST_BAYS:
                    return f"fewer than two bays on the side of line {names} in {where}"
    return ""


def _where(story: _Story) -> str:
    """The story in a sentence that goes on with a line's name."""
    if not story.key:
        return "the braced story at"
    return "the story above" if story.name == " above" else f"{story.name.strip()} above"
