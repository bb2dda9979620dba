"""Site coefficients, systems and weights against worked examples (examples_loads.json; each names its source)."""

from __future__ import annotations

import json

import pytest

from engineering.errors import OutOfRange
from engineering.inputs import Assembly, AssemblyPart, Criteria, Hazard, MappedMotion
from engineering.results import Check
from engineering.site_coefficients import design_spectrum, long_period_factor, require_agreement
from engineering.structural_systems import require_system
from engineering.unit_weights import assembly_weight
from tests.published.house_a import house_inputs
from tests.published.printed import FOLDER, rows

EXAMPLES = {one["id"]: one for one in json.loads((FOLDER / "examples_loads.json").read_text())["examples"]}
HOUSE = house_inputs()
DEAD_LOADS = [row for row in rows("dead_loads.csv") if row["part"]]  # the others are no part of an assembly


def spectrum_of(s_s: float, s_1: float, site_class: str) -> Check:
    motion = MappedMotion(s_s_g=s_s, s_1_g=s_1, site_class=site_class)
    return design_spectrum(motion, risk_category="II", code_family="2021")


def hazard(**facts) -> Hazard:
    return Hazard(t_l_s=8.0, source="a permit record", seismic_design_category="D", **facts)


def criteria() -> Criteria:
    return HOUSE.criteria


def test_l01_interpolates_between_the_columns():
    """R. Taly, Design of Reinforced Masonry Structures, example 7.11; its F_a columns are also those of 7-16."""
    given, stated = EXAMPLES["L01"]["inputs"], EXAMPLES["L01"]["stated"]
    check = spectrum_of(given["Ss"], given["S1"], "D")
    assert check.step("Fa").value == pytest.approx(stated["Fa"], abs=0.0005)
    assert check.step("SDS_g").value == pytest.approx(stated["SDS"], abs=0.0005)
    # The example's F_v columns are of 7-05; with those of 7-16 its F_v is 2.114 and S_D1 0.342.
    assert check.step("Fv").value == pytest.approx(2.114, abs=0.0005)
    assert check.step("SD1_g").value == pytest.approx(0.342, abs=0.0005)


def test_l04_floor_of_the_default_class_and_the_design_parameters():
    """Public permit record, house: F_a = 1.2 though the table gives 1.0."""
    example = EXAMPLES["L04"]
    check = spectrum_of(example["inputs"]["Ss"], example["inputs"]["S1"], "default")
    assert check.step("Fa").value == 1.0
    assert check.step("Fa_default").value == example["inputs"]["Fa"]
    assert check.step("SMS_g").value == pytest.approx(example["stated"]["SMS"], abs=0.0005)
    assert check.step("SDS_g").value == pytest.approx(example["stated"]["SDS"], abs=0.0005)
    # The sheet took F_v of the column S_1 = 0.5; between the columns it is 1.832.
    assert check.step("Fv").value == pytest.approx(1.832)


def test_l05_the_long_period_limit_is_one_and_a_half_times():
    """Public permit record, house: sheet L1.3 prints the upper limit with and without the factor."""
    given, stated = EXAMPLES["L05"]["inputs"], EXAMPLES["L05"]["stated"]
    check = spectrum_of(given["SMS"] / 1.2, given["S1"], "default")
    assert check.step("SMS_g").value == pytest.approx(given["SMS"])
    assert check.step("SM1_g").value == pytest.approx(given["SM1"])
    assert check.step("SDS_g").value == pytest.approx(stated["SDS"])
    assert check.step("SD1_g").value == pytest.approx(stated["SD1"])
    house = hazard(s_ds_g=1.2, s_d1_g=0.6, s_1_g=given["S1"], site_class="D")
    factor, steps = long_period_factor(house, criteria(), stated["Ta_s"])
    assert factor * stated["Cs_upper_T_le_TL"] == pytest.approx(stated["Cs_upper_x1.5"], abs=0.006)
    assert str(steps[0].source) == "ASCE 7-16 11.4.8 exception 2"


@pytest.mark.parametrize("example", ["L03", "L04", "L05", "L09"])
def test_r_of_a_wood_panel_house_is_that_of_the_permit_sheets(example):
    steps = {one.key: one.value for one in require_system(criteria(), category="D", height_ft=20.0)}
    assert steps["R"] == EXAMPLES[example]["inputs"]["R"]
    assert steps["Ie"] == EXAMPLES[example]["inputs"]["Ie"]


def test_l09_a_wrong_f_v_is_flagged_with_what_it_should_be():
    """Public permit record: F_v = 1.5 is not of class D; S_D1 must be 0.562, the sheet has 0.458."""
    given, stated = EXAMPLES["L09"]["inputs"], EXAMPLES["L09"]["stated"]
    mapped = MappedMotion(s_s_g=given["Ss"], s_1_g=given["S1"], site_class="default")
    house = hazard(s_ds_g=stated["SDS"], s_d1_g=stated["SD1"], s_1_g=given["S1"], mapped=mapped)
    with pytest.raises(OutOfRange, match=r"hazard\.s_d1_g = 0\.458: must be 0\.562"):
        require_agreement(house, criteria())


# What of the permit record's takeoff is weighed by which row.
TAKEOFF = (
    ("older house, roof alone, permit practice", "roof_sf", "roof_psf", "roof_lb"),
    ("older house, ceiling, permit practice", "roof_sf", "ceiling_psf", "ceiling_lb"),
    ("older house, interior wall, permit practice", "interior_wall_top_half_sf", "interior_psf", "interior_lb"),
    (
        "older house, exterior wall of stucco and plaster, permit practice",
        "exterior_wall_top_half_sf",
        "exterior_psf",
        "exterior_lb",
    ),
)


def weight_lb(part: str, area_sf: float, weight_psf: float) -> float:
    one = AssemblyPart(name=part, weight_psf=weight_psf)
    return area_sf * assembly_weight(Assembly(use="roof", parts=(one,))).capacity


@pytest.mark.parametrize(("part", "area", "psf", "stated"), TAKEOFF)
def test_l07_unit_weights_give_the_takeoff_of_the_permit_record(part, area, psf, stated):
    given, printed = EXAMPLES["L07"]["inputs"], EXAMPLES["L07"]["stated"]
    assert weight_lb(part, given[area], given[psf]) == pytest.approx(printed[stated], rel=EXAMPLES["L07"]["tol"])


def test_l07_they_add_up_to_the_weight_of_the_roof_level():
    given = EXAMPLES["L07"]["inputs"]
    total_lb = sum(weight_lb(part, given[area], given[psf]) for part, area, psf, _ in TAKEOFF)
    assert total_lb == pytest.approx(EXAMPLES["L07"]["stated"]["W_roof_level_lb"], rel=EXAMPLES["L07"]["tol"])


@pytest.mark.parametrize("row", DEAD_LOADS, ids=lambda row: f"{row['part']}, {row['basis']}")
def test_a_unit_weight_is_the_printed_one(row):
    part = AssemblyPart(name=row["part"], weight_psf=float(row["value_psf"]))
    check = assembly_weight(Assembly(use="roof", parts=(part,)))
    assert check.capacity == float(row["value_psf"])
    assert (check.steps[0].source.read == "from memory") == (row["basis"] == "memory")
