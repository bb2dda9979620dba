"""The criteria sheet as a form: every number of it, in the engineer's words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django import forms

from engineering import structural_systems
from jobs.models import CodeFamily, CriteriaSheet, Diaphragm, LegalBasis, RiskCategory
from jobs.web.fields import LengthField, NumberField

SYSTEMS = [(name, name) for name in structural_systems.names()]
LINE = 60  # characters that a narrow column shows on two lines


class RedundancyField(forms.ChoiceField):
    """1.0 or 1.3, or None to compute it from the bays."""

    def __init__(self, **kwargs: Any) -> None:
        choices = [("", "computed from the bays; 1.3 where they can't be shown"), ("1.0", "1.0"), ("1.3", "1.3")]
        super().__init__(choices=choices, required=False, **kwargs)

    def clean(self, value: Any) -> float | None:
        chosen = super().clean(value)
        return float(chosen) if chosen else None

    def prepare_value(self, value: Any) -> Any:
        return f"{value:.1f}" if isinstance(value, float) else value


def _text(rows: int, **kwargs: Any) -> forms.CharField:
    field = forms.CharField(widget=forms.Textarea(attrs={"rows": rows}), required=False, **kwargs)
    field.wide = True
    return field


class CriteriaForm(forms.Form):
    """`version` is the one that the engineer had before them."""

    version = forms.IntegerField(widget=forms.HiddenInput)
    code_family = forms.ChoiceField(choices=CodeFamily.choices, label="Code family")
    legal_basis = forms.ChoiceField(choices=[(basis, basis) for basis in LegalBasis.values], label="Legal basis")
    force_level = forms.CharField(max_length=60, help_text="By name, as it is printed: full, reduced 75 %.")
    force_factor = NumberField(
        min_value=0.01, max_value=1.0, label="Factor on the horizontal seismic effect", help_text="1.0: full force."
    )
    response_modification = NumberField(min_value=1.0, max_value=8.0, label="Response modification R")
    importance = NumberField(min_value=1.0, max_value=1.5, label="Importance factor I_e")
    redundancy = RedundancyField(label="Redundancy ρ")
    load_duration = NumberField(min_value=0.9, max_value=2.0, label="Load duration C_D")
    maximum_connector_spacing_in = LengthField(
        label="Maximum spacing of connectors", help_text="Feet and inches, 6' or 72 in."
    )
    risk_category = forms.ChoiceField(choices=RiskCategory.choices, label="Risk category")
    system = forms.ChoiceField(choices=SYSTEMS, label="Structural system")
    s_ds_cap = forms.BooleanField(required=False, label="S_DS = 1.0 in C_s and E_v, where its conditions hold")
    diaphragm = forms.ChoiceField(choices=[(one, one) for one in Diaphragm.values], label="Diaphragm")
    diaphragm_force_governs = forms.BooleanField(
        required=False, label="Links 0, 1 and 3 are checked for the diaphragm force F_px, not for the story shear"
    )
    accepts_r_for_panels = forms.BooleanField(
        required=False, label="I accept R = 6.5 for new wood structural panels under older stories"
    )
    link_0_accepted = forms.BooleanField(
        required=False, label="I accept link 0, the floor sheathing beside the lines, as recorded"
    )
    small_pieces_accepted = forms.BooleanField(
        required=False,
        label="I accept panel pieces smaller than 4 × 8 ft, all edges blocked, where the access opening asks for them",
    )
    remaining_deficiencies = _text(4, label="Remaining deficiencies", help_text="Each open link by line, one a row.")
    method = _text(3, label="Method")
    notes = _text(3, label="Notes")

    def __init__(self, data: Any = None, *, sheet: CriteriaSheet, **kwargs: Any) -> None:
        initial = {name: getattr(sheet, name) for name in self.base_fields}
        super().__init__(data, initial=initial, label_suffix="", **kwargs)

    def facts(self) -> dict[str, Any]:
        """The sheet's values as the engineer left them."""
        return {name: value for name, value in self.cleaned_data.items() if name != "version"}

    def changed_facts(self, sheet: CriteriaSheet) -> dict[str, Any]:
        """Only what differs from the stored sheet: confirming unchanged numbers writes none of them."""
        return {name: value for name, value in self.facts().items() if getattr(sheet, name) != value}


@dataclass(frozen=True, slots=True)
class SheetRow:
    """A value of the sheet for reading; `wide`: it takes a line of its own."""

    label: str
    value: str
    wide: bool


def sheet_rows(sheet: CriteriaSheet) -> list[SheetRow]:
    """The sheet for reading, each value as the form names it."""
    bounds = [bound for bound in CriteriaForm(sheet=sheet) if bound.name != "version"]
    values = [_printed(bound, sheet) for bound in bounds]
    return [
        SheetRow(bound.label, value, len(value) > LINE or "\n" in value)
        for bound, value in zip(bounds, values, strict=True)
    ]


def _printed(bound: forms.BoundField, sheet: CriteriaSheet) -> str:
    value = getattr(sheet, bound.name)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(bound.field, forms.ChoiceField):
        shown = bound.field.prepare_value(value)
        return dict(bound.field.choices).get(shown if shown is not None else "", str(value))
    return str(bound.field.prepare_value(value)) or "none"
