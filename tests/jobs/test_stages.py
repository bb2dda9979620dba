"""The whole stage table: every pair that is not in it, every guard of every edge, and what a move does."""

from datetime import date, timedelta
from itertools import pairwise
from types import SimpleNamespace

import pytest
from django.core.exceptions import PermissionDenied
from django.utils import timezone

from engineering.errors import OutOfRange
from jobs import as_built, assessment, policy
from jobs.errors import Refused
from jobs.models import Job, JobEvent, Role, Stage
from jobs.services import jobs, stage_guards, stages, stamps
from jobs.services.stages import EDGES, move_job
from tests.factories import (
    CriteriaSheetFactory,
    DesignFactory,
    FieldEventFactory,
    HouseFactory,
    InspectionFactory,
    InspectionItemFactory,
    JobFactory,
    JurisdictionFactory,
    PacketFactory,
    ReviewCommentFactory,
    TableSetAcceptanceFactory,
    UserFactory,
    WallLineFactory,
    WorkOrderFactory,
    design_snapshot,
    stamp_packet,
)

pytestmark = pytest.mark.django_db
PRESENT = "1" * 64  # what DesignFactory's designs were calculated from


@pytest.fixture(autouse=True)
def present_facts(monkeypatch):
    """What the present rows hash to, what blocks as built; the calculations behind it are tested elsewhere."""
    now = SimpleNamespace(sha256=PRESENT, blocked=())

    def present(job, *, on):
        if isinstance(now.sha256, Exception):
            raise now.sha256
        return now.sha256

    monkeypatch.setattr(assessment, "inputs_sha256", present)
    monkeypatch.setattr(as_built, "recheck", lambda design: SimpleNamespace(close_out_blocked_by=now.blocked))
    return now


def a_ready_job(stage=Stage.INQUIRY):
    """A job for which every guard says go, on the engineered route."""
    yesterday = timezone.localdate() - timedelta(days=1)
    engineer = UserFactory(roles=["engineer"])
    job = JobFactory(
        stage=stage,
        assigned_engineer=engineer,
        survey_on=yesterday,
        proposed_on=yesterday,
        contract_signed_on=yesterday - timedelta(days=5),
        cancellation_ends_on=yesterday,
        permit_applied_on=yesterday,
        permit_number="B-1",
        permit_issued_on=yesterday,
        city_set="city_sets/a.pdf",
        city_set_sha256="5" * 64,
        city_set_uploaded_on=yesterday,
    )
    WallLineFactory(house=job.house, label="A")
    CriteriaSheetFactory(job=job, confirmed_by=engineer)
    packet = PacketFactory(design=DesignFactory(job=job))
    stamp_packet(packet, certificate__user=engineer)
    order = WorkOrderFactory(design=packet.design, acknowledged=True)
    FieldEventFactory(work_order=order)
    InspectionItemFactory(inspection__job=job)
    return job


def users():
    return {role: UserFactory(roles=[role]) for role in Role}


def mover(job, action):
    """Someone who may make this move on this job."""
    allowed = policy.MAY[action]
    return UserFactory(roles=["office"]) if Role.OFFICE in allowed else job.assigned_engineer


def move(job, to, note="because"):
    edge = EDGES[Stage(job.stage), Stage(to)]
    return move_job(job_id=job.pk, to=to, by=mover(job, edge.action), seen_stage=job.stage, note=note)


# --- the table -----------------------------------------------------------------------------------------------------
def test_every_pair_that_is_not_in_the_table_is_refused():
    job, office = JobFactory(), UserFactory(roles=["office"])
    pairs = [(at, to) for at in Stage for to in Stage if (at, to) not in EDGES]
    for at, to in pairs:
        change(job, stage=at)
        with pytest.raises(Refused, match="cannot go from"):
            move_job(job_id=job.pk, to=to, by=office, seen_stage=at, note="because")
        assert Job.objects.get(pk=job.pk).stage == at
    assert len(pairs) + len(EDGES) == len(Stage) ** 2


def test_the_stages_follow_one_another_to_the_end():
    order = [stage for stage in Stage if stage not in (Stage.LOST, Stage.CANCELLED)]
    assert all(pair in EDGES for pair in pairwise(order))


@pytest.mark.parametrize("end", [Stage.LOST, Stage.CANCELLED])
def test_lost_and_cancelled_can_be_reached_from_anywhere_before_closed_and_left_from_nowhere(end):
    over = {Stage.CLOSED, Stage.LOST, Stage.CANCELLED}
    assert {at for at, to in EDGES if to == end} == set(Stage) - over
    assert not [pair for pair in EDGES if pair[0] in over]


def test_every_edge_names_an_action_of_the_policy():
    assert {edge.action for edge in EDGES.values()} <= policy.MAY.keys()


@pytest.mark.parametrize(("at", "to"), EDGES)
def test_every_edge_moves_a_job_for_which_all_guards_say_go(at, to):
    job = a_ready_job(at)
    if EDGES[at, to].action == "review.return":
        ReviewCommentFactory(job=job)
    if (at, to) == (Stage.CONTRACT_SIGNED, Stage.SUBMITTED):
        make_prescriptive(job)
    moved = move(job, to)
    assert moved.stage == to
    assert Job.objects.get(pk=job.pk).stage == to
    event = JobEvent.objects.get(job=job)
    assert (event.what, event.before, event.after, event.note) == (EDGES[at, to].action, at, to, "because")


@pytest.mark.parametrize(("at", "to"), EDGES)
def test_every_edge_is_refused_to_roles_that_lack_its_action(at, to):
    job = a_ready_job(at)
    for role, user in users().items():
        if role not in policy.MAY[EDGES[at, to].action]:
            with pytest.raises(PermissionDenied):
                move_job(job_id=job.pk, to=to, by=user, seen_stage=at, note="because")
    assert Job.objects.get(pk=job.pk).stage == at


# --- each guard failing --------------------------------------------------------------------------------------------
def make_prescriptive(job):
    job.legal_basis = "appendix A3 prescriptive"
    job.save()
    job.house.jurisdiction.accepts_prescriptive = True
    job.house.jurisdiction.save()


def change(job, **facts):
    Job.objects.filter(pk=job.pk).update(**facts)


def unstamp(job):
    """A newer packet of the same design that nobody has stamped."""
    PacketFactory(design=job.designs.get())


def issue(job, **facts):
    return DesignFactory(job=job, **facts)


def restamp(job, **snapshot):
    """A newer design with this in its snapshot, stamped."""
    stamp_packet(PacketFactory(design=issue(job, snapshot=design_snapshot(**snapshot))))


def set_jurisdiction(job, **facts):
    type(job.house.jurisdiction).objects.filter(pk=job.house.jurisdiction_id).update(**facts)


def set_house(job, **facts):
    type(job.house).objects.filter(pk=job.house_id).update(**facts)


BREAK = {  # guard → what makes it say no, and what it says then
    "survey_has_a_day": (lambda job, now: change(job, survey_on=None), "day of the survey"),
    "house_is_surveyed": (lambda job, now: set_house(job, roof_psf=None), "lacks: roof weight"),
    "every_wall_line_is_surveyed": (
        lambda job, now: job.house.wall_lines.update(foundation_condition=""),
        "foundation lacks its condition",
    ),
    "criteria_are_confirmed": (lambda job, now: job.criteria_sheet.delete(), "not confirmed"),
    "design_is_issued": (lambda job, now: issue(job, quantity_study=True), "quantity study"),
    "design_fits_the_present_facts": (lambda job, now: setattr(now, "sha256", "9" * 64), "issue a new design"),
    "proposal_has_a_day": (lambda job, now: change(job, proposed_on=None), "proposal went to the client"),
    "contract_is_signed": (lambda job, now: change(job, contract_signed_on=None), "contract was signed"),
    "cancellation_period_is_known": (
        lambda job, now: change(job, cancellation_ends_on=None),
        "cancellation period ends",
    ),
    "an_engineer_is_assigned": (lambda job, now: change(job, assigned_engineer=None), "No engineer is assigned"),
    "packet_is_ready": (lambda job, now: PacketFactory(design=job.designs.get(), ready=False), "being drawn"),
    "no_comment_is_open": (lambda job, now: ReviewCommentFactory(job=job), "open comments"),
    "a_comment_is_open": (lambda job, now: None, "what has to change"),
    "stamp_method_is_digital": (
        lambda job, now: set_jurisdiction(job, stamp_method="scan of a wet-signed set"),
        '"scan of a wet-signed set"',
    ),
    "every_file_is_stamped": (lambda job, now: unstamp(job), "Not stamped yet: plan set, calculations"),
    "open_links_are_listed": (
        lambda job, now: restamp(job, open_links=["load path open at collector"]),
        "A: load path open at collector",
    ),
    "nothing_is_left_to_accept": (
        lambda job, now: restamp(job, to_accept=["line A, foundation", "R = 6.5 under older stories"]),
        "Not accepted by the engineer yet: line A, foundation; R = 6.5 under older stories",
    ),
    "tables_are_accepted": (lambda job, now: restamp(job, from_memory=["NDS 2018"]), "come from memory"),
    "prescriptive_route_is_open": (lambda job, now: None, "Only a prescriptive job"),
    "permit_is_applied_for": (lambda job, now: change(job, permit_applied_on=None), "applied for"),
    "permit_is_issued": (
        lambda job, now: change(job, permit_number="", permit_issued_on=None),
        "permit's number and day of issue",
    ),
    "packet_is_current": (lambda job, now: unstamp(job), "packet is not stamped"),
    "papers_allow_the_work": (lambda job, now: setattr(now, "sha256", "9" * 64), "packet is superseded"),
    "city_set_is_uploaded": (
        lambda job, now: change(job, city_set="", city_set_sha256="", city_set_uploaded_on=None),
        "building department approved",
    ),
    "cancellation_period_is_over": (
        lambda job, now: change(job, cancellation_ends_on=timezone.localdate()),
        "may still cancel until",
    ),
    "programme_has_approved": (lambda job, now: change(job, programme="Sample grant"), "Sample grant has not"),
    "a_work_order_exists": (lambda job, now: restamp(job), "no work order from the current design"),
    "cautions_are_acknowledged": (
        lambda job, now: WorkOrderFactory(design=job.designs.get()),
        "has not acknowledged the cautions of work order",
    ),
    "every_line_was_worked_on": (
        lambda job, now: WorkOrderFactory(design=job.designs.get(), wall_line_labels=["A", "B"]),
        "wall line A; .*wall line B",
    ),
    "no_shortfall_is_open": (
        lambda job, now: FieldEventFactory(work_order=job.work_orders.get(), kind="missed"),
        "falls short",
    ),
    "as_built_holds": (
        lambda job, now: setattr(now, "blocked", ("line A is over as built",)),
        "line A is over as built",
    ),
    "no_inspection_item_failed": (
        lambda job, now: InspectionItemFactory(inspection__job=job, text="nuts tight", result="fail"),
        "nuts tight",
    ),
    "final_inspection_passed": (
        lambda job, now: InspectionFactory(job=job, result="fail"),
        "has not been passed",
    ),
}
GUARDED = [(at, to, guard.__name__) for (at, to), edge in EDGES.items() for guard in edge.guards]


@pytest.mark.parametrize(("at", "to", "guard"), GUARDED)
def test_every_edge_is_refused_by_each_of_its_guards(at, to, guard, present_facts):
    job = a_ready_job(at)
    spoil, says = BREAK[guard]
    if (at, to) == (Stage.CONTRACT_SIGNED, Stage.SUBMITTED) and guard != "prescriptive_route_is_open":
        make_prescriptive(job)
        if guard == "design_is_issued":  # a quantity study will do on this route; no design will not
            job = JobFactory(stage=at, house=job.house, legal_basis=job.legal_basis, permit_applied_on="2026-11-01")
            spoil, says = lambda job, now: None, "No design was issued"
    spoil(job, present_facts)
    with pytest.raises(Refused, match=says):
        move(Job.objects.get(pk=job.pk), to)
    assert Job.objects.get(pk=job.pk).stage == at
    assert not JobEvent.objects.filter(job=job).exists()


@pytest.mark.parametrize(("at", "to"), [pair for pair, edge in EDGES.items() if edge.needs_note])
def test_a_move_that_ends_or_turns_back_needs_its_reason(at, to):
    with pytest.raises(Refused, match="Give the reason"):
        move(a_ready_job(at), to, note=" ")


def test_all_reasons_are_given_at_once():
    job = a_ready_job(Stage.PERMIT_ISSUED)
    change(job, permit_number="", permit_issued_on=None, programme="Sample grant")
    unstamp(job)
    with pytest.raises(Refused) as refused:
        move(Job.objects.get(pk=job.pk), Stage.RELEASED)
    assert len(refused.value.reasons) == 3


# --- on hold, stale, unknown ---------------------------------------------------------------------------------------
def test_a_job_on_hold_goes_nowhere_but_to_an_end():
    office = UserFactory(roles=["office"])
    job = a_ready_job(Stage.INQUIRY)
    jobs.hold(job_id=job.pk, reason="client travels", by=office)
    with pytest.raises(Refused, match=r"on hold since .*client travels"):
        move(job, Stage.SURVEY_BOOKED)
    jobs.lift_hold(job_id=job.pk, by=office)
    move(job, Stage.SURVEY_BOOKED)
    jobs.hold(job_id=job.pk, reason="client travels", by=office)
    assert move(Job.objects.get(pk=job.pk), Stage.LOST).stage == Stage.LOST


def test_a_move_from_a_stage_that_is_no_longer_so_is_refused():
    job = a_ready_job(Stage.SURVEY_BOOKED)
    with pytest.raises(Refused, match="Someone moved this job"):
        move_job(job_id=job.pk, to=Stage.SURVEYED, by=UserFactory(roles=["office"]), seen_stage=Stage.INQUIRY)


def test_a_stage_that_does_not_exist_is_a_bug():
    with pytest.raises(ValueError, match="dreaming"):
        move_job(job_id=JobFactory().pk, to="dreaming", by=UserFactory(roles=["office"]), seen_stage="inquiry")


def test_moves_are_offered_to_those_who_may_make_them():
    job = a_ready_job(Stage.IN_REVIEW)
    offered = {to for to, _ in stages.moves_for(job.assigned_engineer, job)}
    assert offered == {Stage.STAMPED, Stage.DESIGNED}
    assert {to for to, _ in stages.moves_for(UserFactory(roles=["estimator"]), job)} == {Stage.LOST}
    assert not stages.moves_for(UserFactory(roles=["engineer"]), job)


# --- the return ----------------------------------------------------------------------------------------------------
def test_the_engineer_returns_a_job_with_a_comment_that_stays_open():
    job = a_ready_job(Stage.IN_REVIEW)
    engineer = job.assigned_engineer
    stages.return_job(job_id=job.pk, text="Show the plate laps.", by=engineer, seen_stage=Stage.IN_REVIEW)
    job.refresh_from_db()
    comment = job.review_comments.get()
    assert (job.stage, comment.text, comment.design) == (Stage.DESIGNED, "Show the plate laps.", job.designs.get())
    with pytest.raises(Refused, match="open comments"):
        move(job, Stage.IN_REVIEW)
    stages.resolve_comment(comment_id=comment.pk, by=UserFactory(roles=["estimator"]))
    assert move(job, Stage.IN_REVIEW).stage == Stage.IN_REVIEW


def test_a_return_from_a_stage_without_that_edge_leaves_no_comment():
    job = a_ready_job(Stage.RELEASED)
    with pytest.raises(Refused, match="cannot go"):
        stages.return_job(job_id=job.pk, text="x", by=job.assigned_engineer, seen_stage=Stage.RELEASED)
    assert not job.review_comments.exists()


def test_another_engineer_can_not_return_it():
    job = a_ready_job(Stage.IN_REVIEW)
    with pytest.raises(PermissionDenied):
        stages.return_job(job_id=job.pk, text="x", by=UserFactory(roles=["engineer"]), seen_stage=job.stage)


# --- single guards -------------------------------------------------------------------------------------------------
def test_open_links_that_the_engineer_listed_may_be_stamped():
    job = a_ready_job(Stage.IN_REVIEW)
    restamp(
        job,
        open_links=["load path open at collector"],
        remaining_deficiencies="We leave this:\n  A: Load path  open at collector, behind the stairs",
    )
    assert stage_guards.open_links_are_listed(job) is None


def test_a_design_frozen_before_acceptances_were_listed_is_still_read():
    job = a_ready_job(Stage.IN_REVIEW)
    restamp(job, to_accept=None)
    assert stage_guards.nothing_is_left_to_accept(job) is None
    assert move(job, Stage.STAMPED).stage == Stage.STAMPED


def test_table_sets_are_accepted_by_the_assigned_engineer_for_the_family():
    job = a_ready_job(Stage.IN_REVIEW)
    restamp(job, from_memory=["NDS 2018"])
    TableSetAcceptanceFactory()
    TableSetAcceptanceFactory(engineer=job.assigned_engineer, code_family="2024")
    assert "come from memory" in stage_guards.tables_are_accepted(job)
    TableSetAcceptanceFactory(engineer=job.assigned_engineer)
    assert stage_guards.tables_are_accepted(job) is None


@pytest.mark.parametrize(
    "problem", [Refused("House: roof psf is missing."), OutOfRange("roof_psf", -1, "must be greater than 0")]
)
def test_a_house_that_no_longer_computes_says_so(problem, present_facts):
    present_facts.sha256 = problem
    assert "can't be calculated" in stage_guards.design_fits_the_present_facts(a_ready_job())


def test_the_prescriptive_route_needs_the_jurisdictions_record_and_no_stamp():
    job = JobFactory(legal_basis="appendix A3 prescriptive", house=HouseFactory(jurisdiction=JurisdictionFactory()))
    assert stage_guards.prescriptive_route_is_open(job)
    make_prescriptive(job)
    assert stage_guards.prescriptive_route_is_open(job) is None
    assert stage_guards.criteria_are_confirmed(job) is None
    assert "prescriptive set was accepted" in stage_guards.papers_allow_the_work(job)
    job.prescriptive_accepted_on = date(2026, 11, 1)
    assert stage_guards.papers_allow_the_work(job) is None


def test_where_no_stamp_is_needed_the_packet_must_still_fit_the_present_facts(present_facts):
    job = JobFactory()
    packet = PacketFactory(design=DesignFactory(job=job))
    packet.files.update(needs_stamp=False)
    assert stage_guards.packet_is_current(job) is None
    present_facts.sha256 = "9" * 64
    assert "issue a new design" in stage_guards.packet_is_current(job)
    DesignFactory(job=job)
    assert "no packet of the newest design" in stage_guards.packet_is_current(job)


@pytest.mark.parametrize("item", ["hillside", "open_front"])
def test_a_flagged_hillside_or_open_front_waits_for_the_engineers_mode(item):
    job = a_ready_job(Stage.SURVEY_BOOKED)
    job.house.scope_screen[item] = {"flag": True, "reason": "seen from the street"}
    job.house.save()
    with pytest.raises(Refused, match="engineer has not named the mode"):
        move(job, Stage.SURVEYED)
    job.house.scope_screen[item]["mode"] = "separate model of the downhill frame"
    job.house.save()
    assert move(job, Stage.SURVEYED).stage == Stage.SURVEYED


def test_a_work_order_of_an_older_design_does_not_start_the_work():
    job = a_ready_job(Stage.RELEASED)
    restamp(job)
    assert stamps.currency(stage_guards.latest_packet(job)).state == "current"
    with pytest.raises(Refused, match="no work order from the current design"):
        move(job, Stage.IN_PROGRESS)


def test_a_guard_is_tried_for_every_name_in_the_table():
    assert {name for _, _, name in GUARDED} == BREAK.keys()
