"""The connector catalogue."""

from __future__ import annotations

from django.db.models import QuerySet

from jobs.api.serializers.catalogue import ConnectorSerializer
from jobs.api.viewsets.base import EditableViewSet
from jobs.models import Connector


class ConnectorViewSet(EditableViewSet):
    queryset = Connector.objects.all()
    serializer_class = ConnectorSerializer
    needs = {"list": "catalogue.view", "retrieve": "catalogue.view", "partial_update": "catalogue.edit"}
    filterset_fields = {
        "key": ["exact"],
        "kind": ["exact"],
        "basis": ["exact"],
        "finish": ["exact"],
        "active": ["exact"],
        "invented": ["exact"],
        "expires_on": ["lt", "gte"],
    }

    def seen(self, rows: QuerySet) -> QuerySet:
        return rows
