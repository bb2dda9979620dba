"""One wall line as surveyed, and its rows: segments, panels, pieces, joints, anchors, openings, nails, loads."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django import forms
from django.forms import BaseFormSet

from engineering.found_sheathing import materials
from jobs.models import (
    BARE,
    MEMBERS,
    BottomEdge,
    Connector,
    ConnectorKind,
    FloorEdge,
    FoundationFace,
    FoundationMaterial,
    JoistDirection,
    LineEnd,
    Moisture,
    NailedLink,
    PlateOf,
    SegmentKind,
    TopNailsReach,
    WallLine,
)
from jobs.web.fields import (
    LengthField,
    LengthListField,
    NumberField,
    ObservedChoiceField,
    ObservedField,
    SuggestedInput,
    YesNoField,
    words,
)
from jobs.web.forms import PartedForm, row_initial


def observed_length(label: str, *, positive: bool = True, **kwargs: Any) -> ObservedField:
    return ObservedField(LengthField(positive=positive), label=label, **kwargs)


def observed_text(label: str, length: int = 120, **kwargs: Any) -> ObservedField:
    return ObservedField(forms.CharField(max_length=length), label=label, **kwargs)


def text(label: str, length: int = 120, **kwargs: Any) -> forms.CharField:
    return forms.CharField(max_length=length, required=False, label=label, **kwargs)


def paragraph(label: str, **kwargs: Any) -> forms.CharField:
    return forms.CharField(required=False, label=label, widget=forms.Textarea(attrs={"rows": 2}), **kwargs)


class PlateCountField(ObservedChoiceField):
    """None, one or two top plates, or "not observed" (None)."""

    absent = None

    def __init__(self, **kwargs: Any) -> None:
        choices = [("0", "none: joists bear on the sill"), ("1", "one"), ("2", "two")]
        super().__init__(choices=choices, **kwargs)

    def prepare_value(self, value: Any) -> Any:
        return str(value) if isinstance(value, int) else value

    def meaning(self, chosen: str) -> int:
        return int(chosen)


class WallLineForm(PartedForm):
    label = forms.CharField(max_length=20, help_text="As on the plan: A, B, 1, 2 …")
    level = forms.CharField(max_length=40)
    start_x_ft = NumberField(label="Zero end, x (ft)")
    start_y_ft = NumberField(label="Zero end, y (ft)")
    end_x_ft = NumberField(label="Far end, x (ft)")
    end_y_ft = NumberField(label="Far end, y (ft)")

    top_plate_count = PlateCountField(label="Top plates")
    lower_plate_in = LengthField(required=False, label="Lower plate, thickness", help_text="Empty: no such plate.")
    upper_plate_in = LengthField(required=False, label="Upper plate, thickness", help_text="Empty: no such plate.")
    plate_width_in = observed_length("Upper plate, width")
    lower_plate_width_in = LengthField(
        required=False, label="Lower plate, width", help_text="Empty: as wide as the upper plate."
    )
    plate_tension_psi = ObservedField(NumberField(min_value=1), label="Plates, F_t (psi)")
    top_nails_reach = ObservedChoiceField(words(TopNailsReach), label="Panel's top nails can reach")
    plate_joints_observed = forms.BooleanField(
        required=False,
        label="The joints of the upper plate were looked for",
        help_text="Unticked: not observed. Ticked without joints below: it runs in one piece.",
    )
    lower_plate_joints_observed = forms.BooleanField(
        required=False, label="The joints of the lower plate were looked for", help_text="Unticked: not observed."
    )
    stud_thickness_in = observed_length("Studs, thickness")
    stud_depth_in = observed_length("Studs, depth")
    stud_centrelines_in = LengthListField(
        required=False, label="Stud centrelines", help_text="As measured from the zero end, parted by commas."
    )
    joists = ObservedChoiceField(words(JoistDirection), label="Joists run")
    joist_spacing_in = observed_length("Joists, spacing")
    floor_edge = ObservedChoiceField(words(FloorEdge), label="On the plates stands")
    rim_thickness_in = observed_length("Rim or end joist, thickness")
    rim_depth_in = observed_length("Rim or end joist, depth")
    rim_set_back_in = observed_length(
        "Rim's set-back",
        positive=False,
        help_text="From the plates' outer edge to the rim's outer face; flush is 0 in.",
    )
    jig_bears_on = observed_text("Drilling jig bears on", help_text="Something straight, such as the plates' edge.")
    headroom_in = observed_length("Headroom under the plates")
    ceiling_finish = text("Ceiling finish in the way", help_text="Empty: nothing is in the way.")
    inside_finish = text("Inside finish")
    outside_finish = observed_text("Outside finish", help_text=f"“{BARE}” where the framing is bare.")
    moisture = ObservedChoiceField(words(Moisture), label="Wood in service", help_text="Dry is 19 % or less.")

    sill_thickness_in = observed_length("Sill, thickness")
    sill_width_in = observed_length("Sill, width")
    sill_edge_in = observed_length("Sill's outer face to concrete edge", positive=False)
    sill_gap = text("Gap or shims under the sill", help_text="Empty: none seen.")
    sill_gap_in = observed_length("Greatest gap or shim under the sill", positive=False, help_text="None: 0 in.")
    side_set_back_in = observed_length(
        "Concrete's reachable face back to the sill", positive=False, help_text="0 in where they are flush."
    )
    sill_bearing_psi = ObservedField(NumberField(min_value=1), label="Sill, F_c perpendicular (psi)")
    sill_treated = YesNoField(label="Sill is treated")

    foundation_material = ObservedChoiceField(words(FoundationMaterial), label="Material")
    foundation_continuous = YesNoField(label="Continuous under the line")
    foundation_condition = observed_text("Condition", 200)
    foundation_face = ObservedChoiceField(words(FoundationFace), label="Face that one can reach")
    crack_width_in = observed_length("Widest crack", positive=False)
    foundation_width_in = observed_length("Width across the wall")
    foundation_depth_in = observed_length("Depth of concrete under the sill")
    section_loss_percent = ObservedField(NumberField(min_value=0, max_value=100), label="Section loss (%)")
    concrete_psi = ObservedField(NumberField(min_value=1), label="Concrete strength (psi)")
    concrete_basis = text("How the strength is known")

    link_0_floor_sheathing = observed_text("Floor sheathing at the line")
    obstructions = paragraph("Obstructions")
    utilities = paragraph("Utilities")
    notes = paragraph("Notes")

    PARTS = (
        ("place", "Place in the plan", ("label", "level", "start_x_ft", "start_y_ft", "end_x_ft", "end_y_ft")),
        (
            "plates",
            "Top plates and studs",
            ("top_plate_count", "top_nails_reach", "lower_plate_in", "upper_plate_in", "plate_width_in",
             "lower_plate_width_in", "plate_tension_psi",
             "stud_thickness_in", "stud_depth_in", "plate_joints_observed", "lower_plate_joints_observed",
             "stud_centrelines_in"),
        ),
        (
            "floor",
            "Floor above",
            ("joists", "joist_spacing_in", "floor_edge", "link_0_floor_sheathing", "rim_thickness_in",
             "rim_depth_in", "rim_set_back_in",
             "jig_bears_on", "headroom_in", "ceiling_finish", "inside_finish", "outside_finish", "moisture"),
        ),
        (
            "sill",
            "Sill",
            ("sill_thickness_in", "sill_width_in", "sill_edge_in", "sill_gap", "sill_gap_in", "side_set_back_in",
             "sill_bearing_psi", "sill_treated"),
        ),
        (
            "foundation",
            "Foundation",
            ("foundation_material", "foundation_continuous", "foundation_condition", "foundation_face",
             "foundation_width_in", "foundation_depth_in", "crack_width_in", "section_loss_percent",
             "concrete_psi", "concrete_basis"),
        ),
        ("way", "In the way", ("obstructions", "utilities", "notes")),
    )  # fmt: skip

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        for member in MEMBERS:
            species, gravity = cleaned.get(f"{member}_species"), cleaned.get(f"{member}_specific_gravity")
            if species and gravity is None and f"{member}_specific_gravity" not in self.errors:
                self.add_error(f"{member}_specific_gravity", "Give the specific gravity that goes with the species.")
            if species == "" and gravity is not None:
                self.add_error(f"{member}_species", "Name the species that this specific gravity belongs to.")
        return cleaned

    @property
    def members(self) -> list[dict[str, Any]]:
        """The five members, each with its three bound fields."""
        return [
            {
                "name": member,
                "cells": [self[f"{member}_species"], self[f"{member}_specific_gravity"], self[f"{member}_basis"]],
            }
            for member in MEMBERS
        ]


for _member in MEMBERS:  # a species, its specific gravity and how both are known: no default for any member
    WallLineForm.base_fields[f"{_member}_species"] = observed_text(f"{_member.capitalize()}, species", 60)
    WallLineForm.base_fields[f"{_member}_specific_gravity"] = NumberField(
        required=False, min_value=0.01, max_value=1.5, label=f"{_member.capitalize()}, specific gravity"
    )
    WallLineForm.base_fields[f"{_member}_basis"] = text(f"{_member.capitalize()}, how it is known")


# --- rows ------------------------------------------------------------------------------------------------------------
class StretchForm(forms.Form):
    from_in = LengthField(positive=False, label="From")
    to_in = LengthField(label="To")


class SegmentForm(StretchForm):
    kind = forms.ChoiceField(choices=[("", "choose…"), *words(SegmentKind)])
    stud_height_in = LengthField(positive=False, label="Stud height")
    far_stud_height_in = LengthField(required=False, label="At its far end", help_text="Only where it slopes.")
    ground_slope = ObservedField(NumberField(min_value=0), label="Ground slope (rise over run)")
    floor_level = forms.CharField(max_length=40, required=False, label="Floor level")

    field_order = ("kind", "from_in", "to_in", "stud_height_in", "far_stud_height_in", "ground_slope", "floor_level")


class OpeningForm(StretchForm):
    label = forms.CharField(max_length=60, label="What")


class PlateJointForm(forms.Form):
    plate = forms.ChoiceField(choices=[("", "choose…"), *words(PlateOf)], label="Plate")
    at_in = LengthField(positive=False, label="At")


class ExistingAnchorForm(forms.Form):
    at_in = LengthField(positive=False, label="At")
    diameter_in = LengthField(label="Diameter")
    embedment_in = ObservedField(LengthField(), label="Embedment")
    edge_in = ObservedField(LengthField(positive=False), label="To edge")
    end_in = ObservedField(LengthField(positive=False), label="To sill's end")
    washer = forms.CharField(max_length=60, required=False, label="Washer")
    washer_in = ObservedField(LengthField(positive=False), label="Its side")
    washer_thickness_in = ObservedField(LengthField(positive=False), label="Thickness")
    seen = forms.BooleanField(required=False, label="Seen")
    wrench_tested = forms.BooleanField(required=False, label="Wrench")
    photographed = forms.BooleanField(required=False, label="Photo")


class AsFoundNailingForm(forms.Form):
    link = forms.ChoiceField(choices=[("", "choose…"), *NailedLink.choices])
    nail = forms.ModelChoiceField(Connector.objects.filter(kind=ConnectorKind.NAIL, active=True), empty_label="choose…")
    spacing_in = LengthField(label="Spacing")
    toenail = forms.TypedChoiceField(
        choices=[("", "choose…"), ("yes", "toenail"), ("no", "face nail")],
        coerce=lambda chosen: chosen == "yes",
        label="Driven as",
    )


class FoundSheathingForm(StretchForm):
    material = forms.CharField(max_length=120, label="Material", widget=SuggestedInput(materials()))
    bottom_edge = ObservedChoiceField(words(BottomEdge), label="Lower edge")
    allowable_plf = NumberField(
        required=False, min_value=0.1, label="Own value (plf)", help_text="Only where the table has none."
    )
    source = forms.CharField(max_length=200, required=False, label="Source of the own value")

    field_order = ("material", "from_in", "to_in", "bottom_edge", "allowable_plf", "source")


class StrutForm(forms.Form):
    end = forms.ChoiceField(choices=[("", "choose…"), *words(LineEnd)], label="Beyond the end")
    length_in = LengthField(label="Length")
    thickness_in = LengthField(label="Thickness")
    depth_in = LengthField(label="Depth")
    tension_psi = NumberField(min_value=1, label="F_t (psi)")
    basis = forms.CharField(max_length=200, label="How that is known")
    lap_in = ObservedField(LengthField(), label="Laps the plates by")
    species = forms.CharField(max_length=60, required=False, label="Species", help_text="Empty: not observed.")
    specific_gravity = NumberField(required=False, min_value=0.01, max_value=1.5, label="Specific gravity")


class DeadLoadForm(forms.Form):
    label = forms.CharField(max_length=60, label="What")
    weight_plf = NumberField(min_value=0.001, label="Weight (plf)")


@dataclass(frozen=True, slots=True)
class Rows:
    """One kind of row: the relation's name, its title and what it is for, the form of one row."""

    relation: str
    title: str
    about: str
    form: type[forms.Form]


ROWS = (
    Rows("segments", "Segments", "Stretches of one kind and height, end to end from the zero end.", SegmentForm),
    Rows("panels", "Panels", "Where shear panels stand or may stand.", StretchForm),
    Rows("sill_pieces", "Sill pieces", "Each piece of the sill, from joint to joint.", StretchForm),
    Rows("plate_joints", "Joints of the top plates", "Those that somebody saw.", PlateJointForm),
    Rows("unseen_plates", "Plates unseen", "Stretches where nobody could see whether a plate is jointed.", StretchForm),
    Rows("struts", "Struts", "Members in line with the wall that bring the floor's shear to it.", StrutForm),
    Rows("existing_anchors", "Existing anchors", "One row a bolt. None counts until the engineer accepts it.",
         ExistingAnchorForm),
    Rows("openings", "Openings", "Vents, doors, windows.", OpeningForm),
    Rows("as_found_nailing", "Nails as found", "Existing nails that make link 1 or 2 today.", AsFoundNailingForm),
    Rows("found_sheathing", "Sheathing as found",
         "What covers the wall today. None counts until the engineer accepts it.", FoundSheathingForm),
    Rows("dead_loads", "Dead load on this wall", "Only load that the survey shows here resists overturning.",
         DeadLoadForm),
)  # fmt: skip
BLANK_ROWS = 2
FORMSETS = {rows.relation: forms.formset_factory(rows.form, extra=BLANK_ROWS, can_delete=True) for rows in ROWS}


def row_formsets(line: WallLine | None, data: Any = None) -> dict[str, BaseFormSet]:
    """A formset a relation: the stored rows and two blank ones."""
    formsets = {}
    for rows in ROWS:
        stored_rows = list(getattr(line, rows.relation).all()) if line else []
        initial = [_initial(rows.form, row) for row in stored_rows]
        formsets[rows.relation] = FORMSETS[rows.relation](data, initial=initial, prefix=rows.relation)
    return formsets


def _initial(form: type[forms.Form], row: Any) -> dict[str, Any]:
    initial = row_initial(form, row)
    if isinstance(initial.get("toenail"), bool):
        initial["toenail"] = "yes" if initial["toenail"] else "no"
    return initial
