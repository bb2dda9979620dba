"""One fastener pulled out of side grain (NDS 12.2)."""

from __future__ import annotations

from typing import Final

from engineering.adjustments import NDS_LOAD_DURATION, NDS_TOENAIL, TOENAIL_WITHDRAWAL
from engineering.errors import OutOfRange
from engineering.inputs import WithdrawalInputs
from engineering.results import Check
from engineering.sources import Source
from engineering.steps import step

NDS_LAG: Final = Source(
    "AWC NDS", "2018", "12.2.1, Table 12.2A", read="https://lfportal.everettwa.gov/WebLink/0/doc/1831805/Page33.aspx"
)
NDS_WOOD_SCREW: Final = Source("AWC NDS", "2018", "12.2.2")
NDS_NAIL: Final = Source("AWC NDS", "2018", "12.2.3")
NDS_WITHDRAWAL_VALUE: Final = Source("AWC NDS", "2018", "11.3")

LEAST_PENETRATION_D: Final = {"nail": 6.0, "wood screw": 6.0, "lag screw": 4.0}


def withdrawal(inputs: WithdrawalInputs) -> Check:
    """Adjusted withdrawal value W' of one fastener in side grain. Capacity in lb.

    W = 1800 G^1.5 D^0.75 (lag screw), 2850 G² D (wood screw), 1380 G^2.5 D (nail), lb per inch of penetration;
    W' = W · p · C_D, · 0.67 for a toenail. p is the thread in the main member, without a lag screw's tip, at least
    4 D for lag screws, 6 D for the others. OutOfRange otherwise. NDS 12.2.
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
    adjusted_lb, adjusted = reference_lb * inputs.load_duration, "W·p·C_D"
    factors = {"W·p": reference_lb, "C_D": inputs.load_duration}
    steps = [
        step("W_lb_per_in", "W", expression, per_inch, "lb/in", source, G=g, D=d),
        step("W_lb", "W·p", "W·p", reference_lb, "lb", source, W=per_inch, p=p_in),
        step("C_D", "C_D", "load duration", inputs.load_duration, "-", NDS_LOAD_DURATION),
    ]
    if inputs.toenail:
        adjusted_lb, adjusted = adjusted_lb * TOENAIL_WITHDRAWAL, "W·p·C_D·C_tn"
        factors["C_tn"] = TOENAIL_WITHDRAWAL
        steps.append(step("C_tn", "C_tn", "toenail, withdrawal", TOENAIL_WITHDRAWAL, "-", NDS_TOENAIL))
    steps.append(step("Wp_lb", "W′", adjusted, adjusted_lb, "lb", NDS_WITHDRAWAL_VALUE, **factors))
    return Check(
        name=f"{fastener} {d:g} in, withdrawal",
        status="recorded",
        capacity=adjusted_lb,
        unit="lb",
        clause=str(source),
        steps=tuple(steps),
    )
