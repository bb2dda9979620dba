"""SDPWS 2021 Table 4.3A against a second witness: allowable values of the 1997 UBC, Table 23-II-I-1 (read).

v_n of 2021 is the former wind value, 1.4 times the seismic one, and its ASD seismic divisor 2.8 stands for 2.0 · 1.4:
v_n/2.8 gives the old allowable value back within the rounding of v_n to 5 plf.
"""

import pytest

from engineering.inputs import Sheathing
from engineering.shear_panels import ASD_SEISMIC_DIVISOR, nominal_unit_shear
from tests.published.printed import rows

DIAMETER_IN = {"6d": 0.113, "8d": 0.131, "10d": 0.148}
CASES = [(row, spacing) for row in rows("ubc97_23_II_I_1_wsp_asd.csv") for spacing in (6, 4, 3, 2)]


@pytest.mark.parametrize(
    ("row", "spacing_in"),
    CASES,
    ids=[f"UBC 23-II-I-1 {r['grade']} {r['thickness_in']} {r['common_nail']} at {s} in: read" for r, s in CASES],
)
def test_allowable_value_agrees_with_the_older_code(row, spacing_in):
    sheathing = Sheathing(
        grade=row["grade"],
        thickness=row["thickness_in"],
        nail=row["common_nail"],
        nail_diameter_in=DIAMETER_IN[row["common_nail"]],
        nail_length_in=2.5,
        finish="bright",
    )
    nominal = nominal_unit_shear(sheathing, spacing_in)
    assert nominal.value / ASD_SEISMIC_DIVISOR == pytest.approx(float(row[f"{spacing_in}in"]), abs=5)


@pytest.mark.parametrize(("spacing_in", "read"), [(6, True), (4, False), (3, True), (2, True)])
def test_a_value_says_whether_it_was_read(spacing_in, read):
    sheathing = Sheathing(
        grade="Sheathing", thickness="15/32", nail="8d", nail_diameter_in=0.131, nail_length_in=2.5, finish="hot-dip"
    )
    assert nominal_unit_shear(sheathing, spacing_in).source.read.startswith("https" if read else "from memory")
