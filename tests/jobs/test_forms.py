"""Fields that speak the trade: lengths, outlines, "not observed"."""

from __future__ import annotations

import pytest
from django import forms

from jobs.web.fields import (
    LengthField,
    LengthListField,
    NumberField,
    ObservedField,
    OutlineField,
    YesNoField,
    length_text,
)
from jobs.web.forms import PartedForm


class Survey(PartedForm):
    width_in = ObservedField(LengthField(), label="Width")
    material = ObservedField(forms.CharField(max_length=40))
    strength_psi = ObservedField(NumberField(min_value=1))
    treated = YesNoField()


def sent(**values):
    return {"width_in_0": '3 1/2"', "material_0": "concrete", "strength_psi_0": "2500", "treated": "no"} | values


@pytest.mark.parametrize(
    ("text", "length_in"), [("12'-6 1/2\"", 150.5), ("12 ft 6-1/2 in", 150.5), ("150.5 in", 150.5), ('6.5"', 6.5)]
)
def test_a_length_is_read_as_tradesmen_write_it(text, length_in):
    assert LengthField().clean(text) == length_in


def test_what_was_understood_names_feet_and_inches():
    assert LengthField().understood("150.5 in") == "12'-6 1/2\" = 150 1/2 in"


def test_what_can_not_be_read_is_not_understood():
    assert LengthField().understood("12 6") == ""


@pytest.mark.parametrize("text", ["12 6", "150.5", "5' 13\"", "six"])
def test_an_ambiguous_length_is_refused_with_what_is_allowed(text):
    with pytest.raises(forms.ValidationError, match="be read as a length: write feet and inches"):
        LengthField().clean(text)


@pytest.mark.parametrize("length_in", [150.5, 6.5, 0.0625, 0.131, 3.28084, 480.0, 5.03125])
def test_a_stored_length_comes_back_the_same_from_its_own_text(length_in):
    assert LengthField().clean(length_text(length_in)) == pytest.approx(length_in, abs=1e-6)


def test_zero_is_a_length_only_where_it_can_be():
    assert LengthField(positive=False).clean('0"') == 0
    with pytest.raises(forms.ValidationError, match="greater than 0"):
        LengthField().clean('0"')


def test_stud_centrelines_come_in_one_box():
    assert LengthListField().clean("3/4\", 1'-4\"; 32 in\n4'") == [0.75, 16.0, 32.0, 48.0]


def test_an_outline_takes_feet_and_feet_inch_text():
    assert OutlineField().clean("0, 0\n28'-6\", 0\n28.5, 20\n") == [[0, 0], [28.5, 0], [28.5, 20]]


def test_a_corner_that_is_none_is_named():
    with pytest.raises(forms.ValidationError, match="“28” is not a corner"):
        OutlineField().clean("0, 0\n28\n28, 20")


def test_facts_given_are_facts():
    form = Survey(sent())
    assert form.is_valid(), form.errors
    assert form.facts() == {"width_in": 3.5, "material": "concrete", "strength_psi": 2500.0, "treated": False}


def test_not_observed_is_said_by_a_tick():
    form = Survey(sent(width_in_0="", width_in_1="on", material_0="", material_1="on", treated="not observed"))
    assert form.is_valid(), form.errors
    assert form.facts() == {"width_in": None, "material": "", "strength_psi": 2500.0, "treated": None}


def test_an_empty_box_is_not_a_silent_not_observed():
    form = Survey(sent(width_in_0="", treated=""))
    assert form.errors["width_in"] == ["Give it, or tick “not observed”."]
    assert form.errors["treated"] == ["Choose one, or “not observed”."]


def test_a_fact_and_the_tick_contradict_each_other():
    assert Survey(sent(width_in_1="on")).errors["width_in"] == ["Either give it or tick “not observed”, not both."]


def test_one_tick_speaks_for_all_that_was_left_empty():
    form = Survey({"strength_psi_0": "2500", "rest_not_observed": "on"})
    assert form.is_valid(), form.errors
    assert form.facts() == {"width_in": None, "material": "", "strength_psi": 2500.0, "treated": None}


def test_that_tick_hides_no_mistake():
    form = Survey(sent(width_in_0="12 6", rest_not_observed="on"))
    assert "can't be read" in form.errors["width_in"][0]


def test_what_was_typed_stays_in_the_box():
    assert 'value="12 6"' in str(Survey(sent(width_in_0="12 6"))["width_in"])


def test_an_absent_stored_fact_shows_as_not_observed():
    class Row:
        width_in, material, strength_psi, treated = None, "", 2500.0, None

    form = Survey.for_row(Row)
    assert "checked" in str(form["width_in"])
    assert "checked" in str(form["material"])
    assert "checked" not in str(form["strength_psi"])
    assert '<option value="not observed" selected>' in str(form["treated"])
