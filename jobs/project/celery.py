"""The Celery app. Run a worker with `celery -A jobs.project worker --beat`."""

import os

from celery import Celery

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "jobs.project.settings")

app = Celery("stemwall")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()
