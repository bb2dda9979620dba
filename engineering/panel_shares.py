"""The panels of a wall line: size, share of the line's shear, the wood they are nailed to, stiffness. No nailing."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from engineering.clauses import convention
from engineering.connector_values import LineContext
from engineering.errors import OutOfRange
from engineering.inputs import Sheathing, Span, WallLine
from engineering.results import Step
from engineering.shear_panels import FULL_STRENGTH_ASPECT, GREATEST_ASPECT, apparent_stiffness_kip_per_in
from engineering.steps import step

ON_SILL = "the joists bear on the sill: no panel"
STIFFNESS = convention(12, "k = 1000·G_a·b/h summed over panels")


@dataclass(frozen=True, slots=True)
class PanelSize:
    """One panel as it stands. `number` counts from the zero end; `factor` is 2b/h above h/b = 2, else 1."""

    number: int
    span: Span
    length_ft: float
    height_ft: float
    factor: float


@dataclass(frozen=True, slots=True)
class Panel(PanelSize):
    """With its share of the line's shear. `unit_shear_plf` is v."""

    unit_shear_plf: float

    @property
    def share_lb(self) -> float:
        """v·b."""
        return self.unit_shear_plf * self.length_ft


def sizes(context: LineContext) -> tuple[PanelSize, ...]:
    """The line's panels as they stand, from the bottom of the sill to the top of the upper plate.

    OutOfRange above h/b = 3.5.
    """
    return context.surveyed("panel sizes", lambda bare: _sizes(bare.line))


def panels(context: LineContext) -> tuple[Panel, ...]:
    """The line's panels with equal unit shear up to h/b = 2; above it in proportion to 2b/h (convention 5)."""
    return context.once("panels", lambda: _panels(context))


def _panels(context: LineContext) -> tuple[Panel, ...]:
    sized = sizes(context)
    whole_ft = sum([one.length_ft * one.factor for one in sized])
    unit_plf = context.demand.demand_lb / whole_ft if sized else 0.0
    return tuple(
        Panel(one.number, one.span, one.length_ft, one.height_ft, one.factor, unit_plf * one.factor) for one in sized
    )


def _sizes(line: WallLine) -> tuple[PanelSize, ...]:
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
        sized.append(PanelSize(number, span, length_ft, height_ft, factor))
    return tuple(sized)


def panel_height_ft(line: WallLine, span: Span) -> float:
    """Bottom of the sill to the top of the upper plate; where the studs' height varies, at the tallest. [ft]"""
    framing = line.framing
    stud_ft = max(stud_heights_ft(line, span))
    return (12 * stud_ft + framing.sill_thickness_in + sum(framing.plates_in)) / 12


def stud_heights_ft(line: WallLine, span: Span) -> tuple[float, ...]:
    """Stud heights at both ends of a stretch and wherever their slope changes under it. [ft]"""
    return tuple(
        segment.stud_height_at_ft(at_ft)
        for segment in line.segments
        if segment.from_ft < span.to_ft and span.from_ft < segment.to_ft
        for at_ft in (max(segment.from_ft, span.from_ft), min(segment.to_ft, span.to_ft))
    )


def stud_bays_in(line: WallLine, span: Span) -> tuple[float, ...]:
    """Lengths of the stud bays under a stretch, stud centre to stud centre or to the stretch's end. [in]"""
    from_in, to_in = 12 * span.from_ft, 12 * span.to_ft
    inner = [at for at in line.framing.stud_centrelines_in if from_in + 1e-9 < at < to_in - 1e-9]
    return tuple([b - a for a, b in pairwise((from_in, *inner, to_in))])


def widest_bay_in(context: LineContext, panel: PanelSize) -> float:
    """The widest stud bay under a panel. [in]"""
    return context.surveyed(("widest bay", panel.number), lambda bare: max(stud_bays_in(bare.line, panel.span)))


def faces(line: WallLine) -> tuple[Sheathing, ...]:
    """The new panels' sheathing, one face or both."""
    return (line.sheathing,) if line.other_face is None else (line.sheathing, line.other_face)


def lowest_specific_gravity(context: LineContext) -> float:
    """The lowest specific gravity that edge nails enter: studs, end posts, plates, and the sill or the block on it."""
    return context.surveyed("lowest G", _lowest_specific_gravity)


def _lowest_specific_gravity(context: LineContext) -> float:
    framing = context.line.framing
    bottom = framing.block if on_block(context) else framing.sill
    post = context.line.end_post.member or framing.studs
    return min(one.specific_gravity for one in (framing.studs, framing.plates, bottom, post))


def wide_sill(context: LineContext) -> bool:
    """Whether the sill stands out beyond the studs, so that a panel's bottom edge has no sill to nail to."""
    return context.line.framing.sill_width_in > context.line.framing.stud_depth_in + 1e-9


def on_block(context: LineContext) -> bool:
    """Whether a panel's bottom edge is nailed to a block on the wide sill; a sill cut flush takes the nails itself."""
    return wide_sill(context) and context.line.methods.wide_sill == "block"


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
    stiff = [apparent_stiffness_kip_per_in(face, spacing_in, wet=wet) for face in faces(line)]
    total = sum(float(one.value) for one in stiff)
    sizes = {
        f"panel {number}": (span.to_ft - span.from_ft) / panel_height_ft(line, span)
        for number, span in enumerate(line.panels, 1)
    }
    slender = sum(sizes.values())
    return (
        *stiff,
        step("b_over_h", "Σb/h", "sum of b/h of the panels", slender, "-", STIFFNESS, **sizes),
        step("line_stiffness_kip_per_in", "k", "ΣG_a·Σb/h", total * slender, "kip/in", STIFFNESS,
             **{"ΣG_a": total, "Σb/h": slender}),
    )  # fmt: skip
