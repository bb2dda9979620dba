"""Link 3, the collector: drag along the top plates, and all that it passes: splices, the plate itself, struts."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import NamedTuple

from engineering import plate_laps, stitch_nailing, struts
from engineering.clauses import STATICS, convention
from engineering.connector_values import FloorForce, LineContext
from engineering.errors import OutOfRange
from engineering.inputs import LINE_OFF_OUTLINE_FT, NOT_OBSERVED, EvaluatedConnector, WallLine
from engineering.link_checks import LINK_NAMES, count_for, open_link, outside_chain, shortfall, weighed
from engineering.panel_shares import Panel, panels
from engineering.results import Check, LinkResult, Step
from engineering.schedule import LineSchedule, ScheduleItem
from engineering.steps import step

ROLE = plate_laps.NAIL_ROLE
ROLES = (ROLE, plate_laps.STRAP_ROLE, struts.ROLE)  # each row of them stands at its one place
DIAPHRAGM = convention(9, "F_px beside the story shear")
NO_DRAG_LB = 1e-6


class Stretch(NamedTuple):
    """Between two turning points: what the floor delivers and a panel resists per foot; the drag at both ends."""

    from_ft: float
    to_ft: float
    floor_plf: float
    panel_plf: float
    before_lb: float
    after_lb: float


class Drag(NamedTuple):
    """Drag force along a line, zero at both ends. [lb]"""

    stretches: tuple[Stretch, ...]

    @property
    def largest_lb(self) -> float:
        """Largest force in either direction."""
        return max([abs(one.after_lb) for one in self.stretches])

    @property
    def closure_lb(self) -> float:
        """What is left at the far end; 0 where delivered and resisted balance."""
        return self.stretches[-1].after_lb

    def largest_between_lb(self, from_ft: float, to_ft: float) -> float:
        """Largest force in either direction on a stretch of the line."""
        turns = [one.to_ft for one in self.stretches if from_ft < one.to_ft < to_ft]
        return max(abs(self.force_lb(at_ft)) for at_ft in (from_ft, *turns, to_ft))

    def force_lb(self, at_ft: float) -> float:
        """Force at a place on the line: straight between the turning points."""
        here = next(one for one in self.stretches if at_ft <= one.to_ft + 1e-9)
        return here.before_lb + (here.floor_plf - here.panel_plf) * (at_ft - here.from_ft)


def drag(context: LineContext, shared: tuple[Panel, ...], by: FloorForce | None = None) -> Drag:
    """Drag along the line: what the diaphragm delivers less what the panels resist, summed from the zero end.

    The diaphragm shear enters evenly over each rectangle's own edge, each panel resists evenly over its length; floor
    beyond an end of the line enters by its strut, so that the drag is zero at the floor's edges. By the force that
    governs, or by the one asked for; the panels' shares go with it.
    """
    demand = context.demand
    to_px = demand.diaphragm_demand_lb / demand.demand_lb if (by or context.floor_force) == "F_px" else 1.0
    delivered = []
    for part in context.floor_parts(by):
        from_ft, to_ft = struts.reach_ft(context, part.from_ft, part.to_ft)
        delivered.append((from_ft, to_ft, part.demand_lb / (to_ft - from_ft)))
    places = {0.0, context.length_ft}
    for from_ft, to_ft, _ in delivered:
        places |= {from_ft, to_ft}
    for panel in shared:
        places |= {panel.span.from_ft, panel.span.to_ft}
    stretches: list[Stretch] = []
    for from_ft, to_ft in pairwise(sorted(places)):
        middle = (from_ft + to_ft) / 2
        floor_plf = sum([plf for start, end, plf in delivered if start <= middle < end], 0.0)
        panel_plf = sum([p.unit_shear_plf for p in shared if p.span.from_ft <= middle < p.span.to_ft], 0.0) * to_px
        before_lb = stretches[-1].after_lb if stretches else 0.0
        after_lb = before_lb + (floor_plf - panel_plf) * (to_ft - from_ft)
        stretches.append(Stretch(from_ft, to_ft, floor_plf, panel_plf, before_lb, after_lb))
    return Drag(tuple(stretches))


def forces(context: LineContext, by: FloorForce | None = None) -> Drag:
    """The drag of the line with its own panels, computed once."""
    asked = by or context.floor_force
    return context.once(("drag", asked), lambda: drag(context, panels(context), asked))


def bare_floor(context: LineContext) -> tuple[str, ...]:
    """Where the joists bear on the sill: stretches of the line with no sill piece to take the floor's shear."""
    pieces = context.line.sill_pieces
    ends_ft = [0.0, *(edge for piece in pieces for edge in (piece.from_ft, piece.to_ft)), context.length_ft]
    bare = [(a, b) for a, b in zip(ends_ft[::2], ends_ft[1::2], strict=True) if b - a > LINE_OFF_OUTLINE_FT]
    return tuple(f"no sill, and no collector, under the floor from {a:g} to {b:g} ft" for a, b in bare)


def rows_of(schedule: LineSchedule) -> tuple[ScheduleItem, ...]:
    """The rows of a line's schedule that this link is made of."""
    return tuple(row for role in ROLES for row in schedule.rows(role))


def proposed_rows(context: LineContext) -> tuple[ScheduleItem, ...]:
    """Splices at each joint of the upper plate for the largest drag, and each strut's own.

    Nails each side of a lap, or straps where a strap is chosen; one row without a place where the laps are unseen.
    """
    line, key = context.line, context.line.methods.splice_nail
    own = struts.proposed_rows(context)
    if not panels(context) or not key:
        return own
    try:
        each_lb = plate_laps.value(context, key).capacity
    except OutOfRange:
        return own
    assert each_lb is not None
    count = count_for(forces(context).largest_lb / each_lb)
    if count == 0:
        return own
    strap = isinstance(context.values.connector(key), EvaluatedConnector)
    row = ScheduleItem(link="3", role=plate_laps.STRAP_ROLE if strap else ROLE, connector=key, count=count)
    if line.plate_laps_ft == NOT_OBSERVED:
        return (replace(row, note="at each lap, once found"), *own)
    return (
        *(_row_at(context, row, lap, strap) for lap in plate_laps.laps(context) if strap or lap.length_in != 0),
        *own,
    )


def _row_at(context: LineContext, row: ScheduleItem, lap: plate_laps.Lap, strap: bool) -> ScheduleItem:
    """The line's splice at one joint: as many nails as its lap has room for."""
    count = row.count
    if not strap and lap.length_in is not None:
        diameter_in = context.values.nail(row.connector).diameter_in
        room = plate_laps.nails_a_lap_holds(lap.length_in, context.line.framing.plate_width_in, diameter_in)
        count = min(count, room) or count
    return replace(row, count=count, positions_in=(12 * lap.at_ft,))


def check(context: LineContext, rows: tuple[ScheduleItem, ...]) -> LinkResult:
    """Link 3: each splice, the plate itself and each strut, at the largest drag of the line. [lb]

    Splice nails are besides the stitch nails. Open where plates or laps in a drag zone were not seen, a lap has no
    splice, or floor beyond the line's end has no strut. A plate in one piece is recorded with its drag.
    """
    name, line = LINK_NAMES["3"], context.line
    ends = struts.checks(context, tuple(row for row in rows if row.role == struts.ROLE))
    without = tuple(one.notes[0] for one in ends if one.status == "open")
    if context.on_sill:
        return _on_sill(context, ends, without)
    if not panels(context):
        return LinkResult(link="3", name=name, check=outside_chain(name, "no panel on this line to drag to"))
    along, by_px = forces(context), forces(context, "F_px")
    steps, largest_lb = _steps(along, by_px), along.largest_lb
    if without:
        return _open(largest_lb, "; ".join(without), steps, ends)
    if largest_lb <= NO_DRAG_LB:
        return LinkResult(link="3", name=name, check=outside_chain(name, "no drag: panels all along", steps=steps))
    if line.plate_laps_ft == NOT_OBSERVED:
        return _open(largest_lb, "plate laps were not observed", steps, ends)
    if line.lower_plate_laps_ft == NOT_OBSERVED and stitch_nailing.in_chain(context):
        return _open(largest_lb, f"{plate_laps.LOWER_UNSEEN}, and the panels are nailed to it", steps, ends)
    if hidden := _hidden(line, along):
        return _open(largest_lb, "; ".join(hidden), steps, ends)
    joints = plate_laps.laps(context)
    parts = tuple(plate_laps.check(context, one, abs(along.force_lb(one.at_ft)), rows) for one in joints)
    if opened := [part for part in parts if part.status == "open"]:
        reasons = "; ".join(f"{part.name}: {part.notes[0]}" for part in opened)
        return _open(largest_lb, reasons, steps, (*parts, *ends))
    tension = plate_laps.plate_tension(context, largest_lb)
    others = (*ends, tension)
    checks = (_splices(parts, largest_lb, by_px), *others) if parts else others
    notes = (*_notes(line, joints), *(note for one in checks for note in one.notes))
    steps = (*steps, *(one for check in checks for one in check.steps))
    ratios = [one for one in checks if one.ratio is not None]
    if not ratios:
        recorded = Check(name=name, status="recorded", demand=largest_lb, steps=steps, notes=notes)
        return LinkResult(link="3", name=name, check=recorded)
    worst = max(ratios, key=lambda one: one.ratio or 0.0)
    warnings = tuple(warning for one in checks for warning in one.warnings)
    checked = replace(worst, name=name, steps=steps, notes=notes, warnings=warnings)
    return LinkResult(link="3", name=name, check=checked, parts=(*parts, *(one for one in others if one in ratios)))


def _on_sill(context: LineContext, ends: tuple[Check, ...], without: tuple[str, ...]) -> LinkResult:
    """No panel to drag to: floor beyond the line's ends, or beside a sill piece, still has to reach a sill."""
    name = LINK_NAMES["3"]
    if reasons := (*without, *bare_floor(context)):
        return _open(context.floor_demand_lb, "; ".join(reasons), (), ends)
    if not ends:
        return LinkResult(link="3", name=name, check=outside_chain(name, "no panel on this line to drag to"))
    worst = max(ends, key=lambda one: one.ratio or 0.0)
    return LinkResult(link="3", name=name, check=replace(worst, name=name), parts=ends)


def _open(drag_lb: float, reason: str, steps: tuple[Step, ...], parts: tuple[Check, ...]) -> LinkResult:
    opened = open_link(LINK_NAMES["3"], drag_lb, reason, steps=steps)
    return LinkResult(link="3", name=LINK_NAMES["3"], check=opened, parts=parts)


def _hidden(line: WallLine, along: Drag) -> tuple[str, ...]:
    """Stretches of the plates in a drag zone that nobody could see."""
    return tuple(
        f"plates from {one.from_ft:g} to {one.to_ft:g} ft were not seen, drag up to {largest_lb:,.0f} lb"
        for one in line.plates_unseen
        if (largest_lb := along.largest_between_lb(one.from_ft, one.to_ft)) > NO_DRAG_LB
    )


def _splices(parts: tuple[Check, ...], largest_lb: float, by_px: Drag) -> Check:
    """The weakest splice: each for the largest drag of the line, one without the room for that for its own."""
    weighed_parts = [_splice(part, largest_lb) for part in parts]
    worst = max(weighed_parts, key=lambda part: part.ratio or 0.0)
    each_lb = float(worst.step("each_lb").value)
    straps = any(one.key == "plate_straps" for one in worst.steps)
    key, unit = ("px_plate_straps", "straps") if straps else ("px_splice_nails_each_side", "nails")
    needed = step(key, "n_px", "F_px,max/Z', rounded up", count_for(by_px.largest_lb / each_lb), unit, DIAPHRAGM,
                  **{"F_px,max": by_px.largest_lb, "Z'": each_lb})  # fmt: skip
    notes = tuple(note for part in weighed_parts for note in part.notes)
    warnings = tuple(dict.fromkeys(warning for part in weighed_parts for warning in part.warnings))
    return replace(worst, steps=(*worst.steps, needed), notes=notes, warnings=warnings)


def _splice(part: Check, largest_lb: float) -> Check:
    """One joint as it counts on the line: for the largest drag where it has the room, else for its own."""
    assert part.capacity is not None
    assert part.demand is not None
    values = {one.key: float(one.value) for one in part.steps if one.key != "each_lb"}
    each_lb = float(part.step("each_lb").value)
    room, needed = values.get("lap_holds"), count_for(largest_lb / each_lb)
    if room is None or room >= needed:
        counted, what = values.get("plate_straps"), "plate straps"
        if counted is None:
            counted, what = values["splice_nails_each_side"], ROLE
        more = shortfall(needed - int(counted), what, "at each lap")
        return weighed(part.name, largest_lb, part.capacity, clause=part.clause, steps=part.steps, warnings=more)
    note = f"{part.name} has room for {room:g} of {needed} nails: checked for its own drag, {part.demand:,.0f} lb"
    over = (f"{part.name}: {count_for(part.demand / each_lb)} nails needed, room for {room:g}: a strap is needed",)
    return replace(part, notes=(note,), warnings=over if part.status == "over" else ())


def _notes(line: WallLine, joints: tuple[plate_laps.Lap, ...]) -> tuple[str, ...]:
    if not joints:
        return ("upper plate in one piece: no splice to make, drag recorded",)
    return ()


def _steps(along: Drag, by_px: Drag) -> tuple[Step, ...]:
    expression = "F_before + (v_floor − v_panel)·Δx"
    return (
        *(
            step(f"drag_at_{one.to_ft:g}_ft_lb", f"F({one.to_ft:g} ft)", expression, one.after_lb, "lb", STATICS,
                 F_before=one.before_lb, v_floor=one.floor_plf, v_panel=one.panel_plf, Δx=one.to_ft - one.from_ft)
            for one in along.stretches[:-1]
        ),
        step("drag_closure_lb", "F(end)", "must be 0 at the far end", along.closure_lb, "lb", STATICS),
        step("drag_max_lb", "F_max", "largest |F|", along.largest_lb, "lb", STATICS),
        step("px_drag_max_lb", "F_px,max", "largest |F| by F_px, panels in proportion", by_px.largest_lb, "lb",
             DIAPHRAGM),
    )  # fmt: skip
