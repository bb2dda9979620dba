"""NDS 2018 Table 12N: nails, both members of one wood, penetration 10 D. Most cells are from memory and say so."""

import pytest

from engineering.dowels import single_shear
from engineering.inputs import DowelInputs
from tests.published.printed import as_printed, rows, status

ROWS = rows("nds_12N_nail_wood_side.csv")


def test_the_table_is_whole():
    assert len(ROWS) == 94


@pytest.mark.parametrize(
    "row", ROWS, ids=lambda r: f"12N {r['ts_in']} in side, {r['D_in']} in, G {r['G_both']}: {status(r)}"
)
def test_matches_the_printed_value(row):
    diameter_in, specific_gravity = float(row["D_in"]), float(row["G_both"])
    check = single_shear(
        DowelInputs(
            fastener="nail",
            diameter_in=diameter_in,
            main_specific_gravity=specific_gravity,
            penetration_in=10 * diameter_in,
            side_specific_gravity=specific_gravity,
            side_bearing_in=float(row["ts_in"]),
            load_duration=1.0,
        )
    )
    assert as_printed(check.capacity, 1) == float(row["Z_lb"])
    assert check.step("mode").value == row["recomputed_mode"]
