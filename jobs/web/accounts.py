"""Logging in, logging out, and where a person lands."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.contrib.auth.views import LoginView, LogoutView
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_safe

from jobs.web.nav import first_page

log_in = LoginView.as_view(template_name="jobs/login.html", redirect_authenticated_user=True)
log_out = LogoutView.as_view()


@require_safe
@login_required
def home(request: HttpRequest) -> HttpResponse:
    """Send each role to its own first page; a user without a role is told whom to ask."""
    if not request.user.roles:
        return render(request, "jobs/no_role.html")
    return redirect(first_page(request.user))
