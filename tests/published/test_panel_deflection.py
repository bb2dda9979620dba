"""The three-term deflection of a panel against C8, our own check problem (not published)."""

import json

import pytest

from engineering.errors import OutOfRange
from engineering.panel_deflection import deflection
from tests.published.printed import FOLDER

EXAMPLES = json.loads((FOLDER / "examples_wood.json").read_text(encoding="utf-8"))["examples"]
C8 = next(example for example in EXAMPLES if example["id"] == "C8")
GIVEN = {
    "unit_shear_plf": 500.0,
    "height_ft": 8.0,
    "length_ft": 8.0,
    "chord_modulus_psi": 1.6e6,
    "chord_area_in2": 12.25,
    "stiffness_kip_per_in": 13.0,
    "anchor_give_in": 0.125,
}


def total_in(**changes):
    return deflection(**{**GIVEN, **changes})[-1].value


def test_c8_the_three_terms():
    *terms, total = deflection(**GIVEN)
    assert [term.value for term in terms] == pytest.approx(C8["answer"]["terms_in"], abs=5e-5)
    assert total.value == pytest.approx(C8["answer"]["total"], abs=5e-5)


@pytest.mark.parametrize("less", ["chord_modulus_psi", "chord_area_in2", "stiffness_kip_per_in"])
def test_what_is_softer_or_slighter_drifts_further(less):
    assert total_in(**{less: 0.8 * GIVEN[less]}) > total_in()


@pytest.mark.parametrize("more", ["unit_shear_plf", "height_ft", "anchor_give_in"])
def test_what_is_heavier_taller_or_looser_drifts_further(more):
    assert total_in(**{more: 1.2 * GIVEN[more]}) > total_in()


@pytest.mark.parametrize(
    ("field", "value"),
    [("height_ft", 0.0), ("stiffness_kip_per_in", -1.0), ("chord_area_in2", float("nan")), ("anchor_give_in", 2.1)],
)
def test_refuses(field, value):
    with pytest.raises(OutOfRange) as problem:
        total_in(**{field: value})
    assert problem.value.field == field
