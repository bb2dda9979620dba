"""A panel nailed with other nails than specified: by the table's row, by yield values, or nothing."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engineering.inputs import Nail, Sheathing
from engineering.nail_substitution import nailing_factor

EIGHT = Sheathing(
    grade="Sheathing", thickness="15/32", nail="8d", nail_diameter_in=0.131, nail_length_in=2.5, finish="hot-dip"
)
TEN = replace(EIGHT, nail="10d", nail_diameter_in=0.148, nail_length_in=3.0)


def nail(diameter_in, length_in, finish="hot-dip"):
    return Nail(key="used", name="used", kind="box", diameter_in=diameter_in, length_in=length_in, finish=finish)


def factor(sheathing, used, gravity=0.5, spacing_in=6):
    return nailing_factor(sheathing, used, spacing_in, gravity)


def test_the_tables_row_of_the_nail_used():
    """15/32 Sheathing at 6 in: 8d 730 plf for 10d 870 plf."""
    step = factor(TEN, nail(0.131, 2.5))
    assert step.value == pytest.approx(730 / 870)
    assert "row of the nail used" in step.source.clause


def test_a_hot_dip_box_nail_is_the_tables_own():
    assert factor(EIGHT, nail(0.113, 2.5)).value == 1


def test_a_bright_box_nail_counts_by_yield_values():
    step = factor(replace(EIGHT, finish="bright"), nail(0.113, 2.5, "bright"))
    assert 0.7 < step.value < 0.9
    assert step.value == pytest.approx(step.inputs["Z used"] / step.inputs["Z"])
    assert "no row of the table" in step.expression


def test_a_heavier_nail_earns_nothing():
    assert factor(EIGHT, nail(0.148, 3.0)).value == 1


def test_a_nail_that_hardly_reaches_the_framing_counts_nothing_with_its_reason():
    step = factor(EIGHT, nail(0.131, 1.0))
    assert step.value == 0
    assert "0.131 × 1 in" in step.expression


@given(
    st.floats(0.09, 0.16), st.floats(0.09, 0.16), st.floats(1.5, 3.5), st.floats(0.31, 0.73)
)  # fmt: skip
def test_a_thinner_nail_is_never_better(first, second, length_in, gravity):
    thin, thick = (
        factor(EIGHT, nail(diameter, length_in, "bright"), gravity).value for diameter in sorted((first, second))
    )
    # Nails of the table count by their row, others by yield values; 6 D of penetration may rule a thick one out.
    assert thin <= thick + 1e-9 or thick == 0 or thin == 1


@pytest.mark.parametrize("length_in", [1.3, 1.5, 1.8, 2.0, 2.5])
def test_a_shorter_nail_is_never_better(length_in):
    assert factor(EIGHT, nail(0.125, length_in)).value <= factor(EIGHT, nail(0.125, length_in + 0.1)).value + 1e-9
