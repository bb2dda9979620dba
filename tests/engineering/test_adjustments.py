"""Adjustment factors: which apply, in what order they are printed, and that each only takes away."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engineering.dowels import single_shear
from engineering.errors import OutOfRange
from engineering.inputs import FastenerRow, Placing, WithdrawalInputs
from engineering.withdrawal import withdrawal
from tests.engineering.dowel_cases import BOLT, NAIL

ROOMY = Placing(end_in=3.5, end_load="tension", edge_in=1.75, spacing_in=2.0)
ROW = FastenerRow(
    count=3, spacing_in=2, main_area_in2=12.25, main_modulus_psi=1.6e6, side_area_in2=5.25, side_modulus_psi=1.6e6
)
SCREW_OUT = WithdrawalInputs(fastener="lag screw", diameter_in=0.5, specific_gravity=0.5, thread_penetration_in=2)
NAIL_OUT = WithdrawalInputs(fastener="nail", diameter_in=0.148, specific_gravity=0.5, thread_penetration_in=1.5)


def test_only_the_factors_that_apply_are_printed():
    assert single_shear(NAIL).step("Zp_lb").expression == "Z·C_D"
    everything = replace(
        BOLT, moisture="wet in service", temperature_f=110, row=ROW, side_placing=ROOMY, end_grain=True
    )
    last = single_shear(everything).step("Zp_lb")
    assert last.expression == "Z·C_D·C_M·C_t·C_g·C_Δ·C_eg"
    product = 1.0
    for number in last.inputs.values():
        product *= number
    assert last.value == pytest.approx(product)
    assert set(last.inputs) == {"Z", "C_D", "C_M", "C_t", "C_g", "C_Δ", "C_eg"}


def test_every_factor_of_an_expression_is_a_step_with_its_clause():
    check = single_shear(replace(NAIL, moisture="wet throughout", temperature_f=140, end_grain=True))
    for symbol in check.step("Zp_lb").inputs:
        assert any(one.symbol == symbol and one.source.clause for one in check.steps), symbol


@pytest.mark.parametrize(
    ("base", "moisture", "factor"),
    [
        (NAIL, "dry", 1.0),
        (NAIL, "wet in service", 0.7),
        (NAIL, "wet throughout", 0.7),
        (NAIL, "fabricated wet", 0.7),  # the smaller of two readings for D < 1/4 in
        (BOLT, "wet in service", 0.7),
        (BOLT, "fabricated wet", 0.4),  # nothing shows one row
        (replace(BOLT, side_placing=ROOMY), "fabricated wet", 1.0),  # one row along the grain
        (replace(BOLT, side_placing=replace(ROOMY, rows=2, row_spacing_in=1.0)), "fabricated wet", 0.4),
        (
            replace(BOLT, side_angle_deg=90, side_placing=replace(ROOMY, loaded_edge_in=2.0)),
            "fabricated wet",
            0.4,  # the row runs across the grain
        ),
    ],
)
def test_moisture(base, moisture, factor):
    assert single_shear(replace(base, moisture=moisture)).capacity == pytest.approx(
        factor * single_shear(base).capacity
    )


@pytest.mark.parametrize(
    ("moisture", "temperature_f", "factor"),
    [
        ("dry", 100, 1.0), ("dry", 101, 0.8), ("dry", 125, 0.8), ("dry", 126, 0.7), ("dry", 150, 0.7),
        ("wet in service", 100, 1.0), ("wet in service", 125, 0.7), ("wet in service", 150, 0.5),
        ("fabricated wet", 125, 0.8),  # dry once in service
    ],
)  # fmt: skip
def test_temperature(moisture, temperature_f, factor):
    base = replace(NAIL, moisture=moisture)
    hot = single_shear(replace(base, temperature_f=temperature_f))
    assert hot.capacity == pytest.approx(factor * single_shear(base).capacity)


@pytest.mark.parametrize("base", [NAIL, NAIL_OUT])
def test_hotter_than_the_table_is_refused(base):
    with pytest.raises(OutOfRange, match="150") as problem:
        replace(base, temperature_f=151)
    assert problem.value.field == "temperature_f"


def test_end_grain_of_a_nail_is_the_factor_alone():
    assert single_shear(replace(NAIL, end_grain=True)).capacity == pytest.approx(0.67 * single_shear(NAIL).capacity)


def test_end_grain_of_a_bolt_bears_across_the_grain_as_well():
    check = single_shear(replace(BOLT, end_grain=True))
    assert check.step("Fem_psi").value == 3150  # across, though the load runs along no grain
    assert check.step("K_theta").value == 1.25
    across = single_shear(replace(BOLT, main_angle_deg=90)).capacity
    assert check.capacity == pytest.approx(0.67 * across)


def test_nothing_but_a_lag_is_pulled_from_end_grain():
    lag = withdrawal(replace(SCREW_OUT, end_grain=True))
    assert lag.capacity == pytest.approx(0.75 * withdrawal(SCREW_OUT).capacity)
    with pytest.raises(OutOfRange, match="holds nothing there") as problem:
        replace(NAIL_OUT, end_grain=True)
    assert problem.value.field == "end_grain"


@pytest.mark.parametrize(
    ("base", "moisture", "factor"),
    [
        (SCREW_OUT, "fabricated wet", 1.0),
        (SCREW_OUT, "wet in service", 0.7),
        (NAIL_OUT, "fabricated wet", 0.25),
        (NAIL_OUT, "wet in service", 0.25),
        (NAIL_OUT, "wet throughout", 1.0),
        (replace(NAIL_OUT, toenail=True), "wet in service", 1.0),  # a toenail takes no C_M
    ],
)
def test_moisture_in_withdrawal(base, moisture, factor):
    assert withdrawal(replace(base, moisture=moisture)).capacity == pytest.approx(factor * withdrawal(base).capacity)


@given(
    st.sampled_from([NAIL, BOLT]),
    st.sampled_from(["fabricated wet", "wet in service", "wet throughout"]),
    st.floats(-40, 150),
    st.floats(-40, 150),
)
def test_wetter_or_hotter_is_never_stronger(base, moisture, first, second):
    cool, hot = sorted((first, second))
    dry = single_shear(replace(base, temperature_f=cool)).capacity
    assert single_shear(replace(base, temperature_f=hot)).capacity <= dry
    assert single_shear(replace(base, temperature_f=cool, moisture=moisture)).capacity <= dry
