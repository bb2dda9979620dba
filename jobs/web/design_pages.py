"""A job's design: the methods chosen for each wall line, and the issued revisions as they were frozen."""

from __future__ import annotations

import json
from itertools import groupby
from typing import Any

from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from jobs import policy
from jobs.errors import Stale
from jobs.models import (
    Connector,
    Design,
    FloorToPlateBy,
    Job,
    LineChoice,
    PanelMake,
    SheathingGrade,
    SheathingThickness,
    WideSill,
)
from jobs.services.line_choices import KINDS, set_line_choice
from jobs.web.drafts import draft_of_line
from jobs.web.fields import LengthField, NumberField, words
from jobs.web.forms import add_refusal, error_lines
from jobs.web.guards import meanwhile, needs, seen_version

CHOSEN = {
    "sheathing_nail": ("Edge nail of the panel", True),
    "floor_to_plate": ("Floor to top plate", False),
    "stitch_nail": ("Stitch nail, plate to plate", False),
    "splice_nail": ("Splice nail at plate joints", False),
    "block_nail": ("Nail of a block on the sill", False),
    "sill_anchor": ("Sill anchor", False),
    "tie_down": ("Tie-down", False),
    "tie_down_anchor": ("Tie-down anchor", False),
    "blocking_nail": ("Nail of new blocking", False),
    "side_connection": ("Side connection, sill to foundation", False),
    "strut_splice": ("Strut to plates", False),
    "other_face_nail": ("Edge nail on the second face", False),
}


class LineChoiceForm(forms.Form):
    """What the company proposes for one wall line of a job."""

    sheathing_grade = forms.ChoiceField(choices=[("", "choose…"), *SheathingGrade.choices], label="Panel grade")
    sheathing_thickness = forms.ChoiceField(
        choices=[("", "choose…"), *SheathingThickness.choices], label="Panel thickness"
    )
    alternatives = forms.ModelMultipleChoiceField(
        Connector.objects.none(),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        label="Other ways from floor to plate, counted beside it",
    )
    sheathing_panel = forms.ChoiceField(
        choices=[("", "not known: decides stiffness only"), *words(PanelMake)], required=False, label="Panel make"
    )
    edge_spacing_in = forms.TypedChoiceField(
        choices=[("", "the widest that carries"), *((str(n), f"{n} in") for n in (6, 4, 3, 2))],
        coerce=int,
        empty_value=None,
        required=False,
        label="Edge nails",
    )
    other_face_grade = forms.ChoiceField(
        choices=[("", "no panel there"), *SheathingGrade.choices], required=False, label="Second face, grade"
    )
    other_face_thickness = forms.ChoiceField(
        choices=[("", "no panel there"), *SheathingThickness.choices], required=False, label="Second face, thickness"
    )
    floor_to_plate_by = forms.ChoiceField(choices=FloorToPlateBy.choices, label="Floor to plates by")
    open_outside = forms.BooleanField(required=False, label="The finish on the outside face may be opened")
    wide_sill = forms.ChoiceField(choices=WideSill.choices, label="Where the sill is wider than the studs")
    end_post_width_in = LengthField(required=False, label="End post, width along the line")
    end_post_depth_in = LengthField(required=False, label="End post, depth")
    rod_from_end_in = LengthField(required=False, positive=False, label="Tie-down rod from the panel's end")
    compression_from_end_in = LengthField(
        required=False, positive=False, label="Centre of compression from the panel's end"
    )

    end_post_species = forms.CharField(
        max_length=60, required=False, label="End posts, species", help_text="Empty: of the studs' wood."
    )
    end_post_specific_gravity = NumberField(
        required=False, min_value=0.01, max_value=1.5, label="End posts, specific gravity"
    )
    end_post_modulus_psi = NumberField(
        required=False, min_value=100_000, label="End posts, E (psi)", help_text="For the drift; empty: not computed."
    )

    PARTS = (
        (
            "panel",
            "Panel",
            (
                "sheathing_grade",
                "sheathing_thickness",
                "sheathing_nail",
                "sheathing_panel",
                "edge_spacing_in",
                "other_face_grade",
                "other_face_thickness",
                "other_face_nail",
            ),
        ),
        (
            "floor",
            "Floor to plates",
            (
                "floor_to_plate",
                "floor_to_plate_by",
                "blocking_nail",
                "stitch_nail",
                "splice_nail",
                "strut_splice",
                "open_outside",
                "alternatives",
            ),
        ),
        (
            "sill",
            "Sill and tie-downs",
            ("wide_sill", "block_nail", "sill_anchor", "side_connection", "tie_down", "tie_down_anchor"),
        ),
        (
            "ends",
            "End posts",
            (
                "end_post_width_in",
                "end_post_depth_in",
                "rod_from_end_in",
                "compression_from_end_in",
                "end_post_species",
                "end_post_specific_gravity",
                "end_post_modulus_psi",
            ),
        ),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, label_suffix="", **kwargs)
        offered = Connector.objects.filter(active=True)
        for name, (label, required) in CHOSEN.items():
            self.fields[name] = forms.ModelChoiceField(
                offered.filter(kind__in=KINDS[name]),
                required=required,
                label=label,
                empty_label="choose…" if required else "not chosen yet",
            )
        self.fields["alternatives"].queryset = offered.filter(kind__in=KINDS["floor_to_plate"])

    @property
    def parts(self) -> list[dict[str, Any]]:
        """The parts with their bound fields."""
        return [
            {"slug": slug, "title": title, "fields": [self[name] for name in names]}
            for slug, title, names in self.PARTS
        ]


@require_http_methods(["GET", "HEAD", "POST"])
@needs("design.draft")
def line_choice_edit(request: HttpRequest, pk: int, line_pk: int) -> HttpResponse:
    """Choose methods for one line of a job, with the load path that they make beside the form."""
    job = get_object_or_404(Job.objects.visible_to(request.user).select_related("house"), pk=pk)
    line = get_object_or_404(job.house.wall_lines, pk=line_pk)
    policy.require(request.user, "design.draft", job)
    choice = LineChoice.objects.filter(job=job, wall_line=line).first()
    data = request.POST if request.method == "POST" else None
    form = LineChoiceForm(data, initial=_initial(choice))
    context: dict[str, Any] = {
        "line": line, "house": job.house, "title": f"Methods for wall line {line.label}",
        "version": choice.version if choice else "", "may_survey": policy.check(request.user, "wall_line.edit", line),
    }  # fmt: skip
    if data is not None and form.is_valid():
        seen = seen_version(request) if choice and data.get("version") else None
        try:
            set_line_choice(job_id=pk, wall_line_id=line_pk, by=request.user, seen_version=seen, **form.cleaned_data)
            messages.success(request, "Saved. The load path beside the form is computed from what is saved.")
            return redirect("line-choice-edit", pk, line_pk)
        except ValidationError as why:
            add_refusal(form, why)
        except Stale as why:
            edits = job.events.filter(what="design.draft", after__startswith=f"{line}: ")
            context |= {"meanwhile": meanwhile(why, form, edits, seen=seen or 0), "version": why.current.version}
    context |= draft_of_line(request.user, line, str(job.pk)) | {"job": job, "form": form}
    context["errors"] = error_lines(form) if data is not None else []
    status = 409 if "meanwhile" in context else 400 if data is not None else 200
    return render(request, "jobs/line_choice_form.html", context, status=status)


def _initial(choice: LineChoice | None) -> dict[str, Any]:
    if choice is None:
        return {}
    plain = {name: getattr(choice, name) for name in LineChoiceForm.base_fields if name != "alternatives"}
    return plain | {
        **{name: getattr(choice, f"{name}_id") for name in CHOSEN},
        "alternatives": list(choice.alternatives.values_list("pk", flat=True)),
    }


@require_safe
@needs("design.view")
def design_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """One issued revision from its frozen snapshot: each line's load path and its connection schedule."""
    design = get_object_or_404(
        Design.objects.visible_to(request.user).select_related("job__house", "issued_by", "connection_schedule"), pk=pk
    )
    frozen = json.loads(design.snapshot)
    schedule = {
        label: list(rows)
        for label, rows in groupby(
            design.connection_schedule.lines.order_by("wall_line_label", "pk"), key=lambda row: row.wall_line_label
        )
    }
    context = {
        "design": design,
        "job": design.job,
        "house": design.job.house,
        "criteria": frozen["criteria"],
        "result": frozen["result"],
        "lines": [{"result": line, "schedule": schedule.get(line["label"], [])} for line in frozen["result"]["lines"]],
        "newer": design.job.designs.filter(revision__gt=design.revision).order_by("-revision").first(),
        "may_review": policy.check(request.user, "review.view", design.job),
        "packets": design.packets.order_by("number"),
    }
    return render(request, "jobs/design_detail.html", context)
