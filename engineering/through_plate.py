"""Setting up a screw from below through the top plates into the joist: jig, penetration, edge, out of plumb."""

from __future__ import annotations

from math import atan, ceil, degrees
from typing import Final

from engineering.errors import OutOfRange
from engineering.evaluated import USE_THROUGH_PLATES, Fact, Seat, allowable, report_source
from engineering.fasteners import nail_two_member
from engineering.finishes import require_finish
from engineering.inputs import NOT_OBSERVED, EvaluatedConnector, ThroughPlateInputs
from engineering.lead_holes import pilot_check
from engineering.results import Check, Step
from engineering.sources import Source
from engineering.steps import step

PRACTICE: Final = Source("common practice, no source", "", "through-plate screws", read="common practice")
GEOMETRY: Final = Source("geometry", "", "as measured", read="common practice")

PLACING_ERROR_IN: Final = 1 / 16
PROBE: Final = "probe hole at each end of the line first: the joist must be where the target line says"
NOTHING_STRAIGHT: Final = "nothing straight"
# Below the underside of the plates there must be room for the bit, as long as the hole is deep, and for a right-angle
# drill with its chuck and the jig bar.
JIG_AND_DRILL_IN: Final = 8.0
COUNT_SLACK: Final = 1e-9


def set_up(inputs: ThroughPlateInputs) -> Check:
    """How one screw is set up, and its allowable value. Capacity in lb each.

    Target line = set-back + half the joist; jig bar = twice that, or the nearest bar of the firm's stock with the
    offset it leaves; penetration = length − plates − washer, at least the report's and not through the joist's top;
    edge distance in joist and plates, what is left of it for placing and for drilling out of plumb over the full
    screw length, with and without 1/16 in of placing error; stitch nails a screw. The report's face and
    thickness of wood are the joist's narrow edge and its thickness. Warns where the pilot lies outside the NDS
    lead-hole range. OutOfRange where the screw can't be set: nothing straight to bear on, too little headroom,
    penetration or edge, a report that does not cover it.
    """
    screw = inputs.screw
    steps, warnings = list[Step](), list[str]()
    seat = Seat(faces=("narrow face",), member=Fact("joist_thickness_in", inputs.joist_thickness_in))
    for member in (inputs.plate, inputs.joist):
        value = allowable(
            screw,
            use=USE_THROUGH_PLATES,
            species=member.species,
            calculation_date=inputs.calculation_date,
            load_duration=inputs.load_duration,
            moisture=inputs.moisture,
            seat=seat,
        )
    require_finish("screw.finish", screw.finish, inputs.plate, inputs.joist)
    assert value.capacity is not None
    steps += value.steps
    tolerance_in = _place(inputs, steps, warnings)
    drilled_in = _penetrate(inputs, steps)
    _out_of_plumb(tolerance_in, drilled_in, steps, warnings)
    pilot_steps, outside_range = pilot_check(screw, _stated(screw, "pilot_in"), (inputs.plate, inputs.joist))
    steps += pilot_steps
    warnings += outside_range
    if inputs.stitch_nail is not None:
        lower_in, upper_in = inputs.plates_in
        nail = nail_two_member(
            inputs.stitch_nail,
            inputs.plate,
            lower_in,
            inputs.plate,
            upper_in,
            load_duration=inputs.load_duration,
            moisture=inputs.moisture,
        )
        assert nail.capacity is not None
        count = ceil(value.capacity / nail.capacity - COUNT_SLACK)
        steps.append(
            step(
                "stitch_nails_per_screw",
                "n",
                "screw / nail, rounded up",
                count,
                "nails",
                PRACTICE,
                screw=value.capacity,
                nail=nail.capacity,
            )
        )
    return Check(
        name=f"{screw.name}, through the plates",
        status="recorded",
        capacity=value.capacity,
        unit="lb",
        clause=value.clause,
        steps=tuple(steps),
        notes=(PROBE,),
        warnings=tuple(warnings),
    )


def _place(inputs: ThroughPlateInputs, steps: list[Step], warnings: list[str]) -> float:
    """The target line, the jig on it, and the tolerance that the edge distance leaves."""
    bears_on = inputs.jig_bears_on
    if bears_on == NOT_OBSERVED:
        raise OutOfRange("jig_bears_on", bears_on, "must be observed: what straight face the jig bar bears on")
    if not bears_on.strip() or bears_on.casefold().startswith(NOTHING_STRAIGHT):
        raise OutOfRange("jig_bears_on", bears_on, "must be a straight face: the jig bar has nothing to bear on")
    minimum_edge_in = _stated(inputs.screw, "minimum_edge_in")
    half_in = inputs.joist_thickness_in / 2
    target_in = inputs.set_back_in + half_in
    needed_in = 2 * target_in
    bar_in = min(inputs.bar_stock_in, key=lambda stock_in: abs(stock_in - needed_in), default=needed_in)
    offset_in = abs(bar_in / 2 - target_in)
    edge_in = half_in - offset_in
    tolerance_in = edge_in - minimum_edge_in
    steps += [
        step(
            "target_from_plate_edge_in",
            "target",
            "set-back + joist/2",
            target_in,
            "in",
            GEOMETRY,
            set_back=inputs.set_back_in,
            joist=inputs.joist_thickness_in,
        ),
        step("jig_bar_needed_in", "bar needed", "2·target", needed_in, "in", PRACTICE, target=target_in),
        step(
            "jig_bar_diameter_in",
            "bar",
            "nearest in stock" if inputs.bar_stock_in else "turned to size",
            bar_in,
            "in",
            PRACTICE,
            needed=needed_in,
        ),
        step("jig_offset_in", "offset", "bar/2 − target", offset_in, "in", GEOMETRY, bar=bar_in, target=target_in),
        step("jig_hole_in", "jig hole", "pilot", _stated(inputs.screw, "pilot_in"), "in", report_source(inputs.screw)),
        step(
            "edge_distance_in",
            "edge",
            "joist/2 − offset",
            edge_in,
            "in",
            GEOMETRY,
            joist=inputs.joist_thickness_in,
            offset=offset_in,
        ),
        step(
            "placing_tolerance_in",
            "tolerance",
            "edge − least edge",
            tolerance_in,
            "in",
            report_source(inputs.screw),
            edge=edge_in,
            least_edge=minimum_edge_in,
        ),
    ]
    if half_in < minimum_edge_in - COUNT_SLACK:
        allowed = f"must be at least {2 * minimum_edge_in:g} in: {minimum_edge_in:g} in to each edge"
        raise OutOfRange("joist_thickness_in", inputs.joist_thickness_in, allowed)
    if tolerance_in < -COUNT_SLACK:
        allowed = f"must hold a bar near {needed_in:g} in: the nearest leaves {edge_in:.3f} in to the joist's edge"
        raise OutOfRange("bar_stock_in", inputs.bar_stock_in, allowed)
    _keep_plate_edges(inputs, bar_in / 2, minimum_edge_in, steps)
    if offset_in > COUNT_SLACK:
        warnings.append(f"jig bar {bar_in:g} in from stock, {needed_in:g} in needed: target off by {offset_in:.3f} in")
    return tolerance_in


def _keep_plate_edges(inputs: ThroughPlateInputs, hole_in: float, minimum_edge_in: float, steps: list[Step]) -> None:
    """The hole `hole_in` from the plates' outer edge keeps the least edge distance in each plate as well."""
    for number, width_in in enumerate(inputs.plate_widths_in):
        plate, edge_in = ("lower", "upper")[number], min(hole_in, width_in - hole_in)
        steps.append(
            step(f"{plate}_plate_edge_in", "edge", "min(bar/2, width − bar/2)", edge_in, "in", GEOMETRY,
                 bar=2 * hole_in, width=width_in)
        )  # fmt: skip
        if edge_in < minimum_edge_in - COUNT_SLACK:
            allowed = f"must leave {minimum_edge_in:g} in of the {width_in:g} in {plate} plate beyond the middle"
            raise OutOfRange("set_back_in", inputs.set_back_in, allowed)


def _penetrate(inputs: ThroughPlateInputs, steps: list[Step]) -> float:
    """Penetration into the joist and the depth drilled from under the lower plate; headroom for both."""
    screw = inputs.screw
    length_in, least_in = _stated(screw, "length_in"), _stated(screw, "minimum_penetration_in")
    plates_in = sum(inputs.plates_in)
    penetration_in = length_in - plates_in - screw.washer_in
    drilled_in = length_in - screw.washer_in
    if penetration_in < least_in - COUNT_SLACK:
        raise OutOfRange(
            "screw.length_in",
            length_in,
            f"must be at least {least_in + plates_in + screw.washer_in:g} in: {least_in:g} in into the joist",
        )
    if penetration_in >= inputs.joist_depth_in:
        raise OutOfRange(
            "screw.length_in",
            length_in,
            f"must be less than {length_in - penetration_in + inputs.joist_depth_in:g} in: not through the joist's top",
        )
    steps.append(
        step(
            "penetration_in",
            "p",
            "L − plates − washer",
            penetration_in,
            "in",
            GEOMETRY,
            L=length_in,
            plates=plates_in,
            washer=screw.washer_in,
        )
    )
    steps.append(
        step(
            "penetration_ok",
            "p",
            "p ≥ least, and less than the joist's depth",
            True,
            "-",
            report_source(screw),
            p=penetration_in,
            least=least_in,
            depth=inputs.joist_depth_in,
        )
    )
    steps.append(
        step("drilled_depth_in", "depth", "L − washer", drilled_in, "in", GEOMETRY, L=length_in, washer=screw.washer_in)
    )
    needed_in = drilled_in + JIG_AND_DRILL_IN
    steps.append(
        step(
            "headroom_needed_in",
            "headroom",
            "depth + jig and drill",
            needed_in,
            "in",
            PRACTICE,
            depth=drilled_in,
            jig_and_drill=JIG_AND_DRILL_IN,
        )
    )
    if inputs.headroom_in == NOT_OBSERVED:
        raise OutOfRange("headroom_in", NOT_OBSERVED, f"must be observed: at least {needed_in:g} in under the plates")
    if inputs.headroom_in < needed_in:
        raise OutOfRange("headroom_in", inputs.headroom_in, f"must be at least {needed_in:g} in for bit, jig and drill")
    return drilled_in


def _out_of_plumb(tolerance_in: float, drilled_in: float, steps: list[Step], warnings: list[str]) -> None:
    """How far the tip may drift over the drilled depth, set on the line and set 1/16 in off it."""
    for suffix, text, left_in in (
        ("", "tolerance", tolerance_in),
        ("_if_placed_1_16_off", "tolerance − 1/16", tolerance_in - PLACING_ERROR_IN),
    ):
        if left_in < -COUNT_SLACK:
            warnings.append(f"the edge distance leaves {tolerance_in:.3f} in: it can't be placed 1/16 in off")
            text, left_in = f"{text} is less than 0: none", 0.0
        degrees_off = degrees(atan(left_in / drilled_in))
        steps.append(
            step(f"max_off_in{suffix}", "off", f"{text}, over the drilled depth", left_in, "in", PRACTICE,
                 tolerance=tolerance_in, depth=drilled_in)
        )  # fmt: skip
        steps.append(
            step(
                f"max_out_of_plumb_deg{suffix}",
                "out of plumb",
                "atan(off / depth)",
                degrees_off,
                "deg",
                GEOMETRY,
                off=left_in,
                depth=drilled_in,
            )
        )


def _stated(screw: EvaluatedConnector, field: str) -> float:
    value: float | None = getattr(screw, field)
    if value is None:
        raise OutOfRange(f"screw.{field}", None, "must be given, as printed in the evaluation report")
    return value
