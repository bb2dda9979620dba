"""Lead holes by specific gravity (NDS 12.1.4 to 12.1.6): what may be drilled for a lag screw, wood screw or nail."""

from __future__ import annotations

from typing import Final

from engineering.evaluated import report_source
from engineering.inputs import EvaluatedConnector, Member
from engineering.results import Step
from engineering.sources import Source
from engineering.steps import step

NDS_LAG_HOLE: Final = Source("AWC NDS", "2018", "12.1.4 (lag screw lead holes)")
NDS_WOOD_SCREW_HOLE: Final = Source("AWC NDS", "2018", "12.1.5 (wood screw lead holes)")
NDS_NAIL_HOLE: Final = Source("AWC NDS", "2018", "12.1.6 (nail lead holes)")

DENSE: Final = 0.6
MEDIUM: Final = 0.5
SLACK: Final = 1e-9


def lag_thread_range(specific_gravity: float) -> tuple[float, float]:
    """Least and greatest lead hole for the thread of a lag screw, as parts of its diameter. NDS 12.1.4.2."""
    if specific_gravity > DENSE:
        return 0.65, 0.85
    if specific_gravity > MEDIUM:
        return 0.60, 0.75
    return 0.40, 0.70


def lag_lead_holes(diameter_in: float, specific_gravity: float) -> tuple[Step, ...]:
    """Lead holes of a lag screw: the shank's full diameter, the range for its thread. [in] NDS 12.1.4.2."""
    low, high = lag_thread_range(specific_gravity)
    given = {"D": diameter_in, "G": specific_gravity}
    return (
        step("lead_hole_shank_in", "shank hole", "D, as deep as the shank is long", diameter_in, "in", NDS_LAG_HOLE,
             D=diameter_in),
        step("lead_hole_thread_min_in", "thread hole, least", f"{low:.2f}·D", low * diameter_in, "in", NDS_LAG_HOLE,
             **given),
        step("lead_hole_thread_max_in", "thread hole, most", f"{high:.2f}·D", high * diameter_in, "in", NDS_LAG_HOLE,
             **given),
    )  # fmt: skip


def wood_screw_lead_holes(diameter_in: float, root_diameter_in: float, specific_gravity: float) -> tuple[Step, ...]:
    """Lead holes of a laterally loaded wood screw: shank and root, or 7/8 of them up to G = 0.6. [in] NDS 12.1.5.2."""
    part, written = (1.0, "") if specific_gravity > DENSE else (7 / 8, "7/8·")
    return (
        step("lead_hole_shank_in", "shank hole", f"about {written}D", part * diameter_in, "in", NDS_WOOD_SCREW_HOLE,
             D=diameter_in, G=specific_gravity),
        step("lead_hole_thread_in", "thread hole", f"about {written}Dr", part * root_diameter_in, "in",
             NDS_WOOD_SCREW_HOLE, Dr=root_diameter_in, G=specific_gravity),
    )  # fmt: skip


def nail_lead_hole(diameter_in: float, specific_gravity: float) -> Step:
    """Largest hole that may be bored for a nail: 0.9 D above G = 0.6, else 0.75 D. [in] NDS 12.1.6.3."""
    part = 0.90 if specific_gravity > DENSE else 0.75
    return step("lead_hole_max_in", "nail hole, most", f"{part:.2f}·D", part * diameter_in, "in", NDS_NAIL_HOLE,
                D=diameter_in, G=specific_gravity)  # fmt: skip


def pilot_check(
    screw: EvaluatedConnector, pilot_in: float, members: tuple[Member, ...]
) -> tuple[tuple[Step, ...], tuple[str, ...]]:
    """A screw's pilot hole by its report beside the lag screw range of the densest member: steps and warnings.

    The report's pilot stands; where it lies outside the range of the NDS a warning names both. [in] NDS 12.1.4.2.
    """
    gravity = max(member.specific_gravity for member in members)
    low, high = lag_thread_range(gravity)
    diameter_in = screw.diameter_in
    part = pilot_in / diameter_in
    inside = low - SLACK <= part <= high + SLACK
    steps = (
        step("pilot_over_D", "pilot/D", "pilot/D", part, "-", report_source(screw), pilot=pilot_in, D=diameter_in),
        step("pilot_in_NDS_range", "pilot in range", f"{low:.2f} to {high:.2f} D for G = {gravity:g}", inside, "-",
             NDS_LAG_HOLE, G=gravity, pilot_over_D=part),
    )  # fmt: skip
    if inside:
        return steps, ()
    warning = (
        f"pilot {pilot_in:g} in by {screw.report} is {part:.2f} D; NDS lead holes for G = {gravity:g} are "
        f"{low:.2f} to {high:.2f} D, {low * diameter_in:.3f} to {high * diameter_in:.3f} in"
    )
    return steps, (warning,)
