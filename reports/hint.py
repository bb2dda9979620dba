"""Messages to the workers. They may be lost, late or doubled: the rows say what is to be done."""

from __future__ import annotations

import logging

from celery import current_app
from kombu.exceptions import OperationalError

log = logging.getLogger(__name__)


def render_document(document_id: int) -> None:
    """There may be a document to claim."""
    _send("reports.tasks.render_document", document_id)


def render_section(document_id: int, sha256: str, holder: str) -> None:
    """There may be a section to draw under this claim."""
    _send("reports.tasks.render_section", document_id, sha256, holder)


def fill_packet(packet_id: int) -> None:
    """A packet may have files to assemble."""
    _send("reports.tasks.fill_packet", packet_id)


def _send(task: str, *args: object) -> None:
    try:
        current_app.send_task(task, args=args, retry=False)
    except (OperationalError, OSError) as why:
        # The sweep sends it again; whoever asked should not wait for a broker that is away.
        log.warning("No message to the workers about %s%s: %s", task, args, why)
