"""Members, fasteners and the questions about one thing: plain frozen facts in US units. The house is in inputs.

Each class refuses what can't be (OutOfRange). `NOT_OBSERVED` is a value of its own.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from engineering.adjustments import require_load_duration
from engineering.errors import OutOfRange, require_within
from engineering.limits import iso_date, require_diameter, require_sizes, require_specific_gravity, require_text

NotObserved = Literal["not observed"]
NOT_OBSERVED: Final[NotObserved] = "not observed"

LoadDuration = Literal["C_D 1.0", "already 1.6", "ASD seismic, C_D not applied"]


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
        _require_below("root_diameter_in", self.root_diameter_in, "diameter_in", self.diameter_in)
        _require_below("tip_in", self.tip_in, "thread_in", self.thread_in)
        if self.thread_in > self.length_in:
            raise OutOfRange("thread_in", self.thread_in, f"must not be longer than the screw, {self.length_in:g} in")
        require_within("washer_in", self.washer_in, 0, 1)


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

    def __post_init__(self) -> None:
        require_text(key=self.key, name=self.name, report=self.report, use=self.use)
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
            pilot_in=self.pilot_in,
            minimum_concrete_psi=self.minimum_concrete_psi,
        )
        require_within("washer_in", self.washer_in, 0, 1)


# --- capacity questions about one thing ----------------------------------------------------------------------------
@dataclass(frozen=True, slots=True, kw_only=True)
class DowelInputs:
    """One dowel-type fastener in single shear (NDS chapter 12).

    `penetration_in` is how far it goes into the main member, tip included, measured along the fastener; for a
    toenail it and `side_bearing_in` may be None: they follow from the length. `main_thickness_in` caps the
    penetration at the member's far face. `side_bearing_in` is the side member's thickness. Angles are load to grain.
    `thread_in_shear_plane`: the shear plane cuts the thread (root diameter governs); a lag or wood screw whose shank
    crosses it needs `thread_in` (to the point, tip included). `main_kind` concrete takes 7 500 psi, steel takes
    `*_bearing_psi`. Where `penetration_in` is None it is the length less the side member.
    """

    fastener: Literal["nail", "wood screw", "lag screw", "bolt"]
    diameter_in: float
    root_diameter_in: float | None = None
    length_in: float | None = None
    tip_in: float | None = None
    thread_in: float | None = None
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

    def __post_init__(self) -> None:
        require_load_duration(self.load_duration)
        require_diameter(self.fastener, self.diameter_in)
        require_sizes(
            root_diameter_in=self.root_diameter_in,
            length_in=self.length_in,
            thread_in=self.thread_in,
            bending_yield_psi=self.bending_yield_psi,
            main_thickness_in=self.main_thickness_in,
            penetration_in=self.penetration_in,
            side_bearing_in=self.side_bearing_in,
        )
        _require_bearing("main", self.main_kind, self.main_specific_gravity, self.main_bearing_psi, self.main_angle_deg)
        _require_bearing("side", self.side_kind, self.side_specific_gravity, self.side_bearing_psi, self.side_angle_deg)
        if self.main_kind == "concrete" and self.fastener != "bolt":
            raise OutOfRange("main_kind", self.main_kind, "must be wood or steel, except for a bolt")
        self._require_geometry()
        self._require_thread()

    def _require_geometry(self) -> None:
        if self.toenail:
            if self.fastener != "nail":
                raise OutOfRange("toenail", True, "must be false for anything but a nail")
            if self.side_kind != "wood" or self.main_kind != "wood":
                raise OutOfRange("toenail", True, "must be false unless both members are wood")
            if self.length_in is None:
                raise OutOfRange("length_in", None, "must be given for a toenail")
            for field in ("penetration_in", "side_bearing_in"):
                if getattr(self, field) is not None:
                    raise OutOfRange(
                        field, getattr(self, field), "must be left out: it follows from a toenail's length"
                    )
            return
        if self.side_bearing_in is None:
            raise OutOfRange("side_bearing_in", None, "must be given: the thickness of the side member")
        if self.fastener == "bolt":
            if self.penetration_in is None and self.main_thickness_in is None:
                raise OutOfRange("penetration_in", None, "must be given: embedment, or main_thickness_in")
            return
        if self.penetration_in is None and self.length_in is None:
            raise OutOfRange("penetration_in", None, "must be given, or length_in")
        if self.length_in is not None:
            if self.length_in <= self.side_bearing_in:
                raise OutOfRange("length_in", self.length_in, "must be more than the side member's thickness")
            if self.penetration_in is not None and self.penetration_in > self.length_in - self.side_bearing_in + 1e-9:
                raise OutOfRange("penetration_in", self.penetration_in, "must not exceed length less side member")

    def _require_thread(self) -> None:
        if self.fastener not in ("lag screw", "wood screw"):
            for field in ("root_diameter_in", "thread_in", "tip_in"):
                if getattr(self, field) is not None:
                    raise OutOfRange(field, getattr(self, field), f"must be left out for a {self.fastener}")
            if self.thread_in_shear_plane:
                raise OutOfRange("thread_in_shear_plane", True, f"must be false for a {self.fastener}")
            return
        if self.root_diameter_in is not None:
            _require_below("root_diameter_in", self.root_diameter_in, "diameter_in", self.diameter_in)
        if self.tip_in is not None:
            require_within("tip_in", self.tip_in, 0, 2 * self.diameter_in)
        if not self.thread_in_shear_plane and self.thread_in is None:
            raise OutOfRange(
                "thread_in", None, "must be given where the shear plane does not cut the thread (NDS 12.3.7)"
            )
        if self.thread_in is not None and self.length_in is not None and self.thread_in > self.length_in:
            raise OutOfRange("thread_in", self.thread_in, f"must not be longer than the screw, {self.length_in:g} in")
        penetration_in = self.penetration_in
        if penetration_in is None and self.length_in is not None and self.side_bearing_in is not None:
            penetration_in = self.length_in - self.side_bearing_in
        if self.thread_in is None or penetration_in is None:
            return
        cuts = self.thread_in > penetration_in - 1e-9
        if cuts is not self.thread_in_shear_plane:
            raise OutOfRange(
                "thread_in_shear_plane",
                self.thread_in_shear_plane,
                f"must be {str(cuts).lower()}: the thread takes {self.thread_in:g} in from the point and "
                f"{penetration_in:g} in lie beyond the shear plane",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class WithdrawalInputs:
    """Withdrawal of one fastener from side grain (NDS 12.2). `thread_penetration_in` excludes a lag's tip."""

    fastener: Literal["nail", "wood screw", "lag screw"]
    diameter_in: float
    specific_gravity: float
    thread_penetration_in: float
    toenail: bool = False
    load_duration: float = 1.6

    def __post_init__(self) -> None:
        require_load_duration(self.load_duration)
        require_diameter(self.fastener, self.diameter_in)
        require_sizes(thread_penetration_in=self.thread_penetration_in)
        require_specific_gravity("specific_gravity", self.specific_gravity)
        if self.toenail and self.fastener != "nail":
            raise OutOfRange("toenail", True, "must be false for anything but a nail")


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheathing:
    """Wood structural panel on one face, all edges blocked."""

    grade: Literal["Structural I", "Sheathing"]
    thickness: Literal["5/16", "3/8", "7/16", "15/32", "19/32"]
    nail: Literal["6d", "8d", "10d"]  # common, or hot-dip box of the table
    nail_diameter_in: float
    nail_length_in: float
    finish: Literal["bright", "hot-dip", "stainless"]

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

    def __post_init__(self) -> None:
        require_sizes(height_ft=self.height_ft, length_ft=self.length_ft)
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
    load_duration: float = 1.6

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
        for number, diameter_in in enumerate(self.bar_stock_in):
            require_sizes(**{f"bar_stock_in.{number}": diameter_in})
        if self.headroom_in != NOT_OBSERVED:
            require_sizes(headroom_in=self.headroom_in)


def _require_slender(diameter_in: float, length_in: float) -> None:
    if length_in < 2 * diameter_in:
        raise OutOfRange("length_in", length_in, f"must be at least twice the diameter, {2 * diameter_in:g} in")


def _require_below(field: str, value: float, limit_field: str, limit: float) -> None:
    if value >= limit:
        raise OutOfRange(field, value, f"must be less than {limit_field}, {limit:g}")


def _require_bearing(
    member: str, kind: str, specific_gravity: float | None, bearing_psi: float | None, angle_deg: float
) -> None:
    """A wood member has a specific gravity and an angle to the grain, a steel one its bearing strength, no more."""
    gravity, bearing, angle = f"{member}_specific_gravity", f"{member}_bearing_psi", f"{member}_angle_deg"
    if kind == "wood":
        if specific_gravity is None:
            raise OutOfRange(gravity, None, "must be given for a wood member")
        require_specific_gravity(gravity, specific_gravity)
        require_within(angle, angle_deg, 0, 90)
    elif specific_gravity is not None:
        raise OutOfRange(gravity, specific_gravity, f"must be left out for {kind}")
    elif angle_deg != 0:
        raise OutOfRange(angle, angle_deg, f"must be 0 for {kind}: it has no grain")
    if kind == "steel":
        if bearing_psi is None:
            raise OutOfRange(bearing, None, "must be given for a steel member")
        require_sizes(**{bearing: bearing_psi})
    elif bearing_psi is not None:
        raise OutOfRange(bearing, bearing_psi, f"must be left out for {kind}")
