"""Link 1, floor to top plate: how many each way takes, the row proposed and the rows checked. Not what one carries."""

from __future__ import annotations

from dataclasses import dataclass, replace

from engineering import blocking
from engineering.clauses import TOENAIL_LIMIT, convention
from engineering.connector_values import FloorForce, LineContext
from engineering.errors import OutOfRange
from engineering.floor_edges import Method, in_blocks
from engineering.floor_methods import (
    BLOCKING,
    SCREWS,
    THROUGH_METHODS,
    TOENAILS,
    Choice,
    choices,
    method,
    method_name,
    opens_ceiling,
    opens_outside,
    pinned,
    require_allowed,
)
from engineering.link_checks import (
    FLOOR_TO_SILL,
    LINK_NAMES,
    count_for,
    open_link,
    reason_of,
    shortfall,
    value_step,
    weighed,
)
from engineering.plate_layout import (
    FLOOR_ROLE,
    crowded,
    far_apart,
    holding,
    least_apart_in,
    misplaced_connectors,
    open_positions,
    through_positions,
    uneven,
)
from engineering.results import LinkResult, MethodOption, Step
from engineering.schedule import LineSchedule, ScheduleItem
from engineering.steps import step

ROLE = FLOOR_ROLE
EVEN, PX = convention(9, "even over the line"), convention(9, "F_px beside the story shear")
FORCES: dict[FloorForce, str] = {"story shear": "story shear of the line", "F_px": "diaphragm force F_px on the line"}


def rows_of(schedule: LineSchedule) -> tuple[ScheduleItem, ...]:
    """The rows of a schedule that make this link: connectors, and nails of new blocking."""
    return (*schedule.rows(ROLE), *schedule.rows(blocking.ROLE))


def row_method(context: LineContext, row: ScheduleItem) -> Method:
    """The method of a schedule row with its value. [lb] OutOfRange where it can't be used here, saying why."""
    chosen = method(context, Choice(row.connector, blocked=row.role == blocking.ROLE))
    require_allowed(context, chosen.name, context.floor_force)
    return chosen


def demand_by(context: LineContext, by: FloorForce) -> float:
    """The line's demand by one of the two forces. [lb]"""
    return context.demand.demand_lb if by == "story shear" else context.demand.diaphragm_demand_lb


def count_of(context: LineContext, chosen: Method, by: FloorForce) -> int:
    """How many the demand takes; through-plate screws are never further apart than the company's maximum."""
    demand_lb = demand_by(context, by)
    if chosen.name == BLOCKING:
        return blocking.nails_needed(context, chosen, demand_lb)
    by_demand = count_for(demand_lb / chosen.each_lb)
    if chosen.name != SCREWS:
        return by_demand
    maximum_in = context.inputs.criteria.maximum_connector_spacing_in
    return max(by_demand, count_for(12 * context.length_ft / maximum_in))


def _require_room(chosen: Method, count: int) -> None:
    room = chosen.room
    if room is not None and count > room.total:
        where = f"{room.places} blocks hold {room.each} each" if room.places > 1 else f"the line holds {room.each}"
        raise OutOfRange("count", count, f"{where}, not {count}")


def options(context: LineContext) -> tuple[MethodOption, ...]:
    """The pinned way and each other: count, value and ratio, and the count by F_px; or why it can't be used here."""
    return tuple(_option(context, choice) for choice in choices(context.line.methods))


def _option(context: LineContext, choice: Choice) -> MethodOption:
    return context.once(("floor to plate option", choice), lambda: _judged(context, choice))


def _judged(context: LineContext, choice: Choice) -> MethodOption:
    name = method_name(context.values.connector(choice.connector), blocked=choice.blocked)
    count, each_lb, ratio, px_count, px_feasible = None, None, None, None, False
    try:
        chosen, by = method(context, choice), context.floor_force
    except OutOfRange as error:
        reason = reason_of(error)
    else:
        px_count, needed = count_of(context, chosen, "F_px"), count_of(context, chosen, by)
        px_feasible = not _why_not(context, choice, chosen, px_count, "F_px")
        reason = _why_not(context, choice, chosen, needed, by)
        if not reason:
            count, each_lb = needed, chosen.each_lb
            ratio = demand_by(context, by) / (count * each_lb) if count else None
    return MethodOption(
        link="1", method=name, connector=choice.connector, feasible=not reason, reason=reason, count=count,
        each_lb=each_lb, ratio=ratio, opens_ceiling=opens_ceiling(context, name),
        opens_outside=opens_outside(context, name), px_count=px_count, px_feasible=px_feasible,
    )  # fmt: skip


def _why_not(context: LineContext, choice: Choice, chosen: Method, count: int, by: FloorForce) -> str:
    """Why so many can't be set here; empty where they can.

    Places are sought for the force that governs: for the pinned way, and for whatever goes through the plates.
    """
    try:
        require_allowed(context, chosen.name, by)
        _require_room(chosen, count)
        sought = choice == pinned(context.line.methods) or chosen.name in THROUGH_METHODS
        if by == context.floor_force and sought:
            positions(context, chosen.name, count, choice.connector)
    except OutOfRange as error:
        return reason_of(error)
    return ""


def positions(context: LineContext, name: str, count: int, key: str) -> tuple[float, ...]:
    """Even places along the line, half a space at each end. [in] None for what is a pattern: nails, and in blocks.

    Connectors from below stay clear of studs (driver access), plate joints, ends and openings; OutOfRange names the
    rule that left no place.
    """
    return context.surveyed(
        ("floor to plate places", name, count, key), lambda bare: _positions(bare, name, count, key)
    )


def _positions(context: LineContext, name: str, count: int, key: str) -> tuple[float, ...]:
    if name in (TOENAILS, BLOCKING) or in_blocks(context) or count == 0:
        return ()
    connector = context.values.connector(key)
    if name in THROUGH_METHODS:
        maximum_in = context.inputs.criteria.maximum_connector_spacing_in if name == SCREWS else None
        return through_positions(context, count, maximum_in, connector)
    return open_positions(context, count, connector)


def proposed_rows(context: LineContext) -> tuple[ScheduleItem, ...]:
    """The pinned way's row; none where it can't be used here."""
    return context.once("floor to plate rows", lambda: _rows(context))


def _rows(context: LineContext) -> tuple[ScheduleItem, ...]:
    choice = pinned(context.line.methods)
    option = _option(context, choice) if choice else None
    if choice is None or option is None or not option.feasible or not option.count:
        return ()
    chosen = method(context, choice)
    spaces, note = option.count, ""
    if choice.blocked:
        spaces = blocking.blocks_needed(context, chosen, context.floor_demand_lb)
        note = blocking.note(context, chosen, option.count, context.floor_demand_lb)
    elif chosen.room is not None and chosen.room.places > 1:
        note = f"into blocks, at most {chosen.room.each} in each of {chosen.room.places}"
    return (
        ScheduleItem(
            link="1",
            role=blocking.ROLE if choice.blocked else ROLE,
            connector=choice.connector,
            count=option.count,
            spacing_in=12 * context.length_ft / (spaces if spaces > 1 else option.count),
            positions_in=positions(context, option.method, option.count, choice.connector),
            note=note,
        ),
    )


def link_name(context: LineContext) -> str:
    """What link 1 joins here."""
    return FLOOR_TO_SILL if context.on_sill else LINK_NAMES["1"]


@dataclass(frozen=True, slots=True)
class _Standing:
    """The rows that can be used, how many of them hold, and what is wrong with the others."""

    usable: tuple[tuple[ScheduleItem, Method], ...]
    count: int
    refused: tuple[str, ...]


def check(context: LineContext, rows: tuple[ScheduleItem, ...]) -> tuple[LinkResult, Method | None]:
    """Link 1 from the rows as they stand, and the method they use. [lb]

    Rows of several connectors count at the least value among them. A row that can't be used here counts as nothing,
    nor does a connector through the joint or end of a plate, nor what blocks have no room for.
    """
    name, demand_lb = link_name(context), context.floor_demand_lb
    standing = _standing(context, rows)
    if standing.count == 0:
        reason = "; ".join(standing.refused) or _why_nothing(context)
        return LinkResult(link="1", name=name, check=open_link(name, demand_lb, reason)), None
    weakest = min((chosen for _, chosen in standing.usable), key=lambda chosen: chosen.each_lb)
    more = count_for(demand_lb / weakest.each_lb) - standing.count
    usable = tuple(row for row, _ in standing.usable)
    gaps = _gaps(context, usable, weakest.name)
    checked = weighed(
        name,
        demand_lb,
        standing.count * weakest.each_lb,
        clause=weakest.check.clause,
        steps=_steps(context, weakest, standing.count),
        notes=(weakest.name,),
        warnings=(
            *shortfall(more, weakest.name),
            *standing.refused,
            *misplaced_connectors(context, usable),
            *gaps,
            *weakest.check.warnings,
        ),
    )
    if gaps:  # enough of them, but not spread over the line as the demand is
        checked = replace(checked, status="over")
    return LinkResult(link="1", name=name, check=checked), weakest


def _standing(context: LineContext, rows: tuple[ScheduleItem, ...]) -> _Standing:
    usable: list[tuple[ScheduleItem, Method]] = []
    held: dict[tuple[str, str], int] = {}
    refused: list[str] = []
    for row in rows:
        try:
            chosen = row_method(context, row)
        except OutOfRange as error:
            refused.append(f"{row.connector} can't be used here ({reason_of(error)})")
            continue
        usable.append((row, chosen))
        good, key = holding(context, row), (chosen.name, row.connector)
        held[key] = held.get(key, 0) + good
        if good < row.count:
            refused.append(f"{row.count - good} of {row.connector} at a joint or end of a plate hold nothing")
    near = crowded(context, tuple(row for row, _ in usable))
    for chosen in {chosen.connector: chosen for _, chosen in usable if chosen.connector in near}.values():
        places_in = near[chosen.connector]
        held[(chosen.name, chosen.connector)] -= len(places_in)
        apart_in = least_apart_in(context.values.connector(chosen.connector))
        where = ", ".join(f"{at_in:g}" for at_in in places_in)
        refused.append(
            f"{chosen.connector} at {where} in: nearer than {apart_in:g} in to another, the two count as one"
        )
    for chosen in {chosen.name + chosen.connector: chosen for _, chosen in usable}.values():
        key = (chosen.name, chosen.connector)
        if chosen.room is not None and held[key] > chosen.room.total:
            refused.append(f"{held[key]} {chosen.name}, but there is room for {chosen.room.total}")
            held[key] = chosen.room.total
    return _Standing(tuple(usable), sum(held.values()), tuple(refused))


def _steps(context: LineContext, weakest: Method, count: int) -> tuple[Step, ...]:
    demand_lb, px_lb, each_lb = context.floor_demand_lb, context.demand.diaphragm_demand_lb, weakest.each_lb
    length_ft, local_plf = context.length_ft, context.local_demand_plf()
    return (
        step("demand_lb", "V", FORCES[context.floor_force], demand_lb, "lb", EVEN),
        value_step("each_lb", weakest.check),
        *(weakest.room.steps if weakest.room and weakest.name != BLOCKING else ()),
        step("count", "n", weakest.name, count, "-", EVEN),
        step("count_by_demand", "n_V", "V/Z', rounded up", count_for(demand_lb / each_lb), "-", EVEN,
             V=demand_lb, Z=each_lb),
        step("spacing_in", "s", "12·L/n, half a space at each end", 12 * length_ft / count, "in", EVEN,
             L=length_ft, n=count),
        step("demand_plf", "v", "largest diaphragm shear per foot", local_plf, "plf", TOENAIL_LIMIT),
        step("px_demand_lb", "V_px", FORCES["F_px"], px_lb, "lb", PX),
        step("px_count", "n_px", "V_px/Z', rounded up, and the maximum spacing", count_of(context, weakest, "F_px"),
             "-", PX, V_px=px_lb, Z=each_lb),
        step("capacity_lb", "capacity", "n·Z'", count * each_lb, "lb", EVEN, n=count, Z=each_lb),
    )  # fmt: skip


def _why_nothing(context: LineContext) -> str:
    choice = pinned(context.line.methods)
    option = _option(context, choice) if choice else None
    return "" if option is None or option.feasible else f"{option.method} can't be used here ({option.reason})"


def _gaps(context: LineContext, rows: tuple[ScheduleItem, ...], name: str) -> tuple[str, ...]:
    """Where through-plate screws are further apart than the company's maximum, or others far from even."""
    if name != SCREWS:
        return uneven(context, rows)
    return far_apart(context, rows, context.inputs.criteria.maximum_connector_spacing_in)
