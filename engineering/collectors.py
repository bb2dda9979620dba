"""Link 3, the collector: drag force along the top plates, splices at their laps, floor beyond a line's end."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from engineering.clauses import STATICS, convention
from engineering.connector_values import LineContext
from engineering.errors import OutOfRange
from engineering.inputs import LINE_OFF_OUTLINE_FT, NOT_OBSERVED
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
from engineering.results import Check, LinkResult, Step
from engineering.schedule import ScheduleItem
from engineering.steps import step
from engineering.wall_panels import Panel, panels

ROLE = "splice nails each side"
NO_DRAG_LB = 1e-6


@dataclass(frozen=True, slots=True)
class Stretch:
    """Between two turning points: what the floor delivers and a panel resists per foot, and the drag at its end."""

    from_ft: float
    to_ft: float
    floor_plf: float
    panel_plf: float
    before_lb: float

    @property
    def after_lb(self) -> float:
        """Drag at the far end of the stretch."""
        return self.before_lb + (self.floor_plf - self.panel_plf) * (self.to_ft - self.from_ft)


@dataclass(frozen=True, slots=True)
class Drag:
    """Drag force along a line, zero at both ends. [lb]"""

    stretches: tuple[Stretch, ...]

    @property
    def largest_lb(self) -> float:
        """Largest force in either direction."""
        return max(abs(one.after_lb) for one in self.stretches)

    @property
    def closure_lb(self) -> float:
        """What is left at the far end; 0 where delivered and resisted balance."""
        return self.stretches[-1].after_lb

    def force_lb(self, at_ft: float) -> float:
        """Force at a place on the line: straight between the turning points."""
        here = next(one for one in self.stretches if at_ft <= one.to_ft + 1e-9)
        return here.before_lb + (here.floor_plf - here.panel_plf) * (at_ft - here.from_ft)


def drag(context: LineContext, shared: tuple[Panel, ...]) -> Drag:
    """Drag along the line: what the diaphragm delivers less what the panels resist, summed from the zero end.

    The diaphragm shear enters evenly over each rectangle's own edge, each panel resists evenly over its length.
    """
    delivered = context.delivered()
    places = {0.0, context.demand.length_ft}
    places.update(edge for from_ft, to_ft, _ in delivered for edge in (from_ft, to_ft))
    places.update(edge for panel in shared for edge in (panel.span.from_ft, panel.span.to_ft))
    stretches: list[Stretch] = []
    for from_ft, to_ft in pairwise(sorted(places)):
        middle = (from_ft + to_ft) / 2
        floor_plf = sum((plf for start, end, plf in delivered if start <= middle < end), 0.0)
        panel_plf = sum((p.unit_shear_plf for p in shared if p.span.from_ft <= middle < p.span.to_ft), 0.0)
        before_lb = stretches[-1].after_lb if stretches else 0.0
        stretches.append(Stretch(from_ft, to_ft, floor_plf, panel_plf, before_lb))
    return Drag(tuple(stretches))


def struts(context: LineContext) -> tuple[str, ...]:
    """Where the floor that the line serves reaches beyond the line's end: a strut has to bring its shear. [lb]"""
    found = []
    for part in context.demand.parts:
        over = {"zero": -part.from_ft, "far": part.to_ft - context.demand.length_ft}
        for end, beyond_ft in over.items():
            if beyond_ft > LINE_OFF_OUTLINE_FT:
                force_lb = part.demand_lb * beyond_ft / (part.to_ft - part.from_ft)
                found.append(f"no strut for {force_lb:,.0f} lb from {beyond_ft:.2f} ft of floor beyond the {end} end")
    return tuple(found)


def bare_floor(context: LineContext) -> tuple[str, ...]:
    """Where the joists bear on the sill: stretches of the line with no sill piece to take the floor's shear."""
    pieces = context.line.sill_pieces
    ends_ft = [0.0, *(edge for piece in pieces for edge in (piece.from_ft, piece.to_ft)), context.demand.length_ft]
    bare = [(a, b) for a, b in zip(ends_ft[::2], ends_ft[1::2], strict=True) if b - a > LINE_OFF_OUTLINE_FT]
    return tuple(f"no sill, and no collector, under the floor from {a:g} to {b:g} ft" for a, b in bare)


def proposed_rows(context: LineContext) -> tuple[ScheduleItem, ...]:
    """Splice nails at each plate lap for the largest drag on the line; one row without a place where unseen."""
    line, key = context.line, context.line.methods.splice_nail
    shared = panels(context)
    if not shared or not key:
        return ()
    try:
        nail_lb = context.values.plate_to_plate(line, key).capacity
    except OutOfRange:
        return ()
    assert nail_lb is not None
    count = count_for(drag(context, shared).largest_lb / nail_lb)
    if count == 0:
        return ()
    if line.plate_laps_ft == NOT_OBSERVED:
        return (ScheduleItem(link="3", role=ROLE, connector=key, count=count, note="at each lap, once found"),)
    return tuple(
        ScheduleItem(link="3", role=ROLE, connector=key, count=count, positions_in=(12 * at_ft,))
        for at_ft in line.plate_laps_ft
    )


def check(context: LineContext, rows: tuple[ScheduleItem, ...]) -> LinkResult:
    """Link 3: each splice at the largest drag of the line (besides the stitch nails). [lb]

    Open where laps in a drag zone were not seen, a lap has no splice, or floor beyond the line's end has no strut. A
    plate in one piece is recorded with its drag.
    """
    name, line = LINK_NAMES["3"], context.line
    shared = panels(context)
    if context.on_sill and (reasons := (*struts(context), *bare_floor(context))):
        return _open(context.demand.demand_lb, "; ".join(reasons), ())
    if not shared:
        return LinkResult(link="3", name=name, check=outside_chain(name, "no panel on this line to drag to"))
    forces = drag(context, shared)
    steps = _steps(forces)
    largest_lb = forces.largest_lb
    if reasons := struts(context):
        return _open(largest_lb, "; ".join(reasons), steps)
    if largest_lb <= NO_DRAG_LB:
        return LinkResult(link="3", name=name, check=outside_chain(name, "no drag: panels all along", steps=steps))
    if line.plate_laps_ft == NOT_OBSERVED:
        return _open(largest_lb, "plate laps were not observed", steps)
    if not line.plate_laps_ft:
        note = "upper plate in one piece: no splice to make, drag recorded"
        recorded = Check(name=name, status="recorded", demand=largest_lb, steps=steps, notes=(note,))
        return LinkResult(link="3", name=name, check=recorded)
    parts = []
    for at_ft in line.plate_laps_ft:
        part = _lap(context, forces, at_ft, rows)
        if part.status == "open":
            return _open(largest_lb, f"lap at {at_ft:g} ft: {part.notes[0]}", steps)
        parts.append(part)
    weakest = min(parts, key=lambda part: part.capacity or 0.0)
    assert weakest.capacity is not None
    assert weakest.demand is not None
    nails = weakest.step("splice_nails_each_side")
    nail_lb = float(weakest.step("each_lb").value)
    more = count_for(largest_lb / nail_lb) - int(nails.value)
    checked = weighed(
        name,
        largest_lb,
        weakest.capacity,
        clause=weakest.clause,
        steps=(*steps, *weakest.steps),
        warnings=shortfall(more, "splice nails each side", "at each lap"),
    )
    return LinkResult(link="3", name=name, check=checked, parts=tuple(parts))


def _open(drag_lb: float, reason: str, steps: tuple[Step, ...]) -> LinkResult:
    return LinkResult(link="3", name=LINK_NAMES["3"], check=open_link(LINK_NAMES["3"], drag_lb, reason, steps=steps))


def _lap(context: LineContext, forces: Drag, at_ft: float, rows: tuple[ScheduleItem, ...]) -> Check:
    """One lap: its nails against the drag where it lies."""
    name = f"lap at {at_ft:g} ft"
    here = [row for row in rows if any(abs(place - 12 * at_ft) < 0.5 for place in row.positions_in)]
    count = sum(row.count for row in here)
    if not count:
        return open_link(name, abs(forces.force_lb(at_ft)), "no splice nails")
    try:
        value = min(
            (context.values.plate_to_plate(context.line, row.connector) for row in here),
            key=lambda check: check.capacity or 0.0,
        )
    except OutOfRange as error:
        return open_link(name, abs(forces.force_lb(at_ft)), f"splice nails can't be used here ({reason_of(error)})")
    assert value.capacity is not None
    rule = convention(9, "splice nails besides the stitch nails")
    steps = (
        value_step("each_lb", value),
        step("splice_nails_each_side", "n", "splice nails each side of the lap", count, "nails", rule),
        step("capacity_lb", "capacity", "n·Z'", count * value.capacity, "lb", rule, n=count, Z=value.capacity),
    )
    return weighed(name, abs(forces.force_lb(at_ft)), count * value.capacity, clause=value.clause, steps=steps)


def _steps(forces: Drag) -> tuple[Step, ...]:
    expression = "F_before + (v_floor − v_panel)·Δx"
    return (
        *(
            step(f"drag_at_{one.to_ft:g}_ft_lb", f"F({one.to_ft:g} ft)", expression, one.after_lb, "lb", STATICS,
                 F_before=one.before_lb, v_floor=one.floor_plf, v_panel=one.panel_plf, Δx=one.to_ft - one.from_ft)
            for one in forces.stretches[:-1]
        ),
        step("drag_closure_lb", "F(end)", "must be 0 at the far end", forces.closure_lb, "lb", STATICS),
        step("drag_max_lb", "F_max", "largest |F|", forces.largest_lb, "lb", STATICS),
    )  # fmt: skip
