"""What a caller fills in: plain frozen facts in US units. No defaults for what nobody looked at.

`NOT_OBSERVED` is a value of its own, written out by the caller; the checks then say what they assumed. Lengths along
a wall line are measured from its zero end; names carry units. Each class refuses what can't be (OutOfRange).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Final, Literal

from shapely import Point as ShapelyPoint
from shapely import Polygon

from engineering.adjustments import Moisture as Moisture
from engineering.adjustments import require_load_duration
from engineering.dowel_inputs import DowelInputs as DowelInputs
from engineering.dowel_inputs import FastenerRow as FastenerRow
from engineering.dowel_inputs import Placing as Placing
from engineering.dowel_inputs import WithdrawalInputs as WithdrawalInputs
from engineering.errors import OutOfRange, require_within
from engineering.limits import require_sizes, require_text
from engineering.outlines import first_off, outline
from engineering.single_inputs import NOT_OBSERVED as NOT_OBSERVED
from engineering.single_inputs import EvaluatedConnector as EvaluatedConnector
from engineering.single_inputs import LagScrew as LagScrew
from engineering.single_inputs import LoadDuration as LoadDuration
from engineering.single_inputs import Member as Member
from engineering.single_inputs import MemberFace as MemberFace
from engineering.single_inputs import Nail as Nail
from engineering.single_inputs import NotObserved as NotObserved
from engineering.single_inputs import PanelInputs as PanelInputs
from engineering.single_inputs import Sheathing as Sheathing
from engineering.single_inputs import ThroughPlateInputs as ThroughPlateInputs
from engineering.wall_line_inputs import ACCEPTED as ACCEPTED
from engineering.wall_line_inputs import NEAR_FT as NEAR_FT
from engineering.wall_line_inputs import SEEN as SEEN
from engineering.wall_line_inputs import AsFoundNailing as AsFoundNailing
from engineering.wall_line_inputs import DeadLoad as DeadLoad
from engineering.wall_line_inputs import EndPost as EndPost
from engineering.wall_line_inputs import ExistingAnchor as ExistingAnchor
from engineering.wall_line_inputs import Foundation as Foundation
from engineering.wall_line_inputs import FoundSheathing as FoundSheathing
from engineering.wall_line_inputs import Framing as Framing
from engineering.wall_line_inputs import LinkMethods as LinkMethods
from engineering.wall_line_inputs import Point as Point
from engineering.wall_line_inputs import Segment as Segment
from engineering.wall_line_inputs import Span as Span
from engineering.wall_line_inputs import Strut as Strut
from engineering.wall_line_inputs import WallLine as WallLine
from engineering.wall_line_inputs import require_axis_line

CodeFamily = Literal["2021", "2024"]
LegalBasis = Literal[
    "appendix A3 prescriptive",
    "appendix A3 engineered",
    "voluntary lateral alteration",
    "local mandate",
    "jurisdiction standard plan",
]
LINE_OFF_OUTLINE_FT: Final = 0.5  # a line is measured to sheathing, framing or foundation face


SiteClass = Literal["A", "B", "BC", "C", "CD", "D", "DE", "E", "F", "default"]
RiskCategory = Literal["I", "II", "III", "IV"]


# --- the house -----------------------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True, kw_only=True)
class MappedMotion:
    """Mapped accelerations (g) and the site class, from which ASCE 7-16 with Supplement 1 gives S_DS and S_D1."""

    s_s_g: float
    s_1_g: float
    site_class: SiteClass
    shear_wave_measured: bool = False  # site class B without it takes F_a = F_v = 1.0

    def __post_init__(self) -> None:
        require_sizes(s_s_g=self.s_s_g, s_1_g=self.s_1_g)


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteInputs:
    """One site's mapped motion, for its site coefficients and design spectrum."""

    mapped: MappedMotion
    risk_category: RiskCategory
    code_family: CodeFamily


@dataclass(frozen=True, slots=True, kw_only=True)
class Hazard:
    """Spectral accelerations (g), their source and date: as given, or as they follow from `mapped`.

    With `mapped`, S_DS and S_D1 must be what its site coefficients give (`site_coefficients.design_spectrum`).
    """

    s_ds_g: float
    s_d1_g: float
    s_1_g: float
    t_l_s: float
    source: str
    seismic_design_category: Literal["A", "B", "C", "D", "E", "F"]
    site_class: SiteClass | NotObserved = NOT_OBSERVED
    mapped: MappedMotion | None = None

    def __post_init__(self) -> None:
        require_sizes(s_ds_g=self.s_ds_g, s_d1_g=self.s_d1_g, s_1_g=self.s_1_g, t_l_s=self.t_l_s)


@dataclass(frozen=True, slots=True, kw_only=True)
class Criteria:
    """The engineer's criteria sheet as numbers. `redundancy` None: from the bays (1.3 where they can't be shown)."""

    code_family: CodeFamily
    legal_basis: LegalBasis
    force_level: str  # a name, "full", "reduced 75 %"
    force_factor: float  # on the horizontal effect only
    response_modification: float
    importance: float
    redundancy: float | None
    regular_in_plan: bool
    load_duration: float
    maximum_connector_spacing_in: float
    anchors_per_panel: int = 2
    anchors_per_piece: int = 2
    one_anchor_under_in: float = 30.0
    risk_category: RiskCategory = "II"
    system: str = "bearing wall, wood structural panels"  # a row of the table of structural systems
    system_accepted_by: str = ""  # the engineer who accepts its R under the older stories, or empty
    s_ds_cap: bool = False  # S_DS = 1.0 in C_s and E_v where ASCE 7 12.8.1.3 allows it
    regular_in_height: bool = False
    diaphragm: Literal["flexible", "rigid"] = "flexible"
    diaphragm_force_governs: bool = False  # links 0, 1 and 3 by F_px instead of the story shear
    mode: str = ""  # the engineer's named mode for hillside or open front, or empty
    small_pieces_accepted_by: str = ""  # who accepts panel pieces under 4 × 8 ft because of the access opening

    def __post_init__(self) -> None:
        require_within("force_factor", self.force_factor, 0.01, 1.0)
        require_within("response_modification", self.response_modification, 1.0, 8.0)
        require_within("importance", self.importance, 1.0, 1.5)
        if self.redundancy is not None and self.redundancy not in (1.0, 1.3):
            raise OutOfRange("redundancy", self.redundancy, "must be 1.0 or 1.3, or null to compute it")
        require_load_duration(self.load_duration)
        # Convention 10: at least two, but for one in a short piece (`one_anchor_under_in`).
        require_within("anchors_per_panel", self.anchors_per_panel, 2, 100)
        require_within("anchors_per_piece", self.anchors_per_piece, 2, 100)
        require_sizes(
            maximum_connector_spacing_in=self.maximum_connector_spacing_in,
            one_anchor_under_in=self.one_anchor_under_in,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class PointWeight:
    """A weight at one place. `by_level_lb` shares it to the levels, lowest floor first; empty: all at the floor."""

    label: str
    at_ft: Point
    weight_lb: float
    by_level_lb: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        require_sizes(weight_lb=self.weight_lb)
        if self.by_level_lb and abs(sum(self.by_level_lb) - self.weight_lb) > 1e-6 * self.weight_lb:
            raise OutOfRange("by_level_lb", self.by_level_lb, f"must add up to the weight, {self.weight_lb:g} lb")
        for share_lb in self.by_level_lb:
            require_within("by_level_lb", share_lb, 0.0, self.weight_lb)


@dataclass(frozen=True, slots=True, kw_only=True)
class AssemblyPart:
    """One layer of an assembly: a row of the table of unit weights, or the company's own with its note."""

    name: str
    weight_psf: float
    note: str = ""  # empty: the value is the table's
    times: float = 1.0  # layers, or the eighths of an inch of a row that is by the eighth

    def __post_init__(self) -> None:
        require_text(name=self.name)
        require_sizes(weight_psf=self.weight_psf)
        require_within("times", self.times, 0.01, 100.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Assembly:
    """What a roof, floor or wall is made of; its parts add up to the unit weight of that name."""

    use: Literal["roof", "floor", "partitions", "story wall", "braced wall"]
    parts: tuple[AssemblyPart, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitWeights:
    roof_psf: float
    floor_psf: float
    partitions_psf: float
    story_wall_psf: float
    braced_wall_psf: float

    source: str = "as given"
    assemblies: tuple[Assembly, ...] = ()
    flat_roof_snow_psf: float = 0.0

    def __post_init__(self) -> None:
        require_sizes(
            roof_psf=self.roof_psf,
            floor_psf=self.floor_psf,
            story_wall_psf=self.story_wall_psf,
            braced_wall_psf=self.braced_wall_psf,
        )
        require_within("partitions_psf", self.partitions_psf, 0.0, 1000.0)
        require_within("flat_roof_snow_psf", self.flat_roof_snow_psf, 0.0, 500.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class StoryAbove:
    """Full-height sheathed wall of a story above one line, for the redundancy bays only.

    `story` names one of the upper stories; empty: the first, right over the braced walls.
    """

    line: str
    full_height_wall_ft: float
    story: str = ""

    def __post_init__(self) -> None:
        require_within("full_height_wall_ft", self.full_height_wall_ft, 0.0, 10_000.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """A story above the first, on its own floor: outline in feet, unit weights, the height of its walls."""

    label: str
    floor_outline_ft: tuple[Point, ...]
    floor_depth_ft: float
    wall_height_ft: float
    floor_psf: float
    partitions_psf: float
    wall_psf: float

    def __post_init__(self) -> None:
        require_text(label=self.label)
        outline("floor_outline_ft", self.floor_outline_ft)
        require_sizes(
            floor_depth_ft=self.floor_depth_ft,
            wall_height_ft=self.wall_height_ft,
            floor_psf=self.floor_psf,
            wall_psf=self.wall_psf,
        )
        require_within("partitions_psf", self.partitions_psf, 0.0, 1000.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Building:
    """One story or more over braced walls. Outlines are polygons in feet, x east, y north.

    `story_wall_height_ft` is of the first story; `upper_stories` stand on it, in order from below.
    """

    floor_outline_ft: tuple[Point, ...]
    roof_outline_ft: tuple[Point, ...]
    braced_wall_height_ft: float
    floor_depth_ft: float
    story_wall_height_ft: float
    unit_weights: UnitWeights
    point_weights: tuple[PointWeight, ...]
    story_above: tuple[StoryAbove, ...]
    upper_stories: tuple[Story, ...] = ()

    def __post_init__(self) -> None:
        require_sizes(
            braced_wall_height_ft=self.braced_wall_height_ft,
            floor_depth_ft=self.floor_depth_ft,
            story_wall_height_ft=self.story_wall_height_ft,
        )
        floor = outline("floor_outline_ft", self.floor_outline_ft)
        roof = outline("roof_outline_ft", self.roof_outline_ft)
        if not roof.buffer(NEAR_FT).covers(floor):
            raise OutOfRange("roof_outline_ft", self.roof_outline_ft, "must cover the floor outline")
        self._require_upper_stories(roof)
        levels = 2 + len(self.upper_stories)
        for weight in self.point_weights:
            if not roof.buffer(NEAR_FT).covers(ShapelyPoint(weight.at_ft)):
                raise OutOfRange(
                    f"point_weights.{weight.label}.at_ft", weight.at_ft, "must stand within the roof outline"
                )
            if weight.by_level_lb and len(weight.by_level_lb) != levels:
                allowed = f"must give {levels} levels: the floor, each floor above it, the roof"
                raise OutOfRange(f"point_weights.{weight.label}.by_level_lb", weight.by_level_lb, allowed)

    def _require_upper_stories(self, roof: Polygon) -> None:
        labels = [story.label for story in self.upper_stories]
        if len(set(labels)) < len(labels) or {"floor", "roof"} & set(labels):
            raise OutOfRange("upper_stories", labels, "must have labels of their own, not floor or roof")
        for story in self.upper_stories:
            if not roof.buffer(NEAR_FT).covers(outline("floor_outline_ft", story.floor_outline_ft)):
                where = f"upper_stories.{story.label}.floor_outline_ft"
                raise OutOfRange(where, story.floor_outline_ft, "must lie within the roof outline")
        for wall in self.story_above:
            if wall.story and wall.story not in labels:
                raise OutOfRange("story_above.story", wall.story, f"must be one of {', '.join(labels) or 'none'}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Catalogue:
    """Every connector this calculation may use. Keys are unique over all kinds."""

    nails: tuple[Nail, ...]
    lags: tuple[LagScrew, ...]
    evaluated: tuple[EvaluatedConnector, ...]
    bar_stock_in: tuple[float, ...]

    def __post_init__(self) -> None:
        keys = [*(n.key for n in self.nails), *(g.key for g in self.lags), *(e.key for e in self.evaluated)]
        if twice := {key for key in keys if keys.count(key) > 1}:
            raise OutOfRange("catalogue", sorted(twice), "each key must be given once")


@dataclass(frozen=True, slots=True, kw_only=True)
class ScopeAnswer:
    """One answer of the scope screen and what it stands on; `value` where there is a number (a slope, a height)."""

    answer: Literal["yes", "no"] | NotObserved
    reason: str = ""
    value: float | None = None


UNSEEN: Final = ScopeAnswer(answer=NOT_OBSERVED)


@dataclass(frozen=True, slots=True, kw_only=True)
class ScopeScreen:
    """Whether the house is of a kind that this calculation is made for."""

    hillside: ScopeAnswer = UNSEEN
    open_front: ScopeAnswer = UNSEEN
    masonry_or_partial_foundation: ScopeAnswer = UNSEEN
    split_level: ScopeAnswer = UNSEEN
    cantilever: ScopeAnswer = UNSEEN
    tall_veneer: ScopeAnswer = UNSEEN
    balloon_framing: ScopeAnswer = UNSEEN


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseInputs:
    """All that one calculation needs, at one force level. `calculation_date` (ISO) decides what has expired."""

    calculation_date: str
    hazard: Hazard
    criteria: Criteria
    building: Building
    lines: tuple[WallLine, ...]
    catalogue: Catalogue
    access_opening_in: tuple[float, float] | NotObserved  # width, height of the way in
    scope: ScopeScreen = ScopeScreen()

    def __post_init__(self) -> None:
        try:
            date.fromisoformat(self.calculation_date)
        except ValueError:
            raise OutOfRange("calculation_date", self.calculation_date, "must be an ISO date, 2025-06-01") from None
        if self.access_opening_in != NOT_OBSERVED:
            width_in, height_in = self.access_opening_in
            require_within("access_opening_in.0", width_in, 1.0, 1200.0)
            require_within("access_opening_in.1", height_in, 1.0, 1200.0)
        _require_lines_on(self.building, self.lines)


@dataclass(frozen=True, slots=True, kw_only=True)
class DemandInputs:
    """The part of a house that its demand follows from; wall lines by label and end points."""

    hazard: Hazard
    criteria: Criteria
    building: Building
    lines: tuple[DemandLine, ...]

    def __post_init__(self) -> None:
        _require_lines_on(self.building, self.lines)


@dataclass(frozen=True, slots=True, kw_only=True)
class DemandLine:
    label: str
    start_ft: Point
    end_ft: Point
    panel_length_ft: float
    carries: bool = True  # False: no panel stands on it and no joists bear on its sill
    stiffness_kip_per_in: float | None = None  # of its panels, k = 1000·G_a·b/h summed; a rigid diaphragm needs it

    @property
    def length_ft(self) -> float:
        """Length from the zero end to the far end. [ft]"""
        return abs(self.end_ft[0] - self.start_ft[0]) + abs(self.end_ft[1] - self.start_ft[1])

    def __post_init__(self) -> None:
        require_axis_line("end_ft", self.start_ft, self.end_ft)
        require_within("panel_length_ft", self.panel_length_ft, 0.0, self.length_ft + NEAR_FT)


def _require_lines_on(building: Building, lines: tuple[WallLine, ...] | tuple[DemandLine, ...]) -> None:
    labels = [line.label for line in lines]
    if not lines or len(set(labels)) != len(labels):
        raise OutOfRange("lines", labels, "must be at least one wall line, each label once")
    ends_ft = tuple((line.start_ft, line.end_ft) for line in lines)
    off = first_off(building.floor_outline_ft, ends_ft, LINE_OFF_OUTLINE_FT)
    if off is not None:
        line = lines[off]
        raise OutOfRange(
            f"lines.{line.label}", (line.start_ft, line.end_ft), "must lie on the floor outline or inside it"
        )
