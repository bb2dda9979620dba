"""Work orders, the crew's log, hold points, inspections; jobs and what a design proposes for a line."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.utils import timezone

from jobs.errors import Refused, Stale
from jobs.models import FieldEvent, JobEvent, Stage
from jobs.services import field_work
from tests.factories import (
    CrewFactory,
    DesignFactory,
    JobFactory,
    PacketFactory,
    UserFactory,
    WorkOrderFactory,
    stamp_packet,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def office():
    return UserFactory(roles=["office"])


@pytest.fixture
def order():
    """An order that can be worked: released, cautions acknowledged."""
    job = JobFactory(stage=Stage.RELEASED, assigned_engineer=UserFactory(roles=["engineer"]))
    return WorkOrderFactory(design=DesignFactory(job=job), acknowledged=True)


def book(design, by, **facts):
    wanted = {
        "job_id": design.job_id,
        "design_id": design.pk,
        "crew_id": facts.pop("crew_id", None) or CrewFactory().pk,
        "day": timezone.localdate(),
        "wall_line_labels": ["A"],
    }
    return field_work.create_work_order(by=by, **wanted | facts)


def log(order, by=None, **facts):
    wanted = {"event_id": uuid4(), "wall_line_label": "A", "kind": "installed", "at_client": timezone.now()}
    return field_work.log_event(work_order_id=order.pk, by=by or order.crew.lead, **wanted | facts)


# --- booking -------------------------------------------------------------------------------------------------------
def test_a_crew_may_be_booked_before_the_release_but_not_work(office):
    design = DesignFactory(job=JobFactory(stage=Stage.PROPOSED))
    order = book(design, office)
    assert (order.number, book(design, office).number) == (1, 2)
    assert field_work.why_not_workable(order) == [
        "The job is not released to the crew yet.",
        "Acknowledge the cautions first.",
    ]
    with pytest.raises(Refused, match="not released"):
        log(order)


def test_an_order_is_for_lines_that_the_design_schedules(office):
    with pytest.raises(Refused, match="schedules nothing on wall line Z"):
        book(DesignFactory(schedules=["A", "B"]), office, wall_line_labels=["A", "Z"])
    with pytest.raises(Refused, match="at least one wall line"):
        book(DesignFactory(), office, wall_line_labels=[])


def test_nobody_builds_from_a_quantity_study_or_for_a_job_that_is_over(office):
    with pytest.raises(Refused, match="quantity study"):
        book(DesignFactory(quantity_study=True), office)
    with pytest.raises(Refused, match="cancelled"):
        book(DesignFactory(job=JobFactory(stage=Stage.CANCELLED)), office)
    with pytest.raises(Refused, match="another job"):
        book(DesignFactory(), office, job_id=JobFactory().pk)


@pytest.mark.parametrize("role", ["estimator", "engineer", "installer"])
def test_booking_is_the_offices(role):
    with pytest.raises(PermissionDenied):
        book(DesignFactory(), UserFactory(roles=[role]))


def test_an_order_is_rebooked_over_the_version_seen(office, order):
    tomorrow = order.day + timedelta(days=1)
    field_work.rebook(work_order_id=order.pk, seen_version=1, crew_id=order.crew_id, day=tomorrow, by=office)
    with pytest.raises(Stale):
        field_work.rebook(work_order_id=order.pk, seen_version=1, crew_id=order.crew_id, day=order.day, by=office)


def test_an_order_is_void_once_a_newer_design_is_stamped(order):
    packet = PacketFactory(design=DesignFactory(job=order.job))
    assert field_work.why_void(order) == ""
    stamp_packet(packet)
    assert "revision 2 is stamped" in field_work.why_void(order)
    with pytest.raises(Refused, match="Void"):
        log(order)
    packet.withdrawn_at, packet.withdrawn_by, packet.withdrawn_reason = timezone.now(), order.crew.lead, "wrong"
    packet.save()
    assert field_work.why_void(order) == ""


# --- cautions ------------------------------------------------------------------------------------------------------
def test_the_crew_acknowledges_the_cautions_once(office):
    order = WorkOrderFactory()
    with pytest.raises(PermissionDenied):
        field_work.acknowledge_cautions(work_order_id=order.pk, by=office)
    with pytest.raises(PermissionDenied):
        field_work.acknowledge_cautions(work_order_id=order.pk, by=CrewFactory().lead)
    first = field_work.acknowledge_cautions(work_order_id=order.pk, by=order.crew.lead)
    again = field_work.acknowledge_cautions(work_order_id=order.pk, by=order.crew.lead)
    assert first.cautions_acknowledged_at == again.cautions_acknowledged_at
    assert JobEvent.objects.filter(job=order.job).count() == 1


# --- the log -------------------------------------------------------------------------------------------------------
def test_the_same_entry_sent_twice_is_written_once(order):
    facts = {"event_id": uuid4(), "at_client": timezone.now(), "payload": {"count": 6, "bays": [1, 2]}}
    assert log(order, **facts).pk == log(order, **facts).pk
    assert FieldEvent.objects.count() == 1


@pytest.mark.parametrize(
    "other",
    [
        {"kind": "missed"},
        {"payload": {"count": 5}},
        {"at_client": timezone.now() - timedelta(hours=1)},
        {"wall_line_label": "B"},
    ],
)
def test_an_id_that_was_used_for_another_entry_is_refused(order, other):
    order.wall_line_labels = ["A", "B"]
    order.save()
    facts = {"event_id": uuid4(), "at_client": timezone.now(), "payload": {"count": 6}}
    log(order, **facts)
    with pytest.raises(Refused, match="used for another entry"):
        log(order, **facts | other)


def test_an_id_of_another_order_or_user_is_refused(order):
    facts = {"event_id": uuid4(), "at_client": timezone.now()}
    log(order, **facts)
    other = WorkOrderFactory(design=order.design, crew=order.crew, acknowledged=True)
    with pytest.raises(Refused, match="used for another entry"):
        log(other, **facts)
    member = UserFactory(roles=["installer"])
    order.crew.members.add(member)
    with pytest.raises(Refused, match="used for another entry"):
        log(order, by=member, **facts)


def test_an_entry_belongs_to_the_order_and_its_crew(order):
    with pytest.raises(Refused, match="not part of work order"):
        log(order, wall_line_label="Z")
    with pytest.raises(PermissionDenied):
        log(order, by=CrewFactory().lead)
    with pytest.raises(PermissionDenied):
        log(order, by=UserFactory(roles=["estimator"]))
    with pytest.raises(ValueError, match="dreamt"):
        log(order, kind="dreamt")


def test_a_job_on_hold_is_not_worked(order):
    order.job.holds.create(reason="decay found", since=timezone.localdate())
    with pytest.raises(Refused, match="on hold: decay found"):
        log(order)


# --- shortfalls ----------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("kind", field_work.SHORTFALLS)
def test_a_shortfall_stays_open_until_an_installation_makes_it_good(order, kind):
    short = log(order, kind=kind)
    assert field_work.open_shortfalls(order.job) == [short]
    log(order)
    assert field_work.open_shortfalls(order.job) == [short]
    log(order, payload={"makes_good": str(short.pk)})
    assert field_work.open_shortfalls(order.job) == []


def test_the_engineer_may_answer_a_shortfall_with_a_note(order):
    short = log(order, kind="moved")
    engineer = order.job.assigned_engineer
    with pytest.raises(Refused, match="answers with a note"):
        log(order, by=engineer)
    with pytest.raises(PermissionDenied):
        log(order, by=UserFactory(roles=["engineer"]), kind="note")
    log(order, by=engineer, kind="note", payload={"makes_good": str(short.pk), "text": "inside the tolerance"})
    assert field_work.open_shortfalls(order.job) == []


def test_a_crew_does_not_talk_a_shortfall_away(order):
    short = log(order, kind="missed")
    with pytest.raises(Refused, match="by an installation or by the engineer"):
        log(order, kind="note", payload={"makes_good": str(short.pk)})
    with pytest.raises(Refused, match="not a shortfall of this work order"):
        log(order, payload={"makes_good": str(uuid4())})


# --- hold points ---------------------------------------------------------------------------------------------------
def tick(order, by, **facts):
    wanted = {"wall_line_label": "A", "name": "anchors seen before cover"}
    return field_work.tick_hold_point(work_order_id=order.pk, by=by, **wanted | facts)


def test_the_lead_ticks_a_hold_point_once_with_the_day(order):
    ticked = tick(order, order.crew.lead)
    assert (ticked.ticked_by, ticked.ticked_on) == (order.crew.lead, timezone.localdate())
    assert tick(order, order.crew.lead) == ticked
    with pytest.raises(Refused, match="not part of"):
        tick(order, order.crew.lead, wall_line_label="Z")


def test_others_do_not_tick(order, office):
    member = UserFactory(roles=["installer"])
    order.crew.members.add(member)
    for user in (member, office, CrewFactory().lead):
        with pytest.raises(PermissionDenied):
            tick(order, user)


def test_an_entry_that_ticks_a_hold_point_is_the_leads_and_names_it(order):
    member = UserFactory(roles=["installer"])
    order.crew.members.add(member)
    with pytest.raises(PermissionDenied):
        log(order, by=member, kind="hold_point", payload={"name": "nuts tight"})
    with pytest.raises(Refused, match="Name the hold point"):
        log(order, kind="hold_point")
    log(order, kind="hold_point", payload={"name": "nuts tight"})
    assert order.hold_points.get().name == "nuts tight"


def test_nothing_is_ticked_on_an_order_that_can_not_be_worked():
    order = WorkOrderFactory(acknowledged=True)
    with pytest.raises(Refused, match="not released"):
        tick(order, order.crew.lead)


# --- inspections ---------------------------------------------------------------------------------------------------
def inspect(job, by, *results, stage="anchors", day=None):
    items = [{"wall_line_label": "A", "text": f"item {n}", "result": result} for n, result in enumerate(results)]
    return field_work.record_inspection(
        job_id=job.pk, stage=stage, day=day or timezone.localdate(), inspector="Inspector", items=items, by=by
    )


def test_a_visit_passes_when_every_item_does(order, office):
    assert inspect(order.job, office, "pass", "pass").result == "pass"
    assert inspect(order.job, office, "pass", "fail").result == "fail"


def test_what_failed_stays_open_until_a_later_visit_of_that_stage_passes_it(order, office):
    inspect(order.job, office, "pass", "fail", day=timezone.localdate() - timedelta(days=1))
    assert [item.text for item in field_work.open_failures(order.job)] == ["item 1"]
    inspect(order.job, office, "pass", "pass", stage="final")
    assert field_work.open_failures(order.job)
    inspect(order.job, office, "pass", "pass")
    assert field_work.open_failures(order.job) == []


def test_a_visit_has_items_a_past_day_and_work_to_look_at(order, office):
    with pytest.raises(Refused, match="at least one item"):
        inspect(order.job, office)
    with pytest.raises(Refused, match="before its day"):
        inspect(order.job, office, "pass", day=timezone.localdate() + timedelta(days=1))
    with pytest.raises(Refused, match="no work to inspect"):
        inspect(JobFactory(), office, "pass")
    with pytest.raises(ValidationError, match="not a valid choice"):
        inspect(order.job, office, "maybe")


@pytest.mark.parametrize("role", ["estimator", "engineer"])
def test_visits_are_recorded_by_office_and_crews(order, role):
    with pytest.raises(PermissionDenied):
        inspect(order.job, UserFactory(roles=[role]), "pass")
    assert inspect(order.job, order.crew.lead, "pass")
