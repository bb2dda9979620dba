"""Where connectors of link 1 and stitch nails go, and which of those logged stand where they can't hold. Not counts."""

from __future__ import annotations

from itertools import pairwise

from engineering.connector_values import LineContext
from engineering.geometry_factor import SPACING_FULL_D
from engineering.inputs import NOT_OBSERVED, EvaluatedConnector, LagScrew, Nail, WallLine
from engineering.kept import Connector
from engineering.layout import NOTHING_CLOSED, Closed, Keep, closed, even_positions, off_limits, place, stud_keeps
from engineering.nail_spacing import EDGE_DIAMETERS
from engineering.schedule import ScheduleItem

FLOOR_ROLE, STITCH_ROLE = "floor to plate", "stitch nails"
LAG_EDGE_DIAMETERS = 1.5  # load along the grain, NDS Table 12.5.1C

# Working clearances of a connector driven from below: chuck and jig beside a stud, wood to a joint or an end.
STUD_CLEAR_IN = 1.5
JOINT_CLEAR_IN = 3.0
END_CLEAR_IN = 3.0
APART_IN = 3.0
# A stitch nail is hammered: closer to a stud, to its neighbour and to the connector that it stands beside.
STITCH_STUD_CLEAR_IN = 0.75
STITCH_APART_IN = 1.25
STITCH_END_CLEAR_IN = 2.5
LOGGED_SLACK_IN = 0.5  # what a logged place may be off the mark before a clearance counts as broken


def edge_in(connector: Connector) -> float:
    """Wood that one through the plates needs to an edge or joint: its report's, or 1.5 D, a nail 2.5 D. [in]"""
    if isinstance(connector, EvaluatedConnector) and connector.minimum_edge_in is not None:
        return connector.minimum_edge_in
    if isinstance(connector, Nail):
        return EDGE_DIAMETERS * connector.diameter_in
    return LAG_EDGE_DIAMETERS * connector.diameter_in


def least_apart_in(connector: Connector) -> float:
    """From one connector to the next: its report's spacing, else 4 D along the grain (NDS Table 12.5.1B). [in]"""
    if isinstance(connector, EvaluatedConnector) and connector.minimum_spacing_in is not None:
        return connector.minimum_spacing_in
    return SPACING_FULL_D * connector.diameter_in


def least_end_in(connector: Connector) -> float:
    """The end distance that a report states, 0 where it states none. [in]"""
    return (connector.minimum_end_in or 0.0) if isinstance(connector, EvaluatedConnector) else 0.0


def through_positions(
    context: LineContext, count: int, largest_gap_in: float | None, connector: Connector
) -> tuple[float, ...]:
    """Even places of connectors driven from below, clear of studs, plate joints, ends and openings. [in]

    OutOfRange names the rule that left no place.
    """
    return _places(context, count, plate_keeps(context), largest_gap_in, connector)


def open_positions(context: LineContext, count: int, connector: Connector) -> tuple[float, ...]:
    """Even places of connectors on the face of the joist, which no stud hinders. [in]"""
    return _places(context, count, NOTHING_CLOSED, None, connector)


def _places(
    context: LineContext, count: int, keeps: Closed, largest_gap_in: float | None, connector: Connector
) -> tuple[float, ...]:
    length_in, stated_in = 12 * context.length_ft, least_end_in(connector)
    end_in, rule = max(END_CLEAR_IN, stated_in), f"{stated_in:g} in from a plate joint by its report"
    joints = joints_in(context) if stated_in else ()
    return place(
        even_positions(count, 0.0, length_in),
        from_in=end_in,
        to_in=length_in - end_in,
        keeps=keeps,
        besides=[Keep(at_in, at_in, stated_in, rule) for at_in in joints],
        apart_in=max(APART_IN, least_apart_in(connector)),
        largest_gap_in=largest_gap_in,
        what=f"lines.{context.line.label}.floor_to_plate",
    )


def plate_keeps(context: LineContext, stud_clear_in: float = STUD_CLEAR_IN) -> Closed:
    """What a connector driven from below through the plates stays clear of."""
    return context.surveyed(("plate keeps", stud_clear_in), lambda bare: closed(_keeps(bare, stud_clear_in)))


def _keeps(context: LineContext, stud_clear_in: float) -> list[Keep]:
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
    rule = f"{JOINT_CLEAR_IN:g} in clear of a plate joint"
    keeps += [Keep(at_in, at_in, JOINT_CLEAR_IN, rule) for at_in in joints_in(context)]
    keeps += [Keep(12 * o.from_ft, 12 * o.to_ft, 0.0, f"outside the opening {o.label}".strip()) for o in line.openings]
    rule = "on a studded wall that was surveyed"
    return keeps + [Keep(from_in, to_in, 0.0, rule) for from_in, to_in in _bare_in(context)]


def _bare_in(context: LineContext) -> list[tuple[float, float]]:
    """Stretches of the line with no studded wall under plates: joists on the sill, a slab part, nothing surveyed."""
    studded = [(12 * part.from_ft, 12 * part.to_ft) for part in context.line.segments if part.studded]
    edges = [0.0, *(edge for stretch in studded for edge in stretch), 12 * context.length_ft]
    return [(a, b) for a, b in zip(edges[::2], edges[1::2], strict=True) if b - a > LOGGED_SLACK_IN]


def joints_in(context: LineContext) -> tuple[float, ...]:
    """Joints of both top plates as far as they were seen. [in]"""
    return context.surveyed("plate joints", lambda bare: _joints_in(bare.line))


def _joints_in(line: WallLine) -> tuple[float, ...]:
    laps = (line.plate_laps_ft, line.lower_plate_laps_ft)
    return tuple(12 * at_ft for laps_ft in laps if laps_ft != NOT_OBSERVED for at_ft in laps_ft)


def misplaced(context: LineContext, rows: tuple[ScheduleItem, ...]) -> tuple[str, ...]:
    """Places of floor-to-plate connectors and stitch nails that break a rule of the layout by more than 1/2 in.

    The same clearances as for a proposal: studs, posts, plate joints, ends, openings, and stitch nails from the
    connectors among `rows`. One sentence a place. Rows of other roles and connectors that pass no plate are left out.
    """
    through = tuple(row for row in rows if row.role == FLOOR_ROLE)
    stitches = tuple(row for row in rows if row.role == STITCH_ROLE)
    return (*misplaced_connectors(context, through), *misplaced_stitches(context, stitches, through))


def misplaced_connectors(context: LineContext, rows: tuple[ScheduleItem, ...]) -> tuple[str, ...]:
    """Connectors through the plates that break a rule of the layout by more than 1/2 in."""
    return context.surveyed(("misplaced connectors", rows), lambda bare: _misplaced_connectors(bare, rows))


def _misplaced_connectors(context: LineContext, rows: tuple[ScheduleItem, ...]) -> tuple[str, ...]:
    through = tuple(row for row in rows if passes_plates(context, row))
    return _off_limits(through, plate_keeps(context), _end_keeps(context, END_CLEAR_IN)) if through else ()


def misplaced_stitches(
    context: LineContext, rows: tuple[ScheduleItem, ...], floor_rows: tuple[ScheduleItem, ...]
) -> tuple[str, ...]:
    """Stitch nails that break a rule of the layout by more than 1/2 in, beside connectors that pass the plates."""
    return context.surveyed(
        ("misplaced stitches", rows, floor_rows), lambda bare: _misplaced_stitches(bare, rows, floor_rows)
    )


def _misplaced_stitches(
    context: LineContext, rows: tuple[ScheduleItem, ...], floor_rows: tuple[ScheduleItem, ...]
) -> tuple[str, ...]:
    if not rows:
        return ()
    besides = (*_end_keeps(context, STITCH_END_CLEAR_IN), *connector_keeps(context, floor_rows))
    return _off_limits(rows, plate_keeps(context, STITCH_STUD_CLEAR_IN), besides)


def connector_keeps(context: LineContext, rows: tuple[ScheduleItem, ...]) -> tuple[Keep, ...]:
    """What a stitch nail stays clear of beside connectors that pass the plates."""
    rule = f"{STITCH_APART_IN:g} in from a connector"
    through = (row for row in rows if row.role == FLOOR_ROLE and passes_plates(context, row))
    return tuple(Keep(at, at, STITCH_APART_IN, rule) for row in through for at in row.positions_in)


def _off_limits(rows: tuple[ScheduleItem, ...], keeps: Closed, besides: tuple[Keep, ...]) -> tuple[str, ...]:
    return tuple(
        f"{row.connector} at {at_in:g} in is not {rule}"
        for row in rows
        for at_in, rule in off_limits(row.positions_in, keeps, besides, LOGGED_SLACK_IN)
    )


def passes_plates(context: LineContext, row: ScheduleItem) -> bool:
    """Whether the row's connector goes through the top plates from below."""
    connector = context.values.connector(row.connector)
    if isinstance(connector, EvaluatedConnector):
        return connector.kind == "through-plate screw"
    return isinstance(connector, LagScrew)


def holding(context: LineContext, row: ScheduleItem) -> int:
    """How many of a row hold: one nearer to a joint or end of a plate than its edge, or its report's end, does not."""
    return context.surveyed(("holding", row), lambda bare: _holding(bare, row))


def _holding(context: LineContext, row: ScheduleItem) -> int:
    lost = _at_ends(context, row)
    if not row.positions_in or not lost:
        return row.count
    return sum([at not in lost for at in row.positions_in])


def crowded(context: LineContext, rows: tuple[ScheduleItem, ...]) -> dict[str, list[float]]:
    """Places of link 1's rows nearer to the one before than its connector may stand, by connector: the two are one.

    Of connectors through the plates, and of others whose report states a spacing. What holds nothing is left out.
    """
    return context.surveyed(("crowded", rows), lambda bare: _crowded(bare, rows))


def _crowded(context: LineContext, rows: tuple[ScheduleItem, ...]) -> dict[str, list[float]]:
    places: list[tuple[float, str]] = []
    for row in rows:
        connector = context.values.connector(row.connector)
        stated = isinstance(connector, EvaluatedConnector) and connector.minimum_spacing_in is not None
        if stated or passes_plates(context, row):
            lost = _at_ends(context, row)
            places += [(at_in, row.connector) for at_in in row.positions_in if at_in not in lost]
    found: dict[str, list[float]] = {}
    last_in = -1e9
    for at_in, key in sorted(places):
        if at_in - last_in < least_apart_in(context.values.connector(key)) - 1e-9:
            found.setdefault(key, []).append(at_in)
        else:
            last_in = at_in
    return found


def _at_ends(context: LineContext, row: ScheduleItem) -> set[float]:
    """Places of a row too near to a joint or an end of a plate to hold. [in]"""
    connector = context.values.connector(row.connector)
    stated_in = least_end_in(connector)
    through = row.role == STITCH_ROLE or passes_plates(context, row)
    if not row.positions_in or not (through or stated_in):
        return set()
    clear_in = max(edge_in(connector) if through else 0.0, stated_in)
    ends_in = (0.0, *joints_in(context), 12 * context.length_ft)
    return {at for end_in in ends_in for at in row.positions_in if abs(at - end_in) < clear_in - 1e-9}


def _end_keeps(context: LineContext, clear_in: float) -> tuple[Keep, ...]:
    length_in, rule = 12 * context.length_ft, f"{clear_in:g} in from the line's end"
    return (Keep(-12.0, 0.0, clear_in, rule), Keep(length_in, length_in + 12.0, clear_in, rule))


def far_apart(context: LineContext, rows: tuple[ScheduleItem, ...], maximum_in: float) -> tuple[str, ...]:
    """Where through-plate screws are further apart than the company's maximum. [in]"""
    return context.surveyed(("far apart", rows, maximum_in), lambda bare: _far_apart(bare, rows, maximum_in))


def _far_apart(context: LineContext, rows: tuple[ScheduleItem, ...], maximum_in: float) -> tuple[str, ...]:
    places = sorted(at for row in rows for at in row.positions_in)
    count = sum(row.count for row in rows)
    if len(places) != count:  # some without a place: at best they are even
        even_in = 12 * context.length_ft / count
        if even_in <= maximum_in + 1e-9:
            return ()
        return (f"screws at {even_in:g} in: more than the maximum spacing of {maximum_in:g} in",)
    return tuple(
        f"no screw from {a:g} to {b:g} in: more than the maximum spacing of {maximum_in:g} in"
        for a, b in _wide(context, places, maximum_in)
    )


def uneven(context: LineContext, rows: tuple[ScheduleItem, ...]) -> tuple[str, ...]:
    """Gaps in a row that leave it far from even: over twice its mean spacing and over the company's maximum."""
    return context.surveyed(("uneven", rows), lambda bare: _uneven(bare, rows))


def _uneven(context: LineContext, rows: tuple[ScheduleItem, ...]) -> tuple[str, ...]:
    places = sorted(at for row in rows for at in row.positions_in)
    if not places:
        return ()
    mean_in = 12 * context.length_ft / len(places)
    limit_in = max(2 * mean_in, context.inputs.criteria.maximum_connector_spacing_in)
    return tuple(
        f"nothing from {a:g} to {b:g} in: not spread over the line" for a, b in _wide(context, places, limit_in)
    )


def _wide(context: LineContext, places: list[float], limit_in: float) -> list[tuple[float, float]]:
    ends = (0.0, *places, 12 * context.length_ft)
    return [(one, following) for one, following in pairwise(ends) if following - one > limit_in + 1e-9]
