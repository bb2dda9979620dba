"""The OpenAPI description: made without a warning, valid, complete, and shown without asking another host."""

from __future__ import annotations

import re
from io import StringIO

import pytest
import yaml
from django.contrib.staticfiles import finders
from django.core.management import call_command

from tests.jobs.api_client import client_as

HOST = re.compile(r"(?:src|href)=\"(?:https?:)?//")


@pytest.fixture(scope="module")
def description():
    out = StringIO()
    call_command("spectacular", fail_on_warn=True, validate=True, stdout=out)
    return yaml.safe_load(out.getvalue())


def test_it_is_openapi_3_1(description):
    assert description["openapi"] == "3.1.0"


def test_it_names_what_the_issue_asks_for(description):
    paths = description["paths"]
    for name in ("clients", "houses", "wall-lines", "connectors", "jobs", "criteria-sheets", "designs", "schedules",
                 "packets", "stamps", "work-orders", "inspections", "jurisdictions", "crews", "documents"):  # fmt: skip
        assert {f"/api/{name}/", f"/api/{name}/{{id}}/"} <= paths.keys(), name
    for path in ("/api/jobs/{id}/move/", "/api/jobs/{id}/issue-design/", "/api/work-orders/{id}/events/"):
        assert "post" in paths[path]


def test_every_operation_may_answer_with_a_problem(description):
    for path, operations in description["paths"].items():
        for method, operation in operations.items():
            content = operation["responses"]["default"]["content"]
            assert list(content) == ["application/problem+json"], f"{method} {path}"


@pytest.mark.django_db
def test_the_description_is_served_to_people_who_are_logged_in(client):
    assert client.get("/api/schema/").status_code == 401
    assert client_as("installer").get("/api/schema/").status_code == 200


@pytest.mark.django_db
def test_its_page_takes_everything_from_this_server(client):
    assert client.get("/api/docs/").status_code == 302
    answer = client_as("engineer").get("/api/docs/")
    html = answer.content.decode()
    assert not HOST.search(html)
    assert "unsafe" not in answer.headers["Content-Security-Policy"]
    assert "<style" not in html
    assert " style=" not in html
    for name in re.findall(r"/static/([^\"]+)", html):
        assert finders.find(name), name
