"""Holes and lead holes by specific gravity (NDS 12.1.3 to 12.1.6): what may be drilled for a fastener in wood."""

from __future__ import annotations

from typing import Final

from engineering.dowel_bearing import root_diameter_in
from engineering.evaluated import report_source
from engineering.inputs import DowelInputs, EvaluatedConnector, Member
from engineering.results import Step
from engineering.sources import Source
from engineering.steps import step

NDS_BOLT_HOLE: Final = Source("AWC NDS", "2018", "12.1.3.2 (bolt holes)")
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


def lead_holes(inputs: DowelInputs) -> tuple[Step, ...]:
    """What may be drilled for this fastener in wood, as steps. [in] NDS 12.1.3 to 12.1.6.

    Bolt: 1/32 to 1/16 in over D. Lag screw: D for the shank, the range of the main member for the thread. Wood screw:
    shank and root, or 7/8 of them up to G = 0.6. Nail: no more than 0.75 D, 0.9 D where every wood is above G = 0.6.
    """
    d, main_g = inputs.diameter_in, inputs.main_specific_gravity
    if inputs.fastener == "bolt":
        return (
            step("hole_min_in", "hole, least", "D + 1/32", d + 1 / 32, "in", NDS_BOLT_HOLE, D=d),
            step("hole_max_in", "hole, most", "D + 1/16", d + 1 / 16, "in", NDS_BOLT_HOLE, D=d),
        )
    if inputs.fastener == "nail":
        softest = min((g for g in (main_g, inputs.side_specific_gravity) if g is not None), default=0.0)
        part = 0.90 if softest > DENSE else 0.75
        return (step("lead_hole_max_in", "hole, most", f"{part:.2f}·D", part * d, "in", NDS_NAIL_HOLE, D=d, G=softest),)
    if main_g is None:  # tapped steel
        return ()
    if inputs.fastener == "lag screw":
        low, high = lag_thread_range(main_g)
        lag = NDS_LAG_HOLE
        return (
            step("lead_hole_shank_in", "shank hole", "D, as deep as the shank is long", d, "in", lag, D=d),
            step("lead_hole_thread_min_in", "thread hole, least", f"{low:.2f}·D", low * d, "in", lag, D=d, G=main_g),
            step("lead_hole_thread_max_in", "thread hole, most", f"{high:.2f}·D", high * d, "in", lag, D=d, G=main_g),
        )
    part, written = (1.0, "") if main_g > DENSE else (7 / 8, "7/8·")
    root_in = root_diameter_in(inputs)
    screw = NDS_WOOD_SCREW_HOLE
    return (
        step("lead_hole_shank_in", "shank hole", f"about {written}D", part * d, "in", screw, D=d, G=main_g),
        step("lead_hole_thread_in", "thread hole", f"about {written}Dr", part * root_in, "in", screw, Dr=root_in,
             G=main_g),
    )  # fmt: skip


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
