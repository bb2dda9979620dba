"""Link 8: what is delivered to the foundation, its recorded condition, the engineer's acceptance. Never computed."""

from __future__ import annotations

from engineering.clauses import convention
from engineering.connector_values import LineContext
from engineering.footings import footings
from engineering.inputs import NOT_OBSERVED, Foundation
from engineering.link_checks import LINK_NAMES, NOT_ACCEPTED
from engineering.panel_shares import Panel, panels
from engineering.plate_washers import bearing_width_in, borne_in, sill_edge_in
from engineering.results import Check, LinkResult, Step
from engineering.steps import step
from engineering.tie_downs import panel_overturning

DELIVERED = convention(11, "delivered to the foundation")
ENDS = 2


def check(context: LineContext) -> LinkResult:
    """Link 8, recorded: the largest shear per foot, uplift and compression of the line, panel by panel in its parts.

    Where the joists bear on the sill: the floor's shear along each sill piece. [lb/ft, lb]
    """
    foundation = context.line.foundation
    if context.on_sill:
        parts = tuple(_piece(context, footing.piece, footing.share_lb) for footing in footings(context))
        shear_plf = context.local_demand_plf()
    else:
        parts = tuple(_panel(context, panel) for panel in panels(context))
        shear_plf = max((panel.unit_shear_plf for panel in panels(context)), default=0.0)
    uplift_lb = max((_value(part, "uplift_lb") for part in parts), default=0.0)
    compression_lb = max((_value(part, "compression_lb") for part in parts), default=0.0)
    steps = (
        step("shear_plf", "v", "along each panel, or the sill", shear_plf, "plf", DELIVERED),
        step("uplift_lb", "T", "largest net tension", uplift_lb, "lb", DELIVERED),
        step("compression_lb", "C", "largest end compression", compression_lb, "lb", DELIVERED),
        *context.surveyed("condition", lambda bare: _condition(bare.line.foundation)),
    )
    accepted = foundation.accepted_by
    return LinkResult(
        link="8",
        name=LINK_NAMES["8"],
        check=Check(
            name=LINK_NAMES["8"],
            status="recorded",
            demand=shear_plf,
            unit="plf",
            steps=steps,
            notes=(
                f"{foundation.material}, {foundation.condition}",
                *((f"accepted by {accepted}",) if accepted else ()),
            ),
            warnings=() if accepted else (NOT_ACCEPTED,),
        ),
        parts=parts,
    )


def _value(part: Check, key: str) -> float:
    return next((float(one.value) for one in part.steps if one.key == key), 0.0)


def _panel(context: LineContext, panel: Panel) -> Check:
    """What one panel delivers: shear along it, uplift at each rod, compression under each end post."""
    turned, post = panel_overturning(context, panel), context.line.end_post
    uplift_lb = max(0.0, turned.tension_lb)
    steps = (
        step("shear_plf", "v", "unit shear of the panel", panel.unit_shear_plf, "plf", DELIVERED),
        step("shear_lb", "V", "v·b", panel.share_lb, "lb", DELIVERED, v=panel.unit_shear_plf, b=panel.length_ft),
        step("uplift_lb", "T", "net tension at each rod, 0 where there is none", uplift_lb, "lb", DELIVERED),
        step("rods", "n_T", "rods, one at each end", ENDS if uplift_lb else 0, "rods", DELIVERED),
        step("compression_lb", "C", "compression under each end post", turned.compression_lb, "lb", DELIVERED),
        step("post_area_in2", "A_post", "width·depth", post.width_in * post.depth_in, "in²", DELIVERED,
             width=post.width_in, depth=post.depth_in),
        *_sill_area(context, panel.length_ft),
    )  # fmt: skip
    return Check(name=f"panel {panel.number}", status="recorded", demand=panel.unit_shear_plf, unit="plf", steps=steps)


def _piece(context: LineContext, number: int, share_lb: float) -> Check:
    piece = context.line.sill_pieces[number - 1]
    length_ft = piece.to_ft - piece.from_ft
    steps = (
        step("shear_plf", "v", "V/length", share_lb / length_ft, "plf", DELIVERED, V=share_lb, length=length_ft),
        step("shear_lb", "V", "what the floor brings to the sill piece", share_lb, "lb", DELIVERED, length=length_ft),
        *_sill_area(context, length_ft),
    )
    return Check(name=f"sill piece {number}", status="recorded", demand=share_lb / length_ft, unit="plf", steps=steps)


def _sill_area(context: LineContext, length_ft: float) -> tuple[Step, Step]:
    """Where the sill bears on the concrete: its width, less what stands out beyond the concrete's edge."""
    return context.surveyed(("sill area", length_ft), lambda bare: _area_steps(bare, length_ft))


def _area_steps(context: LineContext, length_ft: float) -> tuple[Step, Step]:
    width_in, over_in = bearing_width_in(context.line), max(0.0, -sill_edge_in(context.line))
    bears_in = borne_in(context.line)
    return (
        step("sill_bears_in", "w", "w_sill − overhang", bears_in, "in", DELIVERED, w_sill=width_in, overhang=over_in),
        step("sill_area_in2", "A_sill", "12·length·w", 12 * length_ft * bears_in, "in²", DELIVERED,
             length=length_ft, w=bears_in),
    )  # fmt: skip


def _condition(foundation: Foundation) -> tuple[Step, ...]:
    """The recorded condition, each fact a step; "not observed" where nobody looked."""
    facts = (
        ("material", foundation.material, "-"),
        ("condition", foundation.condition, "-"),
        ("face", foundation.face, "-"),
        ("crack_in", foundation.crack_in, "in"),
        ("section_loss_percent", foundation.section_loss_percent, "%"),
        ("concrete_psi", foundation.concrete_psi, "psi"),
        ("accepted_by", foundation.accepted_by or "nobody yet", "-"),
    )
    return tuple(
        step(key, key.split("_")[0], "as recorded", value, unit if value != NOT_OBSERVED else "-", DELIVERED)
        for key, value, unit in facts
    )
