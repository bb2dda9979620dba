"""Drawings that a page shows while the design is still a draft."""

from __future__ import annotations

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
from jobs.models import Job
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
