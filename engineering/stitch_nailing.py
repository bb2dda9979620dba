"""Link 2, upper to lower top plate: stitch nails by demand and beside each connector that passes both plates."""

from __future__ import annotations

from dataclasses import replace

from engineering import plate_connectors
from engineering.clauses import convention
from engineering.connector_values import LineContext
from engineering.errors import OutOfRange
from engineering.floor_edges import Method
from engineering.floor_methods import THROUGH_METHODS
from engineering.inputs import NOT_OBSERVED, WallLine
from engineering.layout import even_positions, place
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
from engineering.panel_shares import panel_height_ft
from engineering.plate_layout import (
    STITCH_APART_IN,
    STITCH_END_CLEAR_IN,
    STITCH_ROLE,
    STITCH_STUD_CLEAR_IN,
    connector_keeps,
    holding,
    misplaced_stitches,
    plate_keeps,
    uneven,
)
from engineering.results import LinkResult, MethodOption, Step
from engineering.schedule import ScheduleItem
from engineering.steps import step

ROLE = STITCH_ROLE
# Nails beside a connector, alternating to its two sides ("common practice, no source").
BESIDE_IN = 1.5
NAILS, DRIVE_UP = "stitch nails", "the panel's top nails driven into the upper plate"
SHEET_IN = 96.0  # the longest piece of sheathing in one, sill to upper plate
# Sheathing nails keep 3/8 in to the sheet's edge and as much to the plate's.
NAIL_EDGE_IN = 3 / 8
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
    each, count = _needed(context, floor_rows, method, nail_lb)
    note = "evenly over the line"
    if each:
        beside = any(row.positions_in for row in floor_rows)
        note = f"{each} beside each connector" if beside else f"{each} for each connector, evenly over the line"
    asked = ("stitch places", each, count, floor_rows)
    return (
        ScheduleItem(
            link="2",
            role=ROLE,
            connector=key,
            count=count,
            spacing_in=12 * context.length_ft / count,
            positions_in=context.surveyed(asked, lambda bare: _places(bare, each, count, floor_rows)),
            note=note,
        ),
    )


def _places(context: LineContext, each: int, count: int, floor_rows: tuple[ScheduleItem, ...]) -> tuple[float, ...]:
    """As many beside each connector as asked, any more evenly over the line; all evenly without connectors. [in]"""
    length_in = 12 * context.length_ft
    connectors_in = [at for row in floor_rows for at in row.positions_in]
    targets = [
        at + BESIDE_IN * (index // 2 + 1) * (1 if index % 2 else -1) for at in connectors_in for index in range(each)
    ]
    targets += even_positions(count - len(targets), 0.0, length_in) if count > len(targets) else ()
    return place(
        targets,
        from_in=STITCH_END_CLEAR_IN,
        to_in=length_in - STITCH_END_CLEAR_IN,
        keeps=plate_keeps(context, STITCH_STUD_CLEAR_IN),
        besides=connector_keeps(context, floor_rows),
        apart_in=STITCH_APART_IN,
        what=f"lines.{context.line.label}.stitch_nails",
    )


def _needed(
    context: LineContext, floor_rows: tuple[ScheduleItem, ...], method: Method | None, nail_lb: float
) -> tuple[int, int]:
    """Nails beside each connector, and in all: by demand or beside the connectors, whichever is more."""
    each = per_connector(method, nail_lb)
    return each, max(each * sum(row.count for row in floor_rows), count_for(context.demand.demand_lb / nail_lb))


def options(context: LineContext) -> tuple[MethodOption, ...]:
    """Stitch nails, and driving the panel's top nails into the upper plate, which removes the link (convention 8).

    Nails are counted beside the connectors that are proposed. Nothing where the link is not in the chain. [lb]
    """
    if not in_chain(context):
        return ()
    driven = _why_not_driven(context)
    up = MethodOption(
        link="2", method=DRIVE_UP, connector="", feasible=not driven, reason=driven, count=None if driven else 0,
        each_lb=None, ratio=None, opens_ceiling=bool(context.line.framing.ceiling_finish),
    )  # fmt: skip
    key = context.line.methods.stitch_nail
    return (*((_nails_option(context, key),) if key else ()), up)


def _nails_option(context: LineContext, key: str) -> MethodOption:
    try:
        nail_lb = context.values.plate_to_plate(context.line, key).capacity
    except OutOfRange as error:
        return MethodOption(
            link="2", method=NAILS, connector=key, feasible=False, reason=reason_of(error), count=None, each_lb=None,
            ratio=None, opens_ceiling=False,
        )  # fmt: skip
    assert nail_lb is not None
    floor_rows = plate_connectors.proposed_rows(context)
    method = plate_connectors.row_method(context, floor_rows[0]) if floor_rows else None
    _, count = _needed(context, floor_rows, method, nail_lb)
    ratio = context.demand.demand_lb / (count * nail_lb)
    return MethodOption(
        link="2", method=NAILS, connector=key, feasible=True, reason="", count=count, each_lb=nail_lb, ratio=ratio,
        opens_ceiling=False,
    )  # fmt: skip


def _why_not_driven(context: LineContext) -> str:
    """Why the panel's top row can't be driven into the upper plate: the sheet must reach it in one piece."""
    return context.surveyed("why not driven", lambda bare: _no_reach(bare.line))


def _no_reach(line: WallLine) -> str:
    upper_in = line.framing.plates_in[-1]
    if not line.panels:
        return "no panel stands on this line"
    if upper_in < 2 * NAIL_EDGE_IN:
        return f"upper plate of {upper_in:g} in: less than {2 * NAIL_EDGE_IN:g} in for the nails' edge distances"
    tallest_ft = max(panel_height_ft(line, span) for span in line.panels)
    reach_in = 12 * tallest_ft - upper_in + 2 * NAIL_EDGE_IN
    if reach_in > SHEET_IN + 1e-9:
        return f"sill to upper plate is {reach_in:g} in: more than a sheet of {SHEET_IN:g} in reaches"
    return ""


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
    count = sum(holding(context, row) for row in rows)
    lost = sum(row.count for row in rows) - count
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
        warnings=(
            *shortfall(by_demand - count, "stitch nails"),
            *((f"{lost} stitch nails at a joint or end of a plate hold nothing",) if lost else ()),
            *misplaced_stitches(context, rows, floor_rows),
            *gaps,
        ),
    )
    if gaps:  # enough of them, but crowded
        checked = replace(checked, status="over")
    return LinkResult(link="2", name=name, check=checked)
