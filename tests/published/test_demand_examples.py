"""Base shear, levels, diaphragm force and a rigid floor against worked examples (examples_loads.json names each)."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest

from engineering.base_shear import base_shear, period
from engineering.diaphragm_force import diaphragm_force
from engineering.inputs import DemandInputs
from engineering.rigid_diaphragm import Stiff, rigid_shares
from engineering.seismic_demand import demand_inputs
from engineering.seismic_weight import Level
from engineering.vertical_distribution import distribution_factors, level_forces_lb
from tests.published.house_a import house_inputs
from tests.published.printed import FOLDER

EXAMPLES = {one["id"]: one for one in json.loads((FOLDER / "examples_loads.json").read_text())["examples"]}


def _house(hazard: dict[str, Any], criteria: dict[str, Any]) -> DemandInputs:
    given = demand_inputs(house_inputs())
    return replace(given, hazard=replace(given.hazard, **hazard), criteria=replace(given.criteria, **criteria))


def _values(steps: Any) -> dict[str, Any]:
    return {one.key: one.value for one in steps}


def test_l01_base_shear_of_a_masonry_building():
    """R. Taly, Design of Reinforced Masonry Structures, example 7.11: its load side."""
    example = EXAMPLES["L01"]
    given, ours = example["inputs"], example["recomputed"]
    _, period_s = period(given["hn_ft"], "2021")
    assert period_s == pytest.approx(ours["Ta_s"], rel=1e-4)
    house = _house(
        {"s_ds_g": ours["SDS"], "s_d1_g": ours["SD1"], "s_1_g": given["S1"]}, {"response_modification": given["R"]}
    )
    steps, coefficient, shear_lb = base_shear(
        house, period_s=period_s, s_ds_g=house.hazard.s_ds_g, weight_lb=ours["W_strip_lb"]
    )
    assert coefficient == pytest.approx(ours["Cs"], rel=1e-4)
    assert _values(steps)["Cs_max"] == pytest.approx(ours["Cs_upper"], rel=1e-4)
    assert shear_lb == pytest.approx(example["stated"]["F_plf"], rel=example["tol"])


def test_l01_limits_of_the_diaphragm_force():
    """R. Taly, example 7.11: 0.2 and 0.4 S_DS·I_e·w of the strip."""
    example = EXAMPLES["L01"]
    level = Level("roof", "roof", 20.0, example["recomputed"]["W_strip_lb"])
    for forces_lb, wanted in (((0.0,), "Fpx_min_plf"), ((1e6,), "Fpx_max_plf")):
        _, found_lb = diaphragm_force(0, (level,), forces_lb, example["recomputed"]["SDS"], 1.0, "2021")
        assert found_lb == pytest.approx(example["stated"][wanted], rel=example["tol"])


def test_l02_a_rigid_floor_of_four_walls():
    """R. Taly, example 7.12: rigidities 4.5, 5.5, 4, 4; 5 % accidental; the relieving torsion on wall B is not used."""
    example = EXAMPLES["L02"]
    given, ours = example["inputs"], example["recomputed"]
    lines = [Stiff(one["id"], one["dir"], one.get("x", one.get("y")), one["R"]) for one in given["walls"]]
    found = rigid_shares(
        lines,
        mass_centre_ft=tuple(given["cm"]),
        low_ft=(0.0, 0.0),
        high_ft=(given["Lx_ft"], given["Ly_ft"]),
        category="D",
        family="2021",
    )
    values = _values(found.steps)
    assert values["rigid_x_R_ft"] == pytest.approx(example["stated"]["xR_ft"])
    assert values["rigid_y_R_ft"] == pytest.approx(example["stated"]["yR_ft"])
    assert values["rigid_J"] == pytest.approx(ours["J"])
    assert values["rigid_y_e_ft"] == pytest.approx(example["stated"]["e_ft"])
    assert values["rigid_y_accidental_ft"] == pytest.approx(example["stated"]["e_acc_ft"])
    assert values["rigid_y_largest"] * given["V_kip"] == pytest.approx(ours["delta_A"], rel=1e-4)
    assert values["rigid_y_largest"] / values["rigid_y_average"] == pytest.approx(ours["ratio"], rel=1e-4)
    assert found.irregularity == ""
    for label in ("A", "B"):
        assert given["V_kip"] * found.shares[label] == pytest.approx(ours["design_kip"][label], rel=1e-5)
    torsion = next(one for one in found.steps if one.key == "rigid_share_C").inputs["y−"]
    assert given["V_kip"] * torsion == pytest.approx(ours["torsional_kip_e9"]["C"], rel=1e-4)


def test_l03_two_levels_of_a_wood_house():
    """Public permit record, house: ELF sheet with vertical distribution and diaphragm forces."""
    example = EXAMPLES["L03"]
    given, ours, stated = example["inputs"], example["recomputed"], example["stated"]
    levels = tuple(
        Level(str(one["level"]), str(one["level"]), one["h_ft"], 1000 * one["w_kip"])
        for one in sorted(given["levels"], key=lambda one: one["level"])
    )
    steps, factors, shares = distribution_factors(levels, 0.2, "2021")
    assert _values(steps)["k"] == given["k"]
    assert _values(steps)["sum_wh"] == pytest.approx(1000 * stated["sum_wh"])
    _, coefficient, shear_lb = base_shear(
        _house({}, {}), period_s=0.2, s_ds_g=given["SDS_used_for_Cs"], weight_lb=1000 * stated["W_kip"]
    )
    assert coefficient == pytest.approx(ours["Cs"], rel=1e-5)
    assert shear_lb == pytest.approx(1000 * ours["V_kip"], rel=1e-5)
    _, forces_lb = level_forces_lb(levels, factors, shear_lb, "2021")
    for index, name in ((0, "1"), (1, "2")):
        assert factors[index] == pytest.approx(ours["Cvx"][name], rel=1e-4)
        assert forces_lb[index] == pytest.approx(1000 * ours["Fx_kip"][name], rel=1e-4)
        assert shares[index] * shear_lb == pytest.approx(1000 * stated["story_shear_kip"][name], rel=example["tol"])
        # The limits keep S_DS = 1.064: the cap is of C_s alone.
        px_steps, found_lb = diaphragm_force(index, levels, forces_lb, given["SDS"], given["Ie"], "2021")
        values, weight_lb = _values(px_steps), levels[index].weight_lb
        printed = stated["Fpx_kip"][name]
        assert values[f"px_{name}_ratio"] * weight_lb == pytest.approx(1000 * printed["calc"], rel=example["tol"])
        assert values[f"px_{name}_min"] * weight_lb == pytest.approx(1000 * ours["Fpx_min"][name], rel=1e-4)
        assert values[f"px_{name}_max"] * weight_lb == pytest.approx(1000 * ours["Fpx_max"][name], rel=1e-4)
        assert found_lb == pytest.approx(1000 * printed["design"], rel=example["tol"])
    moment = sum(force * level.height_ft for force, level in zip(forces_lb, levels, strict=True))
    assert moment == pytest.approx(1000 * ours["base_moment_kft"], rel=1e-4)


@pytest.mark.parametrize("site_class", ["D", "default", "C"])
def test_l05_upper_limit_with_and_without_the_factor(site_class):
    """Public permit record, house, sheet L1.3: 0.43, times 1.5 on class D."""
    example = EXAMPLES["L05"]
    given, ours = example["inputs"], example["recomputed"]
    _, period_s = period(given["hn_ft"], "2021")
    assert period_s == pytest.approx(ours["Ta_s"], rel=1e-4)
    house = _house({"s_ds_g": 1.2, "s_d1_g": 0.6, "s_1_g": given["S1"], "t_l_s": 6.0, "site_class": site_class}, {})
    steps, coefficient, _ = base_shear(house, period_s=period_s, s_ds_g=1.2, weight_lb=1.0)
    values = _values(steps)
    assert coefficient == pytest.approx(ours["Cs"], rel=1e-5)
    assert values["Cs_max"] == pytest.approx(ours["Cs_upper_T_le_TL"], rel=1e-4)
    assert values["Cs_min"] == pytest.approx(ours["Cs_lower"], rel=1e-6)
    raised = values.get("Cs_max_raised")
    assert raised == (None if site_class == "C" else pytest.approx(ours["Cs_upper_x1.5"], rel=1e-4))
