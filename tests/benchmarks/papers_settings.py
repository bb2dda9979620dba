"""The project's settings for the benchmark of papers: its own workers draw its own packet."""

from __future__ import annotations

from pathlib import Path

from jobs.project import settings as projects

globals().update({name: value for name, value in vars(projects).items() if name.isupper()})

CELERY_IMPORTS = ("tests.benchmarks.papers_worker",)
STEMWALL_LEASE_S = 120
TEMPLATES = [{**projects.TEMPLATES[0], "DIRS": [Path(__file__).parent / "templates"]}]
