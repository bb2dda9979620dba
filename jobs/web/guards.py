"""What every page asks before it does anything, and how it answers a stale save."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from typing import Any

from django import forms
from django.contrib.auth.decorators import login_required
from django.core.exceptions import BadRequest
from django.http import HttpRequest, HttpResponse, QueryDict

from jobs import policy
from jobs.errors import Stale
from jobs.models import JobEvent
from jobs.web.forms import stored

View = Callable[..., HttpResponse]


def needs(action: str) -> Callable[[View], View]:
    """A view for people who are logged in and whose roles include the action; else the log-in page, or 403."""

    def guard(view: View) -> View:
        @wraps(view)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
            policy.require(request.user, action)
            return view(request, *args, **kwargs)

        return login_required(guarded)

    return guard


def typed(data: QueryDict, name: str) -> str:
    """What stands in a plain text box, without the ends' spaces and without what no database keeps."""
    return data.get(name, "").replace("\x00", "").strip()


def seen_version(request: HttpRequest) -> int:
    """The version that the form was filled in from. BadRequest when it is not there."""
    try:
        return int(request.POST["version"])
    except (KeyError, ValueError) as why:
        raise BadRequest("The form came without the version it was filled in from.") from why


@dataclass(frozen=True, slots=True)
class Difference:
    """A field that reads otherwise now than what was typed."""

    label: str
    typed: str
    now: str


@dataclass(frozen=True, slots=True)
class Meanwhile:
    """What happened to a row while someone was editing it: who did what, and which fields differ from the typed."""

    events: list[JobEvent]
    differences: list[Difference]


def meanwhile(stale: Stale, form: forms.Form, events: Any, *, seen: int) -> Meanwhile:
    """For the page that answers a stale save; `events` is the log of this row's edits, one a version at most."""
    differences = []
    for bound in form:
        if not hasattr(stale.current, bound.name):
            continue
        now = _as_text(bound.field, stored(bound.field, getattr(stale.current, bound.name)))
        typed = _as_text(bound.field, bound.value())
        if typed != now:
            differences.append(Difference(bound.label, typed or "nothing", now or "nothing"))
    saves = max(1, stale.current.version - seen)
    return Meanwhile(list(events.select_related("by").order_by("-at", "-pk")[:saves]), differences)


def _as_text(field: forms.Field, value: Any) -> str:
    """A field's value as it is read on the page."""
    if isinstance(field.widget, forms.MultiWidget):
        box, ticked = value if isinstance(value, list) else field.widget.decompress(field.prepare_value(value))
        return "not observed" if ticked in (True, "on") else str(field.fact.prepare_value(box) or "").strip()
    if isinstance(field, forms.BooleanField):
        return "yes" if value in (True, "on", "True") else "no"
    value = field.prepare_value(value)
    if isinstance(field, forms.ChoiceField):
        chosen = str(getattr(value, "pk", value))
        return next((str(words) for key, words in field.choices if str(key) == chosen), "")
    return "" if value is None else str(value).replace("\r\n", "\n").strip()
