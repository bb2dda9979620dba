"""Addresses under /api/ that speak of papers."""

from __future__ import annotations

from django.urls import path
from rest_framework.routers import SimpleRouter

from reports.api.viewsets import DocumentViewSet, MakePacketView

router = SimpleRouter()
router.register("documents", DocumentViewSet, basename="api-document")

urlpatterns = [
    path("make-packet/", MakePacketView.as_view(), name="api-make-packet"),
    *router.urls,
]
