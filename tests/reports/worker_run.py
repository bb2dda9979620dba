"""A company's evening, run as a program of its own: real workers draw papers while one of them is killed.

Prints what happened as JSON. STEMWALL_VAR, and for a company's database and broker its two variables, say where.
"""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import django

VAR = Path(os.environ["STEMWALL_VAR"])
WORKER = (sys.executable, "-m", "celery", "-A", "jobs.project", "worker", "-P", "prefork", "-c", "2", "--beat")


def main() -> dict[str, Any]:
    django.setup()
    from django.core.management import call_command

    call_command("migrate", verbosity=0)
    with (VAR / "worker.log").open("wb") as log:
        command = [*WORKER, "--loglevel", "WARNING"]
        worker = subprocess.Popen(command, stdout=log, stderr=log, start_new_session=True)
    try:
        return {"usual": usual(), "killed": killed()}
    finally:
        os.killpg(worker.pid, signal.SIGKILL)  # nothing is left to do, and an orderly stop takes seconds
        worker.wait(10)


def usual() -> dict[str, Any]:
    """A packet from request to its four copies."""
    from jobs.models import Packet
    from reports.services.packets import make_packet
    from tests.reports.rows import a_design, a_user

    began = time.monotonic()
    packet = make_packet(design_id=a_design(notes=["one", "two", "three"]).pk, by=a_user("office"))
    wait_until(lambda: Packet.objects.get(pk=packet.pk).is_ready, "the packet")
    return {"seconds": time.monotonic() - began, "drawn": drawn()}


def killed() -> dict[str, Any]:
    """The process that draws a section is killed in the middle of it."""
    from reports.models import Document, State
    from reports.services.documents import request_document
    from tests.reports.rows import a_design, a_user

    design = a_design(notes=["before", "stuck", "after"])
    document = request_document(kind="plan_set", design_id=design.pk, by=a_user("office"))
    wait_until((VAR / "stuck").exists, "the section that hangs")
    wait_until(lambda: (VAR / "stuck").read_text() != "", "its process")
    os.kill(int((VAR / "stuck").read_text()), signal.SIGKILL)
    began = time.monotonic()

    def state() -> Document:
        return Document.objects.get(pk=document.pk)

    wait_until(lambda: state().state in (State.READY, State.FAILED), "the paper after the kill")
    return {"seconds": time.monotonic() - began, "state": state().state, "pages": state().pages, "drawn": drawn()}


def drawn() -> dict[str, int]:
    """How often each section was drawn since the last question."""
    file = VAR / "drawn"
    lines = file.read_text().splitlines() if file.exists() else []
    file.unlink(missing_ok=True)
    return dict(Counter(lines))


def wait_until(done: Callable[[], bool], what: str, seconds: float = 40) -> None:
    end = time.monotonic() + seconds
    while not done():
        if time.monotonic() > end:
            raise TimeoutError(f"{what}: nothing after {seconds:g} s\n{(VAR / 'worker.log').read_text()[-3000:]}")
        time.sleep(0.05)


if __name__ == "__main__":
    print(json.dumps(main()))
