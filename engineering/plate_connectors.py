"""Link 1, floor to top plate: the ways of making it, how many each takes, the row proposed and the row checked."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

from engineering.clauses import TOENAIL_LIMIT, convention
from engineering.connector_values import Connector, LineContext
from engineering.errors import OutOfRange
from engineering.evaluated import USE_FRAMING_ANGLE
from engineering.inputs import NOT_OBSERVED, EvaluatedConnector, Framing, LagScrew, Nail
from engineering.layout import Keep, even_positions, place, stud_keeps
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
from engineering.results import Check, LinkResult, MethodOption
from engineering.schedule import ScheduleItem
from engineering.steps import step

ROLE = "floor to plate"
SCREWS, ANGLES, LAGS, TOENAILS = "through-plate screws", "framing angles", "lag screws", "toenails"
THROUGH_METHODS = (SCREWS, LAGS)
TOENAIL_LIMIT_PLF = 150.0
LAG_EDGE_DIAMETERS = 1.5  # load along the grain, NDS Table 12.5.1C

# Working clearances of a connector driven from below: chuck and jig beside a stud, wood to a joint or an end.
STUD_CLEAR_IN = 1.5
JOINT_CLEAR_IN = 3.0
END_CLEAR_IN = 3.0
APART_IN = 3.0


@dataclass(frozen=True, slots=True)
class Method:
    """One way of making link 1 with one connector: its name, its value each, and where the value comes from."""

    name: str
    connector: str
    each_lb: float
    check: Check


def method_name(connector: Connector) -> str:
    """What the method of a catalogue connector is called; OutOfRange where it can't make this link."""
    if isinstance(connector, Nail):
        return TOENAILS
    if isinstance(connector, LagScrew):
        return LAGS
    names = {"through-plate screw": SCREWS, "framing angle": ANGLES}
    if connector.kind not in names:
        raise OutOfRange("floor_to_plate", connector.key, f"can't be a {connector.kind}")
    return names[connector.kind]


def method(context: LineContext, key: str) -> Method:
    """The method with its value on this line. [lb] OutOfRange where it can't be used here, saying why.

    Toenails: not above 150 plf ASD in SDC D to F, by the local demand per foot (SDPWS 4.1.7).
    """
    connector = context.values.connector(key)
    name, line = method_name(connector), context.line
    if context.on_sill and name in THROUGH_METHODS:
        raise OutOfRange("plates_in", (), "no top plate to go through: the joists bear on the sill")
    if name in THROUGH_METHODS and not isinstance(connector, Nail):
        _require_wood_round(line.framing, connector)
    if isinstance(connector, Nail):
        local_plf = context.local_demand_plf()
        if context.high_seismic and local_plf > TOENAIL_LIMIT_PLF + 1e-9:
            allowed = f"{local_plf:.1f} plf is over the {TOENAIL_LIMIT_PLF:g} plf that toenails may carry in SDC D to F"
            raise OutOfRange("demand_plf", local_plf, allowed)
        check = context.values.toenail(line, connector)
    elif isinstance(connector, LagScrew):
        check = context.values.lag(line, connector)
    elif name == SCREWS:
        check = context.values.through_plate(line, connector)
    else:
        framing = line.framing
        check = context.values.allowable(
            line, connector, USE_FRAMING_ANGLE, (framing.rim, framing.sill if context.on_sill else framing.plates)
        )
    assert check.capacity is not None
    return Method(name, key, check.capacity, check)


def _require_wood_round(framing: Framing, connector: LagScrew | EvaluatedConnector) -> None:
    """Raise OutOfRange unless a connector on the joist's middle keeps its edge in joist and plates, and its top."""
    edge_in = LAG_EDGE_DIAMETERS * connector.diameter_in
    if isinstance(connector, LagScrew):
        penetration_in = connector.length_in - sum(framing.plates_in) - connector.washer_in
        if penetration_in >= framing.rim_depth_in:
            raise OutOfRange("lag.length_in", connector.length_in, "must be shorter: not through the joist's top")
        if framing.rim_thickness_in / 2 < edge_in - 1e-9:
            allowed = f"must be at least {2 * edge_in:g} in: {LAG_EDGE_DIAMETERS:g} D to each edge (NDS 12.5.1)"
            raise OutOfRange("rim_thickness_in", framing.rim_thickness_in, allowed)
    elif connector.minimum_edge_in is not None:
        edge_in = connector.minimum_edge_in
    beyond_in = framing.plate_width_in - framing.rim_set_back_in - framing.rim_thickness_in / 2
    if beyond_in < edge_in - 1e-9:
        allowed = f"must leave {edge_in:g} in of the {framing.plate_width_in:g} in plates beyond the joist's middle"
        raise OutOfRange("rim_set_back_in", framing.rim_set_back_in, allowed)


def count_of(context: LineContext, chosen: Method) -> int:
    """How many the demand takes; through-plate screws are never further apart than the company's maximum."""
    by_demand = count_for(context.demand.demand_lb / chosen.each_lb)
    if chosen.name != SCREWS:
        return by_demand
    return max(
        by_demand, count_for(12 * context.demand.length_ft / context.inputs.criteria.maximum_connector_spacing_in)
    )


def options(context: LineContext) -> tuple[MethodOption, ...]:
    """The pinned method and each alternative: count, value and ratio, or why it can't be used here."""
    methods = context.line.methods
    return tuple(_option(context, key) for key in dict.fromkeys((methods.floor_to_plate, *methods.alternatives)) if key)


def _option(context: LineContext, key: str) -> MethodOption:
    return context.once(("floor to plate option", key), lambda: _judged(context, key))


def _judged(context: LineContext, key: str) -> MethodOption:
    name = method_name(context.values.connector(key))
    opens_ceiling = bool(context.line.framing.ceiling_finish) and name not in THROUGH_METHODS
    try:
        chosen = method(context, key)
        count = count_of(context, chosen)
        if key == context.line.methods.floor_to_plate:
            positions(context, name, count)
    except OutOfRange as error:
        return MethodOption(
            link="1", method=name, connector=key, feasible=False, reason=reason_of(error), count=None, each_lb=None,
            ratio=None, opens_ceiling=opens_ceiling,
        )  # fmt: skip
    return MethodOption(
        link="1", method=name, connector=key, feasible=True, reason="", count=count, each_lb=chosen.each_lb,
        ratio=context.demand.demand_lb / (count * chosen.each_lb), opens_ceiling=opens_ceiling,
    )  # fmt: skip


def positions(context: LineContext, name: str, count: int) -> tuple[float, ...]:
    """Even places along the line, half a space at each end. [in] Toenails are a pattern: none.

    Connectors from below stay clear of studs (driver access), plate joints, ends and openings; OutOfRange names the
    rule that left no place.
    """
    return context.once(("floor to plate places", name, count), lambda: _positions(context, name, count))


def _positions(context: LineContext, name: str, count: int) -> tuple[float, ...]:
    if name == TOENAILS or count == 0:
        return ()
    line, length_in = context.line, 12 * context.demand.length_ft
    what = f"lines.{line.label}.floor_to_plate"
    maximum_in = context.inputs.criteria.maximum_connector_spacing_in if name == SCREWS else None
    keeps = plate_keeps(context) if name in THROUGH_METHODS else []
    return place(
        even_positions(count, 0.0, length_in),
        from_in=END_CLEAR_IN,
        to_in=length_in - END_CLEAR_IN,
        keeps=keeps,
        apart_in=APART_IN,
        largest_gap_in=maximum_in,
        what=what,
    )


def plate_keeps(context: LineContext, stud_clear_in: float = STUD_CLEAR_IN) -> list[Keep]:
    """What a connector driven from below through the plates stays clear of."""
    framing, line = context.line.framing, context.line
    keeps = stud_keeps(framing.stud_centrelines_in, framing.stud_thickness_in, stud_clear_in)
    post_in = line.end_post.width_in
    for panel in line.panels:
        from_in, to_in = 12 * panel.from_ft, 12 * panel.to_ft
        rule = f"{stud_clear_in:g} in clear of an end post"
        keeps += [
            Keep(from_in, from_in + post_in, stud_clear_in, rule),
            Keep(to_in - post_in, to_in, stud_clear_in, rule),
        ]
    if line.plate_laps_ft != NOT_OBSERVED:
        rule = f"{JOINT_CLEAR_IN:g} in clear of a plate joint"
        keeps += [Keep(12 * at_ft, 12 * at_ft, JOINT_CLEAR_IN, rule) for at_ft in line.plate_laps_ft]
    keeps += [Keep(12 * o.from_ft, 12 * o.to_ft, 0.0, f"outside the opening {o.label}".strip()) for o in line.openings]
    return keeps


def proposed_rows(context: LineContext) -> tuple[ScheduleItem, ...]:
    """The pinned method's row; none where it can't be used here."""
    key = context.line.methods.floor_to_plate
    option = _option(context, key) if key else None
    if option is None or not option.feasible or not option.count:
        return ()
    return (
        ScheduleItem(
            link="1",
            role=ROLE,
            connector=key,
            count=option.count,
            spacing_in=12 * context.demand.length_ft / option.count,
            positions_in=positions(context, option.method, option.count),
        ),
    )


def link_name(context: LineContext) -> str:
    """What link 1 joins here."""
    return FLOOR_TO_SILL if context.on_sill else LINK_NAMES["1"]


def check(context: LineContext, rows: tuple[ScheduleItem, ...]) -> tuple[LinkResult, Method | None]:
    """Link 1 from the rows as they stand, and the method they use. [lb]

    Rows of several connectors count at the least value among them. A row that can't be used here counts as nothing.
    """
    name, demand_lb = link_name(context), context.demand.demand_lb
    usable: list[tuple[ScheduleItem, Method]] = []
    refused: list[str] = []
    for row in rows:
        try:
            usable.append((row, method(context, row.connector)))
        except OutOfRange as error:
            refused.append(f"{row.connector} can't be used here ({reason_of(error)})")
    count = sum(row.count for row, _ in usable)
    if count == 0:
        reason = "; ".join(refused) or _why_nothing(context)
        return LinkResult(link="1", name=name, check=open_link(name, demand_lb, reason)), None
    weakest = min((chosen for _, chosen in usable), key=lambda chosen: chosen.each_lb)
    capacity_lb = count * weakest.each_lb
    length_ft = context.demand.length_ft
    rule = convention(9, "even over the line")
    steps = (
        step("demand_lb", "V", "story shear of the line", demand_lb, "lb", rule),
        value_step("each_lb", weakest.check),
        step("count", "n", weakest.name, count, "-", rule),
        step("count_by_demand", "n_V", "V/Z', rounded up", count_for(demand_lb / weakest.each_lb), "-", rule,
             V=demand_lb, Z=weakest.each_lb),
        step("spacing_in", "s", "12·L/n, half a space at each end", 12 * length_ft / count, "in", rule,
             L=length_ft, n=count),
        step("demand_plf", "v", "largest diaphragm shear per foot", context.local_demand_plf(), "plf", TOENAIL_LIMIT),
        step("capacity_lb", "capacity", "n·Z'", capacity_lb, "lb", rule, n=count, Z=weakest.each_lb),
    )  # fmt: skip
    more = count_for(demand_lb / weakest.each_lb) - count
    gaps = _gaps(context, rows, weakest.name)
    checked = weighed(
        name,
        demand_lb,
        capacity_lb,
        clause=weakest.check.clause,
        steps=steps,
        notes=(weakest.name,),
        warnings=(
            *shortfall(more, weakest.name),
            *refused,
            *gaps,
            *weakest.check.warnings,
        ),
    )
    if gaps:  # enough of them, but not spread over the line as the demand is
        checked = replace(checked, status="over")
    return LinkResult(link="1", name=name, check=checked), weakest


def _why_nothing(context: LineContext) -> str:
    key = context.line.methods.floor_to_plate
    option = _option(context, key) if key else None
    return "" if option is None or option.feasible else f"{option.method} can't be used here ({option.reason})"


def _gaps(context: LineContext, rows: tuple[ScheduleItem, ...], name: str) -> tuple[str, ...]:
    """Where through-plate screws are further apart than the company's maximum, or others far from even."""
    if name != SCREWS:
        return uneven(context, rows)
    maximum_in = context.inputs.criteria.maximum_connector_spacing_in
    places = sorted(at for row in rows for at in row.positions_in)
    count = sum(row.count for row in rows)
    if len(places) != count:  # some without a place: at best they are even
        even_in = 12 * context.demand.length_ft / count
        if even_in <= maximum_in + 1e-9:
            return ()
        return (f"screws at {even_in:g} in: more than the maximum spacing of {maximum_in:g} in",)
    return tuple(
        f"no screw from {a:g} to {b:g} in: more than the maximum spacing of {maximum_in:g} in"
        for a, b in _wide(context, places, maximum_in)
    )


def uneven(context: LineContext, rows: tuple[ScheduleItem, ...]) -> tuple[str, ...]:
    """Gaps in a row that leave it far from even: over twice its mean spacing and over the company's maximum."""
    places = sorted(at for row in rows for at in row.positions_in)
    if not places:
        return ()
    mean_in = 12 * context.demand.length_ft / len(places)
    limit_in = max(2 * mean_in, context.inputs.criteria.maximum_connector_spacing_in)
    return tuple(
        f"nothing from {a:g} to {b:g} in: not spread over the line" for a, b in _wide(context, places, limit_in)
    )


def _wide(context: LineContext, places: list[float], limit_in: float) -> list[tuple[float, float]]:
    ends = (0.0, *places, 12 * context.demand.length_ft)
    return [(one, following) for one, following in pairwise(ends) if following - one > limit_in + 1e-9]
