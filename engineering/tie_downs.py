"""Links 7a and 7b: overturning of each panel, net tension, tie-downs, their anchors, compression on the sill."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import Final, NamedTuple

from engineering import seats
from engineering.clauses import BEARING, asce, convention
from engineering.connector_values import LineContext
from engineering.errors import OutOfRange, require_positive, require_within
from engineering.evaluated import USE_TIE_DOWN, USE_TIE_DOWN_ANCHOR, Seat
from engineering.footings import concrete_end_in, unfit_foundation
from engineering.inputs import EvaluatedConnector, Member, Span, WallLine
from engineering.link_checks import LINK_NAMES, RATIO_LIMIT, open_link, outside_chain, reason_of, weighed
from engineering.panel_shares import Panel, panels, stud_heights_ft
from engineering.plate_washers import borne_in
from engineering.results import Check, LinkResult, Step
from engineering.schedule import ScheduleItem
from engineering.sill_anchors import adhesive_steps, too_weak_for_adhesive
from engineering.sources import Source
from engineering.steps import step

ROLE, ANCHOR_ROLE = "tie-downs", "tie-down anchors"
ENDS = 2
ROD_TOLERANCE_IN = 0.5  # a rod's place as built; further in, the arm is another ("common practice, no source")
RATIOS = ("tension_ratio", "bearing_ratio")
OVERTURNING = convention(11, "about the panel end, arm to the tie-down rod")
WET_SERVICE = Source("AWC NDS Supplement", "2018", "Table 4A, wet service factor of F_c⊥")
WET_BEARING = 0.67
VERTICAL_ASD = 0.14  # 0.7 of E_v = 0.2·S_DS·D
NOT_A_COLUMN = "the end posts are not checked as columns, nor for the sill's bearing area factor (C_b = 1)"
SEISMIC_TENSION: Final = (
    "the anchor's value already contains what the concrete standard asks for in seismic tension, by its report"
)


class Overturning(NamedTuple):
    """What a panel's shear does at its ends. Tension is net of dead load, negative where none is left. [lb]"""

    tension_lb: float
    compression_lb: float
    steps: tuple[Step, ...]


def overturning(
    *,
    shear_lb: float,
    height_ft: float,
    length_ft: float,
    arm_ft: float,
    dead_load_plf: float,
    dead_load_factor: float,
    compression_factor: float,
) -> Overturning:
    """Net tension and compression at a panel's ends. [lb]

    T = (V·h − f·w·b²/2)/arm, C = V·h/arm + f_c·w·b/2, about the panel end: the dead load turns about the end, the
    rod and the post about each other. All above 0 but the dead load and its factor, which may be 0; arm at most b;
    else OutOfRange. ASCE 7 2.4.5; convention 11.
    """
    require_positive(shear_lb=shear_lb, height_ft=height_ft, length_ft=length_ft, compression_factor=compression_factor)
    require_within("arm_ft", arm_ft, 1e-9, length_ft)
    require_within("dead_load_plf", dead_load_plf, 0.0, 1e6)
    require_within("dead_load_factor", dead_load_factor, 0.0, 1.0)
    moment, dead_moment = shear_lb * height_ft, dead_load_plf * length_ft**2 / 2
    tension_lb = (moment - dead_load_factor * dead_moment) / arm_ft
    compression_lb = moment / arm_ft + compression_factor * dead_load_plf * length_ft / 2
    steps = (
        step("shear_lb", "V", "v·b", shear_lb, "lb", OVERTURNING, v=shear_lb / length_ft, b=length_ft),
        step("overturning_ft_lb", "M", "V·h", moment, "ft·lb", OVERTURNING, V=shear_lb, h=height_ft),
        step("dead_moment_ft_lb", "M_D", "w·b²/2", dead_moment, "ft·lb", OVERTURNING, w=dead_load_plf, b=length_ft),
        step("net_tension_lb", "T", "(M − f·M_D)/arm", tension_lb, "lb", OVERTURNING,
             M=moment, f=dead_load_factor, M_D=dead_moment, arm=arm_ft),
        step("compression_lb", "C", "M/arm + f_c·w·b/2", compression_lb, "lb", OVERTURNING,
             M=moment, arm=arm_ft, f_c=compression_factor, w=dead_load_plf, b=length_ft),
    )  # fmt: skip
    return Overturning(tension_lb, compression_lb, steps)


def panel_overturning(context: LineContext, panel: Panel) -> Overturning:
    """Overturning of one panel of the line, under the dead load that the survey shows on that wall."""
    return context.once(("overturning", panel.number), lambda: _panel_overturning(context, panel))


def _panel_overturning(context: LineContext, panel: Panel) -> Overturning:
    post, vertical = context.line.end_post, context.demand.vertical_asd
    arm_ft = panel.length_ft - (post.rod_from_end_in + post.compression_from_end_in) / 12
    turned = overturning(
        shear_lb=panel.share_lb,
        height_ft=panel.height_ft,
        length_ft=panel.length_ft,
        arm_ft=arm_ft,
        dead_load_plf=dead_load_plf(context),
        dead_load_factor=0.6 - vertical,
        compression_factor=1.0 + vertical,
    )
    arm = step("arm_ft", "arm", "b − (a_rod + a_C)/12", arm_ft, "ft", OVERTURNING,
               b=panel.length_ft, a_rod=post.rod_from_end_in, a_C=post.compression_from_end_in)  # fmt: skip
    return Overturning(turned.tension_lb, turned.compression_lb, (arm, *turned.steps))


def dead_load_plf(context: LineContext) -> float:
    """Dead load on the line that the survey shows. [lb/ft]"""
    return sum([load.weight_plf for load in context.line.dead_loads], 0.0)


def end_post_wood(context: LineContext) -> Member:
    """What the end posts are of: as chosen for them, else the studs' wood."""
    return context.line.end_post.member or context.line.framing.studs


def proposed_rows(context: LineContext) -> tuple[ScheduleItem, ...]:
    """A tie-down at both ends of each panel with net tension, and an anchor for each."""
    rows = []
    methods, post = context.line.methods, context.line.end_post
    for panel in panels(context):
        if panel_overturning(context, panel).tension_lb <= 0:
            continue
        places = (12 * panel.span.from_ft + post.rod_from_end_in, 12 * panel.span.to_ft - post.rod_from_end_in)
        for link, role, key in (("7a", ROLE, methods.tie_down), ("7b", ANCHOR_ROLE, methods.tie_down_anchor)):
            if not key or (link == "7b" and unfit_foundation(context.line.foundation)):
                continue
            row = ScheduleItem(link=link, role=role, connector=key, count=ENDS, positions_in=places, panel=panel.number)
            rows.append(row)
    return tuple(rows)


def check_7a(context: LineContext, rows: tuple[ScheduleItem, ...]) -> LinkResult:
    """Link 7a: net tension against the tie-down at each end, compression on the sill under the end post. [lb]

    The moment of the stories above is left out and printed (convention 11). What needs no tie-down says so with its
    numbers; a post that two panels share is charged with each panel's force alone.
    """
    name = LINK_NAMES["7a"]
    shared = panels(context)
    if not shared:
        return LinkResult(link="7a", name=name, check=outside_chain(name, "no panel on this line"))
    turned = {panel.number: panel_overturning(context, panel) for panel in shared}
    parts = tuple(_panel_check(context, panel, turned[panel.number], rows) for panel in shared)
    steps = [*_factor_steps(context), _needed_step(turned)]
    tension_lb = max(one.tension_lb for one in turned.values())
    notes = _notes(context, shared, parts)
    if opened := [part for part in parts if part.status == "open"]:
        reason = "; ".join(f"{part.name}: {part.notes[0]}" for part in opened)
        check = open_link(name, tension_lb, reason, steps=(*steps, *opened[0].steps))
        return LinkResult(link="7a", name=name, check=replace(check, notes=(*check.notes, *notes)), parts=parts)
    worst = max(parts, key=lambda part: part.ratio or 0.0)
    assert worst.demand is not None
    assert worst.capacity is not None
    ratios = [
        max((part.step(key) for part in parts), key=lambda one: float(one.value))
        for key in RATIOS
    ]  # fmt: skip
    checked = weighed(
        name,
        worst.demand,
        worst.capacity,
        clause=worst.clause,
        steps=(*steps, *(one for one in worst.steps if one.key not in RATIOS), *ratios),
        notes=notes,
        warnings=tuple(warning for part in parts for warning in part.warnings),
    )
    return LinkResult(link="7a", name=name, check=checked, parts=parts)


def check_7b(context: LineContext, rows: tuple[ScheduleItem, ...]) -> LinkResult:
    """Link 7b: net tension against the evaluated anchor in the concrete, only where a tie-down is needed. [lb]"""
    name = LINK_NAMES["7b"]
    turned = {panel.number: panel_overturning(context, panel) for panel in panels(context)}
    pulled = {number: one.tension_lb for number, one in turned.items() if one.tension_lb > 0}
    steps = (_in_chain_step(turned),)
    if not pulled:
        return LinkResult(link="7b", name=name, check=outside_chain(name, "no net tension", steps=steps))
    parts = tuple(_anchor_check(context, number, tension_lb, rows) for number, tension_lb in pulled.items())
    if opened := [part for part in parts if part.status == "open"]:
        reason = "; ".join(dict.fromkeys(part.notes[0] for part in opened))
        check = open_link(name, max(pulled.values()), reason, steps=steps)
        return LinkResult(link="7b", name=name, check=check, parts=parts)
    worst = max(parts, key=lambda part: part.ratio or 0.0)
    assert worst.demand is not None
    assert worst.capacity is not None
    checked = weighed(
        name,
        worst.demand,
        worst.capacity,
        clause=worst.clause,
        steps=(*steps, *worst.steps),
        notes=(SEISMIC_TENSION, *dict.fromkeys(note for part in parts for note in part.notes)),
        warnings=tuple(warning for part in parts for warning in part.warnings),
    )
    return LinkResult(link="7b", name=name, check=checked, parts=parts)


def _panel_check(context: LineContext, panel: Panel, turned: Overturning, rows: tuple[ScheduleItem, ...]) -> Check:
    name, post, framing = f"panel {panel.number}", context.line.end_post, context.line.framing
    wet = WET_BEARING if framing.moisture == "wet" else 1.0
    depth_in = min(post.depth_in, borne_in(context.line))  # what stands out beyond sill or concrete bears on nothing
    if depth_in <= 0:
        return open_link(name, turned.compression_lb, "the sill under the end posts bears on no concrete")
    bearing_lb = post.width_in * depth_in * framing.sill_bearing_psi * wet
    bearing_ratio = turned.compression_lb / bearing_lb
    sides = {"width": post.width_in, "depth": depth_in, "F_c⊥": framing.sill_bearing_psi}
    steps = (
        *turned.steps,
        step("bearing_lb", "C_allow", "width·depth·F_c⊥·C_M", bearing_lb, "lb", WET_SERVICE, **sides, C_M=wet)
        if wet < 1
        else step("bearing_lb", "C_allow", "width·depth·F_c⊥", bearing_lb, "lb", BEARING, **sides),
        step("bearing_ratio", "C/C_allow", "C/C_allow", bearing_ratio, "-", BEARING,
             C=turned.compression_lb, C_allow=bearing_lb),
    )  # fmt: skip
    tension_lb = turned.tension_lb
    if tension_lb <= 0:
        none = step("tension_ratio", "T/allowable", "0: no net tension", 0.0, "-", OVERTURNING, T=tension_lb)
        over = _too_much(name, "compression on the sill", turned.compression_lb, bearing_lb)
        notes = (f"{name}: tie-down not required, uplift = {tension_lb:,.0f} lb",)
        return weighed(
            name, turned.compression_lb, bearing_lb, clause=str(BEARING), steps=(*steps, none), notes=notes,
            warnings=over,
        )  # fmt: skip
    value, reason = _value(context, panel, rows, ROLE)
    if value is None or value.capacity is None:
        return open_link(name, tension_lb, reason, steps=steps)
    ratio = tension_lb / value.capacity
    pulled = step("tension_ratio", "T/allowable", "T/allowable", ratio, "-", _report(value),
                  T=tension_lb, allowable=value.capacity)  # fmt: skip
    steps = (*steps, pulled)
    if ratio >= bearing_ratio:
        over = _too_much(name, "tension", tension_lb, value.capacity)
        return weighed(name, tension_lb, value.capacity, clause=value.clause, steps=steps, warnings=over)
    over = _too_much(name, "compression on the sill", turned.compression_lb, bearing_lb)
    return weighed(name, turned.compression_lb, bearing_lb, clause=str(BEARING), steps=steps, warnings=over)


def _anchor_check(context: LineContext, number: int, tension_lb: float, rows: tuple[ScheduleItem, ...]) -> Check:
    name = f"panel {number}"
    if reason := unfit_foundation(context.line.foundation):
        return open_link(name, tension_lb, reason)
    value, reason = _value(context, panels(context)[number - 1], rows, ANCHOR_ROLE)
    if value is None or value.capacity is None:
        return open_link(name, tension_lb, f"{name}: {reason}")
    keys = dict.fromkeys(row.connector for row in rows if row.role == ANCHOR_ROLE and row.panel == number)
    anchors = [context.values.evaluated(key, "tie-down anchor") for key in keys]
    concrete_psi = context.line.foundation.concrete_psi
    if weak := next(filter(None, (too_weak_for_adhesive(anchor, concrete_psi) for anchor in anchors)), ""):
        return open_link(name, tension_lb, f"{name}: {weak}")
    inspected = {one.key: one for anchor in anchors for one in adhesive_steps(anchor)[0]}.values()
    notes = tuple(note for anchor in anchors for note in adhesive_steps(anchor)[1])
    pulled = step("anchor_ratio", "T/allowable", "T/allowable", tension_lb / value.capacity, "-", _report(value),
                  T=tension_lb, allowable=value.capacity)  # fmt: skip
    over = _too_much(name, "tension", tension_lb, value.capacity)
    steps = (*value.steps, pulled, *inspected)
    return weighed(name, tension_lb, value.capacity, clause=value.clause, steps=steps, notes=notes, warnings=over)


def _too_much(name: str, what: str, demand_lb: float, capacity_lb: float) -> tuple[str, ...]:
    """No count mends this: the panel needs a stronger part, more length or more dead load."""
    if demand_lb <= capacity_lb * RATIO_LIMIT:
        return ()
    return (f"{name}: {demand_lb:,.0f} lb of {what}, {capacity_lb:,.0f} lb allowed: a stronger part or a longer panel",)


def _value(context: LineContext, panel: Panel, rows: tuple[ScheduleItem, ...], role: str) -> tuple[Check | None, str]:
    """The least value among a panel's tie-downs (or their anchors), or why there is none: both ends need one."""
    here = [row for row in rows if row.role == role and row.panel == panel.number]
    missing = ENDS - sum(row.count for row in here)
    places = [at for row in here for at in row.positions_in]
    if places:  # the arm is to these rods: one nearer the middle pulls harder
        from_in, to_in = 12 * panel.span.from_ft, 12 * panel.span.to_ft
        rod_in = context.line.end_post.rod_from_end_in + ROD_TOLERANCE_IN
        missing = ENDS - any(0 <= at - from_in <= rod_in for at in places)
        missing -= any(0 <= to_in - at <= rod_in for at in places)
    what = role if missing > 1 else role.removesuffix("s")
    if missing > 0:
        return None, f"{missing} more {what} needed, one at each end"
    kind, use = ("tie-down", USE_TIE_DOWN) if role == ROLE else ("tie-down anchor", USE_TIE_DOWN_ANCHOR)
    try:
        parts = [context.values.evaluated(row.connector, kind) for row in here]
        post = (end_post_wood(context),) if role == ROLE else ()
        seat = _seat(context, panel, role)
        values = [context.values.allowable(context.line, part, use, post, seat) for part in parts]
        if role == ANCHOR_ROLE:
            for row, part in zip(here, parts, strict=True):
                _require_apart(context, row, part, rows)
    except OutOfRange as error:
        return None, reason_of(error)
    return min(values, key=lambda value: value.capacity or 0.0), ""


def _seat(context: LineContext, panel: Panel, role: str) -> Seat:
    return context.surveyed(("seat", role, panel.number), lambda bare: _seat_of(bare.line, panel.span, role))


def _seat_of(line: WallLine, span: Span, role: str) -> Seat:
    if role == ANCHOR_ROLE:
        return seats.tie_down_anchor(line)
    return seats.tie_down(line, min(stud_heights_ft(line, span)))


def _require_apart(
    context: LineContext, row: ScheduleItem, anchor: EvaluatedConnector, rows: tuple[ScheduleItem, ...]
) -> None:
    """Raise OutOfRange for a rod nearer to the concrete's end or another anchor than its report states. [in]"""
    end_in, apart_in = anchor.minimum_end_in, anchor.minimum_spacing_in
    for at_in in row.positions_in:
        if end_in is not None and (has_in := concrete_end_in(context.line, at_in)) < end_in - 1e-9:
            allowed = f"{has_in:.3g} in from the concrete's end: {anchor.report} asks for at least {end_in:g} in"
            raise OutOfRange("positions_in", at_in, allowed)
        others = [
            at for one in rows if one.role != ROLE for at in one.positions_in if (one.role, at) != (row.role, at_in)
        ]
        near_in = min((abs(at - at_in) for at in others), default=1e9)
        if apart_in is not None and near_in < apart_in - 1e-9:
            allowed = f"{near_in:.3g} in from another anchor: {anchor.report} asks for at least {apart_in:g} in"
            raise OutOfRange("positions_in", at_in, allowed)
    if not row.positions_in and (end_in is not None or apart_in is not None):
        raise OutOfRange("positions_in", (), f"must be given: {anchor.report} asks for distances from it")


def _report(value: Check) -> Source:
    return value.steps[-1].source


def _notes(context: LineContext, shared: tuple[Panel, ...], parts: tuple[Check, ...]) -> tuple[str, ...]:
    above_ft_lb, post_ft = context.demand.moment_above_ft_lb, context.line.end_post.width_in / 12
    notes = [f"the moment of the stories above, {above_ft_lb:,.0f} ft·lb on the whole line, is left out"]
    notes += [note for part in parts if part.status != "open" for note in part.notes]
    notes += [
        f"panels {one.number} and {two.number} share a post: their opposite forces are not set against each other"
        for one, two in pairwise(shared)
        if two.span.from_ft - one.span.to_ft < post_ft
    ]
    return (*notes, NOT_A_COLUMN)


def _factor_steps(context: LineContext) -> list[Step]:
    family, vertical = context.inputs.criteria.code_family, context.demand.vertical_asd
    combination, dead = asce(family, "2.4.5"), context.line.dead_loads
    category, above_ft_lb = context.inputs.hazard.seismic_design_category, context.demand.moment_above_ft_lb
    return [
        step("dead_load_plf", "w", "dead load that the survey shows", dead_load_plf(context), "plf", OVERTURNING,
             **{load.label: load.weight_plf for load in dead}),
        step("vertical_effect", "e_v", "0.7·0.2·S_DS", vertical, "-", asce(family, "12.4.2.2"),
             S_DS=vertical / VERTICAL_ASD)
        if vertical
        else step("vertical_effect", "e_v", f"taken as 0 in SDC {category}", 0.0, "-", asce(family, "12.4.2.2")),
        step("dead_load_factor", "f", "0.6 − e_v", 0.6 - vertical, "-", combination, e_v=vertical),
        step("compression_factor", "f_c", "1.0 + e_v", 1.0 + vertical, "-", combination, e_v=vertical),
        step("omitted_moment_ft_lb", "M_above", "0.7·ρ·ΣF_i·(h_i − h)·level, left out", above_ft_lb, "ft·lb",
             OVERTURNING),
    ]  # fmt: skip


def _needed_step(turned: dict[int, Overturning]) -> Step:
    pulled = sum(one.tension_lb > 0 for one in turned.values())
    return step("tie_down_count_needed", "n", f"{ENDS}·n_T, panels with net tension", ENDS * pulled, "tie-downs",
                OVERTURNING, n_T=pulled)  # fmt: skip


def _in_chain_step(turned: dict[int, Overturning]) -> Step:
    largest_lb = max((one.tension_lb for one in turned.values()), default=0.0)
    return step("in_chain", "in the chain", "T_max > 0", largest_lb > 0, "-", OVERTURNING, T_max=largest_lb)
