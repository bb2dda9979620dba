"""Worked examples for wood: P1 to P5 and P7 as published, C1 to C5 our own hand calculation, within 0.3 %.

Some used bearing strengths that were not rounded to 50 psi; that is most of the 0.3 %.
"""

import json
from dataclasses import replace

import pytest

from engineering.dowels import single_shear
from engineering.errors import OutOfRange
from engineering.inputs import DowelInputs, WithdrawalInputs
from engineering.withdrawal import withdrawal
from tests.published.printed import FOLDER

EXAMPLES = {
    example["id"]: example
    for example in json.loads((FOLDER / "examples_wood.json").read_text(encoding="utf-8"))["examples"]
}
WITHIN = 0.003


def test_p1_published_16d_nail_through_a_layer_that_the_example_ignores():
    """A letter's own sum: the table's 141 lb times p/10 D, across 3/4 in of sheathing taken as if it were not there."""
    given, stated = EXAMPLES["P1"]["inputs"], EXAMPLES["P1"]["stated"]
    nail = DowelInputs(
        fastener="nail",
        diameter_in=0.162,
        length_in=3.5,
        main_specific_gravity=given["G"],
        side_specific_gravity=given["G"],
        side_bearing_in=given["ls"],
        penetration_in=given["p"],
        load_duration=given["CD"],
    )
    touching = single_shear(nail)
    assert round(touching.step("Z_lb").value) == stated["Z_table"]
    assert touching.step("penetration_over_D").value / 10 == pytest.approx(0.7716, abs=1e-4)
    across = single_shear(replace(nail, penetration_in=None, gap_in=given["gap_sheathing"]))
    assert across.step("penetration_in").value == given["p"]
    # The layer bends the nail: even the shortcut of the example, meant to be careful, gave too much.
    assert across.capacity < 0.6 * stated["Zprime_lb"] < stated["Zprime_lb"] < touching.capacity


def test_p5_published_bolt_of_the_row_tear_out_example():
    given, stated = EXAMPLES["P5"]["inputs"], EXAMPLES["P5"]["stated"]
    check = single_shear(
        DowelInputs(
            fastener="bolt",
            diameter_in=given["D"],
            main_specific_gravity=0.43,  # Hem-Fir, inferred: the text that was read names no species
            main_thickness_in=given["lm"],
            side_specific_gravity=0.43,
            side_bearing_in=given["ls"],
            load_duration=1.0,
        )
    )
    assert check.capacity == pytest.approx(stated["Zpar_each"], rel=WITHIN)


def test_p2_published_10d_nail_in_single_shear():
    given, stated = EXAMPLES["P2"]["inputs"], EXAMPLES["P2"]["stated"]
    check = single_shear(
        DowelInputs(
            fastener="nail",
            diameter_in=0.148,
            length_in=3,
            main_specific_gravity=given["G"],
            side_specific_gravity=given["G"],
            side_bearing_in=given["ls"],
            load_duration=1.0,
        )
    )
    assert check.step("lm_in").value == given["lm"]
    assert check.step("Fyb_psi").value == given["Fyb"]
    assert check.step("mode").value == "IIIs"
    assert check.capacity == pytest.approx(stated["Z_lb"], rel=WITHIN)


def test_p3_published_nail_withdrawal():
    given, stated = EXAMPLES["P3"]["inputs"], EXAMPLES["P3"]["stated"]
    check = withdrawal(
        WithdrawalInputs(
            fastener="nail",
            diameter_in=0.131,
            specific_gravity=given["G"],
            thread_penetration_in=given["pt"],
            load_duration=1.0,
        )
    )
    assert check.step("W_lb_per_in").value == pytest.approx(stated["W_lb_in"], rel=WITHIN)
    assert check.capacity == pytest.approx(stated["total_lb"], rel=WITHIN)


def test_p4_published_lag_withdrawal():
    given, stated = EXAMPLES["P4"]["inputs"], EXAMPLES["P4"]["stated"]
    check = withdrawal(
        WithdrawalInputs(
            fastener="lag screw",
            diameter_in=0.5,
            specific_gravity=given["G"],
            thread_penetration_in=given["pt_used"],
            load_duration=1.0,
        )
    )
    assert check.capacity == pytest.approx(stated["W_total_lb"], rel=WITHIN)


def test_p7_published_least_penetration_of_a_half_inch_lag():
    stated = EXAMPLES["P7"]["stated"]["p_min_excl_tip"]
    tip_in = 0.3125

    def lag(penetration_in):
        return single_shear(
            DowelInputs(
                fastener="lag screw",
                diameter_in=0.5,
                thread_in_shear_plane=True,
                main_specific_gravity=0.5,
                penetration_in=penetration_in,
                side_specific_gravity=0.5,
                side_bearing_in=1.5,
            )
        )

    assert lag(stated + tip_in).step("min_penetration_4D_in").value == stated
    with pytest.raises(OutOfRange, match="4 D and the tip"):
        lag(stated + tip_in - 0.01)


LAGS = {
    "C1": {
        "diameter_in": 0.375,
        "length_in": 3,
        "thread_in": 2,  # the shank crosses the shear plane, and still more than a quarter bears on thread
        "main_specific_gravity": 0.5,
        "side_kind": "steel",
        "side_bearing_psi": 87000,
        "side_bearing_in": 0.25,
    },
    "C2": {
        "diameter_in": 0.3125,
        "length_in": 4,
        "thread_in_shear_plane": True,
        "main_specific_gravity": 0.5,
        "side_specific_gravity": 0.5,
        "side_bearing_in": 1.5,
    },
    "C3": {
        "diameter_in": 0.25,
        "length_in": 3,
        "thread_in_shear_plane": True,
        "main_specific_gravity": 0.5,
        "main_angle_deg": 90,
        "side_specific_gravity": 0.5,
        "side_bearing_in": 1.5,
    },
}


@pytest.mark.parametrize("name", LAGS, ids=lambda name: f"{name} our own hand calculation")
def test_lag_screws(name):
    answer = EXAMPLES[name]["answer"]
    check = single_shear(DowelInputs(fastener="lag screw", load_duration=1.0, **LAGS[name]))
    assert check.step("penetration_excl_tip_in").value == pytest.approx(answer["p_excl_tip"], abs=1e-4)
    assert check.step("lm_in").value == pytest.approx(answer["lm"], abs=1e-4)
    for mode, z_lb in answer["modes"].items():
        # Modes in proportion to a bearing strength differ by its rounding, 0.35 % across the grain at 1/4 in.
        assert check.step(f"Z_{mode}_lb").value == pytest.approx(z_lb, rel=0.0036), mode
    assert check.capacity == pytest.approx(answer["Z"], rel=WITHIN)
    assert check.step("mode").value == answer["mode"]


def test_c4_toenail_our_own_hand_calculation():
    answer = EXAMPLES["C4"]["answer"]
    check = single_shear(
        DowelInputs(
            fastener="nail",
            diameter_in=0.131,
            length_in=2.5,
            main_specific_gravity=0.5,
            side_specific_gravity=0.5,
            toenail=True,
        )
    )
    assert check.step("ls_in").value == pytest.approx(answer["ls"], abs=1e-4)
    assert check.step("penetration_in").value == pytest.approx(answer["p"], abs=1e-4)
    assert check.step("lm_in").value == pytest.approx(answer["lm"], abs=1e-4)
    assert check.step("Z_lb").value == pytest.approx(answer["Z"], rel=WITHIN)
    assert check.step("mode").value == answer["mode"]
    assert check.capacity == pytest.approx(answer["Zprime(CD,Ctn .83)"], rel=WITHIN)


def test_c5_sill_bolt_our_own_hand_calculation():
    answer = EXAMPLES["C5"]["answer"]
    check = single_shear(
        DowelInputs(
            fastener="bolt",
            diameter_in=0.625,
            main_kind="concrete",
            penetration_in=6,
            side_specific_gravity=0.43,
            side_bearing_in=1.5,
            load_duration=1.0,
        )
    )
    assert check.capacity == pytest.approx(answer["Z"], rel=WITHIN)
    assert round(check.capacity, -1) == answer["Z_table"]
    assert round(check.capacity, -1) * 1.6 == answer["Zprime_from_table"]
