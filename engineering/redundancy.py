"""The redundancy factor ρ from the bays of the outside walls. Not the demand it multiplies."""

from __future__ import annotations

from engineering.clauses import REDUNDANCY_READ, asce
from engineering.errors import OutOfRange
from engineering.inputs import LINE_OFF_OUTLINE_FT, DemandInputs
from engineering.results import Step
from engineering.steps import step
from engineering.tributary import axis_of

DIRECT_CATEGORIES = ("A", "B", "C")  # redundancy is 1.0 there
LEAST_BAYS = 2.0


def redundancy_factor(inputs: DemandInputs) -> tuple[list[Step], float, list[str]]:
    """ρ with its steps, and a note where 1.3 follows from what was not shown.

    Given by the criteria sheet, or 1.0 in SDC A to C, or 1.0 where the plan is regular and each side has two bays
    (2·length/height) or more in each story, else 1.3. Raises OutOfRange for a story-above wall of an unknown line.
    ASCE 7 12.3.4.
    """
    criteria, building = inputs.criteria, inputs.building
    source = asce(criteria.code_family, "12.3.4.2(b)", REDUNDANCY_READ)
    above = {wall.line: wall.full_height_wall_ft for wall in building.story_above}
    if unknown := sorted(set(above) - {line.label for line in inputs.lines}):
        raise OutOfRange("building.story_above", unknown, "must name wall lines of this house")
    steps: list[Step] = []
    for line in inputs.lines:
        bays = 2 * line.panel_length_ft / building.braced_wall_height_ft
        steps.append(
            step(
                f"rho_bays_{line.label}",
                f"bays, line {line.label}",
                "2·b/h",
                bays,
                "bays",
                source,
                b=line.panel_length_ft,
                h=building.braced_wall_height_ft,
            )
        )
        if line.label in above:
            steps.append(
                step(
                    f"rho_bays_story_above_{line.label}",
                    f"bays above, line {line.label}",
                    "2·b/h",
                    2 * above[line.label] / building.story_wall_height_ft,
                    "bays",
                    source,
                    b=above[line.label],
                    h=building.story_wall_height_ft,
                )
            )
    if criteria.redundancy is not None:
        steps.append(step("rho", "ρ", "as given on the criteria sheet", criteria.redundancy, "-", source))
        return steps, criteria.redundancy, []
    if inputs.hazard.seismic_design_category in DIRECT_CATEGORIES:
        source = asce(criteria.code_family, "12.3.4.1")
        steps.append(step("rho", "ρ", "1.0 in SDC A to C", 1.0, "-", source))
        return steps, 1.0, []
    if short := _short_of_bays(inputs, above):
        steps.append(step("rho", "ρ", "1.3: the conditions are not shown", 1.3, "-", source))
        return steps, 1.3, [f"ρ = 1.3: {short}"]
    expression = "1.0: regular in plan, two bays or more on each side in each story"
    steps.append(step("rho", "ρ", expression, 1.0, "-", source))
    return steps, 1.0, []


def _short_of_bays(inputs: DemandInputs, above: dict[str, float]) -> str:
    """Why the bays rule does not give ρ = 1.0, empty where it does."""
    if not inputs.criteria.regular_in_plan:
        return "the plan is not shown to be regular"
    for axis in ("x", "y"):
        across = 1 if axis == "x" else 0
        running = [line for line in inputs.lines if axis_of(line) == axis]
        if not running:
            return f"no wall line runs along {axis}"
        for edge in {min(line.start_ft[across] for line in running), max(line.start_ft[across] for line in running)}:
            side = [line for line in running if abs(line.start_ft[across] - edge) <= LINE_OFF_OUTLINE_FT]
            names = " and ".join(line.label for line in side)
            if not all(line.label in above for line in side):
                return f"full-height walls of the story above line {names} are not given"
            here = 2 * sum(line.panel_length_ft for line in side) / inputs.building.braced_wall_height_ft
            over = 2 * sum(above[line.label] for line in side) / inputs.building.story_wall_height_ft
            if min(here, over) < LEAST_BAYS:
                return f"fewer than two bays on the side of line {names}"
    return ""
