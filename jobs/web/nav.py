"""What the bar at the top offers: only pages that this user's roles may open."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest
from django.urls import reverse

from jobs import policy
from jobs.models import Role, User


@dataclass(frozen=True, slots=True)
class NavItem:
    label: str
    url: str
    current: bool


# label, url name, action asked of the policy, paths that belong to it
PAGES = (
    ("Jobs", "job-list", "job.create", ("/jobs/", "/designs/")),
    ("Clients", "client-list", "client.view", ("/clients/", "/houses/", "/wall-lines/")),
    ("Review", "review-list", "review.view", ("/review/",)),
    ("Today", "today", "work_order.log", ("/today/", "/work-orders/")),
    ("Admin", "admin:index", "admin.use", ("/admin/",)),
)


def first_page(user: User) -> str:
    """The url name of the page that a user lands on after logging in."""
    if user.roles & {Role.OFFICE, Role.ESTIMATOR}:
        return "job-list"
    if Role.ENGINEER in user.roles:
        return "review-list"
    return "today"


def navigation(request: HttpRequest) -> dict[str, Any]:
    """Context processor: `nav` and `role_words` for the bar; nothing for someone who is not logged in."""
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated:
        return {}
    nav = [
        NavItem(label, reverse(name), request.path.startswith(paths))
        for label, name, action, paths in PAGES
        if policy.check(user, action)
    ]
    return {"nav": nav, "role_words": ", ".join(sorted(role.label.lower() for role in user.roles)) or "no role yet"}
