"""Inside the tolerances: log only. Outside: that item stops and a field question goes to the engineer. Not capacity."""

from __future__ import annotations

from bisect import bisect
from dataclasses import replace
from itertools import pairwise

from engineering import plate_connectors, plate_layout, sill_anchors, stitch_nailing, tie_downs, wall_panels
from engineering import tolerances as allowed
from engineering.as_built_inputs import LineLog
from engineering.as_built_results import INSIDE, OUTSIDE, Decision, Ruling, Tolerance, Uncounted
from engineering.connector_values import LineContext
from engineering.field_counts import FEWER, MISPLACED, NOT_LOGGED, SUNK, Counted
from engineering.field_log import Row
from engineering.footings import END_DIAMETERS
from engineering.inputs import Nail, WallLine
from engineering.inspections import NOT_HELD
from engineering.schedule import ScheduleItem


def decisions(context: LineContext, designed: WallLine, log: LineLog, counted: Counted) -> tuple[Decision, ...]:
    """One decision for each thing that was logged otherwise than scheduled; none for what nobody logged yet."""
    label, found = log.label, list[Decision]()
    for row in counted.rows:
        found += _by_number(context, row) if row.by_number else _by_place(context, row)
    for number, panel in enumerate(designed.panels, 1):
        for built in (one for one in log.panels if one.panel == number):
            off_in = 12 * max(abs(built.from_ft - panel.from_ft), abs(built.to_ft - panel.to_ft))
            ruling = INSIDE if off_in <= allowed.PANEL_END_IN + 1e-9 else OUTSIDE
            text = f"panel {number} stands from {built.from_ft:g} to {built.to_ft:g} ft, {off_in:.3g} in off"
            found.append(_of(label, wall_panels.ROLE, number, None, ruling, allowed.PANEL_END, text))
    for number, sunk in counted.sunk.items():
        ruling = OUTSIDE if sunk.outcome == "stop and ask" else INSIDE
        text = f"sunk nails of panel {number}: {sunk.text}"
        found.append(_of(label, wall_panels.ROLE, number, None, ruling, allowed.NONE_FEWER, text))
    told = (NOT_LOGGED, "missed", "split", MISPLACED, FEWER, SUNK)  # decided with their row
    found += [_unproven(one) for one in counted.uncounted if one.reason not in told]
    return tuple(found)


def _unproven(lost: Uncounted) -> Decision:
    rule = allowed.INSPECTED if lost.reason == NOT_HELD else allowed.AS_SCHEDULED
    text = f"{lost.count} {lost.role}: {lost.reason}"
    return _of(lost.line, lost.role, lost.panel, lost.piece, OUTSIDE, rule, text)


def _by_number(context: LineContext, row: Row) -> list[Decision]:
    item, found = row.item, list[Decision]()
    if not row.logged:
        return found
    for key, number in row.numbers.items():
        if key != item.connector and number:
            found.append(_on(context, item, OUTSIDE, allowed.AS_SCHEDULED, f"{number} {_instead(context, item, key)}"))
    stands = sum(row.numbers.values())
    if stands < item.count:
        text = f"{item.count - stands} of {item.count} {item.role} missing"
        found.append(_on(context, item, OUTSIDE, allowed.NONE_FEWER, text))
    if stands > item.count:
        near = item.role == wall_panels.ROLE and item.spacing_in is not None
        too_near = near and (item.spacing_in or 0.0) * item.count / stands < allowed.NAILS_APART_IN - 1e-9
        text = f"{stands - item.count} {item.role} more than scheduled"
        rule = allowed.NAILS_APART if near else allowed.NONE_FEWER
        found.append(_on(context, item, OUTSIDE if too_near else INSIDE, rule, text))
    return found


def _by_place(context: LineContext, row: Row) -> list[Decision]:
    item, found = row.item, list[Decision]()
    spare = [at for key, at in row.besides if key == item.connector]
    for at_in, reason in row.lost.items():
        good = next((at for at in spare if _bay(context, at) == _bay(context, at_in)), None)
        if good is not None and item.role == plate_connectors.ROLE:
            spare.remove(good)
            text = f"{reason} at {at_in:g} in, one more in the same bay at {good:g} in"
            found.append(_on(context, item, INSIDE, allowed.SAME_BAY, text))
        else:
            found.append(_on(context, item, OUTSIDE, allowed.NONE_FEWER, f"{reason} at {at_in:g} in"))
    for at_in in spare:
        found.append(_on(context, item, INSIDE, allowed.NONE_FEWER, f"one more than scheduled at {at_in:g} in"))
    for key, at_in in (*filter(None, row.places.values()), *row.besides):
        if key != item.connector:
            found.append(
                _on(context, item, OUTSIDE, allowed.AS_SCHEDULED, f"at {at_in:g} in {_instead(context, item, key)}")
            )
    for from_in, held in row.places.items():
        if held is not None and held[1] != from_in:
            ruling, rule = _moved(context, row, from_in, held[1])
            found.append(_on(context, item, ruling, rule, f"moved from {from_in:g} to {held[1]:g} in"))
    return found


def _instead(context: LineContext, item: ScheduleItem, key: str) -> str:
    """What stands instead; nails by diameter, length, kind and finish, and in what they differ."""
    found, drawn = context.values.connector(key), context.values.connector(item.connector)
    if not isinstance(found, Nail) or not isinstance(drawn, Nail):
        return f"{found.name} instead of {drawn.name}"
    differences = [
        word
        for word, differs in (
            ("thinner", found.diameter_in < drawn.diameter_in),
            ("thicker", found.diameter_in > drawn.diameter_in),
            ("shorter", found.length_in < drawn.length_in),
            ("longer", found.length_in > drawn.length_in),
            ("other kind", found.kind != drawn.kind),
            ("other finish", found.finish != drawn.finish),
        )
        if differs
    ]
    return f"{_size(found)} instead of {_size(drawn)}: {', '.join(differences) or 'the same nail'}"


def _size(nail: Nail) -> str:
    return f"{nail.diameter_in:g} × {nail.length_in:g} in {nail.kind} {nail.finish}"


def _moved(context: LineContext, row: Row, from_in: float, to_in: float) -> tuple[Ruling, Tolerance]:
    """A connector moved along the wall, by the rule of its role."""
    item = row.item
    if item.role == tie_downs.ROLE:
        return (INSIDE if abs(to_in - from_in) <= tie_downs.ROD_TOLERANCE_IN + 1e-9 else OUTSIDE), allowed.ROD
    rules = {
        plate_connectors.ROLE: allowed.SAME_BAY,
        stitch_nailing.ROLE: allowed.STITCH_BAY,
        sill_anchors.ROLE: allowed.ANCHOR_BAY,
        sill_anchors.SIDE_ROLE: allowed.SIDE,
    }
    if item.role not in rules:
        return OUTSIDE, allowed.AS_SCHEDULED
    if item.role == sill_anchors.SIDE_ROLE:
        return _anchor_moved(context, item, to_in, allowed.SIDE)
    one = replace(item, count=1, positions_in=(to_in,))
    if _bay(context, from_in) != _bay(context, to_in) or plate_layout.misplaced(context, (one,)):
        return OUTSIDE, rules[item.role]
    if item.role == plate_connectors.ROLE and _too_wide(context, row, to_in):
        return OUTSIDE, allowed.SPACING
    if item.role == sill_anchors.ROLE:
        return _anchor_moved(context, item, to_in, allowed.ANCHOR_BAY)
    return INSIDE, rules[item.role]


def _anchor_moved(context: LineContext, item: ScheduleItem, to_in: float, rule: Tolerance) -> tuple[Ruling, Tolerance]:
    line, at_ft = context.line, to_in / 12
    diameter_in = context.values.connector(item.connector).diameter_in
    for spans, number in ((line.panels, item.panel), (line.sill_pieces, item.piece)):
        if number is not None and not spans[number - 1].from_ft <= at_ft <= spans[number - 1].to_ft:
            return OUTSIDE, rule
    piece = line.sill_pieces[item.piece - 1] if item.piece else None
    end_ft = END_DIAMETERS * diameter_in / 12
    if piece and min(at_ft - piece.from_ft, piece.to_ft - at_ft) < end_ft - 1e-9:
        return OUTSIDE, allowed.ANCHOR_END
    return INSIDE, rule


def _too_wide(context: LineContext, row: Row, to_in: float) -> bool:
    """Whether the gap on either side of a place is wider than the company's maximum spacing."""
    places = sorted(at for item in row.standing() for at in item.positions_in)
    limit_in = context.inputs.criteria.maximum_connector_spacing_in
    return any(b - a > limit_in + 1e-9 and to_in in (a, b) for a, b in pairwise(places))


def _bay(context: LineContext, at_in: float) -> int:
    """The stud bay of a place, counted from the zero end."""
    return bisect(context.line.framing.stud_centrelines_in, at_in)


def _on(context: LineContext, item: ScheduleItem, ruling: Ruling, rule: Tolerance, text: str) -> Decision:
    return _of(context.line.label, item.role, item.panel, item.piece, ruling, rule, text)


def _of(
    label: str, role: str, panel: int | None, piece: int | None, ruling: Ruling, rule: Tolerance, text: str
) -> Decision:
    return Decision(line=label, role=role, panel=panel, piece=piece, ruling=ruling, tolerance=rule.key, text=text)
