"""Real workers on both brokers: papers come, and come again after a kill, with nothing drawn in vain."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import psycopg
import pytest
from celery import current_app
from django.conf import settings
from kombu.exceptions import OperationalError

from reports import hint, tasks
from tests.servers import start_redis

ROOT = Path(__file__).parents[2]


@pytest.fixture(params=["filesystem", "redis"])
def company(request, tmp_path):
    """The variables that choose broker and database: Redis or files, the suite's PostgreSQL or SQLite."""
    chosen = {}
    if url := os.environ.get("STEMWALL_DATABASE_URL"):
        name = f"workers_{request.param}"
        with psycopg.connect(url, autocommit=True) as server:
            server.execute(f"DROP DATABASE IF EXISTS {name}")
            server.execute(f"CREATE DATABASE {name}")
        chosen["STEMWALL_DATABASE_URL"] = url.rpartition("/")[0] + f"/{name}"
    if request.param == "filesystem":
        yield chosen
        return
    server = start_redis(tmp_path / "redis")
    yield chosen | {"STEMWALL_REDIS_URL": server.url}
    server.stop()


def test_papers_come_from_workers_and_survive_a_kill(company, tmp_path):
    (tmp_path / "var").mkdir()
    environment = {
        **os.environ,
        **company,
        "STEMWALL_VAR": str(tmp_path / "var"),
        "DJANGO_SETTINGS_MODULE": "tests.reports.worker_settings",
        "PYTHONPATH": str(ROOT),
    }
    done = subprocess.run(
        [sys.executable, "-m", "tests.reports.worker_run"],
        cwd=ROOT, env=environment, capture_output=True, text=True, timeout=150, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)

    each_once = {
        f"<p>{kind}: {note}</p>": 1 for kind in ("plan_set", "calculations") for note in ("one", "two", "three")
    }
    assert told["usual"]["drawn"] == each_once

    killed = told["killed"]
    assert (killed["state"], killed["pages"]) == ("ready", 3)
    assert killed["drawn"] == {"<p>plan_set: before</p>": 1, "<p>plan_set: stuck</p>": 2, "<p>plan_set: after</p>": 1}


def test_a_request_does_not_fail_when_the_broker_is_away(monkeypatch, caplog):
    """The row is written and the sweep sends the message later."""

    def _away(*args, **kwargs):
        raise OperationalError("connection refused")

    monkeypatch.setattr(current_app, "send_task", _away)
    hint.render_document(7)
    assert "connection refused" in caplog.text


def test_every_task_can_be_stopped_in_time():
    """Each has a soft limit below the time after which the broker would deliver its message again, and what works
    under a lease has one below the lease."""
    for task in (tasks.render_document, tasks.render_section, tasks.fill_packet, tasks.sweep):
        assert 0 < task.soft_time_limit < 900
    for task in (tasks.render_document, tasks.render_section):
        assert task.soft_time_limit < settings.STEMWALL_LEASE_S
    assert settings.CELERY_TASK_ACKS_LATE
    assert settings.CELERY_TASK_REJECT_ON_WORKER_LOST
