"""What must hold before a job moves on. Each guard returns None for go, or a sentence that says why not.

A guard whose record is not kept here yet asks a dated fact that the office enters on the job.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from typing import Any

from django.utils import timezone

from engineering.errors import OutOfRange
from jobs import as_built, assessment
from jobs.errors import Refused
from jobs.models import Design, FieldEventKind, InspectionResult, Job, Packet, StampMethod, TableSetAcceptance
from jobs.services import field_work, houses, stamps, wall_lines

Guard = Callable[[Job], str | None]


# --- facts that several guards ask ---------------------------------------------------------------------------------
def latest_design(job: Job) -> Design | None:
    """The job's newest revision."""
    return job.designs.order_by("-revision").first()


def latest_packet(job: Job) -> Packet | None:
    """The newest packet of the newest revision that has one and was not withdrawn."""
    return (
        Packet.objects.filter(design__job=job, withdrawn_at__isnull=True)
        .order_by("-design__revision", "-number")
        .first()
    )


def takes_prescriptive_route(job: Job) -> bool:
    """Whether review and stamp are skipped: a prescriptive job where the jurisdiction's record accepts such sets."""
    return job.is_prescriptive and job.house.jurisdiction.accepts_prescriptive


def _together(sentences: list[str]) -> str | None:
    return " ".join(sentences) or None


# --- everywhere ----------------------------------------------------------------------------------------------------
def is_not_on_hold(job: Job) -> str | None:
    held = job.current_hold
    return f"The job is on hold since {held.since:%d %b %Y}: {held.reason}" if held else None


# --- survey, criteria, design --------------------------------------------------------------------------------------
def survey_has_a_day(job: Job) -> str | None:
    return None if job.survey_on else "Enter the day of the survey."


def house_is_surveyed(job: Job) -> str | None:
    return _together(houses.missing_facts(job.house))


def every_wall_line_is_surveyed(job: Job) -> str | None:
    lines = job.house.wall_lines.all()
    if not lines:
        return "The house has no wall lines yet."
    return _together([sentence for line in lines for sentence in wall_lines.missing_facts(line)])


def criteria_are_confirmed(job: Job) -> str | None:
    sheet = getattr(job, "criteria_sheet", None)
    if takes_prescriptive_route(job) or (sheet is not None and sheet.is_confirmed):
        return None
    return "The engineer has not confirmed this job's criteria sheet."


def design_is_issued(job: Job) -> str | None:
    design = latest_design(job)
    if design is None:
        return "No design was issued yet."
    if design.quantity_study and not takes_prescriptive_route(job):
        return (
            f"Revision {design.revision} is a quantity study, not engineering: issue a design under the confirmed "
            "criteria."
        )
    return None


def design_fits_the_present_facts(job: Job) -> str | None:
    design = latest_design(job)
    if design is None:
        return None  # design_is_issued says so
    try:
        present = assessment.inputs_sha256(job, on=timezone.localdate())
    except Refused as why:
        return f"The house can't be calculated as it stands. {why}"
    except OutOfRange as why:
        return f"The house can't be calculated as it stands: {why}."
    if present == design.inputs_sha256:
        return None
    return f"Survey, criteria or choices changed since revision {design.revision}: issue a new design."


# --- proposal, contract --------------------------------------------------------------------------------------------
def proposal_has_a_day(job: Job) -> str | None:
    return None if job.proposed_on else "Enter the day on which the proposal went to the client."


def contract_is_signed(job: Job) -> str | None:
    return None if job.contract_signed_on else "Enter the day on which the contract was signed."


def cancellation_period_is_known(job: Job) -> str | None:
    return None if job.cancellation_ends_on else "Enter the day on which the client's cancellation period ends."


# --- review, stamp -------------------------------------------------------------------------------------------------
def an_engineer_is_assigned(job: Job) -> str | None:
    return None if job.assigned_engineer_id else "No engineer is assigned to the job."


def packet_is_ready(job: Job) -> str | None:
    packet, design = latest_packet(job), latest_design(job)
    if packet is None or packet.design_id != design.pk:
        return "There is no packet of the newest design: make one."
    return None if packet.is_ready else "The packet's files are still being drawn."


def a_comment_is_open(job: Job) -> str | None:
    has_one = job.review_comments.filter(resolved_at__isnull=True).exists()
    return None if has_one else "Write down what has to change before the job goes back."


def no_comment_is_open(job: Job) -> str | None:
    count = job.review_comments.filter(resolved_at__isnull=True).count()
    return f"Resolve the engineer's open comments first ({count})." if count else None


def stamp_method_is_digital(job: Job) -> str | None:
    method = StampMethod(job.house.jurisdiction.stamp_method)
    if method == StampMethod.DIGITAL or not job.house.jurisdiction.stamp_required:
        return None
    return f'{job.house.jurisdiction} wants "{method.label}"; only a digital signature can be taken here for now.'


def every_file_is_stamped(job: Job) -> str | None:
    packet = latest_packet(job)
    if packet is None:
        return "There is no packet to stamp."
    missing = [file.get_kind_display() for file in packet.files.filter(needs_stamp=True, stamp__isnull=True)]
    return f"Not stamped yet: {', '.join(missing)}." if missing else None


def open_links_are_listed(job: Job) -> str | None:
    packet = latest_packet(job)
    if packet is None:
        return None  # every_file_is_stamped says so
    missing = stamps.unlisted_open_links(packet.design)
    if not missing:
        return None
    return f"The criteria sheet must list these open links as remaining deficiencies: {'; '.join(missing)}."


def tables_are_accepted(job: Job) -> str | None:
    packet = latest_packet(job)
    if packet is None:
        return None  # every_file_is_stamped says so
    snapshot = json.loads(packet.design.snapshot)
    family = snapshot["criteria"]["code_family"]
    if not snapshot["result"]["from_memory"]:
        return None
    if TableSetAcceptance.objects.filter(code_family=family, engineer=job.assigned_engineer_id).exists():
        return None
    return f"Values of the {family} family come from memory, and the assigned engineer has not accepted its table set."


def nothing_is_left_to_accept(job: Job) -> str | None:
    packet = latest_packet(job)
    if packet is None or takes_prescriptive_route(job):
        return None
    left = stamps.left_to_accept(packet.design)
    return f"Not accepted by the engineer yet: {'; '.join(left)}. Accept, then issue a new design." if left else None


# --- permit, release -----------------------------------------------------------------------------------------------
def prescriptive_route_is_open(job: Job) -> str | None:
    if takes_prescriptive_route(job):
        return None
    return (
        "Only a prescriptive job skips review and stamp, and only where the jurisdiction's record accepts such sets: "
        f"this one is {job.get_legal_basis_display()} in {job.house.jurisdiction}."
    )


def permit_is_applied_for(job: Job) -> str | None:
    return None if job.permit_applied_on else "Enter the day on which the permit was applied for."


def permit_is_issued(job: Job) -> str | None:
    return None if job.permit_number and job.permit_issued_on else "Enter the permit's number and day of issue."


def packet_is_current(job: Job) -> str | None:
    packet = latest_packet(job)
    if packet is None:
        return "There is no packet."
    if not packet.files.filter(needs_stamp=True).exists():  # the jurisdiction asks for no stamp
        return packet_is_ready(job) or design_fits_the_present_facts(job)
    where = stamps.currency(packet)
    return None if where.state == "current" else f"The packet is {where.state}. {' '.join(where.reasons)}".strip()


def papers_allow_the_work(job: Job) -> str | None:
    """The guard that matters: a current packet, or a prescriptive set that the jurisdiction accepted."""
    if not takes_prescriptive_route(job):
        return packet_is_current(job)
    return None if job.prescriptive_accepted_on else "Enter the day on which the prescriptive set was accepted."


def city_set_is_uploaded(job: Job) -> str | None:
    return None if job.city_set_sha256 else "Upload the set that the building department approved."


def cancellation_period_is_over(job: Job) -> str | None:
    if job.cancellation_ends_on is None:
        return cancellation_period_is_known(job)
    if job.cancellation_ends_on < timezone.localdate():
        return None
    return f"The client may still cancel until {job.cancellation_ends_on:%d %b %Y}."


def programme_has_approved(job: Job) -> str | None:
    if not job.programme or job.programme_approved_on:
        return None
    return f"{job.programme} has not approved the work yet."


# --- work, inspection, close ---------------------------------------------------------------------------------------
def a_work_order_exists(job: Job) -> str | None:
    return None if any(True for _ in _valid_orders(job)) else "There is no work order from the current design."


def cautions_are_acknowledged(job: Job) -> str | None:
    waiting = [str(order) for order in _valid_orders(job) if order.cautions_acknowledged_at is None]
    return f"The crew lead has not acknowledged the cautions of {', '.join(waiting)}." if waiting else None


def every_line_was_worked_on(job: Job) -> str | None:
    missing = []
    for order in _valid_orders(job):
        done = set(order.events.filter(kind=FieldEventKind.INSTALLED).values_list("wall_line_label", flat=True))
        missing += [f"{order}, wall line {label}" for label in order.wall_line_labels if label not in done]
    return f"Nothing is logged as installed on: {'; '.join(missing)}." if missing else None


def _valid_orders(job: Job) -> Iterator[Any]:
    return (order for order in job.work_orders.all() if not field_work.why_void(order))


def no_shortfall_is_open(job: Job) -> str | None:
    shortfalls = [f"{event} ({event.work_order})" for event in field_work.open_shortfalls(job)]
    return f"What was built falls short until it is made good: {'; '.join(shortfalls)}." if shortfalls else None


def as_built_holds(job: Job) -> str | None:
    """The chain computed again with what was logged, inspected and tested: nothing stands against a close-out."""
    design = as_built.design_built(job)
    if design is None:
        return None  # a_work_order_exists says so
    blocked = as_built.recheck(design).close_out_blocked_by
    return f"As built, by the log of revision {design.revision}: {'; '.join(blocked)}." if blocked else None


def no_inspection_item_failed(job: Job) -> str | None:
    failed = [f"{item.inspection.stage}, {item.wall_line_label}: {item.text}" for item in field_work.open_failures(job)]
    return f"Failed and not passed since: {'; '.join(failed)}." if failed else None


def final_inspection_passed(job: Job) -> str | None:
    last = job.inspections.filter(stage=field_work.FINAL).order_by("-day", "-pk").first()
    passed = last is not None and last.result == InspectionResult.PASS
    return None if passed else "The final inspection has not been passed."
