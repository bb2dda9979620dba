"""Link 4, the panels: shear of each against its edge nailing as scheduled. Not the table values, not the pieces."""

from __future__ import annotations

from functools import lru_cache

from engineering import panel_deflection, panel_joints, panel_pieces
from engineering.clauses import ASPECT_RATIO, UNIT_SHEAR, convention
from engineering.connector_values import LineContext
from engineering.errors import OutOfRange
from engineering.finishes import require_finish
from engineering.inputs import Nail, PanelInputs, Sheathing
from engineering.link_checks import LINK_NAMES, RATIO_LIMIT, open_link, outside_chain, reason_of, weighed
from engineering.nail_substitution import nailing_factor
from engineering.panel_pieces import edge_nail_count
from engineering.panel_shares import (
    ON_SILL,
    Panel,
    PanelSize,
    faces,
    lowest_specific_gravity,
    on_block,
    panels,
    sizes,
    stud_heights_ft,
    widest_bay_in,
)
from engineering.results import Check, LinkResult, Step
from engineering.schedule import ScheduleItem
from engineering.shear_panels import SDPWS_DIVISOR, SPACINGS_IN, EdgeSpacing, allowable_unit_shear_plf, panel_capacity
from engineering.steps import step

ROLE = "panel edge nails"
INSPECTED_SPACING_IN = 4.0
EDGE_NAILING = convention(5, "panels")
TALLEST_TO_SHORTEST = 2.0


def widest_edge_spacing(context: LineContext) -> EdgeSpacing:
    """The edge nailing as pinned, else the widest of the table with which no panel is over, at worst 2 in."""
    if context.line.edge_spacing_in is not None:
        return context.line.edge_spacing_in
    for spacing_in in SPACINGS_IN:
        if all(panel.unit_shear_plf <= _most_plf(context, panel, spacing_in) for panel in panels(context)):
            return spacing_in
    return SPACINGS_IN[-1]


def proposed_rows(context: LineContext) -> tuple[ScheduleItem, ...]:
    """Edge nails of each panel at the line's spacing; the count goes round every piece, on both faces where two."""
    line = context.line
    if not line.panels:
        return ()
    spacing_in = widest_edge_spacing(context)
    return context.surveyed(("edge nail rows", spacing_in), lambda bare: _rows(bare, spacing_in))


def _rows(context: LineContext, spacing_in: EdgeSpacing) -> tuple[ScheduleItem, ...]:
    line = context.line
    both = line.other_face is not None
    keys = [sheathing_nail(context, face) for face in faces(line)]
    rows = []
    for panel in sizes(context):
        around, field_in = edge_nail_count(context, panel, spacing_in), panel_pieces.field_spacing_in(context, panel)
        for key in dict.fromkeys(keys):
            where = "" if not both else ", both faces" if keys[0] == keys[-1] else f", face {keys.index(key) + 1}"
            rows.append(
                ScheduleItem(
                    link="4",
                    role=ROLE,
                    connector=key,
                    count=around * keys.count(key),
                    spacing_in=float(spacing_in),
                    panel=panel.number,
                    note=f"round every piece; field nails at {field_in:g} in{where}",
                )
            )
    return tuple(rows)


def sheathing_nail(context: LineContext, sheathing: Sheathing) -> str:
    """Catalogue key of a sheathing's nail, by size and finish; OutOfRange where the catalogue has none."""
    for nail in context.inputs.catalogue.nails:
        if _size(nail) == _size_of(sheathing):
            return nail.key
    size = f"{sheathing.nail_diameter_in:g} × {sheathing.nail_length_in:g} in, {sheathing.finish}"
    raise OutOfRange(
        f"lines.{context.line.label}.sheathing", sheathing.nail, f"the catalogue must hold its nail: {size}"
    )


def check(context: LineContext, rows: tuple[ScheduleItem, ...]) -> LinkResult:
    """Link 4: each panel's unit shear against its nailing as scheduled. [plf]"""
    name, shared = LINK_NAMES["4"], panels(context)
    if context.on_sill:
        return LinkResult(link="4", name=name, check=outside_chain(name, ON_SILL))
    if not shared:
        return LinkResult(link="4", name=name, check=open_link(name, None, unit="plf"))
    nailing: dict[int | None, list[ScheduleItem]] = {}
    for row in rows:
        if row.spacing_in and row.count:
            nailing.setdefault(row.panel, []).append(row)
    parts = tuple(_scheduled_panel_check(context, panel, nailing.get(panel.number, [])) for panel in shared)
    steps = list(_line_steps(context, shared))
    if bare := [str(panel.number) for panel, part in zip(shared, parts, strict=True) if part.status == "open"]:
        demand_plf = max(panel.unit_shear_plf for panel in shared)
        reason = f"panel {', '.join(bare)}: {next(part for part in parts if part.status == 'open').notes[0]}"
        opened = open_link(name, demand_plf, reason, unit="plf", steps=tuple(steps))
        return LinkResult(link="4", name=name, check=opened, parts=parts)
    worst = max(parts, key=lambda part: part.ratio or 0.0)
    assert worst.demand is not None
    assert worst.capacity is not None
    spacing_in = min(row.spacing_in or 0.0 for panel in shared for row in nailing[panel.number])
    steps.append(step("edge_nail_spacing_in", "s", "edge nails, all edges blocked", spacing_in, "in", UNIT_SHEAR))
    warnings = list(dict.fromkeys(warning for part in parts for warning in part.warnings))
    if worst.ratio is not None and worst.ratio > RATIO_LIMIT:
        length_ft = context.demand.demand_lb / worst.capacity
        have_ft = sum(panel.length_ft for panel in shared)
        warnings.append(f"{length_ft - have_ft:.2f} ft more panel needed at this nailing, or closer nailing")
    drift_steps, drift = _drift(context, shared, nailing)
    checked = weighed(
        name,
        worst.demand,
        worst.capacity,
        unit="plf",
        clause=worst.clause,
        steps=(*steps, *worst.steps, *drift_steps),
        notes=(*_notes(context, spacing_in), *(note for part in parts for note in part.notes), drift),
        warnings=(*warnings, *_shape_warnings(shared), *panel_pieces.unaccepted(context)),
    )
    return LinkResult(link="4", name=name, check=checked, parts=parts)


def _most_plf(context: LineContext, panel: PanelSize, spacing_in: EdgeSpacing) -> float:
    asked = ("most plf", panel.number, spacing_in)
    return RATIO_LIMIT * context.surveyed(asked, lambda bare: _allowable_plf(bare, panel, spacing_in))


def _allowable_plf(context: LineContext, panel: PanelSize, spacing_in: EdgeSpacing) -> float:
    line = context.line
    allowable_plf, _ = allowable_unit_shear_plf(
        sheathing=line.sheathing,
        edge_spacing_in=spacing_in,
        height_ft=panel.height_ft,
        length_ft=panel.length_ft,
        specific_gravity=lowest_specific_gravity(context),
        other_face=line.other_face,
        stud_spacing_in=widest_bay_in(context, panel),
    )
    return allowable_plf


def _panel_check(context: LineContext, panel: Panel, spacing_in: EdgeSpacing) -> Check:
    return panel_capacity(
        PanelInputs(
            sheathing=context.line.sheathing,
            edge_spacing_in=spacing_in,
            height_ft=panel.height_ft,
            length_ft=panel.length_ft,
            specific_gravity=lowest_specific_gravity(context),
            unit_shear_plf=panel.unit_shear_plf,
            other_face=context.line.other_face,
            stud_spacing_in=widest_bay_in(context, panel),
        )
    )


def _scheduled_panel_check(context: LineContext, panel: Panel, rows: list[ScheduleItem]) -> Check:
    name = f"panel {panel.number}"
    if not rows:
        return open_link(name, panel.unit_shear_plf, "no edge nailing", unit="plf")
    try:
        spacing_in, factor = _nailing(context, panel, tuple(rows))
        check = _panel_check(context, panel, spacing_in)
        joint_steps, notes = panel_joints.framing(context, panel, check)
    except OutOfRange as error:
        return open_link(name, panel.unit_shear_plf, reason_of(error), unit="plf")
    assert check.capacity is not None
    capacity_plf, steps = check.capacity, (*check.steps, *joint_steps)
    warnings = panel_pieces.warnings(context, panel)
    if factor.key == "nail_factor":
        if not factor.value:
            return open_link(name, panel.unit_shear_plf, f"nails that do not count: {factor.expression}", unit="plf")
        capacity_plf = check.capacity * float(factor.value)
        left = step("v_substituted_plf", "v_allow", "v_allow·C_nail", capacity_plf, "plf", factor.source,
                    v_allow=check.capacity, C_nail=factor.value)  # fmt: skip
        ratio = step("substituted_ratio", "v / v_allow", "v / v_allow", panel.unit_shear_plf / capacity_plf, "-",
                     SDPWS_DIVISOR, v=panel.unit_shear_plf, v_allow=capacity_plf)  # fmt: skip
        steps = (*steps, factor, left, ratio)
        warnings = (
            *warnings,
            f"{name}: other nails than specified, {capacity_plf:.1f} of {check.capacity:.1f} plf left",
        )
    return weighed(
        name, panel.unit_shear_plf, capacity_plf, unit="plf", clause=check.clause, steps=steps,
        notes=(*check.notes, *notes), warnings=(*check.warnings, *warnings),
    )  # fmt: skip


def _nailing(context: LineContext, panel: PanelSize, rows: tuple[ScheduleItem, ...]) -> tuple[EdgeSpacing, Step]:
    """The spacing that a panel's rows fill, and what the nails used leave of the specified ones' strength."""
    return context.surveyed(("nailing", panel.number, rows), lambda bare: _nailing_of(bare, panel, rows))


def _nailing_of(context: LineContext, panel: PanelSize, rows: tuple[ScheduleItem, ...]) -> tuple[EdgeSpacing, Step]:
    _require_finishes(context)
    spacing_in = _filled_spacing_in(context, panel, rows)
    factors = [_nail_factor(context, row, spacing_in) for row in rows]
    return spacing_in, min(factors, key=lambda one: float(one.value))


def _require_finishes(context: LineContext) -> None:
    """Raise OutOfRange for a bright edge nail in treated wood: studs, plates, and the sill or the block on it."""
    framing = context.line.framing
    bottom = framing.block if on_block(context) else framing.sill
    for sheathing in faces(context.line):
        require_finish("sheathing.finish", sheathing.finish, framing.studs, framing.plates, bottom)


def _filled_spacing_in(context: LineContext, panel: PanelSize, rows: tuple[ScheduleItem, ...]) -> EdgeSpacing:
    """The spacing that a panel's rows fill: of two the wider counts, and fewer nails are as good as the next wider.

    OutOfRange where it is none of the table's, or not even the widest is filled.
    """
    wide_in = max(row.spacing_in or 0.0 for row in rows)
    if not SPACINGS_IN[-1] - 1e-9 <= wide_in <= SPACINGS_IN[0] + 1e-9:
        raise OutOfRange("spacing_in", wide_in, "edge nails must be from 2 to 6 in apart")
    nails, sides = sum(row.count for row in rows), len(faces(context.line))
    filled = [
        spacing
        for spacing in SPACINGS_IN
        if spacing >= wide_in - 1e-9 and nails >= sides * edge_nail_count(context, panel, spacing)
    ]
    if not filled:
        least = sides * edge_nail_count(context, panel, SPACINGS_IN[0])
        raise OutOfRange("count", nails, f"must be at least {least} edge nails, {SPACINGS_IN[0]} in apart")
    return filled[-1]


def _nail_factor(context: LineContext, row: ScheduleItem, spacing_in: EdgeSpacing) -> Step:
    """1 where the row's nail is a face's own; else what the nail used leaves of the weaker face.

    OutOfRange for another finish: it is chosen for what the nail goes into.
    """
    nail, own = context.values.nail(row.connector), faces(context.line)
    if any(_size(nail) == _size_of(face) for face in own):
        return step("own_nail", "C_nail", "nail as specified", 1.0, "-", EDGE_NAILING)
    if nail.finish not in {face.finish for face in own}:
        size = _size_of(own[0])
        allowed = f"must be the sheathing's nail, {size[0]:g} × {size[1]:g} in, {size[2]}"
        raise OutOfRange("connector", row.connector, allowed)
    gravity = lowest_specific_gravity(context)
    return min((nailing_factor(face, nail, spacing_in, gravity) for face in own), key=lambda one: float(one.value))


def _size(nail: Nail) -> tuple[float, float, str]:
    return nail.diameter_in, nail.length_in, nail.finish


def _size_of(sheathing: Sheathing) -> tuple[float, float, str]:
    return sheathing.nail_diameter_in, sheathing.nail_length_in, sheathing.finish


def _line_steps(context: LineContext, shared: tuple[Panel, ...]) -> list[Step]:
    line, demand_lb, gravity = context.line, context.demand.demand_lb, lowest_specific_gravity(context)
    length_ft = sum(panel.length_ft for panel in shared)
    worst = max(shared, key=lambda panel: panel.height_ft / panel.length_ft)
    bottom = "block" if on_block(context) else "sill"
    post = line.end_post.member or line.framing.studs
    steps = [
        step("lowest_G", "G", f"lowest of studs, posts, plates, {bottom}", gravity, "-", EDGE_NAILING,
             studs=line.framing.studs.specific_gravity, posts=post.specific_gravity,
             plates=line.framing.plates.specific_gravity, **{bottom: getattr(line.framing, bottom).specific_gravity}),
        step("panel_length_ft", "Σb", "sum of panel lengths", length_ft, "ft", EDGE_NAILING,
             **{f"b_{panel.number}": panel.length_ft for panel in shared}),
        step("aspect_ratio_max", "h/b", "h/b of the most slender panel", worst.height_ft / worst.length_ft, "-",
             ASPECT_RATIO, h=worst.height_ft, b=worst.length_ft),
        step("panel_unit_shear_plf", "v", "V/Σb, by 2b/h above 2:1", max(panel.unit_shear_plf for panel in shared),
             "plf", UNIT_SHEAR, V=demand_lb, Σb=length_ft),
    ]  # fmt: skip
    studs_in = max(widest_bay_in(context, panel) for panel in shared)
    for spacing_in, allow_plf, allowed in _by_spacing(line.sheathing, line.other_face, gravity, studs_in):
        needed = f"required_length_{spacing_in}in_ft"
        steps += [
            allowed,
            step(needed, f"Σb needed at {spacing_in} in", "V/v_allow", demand_lb / allow_plf, "ft", UNIT_SHEAR,
                 V=demand_lb, v_allow=allow_plf),
        ]  # fmt: skip
    return steps


@lru_cache(maxsize=1024)
def _by_spacing(
    sheathing: Sheathing, other_face: Sheathing | None, specific_gravity: float, studs_in: float
) -> tuple[tuple[EdgeSpacing, float, Step], ...]:
    """What a panel that is not slender may take at each spacing of the table, with its step. [in, plf]"""
    found = list[tuple[EdgeSpacing, float, Step]]()
    for spacing_in in SPACINGS_IN:
        allow_plf, table = allowable_unit_shear_plf(
            sheathing=sheathing,
            edge_spacing_in=spacing_in,
            height_ft=1.0,
            length_ft=1.0,
            specific_gravity=specific_gravity,
            other_face=other_face,
            stud_spacing_in=studs_in,
        )
        named = table[-1]._replace(key=f"v_allow_{spacing_in}in_plf", symbol=f"v_allow at {spacing_in} in")
        found.append((spacing_in, allow_plf, named))
    return tuple(found)


def _drift(
    context: LineContext, shared: tuple[Panel, ...], nailing: dict[int | None, list[ScheduleItem]]
) -> tuple[tuple[Step, ...], str]:
    """The drift of the panel with the most slender shape, which gives most under equal unit shear."""
    slender = max(shared, key=lambda panel: panel.height_ft / panel.length_ft)
    spacing_in, _ = _nailing(context, slender, tuple(nailing[slender.number]))
    return panel_deflection.drift(context, slender, spacing_in)


def _notes(context: LineContext, spacing_in: float) -> tuple[str, ...]:
    inspected = ("edge nails at 4 in or closer: periodic special inspection of the nailing",)
    return (
        *panel_pieces.notes(context),
        *(inspected if spacing_in <= INSPECTED_SPACING_IN else ()),
        *context.surveyed("panel notes", _shape_notes),
    )


def _shape_notes(context: LineContext) -> tuple[str, ...]:
    notes = []
    for panel in sizes(context):
        heights_ft = stud_heights_ft(context.line, panel.span)
        if max(heights_ft) > min(heights_ft):
            between = f"{min(heights_ft):.2f} to {max(heights_ft):.2f} ft"
            notes.append(f"panel {panel.number}: studs from {between}, h at the tallest for h/b and overturning")
    if any(found.accepted for found in context.line.found_sheathing):
        notes.append("sheathing found on the wall adds nothing to the new panels: dissimilar materials")
    return tuple(notes)


def _shape_warnings(shared: tuple[Panel, ...]) -> tuple[str, ...]:
    tallest, shortest = max(panel.height_ft for panel in shared), min(panel.height_ft for panel in shared)
    if tallest <= TALLEST_TO_SHORTEST * shortest + 1e-9:
        return ()
    return (
        f"panels from {shortest:.2f} to {tallest:.2f} ft high on one line: the shorter are stiffer and take more "
        "than the equal unit shear computed",
    )
