"""What a crew logs, ticks and counts on a released job, for tests of what follows from it."""

from __future__ import annotations

from uuid import uuid4

from django.test import Client
from django.utils import timezone

from jobs import hold_points
from jobs.models import Job, Stage
from jobs.services import field_work
from tests.factories import FieldEventFactory, HoldPointFactory, WorkOrderFactory
from tests.issued import issued_design

LINES = ["1", "2", "A", "B"]
THIN_NAIL = {"diameter_in": 0.113, "length_in": 2.375, "kind": "common", "finish": "hot-dip"}


def released_order():
    """A crew's order for every line of a design without an open link, released."""
    design = issued_design()
    Job.objects.filter(pk=design.job_id).update(stage=Stage.RELEASED)
    return WorkOrderFactory(design=design, wall_line_labels=LINES, acknowledged=True)


def client_of(user):
    client = Client()
    client.force_login(user)
    return client


def row_of(order, label, role):
    return order.design.connection_schedule.lines.get(wall_line_label=label, role=role)


def payload_of(row, **said):
    """What an entry says of a schedule row, or of those of its places that are given."""
    places = said.pop("positions_in", row.positions_in)
    about = {"role": row.role, "connector": row.connector_key, "panel": row.panel, "piece": row.piece}
    return about | {"positions_in": places, "count": len(places) or row.count} | said


def log(order, label, kind, payload):
    return field_work.log_event(
        event_id=uuid4(), work_order_id=order.pk, wall_line_label=label, kind=kind, at_client=timezone.now(),
        payload=payload, by=order.crew.lead,
    )  # fmt: skip


def install(order, *, without=()):
    """Log each row as drawn, but the (line, role) of `without`."""
    for row in order.design.connection_schedule.lines.all():
        if (row.wall_line_label, row.role) not in without:
            FieldEventFactory(
                work_order=order, wall_line_label=row.wall_line_label, kind="installed", payload=payload_of(row)
            )


def tick(order, *, without=()):
    for label in LINES:
        for name in hold_points.INSPECTS:
            if (label, name) not in without:
                HoldPointFactory(work_order=order, wall_line_label=label, name=name)


def count_nails(order, label="A", **sunk):
    total = row_of(order, label, "panel edge nails").count
    counts = {"over_16th": 0, "over_8th": 0, "missed_framing": 0} | sunk
    tally = {"panel": 1, "total": total, "flush": total - sum(counts.values()), **counts}
    return log(order, label, "nail_count", tally)
