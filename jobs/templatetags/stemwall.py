"""What templates need to print values our way: status marks, ratios, lengths, dates. No rule and no query."""

from __future__ import annotations

import re
from datetime import date, datetime
from typing import Any

from django import template
from django.forms import BoundField
from django.utils import timezone
from django.utils.text import slugify

from engineering.feet_inches import format_feet_inches, format_inches
from jobs.models import JobEvent

register = template.Library()

FRAME = 100.0  # drawn width of a ratio of 1.00
BROKEN_FRAME = 118.0  # where a bar over 1.00 stops


@register.filter
def length(length_in: float | None) -> str:
    """A length in inches as feet-inch text to 1/16 in; "not observed" for None."""
    if length_in is None:
        return "not observed"
    return format_inches(length_in) if abs(length_in) < 12 else format_feet_inches(length_in)


@register.filter
def feet(length_ft: float | None) -> str:
    """A length in feet as feet-inch text; "not observed" for None."""
    return "not observed" if length_ft is None else format_feet_inches(length_ft * 12.0)


@register.filter
def observed(value: Any) -> str:
    """A recorded fact, yes or no, or the words "not observed"."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if value is None or value == "":
        return "not observed"
    return f"{value:g}" if isinstance(value, float) else str(value)


@register.filter
def day(moment: date | None) -> str:
    """25 Nov 2026; empty for None."""
    if moment is None:
        return ""
    if isinstance(moment, datetime):
        moment = timezone.localtime(moment)
    return f"{moment.day} {moment:%b %Y}"


@register.filter
def clock(moment: datetime | None) -> str:
    """25 Nov 2026, 14:05 in the company's time zone."""
    return "" if moment is None else f"{day(moment)}, {timezone.localtime(moment):%H:%M}"


@register.filter
def pounds(value: float | None) -> str:
    """A force to the whole unit with thousands parted; empty for None."""
    return "" if value is None else f"{value:,.0f}"


UNITS = {"_in": "in", "_ft": "ft", "_psf": "psf", "_psi": "psi", "_plf": "plf", "_lb": "lb", "_percent": "%", "_g": "g"}
EVENTS = {
    "job.create": "opened",
    "job.edit": "facts and dates",
    "job.assign": "engineer assigned",
    "job.hold": "hold",
    "job.city_set": "city-approved set",
    "design.draft": "methods",
    "design.issue": "design issued",
    "criteria.start": "criteria sheet started",
    "criteria.edit": "criteria sheet changed",
    "criteria.confirm": "criteria sheet confirmed",
    "review.return": "returned",
    "review.resolve": "comment dealt with",
    "document.cancel": "paper cancelled",
    "packet.make": "packet made",
    "packet.sign": "stamped",
    "packet.withdraw": "packet withdrawn",
    "work_order.create": "crew booked",
    "work_order.acknowledge": "cautions acknowledged",
    "inspection.record": "inspection",
    "house.edit": "survey of the house",
    "house.name_mode": "mode of calculation named",
    "wall_line.edit": "survey of a wall line",
    "anchor.accept": "existing anchor",
    "sheathing.accept": "found sheathing",
    "nailing.accept": "nailing of the code of the year built",
    "foundation.accept": "foundation",
    "test.accept": "test accepted",
    "client.edit": "client",
}


@register.filter
def event_words(what: str) -> str:
    """What a log entry is about, in words."""
    return "moved" if what.startswith("job.move.") else EVENTS.get(what, re.sub(r"[._]", " ", what))


FIELD = r"(?:^|; )(?:[^:;=]*: )?([a-z][a-z_0-9]*) = "  # as the log writes a changed field


@register.simple_tag
def changes(event: JobEvent) -> list[dict[str, str]]:
    """The fields that an edit changed, each from what to what; empty for an entry that is not about fields."""
    before, after = _fields(event.before), _fields(event.after)
    if not before or before.keys() != after.keys():
        return []
    # Only survey facts are "not observed"; an empty date of a job is just empty.
    absent = "not observed" if event.house_id else "nothing"
    said = {"not observed": absent}
    return [
        {"label": _label(name), "before": said.get(was, was), "after": said.get(after[name], after[name])}
        for name, was in before.items()
    ]


def _fields(text: str) -> dict[str, str]:
    parts = re.split(FIELD, text)
    return {name: _fact(value) for name, value in zip(parts[1::2], parts[2::2], strict=True)} if len(parts) > 1 else {}


def _fact(value: str) -> str:
    """A logged value as a person reads it."""
    value = re.sub(r"\b([0-9a-f]{12})[0-9a-f]{52}\b", r"\1…", value.strip())  # a hash by its beginning
    if re.fullmatch(r"\d{4}-\d\d-\d\d", value):
        return day(date.fromisoformat(value))
    return {"": "nothing", "True": "yes", "False": "no", "[]": "nothing"}.get(value, value)


def _label(name: str) -> str:
    """A field's name in words, its unit in brackets."""
    for suffix, unit in UNITS.items():
        if name.endswith(suffix):
            return f"{name.removesuffix(suffix).replace('_', ' ')} ({unit})"
    return name.replace("_", " ")


@register.inclusion_tag("jobs/_status.html")
def status(word: str) -> dict[str, str]:
    """The status word with its mark."""
    return {"word": word, "slug": slugify(word)}


@register.inclusion_tag("jobs/_ratio.html")
def ratio(value: float | None, *, bar: bool = True) -> dict[str, Any]:
    """A ratio with two decimals and, unless told otherwise, a thin bar; over 1.00 the bar breaks the frame."""
    if value is None:
        return {"value": None}
    over = value > 1.0
    width = BROKEN_FRAME if over else FRAME * value
    # 1.004 is over, so it must not print as 1.00.
    printed = f"{value:.2f}" if not over or value >= 1.005 else "> 1.00"
    return {"value": printed, "width": f"{width:.1f}", "over": over, "bar": bar}


@register.filter
def understood(field: BoundField) -> str:
    """How the field's text is read; empty where there is nothing to say."""
    read = getattr(field.field, "understood", None)
    if read is None:
        return ""
    value = field.data if field.form.is_bound and isinstance(field.data, list) else field.value()
    return read(value)
