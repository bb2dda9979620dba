"""The admin site: for the office only, behind the same log-in and the same policy as every page."""

from __future__ import annotations

from collections.abc import Callable
from functools import update_wrapper
from typing import Any

from django.contrib.admin import AdminSite
from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse

from jobs import policy


class OfficeAdminSite(AdminSite):
    site_header = "Stemwall: office records"
    site_title = "Stemwall office"
    index_title = "Records"

    def has_permission(self, request: HttpRequest) -> bool:
        return bool(policy.check(request.user, "admin.use"))

    def admin_view(self, view: Callable[..., Any], cacheable: bool = False) -> Callable[..., HttpResponse]:
        """Refuse who is logged in without the office role, instead of asking them to log in again."""
        inner = super().admin_view(view, cacheable)

        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
            if request.user.is_authenticated:
                policy.require(request.user, "admin.use")
            return inner(request, *args, **kwargs)

        return update_wrapper(guarded, inner)

    def login(self, request: HttpRequest, extra_context: dict[str, Any] | None = None) -> HttpResponse:
        """The one log-in page, which counts failures."""
        return redirect_to_login(request.GET.get("next", request.path.removesuffix("login/")))
