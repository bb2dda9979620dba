"""Link 5, panel to sill: bottom edge nails, and on a sill wider than the studs its blocks or the flush cut."""

from __future__ import annotations

from engineering import anchor_layout
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
from engineering.nail_spacing import NAIL_SPACING, SPACING_DIAMETERS
from engineering.panel_shares import ON_SILL, Panel, panels, wide_sill, widest_bay_in
from engineering.results import Check, LinkResult, MethodOption, Step
from engineering.schedule import ScheduleItem
from engineering.steps import step
from engineering.wide_sill import (
    Bay,
    bays,
    blocks,
    flush_cut,
    shortest_block_in,
)

ROLE = "block nails"
BLOCK, FLUSH_CUT = "block on the sill", "sill cut flush with the studs"
NARROW_SILL_IN = 1 / 16  # what a tape reads; common practice, no source
EDGE_NAILS = convention(5, "bottom edge nails as the panel's edges")
BLOCKS = convention(5, "block in every stud bay")
Anchors = tuple[ScheduleItem, ...]


def proposed_rows(context: LineContext) -> tuple[ScheduleItem, ...]:
    """Block nails of each panel on a wide sill: the same number in every bay, for the widest bay."""
    if not wide_sill(context) or context.line.methods.wide_sill != "block":
        return ()
    return _block_rows(context)


def _block_rows(context: LineContext) -> tuple[ScheduleItem, ...]:
    return context.once("block rows", lambda: _rows_beside(context, anchor_layout.proposed_rows(context)))


def _rows_beside(context: LineContext, anchors: Anchors) -> tuple[ScheduleItem, ...]:
    key = context.line.methods.block_nail
    if not key:
        return ()
    try:
        nail_lb = context.values.block_to_sill(context.line, key).capacity
        diameter_in = context.values.nail(key).diameter_in
    except OutOfRange:
        return ()
    assert nail_lb is not None
    rows = []
    for panel in panels(context):
        inside, held, widest_in, _, one_row, block_rows = blocks(context, panel, anchors, diameter_in)
        each, most = count_for(panel.unit_shear_plf * widest_in / 12 / nail_lb), one_row * block_rows
        # Where a bay's pieces hold fewer, the others take more, up to what a whole block holds.
        needed = count_for(panel.share_lb / nail_lb)
        while each < most and sum(min(each, nails) for nails in held) < needed:
            each += 1
        in_one_row = each <= one_row
        note = f"{each} in each stud bay, block in two pieces beside a rod"
        note += "" if in_one_row else ", two rows"
        note += "" if all(bay.whole for bay in inside) else "; short pieces pre-drilled, two rows"
        count = each * len(inside)
        rows.append(ScheduleItem(link="5", role=ROLE, connector=key, count=count, panel=panel.number, note=note))
    return tuple(rows)


def options(context: LineContext) -> tuple[MethodOption, ...]:
    """On a wide sill under panels: the block and the flush cut, each feasible or not by its own checks."""
    if context.on_sill or not wide_sill(context) or not context.line.panels:
        return ()
    return (_block_option(context), _flush_cut_option(context))


def _block_option(context: LineContext) -> MethodOption:
    key = context.line.methods.block_nail
    anchors = anchor_layout.proposed_rows(context)
    rows = _block_rows(context)
    checks = [_blocks(context, panel, rows, anchors) for panel in panels(context)]
    reason = "no block nail was chosen" if not key else ""
    for check in checks:
        if not reason and check.status != "ok":
            reason = f"{check.name}: {(*check.notes, *check.warnings)[0]}"
    if key and not rows:
        reason = _refusal(context, key)
    nail = None if reason else context.values.block_to_sill(context.line, key).capacity
    ratio = None if reason else max(check.ratio or 0.0 for check in checks)
    return _option(BLOCK, key, reason, None if reason else sum(row.count for row in rows), nail, ratio)


def _flush_cut_option(context: LineContext) -> MethodOption:
    reason, _ = flush_cut(context)
    return _option(FLUSH_CUT, "", reason, None, None, None)


def _option(
    method: str, key: str, reason: str, count: int | None, each_lb: float | None, ratio: float | None
) -> MethodOption:
    return MethodOption(
        link="5", method=method, connector=key, feasible=not reason, reason=reason, count=count, each_lb=each_lb,
        ratio=ratio, opens_ceiling=False,
    )  # fmt: skip


def _refusal(context: LineContext, key: str) -> str:
    try:
        context.values.block_to_sill(context.line, key)
    except OutOfRange as error:
        return f"block nails can't be used here ({reason_of(error)})"
    return "no panel"


def check(
    context: LineContext, panel_link: LinkResult, rows: tuple[ScheduleItem, ...], anchors: Anchors = ()
) -> LinkResult:
    """Link 5: the panel's bottom edge nails (as link 4), and on a wide sill the nails of each block. [plf]

    Block nails of a panel are taken as spread over its bays; the poorest bay counts. A block that can't hold its
    nails at 15 diameters leaves the link open, so does a flush cut that leaves too little sill. `anchors`: the
    schedule's, which stand in the blocks' way.
    """
    name, edge = LINK_NAMES["5"], panel_link.check
    if context.on_sill:
        return LinkResult(link="5", name=name, check=outside_chain(name, ON_SILL))
    if edge.status == "open" or edge.demand is None or edge.capacity is None:
        reason = "no panel edge nailing" if edge.notes else ""
        return LinkResult(link="5", name=name, check=open_link(name, edge.demand, reason, unit="plf"))
    steps = [
        step("edge_nail_ratio", "v/v_allow", "as link 4", edge.ratio or 0.0, "-", EDGE_NAILS,
             v=edge.demand, v_allow=edge.capacity)
    ]  # fmt: skip
    framing = context.line.framing
    if framing.sill_width_in < framing.stud_depth_in - NARROW_SILL_IN:
        reason = f"sill {framing.sill_width_in:g} in wide under {framing.stud_depth_in:g} in studs: no wood behind "
        bare = open_link(name, edge.demand, f"{reason}the panel's bottom nails", unit="plf", steps=tuple(steps))
        return LinkResult(link="5", name=name, check=bare)
    if not wide_sill(context) or context.line.methods.wide_sill == "flush cut":
        return LinkResult(link="5", name=name, check=_on_the_sill(context, edge, steps))
    parts = tuple(_blocks(context, panel, rows, anchors) for panel in panels(context))
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


def _on_the_sill(context: LineContext, edge: Check, steps: list[Step]) -> Check:
    """The panel's bottom edge nailed to the sill itself: not wider than the studs, or cut flush with them."""
    name, wide_in = LINK_NAMES["5"], context.line.framing.sill_width_in
    notes = (f"sill {wide_in:g} in wide, not wider than the studs",)
    if wide_sill(context):
        reason, cut_steps = flush_cut(context)
        steps += cut_steps
        if reason:
            return open_link(name, edge.demand, f"sill can't be cut flush: {reason}", unit="plf", steps=tuple(steps))
        notes = (f"sill {wide_in:g} in wide, cut flush with the studs; the cut face of a treated sill treated again",)
    assert edge.demand is not None
    assert edge.capacity is not None
    return weighed(
        name,
        edge.demand,
        edge.capacity,
        unit="plf",
        clause=edge.clause,
        steps=tuple(steps),
        notes=notes,
        warnings=edge.warnings,
    )


def _blocks(context: LineContext, panel: Panel, rows: tuple[ScheduleItem, ...], anchors: Anchors) -> Check:
    """The blocks of one panel: shear of its widest bay against the nails in one bay."""
    here = tuple(row for row in rows if row.panel == panel.number)
    # Asked by the option and by the check; rows by identity, kept beside it: they hash slowly.
    asked = ("blocks", panel.number, len(here), *map(id, (*here, *anchors)))
    return context.once(asked, lambda: (here, anchors, _panel_blocks(context, panel, here, anchors)))[-1]


def _panel_blocks(context: LineContext, panel: Panel, here: tuple[ScheduleItem, ...], anchors: Anchors) -> Check:
    name, inside = f"panel {panel.number}", bays(context, panel, anchors)
    widest_in = widest_bay_in(context, panel)
    shear_lb = panel.unit_shear_plf * widest_in / 12
    each = sum(row.count for row in here) // len(inside)
    if not each:
        return open_link(name, shear_lb, "sill wider than the studs and no block nails in a bay")
    try:
        values = [context.values.block_to_sill(context.line, row.connector) for row in here]
        diameter_in = max(context.values.nail(row.connector).diameter_in for row in here)
    except OutOfRange as error:
        return open_link(name, shear_lb, f"block nails can't be used here ({reason_of(error)})")
    value = min(values, key=lambda one: one.capacity or 0.0)
    assert value.capacity is not None
    _, held, _, clear_in, one_row, most_rows = blocks(context, panel, anchors, diameter_in)
    if each > one_row * most_rows:
        holds = f"a block holds {one_row * most_rows} nails at {SPACING_DIAMETERS:g} diameters"
        holds += f" in {most_rows} rows" if most_rows > 1 else ""
        short = f", none under {shortest_block_in(diameter_in):.2f} in long" if not one_row else ""
        return open_link(name, shear_lb, f"{holds}, not {each}{short}")
    # A narrow bay's block, or one in pieces, holds fewer: the others of the panel must take its share.
    placed = sum(min(each, nails) for nails in held)
    ratio = shear_lb / (each * value.capacity)
    of_panel = panel.share_lb / max(placed * value.capacity, 1e-9)
    needed = count_for(shear_lb / value.capacity)
    steps = (
        step("shear_per_stud_bay_lb", "V_bay", "v·bay/12", shear_lb, "lb", BLOCKS,
             v=panel.unit_shear_plf, bay=widest_in),
        value_step("block_nail_lb", value),
        step("block_nails_per_bay", "n", "nails in each bay", each, "nails", BLOCKS),
        step("block_holds", "n_max", "one row at 15·D: clear/(15·D) − 1", one_row, "nails", NAIL_SPACING,
             clear=clear_in, D=diameter_in),
        *_bay_steps(inside, held, most_rows, diameter_in),
        step("block_nail_ratio", "V_bay/(n·Z')", "V_bay/(n·Z')", ratio, "-", BLOCKS,
             **{"V_bay": shear_lb, "n": each, "Z'": value.capacity}),
    )  # fmt: skip
    warnings = shortfall(needed - each, "block nails in each bay", f"of {name}")
    demand_lb, capacity_lb = shear_lb, each * value.capacity
    if of_panel > max(ratio, RATIO_LIMIT):
        of_all = count_for(panel.share_lb / value.capacity)
        held_step = step("panel_block_nails", "n_panel", "nails that the panel's blocks hold", placed, "nails", BLOCKS)
        steps, warnings = (*steps, held_step), (*warnings, f"{name}: blocks hold {placed} nails, {of_all} needed")
        if not placed:
            return open_link(name, panel.share_lb, warnings[-1], steps=steps)
        demand_lb, capacity_lb = panel.share_lb, placed * value.capacity
    return weighed(name, demand_lb, capacity_lb, clause=value.clause, steps=steps, warnings=warnings)


def _bay_steps(inside: tuple[Bay, ...], held: tuple[int, ...], rows: int, diameter_in: float) -> tuple[Step, ...]:
    """Rows across a block, and what the poorest bay holds on the pieces beside studs, posts, anchors and rods."""
    least = min(held)
    poorest = inside[held.index(least)]
    apart = "15" if poorest.whole else "10"
    pieces = {f"piece_{number}": length_in for number, length_in in enumerate(poorest.pieces_in, 1)}
    return (
        step("block_rows", "n_rows", "2.5·D to each edge, 5·D between rows, at most two", rows, "rows", NAIL_SPACING,
             D=diameter_in),
        step("shortest_block_in", "l_min", "2·10·D, one nail, pre-drilled", shortest_block_in(diameter_in), "in",
             NAIL_SPACING, D=diameter_in),
        step("poorest_bay_holds", "n_bay", f"n_rows·(piece/({apart}·D) − 1), each piece rounded down", least, "nails",
             NAIL_SPACING, D=diameter_in, n_rows=rows, **pieces),
    )  # fmt: skip
