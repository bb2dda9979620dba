"""Connectors by an evaluation report's own values, used inside the report's own limits or not at all."""

from __future__ import annotations

from typing import Final, NamedTuple

from engineering.adjustments import NDS_LOAD_DURATION, WET_IN_SERVICE, Moisture, require_load_duration
from engineering.errors import OutOfRange, require_positive
from engineering.inputs import NOT_OBSERVED, EvaluatedConnector, MemberFace, NotObserved
from engineering.limits import iso_date
from engineering.results import Check, Step
from engineering.single_inputs import STRENGTH_LEVEL
from engineering.sources import Source
from engineering.steps import step

# The uses that this program has; a catalogue row carries the one its report covers, word for word.
USE_THROUGH_PLATES: Final = "shear, from below through two plates into the narrow edge of a joist"
USE_FRAMING_ANGLE: Final = "shear, joist or blocking to top plate"
USE_FACE_PLATE: Final = "shear, rim joist to top plate, from outside"
USE_SILL_ANCHOR: Final = "shear, sill to concrete, parallel to the edge"
USE_TIE_DOWN: Final = "tension, end post to its anchor"
USE_TIE_DOWN_ANCHOR: Final = "tension, tie-down rod in concrete"
USE_STRAP: Final = "tension, across a plate joint"
USE_SIDE_CONNECTION: Final = "shear, sill to the face of the concrete, parallel to it"
ANY_SPECIES: Final = "any"  # what a report lists that covers every wood
USES: Final = (
    USE_THROUGH_PLATES,
    USE_FRAMING_ANGLE,
    USE_FACE_PLATE,
    USE_SILL_ANCHOR,
    USE_TIE_DOWN,
    USE_TIE_DOWN_ANCHOR,
    USE_STRAP,
    USE_SIDE_CONNECTION,
)

INTO_CONCRETE: Final = ("sill anchor", "side connection", "tie-down anchor")
SEISMIC_LOAD_DURATION: Final = 1.6
TIGHT_IN: Final = 1 / 16  # what a tape reads as no gap; all that a report allows that names none (common practice)


class Fact(NamedTuple):
    """A measure of the place that a report's limit is held against, by the name of its input. [in]"""

    field: str
    value: float | NotObserved


class Seat(NamedTuple):
    """Where one connector sits: what the survey says of its place, None where its use has no such thing.

    `faces` of the wood that its fasteners enter; `member` the wood's thickness there; `edge` and `end` the distances
    that its place has at best; `concrete` the thickness in the anchor's direction; `gaps` what its plate must span.
    """

    faces: tuple[MemberFace, ...] = ()
    member: Fact | None = None
    edge: Fact | None = None
    end: Fact | None = None
    concrete: Fact | None = None
    gaps: tuple[Fact, ...] = ()


ANYWHERE: Final = Seat()


def allowable(
    connector: EvaluatedConnector,
    *,
    use: str,
    species: str | None,
    calculation_date: str,
    load_duration: float,
    concrete_psi: float | NotObserved | None = None,
    moisture: Moisture = "dry",
    seat: Seat = ANYWHERE,
) -> Check:
    """Allowable value of an evaluated connector for one use on one day. Capacity in lb.

    `species` is that of the wood it goes into, None where it goes into none. A value at C_D 1.0 is multiplied by
    `load_duration`; one that already holds 1.6, or an ASD seismic one, is taken as it stands and for 1.6 only; one at
    strength level is multiplied by the report's own conversion, for 1.6 only. In wood above 19 % in service the
    report's own factor applies.
    OutOfRange, naming what the report allows: before the date of issue or after expiry, another use, a species not
    listed ("any" covers all), wet wood without a factor for it, concrete weaker than the report's or not observed, a
    `seat` that breaks a limit of the report or of which the report asks what nobody observed.
    """
    require_load_duration(load_duration)
    named = _named(connector)
    if connector.use.casefold() != use.casefold():
        raise OutOfRange("use", use, f"must be what {named} covers: {connector.use}")
    day = iso_date("calculation_date", calculation_date)
    if day < iso_date("issued", connector.issued):
        raise OutOfRange("calculation_date", calculation_date, f"{named} is not issued before {connector.issued}")
    if day > iso_date("expires", connector.expires):
        raise OutOfRange("calculation_date", calculation_date, f"{named} expired on {connector.expires}")
    if species is not None:
        listed = {one.casefold() for one in connector.species}
        if not listed & {species.casefold(), ANY_SPECIES}:
            covered = ", ".join(connector.species) or "no wood"
            raise OutOfRange("species", species, f"must be what {named} covers: {covered}")
        if moisture in WET_IN_SERVICE and connector.wet_service_factor is None:
            raise OutOfRange("moisture", moisture, f"must be dry in service: {named} gives no wet service factor")
    if connector.kind in INTO_CONCRETE and concrete_psi == NOT_OBSERVED:
        raise OutOfRange("concrete_psi", concrete_psi, f"must be observed: {named} holds in concrete")
    if connector.minimum_concrete_psi is not None:
        least = f"{named} asks for at least {connector.minimum_concrete_psi:g} psi"
        if concrete_psi is None or concrete_psi == NOT_OBSERVED:
            raise OutOfRange("concrete_psi", concrete_psi, f"must be observed: {least}")
        require_positive(concrete_psi=concrete_psi)
        if concrete_psi < connector.minimum_concrete_psi:
            raise OutOfRange("concrete_psi", concrete_psi, f"is too weak: {least}")
    report = report_source(connector)
    value_lb, steps = _at_duration(connector, load_duration, report)
    steps = (*steps, *require_seat(connector, seat))
    if species is not None and moisture in WET_IN_SERVICE:
        factor = connector.wet_service_factor
        assert factor is not None  # refused above
        wet = step("wet_lb", "allowable, wet", "allowable·factor of the report", value_lb * factor, "lb", report,
                   allowable=value_lb, factor=factor)  # fmt: skip
        value_lb, steps = value_lb * factor, (*steps, wet)
    return Check(name=connector.name, status="recorded", capacity=value_lb, unit="lb", clause=str(report), steps=steps)


def require_seat(connector: EvaluatedConnector, seat: Seat) -> tuple[Step, ...]:
    """The report's own limits against one place, as steps; none where it states none. [in]

    OutOfRange, with the measure and the limit, where the place breaks one or nobody measured what it is held against.
    A side connection whose report names no gap spans none.
    """
    embedment = Fact("embedment_in", connector.embedment_in) if connector.embedment_in is not None else None
    if connector.minimum_embedment_in is not None and embedment is None:
        raise OutOfRange("embedment_in", None, f"must be given: {_asks(connector, connector.minimum_embedment_in)}")
    steps = list[Step]()
    for key, symbol, least_in, fact in (
        ("member_thickness_in", "t", connector.minimum_member_in, seat.member),
        ("edge_distance_in", "e", connector.minimum_edge_in, seat.edge),
        ("end_distance_in", "e_end", connector.minimum_end_in, seat.end),
        ("embedment_in", "h_ef", connector.minimum_embedment_in, embedment),
        ("concrete_thickness_in", "h", connector.minimum_concrete_in, seat.concrete),
    ):
        if least_in is not None and fact is not None:
            steps.append(_at_least(connector, key, symbol, least_in, fact))
    for face in seat.faces:
        if connector.member_faces and face not in connector.member_faces:
            allowed = f"must be what {_named(connector)} covers: {', '.join(connector.member_faces)}"
            raise OutOfRange("member_face", face, f"{face} here; {allowed}")
    if connector.member_faces and seat.faces:
        steps.append(
            step("member_faces", "faces", "of the wood, as the report covers", ", ".join(seat.faces), "-",
                 report_source(connector))
        )  # fmt: skip
    return (*steps, *_gaps(connector, seat.gaps))


def _at_least(connector: EvaluatedConnector, key: str, symbol: str, least_in: float, fact: Fact) -> Step:
    if fact.value == NOT_OBSERVED:
        raise OutOfRange(fact.field, fact.value, f"must be observed: {_asks(connector, least_in)}")
    if fact.value < least_in - 1e-9:
        raise OutOfRange(fact.field, fact.value, f"is {fact.value:.3g} in: {_asks(connector, least_in)}")
    return step(key, symbol, f"at least {symbol}_min", fact.value, "in", report_source(connector),
                **{f"{symbol}_min": least_in})  # fmt: skip


def _gaps(connector: EvaluatedConnector, gaps: tuple[Fact, ...]) -> list[Step]:
    most_in, steps = connector.maximum_gap_in, list[Step]()
    for fact in gaps:
        if fact.value == NOT_OBSERVED:
            if most_in is not None:
                allowed = f"must be observed: {_named(connector)} allows a gap of at most {most_in:g} in"
                raise OutOfRange(fact.field, fact.value, allowed)
            continue
        gap_in, words = abs(fact.value), "no gap" if most_in is None else f"a gap of at most {most_in:g} in"
        if gap_in > (TIGHT_IN if most_in is None else most_in) + 1e-9:
            raise OutOfRange(fact.field, fact.value, f"is {fact.value:.3g} in: {_named(connector)} allows {words}")
        if most_in is not None:
            steps.append(
                step(fact.field, "gap", f"{fact.field.removesuffix('_in').replace('_', ' ')}, at most gap_max", gap_in,
                     "in", report_source(connector), gap_max=most_in)
            )  # fmt: skip
    return steps


def _named(connector: EvaluatedConnector) -> str:
    return f"{connector.report} ({connector.name})"


def _asks(connector: EvaluatedConnector, least_in: float) -> str:
    return f"{_named(connector)} asks for at least {least_in:g} in"


def report_source(connector: EvaluatedConnector) -> Source:
    """The report that a connector's values come from, as printed on the sheets."""
    dates = f"{connector.issued} to {connector.expires}"
    return Source(f"evaluation report {connector.report}", dates, connector.use, read="print")


def _at_duration(connector: EvaluatedConnector, load_duration: float, report: Source) -> tuple[float, tuple[Step, ...]]:
    reference_lb, basis = connector.value_lb, connector.value_basis
    first = step("reference_lb", "reference", f"as printed, {basis}", reference_lb, "lb", report)
    if basis == "C_D 1.0":
        value_lb = reference_lb * load_duration
        last = step(
            "allowable_lb",
            "allowable",
            "reference·C_D",
            value_lb,
            "lb",
            NDS_LOAD_DURATION,
            reference=reference_lb,
            C_D=load_duration,
        )
        return value_lb, (first, last)
    if load_duration != SEISMIC_LOAD_DURATION:
        raise OutOfRange("load_duration", load_duration, f"must be 1.6: the value of {connector.report} is {basis}")
    if basis == STRENGTH_LEVEL:
        factor = connector.asd_conversion
        assert factor is not None  # the connector itself refuses it
        last = step("allowable_lb", "allowable", "reference·c, strength level to ASD by the report",
                    reference_lb * factor, "lb", report, reference=reference_lb, c=factor)  # fmt: skip
        return reference_lb * factor, (first, last)
    last = step(
        "allowable_lb", "allowable", "as printed, no factor", reference_lb, "lb", report, reference=reference_lb
    )
    return reference_lb, (first, last)
