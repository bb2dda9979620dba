"""What viewsets have in common. Each names its policy actions in `needs`; a row that may not be seen is a 404."""

from __future__ import annotations

from typing import Any, ClassVar

from django.db.models import Model, QuerySet
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.viewsets import ReadOnlyModelViewSet


class SeenViewSet(ReadOnlyModelViewSet):
    """Lists and details of the rows that the caller may see.

    `detail_serializer_class` is used for one row, where it says more than the list does.
    """

    queryset: QuerySet
    needs: ClassVar[dict[str, str]]
    detail_serializer_class: ClassVar[type[serializers.BaseSerializer] | None] = None
    filterset_fields: ClassVar[list[str] | dict[str, list[str]]] = []
    http_method_names = ["get", "head", "post", "patch"]

    def get_queryset(self) -> QuerySet:
        if getattr(self, "swagger_fake_view", False):  # the schema is drawn for nobody in particular
            return self.queryset.none()
        rows = self.seen(self.queryset.all())
        return rows if rows.ordered else rows.order_by("pk")  # pages of an unordered list would overlap

    def seen(self, rows: QuerySet) -> QuerySet:
        """The rows that the caller may see."""
        return rows.visible_to(self.request.user)

    def get_serializer_class(self) -> type[serializers.BaseSerializer]:
        if self.action == "retrieve" and self.detail_serializer_class:
            return self.detail_serializer_class
        return super().get_serializer_class()


class EditableViewSet(SeenViewSet):
    """Adds PATCH: only the members sent are changed, and `version` must be the one that was read."""

    def partial_update(self, request: Request, pk: str | None = None) -> Response:
        """Change the members sent. An older `version` gets 409 with the row as it stands now."""
        row = self.get_object()
        wish = self.get_serializer(row, data=request.data, partial=True)
        wish.is_valid(raise_exception=True)
        changes = dict(wish.validated_data)
        self.edit(row, seen_version=changes.pop("version"), changes=changes)
        return Response(self.get_serializer(self.get_queryset().get(pk=row.pk)).data)

    def edit(self, row: Model, *, seen_version: int, changes: dict[str, Any]) -> None:
        """Hand the changes to the service that writes this kind of row."""
        raise NotImplementedError


class CreatableViewSet(EditableViewSet):
    """Adds POST to the list."""

    def create(self, request: Request) -> Response:
        """Write a new row."""
        wish = self.get_serializer(data=request.data)
        wish.is_valid(raise_exception=True)
        row = self.write(dict(wish.validated_data))
        return Response(self.get_serializer(self.get_queryset().get(pk=row.pk)).data, status=201)

    def write(self, facts: dict[str, Any]) -> Model:
        """Hand the facts to the service that writes this kind of row."""
        raise NotImplementedError
