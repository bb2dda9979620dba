"""Link 2, upper to lower top plate: stitch nails by demand and beside each connector that passes both plates."""

from __future__ import annotations

from dataclasses import replace

from engineering.clauses import convention
from engineering.connector_values import LineContext
from engineering.errors import OutOfRange
from engineering.inputs import NOT_OBSERVED
from engineering.layout import Keep, even_positions, place
from engineering.link_checks import (
    LINK_NAMES,
    count_for,
    open_link,
    outside_chain,
    reason_of,
    shortfall,
    value_step,
    weighed,
)
from engineering.plate_connectors import THROUGH_METHODS, Method, plate_keeps, uneven
from engineering.results import LinkResult, Step
from engineering.schedule import ScheduleItem
from engineering.steps import step

ROLE = "stitch nails"
# Nails beside a connector, alternating to its two sides; clear of studs for the hammer ("common practice, no source").
BESIDE_IN = 1.5
STUD_CLEAR_IN = 0.75
APART_IN = 1.25
END_CLEAR_IN = 2.5
# Why the link is not in the chain, by the number of top plates.
OUTSIDE = ("the joists bear on the sill", "one top plate", "the panel's top nails reach the upper plate")


def in_chain(context: LineContext) -> bool:
    """Whether the force must pass from plate to plate: two plates, and the panel's top nails end in the lower one.

    Not observed counts as the lower plate, printed as an assumption.
    """
    framing = context.line.framing
    return len(framing.plates_in) == 2 and framing.top_nails_reach != "upper plate"


def per_connector(method: Method | None, nail_lb: float) -> int:
    """Stitch nails beside each connector through both plates: its value over the nail's, rounded up; else none."""
    if method is None or method.name not in THROUGH_METHODS:
        return 0
    return count_for(method.each_lb / nail_lb)


def proposed_rows(
    context: LineContext, floor_rows: tuple[ScheduleItem, ...], method: Method | None
) -> tuple[ScheduleItem, ...]:
    """Stitch nails beside each connector, or evenly by demand where the connectors don't pass both plates."""
    key = context.line.methods.stitch_nail
    if not in_chain(context) or not key:
        return ()
    try:
        nail_lb = context.values.plate_to_plate(context.line, key).capacity
    except OutOfRange:
        return ()
    assert nail_lb is not None
    each, connectors = per_connector(method, nail_lb), sum(row.count for row in floor_rows)
    by_demand = count_for(context.demand.demand_lb / nail_lb)
    count = max(each * connectors, by_demand)
    length_in = 12 * context.demand.length_ft
    connectors_in = [at for row in floor_rows for at in row.positions_in]
    beside = [Keep(at, at, APART_IN, f"{APART_IN:g} in from a connector") for at in connectors_in]
    if each:
        targets = [
            at + BESIDE_IN * (index // 2 + 1) * (1 if index % 2 else -1)
            for at in connectors_in
            for index in range(each)
        ]
        note = f"{each} beside each connector"
    else:
        targets, note = list(even_positions(count, 0.0, length_in)), "evenly over the line"
    return (
        ScheduleItem(
            link="2",
            role=ROLE,
            connector=key,
            count=count,
            spacing_in=length_in / count,
            positions_in=place(
                targets,
                from_in=END_CLEAR_IN,
                to_in=length_in - END_CLEAR_IN,
                keeps=[*plate_keeps(context, STUD_CLEAR_IN), *beside],
                apart_in=APART_IN,
                what=f"lines.{context.line.label}.stitch_nails",
            ),
            note=note,
        ),
    )


def check(
    context: LineContext, rows: tuple[ScheduleItem, ...], floor_rows: tuple[ScheduleItem, ...], method: Method | None
) -> LinkResult:
    """Link 2 from the stitch nails as they stand. [lb] Out of the chain where the top nails reach the upper plate."""
    name, demand_lb, line = LINK_NAMES["2"], context.demand.demand_lb, context.line
    passes = in_chain(context)
    reach = line.framing.top_nails_reach
    rule = convention(8, "no credit for the screw between the plates")
    steps: list[Step] = [
        step("in_chain", "in the chain", f"two plates, top nails reach: {reach}", passes, "-", rule),
    ]
    if not passes:
        why = OUTSIDE[len(line.framing.plates_in)]
        return LinkResult(link="2", name=name, check=outside_chain(name, why, steps=tuple(steps)))
    count = sum(row.count for row in rows)
    if count == 0:
        return LinkResult(link="2", name=name, check=open_link(name, demand_lb, steps=tuple(steps)))
    try:
        values = [context.values.plate_to_plate(line, row.connector) for row in rows]
    except OutOfRange as error:
        reason = f"stitch nails can't be used here ({reason_of(error)})"
        return LinkResult(link="2", name=name, check=open_link(name, demand_lb, reason, steps=tuple(steps)))
    value = min(values, key=lambda one: one.capacity or 0.0)
    assert value.capacity is not None
    nail_lb, by_demand = value.capacity, count_for(demand_lb / value.capacity)
    each = per_connector(method, nail_lb)
    connectors = sum(row.count for row in floor_rows)
    steps += [
        step("demand_lb", "V", "story shear of the line", demand_lb, "lb", rule),
        value_step("each_lb", value),
        step("nails_by_demand", "n_V", "V/Z', rounded up", by_demand, "nails", rule, V=demand_lb, Z=nail_lb),
    ]
    if each:
        steps.append(
            step("nails_beside_connectors", "n_c", "(connector/Z', rounded up)·connectors", each * connectors, "nails",
                 rule, connector=method.each_lb if method else 0.0, Z=nail_lb, connectors=connectors)
        )  # fmt: skip
    steps.append(step("nails_scheduled", "n", "stitch nails", count, "nails", rule))
    capacity_lb = count * nail_lb
    steps.append(step("capacity_lb", "capacity", "n·Z'", capacity_lb, "lb", rule, n=count, Z=nail_lb))
    fewer = each * connectors - count
    notes = (f"{fewer} fewer than beside each connector",) if fewer > 0 else ()
    if reach == NOT_OBSERVED:
        notes = (*notes, "taken as in the chain: where the top nails end was not observed")
    gaps = uneven(context, rows)
    checked = weighed(
        name,
        demand_lb,
        capacity_lb,
        clause=value.clause,
        steps=tuple(steps),
        notes=notes,
        warnings=(*shortfall(by_demand - count, "stitch nails"), *gaps),
    )
    if gaps:  # enough of them, but crowded
        checked = replace(checked, status="over")
    return LinkResult(link="2", name=name, check=checked)
