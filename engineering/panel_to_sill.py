"""Link 5, panel to sill: bottom edge nails, and blocks on a sill that is wider than the studs."""

from __future__ import annotations

from itertools import pairwise

from engineering.clauses import convention
from engineering.connector_values import LineContext
from engineering.errors import OutOfRange
from engineering.link_checks import (
    LINK_NAMES,
    RATIO_LIMIT,
    count_for,
    open_link,
    outside_chain,
    reason_of,
    shortfall,
    value_step,
    weighed,
)
from engineering.results import Check, LinkResult
from engineering.schedule import ScheduleItem
from engineering.sources import Source
from engineering.steps import step
from engineering.wall_panels import ON_SILL, Panel, panels, wide_sill

ROLE = "block nails"
# Nails in one row along a block that is not pre-drilled: 15 diameters to the end and to the next nail.
NAIL_SPACING = Source("AWC NDS commentary", "2018", "Table C12.1.6.6")
SPACING_DIAMETERS = 15.0


def bays_in(context: LineContext, panel: Panel) -> tuple[float, ...]:
    """Lengths of the stud bays in a panel, stud centre to stud centre or to the panel's end. [in]"""
    from_in, to_in = 12 * panel.span.from_ft, 12 * panel.span.to_ft
    inner = [at for at in context.line.framing.stud_centrelines_in if from_in + 1e-9 < at < to_in - 1e-9]
    return tuple(b - a for a, b in pairwise((from_in, *inner, to_in)))


def nails_a_block_holds(context: LineContext, bay_in: float, diameter_in: float) -> int:
    """How many nails one row on a block holds at 15 diameters, between studs `bay_in` apart."""
    clear_in = bay_in - context.line.framing.stud_thickness_in
    return max(0, int((clear_in - SPACING_DIAMETERS * diameter_in) / (SPACING_DIAMETERS * diameter_in) + 1e-9))


def proposed_rows(context: LineContext) -> tuple[ScheduleItem, ...]:
    """Block nails of each panel on a wide sill: the same number in every bay, for the widest bay."""
    key = context.line.methods.block_nail
    if not wide_sill(context) or not key:
        return ()
    try:
        nail_lb = context.values.block_to_sill(context.line, key).capacity
    except OutOfRange:
        return ()
    assert nail_lb is not None
    rows = []
    for panel in panels(context):
        bays = bays_in(context, panel)
        each = count_for(panel.unit_shear_plf * max(bays) / 12 / nail_lb)
        note = f"{each} in each stud bay, block in two pieces beside a rod"
        count = each * len(bays)
        rows.append(ScheduleItem(link="5", role=ROLE, connector=key, count=count, panel=panel.number, note=note))
    return tuple(rows)


def check(context: LineContext, panel_link: LinkResult, rows: tuple[ScheduleItem, ...]) -> LinkResult:
    """Link 5: the panel's bottom edge nails (as link 4), and on a wide sill the nails of each block. [plf]

    Block nails of a panel are taken as spread over its bays; the poorest bay counts. A block that can't hold its
    nails at 15 diameters leaves the link open.
    """
    name, edge = LINK_NAMES["5"], panel_link.check
    if context.on_sill:
        return LinkResult(link="5", name=name, check=outside_chain(name, ON_SILL))
    if edge.status == "open" or edge.demand is None or edge.capacity is None:
        reason = "no panel edge nailing" if edge.notes else ""
        return LinkResult(link="5", name=name, check=open_link(name, edge.demand, reason, unit="plf"))
    rule = convention(5, "bottom edge nails as the panel's edges")
    steps = [step("edge_nail_ratio", "v/v_allow", "as link 4", edge.ratio or 0.0, "-", rule)]
    if not wide_sill(context):
        wide = context.line.framing.sill_width_in
        notes = (f"sill {wide:g} in wide, not wider than the studs",)
        checked = weighed(
            name,
            edge.demand,
            edge.capacity,
            unit="plf",
            clause=edge.clause,
            steps=tuple(steps),
            notes=notes,
            warnings=edge.warnings,
        )
        return LinkResult(link="5", name=name, check=checked)
    parts = tuple(_blocks(context, panel, rows) for panel in panels(context))
    opened = [part for part in parts if part.status == "open"]
    if opened:
        reason = f"{opened[0].name}: {opened[0].notes[0]}"
        return LinkResult(link="5", name=name, check=open_link(name, edge.demand, reason, unit="plf"), parts=parts)
    blocks = max(parts, key=lambda part: part.ratio or 0.0)
    warnings = (*edge.warnings, *(warning for part in parts for warning in part.warnings))
    worst = blocks if (blocks.ratio or 0.0) > (edge.ratio or 0.0) else edge
    assert worst.demand is not None
    assert worst.capacity is not None
    checked = weighed(
        name,
        worst.demand,
        worst.capacity,
        unit=worst.unit,
        clause=worst.clause,
        steps=(*steps, *blocks.steps),
        notes=("flat 2x4 block on the sill in every stud bay of a panel",),
        warnings=warnings,
    )
    return LinkResult(link="5", name=name, check=checked, parts=parts)


def _blocks(context: LineContext, panel: Panel, rows: tuple[ScheduleItem, ...]) -> Check:
    """The blocks of one panel: shear of its widest bay against the nails in one bay."""
    name, bays = f"panel {panel.number}", bays_in(context, panel)
    widest_in = max(bays)
    shear_lb = panel.unit_shear_plf * widest_in / 12
    here = [row for row in rows if row.panel == panel.number]
    each = sum(row.count for row in here) // len(bays)
    if not each:
        return open_link(name, shear_lb, "sill wider than the studs and no block nails in a bay")
    try:
        values = [context.values.block_to_sill(context.line, row.connector) for row in here]
        diameter_in = max(context.values.nail(row.connector).diameter_in for row in here)
    except OutOfRange as error:
        return open_link(name, shear_lb, f"block nails can't be used here ({reason_of(error)})")
    value = min(values, key=lambda one: one.capacity or 0.0)
    assert value.capacity is not None
    holds = nails_a_block_holds(context, widest_in, diameter_in)
    if each > holds:
        return open_link(name, shear_lb, f"a block holds {holds} nails at {SPACING_DIAMETERS:g} diameters, not {each}")
    # A narrow bay's block holds fewer: the others of the panel must take its share.
    placed = sum(min(each, nails_a_block_holds(context, bay_in, diameter_in)) for bay_in in bays)
    ratio = shear_lb / (each * value.capacity)
    if ratio <= RATIO_LIMIT < panel.share_lb / max(placed * value.capacity, 1e-9):
        rule = convention(5, "blocks of the whole panel")
        few = step("panel_block_nails", "n", "nails that the panel's blocks hold", placed, "nails", rule)
        more = (f"{name}: blocks hold {placed} nails, {count_for(panel.share_lb / value.capacity)} needed",)
        if not placed:
            return open_link(name, panel.share_lb, more[0], steps=(few,))
        return weighed(
            name, panel.share_lb, placed * value.capacity, clause=value.clause,
            steps=(few, value_step("block_nail_lb", value)), warnings=more,
        )  # fmt: skip
    needed = count_for(shear_lb / value.capacity)
    rule = convention(5, "block in every stud bay")
    steps = (
        step("shear_per_stud_bay_lb", "V_bay", "v·bay/12", shear_lb, "lb", rule, v=panel.unit_shear_plf, bay=widest_in),
        value_step("block_nail_lb", value),
        step("block_nails_per_bay", "n", "nails in each bay", each, "nails", rule),
        step("block_holds", "n_max", "one row at 15 diameters", holds, "nails", NAIL_SPACING,
             bay=widest_in, D=diameter_in),
        step("block_nail_ratio", "V_bay/(n·Z')", "V_bay/(n·Z')", ratio, "-", rule,
             V_bay=shear_lb, n=each, Z=value.capacity),
    )  # fmt: skip
    return weighed(
        name, shear_lb, each * value.capacity, clause=value.clause, steps=steps,
        warnings=shortfall(needed - each, "block nails in each bay", f"of {name}"),
    )  # fmt: skip
