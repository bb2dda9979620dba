"""Moves between job stages: the whole table, its guards, and the only writer of `stage`."""

from __future__ import annotations

from dataclasses import dataclass

from django.db import transaction
from django.utils import timezone

from jobs import policy
from jobs.errors import Refused
from jobs.models import OVER, Job, ReviewComment, Stage, User
from jobs.services import log
from jobs.services import stage_guards as guard
from jobs.services.stage_guards import Guard

IN_ORDER = [stage for stage in Stage if stage not in (Stage.LOST, Stage.CANCELLED)]


@dataclass(frozen=True, slots=True)
class Edge:
    """One move: the action in policy.MAY that it takes, and its guards (None: go; a sentence: why not)."""

    action: str
    guards: tuple[Guard, ...] = ()
    needs_note: bool = False


RELEASE = (
    guard.papers_allow_the_work,
    guard.nothing_is_left_to_accept,
    guard.permit_is_issued,
    guard.city_set_is_uploaded,
    guard.cancellation_period_is_over,
    guard.programme_has_approved,
)
REVIEW = (
    guard.an_engineer_is_assigned,
    guard.criteria_are_confirmed,
    guard.contract_is_signed,
    guard.design_is_issued,
    guard.design_fits_the_present_facts,
    guard.packet_is_ready,
    guard.no_comment_is_open,
)
BACK = Edge("review.return", (guard.a_comment_is_open,))

EDGES: dict[tuple[Stage, Stage], Edge] = {
    (Stage.INQUIRY, Stage.SURVEY_BOOKED): Edge("job.move.book_survey", (guard.survey_has_a_day,)),
    (Stage.SURVEY_BOOKED, Stage.SURVEYED): Edge(
        "job.move.complete_survey", (guard.house_is_surveyed, guard.every_wall_line_is_surveyed)
    ),
    (Stage.SURVEYED, Stage.CRITERIA_SET): Edge("job.move.set_criteria", (guard.criteria_are_confirmed,)),
    (Stage.CRITERIA_SET, Stage.DESIGNED): Edge(
        "job.move.design",
        (guard.criteria_are_confirmed, guard.design_is_issued, guard.design_fits_the_present_facts),
    ),
    (Stage.DESIGNED, Stage.PROPOSED): Edge("job.move.propose", (guard.design_is_issued, guard.proposal_has_a_day)),
    (Stage.PROPOSED, Stage.CONTRACT_SIGNED): Edge(
        "job.move.sign_contract", (guard.contract_is_signed, guard.cancellation_period_is_known)
    ),
    (Stage.CONTRACT_SIGNED, Stage.IN_REVIEW): Edge("job.move.start_review", REVIEW),
    # After a return the contract stands; the job need not be proposed again.
    (Stage.DESIGNED, Stage.IN_REVIEW): Edge("job.move.start_review", REVIEW),
    (Stage.IN_REVIEW, Stage.STAMPED): Edge(
        "job.move.stamp",
        (
            guard.stamp_method_is_digital,
            guard.every_file_is_stamped,
            guard.open_links_are_listed,
            guard.nothing_is_left_to_accept,
            guard.tables_are_accepted,
        ),
    ),
    (Stage.IN_REVIEW, Stage.DESIGNED): BACK,
    (Stage.STAMPED, Stage.DESIGNED): BACK,
    (Stage.SUBMITTED, Stage.DESIGNED): BACK,
    (Stage.STAMPED, Stage.SUBMITTED): Edge(
        "job.move.submit", (guard.packet_is_current, guard.nothing_is_left_to_accept, guard.permit_is_applied_for)
    ),
    (Stage.CONTRACT_SIGNED, Stage.SUBMITTED): Edge(
        "job.move.submit", (guard.prescriptive_route_is_open, guard.design_is_issued, guard.permit_is_applied_for)
    ),
    (Stage.SUBMITTED, Stage.PERMIT_ISSUED): Edge("job.move.record_permit", (guard.permit_is_issued,)),
    (Stage.PERMIT_ISSUED, Stage.RELEASED): Edge("job.move.release", RELEASE),
    (Stage.RELEASED, Stage.IN_PROGRESS): Edge(
        "job.move.start_work", (*RELEASE, guard.a_work_order_exists, guard.cautions_are_acknowledged)
    ),
    (Stage.IN_PROGRESS, Stage.FINAL_INSPECTION): Edge(
        "job.move.inspect", (guard.every_line_was_worked_on, guard.no_shortfall_is_open)
    ),
    (Stage.FINAL_INSPECTION, Stage.IN_PROGRESS): Edge("job.move.inspect", needs_note=True),
    (Stage.FINAL_INSPECTION, Stage.CLOSED): Edge(
        "job.move.close",
        (
            guard.final_inspection_passed,
            guard.no_inspection_item_failed,
            guard.no_shortfall_is_open,
            guard.as_built_holds,
        ),
    ),
    **{(stage, Stage.LOST): Edge("job.move.lose", needs_note=True) for stage in Stage if stage not in OVER},
    **{(stage, Stage.CANCELLED): Edge("job.move.cancel", needs_note=True) for stage in Stage if stage not in OVER},
}


@transaction.atomic
def move_job(*, job_id: int, to: str, by: User, seen_stage: str, note: str = "") -> Job:
    """Move a job one stage, or raise Refused with every reason at once.

    `seen_stage` is the stage that the mover was looking at. PermissionDenied without the edge's action; ValueError
    for a stage that does not exist. The move is logged.
    """
    to = Stage(to)
    job = _locked(job_id)
    if job.stage != seen_stage:
        raise Refused("Someone moved this job while you were looking at it. Reload and try again.")
    edge = EDGES.get((Stage(job.stage), to))
    if edge is None:
        raise Refused(f"A job cannot go from {job.get_stage_display().lower()} to {to.label.lower()}.")
    policy.require(by, edge.action, on=job)
    if reasons := reasons_against(job, to, note=note):
        raise Refused(*reasons)
    before, job.stage = job.stage, to
    job.save(update_fields=["stage"])
    log.record(by=by, what=edge.action, job=job, before=before, after=to, note=note)
    return job


def reasons_against(job: Job, to: str, *, note: str = "") -> list[str]:
    """Everything that stands against this move now, as sentences; KeyError when it is not in the table."""
    edge = EDGES[Stage(job.stage), Stage(to)]
    guards = edge.guards if to in (Stage.LOST, Stage.CANCELLED) else (guard.is_not_on_hold, *edge.guards)
    reasons = [reason for ask in guards if (reason := ask(job))]
    if edge.needs_note and not note.strip():
        reasons.append("Give the reason for this move.")
    return reasons


def moves_for(user: User, job: Job) -> list[tuple[Stage, Edge]]:
    """The moves from the job's stage that this user may make, guards or not, in the order of the stages."""
    moves = [(to, edge) for (at, to), edge in EDGES.items() if at == job.stage]
    return [(to, edge) for to, edge in moves if policy.check(user, edge.action, on=job)]


@transaction.atomic
def return_job(*, job_id: int, text: str, by: User, seen_stage: str) -> Job:
    """The engineer sends the job back to "designed" with a comment that stays open until it is resolved."""
    job = Job.objects.get(pk=job_id)
    policy.require(by, "review.return", on=job)
    if not text.strip():
        raise Refused("Write down what has to change.")
    ReviewComment.objects.create(job=job, design=guard.latest_design(job), by=by, text=text.strip(), at=timezone.now())
    return move_job(job_id=job_id, to=Stage.DESIGNED, by=by, seen_stage=seen_stage, note=text.strip())


@transaction.atomic
def resolve_comment(*, comment_id: int, by: User, note: str = "") -> ReviewComment:
    """Mark an engineer's comment as dealt with."""
    comment = ReviewComment.objects.select_for_update(of=("self",)).select_related("job").get(pk=comment_id)
    policy.require(by, "review.resolve", on=comment.job)
    if comment.resolved_at is not None:
        raise Refused("This comment is resolved already.")
    comment.resolved_at = timezone.now()
    comment.save(update_fields=["resolved_at"])
    log.record(by=by, what="review.resolve", job=comment.job, before=comment.text, after="resolved", note=note)
    return comment


def _locked(job_id: int) -> Job:
    return Job.objects.select_for_update(of=("self",)).select_related("house__jurisdiction").get(pk=job_id)
