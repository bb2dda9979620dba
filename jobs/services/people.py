"""Roles, licences, certificates, crews."""

from __future__ import annotations

from typing import Any


def make_role_groups(**kwargs: Any) -> None:
    """Make the role groups that are missing; runs after each migrate (a flush empties them)."""
    from django.contrib.auth.models import Group  # not importable while apps load

    from jobs.models import Role

    for role in Role:
        Group.objects.using(kwargs.get("using", "default")).get_or_create(name=role.value)
