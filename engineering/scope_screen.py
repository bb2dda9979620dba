"""Whether the house is of a kind that this calculation is made for, and what follows where it is not. Not the lines.

Each answer is the survey's; what the wall lines show (ground slope, foundation, wall height) is set beside it.
"""

from __future__ import annotations

from typing import Final

from engineering.errors import OutOfRange
from engineering.inputs import NOT_OBSERVED, HouseInputs, ScopeAnswer, ScopeScreen, Segment, WallLine
from engineering.results import Check, Step
from engineering.sources import Source
from engineering.steps import step

STEEPEST_SLOPE: Final = 1 / 3  # rise over run; steeper is a hillside
TALLEST_PRESCRIPTIVE_FT: Final = 4.0
NEAR: Final = 1e-9

SURVEY: Final = Source("Survey", "", "scope screen", "common practice")
SLOPE_LIMIT: Final = Source(
    "City of Portland",
    "",
    "Residential Seismic Strengthening, ground not over 3:1",
    "https://www.portland.gov/ppd/residential-permitting/home-projects/residential-seismic-strengthening",
)
HEIGHT_LIMIT: Final = Source(
    "IEBC Appendix A3",
    "",
    "cripple walls not over 4 ft",
    "https://www.ceabracebolt.com/Content/TheRetrofit",
)

NAMES: Final = {
    "hillside": "hillside",
    "open_front": "open front under living space",
    "masonry_or_partial_foundation": "masonry or partial foundation",
    "split_level": "split level",
    "cantilever": "cantilever",
    "tall_veneer": "tall veneer",
    "balloon_framing": "balloon framing",
}
# Without the engineer's named mode these give no line result; why, in the words of the refusal.
NEEDS_MODE: Final = {
    "hillside": "ground steeper than 3:1, or a floor held uphill only, sends most of the force to the uphill"
    " foundation, not to the lines by their strips",
    "open_front": "an open front sends its force round through the floor to the other lines and twists the house",
}
CONSEQUENCES: Final = {
    "masonry_or_partial_foundation": "the engineer's route; sill anchors are infeasible in masonry, a partial"
    " foundation or posts: the foundation comes first",
    "split_level": "closes the prescriptive route; the floors are computed as one diaphragm here, so the engineer must"
    " show how the two levels are tied",
    "cantilever": "the mass of a floor beyond its wall lines goes to them by its strips; what holds it up and the line"
    " under its edge are for the engineer",
    "tall_veneer": "closes the prescriptive route from 4 ft above the foundation; its weight must be in the wall's unit"
    " weight, its ties are not checked here",
    "balloon_framing": "studs run past the floor: there may be no top plate for links 1 and 2, and no platform for the"
    " panel's top edge; the engineer shows what link 1 stands on",
}


def screen(inputs: HouseInputs) -> Check:
    """Result and reason of each question of the scope screen, with what follows for this calculation.

    Status: "recorded" where every question was answered, "not observed" where one was not (the notes say which).
    Hillside and open front give no line result without the engineer's named mode (`criteria.mode`): OutOfRange with
    the field scope.hillside or scope.open_front. Ground steeper than 3:1 at a segment is a hillside, whatever the
    answer. The others are warnings that name the consequence.
    """
    steepest, tallest = _steepest(inputs.lines), _tallest(inputs.lines)
    answers: dict[str, ScopeAnswer] = {name: getattr(inputs.scope, name) for name in NAMES}
    mode = inputs.criteria.mode.strip()
    if not mode:
        _require_no_mode_needed(answers, steepest)
    warnings, notes = [], []
    for name, answer in answers.items():
        reason = f" ({answer.reason})" if answer.reason else ""
        if answer.answer == "no":
            notes.append(f"{NAMES[name]}: no{reason}")
        elif answer.answer == "yes" and name in CONSEQUENCES:
            warnings.append(f"{NAMES[name]}{reason}: {CONSEQUENCES[name]}")
    if mode and (_is_hillside(answers["hillside"], steepest) or answers["open_front"].answer == "yes"):
        warnings.append(f"computed in the engineer's mode: {mode}")
    warnings += _contradictions(inputs, answers)
    if steepest is not None and steepest[0] > STEEPEST_SLOPE + NEAR:
        closed = "closes the prescriptive route: ground steeper than 3:1"
        warnings.append(f"{steepest[1]}: slope {steepest[0]:.3g}, {closed}")
    if tallest is not None and tallest[0] > TALLEST_PRESCRIPTIVE_FT + NEAR:
        closed = "closes the prescriptive route: cripple wall over 4 ft"
        warnings.append(f"{tallest[1]}: {tallest[0]:.4g} ft, {closed}")
    if open_questions := unseen(inputs.scope):
        notes.append(f"not observed: {', '.join(open_questions)}; the calculation takes each as absent")
    return Check(
        name="scope screen",
        status="not observed" if open_questions else "recorded",
        unit="-",
        clause="scope screen",
        steps=tuple(_steps(answers, steepest, tallest)),
        notes=tuple(notes),
        warnings=tuple(warnings),
    )


def unseen(scope: ScopeScreen) -> list[str]:
    """The questions that nobody could answer, in words."""
    return [words for name, words in NAMES.items() if getattr(scope, name).answer == NOT_OBSERVED]


def _require_no_mode_needed(answers: dict[str, ScopeAnswer], steepest: tuple[float, str] | None) -> None:
    what_to_do = "needs the engineer's named mode (criteria.mode), which says how the force is brought to the lines"
    hillside = answers["hillside"]
    if _is_hillside(hillside, steepest):
        given: object = hillside.answer
        if hillside.value is not None and hillside.value > STEEPEST_SLOPE + NEAR:
            given = hillside.value
        elif hillside.answer != "yes" and steepest is not None:
            given = f"slope {steepest[0]:.3g} at {steepest[1]}"
        raise OutOfRange("scope.hillside", given, f"{what_to_do}: {NEEDS_MODE['hillside']}")
    if answers["open_front"].answer == "yes":
        raise OutOfRange("scope.open_front", "yes", f"{what_to_do}: {NEEDS_MODE['open_front']}")


def _is_hillside(answer: ScopeAnswer, steepest: tuple[float, str] | None) -> bool:
    if answer.answer == "yes" or (answer.value is not None and answer.value > STEEPEST_SLOPE + NEAR):
        return True
    return steepest is not None and steepest[0] > STEEPEST_SLOPE + NEAR


def _contradictions(inputs: HouseInputs, answers: dict[str, ScopeAnswer]) -> list[str]:
    """The foundations as surveyed on the lines against the answer about the house."""
    if answers["masonry_or_partial_foundation"].answer == "yes":
        return []
    other = [line for line in inputs.lines if line.foundation.material != "concrete"]
    return [
        f"line {line.label} stands on {_foundation(line)}, the scope screen does not say so: "
        f"{CONSEQUENCES['masonry_or_partial_foundation']}"
        for line in other
    ]


def _foundation(line: WallLine) -> str:
    return "a partial foundation" if line.foundation.material == "partial" else line.foundation.material


def _steepest(lines: tuple[WallLine, ...]) -> tuple[float, str] | None:
    """The steepest ground that was measured at a segment, and where; None where nobody measured any."""
    seen = [
        (segment.ground_slope, _where(line, number))
        for line in lines
        for number, segment in enumerate(line.segments, start=1)
        if segment.ground_slope != NOT_OBSERVED
    ]
    return max(seen, default=None)


def _tallest(lines: tuple[WallLine, ...]) -> tuple[float, str] | None:
    """The tallest cripple wall, and where; None where there is none."""
    seen = [
        (_height_ft(line, segment), _where(line, number))
        for line in lines
        for number, segment in enumerate(line.segments, start=1)
        if segment.kind == "cripple wall"
    ]
    return max(seen, default=None)


def _height_ft(line: WallLine, segment: Segment) -> float:
    """From the bottom of the sill to the top of the upper plate, at the taller end."""
    plates_in = sum(line.framing.plates_in) + line.framing.sill_thickness_in
    return max(segment.stud_height_ft, segment.far_stud_height_ft or 0.0) + plates_in / 12


def _where(line: WallLine, number: int) -> str:
    return f"line {line.label}, segment {number}"


def _steps(
    answers: dict[str, ScopeAnswer], steepest: tuple[float, str] | None, tallest: tuple[float, str] | None
) -> list[Step]:
    steps = []
    for name, answer in answers.items():
        more = {} if answer.value is None else {"value": answer.value}
        expression = answer.reason or ("not observed" if answer.answer == NOT_OBSERVED else "as surveyed")
        steps.append(step(name, NAMES[name], expression, answer.answer, "-", SURVEY, **more))
    if steepest is not None:
        slope, where = steepest
        expression = "steepest ground at a segment, limit 1/3"
        steps.append(step("ground_slope", "rise/run", expression, slope, "-", SLOPE_LIMIT, where=where))
    if tallest is not None:
        height_ft, where = tallest
        expression = "tallest cripple wall, sill to upper plate, prescriptive limit 4 ft"
        steps.append(step("cripple_wall_ft", "h", expression, height_ft, "ft", HEIGHT_LIMIT, where=where))
    return steps
