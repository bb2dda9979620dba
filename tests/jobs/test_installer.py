"""The crew's pages: what there is to do, what is logged once, what must be read and ticked first."""

from __future__ import annotations

import re
from datetime import timedelta
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from engineering import exchange
from engineering.inputs import Catalogue, EvaluatedConnector
from engineering.load_path import ROLES
from jobs import hold_points
from jobs.models import FieldEvent, HoldPoint, Job
from jobs.web.tasks import Sheet, tasks_of_row, zero_end
from reports.documents import schedule_rows, work_order
from reports.drawings import wall_line
from tests.factories import CrewFactory, DesignFactory, ScheduleLineFactory, UserFactory, WorkOrderFactory
from tests.issued import issued_design
from tests.jobs.pages import as_sent

pytestmark = pytest.mark.django_db


@pytest.fixture
def order():
    design = issued_design()
    Job.objects.filter(pk=design.job_id).update(stage="released")
    return WorkOrderFactory(design=design, wall_line_labels=["A", "1"], acknowledged=True)


@pytest.fixture
def lead(order):
    return browser(order.crew.lead)


def browser(user):
    client = Client()
    client.force_login(user)
    return client


def wall_page(client, order, number=1):
    return client.get(reverse("work-order-wall", args=[order.pk, number])).content.decode()


def first_task(order):
    return Sheet(order).walls[0].tasks[0]


def entry_url(order, task):
    return reverse("field-event", args=[order.pk, 1, task])


def log(client, order, task, **said):
    url = entry_url(order, task)
    return client.post(url, as_sent(client.get(url)) | said)


# --- today -----------------------------------------------------------------------------------------------------------
def test_today_shows_the_own_crews_orders_today_and_coming(order, lead):
    tomorrow = timezone.localdate() + timedelta(days=1)
    WorkOrderFactory(design=order.design, crew=order.crew, day=tomorrow, wall_line_labels=["2"])
    elsewhere = WorkOrderFactory(design=DesignFactory(snapshot=order.design.snapshot))
    html = lead.get(reverse("today")).content.decode()
    assert order.job.house.address in html
    assert "Walls A, 1" in html
    assert html.index("Coming") < html.index("Walls 2")
    assert elsewhere.job.house.address not in html


def test_an_order_of_an_earlier_day_stays_while_something_is_open(order, lead):
    order.day = timezone.localdate() - timedelta(days=3)
    order.save()
    html = lead.get(reverse("today")).content.decode()
    assert "No work order today" in html
    assert "Left open" in html


def test_a_crew_without_work_is_told_so():
    html = browser(CrewFactory().lead).get(reverse("today")).content.decode()
    assert "No work order today" in html


def test_neither_the_client_nor_a_number_of_money_is_shown(order, lead):
    for url in (reverse("today"), reverse("work-order-detail", args=[order.pk])):
        html = lead.get(url).content.decode()
        assert order.job.house.client.name not in html
        assert order.job.house.client.phone not in html
        assert "$" not in html


# --- cautions first --------------------------------------------------------------------------------------------------
@pytest.fixture
def unread(order):
    order.cautions_acknowledged_by = order.cautions_acknowledged_at = None
    order.save()
    return order


def test_before_the_cautions_there_is_nothing_else(unread, lead):
    html = lead.get(reverse("work-order-detail", args=[unread.pk])).content.decode()
    assert "Silica dust" in html
    assert "We have read the cautions" in html
    assert "Wall A" not in html
    answer = lead.get(reverse("work-order-wall", args=[unread.pk, 1]))
    assert answer.url == reverse("work-order-detail", args=[unread.pk])


def test_nothing_is_logged_before_the_cautions(unread, lead):
    answer = lead.post(entry_url(unread, "note"), _entry(kind="note", note="early"))
    assert answer.status_code == 409
    assert "Acknowledge the cautions first" in answer.content.decode()
    assert not FieldEvent.objects.exists()


def test_acknowledging_is_named_and_dated(unread, lead):
    lead.post(reverse("cautions-acknowledge", args=[unread.pk]))
    unread.refresh_from_db()
    assert unread.cautions_acknowledged_by == unread.crew.lead
    assert "Wall A" in lead.get(reverse("work-order-detail", args=[unread.pk])).content.decode()


# --- tasks -----------------------------------------------------------------------------------------------------------
def test_every_row_of_the_schedule_becomes_tasks_with_the_same_count(order):
    wall = Sheet(order).walls[0]
    for row in order.design.connection_schedule.lines.filter(wall_line_label="A"):
        tasks = [task for task in wall.tasks if task.key.startswith(f"{row.pk}-")]
        if row.count:
            assert sum(task.count for task in tasks) == row.count
            assert sorted(at for task in tasks for at in task.positions_in) == sorted(row.positions_in)


def test_positions_are_given_bay_by_bay_from_the_zero_end():
    row = ScheduleLineFactory.build(pk=7, schedule=None, count=3, positions_in=[20.0, 28.0, 40.0], spacing_in=12.0)
    framing = {"stud_centrelines_in": [0.75, 16.0, 32.0, 47.25], "stud_thickness_in": 1.5}
    line = {"start_ft": [0, 0], "end_ft": [4, 0], "framing": framing}
    two, three = tasks_of_row(row, line)
    assert (two.key, two.count, two.places) == ("7-2", 2, ["1'-8\"", "2'-4\""])
    assert two.where.startswith("Bay 2, studs 1'-4\" to 2'-8\"")
    assert (three.key, three.places) == ("7-3", ["3'-4\""])


@pytest.mark.parametrize(
    ("start", "end", "words"),
    [((0, 0), (9, 0), "west end"), ((9, 0), (0, 0), "east end"), ((0, 0), (0, 9), "south end"),
     ((0, 9), (0, 0), "north end")],
)  # fmt: skip
def test_the_zero_end_has_a_compass_point(start, end, words):
    assert zero_end({"start_ft": start, "end_ft": end}) == words


def test_the_crew_finds_every_wall_and_its_next_task(order, lead):
    html = wall_page(lead, order)
    assert "Wall A" in html
    assert entry_url(order, first_task(order).key) in html
    assert lead.get(reverse("work-order-wall", args=[order.pk, 3])).status_code == 404


# --- the log ---------------------------------------------------------------------------------------------------------
def _entry(**said):
    facts = {"id": str(uuid4()), "at_client": timezone.now().strftime("%Y-%m-%dT%H:%M:%S.%f%z"), "note": ""}
    return facts | said


def test_a_task_is_ticked_as_installed_and_the_next_one_follows(order, lead):
    one, two = Sheet(order).walls[0].tasks[:2]
    answer = log(lead, order, one.key, kind="installed", then="next")
    assert answer.url == entry_url(order, two.key)
    event = FieldEvent.objects.get()
    assert (event.kind, event.by, event.payload["task"]) == ("installed", order.crew.lead, one.key)
    assert event.payload["positions_in"] == list(one.positions_in)
    assert "1 of" in wall_page(lead, order)


def test_the_same_form_sent_twice_is_written_once(order, lead):
    url = entry_url(order, first_task(order).key)
    sent = as_sent(lead.get(url)) | {"kind": "installed"}
    first, second = lead.post(url, sent), lead.post(url, sent)
    assert (first.status_code, second.status_code) == (302, 302)
    assert FieldEvent.objects.count() == 1


def test_each_page_makes_ids_of_its_own(order, lead):
    url = entry_url(order, first_task(order).key)
    ids = re.findall(r'name="id" value="([^"]+)"', lead.get(url).content.decode() + lead.get(url).content.decode())
    assert len(ids) == len(set(ids)) == 4


def test_moved_needs_its_place_in_feet_and_inches(order, lead):
    task = first_task(order).key
    bad = log(lead, order, task, kind="moved", moved_to_in="12 6")
    assert bad.status_code == 400
    assert 'value="12 6"' in bad.content.decode()
    assert log(lead, order, task, kind="moved").status_code == 400
    log(lead, order, task, kind="moved", moved_to_in="4'-3\"")
    assert FieldEvent.objects.get().payload["moved_to_in"] == [51.0]


def test_missed_needs_words(order, lead):
    task = first_task(order).key
    assert log(lead, order, task, kind="missed").status_code == 400
    log(lead, order, task, kind="missed", note="Pipe in the way")
    assert FieldEvent.objects.get().payload["text"] == "Pipe in the way"


def test_installing_after_a_miss_makes_it_good_also_when_sent_twice(order, lead):
    task = first_task(order).key
    log(lead, order, task, kind="missed", note="No bit")
    url = entry_url(order, task)
    sent = as_sent(lead.get(url)) | {"kind": "installed"}
    assert (lead.post(url, sent).status_code, lead.post(url, sent).status_code) == (302, 302)
    missed, installed = FieldEvent.objects.order_by("received_at")
    assert installed.payload["makes_good"] == str(missed.pk)


def test_a_note_is_about_the_wall(order, lead):
    log(lead, order, "note", note="Probe hole is on the mark.")
    assert "Probe hole is on the mark." in wall_page(lead, order)


def test_a_job_that_is_not_released_is_not_worked(order, lead):
    Job.objects.filter(pk=order.job_id).update(stage="permit issued")
    assert "not released" in lead.get(reverse("work-order-detail", args=[order.pk])).content.decode()
    answer = lead.post(entry_url(order, first_task(order).key), _entry(kind="installed"))
    assert answer.status_code == 409
    assert not FieldEvent.objects.exists()


def test_an_unknown_task_is_a_404(order, lead):
    assert lead.get(entry_url(order, "999999-1")).status_code == 404


# --- hold points -----------------------------------------------------------------------------------------------------
def tick(client, order, name):
    return client.post(reverse("hold-point-tick", args=[order.pk, 1]), {"name": name})


def test_the_lead_ticks_a_hold_point_once_and_dated(order, lead):
    for _ in range(2):
        tick(lead, order, hold_points.PANELS.name)
    point = HoldPoint.objects.get()
    assert (point.ticked_by, point.ticked_on) == (order.crew.lead, timezone.localdate())
    assert order.crew.lead.display_name in wall_page(lead, order)


def test_a_member_of_the_crew_has_no_button_and_no_right_to_tick(order):
    member = UserFactory(roles=["installer"])
    order.crew.members.add(member)
    client = browser(member)
    assert reverse("hold-point-tick", args=[order.pk, 1]) not in wall_page(client, order)
    assert tick(client, order, hold_points.PANELS.name).status_code == 403


def test_a_hold_point_that_this_wall_has_not_is_a_404(order, lead):
    assert tick(lead, order, "Roof looked at").status_code == 404


def test_the_paper_and_the_page_name_the_same_hold_points_and_bays(order):
    """A crew that reads one and ticks the other must mean the same place."""
    for wall in Sheet(order).walls:
        snapshot = Sheet(order).snapshot
        on_paper = [(point["name"], point["text"]) for point in work_order.hold_points(snapshot, [wall.label])]
        assert [(point.name, point.text) for point in wall.points] == on_paper
        line = schedule_rows.line_inputs(snapshot, wall.label)
        placed = [task for task in wall.tasks if task.positions_in]
        assert placed
        for task in placed:
            for at_in in task.positions_in:
                assert task.where.startswith(f"Bay {wall_line.bay_at(line, at_in).number},")


def test_the_paper_and_the_page_start_the_tape_at_the_same_end(order):
    for wall in Sheet(order).walls:
        line = schedule_rows.line_inputs(Sheet(order).snapshot, wall.label)
        assert wall.zero_end == wall_line.zero_end_name(line)


def _snapshot(*items, through_plate=False):
    rows = [
        {"link": ROLES[role], "role": role, "connector": "x", "count": 2, "spacing_in": spacing_in}
        for role, spacing_in in items
    ]
    schedule = {"lines": [{"label": "A", "items": rows}]}
    lines = [{"label": "A", "through_plate": {} if not through_plate else {"steps": []}}]
    anchor = EvaluatedConnector(
        key="x", name="Anchor", kind="sill anchor", report="Demo report 1", issued="2025-01-01", expires="2027-01-01",
        use="sill anchor", species=(), value_lb=900.0, value_basis="already 1.6", diameter_in=0.5,
    )  # fmt: skip
    catalogue = exchange.dumps(Catalogue(nails=(), lags=(), evaluated=(anchor,), bar_stock_in=()))
    return {"inputs": {"catalogue": catalogue}, "result": {"schedule": schedule, "lines": lines}}


@pytest.mark.parametrize(
    ("items", "expected"),
    [
        ([("sill anchors", None)], [hold_points.ANCHORS_INSPECTED]),
        ([("floor to plate", 32.0), ("stitch nails", 16.0)], [hold_points.CONNECTORS]),
        ([("block nails", None)], [hold_points.CONNECTORS_WITH_BLOCKS]),
        ([("tie-downs", None), ("panel edge nails", 6.0)], [hold_points.TIE_DOWNS, hold_points.PANELS]),
        ([("panel edge nails", 4.0)], [hold_points.PANELS_CLOSE]),
        ([], []),
    ],
)
def test_hold_points_follow_from_what_is_built(items, expected):
    assert hold_points.of(_snapshot(*items), ["A"]) == expected
    assert hold_points.of(_snapshot(*items), ["B"]) == []
    assert hold_points.of(_snapshot(*items, through_plate=True), ["A"]) == [hold_points.PROBE_HOLES, *expected]


def test_an_anchor_that_no_report_asks_to_inspect_is_still_looked_at_before_cover():
    snapshot = _snapshot(("sill anchors", None))
    snapshot["inputs"]["catalogue"]["evaluated"] = []
    assert hold_points.of(snapshot, ["A"]) == [hold_points.ANCHORS]


def test_pages_have_no_script_and_no_inline_style(order, lead):
    task = first_task(order).key
    for url in (reverse("today"), reverse("work-order-detail", args=[order.pk]),
                reverse("work-order-wall", args=[order.pk, 1]), entry_url(order, task)):  # fmt: skip
        html = lead.get(url).content.decode()
        assert "<script" not in html
        assert " style=" not in html
