"""Who may call what: every view names its policy action, and one function answers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rest_framework.permissions import BasePermission
from rest_framework.request import Request

from jobs import policy

if TYPE_CHECKING:  # DRF's views import this module through the settings
    from rest_framework.views import APIView


class RolePermission(BasePermission):
    """Asks policy about the action named in `view.needs`; an undeclared one is closed.

    `needs` maps a viewset's action (or a plain view's method, "get") to a key of policy.MAY.
    """

    def has_permission(self, request: Request, view: APIView) -> bool:
        """401 for a stranger (DRF turns the False of an anonymous caller into it), 403 with policy's reason else."""
        if not request.user.is_authenticated:
            return False
        method = request.method.lower()
        if method not in view.http_method_names or not hasattr(view, method):
            return True  # no such method on this address: 405 says it better
        action = getattr(view, "action", None) or method
        name = getattr(view, "needs", {}).get(action)
        if name is None:
            return False
        verdict = policy.check(request.user, name)
        self.message = verdict.reason
        return bool(verdict)
