"""The jobs app: clients, houses, wall lines, stages, field work. Role groups are made after each migrate."""

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class JobsConfig(AppConfig):
    name = "jobs"

    def ready(self) -> None:
        from jobs.services.people import make_role_groups

        post_migrate.connect(make_role_groups, sender=self)
