"""NDS 2018 Table 12.2A: lag screw withdrawal per inch of thread, read in a scan of the printed page."""

import pytest

from engineering.inputs import WithdrawalInputs
from engineering.withdrawal import withdrawal
from tests.published.printed import as_printed, rows, status

ROWS = rows("nds_12_2A_lag_withdrawal.csv")


@pytest.mark.parametrize("row", ROWS, ids=lambda r: f"12.2A {r['D_in']} in, G {r['G']}: {status(r)}")
def test_matches_the_printed_value(row):
    diameter_in = float(row["D_in"])
    check = withdrawal(
        WithdrawalInputs(
            fastener="lag screw",
            diameter_in=diameter_in,
            specific_gravity=float(row["G"]),
            thread_penetration_in=8 * diameter_in,
            load_duration=1.0,
        )
    )
    per_inch = check.step("W_lb_per_in").value
    assert as_printed(per_inch, 1) == float(row["W_lb_per_in_thread"])
    assert check.capacity == pytest.approx(per_inch * 8 * diameter_in)
