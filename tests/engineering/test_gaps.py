"""What lies between two members and bears nothing: air, shims, a layer of sheathing."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engineering.dowels import single_shear
from engineering.errors import OutOfRange
from engineering.fasteners import sill_bolt
from engineering.inputs import DowelInputs
from tests.engineering.dowel_cases import FIR, SILL_BOLT

NAIL = DowelInputs(
    fastener="nail",
    diameter_in=0.162,
    length_in=3.5,
    main_specific_gravity=0.5,
    side_specific_gravity=0.5,
    side_bearing_in=1.5,
)


def test_a_layer_takes_from_the_penetration():
    check = single_shear(replace(NAIL, gap_in=0.75))
    assert check.step("penetration_in").expression == "L − ls − g"
    assert check.step("penetration_in").value == pytest.approx(1.25)


def test_a_layer_too_thick_leaves_too_little_penetration():
    with pytest.raises(OutOfRange, match="6 D") as problem:
        single_shear(replace(NAIL, gap_in=1.1))
    assert problem.value.field == "penetration_in"


def test_a_bolt_across_a_gap_by_hand():
    """Mode IV at g: A·P² + g·P − 2·M = 0 with q = Fe·D, M = Fyb·D³/6, Z = P/3.2, on paper."""
    check = single_shear(replace(SILL_BOLT, gap_in=1.0, load_duration=1.0))
    # qs = 2 800, qm = 3 750 lb/in; M = 45 000/48 = 937.5 in·lb; A = 1/5 600 + 1/7 500 = 3.11905e-4
    assert check.step("A_IV").value == pytest.approx(3.11905e-4, rel=1e-5)
    # P = (−1 + √(1 + 8·A·M)) / (2·A) = 0.82737 / 6.2381e-4 = 1 326.3 lb
    assert check.step("Z_IV_lb").value == pytest.approx(1326.3 / 3.2, abs=0.1)


def test_a_gap_under_a_sill_bends_its_bolts():
    tight, shimmed = (sill_bolt(0.5, FIR, 1.5, 7, load_duration=1.6, gap_in=gap_in) for gap_in in (0.0, 0.5))
    assert shimmed.capacity < 0.8 * tight.capacity
    assert shimmed.step("gap_in").value == 0.5
    assert "g" in shimmed.step("B_IV").inputs


def test_a_toenail_holds_only_members_that_touch():
    with pytest.raises(OutOfRange, match="touch") as problem:
        replace(NAIL, toenail=True, side_bearing_in=None, gap_in=0.1)
    assert problem.value.field == "gap_in"


@pytest.mark.parametrize("gap_in", [-0.1, 13, float("nan")])
def test_a_gap_that_can_not_be_is_refused(gap_in):
    with pytest.raises(OutOfRange) as problem:
        replace(SILL_BOLT, gap_in=gap_in)
    assert problem.value.field == "gap_in"


@given(st.floats(0, 6), st.floats(0, 6))
def test_a_wider_gap_is_never_stronger(first, second):
    narrow, wide = sorted((first, second))
    strong, weak = (single_shear(replace(SILL_BOLT, gap_in=gap_in)).capacity for gap_in in (narrow, wide))
    assert weak <= strong * (1 + 1e-9)


@given(st.floats(0.5, 2), st.floats(0.01, 2))
def test_double_every_length_and_gap_and_the_value_is_four_times(scale, gap_in):
    base = replace(SILL_BOLT, bending_yield_psi=45000, penetration_in=4, gap_in=gap_in)
    scaled = replace(
        base, diameter_in=0.5 * scale, side_bearing_in=1.5 * scale, penetration_in=4 * scale, gap_in=gap_in * scale
    )
    assert single_shear(scaled).capacity == pytest.approx(single_shear(base).capacity * scale**2)


@given(st.floats(0.31, 0.73), st.floats(0.31, 0.73), st.floats(0.01, 3))
def test_softer_wood_across_a_gap_is_never_stronger(first, second, gap_in):
    soft, hard = sorted((first, second))
    weak, strong = (
        single_shear(replace(SILL_BOLT, gap_in=gap_in, side_specific_gravity=g)).capacity for g in (soft, hard)
    )
    assert weak <= strong * (1 + 1e-12)
