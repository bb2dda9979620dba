"""What the longer forms have in common, and the short ones: clients, jobs, dated facts, holds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from django import forms
from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.forms import BaseFormSet, BoundField

from jobs.models import House, LegalBasis, Role, User
from jobs.web.fields import NOT_OBSERVED, ObservedChoiceField, ObservedField, day_field, words


@dataclass(frozen=True, slots=True)
class Part:
    """A titled stretch of a long form."""

    slug: str
    title: str
    fields: list[BoundField]


@dataclass(frozen=True, slots=True)
class ErrorLine:
    """One error for the list at the top, with the id of what it is about."""

    target: str
    label: str
    message: str


class PartedForm(forms.Form):
    """A form whose fields stand in titled parts, PARTS = ((slug, title, (field, …)), …)."""

    PARTS: tuple[tuple[str, str, tuple[str, ...]], ...] = ()

    rest_not_observed = forms.BooleanField(
        required=False, label="Everything left empty below was not observed (or is not known yet)"
    )

    def __init__(self, data: Any = None, **kwargs: Any) -> None:
        super().__init__(self._with_rest(data) if data is not None else None, label_suffix="", **kwargs)

    def _with_rest(self, data: Any) -> Any:
        """The data with "not observed" said for every empty fact, where the person asked for that."""
        if not data.get("rest_not_observed"):
            return data
        data = data.copy()
        for name, field in self.base_fields.items():
            if isinstance(field, ObservedField) and not data.get(f"{name}_0") and not data.get(f"{name}_1"):
                data[f"{name}_1"] = "on"
            elif isinstance(field, ObservedChoiceField) and not data.get(name):
                data[name] = NOT_OBSERVED
        return data

    @property
    def parts(self) -> Iterator[Part]:
        """The parts with their bound fields, in order."""
        for slug, title, names in self.PARTS:
            yield Part(slug, title, [self[name] for name in names])

    @classmethod
    def for_row(cls, row: Any, data: Any = None, **kwargs: Any) -> PartedForm:
        """The form for a stored row, with what was typed over it when there is data."""
        initial = {
            name: stored(field, getattr(row, name)) for name, field in cls.base_fields.items() if hasattr(row, name)
        }
        return cls(data, initial=initial | kwargs.pop("initial", {}), **kwargs)

    def facts(self) -> dict[str, Any]:
        """The cleaned values, without what only the form needs."""
        return {name: value for name, value in self.cleaned_data.items() if name != "rest_not_observed"}


def stored(field: forms.Field, value: Any) -> Any:
    """A stored value as a form's initial: NULL or empty text of an observable fact reads "not observed"."""
    if isinstance(field, ObservedField | ObservedChoiceField) and value in (None, ""):
        return NOT_OBSERVED
    return value


def row_initial(form: type[forms.Form], row: Any) -> dict[str, Any]:
    """The initial values of a sub-row's form from its stored row."""
    return {name: stored(field, getattr(row, name)) for name, field in form.base_fields.items() if hasattr(row, name)}


def kept_rows(formset: BaseFormSet) -> list[dict[str, Any]]:
    """The rows to store: those filled in and not removed."""
    kept = []
    for form in formset.forms:
        values = {name: value for name, value in form.cleaned_data.items() if name != "DELETE"}
        if values and not form.cleaned_data.get("DELETE"):
            kept.append(values)
    return kept


def add_refusal(form: forms.Form, error: ValidationError) -> None:
    """Put what the database or a service refused at its fields, or above the form."""
    if not hasattr(error, "error_dict"):
        form.add_error(None, error)
        return
    for name, errors in error.error_dict.items():
        form.add_error(name if name in form.fields and name != NON_FIELD_ERRORS else None, errors)


def error_lines(form: forms.Form, rows: Iterable[tuple[str, BaseFormSet]] = ()) -> list[ErrorLine]:
    """Every error of a form and its sub-rows, each with the place it is about."""
    lines = list(_form_errors(form, ""))
    for title, formset in rows:
        lines += [ErrorLine(f"{formset.prefix}-rows", title, str(e)) for e in formset.non_form_errors()]
        for number, row in enumerate(formset.forms, start=1):
            lines += _form_errors(row, f"{title}, row {number}: ")
    return lines


def _form_errors(form: forms.Form, before: str) -> Iterator[ErrorLine]:
    for name, errors in form.errors.items():
        for error in errors:
            if name == NON_FIELD_ERRORS:
                yield ErrorLine("main", f"{before}whole".removesuffix("whole") or "This form", str(error))
            else:
                field = form[name]
                target = field.id_for_label or field.auto_id
                yield ErrorLine(target, f"{before}{field.label}", str(error))


class PersonField(forms.ModelChoiceField):
    """A person by the name that colleagues know."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(User.objects.none(), **kwargs)

    def label_from_instance(self, obj: User) -> str:
        return obj.display_name


def people_with(*roles: Role) -> Any:
    """Active users who hold one of the roles."""
    return User.objects.filter(is_active=True, groups__name__in=roles).distinct().order_by("last_name", "username")


# --- clients and jobs ------------------------------------------------------------------------------------------------
class ClientForm(forms.Form):
    name = forms.CharField(max_length=120)
    mailing_address = forms.CharField(max_length=300, required=False)
    phone = forms.CharField(max_length=40, required=False, widget=forms.TextInput(attrs={"type": "tel"}))
    email = forms.EmailField(required=False, label="E-mail")
    notes = forms.CharField(required=False, widget=forms.Textarea(attrs={"rows": 3}))


class NewJobForm(forms.Form):
    """What opens a job; its number is the next free one of the year."""

    house = forms.ModelChoiceField(House.objects.none(), empty_label="choose…")
    title = forms.CharField(max_length=160, help_text="Printed on every paper, such as: Cripple wall retrofit.")
    legal_basis = forms.ChoiceField(
        choices=[("", "choose…"), *words(LegalBasis)], help_text="The engineer's criteria sheet must agree with it."
    )
    estimator = PersonField(required=False, empty_label="nobody yet")
    programme = forms.CharField(
        max_length=120, required=False, help_text="Grant, rebate or insurer, where one applies; empty: none."
    )

    def __init__(self, *args: Any, houses: Any, **kwargs: Any) -> None:
        super().__init__(*args, label_suffix="", **kwargs)
        self.fields["house"].queryset = houses
        self.fields["estimator"].queryset = people_with(Role.ESTIMATOR, Role.OFFICE)


class JobForm(PartedForm):
    """A job's facts: what it is, whom it waits for, the days on which things happened."""

    title = forms.CharField(max_length=160)
    legal_basis = forms.ChoiceField(choices=words(LegalBasis))
    estimator = PersonField(required=False, empty_label="nobody yet")
    programme = forms.CharField(max_length=120, required=False, help_text="Grant, rebate or insurer; empty: none.")
    waiting_for_who = forms.CharField(max_length=80, required=False, label="Waits for", help_text="Who has to act.")
    waiting_for_what = forms.CharField(max_length=160, required=False, label="What for")
    waiting_for_due = day_field(required=False, label="Due")
    survey_on = day_field(required=False, label="Survey booked for")
    proposed_on = day_field(required=False, label="Proposal handed over")
    contract_signed_on = day_field(required=False, label="Contract signed")
    cancellation_ends_on = day_field(required=False, label="Cancellation period ends")
    permit_applied_on = day_field(required=False, label="Permit applied for")
    permit_number = forms.CharField(max_length=60, required=False)
    permit_issued_on = day_field(required=False, label="Permit issued")
    programme_approved_on = day_field(required=False, label="Programme approved")
    prescriptive_accepted_on = day_field(required=False, label="Prescriptive set accepted")

    PARTS = (
        ("job", "Job", ("title", "legal_basis", "estimator", "programme")),
        ("waits", "Waits for", ("waiting_for_who", "waiting_for_what", "waiting_for_due")),
        ("sale", "Survey and contract", ("survey_on", "proposed_on", "contract_signed_on", "cancellation_ends_on")),
        (
            "permit",
            "Permit and programme",
            ("permit_applied_on", "permit_number", "permit_issued_on", "programme_approved_on",
             "prescriptive_accepted_on"),
        ),
    )  # fmt: skip

    def __init__(self, data: Any = None, *, office: bool, **kwargs: Any) -> None:
        super().__init__(data, **kwargs)
        del self.fields["rest_not_observed"]
        self.fields["estimator"].queryset = people_with(Role.ESTIMATOR, Role.OFFICE)
        if not office:  # permit and programme are the office's to enter
            for name in self.PARTS[-1][2]:
                del self.fields[name]
            self.PARTS = self.PARTS[:-1]


class AssignForm(forms.Form):
    engineer = PersonField(empty_label="choose…")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["engineer"].queryset = people_with(Role.ENGINEER)


class CitySetForm(forms.Form):
    city_set = forms.FileField(
        label="City-approved set (PDF)", widget=forms.FileInput(attrs={"accept": "application/pdf"})
    )


class HoldForm(forms.Form):
    reason = forms.CharField(max_length=300, label="Why the job is on hold")
