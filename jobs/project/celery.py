"""The Celery app. Run a worker with `celery -A jobs.project worker --beat`."""

import gc
import os

from celery import Celery
from celery.signals import worker_process_init

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "jobs.project.settings")

app = Celery("stemwall")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()


@worker_process_init.connect
def set_what_is_loaded_aside(**_: object) -> None:
    """All that is imported by now stays: no collection need look through it again, and forks go on sharing it."""
    gc.collect()
    gc.freeze()
