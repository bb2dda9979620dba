"""Field work as the office plans it: booking a crew for a day, writing down an inspection."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from jobs import policy
from jobs.errors import Refused
from jobs.models import Crew, Design, InspectionResult, Job
from jobs.services import field_work
from jobs.web.fields import day_field, words
from jobs.web.forms import add_refusal, error_lines, kept_rows
from jobs.web.guards import needs

STAGES = (
    ("anchors", "anchors, before cover"),
    ("blocking and connectors", "blocking and connectors"),
    ("tie-downs", "tie-downs"),
    ("panel nailing", "panel nailing, before cover"),
    (field_work.FINAL, "final"),
)


class WorkOrderForm(forms.Form):
    design = forms.ModelChoiceField(Design.objects.none(), empty_label="choose…", label="From design")
    crew = forms.ModelChoiceField(Crew.objects.all(), empty_label="choose…")
    day = day_field(label="Day")
    wall_line_labels = forms.MultipleChoiceField(widget=forms.CheckboxSelectMultiple, label="Wall lines")

    def __init__(self, *args: Any, job: Job, **kwargs: Any) -> None:
        super().__init__(*args, label_suffix="", **kwargs)
        self.fields["design"].queryset = job.designs.order_by("-revision")
        self.fields["design"].label_from_instance = lambda design: f"revision {design.revision}"
        labels = job.house.wall_lines.order_by("label").values_list("label", flat=True)
        self.fields["wall_line_labels"].choices = [(label, f"Line {label}") for label in labels]


@require_http_methods(["GET", "HEAD", "POST"])
@needs("work_order.create")
def work_order_create(request: HttpRequest, pk: int) -> HttpResponse:
    """Book a crew for wall lines of a design; it may be booked before the job is released."""
    job = get_object_or_404(Job.objects.visible_to(request.user).select_related("house"), pk=pk)
    policy.require(request.user, "work_order.create", job)
    data = request.POST if request.method == "POST" else None
    form = WorkOrderForm(data, job=job, initial={"design": job.designs.order_by("-revision").first()})
    if data is not None and form.is_valid():
        facts = form.cleaned_data
        try:
            order = field_work.create_work_order(
                job_id=pk, design_id=facts["design"].pk, crew_id=facts["crew"].pk, day=facts["day"],
                wall_line_labels=facts["wall_line_labels"], by=request.user,
            )  # fmt: skip
            messages.success(request, f"W{order.number} is booked for {order.crew}.")
            return redirect("job-detail", pk)
        except Refused as why:
            form.add_error(None, list(why.reasons))
        except ValidationError as why:
            add_refusal(form, why)
    errors = error_lines(form) if data is not None else []
    context = {"form": form, "job": job, "errors": errors, "title": "Book a crew", "button": "Book"}
    return render(request, "jobs/planning_form.html", context, status=400 if errors else 200)


class InspectionForm(forms.Form):
    stage = forms.ChoiceField(choices=[("", "choose…"), *STAGES], label="Stage of the work")
    day = day_field(label="Day of the visit")
    inspector = forms.CharField(max_length=120, label="Inspector")


class InspectionItemForm(forms.Form):
    wall_line_label = forms.ChoiceField(label="Wall line")
    text = forms.CharField(max_length=300, label="What was looked at")
    criterion = forms.CharField(max_length=300, required=False, label="Criterion")
    required = forms.CharField(max_length=120, required=False, label="Required")
    measured = forms.CharField(max_length=120, required=False, label="Measured")
    result = forms.ChoiceField(choices=[("", "choose…"), *words(InspectionResult)])

    def __init__(self, *args: Any, labels: list[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["wall_line_label"].choices = [("", "choose…"), *((label, label) for label in labels)]


Items = forms.formset_factory(InspectionItemForm, extra=6)


@require_http_methods(["GET", "HEAD", "POST"])
@needs("inspection.record")
def inspection_record(request: HttpRequest, pk: int) -> HttpResponse:
    """Write down a visit with its items. A later visit may pass what failed."""
    job = get_object_or_404(Job.objects.visible_to(request.user).select_related("house"), pk=pk)
    policy.require(request.user, "inspection.record", job)
    data = request.POST if request.method == "POST" else None
    labels = list(job.house.wall_lines.order_by("label").values_list("label", flat=True))
    form = InspectionForm(data, label_suffix="")
    items = Items(data, prefix="items", form_kwargs={"labels": labels})
    valid = [part.is_valid() for part in (form, items)] if data is not None else [False]
    if all(valid):
        try:
            visit = field_work.record_inspection(
                job_id=pk, items=kept_rows(items), by=request.user, **form.cleaned_data
            )
            messages.success(request, f"Written down: {visit}, {visit.get_result_display().lower()}.")
            return redirect("job-detail", pk)
        except Refused as why:
            form.add_error(None, list(why.reasons))
        except ValidationError as why:
            add_refusal(form, why)
    errors = error_lines(form, [("Items", items)]) if data is not None else []
    context = {
        "form": form, "job": job, "errors": errors, "items": items, "title": "Record an inspection",
        "button": "Write it down",
    }  # fmt: skip
    return render(request, "jobs/planning_form.html", context, status=400 if errors else 200)
