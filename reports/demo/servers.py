"""The local servers of a demo: a Celery worker and a web server, each a process of its own."""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from django.conf import settings

from jobs.models import PacketFile
from reports.models import Document, State

PATIENCE_S = 300


class NotDrawn(RuntimeError):
    """A paper failed, or did not come in time; says which and why."""


@contextmanager
def running(*commands: list[str]) -> Iterator[list[subprocess.Popen[bytes]]]:
    """Run Python modules beside this process until the block ends; their output goes to var/log."""
    folder = settings.ENV.var / "log"
    folder.mkdir(parents=True, exist_ok=True)
    processes = []
    try:
        for command in commands:
            log = (folder / f"{command[0]}.log").open("ab")
            processes.append(
                subprocess.Popen([sys.executable, "-m", *command], stdout=log, stderr=log, cwd=Path(settings.ENV.root))
            )
            log.close()
        yield processes
    finally:
        for process in processes:
            process.terminate()
        for process in processes:
            try:
                process.wait(15)
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait()


WORKER = ["celery", "-A", "jobs.project", "worker", "--beat", "--pool", "prefork", "--loglevel", "warning"]


def web(address: str) -> list[str]:
    """Gunicorn on this address, two workers."""
    return ["gunicorn", "jobs.project.wsgi", "--bind", address, "--workers", "2", "--log-level", "warning"]


def wait_until_drawn(worker: subprocess.Popen[bytes]) -> None:
    """Return once every requested document is ready and every packet file has its copies. NotDrawn otherwise."""
    end = time.monotonic() + PATIENCE_S
    while True:
        if failed := Document.objects.filter(state=State.FAILED).first():
            raise NotDrawn(f"{failed.get_kind_display()} of {failed.design}: {failed.problem}")
        waiting = (
            Document.objects.exclude(state=State.READY).count() + PacketFile.objects.filter(review_copy="").count()
        )
        if not waiting:
            return
        if worker.poll() is not None:
            raise NotDrawn(f"The worker stopped with status {worker.returncode}; see {settings.ENV.var / 'log'}.")
        if time.monotonic() > end:
            raise NotDrawn(f"{waiting} papers were not ready after {PATIENCE_S} s; see {settings.ENV.var / 'log'}.")
        time.sleep(0.2)
