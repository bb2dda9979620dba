"""NDS 2018 Table 12.3.3, dowel bearing strength. From memory: the printed table's formulas, to 50 psi."""

import pytest

from engineering.dowel_bearing import wood_bearing_psi
from tests.published.printed import rows

ROWS = rows("nds_12_3_3_Fe.csv")
ACROSS = {"1/4": 0.25, "5/16": 0.3125, "3/8": 0.375, "7/16": 0.4375, "1/2": 0.5, "5/8": 0.625, "3/4": 0.75,
          "7/8": 0.875, "1": 1.0}  # fmt: skip


@pytest.mark.parametrize("row", ROWS, ids=lambda r: f"12.3.3 G {r['G']}: from memory")
def test_matches_the_table(row):
    gravity = float(row["G"])
    assert wood_bearing_psi(specific_gravity=gravity, diameter_in=0.148) == float(row["Fe_D_lt_1/4_psi"])
    assert wood_bearing_psi(specific_gravity=gravity, diameter_in=0.5) == float(row["Fe_par_psi"])
    for name, diameter_in in ACROSS.items():
        across = wood_bearing_psi(specific_gravity=gravity, diameter_in=diameter_in, angle_deg=90)
        assert across == float(row[f"Fe_perp_{name}"]), name
