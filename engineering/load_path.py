"""Walks each wall line's chain for a schedule as it stands: links, weakest link, open links. Not a new formula."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import chain, pairwise
from operator import attrgetter, itemgetter

from engineering import (
    acceptances,
    anchor_checks,
    anchor_layout,
    anchor_ledger,
    as_found,
    assumptions,
    blocking,
    collectors,
    floor_diaphragm,
    floor_methods,
    foundation,
    legal_basis,
    panel_pieces,
    panel_to_sill,
    plate_connectors,
    scope_screen,
    side_connections,
    sill_anchors,
    stitch_nailing,
    tie_downs,
    wall_panels,
)
from engineering.connector_values import ConnectorValues, LineContext
from engineering.errors import OutOfRange
from engineering.inputs import HouseInputs, WallLine
from engineering.link_checks import open_message
from engineering.panel_shares import panels
from engineering.results import Check, HouseResult, LineResult, LinkResult, MethodOption, Status
from engineering.schedule import LineSchedule, Schedule, ScheduleItem
from engineering.seismic_demand import HouseDemand, demand_inputs, house_demand

ROLES = {  # what a schedule row does, and the link that it stands under
    plate_connectors.ROLE: "1",
    blocking.ROLE: "1",
    stitch_nailing.ROLE: "2",
    **dict.fromkeys(collectors.ROLES, "3"),
    wall_panels.ROLE: "4",
    panel_to_sill.ROLE: "5",
    sill_anchors.ROLE: "6a",
    sill_anchors.SIDE_ROLE: "6a",
    tie_downs.ROLE: "7a",
    tie_downs.ANCHOR_ROLE: "7b",
}
OPEN: tuple[Status, ...] = ("open", "not observed")
PLACE_TOLERANCE_IN = 0.5  # a tape's end, a corner out of square
SAME_PLACE_IN = 0.25
NDS_2018_IN_2024 = "wood connections are computed by NDS 2018 tables; the 2024 family names NDS 2024"


def check_chain(inputs: HouseInputs, schedule: Schedule) -> HouseResult:
    """Every wall line's load path with this schedule, proposed or as built, at the inputs' force level.

    Capacities come from the schedule's own rows: fewer, moved or other connectors count as they are, a shortfall says
    how many more. A link with nothing in it is open and its line has no ratio. Raises OutOfRange for a schedule row
    that can't be (unknown line, role, connector or panel; places that don't match the count) and as
    `seismic_demand.demand` does.
    """
    demand, values = house_demand(demand_inputs(inputs)), ConnectorValues(inputs)
    return checked(inputs, demand, contexts(inputs, demand, values), values, schedule)


def contexts(inputs: HouseInputs, demand: HouseDemand, values: ConnectorValues) -> tuple[LineContext, ...]:
    """Each wall line with its demand, ready to be proposed and checked."""
    for line in inputs.lines:
        if line.panels and not line.framing.plates_in:
            where = f"lines.{line.label}.framing.plates_in"
            raise OutOfRange(where, (), "must be one or two top plates where panels stand")
        if not line.panels and not line.framing.plates_in and not line.sill_pieces:
            raise OutOfRange(f"lines.{line.label}.sill_pieces", (), "must be given where the joists bear on the sill")
    lines = tuple(LineContext(inputs, line, demand.lines[line.label], values) for line in inputs.lines)
    for context in lines:
        context.surveyed("methods", lambda bare: _require_methods(bare.line, bare.values))
    return lines


def _require_methods(line: WallLine, values: ConnectorValues) -> bool:
    """Raise OutOfRange for a chosen key that is not in the catalogue or not of the kind it is chosen for; else True.

    An empty key means that nothing was chosen: its link stays open where it is needed.
    """
    methods = line.methods
    kinds = (
        (methods.sill_anchor, "sill anchor"),
        (methods.side_connection, "side connection"),
        (methods.tie_down, "tie-down"),
        (methods.tie_down_anchor, "tie-down anchor"),
    )
    try:
        for key in filter(None, (methods.stitch_nail, methods.block_nail, methods.blocking_nail)):
            values.nail(key)
        for key in filter(None, (methods.splice_nail, methods.strut_splice)):
            values.nail_or_strap(key)
        for key, kind in kinds:
            if key:
                values.evaluated(key, kind)
        for key in filter(None, (methods.floor_to_plate, *methods.alternatives)):
            floor_methods.method_name(values.connector(key))
    except OutOfRange as error:
        raise OutOfRange(f"lines.{line.label}.methods", error.value, error.allowed) from error
    return True


def checked(
    inputs: HouseInputs,
    demand: HouseDemand,
    lines: tuple[LineContext, ...],
    values: ConnectorValues,
    schedule: Schedule,
) -> HouseResult:
    """The same as `check_chain` where demand and values are already there."""
    scope, basis = scope_screen.screen(inputs), legal_basis.check(inputs.criteria)
    labels = [context.line.label for context in lines]
    if unknown := [line.label for line in schedule.lines if line.label not in labels]:
        raise OutOfRange("schedule.lines", unknown, f"must be among {', '.join(labels)}")
    by_label = {line.label: line for line in schedule.lines}
    if len(by_label) != len(schedule.lines):
        raise OutOfRange("schedule.lines", [line.label for line in schedule.lines], "must give each line once")
    results = tuple(
        _line(context, by_label.get(context.line.label, LineSchedule(label=context.line.label, items=())))
        for context in lines
    )
    fasteners = values.used()
    return HouseResult(
        code_family=inputs.criteria.code_family,
        force_level=inputs.criteria.force_level,
        demand=demand.check,
        fasteners=fasteners,
        lines=results,
        schedule=schedule,
        assumptions=assumptions.assumptions(inputs),
        from_memory=_from_memory([demand.check, scope, basis, *fasteners, *_all_checks(results)]),
        warnings=(
            *((NDS_2018_IN_2024,) if inputs.criteria.code_family == "2024" else ()),
            *demand.check.warnings,
            *scope.warnings,
            *basis.warnings,
            *(f"line {line.label}: {warning}" for line in results for warning in line.warnings),
        ),
        scope=scope,
        basis=basis,
        picture=demand.picture,
        to_accept=acceptances.to_accept(basis, results),
    )


def _line(context: LineContext, schedule: LineSchedule) -> LineResult:
    _require_rows(context, schedule)
    floor_rows = plate_connectors.rows_of(schedule)
    floor, method = plate_connectors.check(context, floor_rows)
    panel = wall_panels.check(context, schedule.rows(wall_panels.ROLE))
    anchors = (*schedule.rows(sill_anchors.ROLE), *schedule.rows(sill_anchors.SIDE_ROLE))
    wood, concrete = anchor_checks.check_6a(context, anchors), anchor_checks.check_6b(context, anchors)
    downs = (*schedule.rows(tie_downs.ROLE), *schedule.rows(tie_downs.ANCHOR_ROLE))
    links = (
        floor_diaphragm.check(context),
        floor,
        stitch_nailing.check(context, schedule.rows(stitch_nailing.ROLE), floor_rows, method),
        collectors.check(context, collectors.rows_of(schedule)),
        panel,
        panel_to_sill.check(context, panel, schedule.rows(panel_to_sill.ROLE), anchors),
        wood,
        concrete,
        tie_downs.check_7a(context, downs),
        tie_downs.check_7b(context, downs),
        foundation.check(context),
    )
    found = as_found.links(context)
    status, weakest, ratio = _weakest(links)
    anchors_chosen, opened = anchor_layout.option(context), _open_messages(links)
    found_status, _, _ = _weakest(found)
    screws = method is not None and method.name == floor_methods.SCREWS
    return LineResult(
        label=context.line.label,
        demand_lb=context.demand.demand_lb,
        status=status,
        weakest_link=weakest,
        weakest_ratio=ratio,
        open_links=opened,
        links=links,
        as_found=found,
        as_found_status=found_status,
        as_found_open=_open_messages(found),
        options=(
            *plate_connectors.options(context),
            *stitch_nailing.options(context),
            *panel_to_sill.options(context),
            *anchors_chosen,
        ),
        through_plate=method.check if method is not None and screws else None,
        panel_joints_in=tuple(panel_pieces.joints_in(context, panel) for panel in panels(context)),
        ledger=anchor_ledger.ledger(context, wood.parts, concrete.parts),
        warnings=(
            *dict.fromkeys(f"{link.name}: {warning}" for link in links for warning in link.check.warnings),
            *(
                f"{one.method} can't be placed: {one.reason}"
                for one in anchors_chosen
                if one.method == side_connections.choice(context)[0] and _untold(one, opened)
            ),
        ),
    )


def _untold(option: MethodOption, opened: tuple[str, ...]) -> bool:
    return not option.feasible and not any(option.reason in message for message in opened)


def _weakest(links: tuple[LinkResult, ...]) -> tuple[Status, str | None, float | None]:
    """Status, weakest link and its ratio: the first open link, else the highest ratio, at a tie the earlier link.

    A link that breaks a rule besides its ratio (spacing) makes the line "over" too.
    """
    worst: LinkResult | None = None
    for link in links:
        if link.check.status in OPEN:
            return "open", link.link, None
    for link in links:
        if link.check.ratio is not None and (worst is None or link.check.ratio > (worst.check.ratio or 0.0) + 1e-12):
            worst = link
    assert worst is not None
    over = any(link.check.status == "over" for link in links)
    return "over" if over else worst.check.status, worst.link, worst.check.ratio


def _open_messages(links: Iterable[LinkResult]) -> tuple[str, ...]:
    return tuple(open_message(link) for link in links if link.check.status in OPEN)


def _require_rows(context: LineContext, schedule: LineSchedule) -> None:
    line, where, length_in = context.line, f"schedule.{schedule.label}", 12 * context.length_ft
    for item in schedule.items:
        if item.role not in ROLES:
            raise OutOfRange(f"{where}.role", item.role, f"must be one of {', '.join(ROLES)}")
        if item.link != ROLES[item.role]:
            raise OutOfRange(f"{where}.link", item.link, f"must be {ROLES[item.role]} for {item.role}")
        # A place each; a splice row's count is nails each side of its one lap, or all at the end of its strut.
        fit = 1 if item.role in collectors.ROLES else item.count
        if item.count < 0 or (item.positions_in and len(item.positions_in) != fit):
            raise OutOfRange(f"{where}.count", item.count, f"must match the {len(item.positions_in)} places given")
        if item.positions_in:
            _require_places(where, item, length_in)
        context.values.connector(item.connector)
        for name, number, most in (("panel", item.panel, line.panels), ("piece", item.piece, line.sill_pieces)):
            if number is not None and not 1 <= number <= len(most):
                raise OutOfRange(f"{where}.{name}", number, f"must be from 1 to {len(most)}")
    _require_places_apart(where, schedule)


def _require_places(where: str, item: ScheduleItem, length_in: float) -> None:
    for at in (min(item.positions_in), max(item.positions_in)):
        if not -PLACE_TOLERANCE_IN <= at <= length_in + PLACE_TOLERANCE_IN:
            raise OutOfRange(f"{where}.positions_in", at, f"must be on the line, from 0 to {length_in:g} in")


def _require_places_apart(where: str, schedule: LineSchedule) -> None:
    """One thing a place: what was entered twice must not carry twice."""
    places: dict[str, list[float]] = {role: [] for role in ROLES}
    for item in schedule.items:
        places[item.role] += item.positions_in
    for role, places_in in places.items():
        for one, following in pairwise(sorted(places_in)):
            if following - one < SAME_PLACE_IN:
                raise OutOfRange(f"{where}.positions_in", following, f"must be given once among the {role}")


def _all_checks(lines: tuple[LineResult, ...]) -> list[Check]:
    found = []
    for line in lines:
        for link in (*line.links, *line.as_found):
            found += [link.check, *link.parts]
        found += [line.ledger.check, *line.ledger.bolts] if line.ledger else []
    return found


def _from_memory(checks: Iterable[Check]) -> tuple[str, ...]:
    """Sources that nobody has read yet, each once, as printed."""
    # By identity first: most steps share the sources of their module, and hashing one takes a while.
    sources = list(map(itemgetter(-1), chain.from_iterable(map(attrgetter("steps"), checks))))
    each_once = dict(zip(map(id, sources), sources, strict=True)).values()
    return tuple(sorted({str(source) for source in each_once if source.read == "from memory"}))
