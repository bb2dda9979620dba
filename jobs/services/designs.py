"""Issuing a design: the draft of the day, frozen with every input and result and its connection schedule."""

from __future__ import annotations

import hashlib
from importlib.metadata import PackageNotFoundError, version

from django.db import transaction
from django.utils import timezone

from engineering.results import Check, HouseResult, LinkResult
from engineering.schedule import ScheduleItem
from jobs import assessment, policy, survey_inputs
from jobs.errors import Stale
from jobs.models import ConnectionSchedule, Connector, Design, Job, JobEvent, ScheduleLine, User


@transaction.atomic
def issue_design(*, job_id: int, by: User, seen_version: int, note: str = "") -> Design:
    """Freeze the job's draft as its next revision, or raise Refused / OutOfRange with what stands in the way.

    Under criteria that no engineer has confirmed it is a quantity study, fit for proposing and nothing more.
    """
    job = Job.objects.select_for_update().get(pk=job_id)
    policy.require(by, "design.issue", on=job)
    if job.version != seen_version:
        raise Stale(job)
    today = timezone.localdate()
    text, inputs_sha256, result = assessment.snapshot(job, on=today)
    last = job.designs.order_by("-revision").first()
    design = Design.objects.create(
        job=job,
        revision=last.revision + 1 if last else 1,
        snapshot=text,
        inputs_sha256=inputs_sha256,
        snapshot_sha256=hashlib.sha256(text.encode()).hexdigest(),
        calculated_on=today,
        software_version=software_version(),
        issued_by=by,
        issued_at=timezone.now(),
        quantity_study=not survey_inputs.criteria_for(job).is_confirmed,
        note=note,
    )
    _write_schedule(design, result)
    JobEvent.objects.create(
        job=job,
        by=by,
        at=timezone.now(),
        what="design.issue",
        before=f"revision {last.revision}" if last else "",
        after=f"revision {design.revision}",
        note=note,
    )
    return design


def software_version() -> str:
    """The installed version of this program; a checkout that was never installed says so."""
    try:
        return version("stemwall")
    except PackageNotFoundError:
        return "0.1.0 (checkout)"


def _write_schedule(design: Design, result: HouseResult) -> None:
    schedule = ConnectionSchedule.objects.create(design=design)
    names = dict(Connector.objects.values_list("key", "name"))
    rows = []
    for line in result.schedule.lines:
        links = {link.link: link for link in result.line(line.label).links}
        for item in line.items:
            check = _check_of(item, links.get(item.link))
            rows.append(
                ScheduleLine(
                    schedule=schedule,
                    wall_line_label=line.label,
                    link=item.link,
                    role=item.role,
                    connector_key=item.connector,
                    connector_name=names.get(item.connector, item.connector),
                    count=item.count,
                    spacing_in=item.spacing_in,
                    positions_in=list(item.positions_in),
                    panel=item.panel,
                    piece=item.piece,
                    demand=check.demand if check else None,
                    capacity=check.capacity if check else None,
                    unit=check.unit if check else "",
                    ratio=check.ratio if check else None,
                    governing=check.clause if check else "",
                    note=item.note,
                )
            )
    ScheduleLine.objects.bulk_create(rows)


def _check_of(item: ScheduleItem, link: LinkResult | None) -> Check | None:
    """The check that this row answers to: its own panel's where the link is checked by part."""
    if link is None:
        return None
    if item.panel is not None:
        for part in link.parts:
            if part.name.endswith(f"panel {item.panel}"):
                return part
    return link.check
