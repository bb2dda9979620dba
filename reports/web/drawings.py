"""A wall line's load path as a picture on a page: of the draft, and of a revision as it was issued."""

from __future__ import annotations

import json

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from engineering import exchange
from engineering.errors import OutOfRange
from jobs import assessment, policy
from jobs.errors import Refused
from jobs.models import Design, Job
from reports.documents import schedule_rows
from reports.drawings import load_path


@require_safe
@never_cache
@login_required
def load_path_drawing(request: HttpRequest, pk: int, label: str) -> HttpResponse:
    """A wall line's load path as the job's present rows compute it, as SVG; 404 while nothing can be computed."""
    policy.require(request.user, "design.draft")
    job = get_object_or_404(Job.objects.visible_to(request.user).select_related("house__jurisdiction"), pk=pk)
    policy.require(request.user, "design.draft", on=job)
    try:
        line = assessment.draft(job, on=timezone.localdate()).line(label)
    except (Refused, OutOfRange, KeyError) as why:
        raise Http404("This load path can't be computed from what has been surveyed.") from why
    return HttpResponse(load_path.draw(exchange.dumps(line)), content_type="image/svg+xml")


@require_safe
@login_required
def design_load_path(request: HttpRequest, pk: int, label: str) -> HttpResponse:
    """A wall line's load path as the revision was issued, as SVG; 404 for a line that it does not have."""
    policy.require(request.user, "design.view")
    design = get_object_or_404(Design.objects.visible_to(request.user), pk=pk)
    try:
        line = schedule_rows.line_result(json.loads(design.snapshot), label)
    except KeyError as why:
        raise Http404("This revision has no such wall line.") from why
    return HttpResponse(load_path.draw(line), content_type="image/svg+xml")
