"""Filters of lists: only the named ones, and an unknown one is an error, not ignored."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.db.models import QuerySet
from django_filters.rest_framework import DjangoFilterBackend
from rest_framework.exceptions import ValidationError
from rest_framework.request import Request

if TYPE_CHECKING:  # DRF's views import this module through the settings
    from rest_framework.views import APIView

PAGING = {"page", "page_size"}


class KnownFilters(DjangoFilterBackend):
    """Filters by the view's `filterset_fields` or `filterset_class`; any other query parameter is refused."""

    def filter_queryset(self, request: Request, queryset: QuerySet, view: APIView) -> QuerySet:
        """400 names each unknown parameter and what is known."""
        if getattr(view, "action", "list") != "list":
            return queryset
        filterset_class = self.get_filterset_class(view, queryset)
        known = PAGING | set(filterset_class.base_filters if filterset_class else ())
        if unknown := sorted(set(request.query_params) - known):
            allowed = f"Not a filter of this list. Known: {', '.join(sorted(known))}."
            raise ValidationError({name: [allowed] for name in unknown})
        return super().filter_queryset(request, queryset, view)
