"""Withdrawal from side grain."""

from dataclasses import replace

import pytest

from engineering.errors import OutOfRange
from engineering.inputs import WithdrawalInputs
from engineering.withdrawal import withdrawal

NAIL = WithdrawalInputs(fastener="nail", diameter_in=0.148, specific_gravity=0.5, thread_penetration_in=1.5)
SCREW = WithdrawalInputs(fastener="wood screw", diameter_in=0.19, specific_gravity=0.5, thread_penetration_in=2)
LAG = WithdrawalInputs(fastener="lag screw", diameter_in=0.5, specific_gravity=0.5, thread_penetration_in=2)


@pytest.mark.parametrize(
    ("inputs", "per_inch"),
    [(NAIL, 1380 * 0.5**2.5 * 0.148), (SCREW, 2850 * 0.5**2 * 0.19), (LAG, 1800 * 0.5**1.5 * 0.5**0.75)],
)
def test_value_per_inch_by_kind(inputs, per_inch):
    check = withdrawal(inputs)
    assert check.step("W_lb_per_in").value == pytest.approx(per_inch)
    assert check.capacity == pytest.approx(per_inch * inputs.thread_penetration_in * 1.6)


def test_toenail_keeps_two_thirds():
    assert withdrawal(replace(NAIL, toenail=True)).capacity == pytest.approx(0.67 * withdrawal(NAIL).capacity)


def test_twice_the_thread_holds_twice():
    assert withdrawal(replace(LAG, thread_penetration_in=4)).capacity == pytest.approx(2 * withdrawal(LAG).capacity)


@pytest.mark.parametrize(
    ("base", "change", "field"),
    [
        (NAIL, {"thread_penetration_in": 0.88}, "thread_penetration_in"),
        (SCREW, {"thread_penetration_in": 1.1}, "thread_penetration_in"),
        (LAG, {"thread_penetration_in": 1.9}, "thread_penetration_in"),
        (LAG, {"toenail": True}, "toenail"),
        (LAG, {"diameter_in": 0.148}, "diameter_in"),
        (NAIL, {"specific_gravity": 0.2}, "specific_gravity"),
        (NAIL, {"load_duration": 1.7}, "load_duration"),
        (NAIL, {"diameter_in": 0}, "diameter_in"),
    ],
)
def test_refuses(base, change, field):
    with pytest.raises(OutOfRange) as problem:
        withdrawal(replace(base, **change))
    assert problem.value.field == field


@pytest.mark.parametrize("base", [NAIL, SCREW, LAG])
def test_softer_wood_holds_less(base):
    assert withdrawal(replace(base, specific_gravity=0.42)).capacity < withdrawal(base).capacity
