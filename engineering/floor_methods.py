"""The ways of making link 1, floor to top plate: which connectors can, where each can be used, what one carries."""

from __future__ import annotations

from typing import NamedTuple

from engineering import blocking, seats
from engineering.connector_values import FloorForce, LineContext
from engineering.errors import OutOfRange
from engineering.evaluated import USE_FACE_PLATE, USE_FRAMING_ANGLE
from engineering.floor_edges import (
    ROOM,
    Method,
    Room,
    in_blocks,
    require_edge,
    row_room,
)
from engineering.inputs import NOT_OBSERVED, EvaluatedConnector, Framing, LagScrew, LinkMethods, Nail
from engineering.kept import Connector
from engineering.nail_spacing import NAIL_SPACING, SPACING_DIAMETERS
from engineering.plate_layout import APART_IN, END_CLEAR_IN, LAG_EDGE_DIAMETERS, edge_in
from engineering.results import Check
from engineering.seats import FLUSH_IN
from engineering.sources import Source

SCREWS, ANGLES, LAGS, TOENAILS = "through-plate screws", "framing angles", "lag screws", "toenails"
FACE_PLATES, BLOCKING = "face plates from outside", blocking.BLOCKING
THROUGH_METHODS = (SCREWS, LAGS)
FROM_INSIDE = (ANGLES, TOENAILS, BLOCKING)  # a finish on the ceiling has to be opened for them
TOENAIL_LIMIT_PLF = 150.0
# Along the grain, load towards the end (softwood): C_Δ = 1 at 7 D to the end and 4 D from one to the next.
LAG_ROW = Source("AWC NDS", "2018", "Tables 12.5.1A, B")
LAG_END_DIAMETERS, LAG_APART_DIAMETERS = 7.0, 4.0
PLATE_APART_IN = 6.0  # an angle or face plate and room for its nails ("common practice, no source")


class Choice(NamedTuple):
    """One way as chosen: a catalogue key, and whether its nails are those of new blocking."""

    connector: str
    blocked: bool = False


def choices(methods: LinkMethods) -> tuple[Choice, ...]:
    """The pinned way first, then those counted beside it, each once."""
    keys = [Choice(key) for key in (methods.floor_to_plate, *methods.alternatives) if key]
    new = [Choice(methods.blocking_nail, blocked=True)] if methods.blocking_nail else []
    return tuple(dict.fromkeys((*new, *keys) if methods.floor_to_plate_by == "blocking" else (*keys, *new)))


def pinned(methods: LinkMethods) -> Choice | None:
    """The way that is proposed; None where nothing was chosen."""
    if methods.floor_to_plate_by == "blocking":
        return Choice(methods.blocking_nail, blocked=True) if methods.blocking_nail else None
    return Choice(methods.floor_to_plate) if methods.floor_to_plate else None


def method_name(connector: Connector, *, blocked: bool = False) -> str:
    """What the method of a catalogue connector is called; OutOfRange where it can't make this link."""
    if blocked:
        if not isinstance(connector, Nail):
            raise OutOfRange("blocking_nail", connector.key, "must be a nail of the catalogue")
        return BLOCKING
    if isinstance(connector, Nail):
        return TOENAILS
    if isinstance(connector, LagScrew):
        return LAGS
    names = {"through-plate screw": SCREWS, "framing angle": ANGLES, "face plate": FACE_PLATES}
    if connector.kind not in names:
        raise OutOfRange("floor_to_plate", connector.key, f"can't be a {connector.kind}")
    return names[connector.kind]


def opens_ceiling(context: LineContext, name: str) -> bool:
    """Whether a finish in the way inside has to be opened for this method."""
    return bool(context.line.framing.ceiling_finish) and name in FROM_INSIDE


def opens_outside(context: LineContext, name: str) -> bool:
    """Whether a finish on the outside face has to be opened for this method."""
    return name == FACE_PLATES and context.line.framing.outside_finish not in ("", NOT_OBSERVED)


def method(context: LineContext, choice: Choice) -> Method:
    """The method with its value on this line and its room. [lb] OutOfRange where it can't be used, saying why.

    What toenails may carry per foot depends on the demand: `require_allowed`.
    """
    return context.surveyed(("floor to plate method", choice), lambda bare: _method(bare, choice))


def require_allowed(context: LineContext, name: str, by: FloorForce) -> None:
    """Raise OutOfRange for toenails above 150 plf ASD in SDC D to F, by the local demand per foot (SDPWS 4.1.7)."""
    if name != TOENAILS or not context.high_seismic:
        return
    local_plf = context.local_demand_plf(by)
    if local_plf > TOENAIL_LIMIT_PLF + 1e-9:
        allowed = f"{local_plf:.1f} plf is over the {TOENAIL_LIMIT_PLF:g} plf that toenails may carry in SDC D to F"
        raise OutOfRange("demand_plf", local_plf, allowed)


def _method(context: LineContext, choice: Choice) -> Method:
    connector = context.values.connector(choice.connector)
    name = method_name(connector, blocked=choice.blocked)
    if choice.blocked:
        return blocking.method(context, choice.connector)
    require_edge(context)
    check: Check
    room: Room | None
    if isinstance(connector, Nail):
        check, room = _toenails(context, connector)
    elif isinstance(connector, LagScrew) or name == SCREWS:
        check, room = _from_below(context, connector)
    elif name == FACE_PLATES:
        check, room = _face_plates(context, connector)
    else:
        check, room = _angles(context, connector)
    assert check.capacity is not None
    return Method(name, choice.connector, check.capacity, check, room)


def _toenails(context: LineContext, nail: Nail) -> tuple[Check, Room]:
    """From the face of joist or block down into the plate; never from below, where they would end in end grain."""
    spacing_in = SPACING_DIAMETERS * nail.diameter_in
    return context.values.toenail(context.line, nail), row_room(context, spacing_in, spacing_in, NAIL_SPACING)


def _from_below(context: LineContext, connector: LagScrew | EvaluatedConnector) -> tuple[Check, Room | None]:
    """Up through the plates into the joist along the line, or into blocks and never into a joist that crosses.

    A joist across the line would be loaded across its grain and roll.
    """
    line = context.line
    if context.on_sill:
        raise OutOfRange("plates_in", (), "no top plate to go through: the joists bear on the sill")
    end_in, apart_in, rule = END_CLEAR_IN, APART_IN, ROOM
    if isinstance(connector, LagScrew):
        _require_wood_round(line.framing, connector)
        check = context.values.lag(line, connector)
        end_in = max(end_in, LAG_END_DIAMETERS * connector.diameter_in)
        apart_in, rule = max(apart_in, LAG_APART_DIAMETERS * connector.diameter_in), LAG_ROW
    else:
        _require_laps(context, connector, ("plate_laps_ft", "lower_plate_laps_ft"))
        check = context.values.through_plate(line, connector)
        end_in = max(end_in, connector.minimum_end_in or 0.0)
        apart_in = max(apart_in, connector.minimum_spacing_in or 0.0)
    return check, row_room(context, end_in, apart_in, rule) if in_blocks(context) else None


def _angles(context: LineContext, connector: EvaluatedConnector) -> tuple[Check, Room]:
    """In the corner between the plate's top or edge and the inner face of joist or block."""
    framing = context.line.framing
    width_in = framing.sill_width_in if context.on_sill else framing.plate_width_in
    if framing.rim_set_back_in + framing.rim_thickness_in > width_in + FLUSH_IN:
        allowed = f"must leave the joist's inner face over the {width_in:g} in plate: no face to nail an angle to"
        raise OutOfRange("rim_set_back_in", framing.rim_set_back_in, allowed)
    woods = (framing.rim, framing.sill if context.on_sill else framing.plates)
    _require_laps(context, connector, () if context.on_sill else ("plate_laps_ft",))
    check = context.values.allowable(
        context.line, connector, USE_FRAMING_ANGLE, woods, seats.framing_angle(context.line)
    )
    return check, _plate_room(context, connector)


def _face_plates(context: LineContext, connector: EvaluatedConnector) -> tuple[Check, Room]:
    """On the outside face of joist and plates, which must lie in one plane and be bare or openable."""
    framing = context.line.framing
    if context.on_sill:
        raise OutOfRange("plates_in", (), "no top plate to nail to: the joists bear on the sill")
    if framing.outside_finish == NOT_OBSERVED:
        raise OutOfRange("outside_finish", NOT_OBSERVED, "must be observed: what covers the outside face")
    if framing.outside_finish and not context.line.methods.open_outside:
        allowed = f"{framing.outside_finish} is in the way outside and may not be opened"
        raise OutOfRange("outside_finish", framing.outside_finish, allowed)
    if framing.rim_set_back_in > FLUSH_IN:
        allowed = "must be 0: the plate lies flat on joist and top plates only where their faces are flush"
        raise OutOfRange("rim_set_back_in", framing.rim_set_back_in, allowed)
    woods = (framing.rim, framing.plates)
    _require_laps(context, connector, ("plate_laps_ft",))
    check = context.values.allowable(context.line, connector, USE_FACE_PLATE, woods, seats.face_plate(context.line))
    return check, _plate_room(context, connector)


def _require_laps(context: LineContext, connector: EvaluatedConnector, plates: tuple[str, ...]) -> None:
    """Raise OutOfRange where a report states an end distance and nobody saw where the plates end."""
    if connector.minimum_end_in is None:
        return
    for field in plates:
        if getattr(context.line, field) == NOT_OBSERVED:
            allowed = f"must be observed: {connector.report} asks for {connector.minimum_end_in:g} in to a plate's end"
            raise OutOfRange(field, NOT_OBSERVED, allowed)


def _plate_room(context: LineContext, connector: EvaluatedConnector) -> Room:
    """Angles or face plates in a row, by the working rule or the report's own end distance and spacing."""
    end_in = max(PLATE_APART_IN / 2, connector.minimum_end_in or 0.0)
    return row_room(context, end_in, max(PLATE_APART_IN, connector.minimum_spacing_in or 0.0), ROOM)


def _require_wood_round(framing: Framing, lag: LagScrew) -> None:
    """Raise OutOfRange unless a lag on the joist's middle keeps its edge in joist and plates, and the joist's top."""
    least_in = edge_in(lag)
    if lag.length_in - sum(framing.plates_in) - lag.washer_in >= framing.rim_depth_in:
        raise OutOfRange("lag.length_in", lag.length_in, "must be shorter: not through the joist's top")
    if framing.rim_thickness_in / 2 < least_in - 1e-9:
        allowed = f"must be at least {2 * least_in:g} in: {LAG_EDGE_DIAMETERS:g} D to each edge (NDS 12.5.1)"
        raise OutOfRange("rim_thickness_in", framing.rim_thickness_in, allowed)
    target_in = framing.rim_set_back_in + framing.rim_thickness_in / 2
    for width_in in (framing.plate_width_in, framing.lower_plate_width_in or framing.plate_width_in):
        if width_in - target_in < least_in - 1e-9:
            allowed = f"must leave {least_in:g} in of the {width_in:g} in plates beyond the joist's middle"
            raise OutOfRange("rim_set_back_in", framing.rim_set_back_in, allowed)
