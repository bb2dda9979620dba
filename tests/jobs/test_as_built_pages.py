"""The pages of what was built: the crew's forms, the job's page, the engineer's word, the same over the API."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from jobs.models import AcceptedTest, FieldEvent
from jobs.web.tasks import Sheet
from tests.jobs.api_client import client_as
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
from tests.jobs.pages import as_sent

pytestmark = pytest.mark.django_db
RATIO = 'class="ratio"'


@pytest.fixture
def order():
    return released_order()


def task_of(order, role, number=0):
    return [task for task in Sheet(order).walls[2].tasks if task.role == role][number]  # wall A


def enter(order, task, **said):
    """Post an entry of wall A as the crew's lead."""
    client, url = client_of(order.crew.lead), reverse("field-event", args=[order.pk, 3, task.key])
    return client.post(url, as_sent(client.get(url)) | {"note": "", "then": ""} | said)


def as_built_page(order, client=None):
    client = client or client_of(order.job.assigned_engineer)
    return client.get(reverse("job-as-built", args=[order.job_id])).content.decode()


# --- the crew's forms ------------------------------------------------------------------------------------------------
def test_one_of_several_in_a_bay_is_missed_and_the_others_stand(order):
    task = next(task for task in Sheet(order).walls[2].tasks if len(task.positions_in) == 2)
    assert enter(order, task, kind="missed", places=["0"], rest="on", note="pipe").status_code == 302
    installed, missed = FieldEvent.objects.order_by("received_at")
    assert (installed.kind, installed.payload["positions_in"]) == ("installed", [task.positions_in[1]])
    assert (missed.kind, missed.payload["positions_in"], missed.payload["count"]) == (
        "missed",
        [task.positions_in[0]],
        1,
    )
    assert Sheet(order).walls[2].task(task.key).state == "Missed"


def test_a_place_for_each_that_was_moved(order):
    task = next(task for task in Sheet(order).walls[2].tasks if len(task.positions_in) == 2)
    answer = enter(order, task, kind="moved", moved_to_in="2'-8\"")
    assert "Give 2 new places, one for each." in answer.content.decode()
    one, two = (at_in + 1 for at_in in task.positions_in)
    enter(order, task, kind="moved", moved_to_in=f"{one} in, {two} in")
    assert FieldEvent.objects.get().payload["moved_to_in"] == [one, two]


def test_some_of_a_panels_nails_are_others_as_measured(order):
    task = task_of(order, "panel edge nails")
    said = {f"nail_{name}": str(value) for name, value in THIN_NAIL.items()}
    assert (
        "Diameter, length, kind and finish tell a nail."
        in enter(order, task, kind="substituted", count="40", substitute="a nail that we measured").content.decode()
    )
    enter(order, task, kind="substituted", count="40", rest="on", substitute="a nail that we measured", **said)
    installed, other = FieldEvent.objects.order_by("received_at")
    assert (installed.payload["count"], other.payload["count"], other.payload["nail"]) == (220, 40, THIN_NAIL)


def test_what_is_counted_needs_its_number(order):
    task = task_of(order, "panel edge nails")
    assert "Say how many." in enter(order, task, kind="missed", note="short").content.decode()


def test_what_was_added_stands_at_a_place_of_its_own(order):
    enter(order, task_of(order, "floor to plate"), kind="added", moved_to_in="40 in")
    event = FieldEvent.objects.get()
    assert (event.kind, event.payload["positions_in"], event.payload["count"]) == ("added", [40.0], 1)


def test_the_nails_of_a_panel_are_counted_on_its_page(order):
    client, url = client_of(order.crew.lead), reverse("panel-event", args=[order.pk, 3, 1])
    sent = as_sent(client.get(url)) | {"kind": "nail_count"}
    assert client.post(url, sent | {"total": "10", "over_16th": "11"}).status_code == 400
    client.post(url, sent | {"total": "220", "over_16th": "8", "over_8th": "1", "missed_framing": "2"})
    assert FieldEvent.objects.get().payload == {
        "panel": 1, "total": 220, "flush": 209, "over_16th": 8, "over_8th": 1, "missed_framing": 2
    }  # fmt: skip
    assert "nails counted" in client.get(reverse("work-order-wall", args=[order.pk, 3])).content.decode()


def test_a_panel_is_logged_where_it_stands_and_one_that_can_not_be_is_refused(order):
    client, url = client_of(order.crew.lead), reverse("panel-event", args=[order.pk, 3, 1])
    sent = as_sent(client.get(url)) | {"kind": "panel_built", "from_in": "0 in"}
    refused = client.post(url, sent | {"to_in": "4 in"})
    assert refused.status_code == 409
    assert "must be longer than its end posts" in refused.content.decode()
    client.post(url, sent | {"to_in": "39'-6\""})
    assert FieldEvent.objects.get().payload == {"panel": 1, "from_in": 0.0, "to_in": 474.0}


# --- what the crew is told -------------------------------------------------------------------------------------------
def test_the_crew_reads_what_is_still_missing_and_no_ratio(order):
    screws = row_of(order, "A", "floor to plate")
    log(order, "A", "missed", payload_of(screws, positions_in=[screws.positions_in[2]], text="pipe"))
    html = client_of(order.crew.lead).get(reverse("work-order-detail", args=[order.pk])).content.decode()
    assert "1 more: Floor to top plate, Demo screw" in html
    assert "at 14&#x27;-3 1/2&quot;." in html
    assert RATIO not in html


def test_nothing_is_missing_while_all_goes_in_as_drawn(order):
    screws = row_of(order, "A", "floor to plate")
    log(order, "A", "installed", payload_of(screws))
    html = client_of(order.crew.lead).get(reverse("work-order-detail", args=[order.pk])).content.decode()
    assert "Still missing" not in html


# --- the job's page --------------------------------------------------------------------------------------------------
def test_the_page_shows_each_line_as_found_designed_and_built(order):
    install(order)
    tick(order)
    html = as_built_page(order)
    assert html.count("As designed</th>") == 5
    assert RATIO in html
    assert "Nothing that was logged stands against it." in html


def test_the_page_says_what_is_short_asked_and_to_be_tested(order):
    screws = row_of(order, "A", "floor to plate")
    install(order, without=[("B", row.role) for row in order.design.connection_schedule.lines.all()])
    tick(order, without=[("1", "Anchors")])
    log(order, "A", "missed", payload_of(screws, positions_in=[screws.positions_in[2]], text="pipe"))
    count_nails(order, over_16th=3)
    html = as_built_page(order, client_as("estimator"))
    for words in (
        "Nothing is logged yet on B.",
        "Line A is over as built.",
        "Line 1 has work without an inspection: see the test plan.",
        "Missed on A",
        "1 more: Floor to top plate",
        "floor to plate: missed at 171.5 in",
        "torque or pull test; number, load and place set by the engineer",
        "Line A, panel 1: accepted",
    ):
        assert words in html, words


def test_before_anything_is_stamped_or_ordered_there_is_nothing_to_hold_the_work_against(order):
    design = order.design
    order.delete()
    client = client_of(design.job.assigned_engineer)
    assert "there is nothing to hold the work against" in as_built_page(order, client)
    assert client.get(f"/api/jobs/{design.job_id}/as-built/").json()["result"] is None


# --- the engineer's word ---------------------------------------------------------------------------------------------
def test_the_engineer_accepts_a_planned_test_on_the_review_page(order):
    install(order)
    tick(order, without=[("A", "Anchors")])
    client = client_of(order.job.assigned_engineer)
    page = client.get(reverse("review", args=[order.job_id])).content.decode()
    assert "Not inspected, counts zero" in page
    url, name = reverse("test-accept", args=[order.job_id]), "A; sill anchors; 1; 1; 3; 10.5,242.5,469.5"
    assert f'name="test" value="{name}"' in page
    said = {"test": name, "method": "torque test", "value": "40 ft·lb on each"}
    refused = client.post(url, said)
    assert refused.status_code == 409
    assert 'value="40 ft·lb on each"' in refused.content.decode()
    client.post(url, said | {"reason": "As the report allows."})
    test = AcceptedTest.objects.get()
    assert (test.role, test.positions_in, test.accepted_by) == (
        "sill anchors", [10.5, 242.5, 469.5], order.job.assigned_engineer
    )  # fmt: skip
    assert "the test plan changed meanwhile" in client.post(url, said).content.decode().lower()
    assert "40 ft·lb on each" in as_built_page(order)


# --- the API ---------------------------------------------------------------------------------------------------------
def test_the_api_answers_the_same_recheck(order):
    screws = row_of(order, "A", "floor to plate")
    install(order)
    tick(order)
    log(order, "A", "missed", payload_of(screws, positions_in=[screws.positions_in[2]], text="pipe"))
    answer = client_of(order.job.assigned_engineer).get(f"/api/jobs/{order.job_id}/as-built/").json()
    assert (answer["design"], answer["close_out_blocked_by"]) == (order.design_id, ["line A is over as built"])
    [short] = answer["result"]["shortfalls"]
    assert (short["more"], short["positions_in"]) == (1, [171.5])
    [line] = [line for line in answer["result"]["lines"] if line["label"] == "A"]
    assert (line["as_designed_status"], line["as_built_status"]) == ("ok", "over")


def test_the_engineer_accepts_a_test_by_the_api(order):
    install(order)
    tick(order, without=[("A", "Anchors")])
    client, address = client_of(order.job.assigned_engineer), f"/api/designs/{order.design_id}/accept-test/"
    wish = {"wall_line_label": "A", "role": "sill anchors", "panel": 1, "piece": 1, "method": "pull test"}
    wish |= {"value": "3 of 3 held 1,500 lb", "reason": "Twice the design load."}
    refused = client.post(address, wish | {"positions_in": [12.0]}, content_type="application/json")
    assert (refused.status_code, refused.json()["reasons"]) == (409, ["Nothing is scheduled at 12 in."])
    answer = client.post(address, wish, content_type="application/json")
    assert (answer.status_code, answer.json()["accepted_by"]["id"]) == (201, order.job.assigned_engineer_id)
    plan = client.get(f"/api/jobs/{order.job_id}/as-built/").json()["result"]["test_plan"]
    assert [test["role"] for test in plan] == ["tie-down anchors"]


def test_the_recheck_is_no_installers(order):
    assert client_of(order.crew.lead).get(f"/api/jobs/{order.job_id}/as-built/").status_code == 403
    assert Client().get(f"/api/jobs/{order.job_id}/as-built/").status_code == 401
