"""The API's own pages: every call to read and try, and what each kind of problem means."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from jobs.api.errors import PROBLEMS


@require_safe
@login_required
def docs(request: HttpRequest) -> HttpResponse:
    """The OpenAPI page, from files of this server only and under the same content policy as every page."""
    return render(request, "jobs/api_docs.html")


@require_safe
def problems(request: HttpRequest) -> HttpResponse:
    """What the `type` of a problem stands for."""
    return JsonResponse(PROBLEMS)
