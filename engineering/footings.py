"""Where a panel's shear meets its sill pieces, the ends of those pieces, and whether the foundation takes anchors.

Convention 10: each panel's anchors carry that panel's share; a panel across a sill joint is shared by length; where
the joists bear on the sill each piece carries its length of the line's shear.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from engineering.clauses import convention
from engineering.connector_values import LineContext
from engineering.geometry_factor import END_ALONG_D, LEAST_FACTOR
from engineering.inputs import NEAR_FT, NOT_OBSERVED, Foundation, Span, WallLine
from engineering.panel_shares import panels
from engineering.results import Step
from engineering.sources import Source
from engineering.steps import step

SHARES = convention(10, "anchors by panel on its own sill piece")
# New-build rule of IRC R403.1.6 as AWC answers on it: two bolts a piece, 7 diameters to 12 in from its ends.
PIECE_ENDS = Source(
    "IRC",
    "2021",
    "R403.1.6 (new work)",
    read="https://awc.org/faqs/codes-standards/irc/what-are-the-requirements-for-anchorage-of-wood-sill-plates-and-"
    "wood-wall-sole-plates-in-the-irc",
)
END_DIAMETERS = END_ALONG_D["tension", "softwood"]  # full value, and the least of the new-build rule
LEAST_END_DIAMETERS = LEAST_FACTOR * END_DIAMETERS  # nearer counts as nothing
NEAR_END_IN = 12.0
SECTION_LOSS_LIMIT_PERCENT = 20.0


@dataclass(frozen=True, slots=True)
class Foot:
    """The part of a panel that stands on one sill piece.

    `panel` is None where the joists bear on the sill: then it is the sill piece itself.
    """

    panel: int | None
    piece: int
    from_ft: float
    to_ft: float

    @property
    def place(self) -> tuple[int | None, int]:
        """Which one of its line it is."""
        return self.panel, self.piece

    @property
    def name(self) -> str:
        """As printed."""
        return f"panel {self.panel}, sill piece {self.piece}" if self.panel else f"sill piece {self.piece}"

    @property
    def length_ft(self) -> float:
        """Along the line."""
        return self.to_ft - self.from_ft

    def holds(self, at_ft: float) -> bool:
        """Whether a place on the line lies in it, ends included."""
        return self.from_ft - 1e-6 <= at_ft <= self.to_ft + 1e-6


@dataclass(frozen=True, slots=True)
class Footing(Foot):
    """With its share of the panel's shear; of the line's, by length, where the joists bear on the sill."""

    share_lb: float


def feet(context: LineContext) -> tuple[Foot, ...]:
    """Each panel on each of its sill pieces; each sill piece where the joists bear on it."""
    return context.surveyed("feet", lambda bare: _feet(bare))


def _feet(context: LineContext) -> tuple[Foot, ...]:
    pieces = context.line.sill_pieces
    if context.on_sill:
        return tuple(Foot(None, number, piece.from_ft, piece.to_ft) for number, piece in enumerate(pieces, 1))
    found = []
    for panel, span in enumerate(context.line.panels, 1):
        for number, piece in enumerate(pieces, 1):
            from_ft, to_ft = max(span.from_ft, piece.from_ft), min(span.to_ft, piece.to_ft)
            if to_ft - from_ft > 1e-6:
                found.append(Foot(panel, number, from_ft, to_ft))
    return tuple(found)


def footings(context: LineContext) -> tuple[Footing, ...]:
    """Each foot with its shear: the panel's shared by length, the line's where the joists bear on the sill."""
    return context.once("footings", lambda: _footings(context))


def _footings(context: LineContext) -> tuple[Footing, ...]:
    if context.on_sill:
        entering = [_entering_lb(context, piece) for piece in context.line.sill_pieces]
        whole = context.demand.demand_lb / sum(entering)  # what enters a bare foot goes to the pieces as well
        shares_lb = [whole * share_lb for share_lb in entering]
    else:
        shear_plf = {panel.number: panel.unit_shear_plf for panel in panels(context)}
        shares_lb = [shear_plf[foot.panel] * foot.length_ft for foot in feet(context) if foot.panel]
    return tuple(
        Footing(foot.panel, foot.piece, foot.from_ft, foot.to_ft, share_lb)
        for foot, share_lb in zip(feet(context), shares_lb, strict=True)
    )


def _entering_lb(context: LineContext, piece: Span) -> float:
    """What the floor's rectangles bring to one sill piece along their own edges. [lb]"""
    return sum(
        max(0.0, min(piece.to_ft, to_ft) - max(piece.from_ft, from_ft)) * plf
        for from_ft, to_ft, plf in context.delivered("story shear")
    )


def foot_of(context: LineContext, at_ft: float) -> Foot | None:
    """The foot that a bolt stands in; one between two panels that meet counts in the first alone."""
    return next((one for one in feet(context) if one.holds(at_ft)), None)


def unfit_foundation(foundation: Foundation) -> str:
    """Why no sill anchor may be counted in this foundation; empty where it may. The engineer's own route stays open."""
    if foundation.material != "concrete":
        return f"{foundation.material} foundation: the engineer's own design"
    if foundation.section_loss_percent == NOT_OBSERVED:
        return "section loss of the foundation was not observed"
    if foundation.section_loss_percent >= SECTION_LOSS_LIMIT_PERCENT:
        return f"{foundation.section_loss_percent:g} % section loss of the foundation: the engineer's own design"
    return ""


def end_distance_in(line: WallLine, at_ft: float) -> float:
    """From a place to the nearest end of the sill piece that it stands on, the nearer piece at a joint. [in]"""
    ends = [
        12 * min(at_ft - piece.from_ft, piece.to_ft - at_ft)
        for piece in line.sill_pieces
        if piece.from_ft - 1e-6 <= at_ft <= piece.to_ft + 1e-6
    ]
    return max(0.0, min(ends, default=0.0))


def concrete_ends_in(line: WallLine) -> tuple[float, ...]:
    """Where the concrete ends: at the line's ends, and at gaps between sill pieces: stepped or cut. [in]"""
    gaps_ft = [
        end_ft
        for one, following in pairwise(line.sill_pieces)
        if following.from_ft - one.to_ft > NEAR_FT
        for end_ft in (one.to_ft, following.from_ft)
    ]
    return tuple(12 * end_ft for end_ft in (0.0, *gaps_ft, line.length_ft))


def concrete_end_in(line: WallLine, at_in: float) -> float:
    """From a place to the nearest end of the concrete. [in]"""
    return min(abs(at_in - end_in) for end_in in concrete_ends_in(line))


def end_factor(line: WallLine, at_ft: float, diameter_in: float) -> float:
    """C_Δ of a sill bolt by its distance from the end of its sill piece: end/(7·D), at most 1; 0 under 3.5 D.

    The shear turns round, so each end is a loaded one. NDS 12.5.1, Table 12.5.1A.
    """
    factor = end_distance_in(line, at_ft) / (END_DIAMETERS * diameter_in)
    if factor < LEAST_FACTOR - 1e-6:
        return 0.0
    return 1.0 if factor > 1 - 1e-6 else factor


def piece_minimum(context: LineContext, piece: Span) -> int:
    """Least number of anchors in a sill piece: two, one where it is short."""
    criteria = context.inputs.criteria
    short = 12 * (piece.to_ft - piece.from_ft) < criteria.one_anchor_under_in - 1e-9
    return 1 if short else criteria.anchors_per_piece


def piece_steps(context: LineContext, at_ft: list[float]) -> tuple[tuple[Step, ...], tuple[str, ...]]:
    """Anchors of each sill piece and the distance from each of its ends to the nearest one, with notes over 12 in.

    `at_ft`: every anchor that counts, old and new. The 12 in are a rule for new work: said, not refused.
    """
    steps, notes = list[Step](), list[str]()
    for number, piece in enumerate(context.line.sill_pieces, 1):
        inside = [at for at in at_ft if piece.from_ft - 1e-6 <= at <= piece.to_ft + 1e-6]
        least = piece_minimum(context, piece)
        steps.append(
            step(f"piece_{number}_anchors", f"n_{number}", f"anchors that count in sill piece {number}", len(inside),
                 "anchors", PIECE_ENDS, least=least)
        )  # fmt: skip
        if not inside:
            continue
        for end, gap_ft in (("zero", min(inside) - piece.from_ft), ("far", piece.to_ft - max(inside))):
            steps.append(
                step(f"piece_{number}_{end}_end_in", f"e_{number}", f"its {end} end to the nearest anchor", 12 * gap_ft,
                     "in", PIECE_ENDS)
            )  # fmt: skip
            if 12 * gap_ft > NEAR_END_IN + 1e-6:
                notes.append(f"sill piece {number}: no anchor within {NEAR_END_IN:g} in of its {end} end")
    return tuple(steps), tuple(notes)
