"""Addresses under /api/ that speak of papers."""

from __future__ import annotations

from django.urls import path
from rest_framework.routers import SimpleRouter

from reports.api.viewsets import DocumentViewSet, MakePacketView, PacketCopyView, ScheduleCsvView

router = SimpleRouter()
router.register("documents", DocumentViewSet, basename="api-document")

urlpatterns = [
    path("make-packet/", MakePacketView.as_view(), name="api-make-packet"),
    path("designs/<int:pk>/schedule.csv", ScheduleCsvView.as_view(), name="api-schedule-csv"),
    path("packet-files/<int:pk>/<str:copy>/", PacketCopyView.as_view(), name="api-packet-file"),
    *router.urls,
]
