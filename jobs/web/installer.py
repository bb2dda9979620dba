"""The crew's pages: today's work orders, one wall at a time, tick and log. Plain forms, nothing to load."""

from __future__ import annotations

from datetime import timedelta
from typing import Any
from uuid import uuid4

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from jobs import cautions, policy
from jobs.errors import Refused
from jobs.models import OVER, FieldEventKind, WorkOrder
from jobs.services import field_work
from jobs.web.fields import LengthField
from jobs.web.forms import ErrorLine, error_lines
from jobs.web.guards import needs
from jobs.web.tasks import Sheet, Task, Wall

LOOK_BACK = timedelta(days=14)
WITH_POSITION = (FieldEventKind.MOVED,)
WITH_WORDS = (FieldEventKind.MISSED, FieldEventKind.SUBSTITUTED, FieldEventKind.SPLIT, FieldEventKind.NOTE)
KIND_WORDS = {
    FieldEventKind.INSTALLED: "Installed as shown",
    FieldEventKind.MOVED: "Moved",
    FieldEventKind.MISSED: "Missed, or not possible here",
    FieldEventKind.SUBSTITUTED: "Something else used",
    FieldEventKind.SPLIT: "Wood split",
    FieldEventKind.NOTE: "Note only",
}


class EntryForm(forms.Form):
    """One entry of the log. `id` and `at_client` are made with the page, so that sending it twice writes it once."""

    id = forms.UUIDField(widget=forms.HiddenInput)
    at_client = forms.DateTimeField(widget=forms.HiddenInput, input_formats=["%Y-%m-%dT%H:%M:%S.%f%z"])
    makes_good = forms.UUIDField(required=False, widget=forms.HiddenInput)
    kind = forms.ChoiceField(choices=list(KIND_WORDS.items()), widget=forms.RadioSelect, label="What happened")
    moved_to_in = LengthField(
        required=False, positive=False, label="Moved to", help_text="From the zero end, as 4'-3\" or 51 in."
    )
    note = forms.CharField(required=False, max_length=500, widget=forms.Textarea(attrs={"rows": 3}), label="Words")

    def clean(self) -> dict[str, Any]:
        said = super().clean()
        kind = said.get("kind")
        if kind in WITH_POSITION and said.get("moved_to_in") is None and "moved_to_in" not in self.errors:
            self.add_error("moved_to_in", "Say where it stands now.")
        if kind in WITH_WORDS and not said.get("note"):
            self.add_error("note", "Say what happened, in a few words.")
        return said


@require_safe
@needs("work_order.log")
def today(request: HttpRequest) -> HttpResponse:
    """The work orders of the own crews: today's, the coming ones, and what was left open lately."""
    day = timezone.localdate()
    orders = (
        WorkOrder.objects.visible_to(request.user)
        .exclude(job__stage__in=OVER)
        .filter(day__gte=day - LOOK_BACK)
        .select_related("job__house", "design", "crew")
        .distinct()
    )
    sheets = [Sheet(order) for order in orders.order_by("day", "pk")]
    return render(
        request,
        "jobs/today.html",
        {
            "day": day,
            "now": [sheet for sheet in sheets if sheet.order.day == day],
            "coming": [sheet for sheet in sheets if sheet.order.day > day],
            "left_open": [sheet for sheet in sheets if sheet.order.day < day and sheet.done < sheet.total],
        },
    )


@require_safe
@needs("work_order.view")
def work_order_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """The cautions first; once they are acknowledged, the walls."""
    return _order_page(request, _order(request, pk))


@require_POST
@needs("work_order.acknowledge")
def cautions_acknowledge(request: HttpRequest, pk: int) -> HttpResponse:
    """The crew says that it has read the cautions."""
    order = _order(request, pk)
    field_work.acknowledge_cautions(work_order_id=order.pk, by=request.user)
    return redirect("work-order-detail", order.pk)


@require_safe
@needs("work_order.view")
def work_order_wall(request: HttpRequest, pk: int, number: int) -> HttpResponse:
    """One wall: what to install, bay by bay, and its hold points."""
    order = _order(request, pk)
    sheet, wall = _wall(order, number)
    return _wall_page(request, order, sheet, wall)


@require_http_methods(["GET", "HEAD", "POST"])
@needs("work_order.log")
def field_event(request: HttpRequest, pk: int, number: int, task: str) -> HttpResponse:
    """One task on one screen, and what to say about it. `task` "note" is about the wall as a whole."""
    order = _order(request, pk)
    policy.require(request.user, "work_order.log", on=order)
    sheet, wall = _wall(order, number)
    found = wall.task(task)
    if found is None and task != "note":
        raise Http404(f"No task {task} on wall line {wall.label}.")
    if request.method != "POST":
        return _entry_page(request, sheet, wall, found, _new_entry(found))
    form = _entry(found, request.POST)
    if not form.is_valid():
        return _entry_page(request, sheet, wall, found, form, status=400)
    try:
        field_work.log_event(
            event_id=form.cleaned_data["id"],
            work_order_id=order.pk,
            wall_line_label=wall.label,
            kind=form.cleaned_data["kind"],
            payload=_payload(found, form.cleaned_data),
            at_client=form.cleaned_data["at_client"],
            by=request.user,
        )
    except Refused as why:
        return _entry_page(request, sheet, wall, found, form, reasons=why.reasons, status=409)
    messages.success(request, f"Logged: {found.title if found else 'note'}, {KIND_WORDS[form.cleaned_data['kind']]}.")
    following = wall.after(task) if found else None
    if following and request.POST.get("then") == "next":
        return redirect("field-event", order.pk, wall.number, following.key)
    return redirect("work-order-wall", order.pk, wall.number)


@require_POST
@needs("work_order.tick")
def hold_point_tick(request: HttpRequest, pk: int, number: int) -> HttpResponse:
    """The crew's lead ticks a hold point, dated today."""
    order = _order(request, pk)
    sheet, wall = _wall(order, number)
    name = request.POST.get("name", "")
    if name not in [point.name for point in wall.points]:
        raise Http404(f"No hold point {name!r} on wall line {wall.label}.")
    try:
        field_work.tick_hold_point(work_order_id=order.pk, wall_line_label=wall.label, name=name, by=request.user)
    except Refused as why:
        return _wall_page(request, order, sheet, wall, reasons=why.reasons, status=409)
    messages.success(request, f"Ticked: {name}.")
    return redirect("work-order-wall", order.pk, wall.number)


def _order(request: HttpRequest, pk: int) -> WorkOrder:
    orders = WorkOrder.objects.visible_to(request.user).select_related("job__house", "design", "crew__lead")
    return get_object_or_404(orders.distinct(), pk=pk)


def _wall(order: WorkOrder, number: int) -> tuple[Sheet, Wall]:
    sheet = Sheet(order)
    wall = next((wall for wall in sheet.walls if wall.number == number), None)
    if wall is None:
        raise Http404(f"{order} has no wall number {number}.")
    return sheet, wall


def _context(request: HttpRequest, order: WorkOrder, sheet: Sheet) -> dict[str, Any]:
    against = field_work.why_not_workable(order)
    may_log = bool(policy.check(request.user, "work_order.log", on=order))
    return {
        "order": order,
        "house": order.job.house,
        "sheet": sheet,
        "against": against,
        "may_log": may_log and not against,
        "may_tick": not against and bool(policy.check(request.user, "work_order.tick", on=order)),
    }


def _order_page(request: HttpRequest, order: WorkOrder) -> HttpResponse:
    sheet = Sheet(order)
    context = _context(request, order, sheet)
    if order.cautions_acknowledged_at is None:
        context["cautions"] = cautions.of(sheet.snapshot)
        context["may_acknowledge"] = bool(policy.check(request.user, "work_order.acknowledge", on=order))
    return render(request, "jobs/work_order.html", context)


def _wall_page(
    request: HttpRequest,
    order: WorkOrder,
    sheet: Sheet,
    wall: Wall,
    *,
    reasons: tuple[str, ...] = (),
    status: int = 200,
) -> HttpResponse:
    if order.cautions_acknowledged_at is None:
        return redirect("work-order-detail", order.pk)
    context = {**_context(request, order, sheet), "wall": wall, "reasons": reasons}
    return render(request, "jobs/work_order_wall.html", context, status=status)


def _entry_page(
    request: HttpRequest,
    sheet: Sheet,
    wall: Wall,
    task: Task | None,
    form: EntryForm,
    *,
    reasons: tuple[str, ...] = (),
    status: int = 200,
) -> HttpResponse:
    errors: list[ErrorLine] = error_lines(form) if form.is_bound else []
    context = {**_context(request, sheet.order, sheet), "wall": wall, "task": task, "form": form}
    context["as_shown"] = _new_entry(task)  # an id of its own, so that either form can be sent
    context |= {"reasons": reasons, "errors": errors}
    return render(request, "jobs/field_event.html", context, status=status)


def _new_entry(task: Task | None) -> EntryForm:
    initial = {"id": uuid4(), "at_client": timezone.now().strftime("%Y-%m-%dT%H:%M:%S.%f%z")}
    if task and task.last and task.last.kind in field_work.SHORTFALLS:
        initial["makes_good"] = task.last.pk
    return _entry(task, initial=initial)


def _entry(task: Task | None, data: Any = None, **kwargs: Any) -> EntryForm:
    form = EntryForm(data, label_suffix="", **kwargs)
    if task is None:
        form.fields["kind"].choices = [(FieldEventKind.NOTE, KIND_WORDS[FieldEventKind.NOTE])]
        del form.fields["moved_to_in"]
    elif data is None:  # "installed as shown" is the other button
        form.fields["kind"].choices = [(kind, words) for kind, words in KIND_WORDS.items() if kind != "installed"]
    return form


def _payload(task: Task | None, said: dict[str, Any]) -> dict[str, Any]:
    payload = task.payload() if task else {}
    if said.get("moved_to_in") is not None and said["kind"] == FieldEventKind.MOVED:
        payload["moved_to_in"] = said["moved_to_in"]
    if said["note"]:
        payload["text"] = said["note"]
    if said["makes_good"] and said["kind"] == FieldEventKind.INSTALLED:
        payload["makes_good"] = str(said["makes_good"])
    return payload
