"""The estimator's pages: clients, houses, wall lines as surveyed, with the load path beside them."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.db import transaction
from django.db.models import Count, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from jobs import policy
from jobs.errors import Refused, Stale
from jobs.models import SCOPE_ITEMS, Client, House, Job, JobEvent, WallLine
from jobs.services import clients as client_service
from jobs.services import houses as house_service
from jobs.services import wall_lines as wall_line_service
from jobs.web import house_forms
from jobs.web.drafts import draft_of_line
from jobs.web.forms import ClientForm, add_refusal, error_lines, kept_rows
from jobs.web.guards import meanwhile, needs, seen_version, typed
from jobs.web.plan import plan_of
from jobs.web.wall_line_forms import ROWS, WallLineForm, row_formsets

A_PAGE = 25
form_page = require_http_methods(["GET", "HEAD", "POST"])


# --- clients ---------------------------------------------------------------------------------------------------------
@require_safe
@needs("client.view")
def client_list(request: HttpRequest) -> HttpResponse:
    """Clients by name, searched over name, address, phone and e-mail."""
    asked = typed(request.GET, "q")
    found = Client.objects.visible_to(request.user).annotate(house_count=Count("houses", distinct=True))
    if asked:
        found = found.filter(
            Q(name__icontains=asked)
            | Q(mailing_address__icontains=asked)
            | Q(phone__icontains=asked)
            | Q(email__icontains=asked)
            | Q(houses__address__icontains=asked)
        ).distinct()
    page = Paginator(found.order_by("name", "pk"), A_PAGE).get_page(request.GET.get("page"))
    may_edit = policy.check(request.user, "client.edit")
    return render(request, "jobs/client_list.html", {"page": page, "asked": asked, "may_edit": may_edit})


@require_safe
@needs("client.view")
def client_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """One client with the houses and their jobs."""
    client = get_object_or_404(Client.objects.visible_to(request.user), pk=pk)
    context = {
        "client": client,
        "houses": client.houses.prefetch_related("jobs"),
        "may_edit": policy.check(request.user, "client.edit", client),
        "may_add_house": policy.check(request.user, "house.edit"),
    }
    return render(request, "jobs/client_detail.html", context)


@form_page
@needs("client.edit")
def client_create(request: HttpRequest) -> HttpResponse:
    form = ClientForm(request.POST or None, label_suffix="")
    if request.method == "POST" and form.is_valid():
        try:
            client = client_service.create_client(by=request.user, **form.cleaned_data)
            return redirect("client-detail", client.pk)
        except ValidationError as why:
            add_refusal(form, why)
    return _form(request, "jobs/client_form.html", form, {"title": "New client"})


@form_page
@needs("client.edit")
def client_edit(request: HttpRequest, pk: int) -> HttpResponse:
    client = get_object_or_404(Client.objects.visible_to(request.user), pk=pk)
    context: dict[str, Any] = {"title": client.name, "client": client, "version": client.version}
    initial = {name: getattr(client, name) for name in ClientForm.base_fields}
    form = ClientForm(request.POST or None, initial=initial, label_suffix="")
    if request.method == "POST" and form.is_valid():
        try:
            client_service.edit_client(
                client_id=pk, seen_version=seen_version(request), changes=form.cleaned_data, by=request.user
            )
            return redirect("client-detail", pk)
        except ValidationError as why:
            add_refusal(form, why)
        except Stale as why:
            context |= _stale(request, why, form, JobEvent.objects.filter(subject=f"client {pk}"))
    return _form(request, "jobs/client_form.html", form, context)


# --- houses ----------------------------------------------------------------------------------------------------------
@require_safe
@needs("house.view")
def house_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """What is known of a house: plan, weights, hazard, scope screen, wall lines, jobs."""
    house = get_object_or_404(House.objects.visible_to(request.user).select_related("client", "jurisdiction"), pk=pk)
    lines = list(house.wall_lines.order_by("label"))
    may_edit = policy.check(request.user, "house.edit", house)
    context = {
        "house": house,
        "lines": lines,
        "plan": plan_of(house, lines),
        "jobs": Job.objects.visible_to(request.user).filter(house=house),
        "scope": [(words, house.scope_screen.get(item, {})) for item, words in SCOPE_ITEMS.items()],
        "missing": house_service.missing_facts(house) if may_edit else [],
        "lines_missing": [m for line in lines for m in wall_line_service.missing_facts(line)] if may_edit else [],
        "may_edit": may_edit,
        "may_see_client": policy.check(request.user, "client.view"),
        "may_add_job": policy.check(request.user, "job.create"),
    }
    return render(request, "jobs/house_detail.html", context)


@form_page
@needs("house.edit")
def house_create(request: HttpRequest) -> HttpResponse:
    return _house_form(request, None)


@form_page
@needs("house.edit")
def house_edit(request: HttpRequest, pk: int) -> HttpResponse:
    return _house_form(request, get_object_or_404(House.objects.visible_to(request.user), pk=pk))


def _house_form(request: HttpRequest, house: House | None) -> HttpResponse:
    data = request.POST if request.method == "POST" else None
    if house:
        form = house_forms.HouseForm.for_row(house, data)
    else:
        form = house_forms.HouseForm(data, initial={"client": request.GET.get("client"), "rest_not_observed": True})
    scope = house_forms.scope_forms(house, data)
    rows = house_forms.row_formsets(house, data)
    context: dict[str, Any] = {
        "house": house, "scope": scope, "rows": rows, "version": house.version if house else "",
        "title": f"Survey of {house.address}" if house else "New house",
    }  # fmt: skip
    parts = [form, *scope, *(formset for _, formset in rows.values())]
    valid = [part.is_valid() for part in parts] if data is not None else [False]  # all of them, to show every error
    if all(valid):
        try:
            saved = _save_house(request, house, form, scope, rows)
            messages.success(request, f"Saved {saved.address}.")
            return redirect("house-detail", saved.pk)
        except ValidationError as why:
            add_refusal(form, why)
        except Stale as why:
            context |= _stale(request, why, form, house.events.filter(what__startswith="house."))
    titled = [(title, formset) for title, formset in rows.values()]
    context["more_errors"] = [line for part in scope for line in error_lines(part)]
    return _form(request, "jobs/house_form.html", form, context, titled)


@transaction.atomic
def _save_house(request: HttpRequest, house: House | None, form: Any, scope: Any, rows: Any) -> House:
    facts = form.facts() | {"scope_screen": house_forms.scope_screen(scope)}
    children = {name: kept_rows(formset) for name, (_, formset) in rows.items() if formset.has_changed()}
    version = seen_version(request) if house else 1
    if house is None:
        client, jurisdiction = facts.pop("client"), facts.pop("jurisdiction")
        house = house_service.create_house(
            by=request.user, client_id=client.pk, jurisdiction_id=jurisdiction.pk, **facts
        )
        facts = {}
        if not children:
            return house
    return house_service.edit_house(
        house_id=house.pk, seen_version=version, changes=facts, by=request.user, children=children
    )


# --- wall lines ------------------------------------------------------------------------------------------------------
@form_page
@needs("wall_line.edit")
def wall_line_create(request: HttpRequest, house_pk: int) -> HttpResponse:
    house = get_object_or_404(House.objects.visible_to(request.user), pk=house_pk)
    return _wall_line_form(request, house, None)


@form_page
@needs("wall_line.edit")
def wall_line_edit(request: HttpRequest, pk: int) -> HttpResponse:
    line = get_object_or_404(WallLine.objects.visible_to(request.user).select_related("house"), pk=pk)
    return _wall_line_form(request, line.house, line)


def _wall_line_form(request: HttpRequest, house: House, line: WallLine | None) -> HttpResponse:
    data = request.POST if request.method == "POST" else None
    new = {"level": "under the first floor"}
    form = WallLineForm.for_row(line, data) if line else WallLineForm(data, initial=new)
    rows = row_formsets(line, data)
    context: dict[str, Any] = {
        "house": house, "line": line, "version": line.version if line else "",
        "title": str(line) if line else "New wall line",
        "rows": [(kind, rows[kind.relation]) for kind in ROWS],
    }  # fmt: skip
    valid = [part.is_valid() for part in (form, *rows.values())] if data is not None else [False]
    if all(valid):  # every part was asked, to show every error
        children = {name: kept_rows(formset) for name, formset in rows.items() if formset.has_changed()}
        try:
            saved = _save_wall_line(request, house, line, form.facts(), children)
            messages.success(request, f"Saved {saved}. The load path beside the form is computed from what is saved.")
            return redirect(reverse("wall-line-edit", args=[saved.pk], query=request.GET))  # stay with the same job
        except ValidationError as why:
            _add_row_refusals(form, rows, why)
        except Stale as why:
            context |= _stale(request, why, form, house.events.filter(after__startswith=f"{line}: "))
    if line:
        context |= draft_of_line(request.user, line, request.GET.get("job"))
    titled = [(kind.title, rows[kind.relation]) for kind in ROWS]
    return _form(request, "jobs/wall_line_form.html", form, context, titled)


def _save_wall_line(
    request: HttpRequest, house: House, line: WallLine | None, facts: dict[str, Any], children: dict[str, Any]
) -> WallLine:
    if line is None:
        return wall_line_service.create_wall_line(house_id=house.pk, by=request.user, children=children, **facts)
    return wall_line_service.edit_wall_line(
        wall_line_id=line.pk, seen_version=seen_version(request), changes=facts, by=request.user, children=children
    )


@require_http_methods(["POST"])
@needs("wall_line.edit")
def wall_line_remove(request: HttpRequest, pk: int) -> HttpResponse:
    """Take away a line entered by mistake; the service says when it is too late for that."""
    line = get_object_or_404(WallLine.objects.visible_to(request.user).select_related("house"), pk=pk)
    try:
        wall_line_service.remove_wall_line(wall_line_id=pk, seen_version=seen_version(request), by=request.user)
    except Refused as why:
        for reason in why.reasons:
            messages.error(request, reason)
        return redirect("wall-line-edit", pk)
    messages.success(request, f"Removed {line}.")
    return redirect("house-detail", line.house_id)


def _add_row_refusals(form: WallLineForm, rows: dict[str, Any], why: ValidationError) -> None:
    """What the rules say about rows stands above those rows, the rest at the fields."""
    if not hasattr(why, "error_dict"):
        add_refusal(form, why)
        return
    about_rows = {name: errors for name, errors in why.error_dict.items() if name in rows}
    for name, errors in about_rows.items():
        rows[name].non_form_errors().extend(message for error in errors for message in error.messages)
    rest = {name: errors for name, errors in why.error_dict.items() if name not in rows}
    if rest:
        add_refusal(form, ValidationError(rest))


# --- answers ---------------------------------------------------------------------------------------------------------
def _stale(request: HttpRequest, why: Stale, form: Any, events: Any) -> dict[str, Any]:
    """The next save is made from the row as it stands now."""
    return {"meanwhile": meanwhile(why, form, events, seen=seen_version(request)), "version": why.current.version}


def _form(request: HttpRequest, template: str, form: Any, context: dict[str, Any], rows: Any = ()) -> HttpResponse:
    """The form's page: 200 to begin with, 409 after a stale save, 400 when something is to be put right."""
    errors = error_lines(form, rows) + context.pop("more_errors", []) if request.method == "POST" else []
    status = 409 if "meanwhile" in context else 400 if request.method == "POST" else 200
    return render(request, template, {**context, "form": form, "errors": errors}, status=status)
