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
    weighed,
)
from engineering.results import Check, LinkResult, Step
from engineering.schedule import ScheduleItem
from engineering.steps import step
from engineering.wall_panels import Panel, panels

ROLE = "splice nails each side"
NO_DRAG_LB = 1e-6


@dataclass(frozen=True, slots=True)
class Drag:
    """Drag force where it can turn: (place from the zero end, force). Zero at both ends. [ft, lb]"""

    line: str
    at: tuple[tuple[float, float], ...]

    @property
    def largest_lb(self) -> float:
        """Largest force in either direction."""
        return max((abs(force) for _, force in self.at), default=0.0)

    @property
    def closure_lb(self) -> float:
        """What is left at the far end; 0 where delivered and resisted balance."""
        return self.at[-1][1] if self.at else 0.0

    def force_lb(self, at_ft: float) -> float:
        """Force at a place: straight between the turning points."""
        for (x0, f0), (x1, f1) in pairwise(self.at):
            if x0 <= at_ft <= x1:
                return f0 + (f1 - f0) * (at_ft - x0) / (x1 - x0)
        return 0.0


def drag(context: LineContext, shared: tuple[Panel, ...]) -> Drag:
    """Drag along the line: what the diaphragm delivers less what the panels resist, summed from the zero end.

    The diaphragm shear enters evenly over each rectangle's own edge, each panel resists evenly over its length.
    """
    delivered = context.delivered()
    length_ft = context.demand.length_ft
    places = {0.0, length_ft}
    places.update(edge for from_ft, to_ft, _ in delivered for edge in (from_ft, to_ft))
    places.update(edge for panel in shared for edge in (panel.span.from_ft, panel.span.to_ft))
    turning, force, before = [], 0.0, 0.0
    for at_ft in sorted(places):
        middle = (before + at_ft) / 2
        plf = sum(intensity for from_ft, to_ft, intensity in delivered if from_ft <= middle < to_ft)
        plf -= sum(panel.unit_shear_plf for panel in shared if panel.span.from_ft <= middle < panel.span.to_ft)
        force += plf * (at_ft - before)
        turning.append((at_ft, force))
        before = at_ft
    return Drag(context.line.label, tuple(turning))


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
    if not shared:
        return LinkResult(link="3", name=name, check=outside_chain(name, "no panel on this line to drag to"))
    forces = drag(context, shared)
    steps = _steps(context, forces)
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
        step("each_lb", "Z'", f"value of one, {value.name}", value.capacity, "lb", rule),
        step("splice_nails_each_side", "n", "splice nails each side of the lap", count, "nails", rule),
        step("capacity_lb", "capacity", "n·Z'", count * value.capacity, "lb", rule, n=count, Z=value.capacity),
    )
    return weighed(name, abs(forces.force_lb(at_ft)), count * value.capacity, clause=value.clause, steps=steps)


def _steps(context: LineContext, forces: Drag) -> tuple[Step, ...]:
    inner = [(at, force) for at, force in forces.at if 1e-9 < at < context.demand.length_ft - 1e-9]
    expression = "sum of (delivered − resisted) from the zero end"
    return (
        *(
            step(f"drag_at_{at:g}_ft_lb", f"F({at:g} ft)", expression, force, "lb", STATICS, x=at)
            for at, force in inner
        ),
        step("drag_closure_lb", "F(end)", "must be 0 at the far end", forces.closure_lb, "lb", STATICS),
        step("drag_max_lb", "F_max", "largest |F|", forces.largest_lb, "lb", STATICS),
    )
