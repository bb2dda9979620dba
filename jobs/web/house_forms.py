"""The house: place, plan, weights, hazard, what was found as a whole, and the scope screen."""

from __future__ import annotations

from typing import Any

from django import forms
from django.forms import BaseFormSet

from engineering.unit_weights import part_names
from jobs.models import (
    SCOPE_ITEMS,
    Client,
    FramingKind,
    House,
    Jurisdiction,
    SeismicDesignCategory,
    SiteClass,
    WeightUse,
)
from jobs.web.fields import (
    LengthField,
    NumberField,
    NumberListField,
    ObservedChoiceField,
    ObservedField,
    OutlineField,
    SuggestedInput,
    YesNoField,
    day_field,
    words,
)
from jobs.web.forms import PartedForm, row_initial, stored

NOT_YET = "not known yet"


def number(label: str, **kwargs: Any) -> ObservedField:
    return ObservedField(NumberField(min_value=0), label=label, words=NOT_YET, **kwargs)


class HouseForm(PartedForm):
    client = forms.ModelChoiceField(Client.objects.all(), empty_label="choose…")
    jurisdiction = forms.ModelChoiceField(Jurisdiction.objects.all(), empty_label="choose…")
    address = forms.CharField(max_length=200)
    city = forms.CharField(max_length=80)
    state = forms.CharField(max_length=2, help_text="Two letters.")
    postal_code = forms.CharField(max_length=10)
    parcel_number = forms.CharField(max_length=40, required=False)
    legal_description = forms.CharField(max_length=200, required=False, label="Lot, block and tract")
    zoning = forms.CharField(max_length=40, required=False)
    occupancy_group = forms.CharField(max_length=20, required=False, help_text="As the code names it: R-3 …")
    construction_type = forms.CharField(max_length=20, required=False, help_text="As the code names it: V-B …")
    year_built = ObservedField(forms.IntegerField(widget=forms.TextInput(attrs={"inputmode": "numeric"})))
    stories = ObservedField(forms.IntegerField(min_value=1, widget=forms.TextInput(attrs={"inputmode": "numeric"})))
    dwelling_units = ObservedField(
        forms.IntegerField(min_value=1, widget=forms.TextInput(attrs={"inputmode": "numeric"}))
    )

    floor_outline_ft = OutlineField(
        required=False,
        label="Floor outline (ft)",
        help_text="One corner a line, x, y in feet, x east and y north, in order around the house.",
    )
    roof_outline_ft = OutlineField(
        required=False, label="Roof outline (ft)", help_text="The same, with the eaves; it covers the floor outline."
    )
    braced_wall_height_in = ObservedField(LengthField(), label="Height of the braced walls", words=NOT_YET)
    floor_depth_in = ObservedField(LengthField(), label="Depth of the floor", words=NOT_YET)
    story_wall_height_in = ObservedField(LengthField(), label="Height of the story's walls above", words=NOT_YET)
    regular_in_plan = YesNoField(label="Regular in plan")
    regular_in_height = YesNoField(label="Regular in height")

    roof_psf = number("Roof (psf)")
    floor_psf = number("Floor (psf)")
    partitions_psf = number("Partitions (psf)")
    story_wall_psf = number("Walls of the story (psf)")
    braced_wall_psf = number("Braced walls (psf)")
    flat_roof_snow_psf = number("Flat roof snow (psf)", help_text="None: 0.")
    weights_source = forms.CharField(max_length=300, required=False, label="Source of the weights")

    s_s_g = number("S_S (g)", help_text="With S_1 and the site class, in place of S_DS and S_D1 (2021 code family).")
    site_class = ObservedChoiceField(SiteClass.choices, label="Site class")
    shear_wave_measured = YesNoField(label="Shear wave velocity was measured", help_text="Only site class B asks.")
    s_ds_g = number("S_DS (g)")
    s_d1_g = number("S_D1 (g)")
    s_1_g = number("S_1 (g)")
    t_l_s = number("T_L (s)")
    seismic_design_category = ObservedChoiceField(SeismicDesignCategory.choices, label="Seismic design category")
    hazard_source = forms.CharField(max_length=300, required=False, label="Source of the hazard")
    hazard_date = day_field(required=False, label="Read on")

    framing_kind = ObservedChoiceField(words(FramingKind))
    floor_sheathing = ObservedField(forms.CharField(max_length=120))
    access_opening_width_in = ObservedField(LengthField(), label="Access opening, width")
    access_opening_height_in = ObservedField(LengthField(), label="Access opening, height")
    water_heater_strapped = YesNoField()
    lead_test_on = day_field(required=False, label="Lead test on", help_text="Empty: not tested.")
    lead_test_result = forms.CharField(max_length=200, required=False)
    asbestos_test_on = day_field(required=False, label="Asbestos test on", help_text="Empty: not tested.")
    asbestos_test_result = forms.CharField(max_length=200, required=False)
    notes = forms.CharField(required=False, widget=forms.Textarea(attrs={"rows": 3}))

    PARTS = (
        (
            "place",
            "Place",
            ("client", "jurisdiction", "address", "city", "state", "postal_code", "parcel_number",
             "legal_description", "zoning", "occupancy_group", "construction_type", "year_built", "stories",
             "dwelling_units"),
        ),
        (
            "plan",
            "Plan and heights",
            ("floor_outline_ft", "roof_outline_ft", "braced_wall_height_in", "floor_depth_in", "story_wall_height_in",
             "regular_in_plan", "regular_in_height"),
        ),
        (
            "weights",
            "Weights",
            ("roof_psf", "floor_psf", "partitions_psf", "story_wall_psf", "braced_wall_psf", "flat_roof_snow_psf",
             "weights_source"),
        ),
        (
            "hazard",
            "Hazard",
            ("s_s_g", "s_1_g", "site_class", "shear_wave_measured", "s_ds_g", "s_d1_g", "t_l_s",
             "seismic_design_category", "hazard_source", "hazard_date"),
        ),
        (
            "found",
            "Found in the house",
            ("framing_kind", "floor_sheathing", "access_opening_width_in", "access_opening_height_in",
             "water_heater_strapped", "lead_test_on", "lead_test_result", "asbestos_test_on", "asbestos_test_result",
             "notes"),
        ),
    )  # fmt: skip


class ScopeItemForm(forms.Form):
    """One question of the scope screen with its answer and reason."""

    flag = YesNoField(label="Answer")
    reason = forms.CharField(max_length=300, required=False, label="Reason")

    def __init__(self, *args: Any, item: str, **kwargs: Any) -> None:
        super().__init__(*args, prefix=f"scope-{item}", label_suffix="", **kwargs)
        self.item = item
        self.question = SCOPE_ITEMS[item]
        # An unanswered question is kept as unanswered: the survey says later that it is still open.
        self.fields["flag"].required = False

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if self["flag"].data and not cleaned.get("reason"):
            self.add_error("reason", "Say how that was seen, or why it was not.")
        return cleaned


class PointWeightForm(forms.Form):
    label = forms.CharField(max_length=60, label="What")
    x_ft = NumberField(label="x (ft)")
    y_ft = NumberField(label="y (ft)")
    weight_lb = NumberField(min_value=0.001, label="Weight (lb)")
    by_level_lb = NumberListField(
        required=False,
        label="Of it at each level (lb)",
        help_text="Lowest floor first, roof last; empty: all at the floor.",
    )


class StoryAboveForm(forms.Form):
    line_label = forms.CharField(max_length=20, label="Over wall line")
    story = forms.CharField(max_length=40, required=False, label="Of the story", help_text="Empty: the first.")
    full_height_wall_ft = NumberField(min_value=0, label="Full-height sheathed wall (ft)")


class UpperStoryForm(forms.Form):
    position = forms.IntegerField(
        min_value=1, label="Counted from below", widget=forms.TextInput(attrs={"inputmode": "numeric"})
    )
    label = forms.CharField(max_length=40, label="Name")
    floor_outline_ft = OutlineField(label="Floor outline (ft)")
    floor_depth_in = LengthField(label="Depth of its floor")
    wall_height_in = LengthField(label="Height of its walls")
    floor_psf = NumberField(min_value=0.001, label="Floor (psf)")
    partitions_psf = NumberField(min_value=0, label="Partitions (psf)")
    wall_psf = NumberField(min_value=0.001, label="Walls (psf)")


class WeightPartForm(forms.Form):
    use = forms.ChoiceField(choices=[("", "choose…"), *words(WeightUse)], label="Of")
    name = forms.CharField(max_length=120, label="Layer", widget=SuggestedInput(part_names()))
    weight_psf = NumberField(min_value=0.001, label="Weight (psf)")
    times = NumberField(
        min_value=0.01, max_value=100, required=False, label="Times", help_text="Layers, or eighths of an inch."
    )
    note = forms.CharField(
        max_length=200, required=False, label="Note", help_text="For a value of the company's own; empty: the table's."
    )

    def clean_times(self) -> float:
        given = self.cleaned_data["times"]
        return 1.0 if given is None else given


PointWeights = forms.formset_factory(PointWeightForm, extra=2, can_delete=True)
StoryAbove = forms.formset_factory(StoryAboveForm, extra=2, can_delete=True)
UpperStories = forms.formset_factory(UpperStoryForm, extra=1, can_delete=True)
WeightParts = forms.formset_factory(WeightPartForm, extra=2, can_delete=True)
ROWS = {
    "point_weights": ("Point weights", PointWeights),
    "story_above": ("Walls of the story above", StoryAbove),
    "upper_stories": ("Stories above the first", UpperStories),
    "weight_parts": ("What the weights are made of", WeightParts),
}


def row_formsets(house: House | None, data: Any = None) -> dict[str, tuple[str, BaseFormSet]]:
    """Title and formset a relation: the stored rows and two blank ones."""
    formsets = {}
    for relation, (title, formset) in ROWS.items():
        stored_rows = getattr(house, relation).all() if house else []
        initial = [row_initial(formset.form, row) for row in stored_rows]
        formsets[relation] = (title, formset(data, initial=initial, prefix=relation))
    return formsets


def scope_forms(house: House | None, data: Any = None) -> list[ScopeItemForm]:
    """The scope screen's questions with the answers so far."""
    answers = house.scope_screen if house else {}
    forms_ = []
    for item in SCOPE_ITEMS:
        answer = answers.get(item)
        initial = {"flag": stored(YesNoField(), answer.get("flag")), "reason": answer.get("reason")} if answer else {}
        forms_.append(ScopeItemForm(data, item=item, initial=initial))
    return forms_


def scope_screen(forms_: list[ScopeItemForm]) -> dict[str, dict[str, Any]]:
    """The answers given; a question without an answer stays open."""
    return {
        form.item: {"flag": form.cleaned_data["flag"], "reason": form.cleaned_data["reason"]}
        for form in forms_
        if form["flag"].data
    }
