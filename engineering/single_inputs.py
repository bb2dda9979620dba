"""Members, fasteners, a panel, a screw's set-up: plain frozen facts in US units. One dowel is in dowel_inputs.

Each class refuses what can't be (OutOfRange). `NOT_OBSERVED` is a value of its own.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from engineering.adjustments import Moisture, require_load_duration
from engineering.errors import OutOfRange, require_within
from engineering.limits import iso_date, require_below, require_sizes, require_specific_gravity, require_text

NotObserved = Literal["not observed"]
NOT_OBSERVED: Final[NotObserved] = "not observed"

STRENGTH_LEVEL: Final = "strength level"  # as printed for strength design: only with the report's own conversion
LoadDuration = Literal["C_D 1.0", "already 1.6", "ASD seismic, C_D not applied", "strength level"]
MemberFace = Literal["wide face", "narrow face", "end grain"]


# --- members and fasteners -----------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """A piece of wood: species, specific gravity and how it is known ("grade mark read", "assumed: lowest of …")."""

    species: str
    specific_gravity: float
    basis: str
    treated: bool = False

    def __post_init__(self) -> None:
        require_text(species=self.species, basis=self.basis)
        require_specific_gravity("specific_gravity", self.specific_gravity)


@dataclass(frozen=True, slots=True, kw_only=True)
class Nail:
    key: str
    name: str  # "12d common 0.148 × 3¼ in"
    kind: Literal["common", "box", "sinker"]
    diameter_in: float
    length_in: float
    finish: Literal["bright", "hot-dip", "stainless"]

    def __post_init__(self) -> None:
        require_text(key=self.key, name=self.name)
        require_sizes(diameter_in=self.diameter_in, length_in=self.length_in)
        _require_slender(self.diameter_in, self.length_in)


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

    def __post_init__(self) -> None:
        require_text(key=self.key, name=self.name)
        require_sizes(
            diameter_in=self.diameter_in,
            root_diameter_in=self.root_diameter_in,
            length_in=self.length_in,
            thread_in=self.thread_in,
            tip_in=self.tip_in,
        )
        _require_slender(self.diameter_in, self.length_in)
        require_below("root_diameter_in", self.root_diameter_in, "diameter_in", self.diameter_in)
        require_below("tip_in", self.tip_in, "thread_in", self.thread_in)
        if self.thread_in > self.length_in:
            raise OutOfRange("thread_in", self.thread_in, f"must not be longer than the screw, {self.length_in:g} in")
        require_within("washer_in", self.washer_in, 0, 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class EvaluatedConnector:
    """Values that the company enters from an evaluation report; used only inside the report's own limits.

    A limit that is None, and faces that are empty, are such as the report does not state. `minimum_edge_in` and
    `minimum_end_in` are to the concrete's edges for what holds in concrete, else to those of the wood.
    """

    key: str
    name: str
    kind: Literal[
        "through-plate screw", "framing angle", "face plate", "tie-down", "sill anchor", "tie-down anchor", "strap",
        "side connection",
    ]  # fmt: skip
    report: str
    issued: str  # ISO date
    expires: str  # ISO date
    use: str
    species: tuple[str, ...]  # as the report lists them; ("any",) where it covers every wood; empty: into no wood
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
    wet_service_factor: float | None = None  # None: the report gives none, so dry wood only
    adhesive: bool = False  # bonded into the concrete: specially inspected as its report says
    give_in: float | None = None  # a tie-down's, at its allowable load as the report states it
    asd_conversion: float | None = None  # strength level alone: allowable = value · this, as the report states it
    minimum_end_in: float | None = None
    minimum_spacing_in: float | None = None
    minimum_member_in: float | None = None  # thickness of the wood
    minimum_embedment_in: float | None = None
    minimum_concrete_in: float | None = None  # thickness of the concrete in the anchor's direction
    maximum_gap_in: float | None = None  # a side connection's, between its plate and sill or concrete
    member_faces: tuple[MemberFace, ...] = ()  # of the wood, that its fasteners may enter

    def __post_init__(self) -> None:
        require_text(key=self.key, name=self.name, report=self.report, use=self.use)
        self._require_conversion()
        if self.wet_service_factor is not None:
            require_within("wet_service_factor", self.wet_service_factor, 0.1, 1.0)
        if any(not species.strip() for species in self.species):
            raise OutOfRange("species", self.species, "must not hold an empty name")
        if iso_date("expires", self.expires) < iso_date("issued", self.issued):
            raise OutOfRange("expires", self.expires, f"must not lie before the date of issue, {self.issued}")
        require_sizes(value_lb=self.value_lb, diameter_in=self.diameter_in)
        require_sizes(
            length_in=self.length_in,
            embedment_in=self.embedment_in,
            minimum_penetration_in=self.minimum_penetration_in,
            minimum_edge_in=self.minimum_edge_in,
            minimum_end_in=self.minimum_end_in,
            minimum_spacing_in=self.minimum_spacing_in,
            minimum_member_in=self.minimum_member_in,
            minimum_embedment_in=self.minimum_embedment_in,
            minimum_concrete_in=self.minimum_concrete_in,
            pilot_in=self.pilot_in,
            minimum_concrete_psi=self.minimum_concrete_psi,
        )
        require_within("washer_in", self.washer_in, 0, 1)
        if self.give_in is not None:
            require_within("give_in", self.give_in, 0.0, 1.0)
        if self.maximum_gap_in is not None:
            require_within("maximum_gap_in", self.maximum_gap_in, 0.0, 12.0)

    def _require_conversion(self) -> None:
        """A strength-level value has its conversion to ASD, and no other value has one."""
        if self.value_basis == STRENGTH_LEVEL and self.asd_conversion is None:
            allowed = f"must be given, as {self.report} states it: its value is at strength level"
            raise OutOfRange("asd_conversion", None, allowed)
        if self.value_basis != STRENGTH_LEVEL and self.asd_conversion is not None:
            raise OutOfRange("asd_conversion", self.asd_conversion, "must be left out but for a strength-level value")
        if self.asd_conversion is not None:
            require_within("asd_conversion", self.asd_conversion, 0.1, 1.0)


# --- capacity questions about one thing ----------------------------------------------------------------------------
@dataclass(frozen=True, slots=True, kw_only=True)
class Sheathing:
    """Wood structural panel on one face, all edges blocked. `panel` decides its stiffness, not its strength."""

    grade: Literal["Structural I", "Sheathing"]
    thickness: Literal["5/16", "3/8", "7/16", "15/32", "19/32"]
    nail: Literal["6d", "8d", "10d"]  # common, or hot-dip box of the table
    nail_diameter_in: float
    nail_length_in: float
    finish: Literal["bright", "hot-dip", "stainless"]
    panel: Literal["OSB", "plywood 3-ply", "plywood 4-ply or more"] | NotObserved = NOT_OBSERVED

    def __post_init__(self) -> None:
        require_sizes(nail_diameter_in=self.nail_diameter_in, nail_length_in=self.nail_length_in)
        _require_slender(self.nail_diameter_in, self.nail_length_in)


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelInputs:
    """One shear panel: height from bottom of sill to top of upper plate, length, nailing, demand per foot."""

    sheathing: Sheathing
    edge_spacing_in: Literal[6, 4, 3, 2]
    height_ft: float
    length_ft: float
    specific_gravity: float  # lowest of what the edge nails enter
    unit_shear_plf: float
    other_face: Sheathing | None = None  # a panel on the second face as well, nailed at the same spacing
    stud_spacing_in: float | NotObserved = NOT_OBSERVED  # the widest stud bay under the panel

    def __post_init__(self) -> None:
        require_sizes(height_ft=self.height_ft, length_ft=self.length_ft)
        if self.stud_spacing_in != NOT_OBSERVED:
            require_sizes(stud_spacing_in=self.stud_spacing_in)
        require_specific_gravity("specific_gravity", self.specific_gravity)
        require_within("unit_shear_plf", self.unit_shear_plf, 0, 1e5)


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
    plate_widths_in: tuple[float, ...] = ()  # lower first, outer edges flush; empty: their edges are not checked
    load_duration: float = 1.6
    moisture: Moisture = "dry"

    def __post_init__(self) -> None:
        require_load_duration(self.load_duration)
        iso_date("calculation_date", self.calculation_date)
        if self.screw.kind != "through-plate screw":
            raise OutOfRange("screw.kind", self.screw.kind, "must be a through-plate screw")
        if len(self.plates_in) != 2:
            raise OutOfRange("plates_in", self.plates_in, "must hold the thickness of both top plates, lower first")
        for number, thickness_in in enumerate(self.plates_in):
            require_sizes(**{f"plates_in.{number}": thickness_in})
        require_sizes(joist_thickness_in=self.joist_thickness_in, joist_depth_in=self.joist_depth_in)
        require_within("set_back_in", self.set_back_in, 0, 12)
        if len(self.plate_widths_in) not in (0, 2):
            raise OutOfRange("plate_widths_in", self.plate_widths_in, "must hold the width of both top plates, or none")
        for number, width_in in enumerate(self.plate_widths_in):
            require_sizes(**{f"plate_widths_in.{number}": width_in})
        for number, diameter_in in enumerate(self.bar_stock_in):
            require_sizes(**{f"bar_stock_in.{number}": diameter_in})
        if self.headroom_in != NOT_OBSERVED:
            require_sizes(headroom_in=self.headroom_in)


def _require_slender(diameter_in: float, length_in: float) -> None:
    if length_in < 2 * diameter_in:
        raise OutOfRange("length_in", length_in, f"must be at least twice the diameter, {2 * diameter_in:g} in")
