"""Overturning of a panel: a sheet of a public permit record, and our own composed problem C7."""

from __future__ import annotations

import json

import pytest

from engineering.house import assess
from engineering.tie_downs import overturning
from tests.engineering.varied import house
from tests.published.printed import FOLDER


def _example(file, name):
    examples = json.loads((FOLDER / file).read_text(encoding="utf-8"))
    return next(one for one in examples["examples"] if one["id"] == name)


L08, C7 = _example("examples_loads.json", "L08"), _example("examples_wood.json", "C7")
STATED = {"coef_0.6-0.14SDS": "dead_load_factor", "coef_1+0.14SDS": "compression_factor"}


@pytest.mark.parametrize("printed", STATED)
def test_l08_factors_of_the_asd_combinations(printed):
    """Permit record EV-17, record page 17 (read): S_DS = 0.857 is the value that reproduces what it prints."""
    check = assess(house(hazard={"s_ds_g": L08["inputs"]["SDS"]})).line("A").link("7a").check
    assert check.step(STATED[printed]).value == pytest.approx(L08["stated"][printed], rel=L08["tol"])


def test_l08_tension_and_compression_with_the_whole_length_as_arm():
    """Permit record EV-17, record page 17 (read): T = v·H − 0.5·P1, C = v·H + 0.5·P1, P1 the factored dead load."""
    unit_shear_plf, height_ft, length_ft, weight_lb = 300.0, 8.0, 10.0, 2400.0
    turned = overturning(
        shear_lb=unit_shear_plf * length_ft,
        height_ft=height_ft,
        length_ft=length_ft,
        arm_ft=length_ft,
        dead_load_plf=weight_lb / length_ft,
        dead_load_factor=L08["stated"]["coef_0.6-0.14SDS"],
        compression_factor=L08["stated"]["coef_1+0.14SDS"],
    )
    assert turned.tension_lb == pytest.approx(unit_shear_plf * height_ft - 0.5 * 0.48 * weight_lb)
    assert turned.compression_lb == pytest.approx(unit_shear_plf * height_ft + 0.5 * 1.12 * weight_lb)


def test_c7_net_tension():
    """Our own hand calculation, not published."""
    turned = overturning(
        shear_lb=350.0 * 6.0,
        height_ft=8.0,
        length_ft=6.0,
        arm_ft=5.5,
        dead_load_plf=120.0,
        dead_load_factor=0.6,
        compression_factor=1.0,
    )
    values = {step.key: step.value for step in turned.steps}
    assert values["overturning_ft_lb"] == pytest.approx(C7["answer"]["OTM"])
    assert values["dead_moment_ft_lb"] == pytest.approx(C7["answer"]["RM"])
    assert turned.tension_lb == pytest.approx(C7["answer"]["T_lb"], rel=1e-4)
