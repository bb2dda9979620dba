"""Bodies that are JSON by the letter and that no database can keep: a problem, never a server error."""

from __future__ import annotations

import json
from uuid import uuid4

import pytest

from tests.factories import HouseFactory, WorkOrderFactory
from tests.jobs.api_client import client_as, client_of
from tests.jobs.test_api_errors import assert_problem

pytestmark = pytest.mark.django_db

ODD = {
    "a number without end": "1e400",
    "NaN": "NaN",
    "a NUL character": '"a\\u0000b"',
    "half a surrogate pair": '"\\ud800"',
    "a name that is half a pair": '{"\\ud800": 1}',
    "a few levels too many": "[" * 60 + "]" * 60,
    "more levels than Python reads": "[" * 30_000 + "]" * 30_000,
    "more digits than Python reads": "9" * 5_000,
}


def sent(client, method, path, name, odd, **rest):
    text = json.dumps(rest)[:-1] + f', "{name}": {odd}}}'
    return client.generic(method, path, text, content_type="application/json")


@pytest.mark.parametrize("odd", ODD.values(), ids=ODD.keys())
@pytest.mark.parametrize("name", ["client", "notes", "floor_outline_ft", "roof_psf"])
def test_an_odd_value_in_an_edit(name, odd):
    house = HouseFactory()
    path = f"/api/houses/{house.pk}/"
    assert_problem(sent(client_as("office"), "PATCH", path, name, odd, version=house.version), 400)


@pytest.mark.parametrize("odd", ODD.values(), ids=ODD.keys())
def test_an_odd_value_in_a_log_that_is_kept_for_good(odd):
    order = WorkOrderFactory()
    lead = client_of(order.crew.lead)
    path = f"/api/work-orders/{order.pk}/events/"
    rest = {
        "id": str(uuid4()),
        "wall_line_label": order.wall_line_labels[0],
        "kind": "note",
        "at_client": "2026-01-05T09:00:00Z",
    }
    assert_problem(sent(lead, "POST", path, "payload", f'{{"text": {odd}}}', **rest), 400)
    assert not order.events.exists()
    assert lead.get(path).status_code == 200


@pytest.mark.parametrize("path", ["/api/clients/", "/api/capacity/dowel/"])
def test_a_body_larger_than_the_limit_is_refused_before_it_is_read(path, settings):
    settings.DATA_UPLOAD_MAX_MEMORY_SIZE = 1_000
    body = json.dumps({"name": "x" * 2_000})
    assert_problem(client_as("office").post(path, body, content_type="application/json"), 413)
