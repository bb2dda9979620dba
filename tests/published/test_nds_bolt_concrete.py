"""NDS 2018 Table 12E: anchor bolts, wood plate to concrete, 6 in embedment. All cells are from memory and say so."""

import pytest

from engineering.dowels import single_shear
from engineering.inputs import DowelInputs
from tests.published.printed import as_printed, rows, status

ROWS = rows("nds_12E_bolt_concrete.csv")


@pytest.mark.parametrize(
    "row", ROWS, ids=lambda r: f"12E {r['D_in']} in, G {r['G_side']}, {r['theta_side_deg']} deg: {status(r)}"
)
def test_matches_the_printed_value(row):
    check = single_shear(
        DowelInputs(
            fastener="bolt",
            diameter_in=float(row["D_in"]),
            main_kind="concrete",
            penetration_in=6,
            side_specific_gravity=float(row["G_side"]),
            side_angle_deg=float(row["theta_side_deg"]),
            side_bearing_in=float(row["ts_in"]),
            load_duration=1.0,
        )
    )
    assert as_printed(check.capacity, 10) == float(row["Z_lb"])
    assert check.step("mode").value == row["recomputed_mode"]
