"""Connectors by an evaluation report's own values, used inside the report's own limits or not at all."""

from __future__ import annotations

from typing import Final

from engineering.adjustments import NDS_LOAD_DURATION, WET_IN_SERVICE, Moisture, require_load_duration
from engineering.errors import OutOfRange, require_positive
from engineering.inputs import NOT_OBSERVED, EvaluatedConnector, NotObserved
from engineering.limits import iso_date
from engineering.results import Check, Step
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


def allowable(
    connector: EvaluatedConnector,
    *,
    use: str,
    species: str | None,
    calculation_date: str,
    load_duration: float,
    concrete_psi: float | NotObserved | None = None,
    moisture: Moisture = "dry",
) -> Check:
    """Allowable value of an evaluated connector for one use on one day. Capacity in lb.

    `species` is that of the wood it goes into, None where it goes into none. A value at C_D 1.0 is multiplied by
    `load_duration`; one that already holds 1.6, or an ASD seismic one, is taken as it stands and for 1.6 only. In
    wood above 19 % in service the report's own factor applies.
    OutOfRange, naming what the report allows: before the date of issue or after expiry, another use, a species not
    listed ("any" covers all), wet wood without a factor for it, concrete weaker than the report's or not observed.
    """
    require_load_duration(load_duration)
    named = f"{connector.report} ({connector.name})"
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
    if species is not None and moisture in WET_IN_SERVICE:
        factor = connector.wet_service_factor
        assert factor is not None  # refused above
        wet = step("wet_lb", "allowable, wet", "allowable·factor of the report", value_lb * factor, "lb", report,
                   allowable=value_lb, factor=factor)  # fmt: skip
        value_lb, steps = value_lb * factor, (*steps, wet)
    return Check(name=connector.name, status="recorded", capacity=value_lb, unit="lb", clause=str(report), steps=steps)


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
    last = step(
        "allowable_lb", "allowable", "as printed, no factor", reference_lb, "lb", report, reference=reference_lb
    )
    return reference_lb, (first, last)
