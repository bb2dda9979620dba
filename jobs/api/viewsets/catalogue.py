"""The connector catalogue."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet

from jobs.api.serializers.catalogue import ConnectorSerializer
from jobs.api.viewsets.base import CreatableViewSet
from jobs.models import Connector
from jobs.services import catalogue


class ConnectorViewSet(CreatableViewSet):
    """The connector catalogue: computed by NDS, or evaluated by a report."""

    queryset = Connector.objects.all()
    serializer_class = ConnectorSerializer
    needs = {
        "list": "catalogue.view",
        "retrieve": "catalogue.view",
        "create": "catalogue.edit",
        "partial_update": "catalogue.edit",
    }
    filterset_fields = {
        "key": ["exact"],
        "kind": ["exact"],
        "basis": ["exact"],
        "finish": ["exact"],
        "active": ["exact"],
        "invented": ["exact"],
        "expires_on": ["lt", "gte"],
    }

    def edit(self, row: Connector, *, seen_version: int, changes: dict[str, Any]) -> None:
        catalogue.edit_connector(connector_id=row.pk, seen_version=seen_version, changes=changes, by=self.request.user)

    def write(self, facts: dict[str, Any]) -> Connector:
        return catalogue.create_connector(by=self.request.user, **facts)

    def seen(self, rows: QuerySet) -> QuerySet:
        return rows
