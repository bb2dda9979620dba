"""Who gets what at each address: a row for every route and method, a letter for each kind of person.

The rows are checked against the URL resolver, so a new route fails until someone has said who may use it. Letters:
Y let through (a 400 or 409 for an empty form counts: the door was open) · L sent to log in (302, or 401 from the API)
· N refused (403) · H hidden (404).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction
from django.test import Client
from django.urls import URLPattern, get_resolver, reverse
from django.utils import timezone

from jobs.models import PacketFile
from reports.models import Document
from reports.services import documents
from tests.factories import (
    CrewFactory,
    DesignFactory,
    EvaluatedFactory,
    ExistingAnchorFactory,
    FoundSheathingFactory,
    InspectionFactory,
    PacketFactory,
    ReviewCommentFactory,
    StampFactory,
    UserFactory,
    WorkOrderFactory,
)
from tests.issued import issued_design

PEOPLE = ("nobody", "office", "estimator", "engineer", "other engineer", "crew", "other crew")
PDF = b"%PDF-1.7\n%%EOF\n"


# --- the rows --------------------------------------------------------------------------------------------------------
# Letters stand for PEOPLE in their order: nobody, office, estimator, the assigned engineer, another engineer, the crew
# of the work order, another crew.
EVERYBODY, LOGGED_IN = "YYYYYYY", "LYYYYYY"
SALES, OFFICE, PLANNERS, ENGINEERS = "LYYNNNN", "LYNNNNN", "LYYYYNN", "LNNYYNN"
OF_THE_JOB, PLANNERS_OF_THE_JOB, SALES_OF_THE_JOB = "LYYYHYH", "LYYYHNN", "LYYNNNN"
OF_THE_DESIGN = "LYYYHHH"
ITS_ENGINEER, ITS_CREW, OFFICE_OR_ITS_CREW = "LNNYHNN", "LNNNNYH", "LYNNNYH"

ROWS: dict[tuple[str, str], tuple[str, dict[str, str], dict[str, str]]] = {}


def row(route: str, method: str, letters: str, body: dict[str, str] | None = None, **names: str) -> None:
    """One row; values of `names` and `body` that start with "@" are looked up in the world."""
    assert (route, method) not in ROWS, f"{route} {method} stands here twice"
    assert len(letters) == len(PEOPLE)
    ROWS[route, method] = (letters, names, body or {})


# accounts, and what is public
row("home", "GET", LOGGED_IN)
row("login", "GET", EVERYBODY)
row("login", "POST", EVERYBODY)
row("logout", "POST", "LLLLLLL")  # lands on the log-in page
row("verify", "GET", EVERYBODY, token="@token")
row("verify-compare", "POST", EVERYBODY, token="@token")
row("api-docs", "GET", LOGGED_IN)
row("api-schema", "GET", LOGGED_IN)
row("api-problems", "GET", EVERYBODY)

# office and estimator
row("job-list", "GET", LOGGED_IN)  # each their own
row("job-create", "GET", SALES)
row("job-create", "POST", SALES)
row("job-detail", "GET", OF_THE_JOB, pk="@job")
row("job-edit", "GET", SALES_OF_THE_JOB, pk="@job")
row("job-edit", "POST", SALES_OF_THE_JOB, pk="@job", body={"version": "1"})
row("job-move", "POST", OF_THE_JOB, pk="@job", body={"to": "surveyed", "seen_stage": "inquiry"})
row("job-hold", "POST", OFFICE, pk="@job")
row("job-hold-lift", "POST", OFFICE, pk="@job")
row("job-assign", "POST", OFFICE, pk="@job", body={"version": "1"})
row("job-city-set", "POST", OFFICE, pk="@job", body={"version": "1"})
row("job-city-set-file", "GET", "LYYYHNH", pk="@job")
row("job-criteria-start", "POST", PLANNERS_OF_THE_JOB, pk="@job")
row("design-issue", "POST", PLANNERS_OF_THE_JOB, pk="@job", body={"version": "1"})
row("design-detail", "GET", PLANNERS_OF_THE_JOB, pk="@design")
row("design-load-path", "GET", PLANNERS_OF_THE_JOB, pk="@design", label="A")
row("job-comment-resolve", "POST", PLANNERS_OF_THE_JOB, pk="@job", body={"comment": "@comment"})
row("work-order-create", "GET", OFFICE, pk="@job")
row("work-order-create", "POST", OFFICE, pk="@job")
row("inspection-record", "GET", OFFICE_OR_ITS_CREW, pk="@job")
row("inspection-record", "POST", OFFICE_OR_ITS_CREW, pk="@job")
row("job-as-built", "GET", PLANNERS_OF_THE_JOB, pk="@job")
row("client-list", "GET", SALES)
row("client-create", "GET", SALES)
row("client-create", "POST", SALES)
row("client-detail", "GET", SALES, pk="@client")
row("client-edit", "GET", SALES, pk="@client")
row("client-edit", "POST", SALES, pk="@client", body={"version": "1"})
row("house-create", "GET", SALES)
row("house-create", "POST", SALES)
row("house-detail", "GET", OF_THE_JOB, pk="@house")
row("house-edit", "GET", SALES, pk="@house")
row("house-edit", "POST", SALES, pk="@house", body={"version": "1"})
row("wall-line-create", "GET", SALES, house_pk="@house")
row("wall-line-create", "POST", SALES, house_pk="@house")
row("wall-line-edit", "GET", SALES, pk="@line")
row("wall-line-edit", "POST", SALES, pk="@line", body={"version": "1"})
row("wall-line-remove", "POST", SALES, pk="@line", body={"version": "1"})
row("line-choice-edit", "GET", PLANNERS_OF_THE_JOB, pk="@job", line_pk="@line")
row("line-choice-edit", "POST", PLANNERS_OF_THE_JOB, pk="@job", line_pk="@line", body={"version": "1"})
row("load-path-drawing", "GET", PLANNERS_OF_THE_JOB, pk="@job", label="A")

# the engineer
row("review-list", "GET", ENGINEERS)
row("review", "GET", ITS_ENGINEER, pk="@job")
row("criteria-confirm", "GET", ITS_ENGINEER, pk="@job")
row("criteria-confirm", "POST", ITS_ENGINEER, pk="@job")
row("criteria-start", "POST", ITS_ENGINEER, pk="@job")
row("mode-name", "POST", ITS_ENGINEER, pk="@job", body={"version": "1"})
row("review-return", "POST", ITS_ENGINEER, pk="@job")
row("review-stamped", "POST", ITS_ENGINEER, pk="@job")
row("packet-withdraw", "POST", ITS_ENGINEER, pk="@job", body={"packet": "@packet"})
row("tables-accept", "POST", ENGINEERS, body={"code_family": "2021"})
row("anchor-accept", "POST", ITS_ENGINEER, pk="@anchor", body={"job": "@job", "version": "1"})
row("sheathing-accept", "POST", ITS_ENGINEER, pk="@sheathing", body={"job": "@job", "version": "1"})
row("nailing-accept", "POST", ITS_ENGINEER, pk="@line", body={"job": "@job"})
row("foundation-accept", "POST", ITS_ENGINEER, pk="@line", body={"job": "@job", "version": "1"})
row("test-accept", "POST", ITS_ENGINEER, pk="@job")

# the crew
row("today", "GET", "LYNNNYY")
row("work-order-detail", "GET", OF_THE_JOB, pk="@order")
row("cautions-acknowledge", "POST", ITS_CREW, pk="@order")
row("work-order-wall", "GET", OF_THE_JOB, pk="@order", number="1")
row("hold-point-tick", "POST", ITS_CREW, pk="@order", number="1", body={"name": "@hold_point"})
row("field-event", "GET", OFFICE_OR_ITS_CREW, pk="@order", number="1", task="note")
row("field-event", "POST", OFFICE_OR_ITS_CREW, pk="@order", number="1", task="note")
row("panel-event", "GET", OFFICE_OR_ITS_CREW, pk="@order", number="1", panel="1")
row("panel-event", "POST", OFFICE_OR_ITS_CREW, pk="@order", number="1", panel="1", body={"kind": "nail_count"})

# papers
row("document-list", "GET", OF_THE_JOB, job_id="@job")
row("document-request", "POST", OF_THE_DESIGN, body={"kind": "calculations", "design": "@design"})
row("document-detail", "GET", OF_THE_DESIGN, pk="@calculations")
row("document-status", "GET", OF_THE_JOB, pk="@work_order_paper")
row("document-cancel", "POST", "LYYYHNH", pk="@work_order_paper")
row("document-inline", "GET", OF_THE_JOB, pk="@work_order_paper")
row("document-download", "GET", OF_THE_JOB, pk="@work_order_paper")
row("document-drawings", "GET", OF_THE_JOB, pk="@work_order_paper")
row("document-dxf", "GET", OF_THE_JOB, pk="@work_order_paper", sheet="W-A")
row("document-dxf-all", "GET", OF_THE_JOB, pk="@work_order_paper")
row("schedule-csv", "GET", PLANNERS_OF_THE_JOB, pk="@design")
row("packet-make", "POST", OF_THE_DESIGN, body={"design": "@design"})
row("packet-detail", "GET", OF_THE_JOB, pk="@packet")
row("packet-file-review", "GET", "LYYYHNH", pk="@plan_set")
row("packet-file-signing-copy", "GET", "LNNYHNH", pk="@plan_set")
row("packet-file-stamped", "GET", OF_THE_JOB, pk="@stamped_plan_set")
row("packet-file-upload", "POST", "LNNYHNH", pk="@plan_set")

# the API
for name, letters in (
    ("client", SALES),
    ("jurisdiction", PLANNERS),
    ("connector", PLANNERS),
    ("criteria-sheet", PLANNERS),
    ("design", PLANNERS),
    ("schedule", PLANNERS),
    ("crew", LOGGED_IN),
    ("house", LOGGED_IN),
    ("wall-line", LOGGED_IN),
    ("job", LOGGED_IN),
    ("packet", LOGGED_IN),
    ("stamp", LOGGED_IN),
    ("work-order", LOGGED_IN),
    ("inspection", LOGGED_IN),
    ("document", LOGGED_IN),
):
    row(f"api-{name}-list", "GET", letters)
row("api-client-list", "POST", SALES)
row("api-client-detail", "GET", SALES, pk="@client")
row("api-client-detail", "PATCH", SALES, pk="@client")
row("api-jurisdiction-detail", "GET", PLANNERS, pk="@jurisdiction")
row("api-crew-detail", "GET", OF_THE_JOB, pk="@crew_row")
row("api-house-list", "POST", SALES)
row("api-house-detail", "GET", OF_THE_JOB, pk="@house")
row("api-house-detail", "PATCH", SALES, pk="@house")
row("api-wall-line-list", "POST", SALES)
row("api-wall-line-detail", "GET", OF_THE_JOB, pk="@line")
row("api-wall-line-detail", "PATCH", SALES, pk="@line")
row("api-connector-list", "POST", OFFICE)
row("api-connector-detail", "GET", PLANNERS, pk="@connector")
row("api-connector-detail", "PATCH", OFFICE, pk="@connector")
row("api-job-list", "POST", SALES)
row("api-job-detail", "GET", OF_THE_JOB, pk="@job")
row("api-job-detail", "PATCH", SALES, pk="@job")
row("api-job-move", "POST", OF_THE_JOB, pk="@job")
row("api-job-issue-design", "POST", PLANNERS_OF_THE_JOB, pk="@job")
row("api-job-as-built", "GET", PLANNERS_OF_THE_JOB, pk="@job")
row("api-criteria-sheet-detail", "GET", PLANNERS_OF_THE_JOB, pk="@sheet")
row("api-criteria-sheet-detail", "PATCH", ITS_ENGINEER, pk="@sheet", body={"version": "1"})
row("api-criteria-sheet-confirm", "POST", ITS_ENGINEER, pk="@sheet", body={"version": "1"})
row("api-design-detail", "GET", PLANNERS_OF_THE_JOB, pk="@design")
row("api-design-accept-test", "POST", ITS_ENGINEER, pk="@design")
row("api-schedule-detail", "GET", PLANNERS_OF_THE_JOB, pk="@schedule")
row("api-packet-detail", "GET", OF_THE_JOB, pk="@packet")
row("api-stamp-detail", "GET", OF_THE_JOB, pk="@stamp")
row("api-work-order-detail", "GET", OF_THE_JOB, pk="@order")
row("api-work-order-events", "GET", OF_THE_JOB, pk="@order")
row("api-work-order-events", "POST", "LYNNHYH", pk="@order")
row("api-work-order-acknowledge-cautions", "POST", ITS_CREW, pk="@order")
row("api-work-order-tick-hold-point", "POST", ITS_CREW, pk="@order")
row("api-inspection-detail", "GET", OF_THE_JOB, pk="@inspection")
row("api-capacity", "GET", PLANNERS, kind="dowel")
row("api-capacity", "POST", PLANNERS, kind="dowel")
row("api-make-packet", "POST", PLANNERS_OF_THE_JOB, body={"design": "@design"})
row("api-document-list", "POST", PLANNERS_OF_THE_JOB, body={"kind": "calculations", "design": "@design"})
row("api-document-detail", "GET", OF_THE_JOB, pk="@work_order_paper")
row("api-document-dxf", "GET", OF_THE_JOB, pk="@work_order_paper")
row("api-schedule-csv", "GET", PLANNERS_OF_THE_JOB, pk="@design")
row("api-packet-file", "GET", OF_THE_JOB, pk="@stamped_plan_set", copy="stamped")
row("api-document-cancel", "POST", "LYYYHNN", pk="@work_order_paper")
row("api-document-file", "GET", OF_THE_JOB, pk="@work_order_paper")

WITHOUT_A_ROW = {"api-unknown": "answers 404 to everyone; tests/jobs/test_api_errors.py"}


# --- the routes ------------------------------------------------------------------------------------------------------
@dataclass(frozen=True)
class Route:
    name: str
    methods: frozenset[str]  # what a viewset declares; empty for other views
    admin: bool


def routes(resolver: Any = None, space: str = "", path: str = "") -> Iterator[Route]:
    """Every route that the resolver knows."""
    for pattern in (resolver or get_resolver()).url_patterns:
        where = path + str(pattern.pattern)
        if not isinstance(pattern, URLPattern):
            inner = f"{space}{pattern.namespace}:" if pattern.namespace else space
            yield from routes(pattern, inner, where)
            continue
        methods = {method.upper() for method in getattr(pattern.callback, "actions", {}) if method != "head"}
        yield Route(f"{space}{pattern.name or where}", frozenset(methods), where.startswith("admin/"))


def test_every_route_has_a_row_for_each_of_its_methods():
    missing = []
    for route in routes():
        if route.admin or route.name in WITHOUT_A_ROW:
            continue
        rows = {method for name, method in ROWS if name == route.name}
        missing += [route.name] if not rows else [f"{route.name} {method}" for method in route.methods - rows]
    assert not missing


def test_no_row_speaks_of_a_route_that_is_gone():
    assert not {name for name, _ in ROWS} - {route.name for route in routes()}


# --- the world -------------------------------------------------------------------------------------------------------
@pytest.fixture(scope="module")
def world(django_db_setup, django_db_blocker):
    """One job with everything that hangs on it, made once for the module and rolled back at its end."""
    with django_db_blocker.unblock(), transaction.atomic():
        yield _world()
        transaction.set_rollback(True)


def _world() -> dict[str, Any]:
    design = issued_design()
    job = design.job
    line = job.house.wall_lines.get(label="A")
    crew = CrewFactory()
    order = WorkOrderFactory(design=design, crew=crew, acknowledged=True)
    packet, stamped = PacketFactory(design=design), PacketFactory(design=design)
    stamped_file = stamped.files.get(kind="plan_set")
    PacketFile.objects.filter(pk=stamped_file.pk).update(stamped="stamps/demo.pdf", stamped_sha256="4" * 64)
    job.city_set.name, job.city_set_sha256 = "city_sets/demo.pdf", "5" * 64
    job.city_set_uploaded_on = timezone.localdate()
    job.save()
    ready = {"state": "ready", "file": "documents/demo.pdf", "file_sha256": "6" * 64, "requested_by": design.issued_by}
    ready |= {"requested_at": timezone.now(), "hinted_at": timezone.now(), "design": design, "snapshot": "{}"}
    about_the_order = documents.snapshot_of("work_order", design, order.pk)
    elsewhere = DesignFactory(snapshot=design.snapshot, job__assigned_engineer=UserFactory(roles=["engineer"]))
    other = WorkOrderFactory(crew=CrewFactory(), design=elsewhere)
    return {
        "people": {
            "nobody": None,
            "office": UserFactory(roles=["office"]),
            "estimator": UserFactory(roles=["estimator"]),
            "engineer": job.assigned_engineer,
            "other engineer": elsewhere.job.assigned_engineer,
            "crew": crew.lead,
            "other crew": other.crew.lead,
        },
        "job": job.pk,
        "client": job.house.client_id,
        "house": job.house_id,
        "jurisdiction": job.house.jurisdiction_id,
        "line": line.pk,
        "anchor": ExistingAnchorFactory(wall_line=line).pk,
        "sheathing": FoundSheathingFactory(wall_line=line).pk,
        "connector": EvaluatedFactory().pk,
        "sheet": job.criteria_sheet.pk,
        "design": design.pk,
        "schedule": design.connection_schedule.pk,
        "comment": ReviewCommentFactory(job=job).pk,
        "packet": packet.pk,
        "token": packet.token,
        "plan_set": packet.files.get(kind="plan_set").pk,
        "stamped_plan_set": stamped_file.pk,
        "stamp": StampFactory(packet_file=stamped_file).pk,
        "crew_row": crew.pk,
        "order": order.pk,
        "hold_point": "Panel nailing",
        "inspection": InspectionFactory(job=job).pk,
        "calculations": Document.objects.create(kind="calculations", inputs_sha256="7" * 64, **ready).pk,
        "work_order_paper": Document.objects.create(
            kind="work_order", subject_id=order.pk, inputs_sha256="8" * 64, **{**ready, "snapshot": about_the_order}
        ).pk,
    }


@pytest.fixture
def files(settings):
    """The stored files that rows of the world name; each test has its own storage."""
    for name in ("review/plan_set.pdf", "signing/plan_set.pdf", "stamps/demo.pdf", "city_sets/demo.pdf",
                 "documents/demo.pdf"):  # fmt: skip
        default_storage.save(name, ContentFile(PDF))


# --- the tests -------------------------------------------------------------------------------------------------------
def _letter(response: Any) -> str:
    status = response.status_code
    if status == 401 or (status == 302 and response.url.startswith(("/login/", "/admin/login/"))):
        return "L"
    assert status < 500, response.content
    return {403: "N", 404: "H"}.get(status, "Y")


def _ask(world: dict[str, Any], person: str, method: str, url: str, body: dict[str, str]) -> str:
    client = Client()
    if user := world["people"][person]:
        client.force_login(user)
    json = method == "PATCH" or url.startswith("/api/")
    with transaction.atomic():  # nobody's request may change what the next one meets
        response = client.generic(method, url) if method == "GET" else _send(client, method, url, body, json=json)
        if response.streaming:
            b"".join(response.streaming_content)  # to its end: the test client then closes the file
        transaction.set_rollback(True)
    return _letter(response)


def _send(client: Client, method: str, url: str, body: dict[str, str], *, json: bool) -> Any:
    if json:
        send = client.patch if method == "PATCH" else client.post
        return send(url, body, content_type="application/json")
    return client.post(url, body)


@pytest.mark.django_db
@pytest.mark.parametrize(("route", "method"), ROWS, ids=lambda part: part)
def test_each_kind_of_person_meets_what_the_row_says(world, files, route, method):
    letters, names, body = ROWS[route, method]

    def found(values: dict[str, str]) -> dict[str, Any]:
        return {key: world[value[1:]] if value.startswith("@") else value for key, value in values.items()}

    url = reverse(route, kwargs=found(names))
    met = {person: _ask(world, person, method, url, found(body)) for person in PEOPLE}
    assert met == dict(zip(PEOPLE, letters, strict=True))


ADMIN_PAGES = {"changelist": [], "add": [], "change": [1], "history": [1], "delete": [1]}


@pytest.mark.django_db
def test_the_admin_is_the_offices(world):
    urls = [reverse("admin:index")]
    for route in routes():
        page = route.name.rpartition("_")[2]
        if route.name.startswith("admin:jobs_") and page in ADMIN_PAGES:
            urls.append(reverse(route.name, args=ADMIN_PAGES[page]))
    assert len(urls) > 20
    for url in urls:
        for person in PEOPLE:
            letter = _ask(world, person, "GET", url, {})
            assert person == "office" or letter in "LN", f"{person} at {url}"
    assert _ask(world, "office", "GET", reverse("admin:index"), {}) == "Y"
    assert _ask(world, "office", "GET", reverse("admin:jobs_user_changelist"), {}) == "Y"


LISTS = {  # list of the API → the row of this world that others must not find in it
    "house": "house",
    "wall-line": "line",
    "job": "job",
    "criteria-sheet": "sheet",
    "design": "design",
    "schedule": "schedule",
    "packet": "packet",
    "stamp": "stamp",
    "crew": "crew_row",
    "work-order": "order",
    "inspection": "inspection",
    "document": "work_order_paper",
}


@pytest.mark.django_db
@pytest.mark.parametrize("name", LISTS)
def test_a_list_holds_its_row_for_those_who_may_see_it_and_nobody_else(world, name):
    letters = ROWS[f"api-{name}-detail", "GET"][0]
    for person, letter in zip(PEOPLE, letters, strict=True):
        if person == "nobody":
            continue
        client = Client()
        client.force_login(world["people"][person])
        response = client.get(reverse(f"api-{name}-list"))
        if response.status_code == 403:
            assert letter == "N"
        else:
            ids = {row["id"] for row in response.json()["results"]}
            assert (world[LISTS[name]] in ids) == (letter == "Y"), person
