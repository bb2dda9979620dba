"""The value of each connector where a house uses it, computed once per calculation. Not how many there are."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from typing import Any, Literal, TypeVar, cast

from engineering import evaluated, fasteners
from engineering.errors import OutOfRange
from engineering.evaluated import ANYWHERE, Seat
from engineering.finishes import require_finish
from engineering.inputs import (
    NOT_OBSERVED,
    EvaluatedConnector,
    HouseInputs,
    LagScrew,
    Member,
    Moisture,
    Nail,
    Strut,
    ThroughPlateInputs,
    WallLine,
)
from engineering.kept import NO_DEMAND, Connector, kept
from engineering.line_demand import DiaphragmPart, LineDemand
from engineering.results import Check
from engineering.through_plate import set_up

BLOCK_THICKNESS_IN = 1.5  # a flat 2x4 on the sill

FloorForce = Literal["story shear", "F_px"]
T = TypeVar("T")
FACTS_KEPT = 1024  # of a line


class ConnectorValues:
    """Catalogue and values of one calculation. Each value is a Check with its steps; a refusal is an OutOfRange."""

    def __init__(self, inputs: HouseInputs) -> None:
        self.kept = kept(inputs)
        self.inputs = self.kept.given
        self.connectors = self.kept.connectors
        self.asked: list[int] = []  # numbers of checks in order, as often as they were asked

    def used(self) -> tuple[Check, ...]:
        """Every value asked for since `asked` was last emptied, once, in the order of asking."""
        return tuple(self.kept.checks[number] for number in dict.fromkeys(self.asked))

    def connector(self, key: str) -> Connector:
        """The catalogue entry of this key; OutOfRange when there is none."""
        if key not in self.connectors:
            raise OutOfRange("connector", key, f"must be one of {', '.join(sorted(self.connectors))}")
        return self.connectors[key]

    def nail(self, key: str) -> Nail:
        """The nail of this key; OutOfRange for anything else."""
        found = self.connector(key)
        if not isinstance(found, Nail):
            raise OutOfRange("connector", key, "must be a nail of the catalogue")
        return found

    def evaluated(self, key: str, kind: str) -> EvaluatedConnector:
        """The evaluated connector of this key and kind; OutOfRange for anything else."""
        found = self.connector(key)
        if not isinstance(found, EvaluatedConnector) or found.kind != kind:
            raise OutOfRange("connector", key, f"must be a {kind} of the catalogue")
        return found

    def nail_or_strap(self, key: str) -> Nail | EvaluatedConnector:
        """What splices a plate or a strut: the nail or strap of this key; OutOfRange for anything else."""
        found = self.connector(key)
        if isinstance(found, Nail) or (isinstance(found, EvaluatedConnector) and found.kind == "strap"):
            return found
        raise OutOfRange("connector", key, "must be a nail or a strap of the catalogue")

    def plate_to_plate(self, line: WallLine, key: str) -> Check:
        """A catalogue nail from below through the lower into the upper top plate."""
        return self.between_plates(line, self.nail(key))

    def between_plates(self, line: WallLine, nail: Nail) -> Check:
        """A nail from below through the lower into the upper top plate."""
        framing = line.framing
        if len(framing.plates_in) != 2:
            raise OutOfRange("plates_in", framing.plates_in, "must be two plates for a nail from plate to plate")
        lower_in, upper_in = framing.plates_in
        return self._two_members(line, nail, framing.plates, lower_in, framing.plates, upper_in)

    def strut_to_plate(self, line: WallLine, strut: Strut, wood: Member, nail: Nail) -> Check:
        """A nail through a strut's thickness into one plate, or into the sill where the joists bear on it."""
        framing = line.framing
        main, main_in = framing.sill, framing.sill_thickness_in
        if framing.plates_in:
            main, main_in = framing.plates, min(framing.plates_in)
        return self._two_members(line, nail, wood, strut.thickness_in, main, main_in)

    def plate_to_rim(self, line: WallLine, nail: Nail) -> Check:
        """A nail up through the upper top plate into rim or block."""
        framing = line.framing
        if not framing.plates_in:
            raise OutOfRange("as_found.toenail", False, "must be true where joists bear on the sill")
        return self._two_members(line, nail, framing.plates, framing.plates_in[-1], framing.rim, framing.rim_depth_in)

    def block_to_sill(self, line: WallLine, key: str) -> Check:
        """A nail down through a flat block into the sill."""
        framing = line.framing
        return self._two_members(
            line, self.nail(key), framing.block, BLOCK_THICKNESS_IN, framing.sill, framing.sill_thickness_in
        )

    def block_to_plate(self, line: WallLine, nail: Nail) -> Check:
        """A nail down through a nailing block into the upper top plate, or the sill where the joists bear on it."""
        framing = line.framing
        main, main_in = framing.sill, framing.sill_thickness_in
        if framing.plates_in:
            main, main_in = framing.plates, framing.plates_in[-1]
        return self._two_members(line, nail, framing.block, BLOCK_THICKNESS_IN, main, main_in)

    def block_to_joist(self, line: WallLine, nail: Nail) -> Check:
        """A nail sideways through a nailing block into rim, end joist or block; into a new block where none stands."""
        framing = line.framing
        main, main_in = framing.rim, framing.rim_thickness_in
        if framing.floor_edge == "nothing":
            main, main_in = framing.block, BLOCK_THICKNESS_IN
        return self._two_members(line, nail, framing.block, BLOCK_THICKNESS_IN, main, main_in)

    def joist_to_block_end(self, line: WallLine, nail: Nail) -> Check:
        """A nail through a joist into the end of a block; its end grain factor is not in it."""
        framing = line.framing
        return self._two_members(line, nail, framing.rim, framing.rim_thickness_in, framing.block, nail.length_in)

    def between_studs(self, line: WallLine, key: str) -> Check:
        """A catalogue nail through a new stud into the one beside it, both of the studs' wood."""
        framing = line.framing
        return self._two_members(
            line, self.nail(key), framing.studs, framing.stud_thickness_in, framing.studs, framing.stud_thickness_in
        )

    def toenail(self, line: WallLine, nail: Nail) -> Check:
        """A toenail from rim or block into the upper top plate, or into the sill where the joists bear on it."""
        framing, duration = line.framing, self.inputs.criteria.load_duration
        main, main_in = framing.sill, framing.sill_thickness_in
        if framing.plates_in:
            main, main_in = framing.plates, framing.plates_in[-1]
        return self._once(
            ("toenail", nail, framing.rim, main, main_in, wet := moisture(line)),
            lambda: fasteners.toenail(nail, framing.rim, main, main_in, load_duration=duration, moisture=wet),
        )

    def lag(self, line: WallLine, lag: LagScrew) -> Check:
        """A lag screw from below through the top plates into the joist."""
        framing, duration = line.framing, self.inputs.criteria.load_duration
        return self._once(
            ("lag", lag, framing.plates_in, framing.plates, framing.rim, wet := moisture(line)),
            lambda: fasteners.lag_through_plates(
                lag, framing.plates_in, framing.plates, framing.rim, load_duration=duration, moisture=wet
            ),
        )

    def sill_bolt(self, line: WallLine, diameter_in: float, embedment_in: float) -> Check:
        """An anchor bolt on its wood side, sill to concrete, across what gap was observed under the sill."""
        framing, duration = line.framing, self.inputs.criteria.load_duration
        gap_in = 0.0 if framing.sill_gap_in == NOT_OBSERVED else framing.sill_gap_in
        embedment_in = min(embedment_in, fasteners.SILL_BOLT_EMBEDMENT_IN)
        return self._once(
            ("bolt", diameter_in, framing.sill, framing.sill_thickness_in, embedment_in, gap_in, wet := moisture(line)),
            lambda: fasteners.sill_bolt(
                diameter_in,
                framing.sill,
                framing.sill_thickness_in,
                embedment_in,
                load_duration=duration,
                moisture=wet,
                gap_in=gap_in,
            ),
        )

    def allowable(
        self,
        line: WallLine,
        connector: EvaluatedConnector,
        use: str,
        wood: tuple[Member, ...] = (),
        seat: Seat = ANYWHERE,
    ) -> Check:
        """An evaluated value inside its report's limits; the first member decides, the others must be covered too.

        Sill anchors are bolts into concrete: their finish in a treated sill is the report's (`wood` is empty for them).
        """
        require_finish("connector.finish", connector.finish, *wood)
        concrete_psi = line.foundation.concrete_psi
        species: list[str | None] = [member.species for member in wood] or [None]
        wet = moisture(line)

        def ask() -> Check:
            checks = [
                evaluated.allowable(
                    connector,
                    use=use,
                    species=one,
                    calculation_date=self.inputs.calculation_date,
                    load_duration=self.inputs.criteria.load_duration,
                    concrete_psi=concrete_psi,
                    moisture=wet,
                    seat=seat,
                )
                for one in species
            ]
            return checks[0]

        return self._once(("evaluated", connector, use, wood, concrete_psi, wet, seat), ask)

    def through_plate(self, line: WallLine, screw: EvaluatedConnector) -> Check:
        """The set-up of a through-plate screw: value, jig, penetration, tolerances."""
        asked = self._set_up_inputs(line, screw)
        return self._once((asked,), lambda: set_up(asked))

    def _set_up_inputs(self, line: WallLine, screw: EvaluatedConnector) -> ThroughPlateInputs:
        framing = line.framing
        stitch = line.methods.stitch_nail
        return ThroughPlateInputs(
            screw=screw,
            plates_in=framing.plates_in,
            plate=framing.plates,
            joist=framing.rim,
            joist_thickness_in=framing.rim_thickness_in,
            joist_depth_in=framing.rim_depth_in,
            set_back_in=framing.rim_set_back_in,
            jig_bears_on=framing.jig_bears_on,
            headroom_in=framing.headroom_in,
            bar_stock_in=self.inputs.catalogue.bar_stock_in,
            stitch_nail=self.nail(stitch) if stitch and len(framing.plates_in) == 2 else None,
            calculation_date=self.inputs.calculation_date,
            plate_widths_in=(framing.lower_plate_width_in or framing.plate_width_in, framing.plate_width_in),
            load_duration=self.inputs.criteria.load_duration,
            moisture=moisture(line),
        )

    def _two_members(
        self, line: WallLine, nail: Nail, side: Member, side_in: float, main: Member, main_in: float
    ) -> Check:
        duration = self.inputs.criteria.load_duration
        return self._once(
            ("nail", nail, side, side_in, main, main_in, wet := moisture(line)),
            lambda: fasteners.nail_two_member(nail, side, side_in, main, main_in, load_duration=duration, moisture=wet),
        )

    def _once(self, asked: tuple[object, ...], compute: Callable[[], Check]) -> Check:
        number = self.kept.number(asked, compute)
        self.asked.append(number)
        return self.kept.checks[number]


def moisture(line: WallLine) -> Moisture:
    """Moisture of the wood for C_M: wet where the survey found it above 19 %; dry where nobody looked, as printed."""
    return "wet in service" if line.framing.moisture == "wet" else "dry"


@dataclass(frozen=True, slots=True)
class LineContext:
    """One wall line with what all its links are checked by."""

    inputs: HouseInputs
    line: WallLine
    demand: LineDemand
    values: ConnectorValues
    _known: dict[Hashable, tuple[Any, tuple[int, ...]]] = field(default_factory=dict, compare=False, repr=False)
    length_ft: float = field(init=False)
    # What links 0, 1 and 3 are checked for; the other one is printed beside it (convention 9).
    floor_force: FloorForce = field(init=False)
    # The line as it is kept; of one that is kept, itself.
    _bare: LineContext = field(init=False, compare=False, repr=False)

    def once(self, asked: Hashable, compute: Callable[[], T]) -> T:
        """What `compute` gives, computed at the first asking: links of one line ask for the same things.

        The connector values behind it count as asked for each time.
        """
        if found := self._known.get(asked):
            if found[1]:
                self.values.asked += found[1]
            known: T = found[0]
            return known
        told = self.values.asked
        start = len(told)
        known = compute()
        self._known[asked] = (known, tuple(told[start:]))
        return known

    def surveyed(self, asked: Hashable, compute: Callable[[LineContext], T]) -> T:
        """The same for what the survey and the catalogue alone decide: kept from one calculation to the next.

        `compute` is given the line without its demand, and without what of the inputs decides the demand. A refusal is
        kept as well.
        """
        bare = self._bare
        found = bare._known.get(asked)
        if found is None:
            bare._keep(asked, compute)
            found = bare._known[asked]
        told: T | OutOfRange
        told, values = found
        if values:
            self.values.asked += values
        if isinstance(told, OutOfRange):
            raise OutOfRange(told.field, told.value, told.allowed)
        return told

    def _keep(self, asked: Hashable, compute: Callable[[LineContext], object]) -> None:
        """Compute and keep it, with the connector values that it asked for: `surveyed` asks for them each time."""
        values = self.values.asked
        start = len(values)
        told: object
        try:
            told = compute(self)
        except OutOfRange as refusal:
            told = refusal.with_traceback(None)
        if len(self._known) >= FACTS_KEPT:
            self._known.clear()
        self._known[asked] = (told, tuple(values[start:]))
        del values[start:]

    def __post_init__(self) -> None:
        kept = self if self.demand is NO_DEMAND else self.values.kept.line(self.line, self._without_demand)
        object.__setattr__(self, "_bare", kept)
        object.__setattr__(self, "length_ft", self.line.length_ft if kept is self else kept.length_ft)
        by_px = self.inputs.criteria.diaphragm_force_governs
        object.__setattr__(self, "floor_force", "F_px" if by_px else "story shear")

    def _without_demand(self) -> LineContext:
        given = cast("HouseInputs", self.values.kept.given)
        return LineContext(given, self.line, NO_DEMAND, ConnectorValues(given))

    @property
    def on_sill(self) -> bool:
        """Joists bear on the sill: no studs, no plates, no panel; the floor's shear goes to the sill at once."""
        return not self.line.framing.plates_in

    @property
    def high_seismic(self) -> bool:
        """SDC D to F."""
        return self.inputs.hazard.seismic_design_category in ("D", "E", "F")

    @property
    def floor_demand_lb(self) -> float:
        """The line's demand in links 0, 1 and 3: the story shear, or the F_px value where the engineer says so."""
        if self.floor_force == "F_px":
            return self.demand.diaphragm_demand_lb
        return self.demand.demand_lb

    def local_demand_plf(self, by: FloorForce | None = None) -> float:
        """The largest diaphragm shear per foot that enters the line (convention 7: not the line's average)."""
        return max([plf for _, _, plf in self.delivered(by)])

    def floor_parts(self, by: FloorForce | None = None) -> tuple[DiaphragmPart, ...]:
        """What each rectangle of the floor brings, by the force that governs or by the one asked for."""
        return self.demand.diaphragm_parts if (by or self.floor_force) == "F_px" else self.demand.parts

    def delivered(self, by: FloorForce | None = None) -> tuple[tuple[float, float, float], ...]:
        """Diaphragm shear that enters the line: from, to, intensity. [ft, ft, lb/ft] Only on the line's own length.

        By the force that governs, or by the one asked for.
        """
        asked = by or self.floor_force
        return self.once(("delivered", asked), lambda: self._delivered(asked))

    def _delivered(self, by: FloorForce) -> tuple[tuple[float, float, float], ...]:
        length_ft = self.length_ft
        found = []
        for part in self.floor_parts(by):
            from_ft, to_ft = max(0.0, part.from_ft), min(length_ft, part.to_ft)
            found.append((from_ft, to_ft, part.demand_lb / (to_ft - from_ft)))
        return tuple(found)
