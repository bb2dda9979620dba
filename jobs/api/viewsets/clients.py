"""Clients, jurisdictions, crews."""

from __future__ import annotations

from django.db.models import QuerySet

from jobs.api.serializers.clients import ClientSerializer, CrewSerializer, JurisdictionSerializer
from jobs.api.viewsets.base import EditableViewSet, SeenViewSet
from jobs.models import Client, Crew, Jurisdiction, Role, WorkOrder


class ClientViewSet(EditableViewSet):
    queryset = Client.objects.all()
    serializer_class = ClientSerializer
    needs = {"list": "client.view", "retrieve": "client.view", "partial_update": "client.edit"}
    filterset_fields = {"name": ["exact", "icontains"]}


class JurisdictionViewSet(SeenViewSet):
    queryset = Jurisdiction.objects.all()
    serializer_class = JurisdictionSerializer
    needs = {"list": "jurisdiction.view", "retrieve": "jurisdiction.view"}
    filterset_fields = ["state", "code_family", "stamp_method"]

    def seen(self, rows: QuerySet) -> QuerySet:
        return rows


class CrewViewSet(SeenViewSet):
    queryset = Crew.objects.select_related("lead").prefetch_related("members")
    serializer_class = CrewSerializer
    needs = {"list": "work_order.view", "retrieve": "work_order.view"}
    filterset_fields = ["name"]

    def seen(self, rows: QuerySet) -> QuerySet:
        """Office and estimators see all crews, others those on the work orders that they see."""
        user = self.request.user
        if user.roles & {Role.OFFICE, Role.ESTIMATOR}:
            return rows
        return rows.filter(pk__in=WorkOrder.objects.visible_to(user).values("crew"))
