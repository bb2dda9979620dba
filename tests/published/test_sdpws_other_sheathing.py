"""Sheathing found on walls, row by row: SDPWS 2008/2015 Tables 4.3A, 4.3C and 4.3D. Read only where the row says so.

v_n of 2021 is the former wind column; gypsum has the same value in both columns.
"""

import pytest

from engineering.found_sheathing import materials
from tests.published.printed import rows

PRINTED = rows("sdpws_other_sheathing.csv")
# Our names, in the order of the printed rows; the single diagonal boards, from memory alone, have no printed row here.
NAMES = [name for name in materials() if not name.startswith("diagonal")]


@pytest.mark.parametrize(
    ("name", "row"),
    list(zip(NAMES, PRINTED, strict=True)),
    ids=[f"SDPWS {row['table']} {name}: {row['status']}" for name, row in zip(NAMES, PRINTED, strict=True)],
)
def test_nominal_shear_is_the_wind_column(name, row):
    assert name.split(",")[0].split(" 1")[0].split(" 3")[0].split(" 5")[0] in row["material"].replace("+", "and")
    assert materials()[name].nominal_plf == float(row["v_w_plf"])
    assert materials()[name].source.read.startswith("https") is row["status"].startswith("read")


@pytest.mark.parametrize("row", [row for row in PRINTED if row["table"] == "4.3D"], ids=lambda row: row["material"])
def test_lumber_keeps_the_ratio_of_1_4_between_the_printed_columns(row):
    assert float(row["v_w_plf"]) == pytest.approx(1.4 * float(row["v_s_plf"]), abs=2.5)
