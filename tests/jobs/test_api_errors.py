"""Every error under /api/ is a problem (RFC 9457) with the same members, whoever raised it."""

from __future__ import annotations

import pytest
from rest_framework.test import APIClient

from jobs.api import errors
from jobs.models import Job
from tests.factories import ClientFactory, JobFactory, UserFactory
from tests.jobs.api_client import client_as, client_of

pytestmark = pytest.mark.django_db


def assert_problem(answer, status):
    assert answer.status_code == status, answer.content
    assert answer.headers["Content-Type"] == "application/problem+json"
    body = answer.json()
    assert {"type", "title", "status", "detail", "instance"} <= body.keys()
    assert body["status"] == status
    assert body["detail"]
    return body


def test_nobody_logged_in():
    answer = APIClient().get("/api/jobs/")
    assert_problem(answer, 401)
    assert answer.headers["WWW-Authenticate"] == "Token"


def test_a_wrong_token():
    client = APIClient()
    client.credentials(HTTP_AUTHORIZATION="Token 0000")
    assert_problem(client.get("/api/jobs/"), 401)


def test_a_role_that_may_not():
    assert "roles" in assert_problem(client_as("installer").get("/api/clients/"), 403)["detail"]


def test_a_row_that_is_not_there_and_one_that_is_hidden_read_the_same():
    hidden, client = JobFactory(), client_as("engineer")
    there = assert_problem(client.get(f"/api/jobs/{hidden.pk}/"), 404)
    nowhere = assert_problem(client.get("/api/jobs/999999/"), 404)
    assert there["detail"] == nowhere["detail"]


@pytest.mark.parametrize("path", ["/api/", "/api/nothing/", "/api/jobs", "/api/jobs/1/nothing/"])
def test_an_unknown_address(path):
    assert_problem(client_as("office").get(path), 404)
    assert_problem(client_as("office").post(path, {}), 404)


def test_a_key_that_is_none():
    assert_problem(client_as("office").get("/api/jobs/abc/"), 404)


@pytest.mark.parametrize(
    ("method", "path"),
    [("delete", "/api/jobs/"), ("put", "/api/jobs/1/"), ("post", "/api/designs/"), ("options", "/api/jobs/"),
     ("delete", "/api/capacity/dowel/")],
)  # fmt: skip
def test_a_method_that_an_address_has_not(method, path):
    answer = getattr(client_as("office"), method)(path)
    assert_problem(answer, 405)
    assert answer.headers["Allow"]


def test_a_body_that_is_no_json():
    answer = client_as("office").generic("POST", "/api/clients/", "{", content_type="application/json")
    assert_problem(answer, 400)


def test_a_body_of_another_kind():
    answer = client_as("office").generic("POST", "/api/clients/", "<a/>", content_type="application/xml")
    assert_problem(answer, 415)


def test_an_answer_of_another_kind():
    assert_problem(client_as("office").get("/api/clients/", HTTP_ACCEPT="text/csv"), 406)


def test_bad_fields_are_listed_one_by_one():
    body = assert_problem(client_as("office").post("/api/clients/", {"email": "no", "colour": "blue"}), 400)
    assert body["type"].endswith("#invalid")
    assert {error["field"] for error in body["errors"]} == {"colour"}
    body = assert_problem(client_as("office").post("/api/clients/", {"email": "no"}), 400)
    assert {error["field"] for error in body["errors"]} == {"email", "name"}


def test_a_body_that_is_a_list_where_an_object_belongs():
    assert_problem(client_as("office").post("/api/clients/", [1, 2]), 400)


def test_an_unknown_filter():
    body = assert_problem(client_as("office").get("/api/clients/?colour=blue"), 400)
    assert body["errors"][0]["field"] == "colour"
    assert "name__icontains" in body["errors"][0]["message"]


def test_a_filter_value_that_can_not_be():
    assert_problem(client_as("office").get("/api/jobs/?stage=sideways"), 400)


def test_a_page_that_is_not_there():
    assert_problem(client_as("office").get("/api/clients/?page=99"), 404)


def test_what_the_database_would_refuse_is_a_400():
    row = ClientFactory()
    answer = client_as("office").patch(f"/api/clients/{row.pk}/", {"name": "x" * 500, "version": 1})
    assert assert_problem(answer, 400)["errors"][0]["field"] == "name"


def test_a_refusal_carries_every_reason():
    job = JobFactory(stage="permit issued")
    body = assert_problem(
        client_as("office").post(f"/api/jobs/{job.pk}/move/", {"to": "released", "seen_stage": "permit issued"}), 409
    )
    assert body["type"].endswith("#refused")
    assert len(body["reasons"]) > 1
    assert Job.objects.get().stage == "permit issued"


def test_a_form_without_its_token_is_refused():
    client = APIClient(enforce_csrf_checks=True)
    client.force_login(UserFactory(roles=["office"]))
    assert_problem(client.post("/api/clients/", {"name": "x"}), 403)


def test_our_own_mistake_says_nothing_of_the_inside(monkeypatch):
    def fail(*args, **kwargs):
        raise RuntimeError("secret detail")

    monkeypatch.setattr("jobs.services.clients.create_client", fail)
    body = assert_problem(client_as("office").post("/api/clients/", {"name": "x"}), 500)
    assert "secret" not in str(body)


def test_a_mistake_on_a_page_stays_a_page(rf):
    assert errors.server_error(rf.get("/jobs/")).headers["Content-Type"].startswith("text/html")


def test_each_type_is_documented():
    meanings = APIClient().get("/api/problems/").json()
    body = client_of(UserFactory(roles=["office"])).post("/api/clients/", {}).json()
    assert body["type"].partition("#")[2] in meanings
