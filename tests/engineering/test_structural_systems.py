"""Structural systems: the row's R, where it may stand and how high, and the importance of the risk category."""

from __future__ import annotations

import pytest

from engineering.errors import OutOfRange
from engineering.structural_systems import require_system, system
from tests.engineering.varied import house

PANELS = "bearing wall, wood structural panels"
OTHER = "bearing wall, other materials"


def steps(*, category="D", height_ft=20.0, **criteria):
    found = require_system(house(criteria=criteria).criteria, category=category, height_ft=height_ft)
    return {step.key: step for step in found}


@pytest.mark.parametrize(
    ("name", "factors"),
    [  # ASCE 7-16 Table 12.2-1; R of wood panels read on permit sheets, all else from memory
        (PANELS, (6.5, 3.0, 4.0)),
        (OTHER, (2.0, 2.5, 2.0)),
        ("building frame, wood structural panels", (7.0, 2.5, 4.5)),
        ("building frame, other materials", (2.5, 2.5, 2.5)),
    ],
)
def test_a_system_has_its_three_factors(name, factors):
    found = steps(system=name, response_modification=factors[0])
    assert (found["R"].value, found["omega_0"].value, found["C_d"].value) == factors


def test_what_was_read_and_what_was_not_is_told_apart():
    found = steps()
    assert found["R"].source.read.startswith("https://")
    assert found["omega_0"].source.read == "from memory"
    assert str(found["R"].source) == "ASCE 7-16 Table 12.2-1 A.15"


def test_the_newer_edition_is_from_memory_throughout():
    assert {step.source.read for step in steps(code_family="2024").values()} == {"from memory"}


def test_an_unknown_system_is_told_the_names():
    with pytest.raises(OutOfRange, match=f"must be one of: {PANELS}; {OTHER}"):
        system("moment frame")


def test_another_r_than_the_systems_is_refused():
    with pytest.raises(OutOfRange, match=r"criteria\.response_modification = 5\.5: must be 6\.5"):
        steps(response_modification=5.5)


@pytest.mark.parametrize("category", ["E", "F"])
def test_other_materials_are_not_permitted_in_e_and_f(category):
    with pytest.raises(OutOfRange, match=f"permitted in seismic design category {category}"):
        steps(system=OTHER, response_modification=2.0, category=category)


def test_a_height_limit_holds_to_the_foot():
    assert steps(system=OTHER, response_modification=2.0, height_ft=35.0)["height_limit"].value == 35.0
    with pytest.raises(OutOfRange, match=r"must not exceed 35 ft in seismic design category D"):
        steps(system=OTHER, response_modification=2.0, height_ft=35.1)


@pytest.mark.parametrize("category", ["A", "B", "C"])
def test_below_d_no_height_is_too_much(category):
    assert steps(category=category, height_ft=90.0)["height_limit"].value == "NL"


@pytest.mark.parametrize(("risk", "importance"), [("I", 1.0), ("II", 1.0), ("III", 1.25), ("IV", 1.5)])
def test_importance_is_the_risk_categorys(risk, importance):
    assert steps(risk_category=risk, importance=importance)["Ie"].value == importance
    with pytest.raises(OutOfRange, match=f"must be {importance:g} in risk category {risk}"):
        steps(risk_category=risk, importance=1.1)
