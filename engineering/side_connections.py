"""Side connections of the sill to the foundation's face: where no anchor can be drilled from above. Not their value."""

from __future__ import annotations

from engineering.connector_values import LineContext
from engineering.results import Step
from engineering.sill_anchors import ROLE, SIDE_ROLE
from engineering.sources import Source
from engineering.steps import step

DRILL_HEADROOM_IN = 18.0
DRILL_HEADROOM = Source(
    "Structural engineers' guide", "undated", "sill bolts", read="http://www.johnmartin.com/earthquakes/eqresid/eqwood_0240.htm"
)  # fmt: skip
ONLY_BLOCKED = Source(
    "IEBC Appendix A3",
    "2021",
    "A304.3.1",
    read="https://online.flipbuilder.com/mewf/quir/files/basic-html/page124.html",
)


def clear_above_sill_in(context: LineContext) -> float:
    """Clear height over the sill for a drill: the lowest studs that a panel stands on, or the joists' depth. [in]"""
    return context.surveyed("clear above sill", _clear_above_sill_in)


def _clear_above_sill_in(context: LineContext) -> float:
    line = context.line
    if context.on_sill:
        return line.framing.rim_depth_in
    under = [
        segment
        for segment in line.segments
        if any(segment.from_ft < panel.to_ft and panel.from_ft < segment.to_ft for panel in line.panels)
    ]
    heights_ft = [
        height_ft
        for segment in under or line.segments
        for height_ft in (segment.stud_height_ft, segment.far_stud_height_ft)
        if height_ft is not None
    ]
    return 12 * min(heights_ft, default=0.0)


def headroom_step(context: LineContext) -> Step:
    """The clear height over the sill beside what a rotary hammer needs."""
    return step("clear_above_sill_in", "h_clear", "at least h_drill for a rotary hammer from above",
                clear_above_sill_in(context), "in", DRILL_HEADROOM, h_drill=DRILL_HEADROOM_IN)  # fmt: skip


def why_not_from_above(context: LineContext) -> str:
    """Why no anchor can be drilled through the sill from above; empty where one can."""
    clear_in = clear_above_sill_in(context)
    if clear_in >= DRILL_HEADROOM_IN - 1e-9:
        return ""
    what = "joists on the sill" if context.on_sill else "studs"
    return f"{clear_in:.3g} in clear over the sill ({what}): a rotary hammer needs about {DRILL_HEADROOM_IN:g} in"


def choice(context: LineContext) -> tuple[str, str]:
    """Role and catalogue key of what is proposed: sill anchors where they can be drilled, else side connections.

    Side connections alone where no sill anchor was chosen. An empty key where nothing was chosen.
    """
    methods = context.line.methods
    if methods.side_connection and (not methods.sill_anchor or why_not_from_above(context)):
        return SIDE_ROLE, methods.side_connection
    return ROLE, methods.sill_anchor
