"""The project's settings for the tests with real workers: papers of the tests, short waits."""

from __future__ import annotations

from jobs.project import settings as projects
from tests.reports.papers import TEMPLATES as PAGES

globals().update({name: value for name, value in vars(projects).items() if name.isupper()})

TEMPLATES = [{**projects.TEMPLATES[0], "DIRS": [PAGES]}]
CELERY_IMPORTS = ("tests.reports.worker_papers",)
STEMWALL_LEASE_S = 2
CELERY_BEAT_SCHEDULE = {"sweep": {"task": "reports.tasks.sweep", "schedule": 0.5}}
