"""What a caller fills in: plain frozen facts in US units. No defaults for what nobody looked at.

`NOT_OBSERVED` is a value of its own, written out by the caller; the checks then say what they assumed. Lengths along
a wall line are measured from its zero end; names carry units. Each class refuses what can't be (OutOfRange).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

NotObserved = Literal["not observed"]
NOT_OBSERVED: Final[NotObserved] = "not observed"

CodeFamily = Literal["2021", "2024"]
LegalBasis = Literal[
    "appendix A3 prescriptive",
    "appendix A3 engineered",
    "voluntary lateral alteration",
    "local mandate",
    "jurisdiction standard plan",
]
LoadDuration = Literal["C_D 1.0", "already 1.6", "ASD seismic, C_D not applied"]
Point = tuple[float, float]


# --- members and fasteners -----------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """A piece of wood: species, specific gravity and how it is known ("grade mark read", "assumed: lowest of …")."""

    species: str
    specific_gravity: float
    basis: str
    treated: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Nail:
    key: str
    name: str  # "12d common 0.148 × 3¼ in"
    kind: Literal["common", "box", "sinker"]
    diameter_in: float
    length_in: float
    finish: Literal["bright", "hot-dip", "stainless"]


@dataclass(frozen=True, slots=True, kw_only=True)
class LagScrew:
    key: str
    name: str
    diameter_in: float
    root_diameter_in: float
    length_in: float
    thread_in: float  # to the point, tip included
    tip_in: float
    finish: Literal["bright", "hot-dip", "stainless"]
    washer_in: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class EvaluatedConnector:
    """Values that the company enters from an evaluation report; used only inside the report's own limits."""

    key: str
    name: str
    kind: Literal["through-plate screw", "framing angle", "tie-down", "sill anchor", "tie-down anchor"]
    report: str
    issued: str  # ISO date
    expires: str  # ISO date
    use: str
    species: tuple[str, ...]  # empty: not into wood
    value_lb: float
    value_basis: LoadDuration
    diameter_in: float
    length_in: float | None = None
    embedment_in: float | None = None
    minimum_penetration_in: float | None = None
    minimum_edge_in: float | None = None
    pilot_in: float | None = None
    washer_in: float = 0.0
    minimum_concrete_psi: float | None = None
    finish: Literal["bright", "hot-dip", "stainless"] = "hot-dip"


# --- capacity questions about one thing ----------------------------------------------------------------------------
@dataclass(frozen=True, slots=True, kw_only=True)
class DowelInputs:
    """One dowel-type fastener in single shear (NDS chapter 12).

    `penetration_in` is how far it goes into the main member, tip included, measured along the fastener; for a
    toenail it and `side_bearing_in` may be None: they follow from the length. `main_thickness_in` caps the
    penetration at the member's far face. `side_bearing_in` is the side member's thickness. Angles are load to grain.
    `thread_in_shear_plane`: the shear plane cuts the thread (root diameter governs). `main_kind` concrete takes
    7 500 psi, steel takes `*_bearing_psi`.
    """

    fastener: Literal["nail", "wood screw", "lag screw", "bolt"]
    diameter_in: float
    root_diameter_in: float | None = None
    length_in: float | None = None
    tip_in: float | None = None
    bending_yield_psi: float | None = None  # None: NDS Appendix I for the kind and diameter
    thread_in_shear_plane: bool = False
    main_kind: Literal["wood", "concrete", "steel"] = "wood"
    main_specific_gravity: float | None = None
    main_bearing_psi: float | None = None
    main_angle_deg: float = 0.0
    main_thickness_in: float | None = None
    penetration_in: float | None = None
    side_kind: Literal["wood", "steel"] = "wood"
    side_specific_gravity: float | None = None
    side_bearing_psi: float | None = None
    side_angle_deg: float = 0.0
    side_bearing_in: float | None = None
    toenail: bool = False
    load_duration: float = 1.6


@dataclass(frozen=True, slots=True, kw_only=True)
class WithdrawalInputs:
    """Withdrawal of one fastener from side grain (NDS 12.2). `thread_penetration_in` excludes a lag's tip."""

    fastener: Literal["nail", "wood screw", "lag screw"]
    diameter_in: float
    specific_gravity: float
    thread_penetration_in: float
    toenail: bool = False
    load_duration: float = 1.6


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheathing:
    """Wood structural panel on one face, all edges blocked."""

    grade: Literal["Structural I", "Sheathing"]
    thickness: Literal["5/16", "3/8", "7/16", "15/32", "19/32"]
    nail: Literal["6d", "8d", "10d"]  # common, or hot-dip box of the table
    nail_diameter_in: float
    nail_length_in: float
    finish: Literal["bright", "hot-dip", "stainless"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelInputs:
    """One shear panel: height from bottom of sill to top of upper plate, length, nailing, demand per foot."""

    sheathing: Sheathing
    edge_spacing_in: Literal[6, 4, 3, 2]
    height_ft: float
    length_ft: float
    specific_gravity: float  # lowest of what the edge nails enter
    unit_shear_plf: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ThroughPlateInputs:
    """A screw from below through the top plates into the centre of the joist above.

    `plates_in`: thickness of each plate the screw passes, lower first.
    """

    screw: EvaluatedConnector
    plates_in: tuple[float, ...]
    plate: Member
    joist: Member
    joist_thickness_in: float
    joist_depth_in: float
    set_back_in: float
    jig_bears_on: str | NotObserved
    headroom_in: float | NotObserved
    bar_stock_in: tuple[float, ...]  # diameters the firm has; empty: turn one to size
    stitch_nail: Nail | None
    calculation_date: str
    load_duration: float = 1.6


# --- the house -----------------------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True, kw_only=True)
class Hazard:
    """Spectral accelerations as given (g), their source and date."""

    s_ds_g: float
    s_d1_g: float
    s_1_g: float
    t_l_s: float
    source: str
    seismic_design_category: Literal["A", "B", "C", "D", "E", "F"]


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


@dataclass(frozen=True, slots=True, kw_only=True)
class PointWeight:
    label: str
    at_ft: Point
    weight_lb: float


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitWeights:
    roof_psf: float
    floor_psf: float
    partitions_psf: float
    story_wall_psf: float
    braced_wall_psf: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StoryAbove:
    """Full-height sheathed wall on one side of the story above, for the redundancy bays only."""

    line: str
    full_height_wall_ft: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Building:
    """One story over braced walls. Outlines are polygons in feet, x east, y north."""

    floor_outline_ft: tuple[Point, ...]
    roof_outline_ft: tuple[Point, ...]
    braced_wall_height_ft: float
    floor_depth_ft: float
    story_wall_height_ft: float
    unit_weights: UnitWeights
    point_weights: tuple[PointWeight, ...]
    story_above: tuple[StoryAbove, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    kind: Literal["cripple wall", "joists on the sill", "basement or garage wall", "slab part"]
    from_ft: float
    to_ft: float
    stud_height_ft: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A stretch of the line: a panel, a sill piece, a plate piece, an opening."""

    from_ft: float
    to_ft: float
    label: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ExistingAnchor:
    at_ft: float
    diameter_in: float
    embedment_in: float | NotObserved
    edge_in: float | NotObserved
    end_in: float | NotObserved
    accepted: bool
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AsFoundNailing:
    """Existing nails that make a link today: toenails from joist or rim to plate, or nails between the plates."""

    link: Literal["1", "2"]
    nail: Nail
    spacing_in: float
    toenail: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class DeadLoad:
    label: str
    weight_plf: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Foundation:
    material: Literal["concrete", "masonry", "partial", "posts"]
    concrete_psi: float | NotObserved
    concrete_basis: str
    condition: str | NotObserved
    section_loss_percent: float | NotObserved
    accepted_by: str  # the engineer, or empty


@dataclass(frozen=True, slots=True, kw_only=True)
class EndPost:
    width_in: float
    depth_in: float
    rod_from_end_in: float
    compression_from_end_in: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Framing:
    sill: Member
    studs: Member
    plates: Member
    rim: Member
    block: Member
    plates_in: tuple[float, ...]  # lower first; empty: joists bear on the sill
    plate_width_in: float
    stud_depth_in: float
    stud_thickness_in: float
    stud_centrelines_in: tuple[float, ...]
    sill_thickness_in: float
    sill_width_in: float
    sill_bearing_psi: float  # Fc perpendicular
    rim_thickness_in: float
    rim_depth_in: float
    rim_set_back_in: float
    joists: Literal["perpendicular", "parallel"]
    top_nails_reach: Literal["lower plate", "upper plate"] | NotObserved
    jig_bears_on: str | NotObserved
    headroom_in: float | NotObserved
    ceiling_finish: str  # "" where nothing is in the way


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkMethods:
    """Catalogue keys chosen for this line. `floor_to_plate` is pinned; `alternatives` are counted beside it."""

    floor_to_plate: str
    alternatives: tuple[str, ...]
    stitch_nail: str
    splice_nail: str
    block_nail: str
    sill_anchor: str
    tie_down: str
    tie_down_anchor: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WallLine:
    """One wall line, straight, parallel to x or y."""

    label: str
    start_ft: Point
    end_ft: Point
    segments: tuple[Segment, ...]
    panels: tuple[Span, ...]
    sill_pieces: tuple[Span, ...]
    plate_laps_ft: tuple[float, ...] | NotObserved  # joints of the upper plate
    openings: tuple[Span, ...]
    framing: Framing
    foundation: Foundation
    sheathing: Sheathing
    end_post: EndPost
    existing_anchors: tuple[ExistingAnchor, ...]
    as_found: tuple[AsFoundNailing, ...]
    dead_loads: tuple[DeadLoad, ...]
    floor_sheathing: str | NotObserved
    link_0_accepted_by: str  # the engineer who accepts link 0 by name, or empty
    methods: LinkMethods


@dataclass(frozen=True, slots=True, kw_only=True)
class Catalogue:
    """Every connector this calculation may use. Keys are unique over all kinds."""

    nails: tuple[Nail, ...]
    lags: tuple[LagScrew, ...]
    evaluated: tuple[EvaluatedConnector, ...]
    bar_stock_in: tuple[float, ...]


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


@dataclass(frozen=True, slots=True, kw_only=True)
class DemandInputs:
    """The part of a house that its demand follows from; wall lines by label and end points."""

    hazard: Hazard
    criteria: Criteria
    building: Building
    lines: tuple[DemandLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DemandLine:
    label: str
    start_ft: Point
    end_ft: Point
    panel_length_ft: float
