"""What was built against what was designed: the crew's log, the inspections and the engineer's word, computed again."""

from __future__ import annotations

import json
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.utils import timezone

from jobs import as_built
from jobs.errors import Refused
from jobs.models import FieldEvent
from jobs.services import accepted_tests, field_work, stage_guards, stamps
from tests.factories import (
    DesignFactory,
    FieldEventFactory,
    HoldPointFactory,
    InspectionItemFactory,
    PacketFactory,
    UserFactory,
    WorkOrderFactory,
    stamp_packet,
)
from tests.jobs.crew_log import (
    THIN_NAIL,
    client_of,
    count_nails,
    install,
    log,
    payload_of,
    released_order,
    row_of,
    tick,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def order():
    return released_order()


def result(order):
    return as_built.recheck(order.design).result


def designed(order):
    lines = json.loads(order.design.snapshot)["result"]["lines"]
    return {line["label"]: (line["status"], line["weakest_ratio"]) for line in lines}


# --- the recheck -----------------------------------------------------------------------------------------------------
def test_all_in_as_drawn_is_the_design(order):
    install(order)
    tick(order)
    built = result(order)
    assert {line.label: (line.as_built_status, line.as_built_ratio) for line in built.lines} == designed(order)
    assert (built.shortfalls, built.test_plan, built.close_out_blocked_by) == ((), (), ())


def test_what_nobody_logged_counts_as_nothing(order):
    install(order, without=[("A", "floor to plate")])
    tick(order)
    line = result(order).line("A")
    assert (line.as_designed_status, line.as_built_status) == ("ok", "open")
    assert result(order).close_out_blocked_by == (
        "line A is open as built",
        "line A: 7 floor to plate not logged as installed",
    )


def test_the_survey_of_today_is_not_asked(order):
    install(order)
    tick(order)
    before = result(order)
    order.job.house.wall_lines.update(rim_set_back_in=0.25)
    assert result(order) == before


def test_a_missed_connector_is_a_shortfall_with_its_number_and_place(order):
    screws = row_of(order, "A", "floor to plate")
    install(order)
    tick(order)
    missed = screws.positions_in[2]
    log(order, "A", "missed", payload_of(screws, positions_in=[missed], text="pipe"))
    [short] = result(order).shortfalls
    assert (short.line, short.role, short.more, short.positions_in) == ("A", "floor to plate", 1, (missed,))
    assert short.text == 'line A, floor to top plate: 1 more floor to plate (demo-screw) at 171 1/2"'


def test_a_measured_thinner_nail_computes_the_panel_again(order):
    nails = row_of(order, "A", "panel edge nails")
    install(order)
    tick(order)
    before = result(order).line("A").link("4")
    log(order, "A", "substituted", payload_of(nails, nail=THIN_NAIL, text="the other box"))
    after = result(order).line("A").link("4")
    assert after.as_designed == before.as_designed
    # SDPWS 2021 Table 4.3A, 15/32 in sheathing at 6 in: 6d common (0.113 in) against 8d (0.131 in).
    assert after.as_built.capacity < before.as_built.capacity
    assert after.as_built.ratio == pytest.approx(
        before.as_built.ratio * before.as_built.capacity / after.as_built.capacity
    )
    [decision] = [one for one in result(order).decisions if one.role == "panel edge nails"]
    assert decision.ruling == "outside: stop, field question"
    assert "thinner, shorter" in decision.text


def test_what_was_missed_is_made_good_by_one_beside_it(order):
    screws = row_of(order, "1", "floor to plate")
    install(order)
    tick(order)
    missed = log(order, "1", "missed", payload_of(screws, positions_in=[130.25], text="pipe"))
    assert field_work.open_shortfalls(order.job) == [missed]
    log(order, "1", "added", payload_of(screws, positions_in=[124.0], makes_good=str(missed.pk)))
    assert result(order).line("1").as_built_status == "ok"
    assert field_work.open_shortfalls(order.job) == []


def test_something_that_nobody_could_name_counts_as_nothing_and_is_said(order):
    anchors = row_of(order, "A", "sill anchors")
    install(order)
    tick(order)
    log(order, "A", "substituted", payload_of(anchors, text="threaded rods from the van"))
    record = as_built.recheck(order.design)
    assert record.unidentified == ("line A, sill anchors: threaded rods from the van",)
    assert record.result.line("A").as_built_status == "open"


def test_moved_inside_its_tolerance_is_logged_and_no_more(order):
    screws = row_of(order, "A", "floor to plate")
    install(order)
    at_in = screws.positions_in[3]
    log(order, "A", "moved", payload_of(screws, positions_in=[at_in], moved_to_in=[at_in + 1.0]))
    assert field_work.open_shortfalls(order.job) == []
    log(order, "A", "moved", payload_of(screws, positions_in=[at_in], moved_to_in=[at_in + 24.0]))
    assert [event.kind for event in field_work.open_shortfalls(order.job)] == ["moved", "moved"]


def test_sunk_nails_are_lost_by_the_count_of_their_panel(order):
    install(order)
    tick(order)
    count_nails(order, over_16th=60)
    [check] = result(order).sunk_nails
    assert check.name == "line A, panel 1: add 30 edge nails and count again"
    assert result(order).line("A").link("4").as_built.status == "open"
    count_nails(order)
    assert result(order).sunk_nails[0].name == "line A, panel 1: accepted"


def test_a_panel_that_was_cut_stands_where_the_last_entry_says(order):
    install(order)
    tick(order)
    log(order, "A", "panel_built", {"panel": 1, "from_in": 0, "to_in": 479.75})
    [decision] = result(order).decisions
    assert decision.ruling == "inside tolerance: log only"
    log(order, "A", "panel_built", {"panel": 1, "from_in": 0, "to_in": 474})
    [decision] = result(order).decisions
    assert (decision.ruling, decision.tolerance) == ("outside: stop, field question", "panel_end")


# --- what an entry may say -------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("kind", "said", "why"),
    [
        ("installed", {"role": "roof nails"}, "connector must be one of this design's for roof nails: it has none"),
        ("installed", {"connector": "16d-common"}, "connector must be one of this design's for floor to plate"),
        ("installed", {"panel": 7}, "must be role, connector, panel and piece of a row of the schedule"),
        ("installed", {"positions_in": [1.25]}, "positions_in must be a place of the schedule"),
        ("installed", {"positions_in": "all"}, "positions_in must be a list"),
        ("installed", {"count": 3}, "count must match the 7 places given"),
        ("installed", {"count": True}, "count must be a"),
        ("missed", {"count": -1}, "count must be from 1"),
        ("moved", {}, "moved_to_in must give one new place for each"),
        ("moved", {"moved_to_in": 40.0}, "moved_to_in must give one new place for each"),
        ("moved", {"moved_to_in": [1e9] * 7}, "must be from -1 to 12000"),
        ("installed", {"across_in": 40}, "across_in must be from 0 to 12"),
        ("substituted", {"substitute": "demo-anchor"}, "substitute must be one of this design's for floor to plate"),
        ("substituted", {"nail": {"diameter_in": 0.1}}, "nail.kind must be 'common', 'box' or 'sinker'"),
        ("substituted", {"nail": "thin"}, "nail must give diameter_in, length_in, kind and finish"),
        ("substituted", {"nail": THIN_NAIL}, "nail must not stand for floor to plate, which are no nails"),
        ("added", {"role": None}, "role must be given"),
        ("nail_count", {}, "must be given"),
        ("nail_count", {"panel": 1, "total": 9, "flush": 1, "over_16th": 0, "over_8th": 0, "missed_framing": 0},
         "total must be the sum of flush, over_16th, over_8th, missed_framing: 1"),
        ("nail_count", {"panel": 2, "total": 1, "flush": 1, "over_16th": 0, "over_8th": 0, "missed_framing": 0},
         "panel must be one of this line's panels"),
        ("panel_built", {"panel": 1, "from_in": 0}, "to_in must be a number of inches"),
        ("panel_built", {"panel": 1, "from_in": 90, "to_in": 30}, "must be beyond from_ft"),
        ("panel_built", {"panel": 1, "from_in": 0, "to_in": 4}, "panels must be longer than its end posts"),
    ],
)  # fmt: skip
def test_an_entry_that_does_not_fit_the_design_is_refused_with_its_reason(order, kind, said, why):
    about = {} if kind in ("nail_count", "panel_built") else payload_of(row_of(order, "A", "floor to plate"))
    with pytest.raises(Refused) as refused:
        log(order, "A", kind, about | said)
    assert why in str(refused.value)
    assert not FieldEvent.objects.exists()


def test_the_api_answers_such_an_entry_with_a_problem(order):
    client = client_of(order.crew.lead)
    body = {"id": str(uuid4()), "wall_line_label": "A", "kind": "moved", "at_client": timezone.now().isoformat()}
    body["payload"] = payload_of(row_of(order, "A", "floor to plate"))
    answer = client.post(f"/api/work-orders/{order.pk}/events/", body, content_type="application/json")
    assert (answer.status_code, answer.headers["Content-Type"]) == (409, "application/problem+json")
    assert answer.json()["reasons"][0].startswith("moved_to_in must give one new place for each place moved")


def test_entries_from_before_a_list_was_asked_are_still_read(order):
    screws = row_of(order, "A", "floor to plate")
    install(order)
    tick(order)
    one = payload_of(screws, positions_in=screws.positions_in[:1], moved_to_in=screws.positions_in[0] + 1)
    FieldEventFactory(work_order=order, kind="moved", payload=one)
    [decision] = result(order).decisions
    assert decision.text == "moved from 34.25 to 35.25 in"


def test_an_old_entry_that_can_not_be_read_is_named_and_blocks_the_close_out(order):
    install(order)
    tick(order)
    FieldEventFactory(
        work_order=order, kind="moved", payload=payload_of(row_of(order, "A", "floor to plate"), moved_to_in=40.0)
    )
    record = as_built.recheck(order.design)
    assert "moved_to_in must give one new place" in record.unread[0]
    assert record.close_out_blocked_by == (f"left out of the recheck: {record.unread[0]}",)


def test_a_snapshot_that_this_version_can_not_read_is_said():
    record = as_built.recheck(WorkOrderFactory().design)
    assert record.result is None
    assert record.problem.startswith("This version can't compute design ")
    assert record.close_out_blocked_by == (record.problem,)


# --- inspections and tests -------------------------------------------------------------------------------------------
def test_anchors_without_their_inspection_count_zero_and_are_to_be_tested(order):
    install(order)
    tick(order, without=[("A", "Anchors")])
    assert result(order).line("A").as_built_status == "open"
    assert [(test.role, test.count) for test in result(order).test_plan] == [
        ("sill anchors", 3),
        ("tie-down anchors", 2),
    ]
    assert "line A: inspection not held, sill anchors" in stage_guards.as_built_holds(order.job)


def test_a_visit_counts_as_the_leads_tick_does_and_goes_before_it(order):
    install(order)
    tick(order, without=[("A", "Anchors")])
    InspectionItemFactory(inspection__job=order.job, inspection__stage="anchors", result="pass")
    assert result(order).test_plan == ()
    HoldPointFactory(work_order=order)
    InspectionItemFactory(inspection__job=order.job, inspection__stage="anchors", text="embedment", result="fail")
    assert {test.line for test in result(order).test_plan} == {"A"}
    InspectionItemFactory(inspection__job=order.job, inspection__stage="anchors", text="embedment", result="pass")
    assert result(order).test_plan == ()


def accept(order, by=None, **said):
    wanted = {"wall_line_label": "A", "role": "sill anchors", "panel": 1, "piece": 1, "method": "pull test"}
    wanted |= {"value": "3 of 3 held 1,500 lb", "reason": "Twice the design load."}
    by = by or order.job.assigned_engineer
    return accepted_tests.accept_test(design_id=order.design_id, by=by, **wanted | said)


def test_an_accepted_test_stands_for_the_inspection(order):
    install(order)
    tick(order, without=[("A", "Anchors")])
    accept(order)
    assert [test.role for test in result(order).test_plan] == ["tie-down anchors"]
    accept(order, role="tie-down anchors", piece=None, positions_in=[4.5, 475.5])
    assert result(order).close_out_blocked_by == ()
    event = order.job.events.get(what="test.accept", after__contains="sill anchors")
    assert (event.by, event.note) == (order.job.assigned_engineer, "Twice the design load.")


def test_a_test_is_the_assigned_engineers_to_accept(order):
    for role in ("office", "estimator", "engineer"):
        with pytest.raises(PermissionDenied):
            accept(order, by=UserFactory(roles=[role]))
    with pytest.raises(PermissionDenied):
        accept(order, by=order.crew.lead)


def test_a_test_needs_value_reason_and_a_row_that_is_to_be_inspected(order):
    with pytest.raises(Refused) as refused:
        accept(order, value=" ", reason="", role="stitch nails")
    assert len(refused.value.reasons) == 4
    with pytest.raises(Refused, match="Nothing is scheduled at 12 in"):
        accept(order, positions_in=[12.0])
    with pytest.raises(ValidationError, match="not a valid choice"):
        accept(order, method="a good look")


# --- close-out and stamp ---------------------------------------------------------------------------------------------
def test_a_job_closes_when_all_that_was_drawn_is_logged_and_inspected(order):
    assert "not logged as installed" in stage_guards.as_built_holds(order.job)
    install(order)
    tick(order)
    assert stage_guards.as_built_holds(order.job) is None


@pytest.fixture
def packet(order):
    packet = PacketFactory(design=order.design)
    stamp_packet(packet, certificate__user=order.job.assigned_engineer)
    return packet


def test_a_stamp_stays_current_while_the_crew_works_as_drawn(order, packet):
    assert stamps.currency(packet).state == "current"
    screws = row_of(order, "A", "floor to plate")
    log(order, "A", "installed", payload_of(screws))
    assert stamps.currency(packet).state == "current"


def test_a_stamp_is_superseded_while_the_recheck_is_over(order, packet):
    screws = row_of(order, "A", "floor to plate")
    missed = payload_of(screws, positions_in=[screws.positions_in[2]], text="pipe")
    log(order, "A", "missed", missed)
    where = stamps.currency(packet)
    assert where.state == "superseded"
    assert where.reasons == (
        'As built, wall line A is over: floor to top plate: 1 more floor to plate (demo-screw) at 171 1/2".',
    )
    log(order, "A", "installed", missed)
    assert stamps.currency(packet).state == "current"


def test_the_design_that_is_built_is_the_newest_stamped_one(order):
    assert as_built.design_built(order.job) == order.design
    newer = DesignFactory(job=order.job)
    assert as_built.design_built(order.job) == order.design
    stamp_packet(PacketFactory(design=newer), certificate__user=order.job.assigned_engineer)
    assert as_built.design_built(order.job) == newer
