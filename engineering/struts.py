"""Struts: members in line with a wall that bring the shear of the floor beyond its end. Not the drag within it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final, Literal

from engineering import seats
from engineering.clauses import STATICS, convention
from engineering.connector_values import LineContext
from engineering.errors import OutOfRange
from engineering.evaluated import USE_STRAP
from engineering.inputs import LINE_OFF_OUTLINE_FT, NOT_OBSERVED, Member, Nail, Strut
from engineering.link_checks import RATIO_LIMIT, count_for, open_link, reason_of, shortfall, value_step, weighed
from engineering.nail_spacing import NAIL_SPACING
from engineering.plate_laps import SAME_PLACE_IN, TENSION, nails_a_lap_holds, require_no_group_action
from engineering.results import Check, Step
from engineering.schedule import ScheduleItem
from engineering.steps import step

ROLE = "strut splice"
End = Literal["zero", "far"]
COLLECTED = convention(1, "floor beyond the line's end")
NOT_CHECKED: Final = (
    "gross section, driven nails take none of it away; in compression the floor on it holds it; how joists or blocks "
    "bring the shear to it is the engineer's detail"
)


@dataclass(frozen=True, slots=True)
class Beyond:
    """Floor that a line serves beyond one of its ends, and the force that a strut brings from there. [ft, lb]"""

    end: End
    length_ft: float
    force_lb: float

    @property
    def name(self) -> str:
        """The strut there, as printed."""
        return f"strut at the {self.end} end"

    @property
    def shear_plf(self) -> float:
        """What the floor brings per foot of it."""
        return self.force_lb / self.length_ft


def reach_ft(context: LineContext, from_ft: float, to_ft: float) -> tuple[float, float]:
    """Where a part of the floor brings its shear: as far as it goes, or to the line's own end where that is near. [ft]

    An end within half a foot of the line's is how a line is measured, not floor beyond it.
    """
    length_ft = context.length_ft
    return (
        from_ft if -from_ft > LINE_OFF_OUTLINE_FT else max(0.0, from_ft),
        to_ft if to_ft - length_ft > LINE_OFF_OUTLINE_FT else min(length_ft, to_ft),
    )


def beyond(context: LineContext) -> tuple[Beyond, ...]:
    """The floor beyond each end of the line, with its part of the force that governs."""
    found: dict[End, Beyond] = {}
    for part in context.floor_parts():
        from_ft, to_ft = reach_ft(context, part.from_ft, part.to_ft)
        over_ft: dict[End, float] = {"zero": -from_ft, "far": to_ft - context.length_ft}
        for end, length_ft in over_ft.items():
            if length_ft > 0:
                before = found.get(end, Beyond(end, 0.0, 0.0))
                force_lb = part.demand_lb * length_ft / (to_ft - from_ft)
                found[end] = Beyond(end, max(before.length_ft, length_ft), before.force_lb + force_lb)
    return tuple(found.values())


def checks(context: LineContext, rows: tuple[ScheduleItem, ...]) -> tuple[Check, ...]:
    """Each end with floor beyond it: the strut in tension and its splice to the plates, by the force it brings. [lb]

    Open without a strut, with one that does not reach, or without a splice that may be counted.
    """
    return tuple(_check(context, one, rows) for one in beyond(context))


def proposed_rows(context: LineContext) -> tuple[ScheduleItem, ...]:
    """Nails or straps between each strut and the plates, for the force it brings."""
    key, rows = context.line.methods.strut_splice, []
    for one in beyond(context):
        strut = _strut(context, one)
        if not strut or not key:
            continue
        try:
            each_lb = _value(context, strut, key).capacity
        except OutOfRange:
            continue
        assert each_lb is not None
        rows.append(
            ScheduleItem(
                link="3",
                role=ROLE,
                connector=key,
                count=count_for(one.force_lb / each_lb),
                positions_in=(_place_in(context, one),),
                note=f"{one.name}, to the {'sill' if context.on_sill else 'plates'}",
            )
        )
    return tuple(rows)


def _strut(context: LineContext, one: Beyond) -> Strut | None:
    return next((strut for strut in context.line.struts if strut.end == one.end), None)


def _place_in(context: LineContext, one: Beyond) -> float:
    return 0.0 if one.end == "zero" else 12 * context.length_ft


def _value(context: LineContext, strut: Strut, key: str) -> Check:
    """One nail or strap between a strut and the plates, or the sill; OutOfRange where it can't be used."""
    line, connector = context.line, context.values.nail_or_strap(key)
    if isinstance(connector, Nail):
        require_no_group_action(connector)
        return context.values.strut_to_plate(line, strut, _wood(strut), connector)
    held = line.framing.sill if context.on_sill else line.framing.plates
    return context.values.allowable(line, connector, USE_STRAP, (held, _wood(strut)), seats.plate_strap(line))


def _wood(strut: Strut) -> Member:
    if not isinstance(strut.member, Member):
        raise OutOfRange("struts.member", strut.member, "must be observed for its splice")
    return strut.member


def _holds(context: LineContext, strut: Strut, row: ScheduleItem) -> int:
    """How many of a row count: all straps, the nails that the lap holds. OutOfRange where the lap was not observed."""
    connector = context.values.nail_or_strap(row.connector)
    if not isinstance(connector, Nail):
        return row.count
    if strut.lap_in == NOT_OBSERVED:
        raise OutOfRange("struts.lap_in", strut.lap_in, "must be observed: nails need room")
    width_in = min(strut.depth_in, context.line.framing.plate_width_in)
    return min(row.count, nails_a_lap_holds(strut.lap_in, width_in, connector.diameter_in))


def _check(context: LineContext, one: Beyond, rows: tuple[ScheduleItem, ...]) -> Check:
    name, strut = one.name, _strut(context, one)
    steps: tuple[Step, ...] = (
        step("strut_shear_plf", "v", "diaphragm shear into the strut", one.shear_plf, "plf", COLLECTED),
        step("strut_force_lb", "F", "v·b", one.force_lb, "lb", STATICS, v=one.shear_plf, b=one.length_ft),
    )
    if strut is None:
        what = f"{one.force_lb:,.0f} lb from {one.length_ft:.2f} ft of floor beyond the {one.end} end"
        return open_link(name, one.force_lb, f"no strut for {what}", steps=steps)
    if strut.length_ft < one.length_ft - LINE_OFF_OUTLINE_FT:
        reason = f"the {name} reaches {strut.length_ft:.2f} of {one.length_ft:.2f} ft of floor"
        return open_link(name, one.force_lb, reason, steps=steps)
    tension, splice = _tension(context, one, strut), _splice(context, one, strut, rows)
    steps = (*steps, *tension.steps, *splice.steps)
    if splice.status == "open":
        return open_link(name, one.force_lb, splice.notes[0], steps=steps)
    return replace(
        max(tension, splice, key=lambda check: check.ratio or 0.0),
        steps=steps,
        notes=(f"{name}: {NOT_CHECKED}", f"tension of the {name}: {strut.basis}"),
        warnings=(*tension.warnings, *splice.warnings),
    )


def _tension(context: LineContext, one: Beyond, strut: Strut) -> Check:
    duration = context.inputs.criteria.load_duration
    allowed_lb = strut.tension_psi * duration * strut.thickness_in * strut.depth_in
    allowed = step("strut_tension_lb", "T_allow", "F_t·C_D·t·d", allowed_lb, "lb", TENSION,
                   F_t=strut.tension_psi, C_D=duration, t=strut.thickness_in, d=strut.depth_in)  # fmt: skip
    over = (f"{one.name}: {one.force_lb:,.0f} lb, {allowed_lb:,.0f} lb allowed in tension: a larger member",)
    return weighed(
        one.name, one.force_lb, allowed_lb, clause=str(TENSION), steps=(allowed,),
        warnings=over if one.force_lb > allowed_lb * RATIO_LIMIT else (),
    )  # fmt: skip


def _splice(context: LineContext, one: Beyond, strut: Strut, rows: tuple[ScheduleItem, ...]) -> Check:
    name, at_in = one.name, _place_in(context, one)
    here = [row for row in rows if any(abs(place - at_in) < SAME_PLACE_IN for place in row.positions_in)]
    count = sum(row.count for row in here)
    if not count:
        return open_link(name, one.force_lb, f"the {name} has no splice")
    try:
        each = min((_value(context, strut, row.connector) for row in here), key=lambda check: check.capacity or 0.0)
        held = sum(_holds(context, strut, row) for row in here)
    except OutOfRange as error:
        return open_link(name, one.force_lb, f"the splice of the {name} can't be used ({reason_of(error)})")
    if not held:
        return open_link(name, one.force_lb, f"the lap of the {name} holds no nail")
    assert each.capacity is not None
    capacity_lb, value = held * each.capacity, {"Z'": each.capacity}
    steps = (
        value_step("strut_each_lb", each),
        step("strut_splice_count", "n", "nails that the lap holds, or straps", held, "pieces", NAIL_SPACING,
             scheduled=count),
        step("strut_splice_lb", "capacity", "n·Z'", capacity_lb, "lb", COLLECTED, n=held, **value),
        step("strut_connectors_per_ft", "n_ft", "v/Z', into the strut by the same", one.shear_plf / each.capacity,
             "1/ft", COLLECTED, v=one.shear_plf, **value),
    )  # fmt: skip
    lost = (f"the lap of the {name} holds {held} of {count} nails",) if held < count else ()
    more = shortfall(count_for(one.force_lb / each.capacity) - count, "nails or straps", f"in the splice of the {name}")
    return weighed(name, one.force_lb, capacity_lb, clause=each.clause, steps=steps, warnings=(*lost, *more))
