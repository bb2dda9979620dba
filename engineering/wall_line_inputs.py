"""A wall line as surveyed and what was chosen for it: plain frozen facts, places from its zero end. Not the house."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Final, Literal

from engineering.errors import OutOfRange, require_within
from engineering.limits import require_sizes, require_text
from engineering.single_inputs import NOT_OBSERVED, Member, Nail, NotObserved, Sheathing

Point = tuple[float, float]
SEEN: Final = "seen"
ACCEPTED: Final = "accepted: "  # with the edition behind it
NEAR_FT: Final = 0.01  # what tape and rounding leave between two ends that meet


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    kind: Literal["cripple wall", "joists on the sill", "basement or garage wall", "slab part"]
    from_ft: float
    to_ft: float
    stud_height_ft: float
    far_stud_height_ft: float | None = None  # at the far end of a sloped segment; None: the same all along
    ground_slope: float | NotObserved = NOT_OBSERVED  # rise over run along the line

    def __post_init__(self) -> None:
        _require_stretch(self.from_ft, self.to_ft)
        require_sizes(stud_height_ft=self.stud_height_ft, far_stud_height_ft=self.far_stud_height_ft)
        if self.ground_slope != NOT_OBSERVED:
            require_within("ground_slope", self.ground_slope, 0.0, 10.0)

    def stud_height_at_ft(self, at_ft: float) -> float:
        """Stud height at a place on this segment, along a straight slope between its ends. [ft]"""
        if self.far_stud_height_ft is None:
            return self.stud_height_ft
        share = (at_ft - self.from_ft) / (self.to_ft - self.from_ft)
        return self.stud_height_ft + share * (self.far_stud_height_ft - self.stud_height_ft)

    @property
    def studded(self) -> bool:
        """Whether a panel can stand in it at all."""
        return self.kind in ("cripple wall", "basement or garage wall")

    def runs_on_into(self, following: Segment) -> bool:
        """Whether the next segment begins where this one ends, of the same kind and with no step of the studs."""
        step_ft = self.stud_height_at_ft(self.to_ft) - following.stud_height_ft
        near = following.from_ft <= self.to_ft + NEAR_FT and abs(step_ft) <= NEAR_FT
        return near and self.kind == following.kind


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A stretch of the line: a panel, a sill piece, a plate piece, an opening."""

    from_ft: float
    to_ft: float
    label: str = ""

    def __post_init__(self) -> None:
        _require_stretch(self.from_ft, self.to_ft)


@dataclass(frozen=True, slots=True, kw_only=True)
class ExistingAnchor:
    at_ft: float
    diameter_in: float
    embedment_in: float | NotObserved
    edge_in: float | NotObserved
    end_in: float | NotObserved
    accepted: bool
    reason: str
    # Side of the square plate washer, 0 where there is none; its thickness.
    washer_in: float | NotObserved = NOT_OBSERVED
    washer_thickness_in: float | NotObserved = NOT_OBSERVED

    def __post_init__(self) -> None:
        for field in ("washer_in", "washer_thickness_in"):
            if getattr(self, field) != NOT_OBSERVED:
                require_within(field, getattr(self, field), 0.0, 12.0)
        require_within("at_ft", self.at_ft, 0.0, 10_000.0)
        require_within("diameter_in", self.diameter_in, 0.25, 1.0)
        for field in ("embedment_in", "edge_in", "end_in"):
            if getattr(self, field) != NOT_OBSERVED:
                require_sizes(**{field: getattr(self, field)})


@dataclass(frozen=True, slots=True, kw_only=True)
class AsFoundNailing:
    """Existing nails that make a link today: toenails from joist or rim to plate, or nails between the plates.

    `basis` is "seen", or "accepted: <edition>" where the engineer `accepted_by` takes the nailing of the code of the
    year built, with the `reason`.
    """

    link: Literal["1", "2"]
    nail: Nail
    spacing_in: float
    toenail: bool
    basis: str = SEEN
    reason: str = ""
    accepted_by: str = ""

    def __post_init__(self) -> None:
        require_sizes(spacing_in=self.spacing_in)
        if self.basis != SEEN:
            if not self.basis.startswith(ACCEPTED) or not self.basis.removeprefix(ACCEPTED).strip():
                raise OutOfRange("basis", self.basis, f'must be "{SEEN}", or "{ACCEPTED}" and the edition')
            require_text(reason=self.reason, accepted_by=self.accepted_by)
        if self.link == "2" and self.toenail:
            raise OutOfRange("toenail", True, "must be false: nails between the plates are driven straight")


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundSheathing:
    """What covers the wall today: gypsum, plaster, boards, siding. It carries nothing until the engineer accepts it.

    `material` is a row of the table of other sheathing, or the company's own words with `allowable_plf`, the
    engineer's ASD value, and its `source`. `bottom_edge` says whether its lower edge reaches the sill.
    """

    material: str
    from_ft: float
    to_ft: float
    bottom_edge: Literal["on the sill", "stops above the sill"] | NotObserved
    accepted: bool
    reason: str
    allowable_plf: float | None = None
    source: str = ""
    face: Literal["inside", "outside"] | NotObserved = NOT_OBSERVED  # of the wall; unseen: it may be any layer's

    def __post_init__(self) -> None:
        _require_stretch(self.from_ft, self.to_ft)
        require_text(material=self.material)
        require_sizes(allowable_plf=self.allowable_plf)
        if self.allowable_plf is not None and not self.source.strip():
            raise OutOfRange("source", self.source, "must name where the engineer's value stands")


@dataclass(frozen=True, slots=True, kw_only=True)
class Strut:
    """A member in line with the wall beyond one end of it, that brings the shear of the floor there to the line.

    `tension_psi` is its allowable tension parallel to grain before load duration, `basis` says how that is known.
    """

    end: Literal["zero", "far"]
    length_ft: float
    thickness_in: float
    depth_in: float
    tension_psi: float
    basis: str
    # For nails through its thickness into the plates: its wood, and how far it laps them.
    member: Member | NotObserved = NOT_OBSERVED
    lap_in: float | NotObserved = NOT_OBSERVED

    def __post_init__(self) -> None:
        require_text(basis=self.basis)
        if self.lap_in != NOT_OBSERVED:
            require_sizes(lap_in=self.lap_in)
        require_sizes(
            length_ft=self.length_ft,
            thickness_in=self.thickness_in,
            depth_in=self.depth_in,
            tension_psi=self.tension_psi,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class DeadLoad:
    label: str
    weight_plf: float

    def __post_init__(self) -> None:
        require_sizes(weight_plf=self.weight_plf)


@dataclass(frozen=True, slots=True, kw_only=True)
class Foundation:
    material: Literal["concrete", "masonry", "partial", "posts"]
    concrete_psi: float | NotObserved
    concrete_basis: str
    condition: str | NotObserved
    section_loss_percent: float | NotObserved
    accepted_by: str  # the engineer, or empty
    crack_in: float | NotObserved = NOT_OBSERVED  # the widest crack, 0 where there is none
    face: Literal["sound", "unsound"] | NotObserved = NOT_OBSERVED  # of the side that one can reach
    width_in: float | NotObserved = NOT_OBSERVED  # across the wall
    depth_in: float | NotObserved = NOT_OBSERVED  # of concrete under the sill

    def __post_init__(self) -> None:
        for name in ("width_in", "depth_in"):
            if getattr(self, name) != NOT_OBSERVED:
                require_sizes(**{name: getattr(self, name)})
        if self.concrete_psi != NOT_OBSERVED:
            require_sizes(concrete_psi=self.concrete_psi)
        if self.section_loss_percent != NOT_OBSERVED:
            require_within("section_loss_percent", self.section_loss_percent, 0.0, 100.0)
        if self.crack_in != NOT_OBSERVED:
            require_within("crack_in", self.crack_in, 0.0, 12.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class EndPost:
    width_in: float
    depth_in: float
    rod_from_end_in: float
    compression_from_end_in: float
    member: Member | None = None  # None: of the studs' wood
    modulus_psi: float | None = None  # E along the grain, for the drift alone; None: no drift is computed

    def __post_init__(self) -> None:
        if self.modulus_psi is not None:
            require_within("modulus_psi", self.modulus_psi, 100_000.0, 30_000_000.0)
        require_sizes(
            width_in=self.width_in,
            depth_in=self.depth_in,
            rod_from_end_in=self.rod_from_end_in,
            compression_from_end_in=self.compression_from_end_in,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Framing:
    sill: Member
    studs: Member
    plates: Member
    rim: Member
    block: Member
    plates_in: tuple[float, ...]  # lower first; empty: joists bear on the sill
    plate_width_in: float  # of the upper plate
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
    # What stands on the plates at the floor's edge, for the connectors of link 1 to go into.
    floor_edge: Literal["rim joist", "end joist", "blocks between joists", "nothing"] | NotObserved = NOT_OBSERVED
    joist_spacing_in: float | NotObserved = NOT_OBSERVED
    outside_finish: str | NotObserved = NOT_OBSERVED  # on the outside face; "" where the framing is bare
    moisture: Literal["dry", "wet"] | NotObserved = NOT_OBSERVED  # in service: dry is 19 % or less
    sill_edge_in: float | NotObserved = NOT_OBSERVED  # sill's outer face to the edge of the concrete
    sill_gap_in: float | NotObserved = NOT_OBSERVED  # gap or shims between sill and concrete
    lower_plate_width_in: float | None = None  # where it differs from the upper one, outer edges flush
    plate_tension_psi: float | NotObserved = NOT_OBSERVED  # allowable, parallel to grain, before load duration
    # From the face of the concrete that one can reach back to the sill; less than 0 where the sill stands out.
    side_set_back_in: float | NotObserved = NOT_OBSERVED

    def __post_init__(self) -> None:
        for name in ("joist_spacing_in", "plate_tension_psi"):
            if getattr(self, name) != NOT_OBSERVED:
                require_sizes(**{name: getattr(self, name)})
        if self.sill_edge_in != NOT_OBSERVED:
            require_within("sill_edge_in", self.sill_edge_in, -12.0, 48.0)
        if self.side_set_back_in != NOT_OBSERVED:
            require_within("side_set_back_in", self.side_set_back_in, -12.0, 48.0)
        if self.sill_gap_in != NOT_OBSERVED:
            require_within("sill_gap_in", self.sill_gap_in, 0.0, 12.0)
        require_sizes(
            plate_width_in=self.plate_width_in,
            stud_depth_in=self.stud_depth_in,
            stud_thickness_in=self.stud_thickness_in,
            sill_thickness_in=self.sill_thickness_in,
            sill_width_in=self.sill_width_in,
            sill_bearing_psi=self.sill_bearing_psi,
            rim_thickness_in=self.rim_thickness_in,
            rim_depth_in=self.rim_depth_in,
            lower_plate_width_in=self.lower_plate_width_in,
        )
        require_within("rim_set_back_in", self.rim_set_back_in, 0.0, self.plate_width_in)
        if len(self.plates_in) > 2:
            raise OutOfRange("plates_in", self.plates_in, "must give at most two top plates, lower first")
        for thickness_in in self.plates_in:
            require_sizes(plates_in=thickness_in)
        studs = self.stud_centrelines_in
        if any(not value >= 0 for value in studs) or any(a >= b for a, b in pairwise(studs)):
            raise OutOfRange("stud_centrelines_in", studs, "must rise from the line's zero end")
        if self.headroom_in != NOT_OBSERVED:
            require_sizes(headroom_in=self.headroom_in)


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
    wide_sill: Literal["block", "flush cut"] = "block"
    side_connection: str = ""  # where no anchor can be drilled from above
    blocking_nail: str = ""  # nails of new blocking between floor and plates, counted beside `floor_to_plate`
    floor_to_plate_by: Literal["connector", "blocking"] = "connector"  # "blocking" pins the blocking with its nails
    open_outside: bool = False  # the finish on the outside face may be opened for connectors
    strut_splice: str = ""  # nail or strap between a strut and the plates


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
    other_face: Sheathing | None = None  # new panels on the second face as well
    edge_spacing_in: Literal[6, 4, 3, 2] | None = None  # the panels' nailing as pinned; None: the widest that carries
    found_sheathing: tuple[FoundSheathing, ...] = ()
    lower_plate_laps_ft: tuple[float, ...] | NotObserved = NOT_OBSERVED
    plates_unseen: tuple[Span, ...] = ()  # stretches where nobody could see whether a plate is lapped
    struts: tuple[Strut, ...] = ()

    @property
    def length_ft(self) -> float:
        """Length from the zero end to the far end. [ft]"""
        return abs(self.end_ft[0] - self.start_ft[0]) + abs(self.end_ft[1] - self.start_ft[1])

    def __post_init__(self) -> None:
        require_axis_line("end_ft", self.start_ft, self.end_ft)
        for name in ("segments", "panels", "sill_pieces", "openings", "plates_unseen"):
            _require_in_order(name, getattr(self, name), self.length_ft)
        for panel in self.panels:
            self._require_place_for(panel)
        for anchor in self.existing_anchors:
            if not any(piece.from_ft <= anchor.at_ft <= piece.to_ft for piece in self.sill_pieces):
                raise OutOfRange("existing_anchors.at_ft", anchor.at_ft, "must stand on a sill piece")
        places_ft = [anchor.at_ft for anchor in self.existing_anchors]
        if len(set(places_ft)) < len(places_ft):
            raise OutOfRange("existing_anchors.at_ft", places_ft, "must give each place once")
        for name in ("plate_laps_ft", "lower_plate_laps_ft"):
            laps_ft = getattr(self, name)
            for lap_ft in () if laps_ft == NOT_OBSERVED else laps_ft:
                require_within(name, lap_ft, 0.0, self.length_ft)
        if len({strut.end for strut in self.struts}) < len(self.struts):
            raise OutOfRange("struts", [strut.end for strut in self.struts], "must be at most one at each end")
        if self.framing.stud_centrelines_in and self.framing.stud_centrelines_in[-1] > 12 * self.length_ft + 0.5:
            raise OutOfRange("framing.stud_centrelines_in", self.framing.stud_centrelines_in[-1], "must be on the line")

    @property
    def full_height_stretches(self) -> tuple[Span, ...]:
        """Where a panel could stand: studded wall between openings and steps of the stud height, in order."""
        found: list[tuple[float, float]] = []
        last: Segment | None = None
        for segment in self.segments:
            if segment.studded and last is not None and last.runs_on_into(segment):
                found[-1] = (found[-1][0], segment.to_ft)
            elif segment.studded:
                found.append((segment.from_ft, segment.to_ft))
            last = segment
        for opening in self.openings:
            found = [
                part
                for from_ft, to_ft in found
                for part in ((from_ft, min(to_ft, opening.from_ft)), (max(from_ft, opening.to_ft), to_ft))
                if part[1] - part[0] > NEAR_FT
            ]
        return tuple(Span(from_ft=from_ft, to_ft=to_ft) for from_ft, to_ft in found)

    def _step_at(self, one: Segment, following: Segment) -> str:
        free = ", ".join(f"{span.from_ft:g} to {span.to_ft:g}" for span in self.full_height_stretches)
        heights = f"studs {one.stud_height_at_ft(one.to_ft):g} ft, then {following.stud_height_ft:g} ft"
        what = heights if one.kind == following.kind else f"{one.kind}, then {following.kind}"
        if following.from_ft > one.to_ft + NEAR_FT:
            what = "nothing surveyed between"
        return f"must not cross the step at {following.from_ft:g} ft ({what}); full height stands from {free} ft"

    def _require_place_for(self, panel: Span) -> None:
        where = (panel.from_ft, panel.to_ft)
        under = [s for s in self.segments if s.from_ft < panel.to_ft and panel.from_ft < s.to_ft]
        if not under or under[0].from_ft > panel.from_ft + NEAR_FT or under[-1].to_ft < panel.to_ft - NEAR_FT:
            raise OutOfRange("panels", where, "must stand on surveyed segments")
        if not_studded := next((s for s in under if not s.studded), None):
            raise OutOfRange("panels", where, f"must stand on a studded wall, not on: {not_studded.kind}")
        for one, following in pairwise(under):
            if not one.runs_on_into(following):
                raise OutOfRange("panels", where, self._step_at(one, following))
        on_sill_ft = sum(max(0.0, min(p.to_ft, panel.to_ft) - max(p.from_ft, panel.from_ft)) for p in self.sill_pieces)
        if on_sill_ft < panel.to_ft - panel.from_ft - NEAR_FT:
            raise OutOfRange("panels", where, "must stand on sill pieces over its whole length")
        if any(o.from_ft < panel.to_ft - NEAR_FT and panel.from_ft + NEAR_FT < o.to_ft for o in self.openings):
            raise OutOfRange("panels", where, "must not cover an opening")
        if 12 * (panel.to_ft - panel.from_ft) <= self.end_post.rod_from_end_in + self.end_post.compression_from_end_in:
            raise OutOfRange("panels", where, "must be longer than its end posts")


def require_axis_line(field: str, start_ft: Point, end_ft: Point) -> None:
    """Raise OutOfRange unless start and end lie apart on a line parallel to x or y."""
    dx, dy = end_ft[0] - start_ft[0], end_ft[1] - start_ft[1]
    if not (dx == 0) != (dy == 0) or not abs(dx) + abs(dy) < float("inf"):
        raise OutOfRange(field, end_ft, "must make a line parallel to x or y with the start")


def _require_stretch(from_ft: float, to_ft: float) -> None:
    if not 0 <= from_ft < to_ft < float("inf"):
        raise OutOfRange("to_ft", to_ft, f"must be beyond from_ft = {from_ft:g}, which is 0 or more")


def _require_in_order(field: str, stretches: tuple[Span | Segment, ...], length_ft: float) -> None:
    for one, following in pairwise(stretches):
        if following.from_ft < one.to_ft - 1e-9:
            raise OutOfRange(field, (following.from_ft, following.to_ft), "must be in order and not overlap")
    if stretches and stretches[-1].to_ft > length_ft + NEAR_FT:
        raise OutOfRange(field, stretches[-1].to_ft, f"must end on the line, {length_ft:g} ft long")
