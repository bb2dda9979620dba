"""Form fields that speak the trade: feet-inch text, outlines, and "not observed" as a choice of its own.

A field keeps what was typed. `understood` says how a typed text was read, so that a slip shows at once.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from django import forms
from django.db.models import TextChoices

from engineering.errors import OutOfRange
from engineering.feet_inches import format_feet_inches, format_inches, parse_inches

NOT_OBSERVED = "not observed"
FIFTEENTH_DIGIT = 1e-6


def length_text(length_in: float) -> str:
    """A length as a tradesman writes it, `12'-6 1/2"`; decimal inches where 1/16 in would round it."""
    text = format_inches(length_in) if abs(length_in) < 12 else format_feet_inches(length_in)
    return text if abs(parse_inches(text) - length_in) < FIFTEENTH_DIGIT else f"{length_in:.7g} in"


def understood_length(length_in: float) -> str:
    """How a length was read: `12'-6 1/2" = 150 1/2 in`."""
    inches = format_inches(length_in).replace('"', "")
    if abs(parse_inches(f"{inches} in") - length_in) > FIFTEENTH_DIGIT:
        inches = f"{length_in:.7g}"
    return f"{inches} in" if abs(length_in) < 12 else f"{length_text(length_in)} = {inches} in"


class LengthField(forms.CharField):
    """A length written in feet and inches, read to inches. `12'-6 1/2"`, `12 ft 6-1/2 in`, `150.5 in`, `6.5"`."""

    def __init__(self, *, positive: bool = True, **kwargs: Any) -> None:
        self.positive = positive
        super().__init__(**kwargs)

    def to_python(self, value: Any) -> float | None:
        text = super().to_python(value)
        if not text:
            return None
        try:
            length_in = parse_inches(text)
        except OutOfRange as why:
            raise forms.ValidationError(f"{why.value} can't be read as a length: {why.allowed}.") from why
        if length_in < 0 or (self.positive and length_in == 0):
            raise forms.ValidationError("The length must be greater than 0." if self.positive else "Not below 0.")
        return length_in

    def prepare_value(self, value: Any) -> Any:
        return length_text(value) if isinstance(value, int | float) else value

    def understood(self, text: Any) -> str:
        """How the text is read, empty where it is not."""
        try:
            length_in = self.to_python(self.prepare_value(text))
        except forms.ValidationError:
            return ""
        return "" if length_in is None else understood_length(length_in)


class NumberField(forms.FloatField):
    """A plain number in the unit that the label names; keeps what was typed."""

    widget = forms.TextInput(attrs={"inputmode": "decimal"})

    def prepare_value(self, value: Any) -> Any:
        return f"{value:.10g}" if isinstance(value, float) else value


class SuggestedInput(forms.TextInput):
    """A text box with the names that a table has; other words can be typed as well."""

    template_name = "jobs/widgets/suggested.html"

    def __init__(self, names: Iterable[str], **kwargs: Any) -> None:
        self.names = tuple(names)
        super().__init__(**kwargs)

    def get_context(self, name: str, value: Any, attrs: dict[str, Any] | None) -> dict[str, Any]:
        context = super().get_context(name, value, attrs)
        listed = f"{context['widget']['attrs'].get('id', name)}-names"
        context["widget"]["attrs"]["list"] = listed
        context["widget"]["names"] = self.names
        return context


class ListedField(forms.CharField):
    """Several values in one box; an empty box is an empty list, and no change from it."""

    def has_changed(self, initial: Any, data: Any) -> bool:
        return super().has_changed(initial or None, data) if data and data.strip() else bool(initial)


class LengthListField(ListedField):
    """Lengths in one box, parted by commas, semicolons or new lines."""

    widget = forms.Textarea(attrs={"rows": 3})

    def to_python(self, value: Any) -> list[float]:
        one = LengthField(positive=False)
        return [one.clean(part) for part in re.split(r"[,;\n]+", super().to_python(value)) if part.strip()]

    def prepare_value(self, value: Any) -> Any:
        return ", ".join(length_text(length_in) for length_in in value) if isinstance(value, list) else value

    def understood(self, text: Any) -> str:
        """How many were read, and the last of them."""
        try:
            lengths = self.to_python(self.prepare_value(text) or "")
        except forms.ValidationError:
            return ""
        return f"{len(lengths)} places, the last at {understood_length(lengths[-1])}" if lengths else ""


class NumberListField(ListedField):
    """Plain numbers in one box, parted by commas or semicolons."""

    def to_python(self, value: Any) -> list[float]:
        one = forms.FloatField()
        return [one.clean(part.strip()) for part in re.split(r"[,;]", super().to_python(value)) if part.strip()]

    def prepare_value(self, value: Any) -> Any:
        return ", ".join(f"{number:.10g}" for number in value) if isinstance(value, list) else value


class OutlineField(ListedField):
    """Corners of a plan outline, one a line, `x, y` in feet (or feet-inch text), in order around the house."""

    widget = forms.Textarea(attrs={"rows": 6})

    def to_python(self, value: Any) -> list[list[float]]:
        return [self._corner(line) for line in super().to_python(value).splitlines() if line.strip()]

    def _corner(self, line: str) -> list[float]:
        parts = line.split(",")
        if len(parts) != 2:
            raise forms.ValidationError(f"“{line.strip()}” is not a corner: write x, y in feet, one corner a line.")
        return [self._feet(part.strip()) for part in parts]

    def _feet(self, text: str) -> float:
        if re.fullmatch(r"-?\d+(\.\d+)?", text):
            return float(text)
        try:
            return parse_inches(text) / 12.0
        except OutOfRange as why:
            raise forms.ValidationError(f"{why.value} can't be read as feet: {why.allowed}.") from why

    def prepare_value(self, value: Any) -> Any:
        return "\n".join(f"{x:.10g}, {y:.10g}" for x, y in value) if isinstance(value, list) else value

    def understood(self, text: Any) -> str:
        """How many corners, and the outline's width and depth."""
        try:
            corners = self.to_python(self.prepare_value(text) or "")
        except forms.ValidationError:
            return ""
        if len(corners) < 3:
            return ""
        across = [max(axis) - min(axis) for axis in zip(*corners, strict=True)]
        return f"{len(corners)} corners, " + " × ".join(format_feet_inches(feet * 12) for feet in across)


class ObservedWidget(forms.MultiWidget):
    """The box and, beside it, the tick for "not observed"."""

    template_name = "jobs/widgets/observed.html"

    def __init__(self, box: forms.Widget, words: str) -> None:
        self.words = words
        super().__init__([box, forms.CheckboxInput()])

    def get_context(self, name: str, value: Any, attrs: dict[str, Any] | None) -> dict[str, Any]:
        context = super().get_context(name, value, attrs)
        context["widget"]["words"] = self.words
        return context

    def decompress(self, value: Any) -> list[Any]:
        return ["", True] if value == NOT_OBSERVED else ["" if value is None else value, False]

    def id_for_label(self, id_: str) -> str:
        return f"{id_}_0"


class ObservedField(forms.MultiValueField):
    """A fact, or "not observed" said by a tick. Cleans to None (text: "") when ticked.

    Neither given nor ticked is an error, unless the form's `rest_not_observed` speaks for the empty ones.
    """

    def __init__(self, fact: forms.Field, *, words: str = NOT_OBSERVED, **kwargs: Any) -> None:
        self.fact = fact
        self.words = words
        self.fact.required = False
        self.absent: Any = "" if type(fact) is forms.CharField else None
        fields = (fact, forms.BooleanField(required=False))
        super().__init__(
            fields, widget=ObservedWidget(fact.widget, words), require_all_fields=False, required=False, **kwargs
        )

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, list) and len(value) == 2:  # as typed
            return value
        return value if value in (None, NOT_OBSERVED) else self.fact.prepare_value(value)

    def clean(self, value: Any) -> Any:
        typed, ticked = value or ["", False]
        given = self.fact.clean(typed)
        self_said = given not in (None, "", [])
        if ticked in (True, "on", "True"):
            if self_said:
                raise forms.ValidationError(f"Either give it or tick “{self.words}”, not both.", code="both")
            return self.absent
        if not self_said:
            raise forms.ValidationError(f"Give it, or tick “{self.words}”.", code="unsaid")
        return given

    def compress(self, data_list: list[Any]) -> Any:
        raise NotImplementedError  # clean() above answers without it

    def has_changed(self, initial: Any, data: Any) -> bool:
        typed, ticked = data or ["", False]
        before, was_ticked = self.widget.decompress(self.prepare_value(initial))
        return str(typed or "") != str(before or "") or bool(ticked) != bool(was_ticked)

    def understood(self, value: Any) -> str:
        """How the box is read; see LengthField."""
        read = getattr(self.fact, "understood", None)
        text = value[0] if isinstance(value, list) else value
        return read(text) if read and text not in (None, "", NOT_OBSERVED) else ""


class ObservedChoiceField(forms.ChoiceField):
    """One of the choices, or "not observed" among them. Cleans to "" when not observed."""

    def __init__(self, choices: Any, **kwargs: Any) -> None:
        every = [("", "choose…"), *choices, (NOT_OBSERVED, NOT_OBSERVED)]
        super().__init__(choices=every, error_messages={"required": "Choose one, or “not observed”."}, **kwargs)

    def clean(self, value: Any) -> Any:
        chosen = super().clean(value)
        return self.absent if chosen == NOT_OBSERVED else self.meaning(chosen)

    absent: Any = ""

    def meaning(self, chosen: str) -> Any:
        """What a choice stands for in the record."""
        return chosen


class YesNoField(ObservedChoiceField):
    """Yes, no, or "not observed" (None)."""

    absent = None

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(choices=[("yes", "yes"), ("no", "no")], **kwargs)

    def prepare_value(self, value: Any) -> Any:
        return {True: "yes", False: "no"}.get(value, value) if isinstance(value, bool) else value

    def meaning(self, chosen: str) -> Any:
        return {"yes": True, "no": False}.get(chosen)


def words(choices: type[TextChoices]) -> list[tuple[str, str]]:
    """Choices whose values are the trade's own words, shown as they are."""
    return [(value, value) for value in choices.values]


def day_field(**kwargs: Any) -> forms.DateField:
    """A date with the browser's own picker."""
    return forms.DateField(widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"), **kwargs)
