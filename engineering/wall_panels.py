"""Link 4, the panels: shear of each, its edge nailing, its pieces and their joints. Not the table values."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from math import ceil

from engineering.clauses import ASPECT_RATIO, UNIT_SHEAR, convention
from engineering.connector_values import LineContext
from engineering.errors import OutOfRange
from engineering.inputs import NOT_OBSERVED, PanelInputs, Segment, Span, WallLine
from engineering.link_checks import LINK_NAMES, RATIO_LIMIT, open_link, outside_chain, reason_of, weighed
from engineering.results import Check, LinkResult, Step
from engineering.schedule import ScheduleItem
from engineering.shear_panels import (
    FULL_STRENGTH_ASPECT,
    GREATEST_ASPECT,
    SPACINGS_IN,
    EdgeSpacing,
    allowable_unit_shear_plf,
    apparent_stiffness_kip_per_in,
    panel_capacity,
)
from engineering.steps import step

ROLE = "panel edge nails"
ON_SILL = "the joists bear on the sill: no panel"
SHEET_LONG_IN, SHEET_WIDE_IN = 96.0, 48.0
INSPECTED_SPACING_IN = 4.0
STIFFNESS = convention(12, "k = 1000·G_a·b/h summed over panels")


@dataclass(frozen=True, slots=True)
class Panel:
    """One panel with its share of the line's shear. `unit_shear_plf` is v, `number` counts from the zero end."""

    number: int
    span: Span
    length_ft: float
    height_ft: float
    unit_shear_plf: float

    @property
    def share_lb(self) -> float:
        """v·b."""
        return self.unit_shear_plf * self.length_ft


def panels(context: LineContext) -> tuple[Panel, ...]:
    """The line's panels with equal unit shear up to h/b = 2; above it in proportion to 2b/h (convention 5).

    Height from the bottom of the sill to the top of the upper plate. OutOfRange above 3.5.
    """
    return context.once("panels", lambda: _panels(context))


def _panels(context: LineContext) -> tuple[Panel, ...]:
    line = context.line
    sized = []
    for number, span in enumerate(line.panels, 1):
        length_ft, height_ft = span.to_ft - span.from_ft, panel_height_ft(line, span)
        aspect = height_ft / length_ft
        if aspect > GREATEST_ASPECT + 1e-9:
            raise OutOfRange(
                f"lines.{line.label}.panels",
                (span.from_ft, span.to_ft),
                f"h/b = {aspect:.2f} is over {GREATEST_ASPECT:g}",
            )
        factor = 1.0 if aspect <= FULL_STRENGTH_ASPECT + 1e-9 else 2 / aspect
        sized.append((number, span, length_ft, height_ft, factor))
    whole = sum(length_ft * factor for *_, length_ft, _, factor in sized)
    return tuple(
        Panel(number, span, length_ft, height_ft, context.demand.demand_lb / whole * factor)
        for number, span, length_ft, height_ft, factor in sized
    )


def panel_height_ft(line: WallLine, span: Span) -> float:
    """Bottom of the sill to the top of the upper plate, from the stud height of its segment. [ft]"""
    framing = line.framing
    segment = next(s for s in line.segments if _overlap(s, span))
    return (12 * segment.stud_height_ft + framing.sill_thickness_in + sum(framing.plates_in)) / 12


def line_stiffness(line: WallLine) -> tuple[Step, ...]:
    """Stiffness of a line's panels from its pinned edge nailing alone; the last step is k. [kip/in]

    k = ΣG_a·b/h: 1000·G_a·b/h is in lb/in, G_a of both faces added (convention 12). 0 where no panel stands.
    OutOfRange where panels stand and `edge_spacing_in` is not pinned: the stiffness decides the demand, so the nailing
    can't wait for it.
    """
    spacing_in = line.edge_spacing_in
    if not line.panels:
        return (step("line_stiffness_kip_per_in", "k", "no panel on this line", 0.0, "kip/in", STIFFNESS),)
    if spacing_in is None:
        where = f"lines.{line.label}.edge_spacing_in"
        raise OutOfRange(where, None, "must be 6, 4, 3 or 2: a rigid diaphragm needs each line's nailing first")
    wet = line.framing.moisture == "wet"
    faces = [
        apparent_stiffness_kip_per_in(face, spacing_in, wet=wet)
        for face in (line.sheathing, line.other_face)
        if face is not None
    ]
    total = sum(float(face.value) for face in faces)
    sizes = {
        f"panel {number}": (span.to_ft - span.from_ft) / panel_height_ft(line, span)
        for number, span in enumerate(line.panels, 1)
    }
    slender = sum(sizes.values())
    return (
        *faces,
        step("b_over_h", "Σb/h", "sum of b/h of the panels", slender, "-", STIFFNESS, **sizes),
        step("line_stiffness_kip_per_in", "k", "ΣG_a·Σb/h", total * slender, "kip/in", STIFFNESS,
             **{"ΣG_a": total, "Σb/h": slender}),
    )  # fmt: skip


def _overlap(segment: Segment, span: Span) -> bool:
    return segment.from_ft < span.to_ft and span.from_ft < segment.to_ft


def lowest_specific_gravity(context: LineContext) -> float:
    """The lowest specific gravity that edge nails enter: studs, plates, and the sill or the block on it."""
    framing = context.line.framing
    bottom = framing.block if wide_sill(context) else framing.sill
    return min(framing.studs.specific_gravity, framing.plates.specific_gravity, bottom.specific_gravity)


def wide_sill(context: LineContext) -> bool:
    """Whether the sill stands out beyond the studs, so that a panel's bottom edge has no sill to nail to."""
    return context.line.framing.sill_width_in > context.line.framing.stud_depth_in + 1e-9


def joints_in(context: LineContext, panel: Panel) -> tuple[float, ...]:
    """Where the pieces of a panel meet, on studs, as long as sheet and access opening allow. [in from the zero end]

    A piece passes the opening only where its width or its height is not more than the opening's longer side. Not
    observed: pieces of one sheet. OutOfRange where no stud is in reach for a joint.
    """
    return context.once(("joints", panel.number), lambda: _joints_in(context, panel))


def _joints_in(context: LineContext, panel: Panel) -> tuple[float, ...]:
    from_in, to_in = 12 * panel.span.from_ft, 12 * panel.span.to_ft
    longest_in = largest_piece_in(context, panel)
    studs_in = context.line.framing.stud_centrelines_in
    joints: list[float] = []
    at_in = from_in
    while to_in - at_in > longest_in + 1e-9:
        reach = [stud for stud in studs_in if at_in + 1e-9 < stud <= at_in + longest_in + 1e-9 and stud < to_in - 1e-9]
        if not reach:
            allowed = f"needs a stud within {longest_in:g} in of {at_in:g} in for a panel joint"
            raise OutOfRange(f"lines.{context.line.label}.framing.stud_centrelines_in", at_in, allowed)
        at_in = reach[-1]
        joints.append(at_in)
    return tuple(joints)


def largest_piece_in(context: LineContext, panel: Panel) -> float:
    """Longest piece along the wall: a sheet's, unless it must be narrower to pass the access opening. [in]"""
    height_in = 12 * panel.height_ft
    sheet_in = SHEET_LONG_IN if height_in <= SHEET_WIDE_IN else SHEET_WIDE_IN
    opening = context.inputs.access_opening_in
    if opening == NOT_OBSERVED or height_in <= max(opening) + 1e-9:
        return sheet_in
    return min(sheet_in, max(opening))


def widest_edge_spacing(context: LineContext) -> EdgeSpacing:
    """The widest tabulated edge nailing with which no panel of the line is over; 2 in where none is wide enough."""
    for spacing_in in SPACINGS_IN:
        checks = [_panel_check(context, panel, spacing_in) for panel in panels(context)]
        if all(check.ratio is not None and check.ratio <= RATIO_LIMIT for check in checks):
            return spacing_in
    return SPACINGS_IN[-1]


def proposed_rows(context: LineContext) -> tuple[ScheduleItem, ...]:
    """Edge nails of each panel at the line's widest spacing; the count goes round every piece."""
    if not context.line.panels:
        return ()
    spacing_in, nail = widest_edge_spacing(context), sheathing_nail(context)
    return tuple(
        ScheduleItem(
            link="4",
            role=ROLE,
            connector=nail,
            count=edge_nail_count(context, panel, spacing_in),
            spacing_in=float(spacing_in),
            panel=panel.number,
            note="round every piece; field nails at 12 in",
        )
        for panel in panels(context)
    )


def sheathing_nail(context: LineContext) -> str:
    """Catalogue key of the sheathing's nail, by size and finish; OutOfRange where the catalogue has none."""
    sheathing = context.line.sheathing
    for nail in context.inputs.catalogue.nails:
        if (nail.diameter_in, nail.length_in, nail.finish) == (
            sheathing.nail_diameter_in,
            sheathing.nail_length_in,
            sheathing.finish,
        ):
            return nail.key
    size = f"{sheathing.nail_diameter_in:g} × {sheathing.nail_length_in:g} in, {sheathing.finish}"
    raise OutOfRange(
        f"lines.{context.line.label}.sheathing", sheathing.nail, f"the catalogue must hold its nail: {size}"
    )


def edge_nail_count(context: LineContext, panel: Panel, spacing_in: float) -> int:
    """Nails round the edges of all pieces of a panel."""
    ends = (12 * panel.span.from_ft, *joints_in(context, panel), 12 * panel.span.to_ft)
    height_in = 12 * panel.height_ft
    return sum(ceil(2 * (b - a + height_in) / spacing_in - 1e-9) for a, b in pairwise(ends))


def check(context: LineContext, rows: tuple[ScheduleItem, ...]) -> LinkResult:
    """Link 4: each panel's unit shear against its nailing as scheduled. [plf]"""
    name, shared = LINK_NAMES["4"], panels(context)
    if context.on_sill:
        return LinkResult(link="4", name=name, check=outside_chain(name, ON_SILL))
    if not shared:
        return LinkResult(link="4", name=name, check=open_link(name, None, unit="plf"))
    nailing: dict[int | None, ScheduleItem] = {}
    for row in sorted((row for row in rows if row.spacing_in and row.count), key=lambda row: row.spacing_in or 0.0):
        nailing[row.panel] = row  # of two rows for one panel the wider spacing counts
    parts = tuple(_scheduled_panel_check(context, panel, nailing.get(panel.number)) for panel in shared)
    steps = list(_line_steps(context, shared))
    if bare := [str(panel.number) for panel, part in zip(shared, parts, strict=True) if part.status == "open"]:
        demand_plf = max(panel.unit_shear_plf for panel in shared)
        reason = f"panel {', '.join(bare)}: {next(part for part in parts if part.status == 'open').notes[0]}"
        opened = open_link(name, demand_plf, reason, unit="plf", steps=tuple(steps))
        return LinkResult(link="4", name=name, check=opened, parts=parts)
    worst = max(parts, key=lambda part: part.ratio or 0.0)
    assert worst.demand is not None
    assert worst.capacity is not None
    spacing_in = min(row.spacing_in or 0.0 for row in nailing.values())
    steps.append(step("edge_nail_spacing_in", "s", "edge nails, all edges blocked", spacing_in, "in", UNIT_SHEAR))
    warnings = list(worst.warnings)
    if worst.ratio is not None and worst.ratio > RATIO_LIMIT:
        length_ft = context.demand.demand_lb / worst.capacity
        have_ft = sum(panel.length_ft for panel in shared)
        warnings.append(f"{length_ft - have_ft:.2f} ft more panel needed at this nailing, or closer nailing")
    checked = weighed(
        name,
        worst.demand,
        worst.capacity,
        unit="plf",
        clause=worst.clause,
        steps=(*steps, *worst.steps),
        notes=_notes(context, shared, spacing_in),
        warnings=tuple(warnings),
    )
    return LinkResult(link="4", name=name, check=checked, parts=parts)


def _panel_check(context: LineContext, panel: Panel, spacing_in: EdgeSpacing) -> Check:
    return panel_capacity(
        PanelInputs(
            sheathing=context.line.sheathing,
            edge_spacing_in=spacing_in,
            height_ft=panel.height_ft,
            length_ft=panel.length_ft,
            specific_gravity=lowest_specific_gravity(context),
            unit_shear_plf=panel.unit_shear_plf,
        )
    )


def _scheduled_panel_check(context: LineContext, panel: Panel, row: ScheduleItem | None) -> Check:
    name = f"panel {panel.number}"
    if row is None or row.spacing_in is None:
        return open_link(name, panel.unit_shear_plf, "no edge nailing", unit="plf")
    try:
        sheathing_nail_matches(context, row.connector)
        if not SPACINGS_IN[-1] - 1e-9 <= row.spacing_in <= SPACINGS_IN[0] + 1e-9:
            raise OutOfRange("spacing_in", row.spacing_in, "edge nails must be from 2 to 6 in apart")
        # Fewer nails than the spacing takes are as good as the next wider spacing that they fill.
        filled = [
            spacing
            for spacing in SPACINGS_IN
            if spacing >= row.spacing_in - 1e-9 and row.count >= edge_nail_count(context, panel, spacing)
        ]
        if not filled:
            least = edge_nail_count(context, panel, SPACINGS_IN[0])
            raise OutOfRange("count", row.count, f"must be at least {least} edge nails, {SPACINGS_IN[0]} in apart")
        check = _panel_check(context, panel, filled[-1])
    except OutOfRange as error:
        return open_link(name, panel.unit_shear_plf, reason_of(error), unit="plf")
    return weighed(
        name, panel.unit_shear_plf, check.capacity or 0.0, unit="plf", clause=check.clause, steps=check.steps,
        notes=check.notes, warnings=check.warnings,
    )  # fmt: skip


def sheathing_nail_matches(context: LineContext, key: str) -> None:
    """Raise OutOfRange where a row's nail is not the sheathing's: a thinner one makes another panel."""
    nail, sheathing = context.values.nail(key), context.line.sheathing
    size = (sheathing.nail_diameter_in, sheathing.nail_length_in, sheathing.finish)
    if (nail.diameter_in, nail.length_in, nail.finish) != size:
        allowed = f"must be the sheathing's nail, {size[0]:g} × {size[1]:g} in, {size[2]}"
        raise OutOfRange("connector", key, allowed)


def _line_steps(context: LineContext, shared: tuple[Panel, ...]) -> list[Step]:
    demand_lb, gravity = context.demand.demand_lb, lowest_specific_gravity(context)
    length_ft = sum(panel.length_ft for panel in shared)
    rule = convention(5, "panels")
    worst = max(shared, key=lambda panel: panel.height_ft / panel.length_ft)
    bottom = "block" if wide_sill(context) else "sill"
    steps = [
        step("lowest_G", "G", f"lowest of studs, plates, {bottom}", gravity, "-", rule),
        step("panel_length_ft", "Σb", "sum of panel lengths", length_ft, "ft", rule),
        step("aspect_ratio_max", "h/b", "h/b of the most slender panel", worst.height_ft / worst.length_ft, "-",
             ASPECT_RATIO, h=worst.height_ft, b=worst.length_ft),
        step("panel_unit_shear_plf", "v", "V/Σb, by 2b/h above 2:1", max(panel.unit_shear_plf for panel in shared),
             "plf", UNIT_SHEAR, V=demand_lb, Σb=length_ft),
    ]  # fmt: skip
    for spacing_in in SPACINGS_IN:
        try:
            allow_plf, table = allowable_unit_shear_plf(
                sheathing=context.line.sheathing,
                edge_spacing_in=spacing_in,
                height_ft=1.0,
                length_ft=1.0,
                specific_gravity=gravity,
            )
        except OutOfRange:
            continue
        at = f"at {spacing_in} in"
        needed_ft = demand_lb / allow_plf
        steps += [
            replace(table[-1], key=f"v_allow_{spacing_in}in_plf", symbol=f"v_allow {at}"),
            step(f"required_length_{spacing_in}in_ft", f"Σb needed {at}", "V/v_allow", needed_ft, "ft", UNIT_SHEAR,
                 V=demand_lb, v_allow=allow_plf),
        ]  # fmt: skip
    return steps


def _notes(context: LineContext, shared: tuple[Panel, ...], spacing_in: float) -> tuple[str, ...]:
    notes = []
    if any(largest_piece_in(context, panel) < SHEET_WIDE_IN for panel in shared):
        notes.append(
            "pieces smaller than 4 × 8 ft because of the access opening: all edges blocked, engineer's acceptance"
        )
    if spacing_in <= INSPECTED_SPACING_IN:
        notes.append("edge nails at 4 in or closer: periodic special inspection of the nailing")
    return tuple(notes)
