"""Joints of the top plates: how far the plates lap there, how many nails a lap holds, what a strap carries."""

from __future__ import annotations

from typing import Final, NamedTuple

from engineering import seats
from engineering.clauses import STATICS, convention
from engineering.connector_values import LineContext
from engineering.errors import OutOfRange
from engineering.evaluated import USE_STRAP
from engineering.inputs import NEAR_FT, NOT_OBSERVED, EvaluatedConnector, Nail, WallLine
from engineering.link_checks import RATIO_LIMIT, open_link, reason_of, value_step, weighed
from engineering.nail_spacing import NAIL_SPACING, SPACING_DIAMETERS, row_holds, rows_across
from engineering.results import Check, Step
from engineering.schedule import ScheduleItem
from engineering.sources import Source
from engineering.steps import step

NAIL_ROLE, STRAP_ROLE = "splice nails each side", "plate straps"
GROUP_DIAMETER_IN: Final = 0.25  # C_g = 1 below it
SAME_PLACE_IN: Final = 0.5
LOWER_UNSEEN: Final = "joints of the lower plate were not observed"
SPLICE = convention(9, "splice nails besides the stitch nails")
TENSION: Final = Source("AWC NDS", "2018", "3.8.1")


class Lap(NamedTuple):
    """A joint of the upper plate. `length_in` is the shorter of its two sides, None where nobody saw the lower plate.

    On each side the whole drag has to go over within the stretch from this joint to the next one of the lower plate.
    """

    at_ft: float
    length_in: float | None

    @property
    def name(self) -> str:
        """As printed."""
        return f"lap at {self.at_ft:g} ft"


def laps(context: LineContext) -> tuple[Lap, ...]:
    """The joints of the upper plate within the line, with their laps over the lower plate; none where not observed."""
    return context.surveyed("laps", lambda bare: _laps(bare.line))


def _laps(line: WallLine) -> tuple[Lap, ...]:
    if line.plate_laps_ft == NOT_OBSERVED:
        return ()
    inner = [at_ft for at_ft in line.plate_laps_ft if NEAR_FT < at_ft < line.length_ft - NEAR_FT]
    return tuple(Lap(at_ft, _length_in(line, at_ft)) for at_ft in inner)


def _length_in(line: WallLine, at_ft: float) -> float | None:
    if len(line.framing.plates_in) < 2:
        return 0.0
    if line.lower_plate_laps_ft == NOT_OBSERVED:
        return None
    joints_ft = (0.0, *line.lower_plate_laps_ft, line.length_ft)
    return 12 * min(abs(at_ft - joint_ft) for joint_ft in joints_ft)


def nails_a_lap_holds(length_in: float, width_in: float, diameter_in: float) -> int:
    """How many nails each side a lap holds, in one or two rows; the stitch nails keep the middle. All above 0."""
    apart_in = SPACING_DIAMETERS * diameter_in
    return rows_across(width_in, diameter_in) * row_holds(length_in, apart_in, apart_in)


def value(context: LineContext, key: str) -> Check:
    """One splice nail from plate to plate, or one strap across a joint; OutOfRange where it can't be used."""
    return context.surveyed(("splice", key), lambda bare: _value(bare, key))


def _value(context: LineContext, key: str) -> Check:
    line, connector = context.line, context.values.nail_or_strap(key)
    if isinstance(connector, EvaluatedConnector):
        return context.values.allowable(line, connector, USE_STRAP, (line.framing.plates,), seats.plate_strap(line))
    require_no_group_action(connector)
    return context.values.between_plates(line, connector)


def require_no_group_action(nail: Nail) -> None:
    """Raise OutOfRange for a nail so thick that a row of it needs a group action factor (NDS 11.3.6)."""
    if nail.diameter_in >= GROUP_DIAMETER_IN:
        allowed = f"must be under {GROUP_DIAMETER_IN:g} in: the group action factor is 1 there"
        raise OutOfRange("diameter_in", nail.diameter_in, allowed)


def check(context: LineContext, lap: Lap, drag_lb: float, rows: tuple[ScheduleItem, ...]) -> Check:
    """One joint: its strap, or its nails each side as many as the lap holds, against a drag. [lb]

    Straps and nails do not share: where a strap stands it carries all. Open with nothing that may be counted.
    """
    here = [row for row in rows if any(abs(place - 12 * lap.at_ft) < SAME_PLACE_IN for place in row.positions_in)]
    straps = [row for row in here if row.role == STRAP_ROLE and row.count]
    used = straps or [row for row in here if row.role == NAIL_ROLE and row.count]
    if not straps and lap.length_in == 0.0:
        return open_link(lap.name, drag_lb, "the plates do not lap here: a strap is needed")
    if not straps and lap.length_in is None:
        return open_link(lap.name, drag_lb, f"{LOWER_UNSEEN}: how far the plates lap here is not known")
    if not used:
        return open_link(lap.name, drag_lb, "no splice nails")
    what, count = "straps" if straps else "splice nails", sum(row.count for row in used)
    try:
        each = min((value(context, row.connector) for row in used), key=lambda one: one.capacity or 0.0)
        widest_in = 0.0 if straps else max(context.values.nail(row.connector).diameter_in for row in used)
    except OutOfRange as error:
        return open_link(lap.name, drag_lb, f"{what} can't be used here ({reason_of(error)})")
    if straps:
        return _weighed(
            lap,
            drag_lb,
            each,
            count,
            count,
            step("plate_straps", "n", "straps across the joint", count, "straps", SPLICE),
        )
    held, room = _room(context, lap, count, widest_in)
    if held == 0:
        reason = f"lap of {lap.length_in:.3g} in holds no nail: a strap is needed"
        return open_link(lap.name, drag_lb, reason, steps=(room,))
    scheduled = step("splice_nails_each_side", "n", "splice nails each side of the lap", count, "nails", SPLICE)
    return _weighed(lap, drag_lb, each, count, held, scheduled, room)


def _room(context: LineContext, lap: Lap, count: int, diameter_in: float) -> tuple[int, Step]:
    """How many of the nails the lap holds."""
    assert lap.length_in is not None
    width_in = context.line.framing.plate_width_in
    holds = nails_a_lap_holds(lap.length_in, width_in, diameter_in)
    return min(count, holds), step(
        "lap_holds", "n_max", "rows·(lap/(15·D) − 1), rounded down", holds, "nails", NAIL_SPACING,
        rows=rows_across(width_in, diameter_in), lap=lap.length_in, D=diameter_in
    )  # fmt: skip


def _weighed(lap: Lap, drag_lb: float, each: Check, count: int, held: int, *own: Step) -> Check:
    assert each.capacity is not None
    capacity_lb = held * each.capacity
    steps = (
        value_step("each_lb", each),
        *own,
        step("capacity_lb", "capacity", "n·Z'", capacity_lb, "lb", SPLICE, n=held, **{"Z'": each.capacity}),
    )
    return weighed(lap.name, drag_lb, capacity_lb, clause=each.clause, steps=steps)


def plate_tension(context: LineContext, drag_lb: float) -> Check:
    """The thinner plate alone under the largest drag, as at a joint of the other one. [lb]

    Recorded with its stress where nobody gave its allowable tension. Gross section: driven nails take none of it.
    """
    framing, duration = context.line.framing, context.inputs.criteria.load_duration
    thickness_in, name = min(framing.plates_in), "top plate in tension"
    section = {"t": thickness_in, "w": framing.plate_width_in}
    stress_psi = drag_lb / (thickness_in * framing.plate_width_in)
    stress = step("plate_tension_psi", "f_t", "F_max/(t·w), one plate", stress_psi, "psi", STATICS,
                  F_max=drag_lb, **section)  # fmt: skip
    if framing.plate_tension_psi == NOT_OBSERVED:
        note = f"the top plate itself, at {stress_psi:,.0f} psi, is not checked: its allowable tension was not given"
        return Check(name=name, status="recorded", demand=drag_lb, steps=(stress,), notes=(note,))
    allowed_lb = framing.plate_tension_psi * duration * thickness_in * framing.plate_width_in
    allowed = step("plate_tension_allowed_lb", "T_allow", "F_t·C_D·t·w, one plate", allowed_lb, "lb", TENSION,
                   F_t=framing.plate_tension_psi, C_D=duration, **section)  # fmt: skip
    over = (f"{drag_lb:,.0f} lb in the top plate, {allowed_lb:,.0f} lb allowed: a strap along it or a second member",)
    return weighed(
        name, drag_lb, allowed_lb, clause=str(TENSION), steps=(stress, allowed),
        warnings=over if drag_lb > allowed_lb * RATIO_LIMIT else (),
    )  # fmt: skip
