"""Work orders, the crew's log, hold points, cautions, inspections."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.db.models import Max
from django.utils import timezone

from jobs import as_built, log_entries, policy
from jobs.errors import Refused
from jobs.models import (
    OVER,
    Crew,
    Design,
    FieldEvent,
    FieldEventKind,
    HoldPoint,
    Inspection,
    InspectionItem,
    InspectionResult,
    Job,
    Packet,
    Role,
    Stage,
    User,
    WorkOrder,
)
from jobs.services import log
from jobs.services.stamps import day_text
from jobs.services.versions import create, save_if_current

FINAL = "final"
WORKABLE = (Stage.RELEASED, Stage.IN_PROGRESS, Stage.FINAL_INSPECTION)
SHORTFALLS = (FieldEventKind.MISSED, FieldEventKind.MOVED, FieldEventKind.SUBSTITUTED, FieldEventKind.SPLIT)
MAKES_GOOD = (FieldEventKind.INSTALLED, FieldEventKind.ADDED)


@transaction.atomic
def create_work_order(
    *, job_id: int, design_id: int, crew_id: int, day: date, wall_line_labels: Iterable[str], by: User
) -> WorkOrder:
    """Book a crew for wall lines of a design. It may be booked early; the crew can work it once the job is released.

    Refused for a line that the design's connection schedule lacks, a quantity study, or a job that is over.
    """
    job = Job.objects.select_for_update().get(pk=job_id)
    policy.require(by, "work_order.create", on=job)
    design = Design.objects.get(pk=design_id)
    labels = list(wall_line_labels)
    reasons = []
    if job.stage in OVER:
        reasons.append(f"The job is {job.get_stage_display().lower()}.")
    if design.job_id != job.pk:
        reasons.append("This design belongs to another job.")
    if design.quantity_study and not job.is_prescriptive:
        reasons.append(f"Revision {design.revision} is a quantity study, not engineering; nobody builds from it.")
    if not labels:
        reasons.append("Name at least one wall line.")
    known = set(design.connection_schedule.lines.values_list("wall_line_label", flat=True))
    reasons += [
        f"Revision {design.revision} schedules nothing on wall line {label}." for label in labels if label not in known
    ]
    if reasons:
        raise Refused(*reasons)
    number = (job.work_orders.aggregate(last=Max("number"))["last"] or 0) + 1
    order = create(
        WorkOrder,
        {
            "job": job,
            "design": design,
            "number": number,
            "crew": Crew.objects.get(pk=crew_id),
            "day": day,
            "wall_line_labels": labels,
        },
    )
    log.record(by=by, what="work_order.create", job=job, after=f"{order} for {order.crew} on {day_text(day)}")
    return order


@transaction.atomic
def rebook(*, work_order_id: int, seen_version: int, crew_id: int, day: date, by: User) -> WorkOrder:
    """Give a work order another crew or day. Stale when someone else did meanwhile."""
    order = WorkOrder.objects.select_related("job").get(pk=work_order_id)
    policy.require(by, "work_order.create", on=order.job)
    crew = Crew.objects.get(pk=crew_id)
    change = save_if_current(order, seen_version=seen_version, changes={"crew": crew, "day": day})
    if change:
        log.record(by=by, what="work_order.create", job=order.job, before=change.before, after=change.after)
    return order


def why_void(order: WorkOrder) -> str:
    """Why nobody may build from this order any more: a newer design is stamped. Empty while it stands."""
    newer = Packet.objects.filter(
        design__job=order.job_id, design__revision__gt=order.design.revision, withdrawn_at__isnull=True
    ).select_related("design")
    for packet in newer:
        if packet.is_stamped:
            return f"Void: revision {packet.design.revision} is stamped and replaces revision {order.design.revision}."
    return ""


def why_not_workable(order: WorkOrder) -> list[str]:
    """What keeps the crew from working this order, as sentences; empty: go to work."""
    reasons = [void] if (void := why_void(order)) else []
    if order.job.stage not in WORKABLE:
        reasons.append("The job is not released to the crew yet.")
    if held := order.job.current_hold:
        reasons.append(f"The job is on hold: {held.reason}")
    if order.cautions_acknowledged_at is None:
        reasons.append("Acknowledge the cautions first.")
    return reasons


@transaction.atomic
def acknowledge_cautions(*, work_order_id: int, by: User) -> WorkOrder:
    """The crew's own act, before anything else. Saying it again changes nothing."""
    order = WorkOrder.objects.select_for_update(of=("self",)).select_related("job", "crew").get(pk=work_order_id)
    policy.require(by, "work_order.acknowledge", on=order)
    if order.cautions_acknowledged_at is None:
        changes = {"cautions_acknowledged_by": by, "cautions_acknowledged_at": timezone.now()}
        save_if_current(order, seen_version=order.version, changes=changes)
        log.record(by=by, what="work_order.acknowledge", job=order.job, after=f"cautions of {order}")
    return order


@transaction.atomic
def log_event(
    *,
    event_id: UUID,
    work_order_id: int,
    wall_line_label: str,
    kind: str,
    at_client: datetime,
    by: User,
    payload: Mapping[str, Any] | None = None,
) -> FieldEvent:
    """Write down what happened on a wall line, once: the same id with the same body returns the row of the first time.

    Refused for an id that was used for something else, a line that is not of this order, an order that can't be
    worked, a payload that does not fit the order's design (log_entries says what it holds), or
    `payload["makes_good"]` that names no shortfall of this order. An event that makes good a shortfall is an
    installation, an addition, or the engineer's note. A hold point's entry names it in `payload["name"]`, ticks it,
    and is the lead's alone.
    """
    order = (
        WorkOrder.objects.select_for_update(of=("self",)).select_related("job", "crew", "design").get(pk=work_order_id)
    )
    action = "work_order.answer" if by.roles == {Role.ENGINEER} else "work_order.log"
    policy.require(by, action, on=order)
    body = {"wall_line_label": wall_line_label, "kind": FieldEventKind(kind), "payload": dict(payload or {})}
    known = FieldEvent.objects.filter(pk=event_id).first()
    if known is not None:
        same = (
            known.work_order_id == order.pk
            and known.by_id == by.pk
            and known.at_client == at_client
            and all(getattr(known, name) == value for name, value in body.items())
        )
        if same:
            return known
        raise Refused("This entry's id was used for another entry; make a new id.")
    if body["kind"] == FieldEventKind.HOLD_POINT:
        policy.require(by, "work_order.tick", on=order)
    reasons = [] if action == "work_order.answer" else why_not_workable(order)
    if wall_line_label not in order.wall_line_labels:
        reasons.append(f"Wall line {wall_line_label} is not part of {order}.")
    if action == "work_order.answer" and kind != FieldEventKind.NOTE:
        reasons.append("An engineer answers with a note; the crew logs the work.")
    reasons += _against_making_good(order, body["kind"], body["payload"], action)
    if not reasons:
        reasons += as_built.against(order.design, wall_line_label, kind, body["payload"])
    name = body["payload"].get("name")
    if body["kind"] == FieldEventKind.HOLD_POINT and not (isinstance(name, str) and name.strip()):
        reasons.append("Name the hold point that is ticked.")
    if reasons:
        raise Refused(*reasons)
    event = create(
        FieldEvent,
        {"id": event_id, "work_order": order, "by": by, "at_client": at_client, "received_at": timezone.now(), **body},
    )
    if event.kind == FieldEventKind.HOLD_POINT:
        tick_hold_point(work_order_id=order.pk, wall_line_label=wall_line_label, name=name.strip(), by=by)
    log.record(by=by, what="work_order.log", job=order.job, after=f"{order}: {event}")
    return event


def _against_making_good(order: WorkOrder, kind: str, payload: Mapping[str, Any], action: str) -> list[str]:
    if "makes_good" not in payload:
        return []
    reasons = []
    shortfalls = {str(pk) for pk in order.events.filter(kind__in=SHORTFALLS).values_list("pk", flat=True)}
    if str(payload["makes_good"]) not in shortfalls:
        reasons.append("What this makes good is not a shortfall of this work order.")
    if kind not in MAKES_GOOD and action != "work_order.answer":
        reasons.append("A shortfall is made good by an installation or by the engineer's note.")
    return reasons


def open_shortfalls(job: Job) -> list[FieldEvent]:
    """What was missed, moved, substituted or split on this job and not made good since, oldest first.

    What was moved inside its tolerance is logged and no more.
    """
    events = FieldEvent.objects.filter(work_order__job=job).select_related("work_order__job", "work_order__design")
    made_good = {str(event.payload["makes_good"]) for event in events if "makes_good" in event.payload}
    short = [event for event in events if event.kind in SHORTFALLS and str(event.pk) not in made_good]
    moved = {event.work_order.design for event in short if event.kind == FieldEventKind.MOVED}
    inside = {design: as_built.rows_inside_tolerance(design) for design in moved}
    return [
        event
        for event in short
        if event.kind != FieldEventKind.MOVED or log_entries.row_of(event) not in inside[event.work_order.design]
    ]


@transaction.atomic
def tick_hold_point(*, work_order_id: int, wall_line_label: str, name: str, by: User) -> HoldPoint:
    """The crew's lead ticks a hold point today. Saying it again returns the first tick."""
    order = (
        WorkOrder.objects.select_for_update(of=("self",)).select_related("job", "crew", "design").get(pk=work_order_id)
    )
    policy.require(by, "work_order.tick", on=order)
    ticked = HoldPoint.objects.filter(work_order=order, wall_line_label=wall_line_label, name=name).first()
    if ticked is not None:
        return ticked
    reasons = why_not_workable(order)
    if wall_line_label not in order.wall_line_labels:
        reasons.append(f"Wall line {wall_line_label} is not part of {order}.")
    if reasons:
        raise Refused(*reasons)
    facts = {"work_order": order, "wall_line_label": wall_line_label, "name": name}
    ticked = create(HoldPoint, {**facts, "ticked_by": by, "ticked_on": timezone.localdate()})
    log.record(by=by, what="work_order.tick", job=order.job, after=f"{order}: {ticked}")
    return ticked


@transaction.atomic
def record_inspection(
    *, job_id: int, stage: str, day: date, inspector: str, items: Iterable[Mapping[str, Any]], by: User
) -> Inspection:
    """Write down a visit with its items; it passed when every item did. A later visit may pass what failed.

    Refused without items or for a day that lies ahead. `stage` FINAL is the one that closing asks for.
    """
    job = Job.objects.get(pk=job_id)
    policy.require(by, "inspection.record", on=job)
    rows = [dict(item) for item in items]
    reasons = []
    if job.stage not in WORKABLE:
        reasons.append(f"The job is {job.get_stage_display().lower()}; there is no work to inspect.")
    if not rows:
        reasons.append("An inspection has at least one item.")
    if day > timezone.localdate():
        reasons.append("An inspection can't be recorded before its day.")
    if reasons:
        raise Refused(*reasons)
    passed = all(row.get("result") == InspectionResult.PASS for row in rows)
    result = InspectionResult.PASS if passed else InspectionResult.FAIL
    visit = create(
        Inspection,
        {"job": job, "stage": stage, "day": day, "inspector": inspector, "result": result, "recorded_by": by},
    )
    for row in rows:
        create(InspectionItem, {"inspection": visit, **row})
    log.record(by=by, what="inspection.record", job=job, after=f"{visit}: {visit.get_result_display().lower()}")
    return visit


def open_failures(job: Job) -> list[InspectionItem]:
    """Failed items that no later visit of the same stage has passed, oldest first."""
    items = InspectionItem.objects.filter(inspection__job=job).select_related("inspection")
    last: dict[tuple[str, str, str], InspectionItem] = {}
    for item in items.order_by("inspection__day", "inspection__pk", "pk"):
        last[item.inspection.stage, item.wall_line_label, item.text] = item
    return [item for item in last.values() if item.result == InspectionResult.FAIL]
