"""The questions about one dowel-type fastener: single shear, withdrawal, its place and its row. Plain frozen facts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from engineering.adjustments import Moisture, require_load_duration
from engineering.errors import OutOfRange, require_within
from engineering.limits import require_below, require_diameter, require_sizes, require_specific_gravity

Steel = Literal["ASTM A653 grade 33", "ASTM A36"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Placing:
    """Where the fasteners of a connection stand in one wood member, centre to centre and to its faces. [in]

    A row runs along the load. `end_load` is tension where the load pulls the fasteners towards the end. Across the
    grain `loaded_edge_in` is the edge that the load presses to, `edge_in` the other one; along it both are `edge_in`.
    """

    end_in: float
    end_load: Literal["tension", "compression"]
    edge_in: float
    loaded_edge_in: float | None = None
    spacing_in: float | None = None  # within a row; None: one fastener in each row
    rows: int = 1
    row_spacing_in: float | None = None  # between rows; None: one row
    wood: Literal["softwood", "hardwood"] = "softwood"

    def __post_init__(self) -> None:
        require_sizes(
            end_in=self.end_in,
            edge_in=self.edge_in,
            loaded_edge_in=self.loaded_edge_in,
            spacing_in=self.spacing_in,
            row_spacing_in=self.row_spacing_in,
        )
        require_within("rows", self.rows, 1, 20)
        if (self.rows > 1) is not (self.row_spacing_in is not None):
            raise OutOfRange("row_spacing_in", self.row_spacing_in, "must be given for two rows or more, and only then")


@dataclass(frozen=True, slots=True, kw_only=True)
class FastenerRow:
    """Fasteners one behind the other along the load; gross areas and moduli of elasticity of the two members."""

    count: int
    spacing_in: float
    main_area_in2: float
    main_modulus_psi: float
    side_area_in2: float
    side_modulus_psi: float

    def __post_init__(self) -> None:
        require_within("count", self.count, 1, 100)
        require_sizes(spacing_in=self.spacing_in, main_area_in2=self.main_area_in2, side_area_in2=self.side_area_in2)
        require_within("main_modulus_psi", self.main_modulus_psi, 100_000.0, 30_000_000.0)
        require_within("side_modulus_psi", self.side_modulus_psi, 100_000.0, 30_000_000.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class DowelInputs:
    """One dowel-type fastener in single shear (NDS chapter 12).

    `penetration_in` is how far it goes into the main member, tip included, measured along the fastener; for a
    toenail it and `side_bearing_in` may be None: they follow from the length. `main_thickness_in` caps the
    penetration at the member's far face. `side_bearing_in` is the side member's thickness. Angles are load to grain.
    `thread_in_shear_plane`: the shear plane cuts the thread (root diameter governs); a lag or wood screw whose shank
    crosses it needs `thread_in` (to the point, tip included). `main_kind` concrete takes 7 500 psi, steel takes
    `*_bearing_psi`, or at the side `side_steel`. Where `penetration_in` is None it is the length less the side member
    and the gap. `gap_in` is what lies between the members and bears nothing: air, shims, sheathing. `end_grain`: driven
    into the main member along its fibres. `row` asks for the group action factor, a placing for the geometry factor.
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
    gap_in: float = 0.0
    moisture: Moisture = "dry"
    temperature_f: float = 70.0  # of the wood, sustained
    end_grain: bool = False
    side_steel: Steel | None = None
    main_placing: Placing | None = None
    side_placing: Placing | None = None
    row: FastenerRow | None = None

    def __post_init__(self) -> None:
        require_load_duration(self.load_duration)
        require_diameter(self.fastener, self.diameter_in)
        require_sizes(temperature_f=self.temperature_f)
        require_within("gap_in", self.gap_in, 0.0, 12.0)
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
        if self.side_steel is None or self.side_kind != "steel" or self.side_bearing_psi is not None:
            _require_bearing(
                "side", self.side_kind, self.side_specific_gravity, self.side_bearing_psi, self.side_angle_deg
            )
            if self.side_steel is not None:
                raise OutOfRange("side_steel", self.side_steel, "must be left out for wood, or beside a bearing")
        if self.main_kind == "concrete" and self.fastener != "bolt":
            raise OutOfRange("main_kind", self.main_kind, "must be wood or steel, except for a bolt")
        if self.end_grain and (self.main_kind != "wood" or self.toenail):
            raise OutOfRange("end_grain", True, "must be false for a toenail and unless the main member is wood")
        if self.end_grain and self.main_angle_deg not in (0, 90):
            raise OutOfRange(
                "main_angle_deg", self.main_angle_deg, "must be left out: in end grain every load is across"
            )
        for member in ("main", "side"):
            if getattr(self, f"{member}_placing") is not None and getattr(self, f"{member}_kind") != "wood":
                raise OutOfRange(f"{member}_placing", "given", "must be left out unless that member is wood")
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
            if self.gap_in:
                raise OutOfRange("gap_in", self.gap_in, "must be 0 for a toenail: its members touch")
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
            beyond_in = self.length_in - self.side_bearing_in - self.gap_in
            if beyond_in <= 0:
                raise OutOfRange("length_in", self.length_in, "must be more than side member and gap")
            if self.penetration_in is not None and self.penetration_in > beyond_in + 1e-9:
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
            require_below("root_diameter_in", self.root_diameter_in, "diameter_in", self.diameter_in)
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
            penetration_in = self.length_in - self.side_bearing_in - self.gap_in
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
    """Withdrawal of one fastener (NDS 12.2). `thread_penetration_in` excludes a lag's tip.

    From side grain; `end_grain` only for a lag screw, nothing else holds there.
    """

    fastener: Literal["nail", "wood screw", "lag screw"]
    diameter_in: float
    specific_gravity: float
    thread_penetration_in: float
    toenail: bool = False
    load_duration: float = 1.6
    moisture: Moisture = "dry"
    temperature_f: float = 70.0  # of the wood, sustained
    end_grain: bool = False

    def __post_init__(self) -> None:
        require_load_duration(self.load_duration)
        require_diameter(self.fastener, self.diameter_in)
        require_sizes(thread_penetration_in=self.thread_penetration_in, temperature_f=self.temperature_f)
        require_specific_gravity("specific_gravity", self.specific_gravity)
        if self.toenail and self.fastener != "nail":
            raise OutOfRange("toenail", True, "must be false for anything but a nail")
        if self.end_grain and self.fastener != "lag screw":
            raise OutOfRange("end_grain", True, f"must be false for a {self.fastener}: it holds nothing there")


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
