"""Lag screws, nails and bolts at the sizes of NDS Tables 12J, 12P and 12E, computed a second time. Not printed cells.

The file is another computation from the same equations, with the conventions that reproduce the read cells of Table
12K. It shows that the two programs agree over these tables, not that the tables do.
"""

import pytest

from engineering.dowels import single_shear
from engineering.inputs import DowelInputs
from tests.published.printed import as_printed, rows

ROWS = rows("nds_computed_12J_12P_12E.csv")
TIP_IN = {0.25: 0.15625, 0.3125: 0.1875, 0.375: 0.21875, 0.5: 0.3125}
# Direction of the column: angle to grain in the main and in the side member.
ANGLES_DEG = {"Zpar": (0, 0), "Zs_perp": (0, 90), "Zm_perp": (90, 0), "Zperp": (90, 90), "Z": (0, 0)}


def _dowel(row):
    diameter_in, gravity = float(row["D_in"]), float(row["G"])
    main_deg, side_deg = ANGLES_DEG[row["direction"]]
    given = {"diameter_in": diameter_in, "side_bearing_in": float(row["ts_in"]), "load_duration": 1.0}
    if row["table_layout"] == "12E":
        return DowelInputs(fastener="bolt", main_kind="concrete", penetration_in=6, side_specific_gravity=gravity,
                           side_angle_deg=90 if row["direction"] == "Zperp" else 0, **given)  # fmt: skip
    if row["table_layout"] == "12P":
        return DowelInputs(fastener="nail", main_specific_gravity=gravity, penetration_in=10 * diameter_in,
                           side_kind="steel", side_steel="ASTM A653 grade 33", **given)  # fmt: skip
    return DowelInputs(fastener="lag screw", thread_in_shear_plane=True, main_specific_gravity=gravity,
                       main_angle_deg=main_deg, penetration_in=8 * diameter_in + TIP_IN[diameter_in],
                       side_specific_gravity=gravity, side_angle_deg=side_deg, **given)  # fmt: skip


def test_the_file_is_whole():
    assert {table: sum(row["table_layout"] == table for row in ROWS) for table in ("12J", "12P", "12E")} == {
        "12J": 448,
        "12P": 131,
        "12E": 84,
    }


@pytest.mark.parametrize("table", ["12J", "12P", "12E"])
def test_agrees_with_the_other_computation(table):
    wrong = []
    for row in ROWS:
        if row["table_layout"] != table:
            continue
        check = single_shear(_dowel(row))
        same = check.capacity == pytest.approx(float(row["Z_exact_lb"]), abs=0.006)
        printed = as_printed(check.capacity, 1 if table == "12P" else 10) == float(row["Z_rounded_lb"])
        if not same or not printed or check.step("mode").value != row["mode"]:
            wrong.append((row, check.capacity, check.step("mode").value))
    assert not wrong
