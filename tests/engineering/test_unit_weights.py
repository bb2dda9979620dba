"""Unit weights from layers, the company's own with a note, and the snow that counts."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engineering import capacity
from engineering.errors import OutOfRange
from engineering.inputs import Assembly, AssemblyPart, UnitWeights
from engineering.seismic_demand import demand, demand_inputs
from engineering.unit_weights import assembly_weight, part_names, require_assemblies, snow_weight
from tests.engineering.varied import house

STUCCO = AssemblyPart(
    name="2x4 wall, 1/2 in panel, 1/2 in gypsum, 7/8 in portland cement stucco",
    weight_psf=15.0,
)
GYPSUM = AssemblyPart(name="gypsum board, each 1/8 in", weight_psf=0.55, times=5.0)
OWN = AssemblyPart(name="cellulose in the joist bays", weight_psf=1.2, note="weighed on site, 3 bays")
WEIGHTS = UnitWeights(roof_psf=15.0, floor_psf=10.0, partitions_psf=10.0, story_wall_psf=15.0, braced_wall_psf=15.0)


def wall(*parts):
    return Assembly(use="story wall", parts=parts)


def test_parts_add_up_with_how_often_they_are_there():
    check = assembly_weight(wall(STUCCO, GYPSUM, OWN))
    assert check.capacity == pytest.approx(15.0 + 5 * 0.55 + 1.2)
    assert check.steps[-1].inputs == {part.name: part.times * part.weight_psf for part in (STUCCO, GYPSUM, OWN)}


def test_each_part_says_where_it_stands():
    reads = [step.source.read for step in assembly_weight(wall(STUCCO, OWN)).steps]
    assert reads[0].startswith("https://")
    assert reads[1] == "as given by the company"


def test_the_companys_own_part_is_printed_with_its_note():
    check = assembly_weight(wall(OWN))
    assert str(check.steps[0].source) == "weighed on site, 3 bays"
    assert check.notes == ("cellulose in the joist bays: the company's own value, weighed on site, 3 bays",)


def test_a_part_that_is_in_no_table_needs_a_note():
    with pytest.raises(OutOfRange, match=r"parts\.0\.name = 'straw': must be a row"):
        assembly_weight(wall(AssemblyPart(name="straw", weight_psf=2.0)))


def test_another_value_than_the_tables_needs_a_note():
    with pytest.raises(OutOfRange, match=r"parts\.1\.weight_psf = 12\.0: must be 15 psf"):
        assembly_weight(wall(GYPSUM, replace(STUCCO, weight_psf=12.0)))
    assert assembly_weight(wall(replace(STUCCO, weight_psf=12.0, note="thin coat"))).capacity == 12.0


@pytest.mark.parametrize("parts", [(), (STUCCO, STUCCO)])
def test_no_part_and_a_part_twice_are_refused(parts):
    with pytest.raises(OutOfRange, match="parts"):
        assembly_weight(wall(*parts))


def test_a_unit_weight_is_the_sum_of_its_assembly():
    steps = require_assemblies(replace(WEIGHTS, assemblies=(wall(STUCCO),)))
    assert [step.key for step in steps] == ["story_wall_part_1_psf", "story_wall_weight_psf"]
    with pytest.raises(OutOfRange, match=r"unit_weights\.story_wall_psf = 15\.0: must be 16\.2 psf"):
        require_assemblies(replace(WEIGHTS, assemblies=(wall(STUCCO, OWN),)))


def test_a_problem_in_an_assembly_is_told_with_its_place():
    bad = wall(replace(STUCCO, weight_psf=12.0))
    with pytest.raises(OutOfRange, match=r"unit_weights\.assemblies\.0\.parts\.0\.weight_psf"):
        require_assemblies(replace(WEIGHTS, assemblies=(bad,)))


def test_a_use_is_given_once():
    with pytest.raises(OutOfRange, match="each use must be given once"):
        require_assemblies(replace(WEIGHTS, assemblies=(wall(STUCCO), wall(STUCCO))))


def test_the_demand_of_a_house_prints_its_assemblies():
    weights = replace(house().building.unit_weights, assemblies=(wall(STUCCO),))
    given = house(building={"unit_weights": weights})
    assert demand(demand_inputs(given)).step("story_wall_part_1_psf").value == 15.0
    light = replace(weights, story_wall_psf=12.0)
    with pytest.raises(OutOfRange, match=r"unit_weights\.story_wall_psf"):
        demand(demand_inputs(house(building={"unit_weights": light})))


def test_without_assemblies_there_are_no_steps():
    assert require_assemblies(WEIGHTS) == ()


@pytest.mark.parametrize(
    ("family", "snow_psf", "counts_psf"),
    [("2021", 30.0, 0.0), ("2021", 40.0, 8.0), ("2024", 45.0, 0.0), ("2024", 60.0, 9.0)],
)
def test_a_share_of_heavy_snow_counts(family, snow_psf, counts_psf):
    snow_lb, steps = snow_weight(replace(WEIGHTS, flat_roof_snow_psf=snow_psf), roof_sf=1000.0, code_family=family)
    assert snow_lb == pytest.approx(1000 * counts_psf)
    assert len(steps) == (counts_psf > 0)


def test_the_newer_snow_rule_is_from_memory():
    heavy = replace(WEIGHTS, flat_roof_snow_psf=80.0)
    assert snow_weight(heavy, roof_sf=1.0, code_family="2024")[1][0].source.read == "from memory"
    assert snow_weight(heavy, roof_sf=1.0, code_family="2021")[1][0].source.read.startswith("https://")


@given(st.floats(0, 500), st.floats(0, 500), st.sampled_from(["2021", "2024"]))
def test_more_snow_never_weighs_less(one, other, family):
    light, heavy = (
        snow_weight(replace(WEIGHTS, flat_roof_snow_psf=psf), roof_sf=900.0, code_family=family)[0]
        for psf in sorted((one, other))
    )
    assert heavy >= light


def test_an_assembly_is_a_question_of_its_own():
    part = {"name": part_names()[0], "weight_psf": 15.0}
    answer, answered = capacity.run("assembly", {"use": "roof", "parts": [part]})
    assert answered
    assert answer["capacity"] == 15.0
