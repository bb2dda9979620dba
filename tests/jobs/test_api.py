"""The API's lists, details, edits and acts. Who may call what is test_permission_matrix's."""

from __future__ import annotations

import json
from uuid import uuid4

import pytest
from django.utils import timezone
from rest_framework.authtoken.models import Token
from rest_framework.test import APIClient

from jobs.models import Client, CriteriaSheet, FieldEvent, House, Job, WallLine
from tests.factories import (
    ClientFactory,
    CrewFactory,
    CriteriaSheetFactory,
    DesignFactory,
    EngineerLicenceFactory,
    HouseFactory,
    JobFactory,
    JurisdictionFactory,
    NailFactory,
    PacketFactory,
    UserFactory,
    WallLineFactory,
    WorkOrderFactory,
    stamp_packet,
)
from tests.issued import issued_design
from tests.jobs.api_client import client_as, client_of

pytestmark = pytest.mark.django_db


# --- lists -----------------------------------------------------------------------------------------------------------
def test_a_token_opens_the_api():
    user = UserFactory(roles=["office"])
    client = APIClient()
    client.credentials(HTTP_AUTHORIZATION=f"Token {Token.objects.create(user=user).key}")
    assert client.get("/api/jobs/").status_code == 200


def test_lists_come_in_pages():
    for _ in range(3):
        ClientFactory()
    page = client_as("office").get("/api/clients/?page_size=2").json()
    assert (page["count"], len(page["results"])) == (3, 2)
    assert "page=2" in page["next"]


def test_an_engineer_lists_assigned_jobs_only():
    engineer = UserFactory(roles=["engineer"])
    mine, _ = JobFactory(assigned_engineer=engineer), JobFactory()
    assert [row["id"] for row in client_of(engineer).get("/api/jobs/").json()["results"]] == [mine.pk]


def test_an_installer_lists_the_work_orders_of_the_own_crew_only():
    crew = CrewFactory()
    mine, _ = WorkOrderFactory(crew=crew), WorkOrderFactory()
    client = client_of(crew.lead)
    assert [row["id"] for row in client.get("/api/work-orders/").json()["results"]] == [mine.pk]
    assert [row["id"] for row in client.get("/api/crews/").json()["results"]] == [crew.pk]


def test_an_installer_sees_the_address_and_no_client():
    crew = CrewFactory()
    order = WorkOrderFactory(crew=crew)
    client = client_of(crew.lead)
    assert client.get(f"/api/work-orders/{order.pk}/").json()["address"] == order.job.house.address
    assert client.get(f"/api/clients/{order.job.house.client_id}/").status_code == 403
    assert order.job.house.client.name not in client.get(f"/api/houses/{order.job.house_id}/").content.decode()


def test_a_filter_narrows_a_list():
    there, _ = HouseFactory(city="Alder Flat"), HouseFactory()
    rows = client_as("office").get("/api/houses/", {"city": "Alder Flat"}).json()["results"]
    assert [row["id"] for row in rows] == [there.pk]


def test_several_stages_can_be_asked_for():
    JobFactory(stage="inquiry"), JobFactory(stage="surveyed"), JobFactory(stage="lost")
    rows = client_as("office").get("/api/jobs/", {"stage__in": "inquiry,lost"}).json()["results"]
    assert {row["stage"] for row in rows} == {"inquiry", "lost"}


def test_a_house_comes_with_its_wall_lines():
    line = WallLineFactory()
    body = client_as("estimator").get(f"/api/houses/{line.house_id}/").json()
    assert [row["label"] for row in body["wall_lines"]] == [line.label]
    assert body["wall_lines"][0]["panels"] == [{"from_in": 0.0, "to_in": 240.0}]


# --- edits -----------------------------------------------------------------------------------------------------------
def test_an_edit_changes_what_was_sent_and_counts_the_version_up():
    row = ClientFactory(phone="555 0100")
    answer = client_as("office").patch(f"/api/clients/{row.pk}/", {"phone": "555 0199", "version": 1})
    assert (answer.status_code, answer.json()["phone"], answer.json()["version"]) == (200, "555 0199", 2)
    assert answer.json()["name"] == row.name


def test_a_stale_edit_gets_the_row_as_it_stands():
    row = ClientFactory()
    client = client_as("office")
    client.patch(f"/api/clients/{row.pk}/", {"phone": "first", "version": 1})
    answer = client.patch(f"/api/clients/{row.pk}/", {"phone": "second", "version": 1})
    assert answer.status_code == 409
    assert answer.json()["current"]["phone"] == "first"
    assert Client.objects.get().phone == "first"


def test_an_edit_without_a_version_is_refused():
    row = ClientFactory()
    answer = client_as("office").patch(f"/api/clients/{row.pk}/", {"phone": "x"})
    assert answer.json()["errors"] == [{"field": "version", "message": "Send the version that you read."}]


@pytest.mark.parametrize("member", ["stage", "number", "assigned_engineer", "city_set_sha256", "id", "nonsense"])
def test_what_no_request_may_set_on_a_job_is_refused(member):
    job = JobFactory()
    answer = client_as("office").patch(f"/api/jobs/{job.pk}/", {member: "in review", "version": 1})
    assert answer.status_code == 400
    assert answer.json()["errors"][0]["field"] == member


def test_a_job_is_opened_and_its_facts_edited():
    house = HouseFactory()
    client = client_as("estimator")
    facts = {"house": house.pk, "title": "Cripple walls", "legal_basis": "voluntary lateral alteration"}
    opened = client.post("/api/jobs/", facts)
    assert (opened.status_code, opened.json()["stage"]) == (201, "inquiry")
    edited = client.patch(f"/api/jobs/{opened.json()['id']}/", {"survey_on": "2026-12-01", "version": 1})
    assert edited.json()["survey_on"] == "2026-12-01"


def test_a_client_and_a_house_with_its_rows_are_made():
    client = client_as("estimator")
    owner = client.post("/api/clients/", {"name": "Invented Owner"}).json()
    body = {
        "client": owner["id"],
        "jurisdiction": JurisdictionFactory().pk,
        "address": "1 Sample Street",
        "city": "Sampleton",
        "state": "CA",
        "postal_code": "00000",
        "floor_outline_ft": [[0, 0], [30, 0], [30, 20], [0, 20]],
        "point_weights": [{"label": "chimney", "x_ft": 4, "y_ft": 5, "weight_lb": 3000}],
    }
    answer = client.post("/api/houses/", body)
    assert answer.status_code == 201, answer.json()
    assert House.objects.get().point_weights.get().weight_lb == 3000


def test_a_wall_line_is_made_and_its_rows_are_replaced_as_a_whole():
    client = client_as("estimator")
    body = {
        "house": HouseFactory().pk,
        "label": "A",
        "start_x_ft": 0,
        "start_y_ft": 0,
        "end_x_ft": 20,
        "end_y_ft": 0,
        "segments": [{"kind": "cripple wall", "from_in": 0, "to_in": 240, "stud_height_in": 30}],
        "as_found_nailing": [{"link": "1", "nail": NailFactory().pk, "spacing_in": 16, "toenail": True}],
    }
    made = client.post("/api/wall-lines/", body)
    assert made.status_code == 201, made.json()
    panels = [{"from_in": 0, "to_in": 96}, {"from_in": 144, "to_in": 240}]
    edited = client.patch(f"/api/wall-lines/{made.json()['id']}/", {"panels": panels, "version": 1})
    assert edited.json()["panels"] == panels
    assert len(edited.json()["segments"]) == 1
    twice = client.post("/api/wall-lines/", body)
    assert twice.status_code == 400
    assert WallLine.objects.count() == 1


def test_a_wall_line_does_not_change_its_house():
    line = WallLineFactory()
    answer = client_as("estimator").patch(f"/api/wall-lines/{line.pk}/", {"house": HouseFactory().pk, "version": 1})
    assert answer.json()["errors"][0]["field"] == "house"


def test_an_estimator_cannot_accept_an_anchor_by_an_edit():
    line = WallLineFactory()
    row = {"at_in": 24, "diameter_in": 0.5, "accepted": True}
    answer = client_as("estimator").patch(f"/api/wall-lines/{line.pk}/", {"existing_anchors": [row], "version": 1})
    assert answer.status_code == 400
    assert answer.json()["errors"][0]["field"] == "existing_anchors.0.accepted"


def test_the_scope_screen_knows_its_items():
    house = HouseFactory()
    answer = client_as("estimator").patch(
        f"/api/houses/{house.pk}/", {"scope_screen": {"volcano": {"flag": False, "reason": "none"}}, "version": 1}
    )
    assert answer.status_code == 400
    assert "No such item: volcano" in answer.json()["detail"]


# --- acts ------------------------------------------------------------------------------------------------------------
def test_a_move_that_a_guard_stops_lists_every_reason():
    job = JobFactory()
    answer = client_as("office").post(f"/api/jobs/{job.pk}/move/", {"to": "survey booked", "seen_stage": "inquiry"})
    assert answer.status_code == 409
    assert answer.json()["reasons"]
    assert Job.objects.get().stage == "inquiry"


def test_a_job_is_moved():
    job = JobFactory(survey_on=timezone.localdate())
    answer = client_as("office").post(f"/api/jobs/{job.pk}/move/", {"to": "survey booked", "seen_stage": "inquiry"})
    assert (answer.status_code, answer.json()["stage"]) == (200, "survey booked")


def test_a_move_seen_from_another_stage_is_refused():
    job = JobFactory(stage="surveyed")
    answer = client_as("office").post(f"/api/jobs/{job.pk}/move/", {"to": "lost", "seen_stage": "inquiry", "note": "x"})
    assert answer.status_code == 409


def test_a_design_is_issued_and_read_with_its_snapshot_and_schedule():
    first = issued_design()
    client = client_as("estimator")
    version = Job.objects.get().version
    issued = client.post(f"/api/jobs/{first.job_id}/issue-design/", {"seen_version": version})
    assert (issued.status_code, issued.json()["revision"]) == (201, 2)
    read = client.get(f"/api/designs/{issued.json()['id']}/").json()
    assert read["snapshot"]["result"]["lines"]
    schedule = client.get("/api/schedules/", {"design": read["id"]}).json()["results"][0]
    assert {line["wall_line_label"] for line in schedule["lines"]} == {"1", "2", "A", "B"}


def test_the_engineer_edits_and_confirms_the_criteria_sheet():
    licence = EngineerLicenceFactory()
    sheet = CriteriaSheetFactory(job=JobFactory(assigned_engineer=licence.user))
    client = client_of(licence.user)
    edited = client.patch(f"/api/criteria-sheets/{sheet.pk}/", {"force_factor": 1.0, "version": 1})
    assert edited.json()["force_factor"] == 1.0
    confirmed = client.post(f"/api/criteria-sheets/{sheet.pk}/confirm/", {"version": 2})
    assert confirmed.json()["confirmed_by"]["id"] == licence.user.pk
    assert confirmed.json()["confirmed_licence"] == str(licence)
    assert client.post(f"/api/criteria-sheets/{sheet.pk}/confirm/", {"version": 1}).status_code == 409


def test_a_standing_template_is_an_engineers_to_edit():
    template = CriteriaSheetFactory(job=None, jurisdiction=JurisdictionFactory())
    answer = client_as("engineer").patch(f"/api/criteria-sheets/{template.pk}/", {"force_factor": 0.8, "version": 1})
    assert answer.status_code == 200, answer.json()
    assert CriteriaSheet.objects.get().force_factor == 0.8


def test_a_redundancy_between_the_two_is_refused():
    sheet = CriteriaSheetFactory(job=JobFactory(assigned_engineer=EngineerLicenceFactory().user))
    answer = client_of(sheet.job.assigned_engineer).patch(
        f"/api/criteria-sheets/{sheet.pk}/", {"redundancy": 1.1, "version": 1}
    )
    assert answer.json()["errors"][0]["field"] == "redundancy"


def test_a_packet_says_how_its_stamp_stands():
    design = issued_design()
    packet = PacketFactory(design=design)
    stamp_packet(packet)
    client = client_of(design.job.assigned_engineer)
    assert client.get(f"/api/packets/{packet.pk}/").json()["currency"]["state"] in ("current", "flagged")
    assert len(client.get("/api/stamps/", {"packet_file__packet": packet.pk}).json()["results"]) == 2


def test_the_unguessable_token_of_a_packet_stays_inside():
    packet = PacketFactory(design=DesignFactory())
    assert packet.token not in client_as("office").get("/api/packets/").content.decode()


# --- the crew's log --------------------------------------------------------------------------------------------------
def _event(**more):
    facts = {"wall_line_label": "A", "kind": "installed", "payload": {"count": 6}}
    return {"id": str(uuid4()), "at_client": "2026-11-25T09:00:00Z"} | facts | more


def _workable_order():
    return WorkOrderFactory(acknowledged=True, design__job__stage="in progress")


def test_an_event_sent_twice_is_written_once():
    order = _workable_order()
    client, body = client_of(order.crew.lead), _event()
    first = client.post(f"/api/work-orders/{order.pk}/events/", body)
    second = client.post(f"/api/work-orders/{order.pk}/events/", body)
    assert (first.status_code, second.status_code) == (201, 201)
    assert first.json() == second.json()
    assert FieldEvent.objects.count() == 1


def test_an_events_id_serves_one_body():
    order = _workable_order()
    client, body = client_of(order.crew.lead), _event()
    client.post(f"/api/work-orders/{order.pk}/events/", body)
    other = client.post(f"/api/work-orders/{order.pk}/events/", body | {"kind": "missed"})
    assert other.status_code == 409
    assert FieldEvent.objects.get().kind == "installed"


def test_the_log_is_read_in_pages():
    order = _workable_order()
    client = client_of(order.crew.lead)
    client.post(f"/api/work-orders/{order.pk}/events/", _event())
    page = client.get(f"/api/work-orders/{order.pk}/events/").json()
    assert (page["count"], page["results"][0]["payload"]) == (1, {"count": 6})


def test_the_crew_acknowledges_the_cautions_and_its_lead_ticks_a_hold_point():
    design = issued_design()
    Job.objects.filter(pk=design.job_id).update(stage="released")
    order = WorkOrderFactory(design=design)
    client, tick = client_of(order.crew.lead), {"wall_line_label": "A", "name": "Panel nailing"}
    assert client.post(f"/api/work-orders/{order.pk}/hold-points/", tick).status_code == 409  # cautions first
    read = client.post(f"/api/work-orders/{order.pk}/acknowledge-cautions/")
    assert read.json()["cautions_acknowledged_at"]
    ticked = client.post(f"/api/work-orders/{order.pk}/hold-points/", tick)
    assert (ticked.status_code, ticked.json()["ticked_by"]["id"]) == (201, order.crew.lead.pk)
    unknown = client.post(f"/api/work-orders/{order.pk}/hold-points/", tick | {"name": "Roof"})
    assert (unknown.status_code, unknown.json()["errors"][0]["field"]) == (400, "name")


# --- capacity --------------------------------------------------------------------------------------------------------
NAIL = {  # 12d common in 1½ in Douglas Fir-Larch: about 188 lb at 1.6, common practice, no source
    "fastener": "nail",
    "diameter_in": 0.148,
    "length_in": 3.25,
    "main_specific_gravity": 0.5,
    "side_specific_gravity": 0.5,
    "side_bearing_in": 1.5,
}


def test_a_capacity_question_is_answered_with_its_steps():
    answer = client_as("estimator").post("/api/capacity/dowel/", NAIL)
    assert answer.status_code == 200, answer.json()
    assert answer.json()["capacity"] == pytest.approx(188, abs=1.5)
    assert answer.json()["steps"]


def test_a_value_out_of_range_is_named():
    answer = client_as("estimator").post("/api/capacity/dowel/", NAIL | {"diameter_in": -1})
    body = answer.json()
    assert (answer.status_code, answer.headers["Content-Type"]) == (422, "application/problem+json")
    assert (body["field"], body["value"]) == ("diameter_in", -1)
    assert body["allowed"]


def test_an_unknown_key_is_named():
    answer = client_as("estimator").post("/api/capacity/dowel/", NAIL | {"colour": "blue"})
    assert (answer.status_code, answer.json()["field"]) == (422, "colour")


def test_a_list_answers_item_by_item():
    answer = client_as("engineer").post("/api/capacity/dowel/", [NAIL, NAIL | {"diameter_in": 0}])
    assert answer.status_code == 422
    good, bad = answer.json()
    assert good["result"]["capacity"] > 0
    assert bad["error"]["field"] == "diameter_in"
    assert client_as("engineer").post("/api/capacity/dowel/", [NAIL, NAIL]).status_code == 200


def test_the_schema_of_a_question_names_units():
    schema = client_as("engineer").get("/api/capacity/dowel/").json()
    assert "in" in json.dumps(schema["properties"]["diameter_in"])


def test_an_unknown_question_is_a_404():
    assert client_as("engineer").post("/api/capacity/roof/", {}).status_code == 404


@pytest.mark.parametrize("text", ["{", '{"a": 1, "a": 2}', '{"a": NaN}'])
def test_what_is_no_json_is_a_400(text):
    answer = client_as("engineer").generic("POST", "/api/capacity/dowel/", text, content_type="application/json")
    assert answer.status_code in (400, 422)
    assert answer.headers["Content-Type"] == "application/problem+json"
