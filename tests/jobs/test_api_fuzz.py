"""The API against its own description: generated calls never end in a server error and answer as described."""

from __future__ import annotations

import pytest
import schemathesis
from django.core import signals
from django.db import close_old_connections
from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st
from rest_framework.authtoken.models import Token
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import response_schema_conformance, status_code_conformance

from jobs.project.wsgi import application
from tests.factories import PacketFactory, UserFactory, WorkOrderFactory
from tests.issued import issued_design

CHECKS = [not_a_server_error, response_schema_conformance, status_code_conformance]
BOUNDED = settings(
    max_examples=8, deadline=None, database=None, phases=[Phase.generate], suppress_health_check=list(HealthCheck)
)


@pytest.fixture
def _one_connection():
    """A call through WSGI would close the connection that holds the test's transaction."""
    for signal in (signals.request_started, signals.request_finished):
        signal.disconnect(close_old_connections)
    yield
    for signal in (signals.request_started, signals.request_finished):
        signal.connect(close_old_connections)


@pytest.mark.django_db
@pytest.mark.usefixtures("_one_connection")
@pytest.mark.parametrize("role", ["office", "engineer"])
def test_every_operation_keeps_its_description(role):
    design = issued_design()
    job, house = design.job, design.job.house
    kept = {
        "jobs": job,
        "houses": house,
        "clients": house.client,
        "wall-lines": house.wall_lines.first(),
        "designs": design,
        "schedules": design.connection_schedule,
        "criteria-sheets": job.criteria_sheet,
        "packets": PacketFactory(design=design),
        "work-orders": WorkOrderFactory(job=job, design=design),
    }
    user = job.assigned_engineer if role == "engineer" else UserFactory(roles=[role])
    headers = {"Authorization": f"Token {Token.objects.create(user=user).key}", "Host": "127.0.0.1"}
    description = schemathesis.openapi.from_wsgi("/api/schema/", application, headers=headers)
    failures = []
    for found in description.get_all_operations():
        operation = found.ok()
        try:
            _try(operation, kept.get(operation.path.split("/")[2]), headers)
        except (Exception, BaseExceptionGroup) as why:  # tell the failures of all operations at once
            failures.append(f"{operation.label}: {why!r:.300} {why!s:.900}")
    assert not failures, "\n\n".join(failures)


def _try(operation, row, headers):
    @seed(20251125)
    @BOUNDED
    @given(case=operation.as_strategy(), a_kept_row=st.booleans())
    def call(case, a_kept_row):
        if a_kept_row and row is not None and "id" in (case.path_parameters or {}):
            case.path_parameters["id"] = row.pk
        answer = case.call(headers=headers)
        case.validate_response(answer, checks=CHECKS, headers=headers)
        if answer.status_code >= 400 and not case.path.startswith("/api/capacity/"):  # a list has errors by item
            assert answer.headers["content-type"] == ["application/problem+json"]

    call()
