"""Adjustment factors for connections (NDS chapters 2, 11 and 12): each a step. Not who chooses them."""

from __future__ import annotations

from math import prod
from typing import Final, Literal

from engineering.errors import OutOfRange
from engineering.results import Scalar, Step
from engineering.sources import Source
from engineering.steps import step

NDS_LOAD_DURATION: Final = Source("AWC NDS", "2018", "Table 2.3.2")
NDS_WET_SERVICE: Final = Source("AWC NDS", "2018", "Table 11.3.3")
NDS_TEMPERATURE: Final = Source("AWC NDS", "2018", "Table 11.3.4")
NDS_END_GRAIN: Final = Source("AWC NDS", "2018", "12.5.2")
NDS_TOENAIL: Final = Source("AWC NDS", "2018", "12.5.4")

# Of the wood: when the connection is made, and after. Wet is above 19 %; "fabricated wet" dries in service.
Moisture = Literal["dry", "fabricated wet", "wet in service", "wet throughout"]
WET_IN_SERVICE: Final = ("wet in service", "wet throughout")

# Permanent, ten-year live, snow, seven-day construction, wind or earthquake. Impact (2.0) is not for connections.
LOAD_DURATIONS: Final = (0.9, 1.0, 1.15, 1.25, 1.6)
TOENAIL_LATERAL: Final = 0.83
TOENAIL_WITHDRAWAL: Final = 0.67
END_GRAIN_LATERAL: Final = 0.67
END_GRAIN_LAG_WITHDRAWAL: Final = 0.75
LARGE_DIAMETER_IN: Final = 0.25
# Up to this temperature (°F): dry in service, wet in service.
TEMPERATURE_FACTORS: Final = ((100.0, 1.0, 1.0), (125.0, 0.8, 0.7), (150.0, 0.7, 0.5))
NAIL_WITHDRAWAL_WET: Final = {"dry": 1.0, "fabricated wet": 0.25, "wet in service": 0.25, "wet throughout": 1.0}


def require_load_duration(load_duration: float) -> None:
    """Raise OutOfRange unless `load_duration` is a factor C_D that NDS Table 2.3.2 gives for connections."""
    if load_duration not in LOAD_DURATIONS:
        allowed = ", ".join(f"{value:g}" for value in LOAD_DURATIONS)
        raise OutOfRange("load_duration", load_duration, f"must be one of {allowed} (NDS Table 2.3.2, connections)")


def load_duration_factor(load_duration: float) -> Step:
    """C_D as a step. NDS Table 2.3.2."""
    return step("C_D", "C_D", "load duration", load_duration, "-", NDS_LOAD_DURATION)


def wet_service_lateral(moisture: Moisture, diameter_in: float, *, one_row: bool) -> Step:
    """C_M of a laterally loaded dowel: 0.7 wet in service, 0.4 for wood that dries after fabrication. [-]

    There 1.0 for one fastener or `one_row` along the grain, 0.7 under 1/4 in. NDS Table 11.3.3 and its footnote; for
    thin fasteners it is remembered as 0.7 and as 1.0, and the smaller is taken.
    """
    if moisture == "dry":
        value, why = 1.0, "19 % or less throughout"
    elif moisture in WET_IN_SERVICE:
        value, why = 0.7, "above 19 % in service"
    elif diameter_in < LARGE_DIAMETER_IN:
        value, why = 0.7, "fabricated above 19 %, D < 1/4 in"
    elif one_row:
        value, why = 1.0, "fabricated above 19 %, one fastener or row along the grain"
    else:
        value, why = 0.4, "fabricated above 19 %, not shown to be one row"
    return step("C_M", "C_M", f"moisture: {why}", value, "-", NDS_WET_SERVICE, D=diameter_in)


def wet_service_withdrawal(moisture: Moisture, fastener: str) -> Step:
    """C_M in withdrawal: 0.7 for screws wet in service; 0.25 for nails where the moisture changes. [-] Table 11.3.3."""
    value = NAIL_WITHDRAWAL_WET[moisture] if fastener == "nail" else (0.7 if moisture in WET_IN_SERVICE else 1.0)
    return step("C_M", "C_M", f"moisture: {moisture}, {fastener} in withdrawal", value, "-", NDS_WET_SERVICE)


def temperature_factor(temperature_f: float, moisture: Moisture) -> Step:
    """C_t for sustained temperature in °F, up to 150 °F, by moisture in service. [-] NDS Table 11.3.4."""
    for up_to, dry, wet in TEMPERATURE_FACTORS:
        if temperature_f <= up_to:
            value = wet if moisture in WET_IN_SERVICE else dry
            words = f"{'wet' if moisture in WET_IN_SERVICE else 'dry'} in service, up to {up_to:g} °F"
            return step("C_t", "C_t", words, value, "-", NDS_TEMPERATURE, T=temperature_f)
    raise OutOfRange("temperature_f", temperature_f, f"must be at most {TEMPERATURE_FACTORS[-1][0]:g}")


def end_grain_factor(value: float) -> Step:
    """C_eg for a fastener along the fibres of the main member. NDS 12.5.2."""
    return step("C_eg", "C_eg", "end grain of the main member", value, "-", NDS_END_GRAIN)


def toenail_factor(value: float, loaded: str) -> Step:
    """C_tn, lateral or in withdrawal. NDS 12.5.4."""
    return step("C_tn", "C_tn", f"toenail, {loaded}", value, "-", NDS_TOENAIL)


def adjusted(
    key: str, symbol: str, reference: tuple[str, float], factors: list[Step], source: Source
) -> tuple[float, Step]:
    """A reference value times the factors that apply, and its step; only those are in the expression. [lb]"""
    name, value_lb = reference
    values = [float(factor.value) for factor in factors]
    inputs: dict[str, Scalar] = {name: value_lb, **{f.symbol: v for f, v in zip(factors, values, strict=True)}}
    value = prod(values, start=value_lb)
    expression = "·".join((name, *(factor.symbol for factor in factors)))
    return value, Step(
        key=key, symbol=symbol, expression=expression, inputs=inputs, value=value, unit="lb", source=source
    )
