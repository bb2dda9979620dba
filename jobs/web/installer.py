"""The crew's pages: today's work orders, one wall at a time, tick and log. Plain forms, nothing to load."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from jobs import as_built, cautions, policy
from jobs.errors import Refused
from jobs.models import OVER, FieldEventKind, WorkOrder
from jobs.services import field_work
from jobs.web.as_built_page import still_missing
from jobs.web.forms import ErrorLine, error_lines
from jobs.web.guards import needs
from jobs.web.log_forms import KIND_WORDS, EntryForm, NailCountForm, PanelBuiltForm
from jobs.web.tasks import Sheet, Task, Wall

LOOK_BACK = timedelta(days=14)
PANEL_FORMS = ((FieldEventKind.NAIL_COUNT, NailCountForm), (FieldEventKind.PANEL_BUILT, PanelBuiltForm))


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
        return _entry_page(request, sheet, wall, found, _new_entry(order, found))
    form = _entry(order, found, request.POST)
    if not form.is_valid():
        return _entry_page(request, sheet, wall, found, form, status=400)
    try:
        with transaction.atomic():
            form.log(work_order_id=order.pk, wall_line_label=wall.label, by=request.user)
    except Refused as why:
        return _entry_page(request, sheet, wall, found, form, reasons=why.reasons, status=409)
    messages.success(request, f"Logged: {found.title if found else 'note'}, {KIND_WORDS[form.cleaned_data['kind']]}.")
    following = wall.after(task) if found else None
    if following and request.POST.get("then") == "next":
        return redirect("field-event", order.pk, wall.number, following.key)
    return redirect("work-order-wall", order.pk, wall.number)


@require_http_methods(["GET", "HEAD", "POST"])
@needs("work_order.log")
def panel_event(request: HttpRequest, pk: int, number: int, panel: int) -> HttpResponse:
    """One panel: its edge nails counted, or where it stands if it was cut or moved."""
    order = _order(request, pk)
    policy.require(request.user, "work_order.log", on=order)
    sheet, wall = _wall(order, number)
    found = next((one for one in wall.panels if one.number == panel), None)
    if found is None:
        raise Http404(f"No panel {panel} is nailed on wall line {wall.label}.")
    said = request.POST.get("kind", "")
    forms = {kind: make(request.POST if kind == said else None, auto_id=f"{kind}-%s") for kind, make in PANEL_FORMS}
    context = {**_context(request, order, sheet), "wall": wall, "panel": found}
    context |= {"nails": forms[FieldEventKind.NAIL_COUNT], "built": forms[FieldEventKind.PANEL_BUILT]}
    if request.method != "POST":
        return render(request, "jobs/panel_event.html", context)
    form = forms.get(said)
    if form is None:
        raise Http404(f"No entry {said!r} about a panel.")
    if not form.is_valid():
        return render(request, "jobs/panel_event.html", {**context, "errors": error_lines(form)}, status=400)
    try:
        field_work.log_event(
            event_id=form.cleaned_data["id"],
            work_order_id=order.pk,
            wall_line_label=wall.label,
            kind=said,
            payload={"panel": panel, **form.payload()},
            at_client=form.cleaned_data["at_client"],
            by=request.user,
        )
    except Refused as why:
        return render(request, "jobs/panel_event.html", {**context, "reasons": why.reasons}, status=409)
    messages.success(request, f"Logged: panel {panel}, {FieldEventKind(said).label}.")
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
    else:
        context["missing"] = still_missing(order)
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
    context["as_shown"] = _new_entry(sheet.order, task)  # an id of its own, so that either form can be sent
    context |= {"reasons": reasons, "errors": errors}
    return render(request, "jobs/field_event.html", context, status=status)


def _new_entry(order: WorkOrder, task: Task | None) -> EntryForm:
    short = task and task.last and task.last.kind in field_work.SHORTFALLS
    return _entry(order, task, initial={"makes_good": task.last.pk} if short else {})


def _entry(order: WorkOrder, task: Task | None, data: Any = None, **kwargs: Any) -> EntryForm:
    connectors = as_built.could_stand(order.design, task.role) if task else []
    return EntryForm(data, task=task, connectors=connectors, **kwargs)
