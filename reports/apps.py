"""The reports app: documents, drawings, rendering, signing."""

from django.apps import AppConfig


class ReportsConfig(AppConfig):
    name = "reports"
