"""Framing where the pieces of a panel meet: 3x, or two 2x stitched for the same shear. Not the panel's strength."""

from __future__ import annotations

from engineering.connector_values import LineContext
from engineering.errors import OutOfRange
from engineering.inputs import NEAR_FT
from engineering.link_checks import count_for, reason_of, value_step
from engineering.panel_pieces import joints_in
from engineering.panel_shares import Panel, PanelSize, sizes
from engineering.results import Check, Step
from engineering.shear_panels import SDPWS_THREE_X
from engineering.steps import step

THREE_X_IN = 2.5  # dressed


def adjoining_edges(context: LineContext, panel: PanelSize) -> int:
    """Where two panel edges meet on one stud: joints inside the panel, and ends that another panel abuts."""
    return context.surveyed(("adjoining edges", panel.number), lambda bare: _adjoining_edges(bare, panel))


def _adjoining_edges(context: LineContext, panel: PanelSize) -> int:
    others = [one for one in sizes(context) if one.number != panel.number]
    abutting = sum(
        abs(one.span.to_ft - panel.span.from_ft) <= NEAR_FT or abs(one.span.from_ft - panel.span.to_ft) <= NEAR_FT
        for one in others
    )
    return len(joints_in(context, panel)) + abutting


def framing(context: LineContext, panel: Panel, check: Check) -> tuple[tuple[Step, ...], tuple[str, ...]]:
    """Steps and notes on the studs at a panel's joints, where its own shear, nails or spacing ask for 3x (4.3.7.1).

    The nails that stitch a second 2x to the stud carry the panel's unit shear over its height at every joint.
    """
    count = adjoining_edges(context, panel)
    if not count or check.step("three_x_at_joints").value is not True:
        return (), ()
    name, stud_in = f"panel {panel.number}", context.line.framing.stud_thickness_in
    if stud_in >= THREE_X_IN - 1e-9:
        return (), (f"{name}: studs {stud_in:g} in thick serve as 3x at {count} joints",)
    key = context.line.methods.stitch_nail
    if not key:
        return (), (f"{name}: 3x studs at {count} joints, nails staggered",)
    try:
        value = context.values.between_studs(context.line, key)
    except OutOfRange as error:
        return (), (f"{name}: 3x studs at {count} joints; two 2x can't be stitched with {key} ({reason_of(error)})",)
    assert value.capacity is not None
    shear_lb = panel.unit_shear_plf * panel.height_ft
    nails = count_for(shear_lb / value.capacity)
    steps = (
        step("joint_shear_lb", "V_j", "v·h", shear_lb, "lb", SDPWS_THREE_X, v=panel.unit_shear_plf, h=panel.height_ft),
        value_step("joint_nail_lb", value),
        step("joint_stitch_nails", "n_j", "V_j/Z' in each joint", nails, "nails", SDPWS_THREE_X,
             **{"V_j": shear_lb, "Z'": value.capacity}),
    )  # fmt: skip
    name_of = context.values.nail(key).name
    return steps, (f"{name}: 3x studs at {count} joints, or two 2x stitched with {nails} {name_of} each, staggered",)
