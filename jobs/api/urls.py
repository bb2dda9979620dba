"""Addresses under /api/ that speak of jobs. reports adds its own beside them."""

from __future__ import annotations

from django.urls import path
from drf_spectacular.views import SpectacularAPIView
from rest_framework.permissions import IsAuthenticated
from rest_framework.routers import SimpleRouter

from jobs.api.capacity import CapacityView
from jobs.api.docs import docs, problems
from jobs.api.viewsets.catalogue import ConnectorViewSet
from jobs.api.viewsets.clients import ClientViewSet, CrewViewSet, JurisdictionViewSet
from jobs.api.viewsets.designs import ConnectionScheduleViewSet, DesignViewSet, PacketViewSet, StampViewSet
from jobs.api.viewsets.field_work import InspectionViewSet, WorkOrderViewSet
from jobs.api.viewsets.houses import HouseViewSet, WallLineViewSet
from jobs.api.viewsets.jobs import CriteriaSheetViewSet, JobViewSet

router = SimpleRouter()
for prefix, viewset, name in (
    ("clients", ClientViewSet, "client"),
    ("jurisdictions", JurisdictionViewSet, "jurisdiction"),
    ("crews", CrewViewSet, "crew"),
    ("houses", HouseViewSet, "house"),
    ("wall-lines", WallLineViewSet, "wall-line"),
    ("connectors", ConnectorViewSet, "connector"),
    ("jobs", JobViewSet, "job"),
    ("criteria-sheets", CriteriaSheetViewSet, "criteria-sheet"),
    ("designs", DesignViewSet, "design"),
    ("schedules", ConnectionScheduleViewSet, "schedule"),
    ("packets", PacketViewSet, "packet"),
    ("stamps", StampViewSet, "stamp"),
    ("work-orders", WorkOrderViewSet, "work-order"),
    ("inspections", InspectionViewSet, "inspection"),
):
    router.register(prefix, viewset, basename=f"api-{name}")

urlpatterns = [
    path("schema/", SpectacularAPIView.as_view(permission_classes=[IsAuthenticated]), name="api-schema"),
    path("docs/", docs, name="api-docs"),
    path("problems/", problems, name="api-problems"),
    path("capacity/<str:kind>/", CapacityView.as_view(), name="api-capacity"),
    *router.urls,
]
