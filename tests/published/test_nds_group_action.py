"""NDS Table 11.3.6A, group action factors of bolts with wood side plates. All cells are from memory and say so."""

import pytest

from engineering.group_action import group_action_factor
from engineering.inputs import FastenerRow
from tests.published.printed import rows, status

ROWS = rows("nds_11_3_6A_group_action.csv")
MODULUS_PSI = 1_400_000  # with D = 1 in and s = 4 in: what the table is made for


@pytest.mark.parametrize("row", ROWS, ids=lambda r: f"11.3.6A As {r['As_in2']} in2, n {r['n']}: {status(r)}")
def test_matches_the_printed_value(row):
    side_in2 = float(row["As_in2"])
    fasteners = FastenerRow(
        count=int(row["n"]),
        spacing_in=4,
        main_area_in2=side_in2 / float(row["As_over_Am"]),
        main_modulus_psi=MODULUS_PSI,
        side_area_in2=side_in2,
        side_modulus_psi=MODULUS_PSI,
    )
    assert group_action_factor(fasteners, 1.0, metal=False)[-1].value == pytest.approx(float(row["Cg"]), abs=0.005)
