"""Clients, jurisdictions, crews."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet

from jobs.api.serializers.clients import ClientSerializer, CrewSerializer, JurisdictionSerializer
from jobs.api.viewsets.base import CreatableViewSet, SeenViewSet
from jobs.models import Client, Crew, Jurisdiction, Role, WorkOrder
from jobs.services import clients


class ClientViewSet(CreatableViewSet):
    """Clients: name, address, phone, e-mail."""

    queryset = Client.objects.all()
    serializer_class = ClientSerializer
    needs = {
        "list": "client.view",
        "retrieve": "client.view",
        "create": "client.edit",
        "partial_update": "client.edit",
    }
    filterset_fields = {"name": ["exact", "icontains"]}

    def edit(self, row: Client, *, seen_version: int, changes: dict[str, Any]) -> None:
        clients.edit_client(client_id=row.pk, seen_version=seen_version, changes=changes, by=self.request.user)

    def write(self, facts: dict[str, Any]) -> Client:
        return clients.create_client(by=self.request.user, **facts)


class JurisdictionViewSet(SeenViewSet):
    """Building departments: adopted code, how a set is stamped."""

    queryset = Jurisdiction.objects.all()
    serializer_class = JurisdictionSerializer
    needs = {"list": "jurisdiction.view", "retrieve": "jurisdiction.view"}
    filterset_fields = ["state", "code_family", "stamp_method"]

    def seen(self, rows: QuerySet) -> QuerySet:
        return rows


class CrewViewSet(SeenViewSet):
    """Crews, their leads and members."""

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
