"""One fastener pulled out of the wood (NDS 12.2)."""

from __future__ import annotations

from typing import Final

from engineering import adjustments
from engineering.errors import OutOfRange
from engineering.inputs import WithdrawalInputs
from engineering.results import Check, Step
from engineering.sources import Source
from engineering.steps import step

NDS_LAG: Final = Source(
    "AWC NDS", "2018", "12.2.1, Table 12.2A", read="https://lfportal.everettwa.gov/WebLink/0/doc/1831805/Page33.aspx"
)
NDS_WOOD_SCREW: Final = Source("AWC NDS", "2018", "12.2.2")
NDS_NAIL: Final = Source("AWC NDS", "2018", "12.2.3")
NDS_ADJUSTED: Final = Source("AWC NDS", "2018", "Table 11.3.1")

LEAST_PENETRATION_D: Final = {"nail": 6.0, "wood screw": 6.0, "lag screw": 4.0}


def withdrawal(inputs: WithdrawalInputs) -> Check:
    """Adjusted withdrawal value W' of one fastener. Capacity in lb.

    W = 1800 G^1.5 D^0.75 (lag screw), 2850 G² D (wood screw), 1380 G^2.5 D (nail), lb per inch of penetration;
    W' = W · p · C_D · C_M · C_t · C_eg · C_tn, those that apply; a toenail takes no C_M. p is the thread in the main
    member, without a lag screw's tip, at least 4 D for lag screws, 6 D for the others. OutOfRange otherwise. NDS 12.2.
    """
    fastener, d, g, p_in = inputs.fastener, inputs.diameter_in, inputs.specific_gravity, inputs.thread_penetration_in
    least_in = LEAST_PENETRATION_D[fastener] * d
    if p_in < least_in - 1e-9:
        raise OutOfRange("thread_penetration_in", p_in, f"must be at least {least_in:g} in for this {fastener}")
    if fastener == "lag screw":
        per_inch, expression, source = 1800 * g**1.5 * d**0.75, "1 800·G^1.5·D^0.75", NDS_LAG
    elif fastener == "wood screw":
        per_inch, expression, source = 2850 * g**2 * d, "2 850·G²·D", NDS_WOOD_SCREW
    else:
        per_inch, expression, source = 1380 * g**2.5 * d, "1 380·G^2.5·D", NDS_NAIL
    reference_lb = per_inch * p_in
    factors = _factors(inputs)
    adjusted_lb, last = adjustments.adjusted("Wp_lb", "W′", ("W·p", reference_lb), factors, NDS_ADJUSTED)
    return Check(
        name=f"{fastener} {d:g} in, withdrawal",
        status="recorded",
        capacity=adjusted_lb,
        unit="lb",
        clause=str(source),
        steps=(
            step("W_lb_per_in", "W", expression, per_inch, "lb/in", source, G=g, D=d),
            step("W_lb", "W·p", "W·p", reference_lb, "lb", source, W=per_inch, p=p_in),
            *factors,
            last,
        ),
    )


def _factors(inputs: WithdrawalInputs) -> list[Step]:
    """The adjustment factors that apply, in the order of NDS Table 11.3.1."""
    factors = [adjustments.load_duration_factor(inputs.load_duration)]
    if inputs.moisture != "dry" and not inputs.toenail:
        factors.append(adjustments.wet_service_withdrawal(inputs.moisture, inputs.fastener))
    heat = adjustments.temperature_factor(inputs.temperature_f, inputs.moisture)
    if heat.value != 1.0:
        factors.append(heat)
    if inputs.end_grain:
        factors.append(adjustments.end_grain_factor(adjustments.END_GRAIN_LAG_WITHDRAWAL))
    if inputs.toenail:
        factors.append(adjustments.toenail_factor(adjustments.TOENAIL_WITHDRAWAL, "withdrawal"))
    return factors
