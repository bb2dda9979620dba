"""NDS 2018 Table 12K: lag screws through steel side plates, read in a scan of the printed page."""

import pytest

from engineering.dowels import single_shear
from engineering.inputs import DowelInputs
from tests.published.printed import as_printed, rows, status

ROWS = rows("nds_12K_lag_steel_side.csv")
A653_GRADE_33_BEARING_PSI = 61850  # the table's own note
TIP_IN = {0.25: 0.15625, 0.3125: 0.1875, 0.375: 0.21875}


def test_the_table_is_whole():
    assert len(ROWS) == 145


@pytest.mark.parametrize(
    "row",
    ROWS,
    ids=lambda r: f"12K {r['ts_in']} in plate, {r['D_in']} in, G {r['G_main']}, {r['theta_main_deg']} deg: {status(r)}",
)
def test_matches_the_printed_value(row):
    diameter_in = float(row["D_in"])
    check = single_shear(
        DowelInputs(
            fastener="lag screw",
            diameter_in=diameter_in,
            thread_in_shear_plane=True,
            main_specific_gravity=float(row["G_main"]),
            main_angle_deg=float(row["theta_main_deg"]),
            penetration_in=8 * diameter_in + TIP_IN[diameter_in],  # the table: 8 D, tip not counted
            side_kind="steel",
            side_bearing_psi=A653_GRADE_33_BEARING_PSI,
            side_bearing_in=float(row["ts_in"]),
            load_duration=1.0,
        )
    )
    assert as_printed(check.capacity, 10) == float(row["Z_lb"])
    assert check.step("mode").value == row["recomputed_mode"]
