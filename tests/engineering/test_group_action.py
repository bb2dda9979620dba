"""Group action: against the elastic row solved with NumPy, and how it moves with its causes."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from engineering.dowels import single_shear
from engineering.errors import OutOfRange
from engineering.group_action import group_action_factor
from engineering.inputs import DowelInputs, FastenerRow

ROW = FastenerRow(
    count=5, spacing_in=4, main_area_in2=16.5, main_modulus_psi=1.6e6, side_area_in2=8.25, side_modulus_psi=1.6e6
)
BOLT = DowelInputs(
    fastener="bolt",
    diameter_in=0.625,
    main_specific_gravity=0.5,
    main_thickness_in=3.5,
    side_specific_gravity=0.5,
    side_bearing_in=1.5,
)


def factor(row, diameter_in=0.75, *, metal=False):
    return group_action_factor(row, diameter_in, metal=metal)[-1].value


def elastic_share(row, slip_lb_per_in):
    """Mean over largest load in a row of springs between two bars, pulled apart at their far ends: no formula of a row.

    Unknown: how far each bar has moved at each fastener. A stretch of bar is a spring of EA/s, a fastener one of slip.
    """
    n = row.count
    main, side = (
        modulus * area / row.spacing_in
        for modulus, area in (
            (row.main_modulus_psi, row.main_area_in2),
            (row.side_modulus_psi, row.side_area_in2),
        )
    )
    stiffness, force = np.zeros((2 * n, 2 * n)), np.zeros(2 * n)
    springs = [(i, n + i, slip_lb_per_in) for i in range(n)]
    springs += [(i, i + 1, main) for i in range(n - 1)] + [(n + i, n + i + 1, side) for i in range(n - 1)]
    for one, other, k in springs:
        stiffness[[one, other], [one, other]] += k
        stiffness[[one, other], [other, one]] -= k
    force[0], force[2 * n - 1] = -1.0, 1.0  # the main member pulls at one end, the side member at the other
    moved = np.zeros(2 * n)
    moved[1:] = np.linalg.solve(stiffness[1:, 1:], force[1:])
    loads = slip_lb_per_in * (moved[n:] - moved[:n])
    assert loads.sum() == pytest.approx(1.0)
    return 1 / (n * loads.max())


rows = st.builds(
    FastenerRow,
    count=st.integers(2, 12),
    spacing_in=st.floats(1.5, 12),
    main_area_in2=st.floats(2, 60),
    main_modulus_psi=st.floats(1.0e6, 2.0e6),
    side_area_in2=st.floats(1, 60),
    side_modulus_psi=st.sampled_from([1.2e6, 1.6e6, 29e6]),
)


@given(rows, st.sampled_from([0.25, 0.5, 0.75, 1.0]), st.booleans())
def test_the_formula_is_the_elastic_row(row, diameter_in, metal):
    slip = (270_000 if metal else 180_000) * diameter_in**1.5
    assert factor(row, diameter_in, metal=metal) == pytest.approx(elastic_share(row, slip), rel=1e-7)


def test_one_fastener_carries_its_whole_value():
    assert factor(replace(ROW, count=1)) == pytest.approx(1.0)


@given(rows, st.sampled_from([0.25, 0.5, 1.0]))
def test_more_fasteners_never_share_better(row, diameter_in):
    longer = replace(row, count=row.count + 1)
    assert factor(longer, diameter_in) <= factor(row, diameter_in) + 1e-9


def test_the_row_counts_from_a_quarter_inch_up():
    check = single_shear(replace(BOLT, row=ROW))
    assert check.capacity == pytest.approx(single_shear(BOLT).capacity * factor(ROW, 0.625))
    assert check.step("Zp_lb").expression == "Z·C_D·C_g"
    nail = replace(BOLT, fastener="nail", diameter_in=0.162, length_in=3.5, row=ROW)
    assert "C_g" not in single_shear(nail).step("Zp_lb").expression


def test_steel_side_plates_slip_less():
    steel = {"side_kind": "steel", "side_specific_gravity": None, "side_steel": "ASTM A36", "side_bearing_in": 0.25}
    check = single_shear(replace(BOLT, row=ROW, **steel))
    assert check.step("gamma_lb_per_in").value == pytest.approx(270_000 * 0.625**1.5)


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"count": 0}, "count"),
        ({"spacing_in": 0}, "spacing_in"),
        ({"main_area_in2": -1}, "main_area_in2"),
        ({"side_modulus_psi": 50}, "side_modulus_psi"),
    ],
)
def test_refuses(change, field):
    with pytest.raises(OutOfRange) as problem:
        replace(ROW, **change)
    assert problem.value.field == field
