"""The project package: settings, addresses, Celery, servers. Not one domain rule."""

from jobs.project.celery import app as celery_app

__all__ = ["celery_app"]
