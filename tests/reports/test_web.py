"""Pages and API of papers: what each role gets, what is hidden, what a browser needs."""

from __future__ import annotations

import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from rest_framework.test import APIClient

from jobs.errors import Refused
from jobs.models import Packet
from reports.models import Document, State
from reports.services.documents import render_here, request_document
from reports.services.packets import fill_packet, make_packet
from tests.reports.rows import Workers, a_design, a_job, a_user, a_work_order

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def workers(monkeypatch):
    return Workers(monkeypatch)


@pytest.fixture(autouse=True)
def _present_inputs(monkeypatch):
    """The designs here have no survey behind them: their inputs are what they were."""
    monkeypatch.setattr("jobs.assessment.inputs_sha256", lambda job, on: "11" * 32)


@pytest.fixture
def engineer():
    return a_user("engineer")


@pytest.fixture
def design(engineer):
    return a_design(job=a_job(engineer=engineer), notes=["only"])


@pytest.fixture
def as_user(client):
    def _as_user(user):
        client.force_login(user)
        return client

    return _as_user


def _document(design, kind="plan_set", *, ready=True, **more):
    document = request_document(kind=kind, design_id=design.pk, by=a_user("estimator"), **more)
    return render_here(document.pk) if ready else document


def _packet(design):
    packet = make_packet(design_id=design.pk, by=a_user("office"))
    for document in Document.objects.filter(design=design):
        render_here(document.pk)
    fill_packet(packet.pk)
    return Packet.objects.get(pk=packet.pk)


def _body(answer):
    """The whole answer; the client closes its file when it was read to the end."""
    return answer.getvalue()


# --- asking and waiting ----------------------------------------------------------------------------------------------
def test_asking_leads_to_the_page_that_waits(as_user, design, engineer):
    answer = as_user(engineer).post(reverse("document-request"), {"kind": "plan_set", "design": design.pk})
    document = Document.objects.get()
    assert answer.url == reverse("document-detail", args=[document.pk])
    page = as_user(engineer).get(answer.url).content.decode()
    assert "Waiting for a worker" in page
    assert reverse("document-status", args=[document.pk]) in page
    assert '<noscript><meta http-equiv="refresh"' in page
    assert "reports/progress.js" in page


def test_the_page_has_nothing_inline(as_user, design, engineer):
    """The content policy of the pages forbids it, so a browser would drop it."""
    for document in (_document(design, ready=False), _document(design, "calculations")):
        page = as_user(engineer).get(reverse("document-detail", args=[document.pk])).content.decode()
        assert not re.search(r"<script(?![^>]*\bsrc=)|<style|\sstyle=|\son\w+=", page)


def test_status_counts_sections(as_user, design, engineer):
    document = _document(design, ready=False)
    Document.objects.update(state=State.RENDERING, sections_done=2, sections_total=7)
    url = reverse("document-status", args=[document.pk])
    answer = as_user(engineer).get(url)
    assert answer.json() == {"state": "rendering", "sections_done": 2, "sections_total": 7, "finished": False}
    assert answer.headers["Cache-Control"] == "no-store"
    Document.objects.update(state=State.FAILED)
    assert as_user(engineer).get(url).json()["finished"] is True


def test_a_failed_paper_says_why_and_can_be_asked_for_again(as_user, design, engineer):
    document = _document(design, ready=False)
    Document.objects.update(state=State.FAILED, problem="elevations: nothing to show for “drawing:line 1”")
    page = as_user(engineer).get(reverse("document-detail", args=[document.pk])).content.decode()
    assert "nothing to show for “drawing:line 1”" in page
    assert "Draw it again" in page


@pytest.mark.parametrize(
    "wish", [{"kind": "novel"}, {"kind": "plan_set", "design": "x"}, {"kind": "work_order"}, {"kind": "plan_set"}]
)
def test_a_request_for_nothing_is_not_found(as_user, design, engineer, wish):
    if wish["kind"] in ("novel", "work_order"):
        wish = {"design": design.pk, **wish}
    assert as_user(engineer).post(reverse("document-request"), wish).status_code == 404
    assert not Document.objects.exists()


# --- reading ---------------------------------------------------------------------------------------------------------
def test_a_ready_paper_is_shown_in_the_page_and_can_be_kept(as_user, design, engineer):
    document = _document(design)
    browser = as_user(engineer)
    page = browser.get(reverse("document-detail", args=[document.pk])).content.decode()
    assert f'<iframe class="paper" src="{reverse("document-inline", args=[document.pk])}"' in page
    inline = browser.get(reverse("document-inline", args=[document.pk]))
    kept = browser.get(reverse("document-download", args=[document.pk]))
    assert _body(inline) == _body(kept)
    assert inline.headers["Content-Type"] == "application/pdf"
    assert inline.headers["Content-Disposition"].startswith("inline")
    assert kept.headers["Content-Disposition"] == f'attachment; filename="{document.file_name}"'


def test_a_browser_keeps_what_it_has(as_user, design, engineer):
    url = reverse("document-inline", args=[_document(design).pk])
    first = as_user(engineer).get(url)
    etag = first.headers["ETag"]
    assert _body(first).startswith(b"%PDF")
    assert as_user(engineer).get(url, headers={"If-None-Match": etag}).status_code == 304


def test_a_pdf_can_be_framed_by_our_pages_only(as_user, design, engineer):
    answer = as_user(engineer).get(reverse("document-inline", args=[_document(design).pk]))
    assert _body(answer)
    assert answer.headers["X-Frame-Options"] == "SAMEORIGIN"
    assert "Content-Security-Policy" not in answer.headers


def test_a_paper_that_is_not_ready_has_no_file(as_user, design, engineer):
    document = _document(design, ready=False)
    for name in ("document-inline", "document-download"):
        assert as_user(engineer).get(reverse(name, args=[document.pk])).status_code == 404


# --- who -------------------------------------------------------------------------------------------------------------
PAGES = ("document-detail", "document-status", "document-inline", "document-download")


@pytest.mark.parametrize("name", PAGES)
def test_a_hidden_paper_is_not_found(as_user, design, name):
    document = _document(design)
    for role in ("engineer", "installer"):
        assert as_user(a_user(role)).get(reverse(name, args=[document.pk])).status_code == 404


@pytest.mark.parametrize("name", PAGES)
def test_a_stranger_is_asked_to_log_in(client, design, name):
    answer = client.get(reverse(name, args=[_document(design).pk]))
    assert answer.status_code == 302
    assert answer.url.startswith(reverse("login"))


def test_a_crew_reads_its_own_work_order_and_asks_for_none(as_user, design):
    lead = a_user("installer")
    order = a_work_order(design, lead=lead)
    document = _document(design, "work_order", subject_id=order.pk)
    assert _body(as_user(lead).get(reverse("document-inline", args=[document.pk]))).startswith(b"%PDF")
    answer = as_user(lead).post(reverse("document-request"), {"kind": "plan_set", "design": design.pk})
    assert answer.status_code == 404  # a crew sees no designs
    page = as_user(lead).get(reverse("document-list", args=[design.job_id])).content.decode()
    assert "Draw a paper" not in page
    assert "Work order" in page


def test_the_list_of_papers_is_the_job_s(as_user, design, engineer):
    _document(design)
    _document(a_design(), "calculations")
    page = as_user(engineer).get(reverse("document-list", args=[design.job_id])).content.decode()
    assert page.count("status-ready") == 1
    assert as_user(a_user("engineer")).get(reverse("document-list", args=[design.job_id])).status_code == 404


# --- packets ---------------------------------------------------------------------------------------------------------
def test_making_a_packet_leads_to_its_page(as_user, design):
    answer = as_user(a_user("office")).post(reverse("packet-make"), {"design": design.pk})
    packet = Packet.objects.get()
    assert answer.url == reverse("packet-detail", args=[packet.pk])
    assert "being drawn" in as_user(a_user("office")).get(answer.url).content.decode()


def test_a_quantity_study_is_refused_in_words(as_user, engineer):
    design = a_design(job=a_job(engineer=engineer), quantity_study=True)
    answer = as_user(a_user("office")).post(reverse("packet-make"), {"design": design.pk}, follow=True)
    assert "is a quantity study, not engineering" in answer.content.decode()


def test_the_engineer_gets_both_copies_and_the_upload(as_user, design, engineer):
    packet = _packet(design)
    page = as_user(engineer).get(reverse("packet-detail", args=[packet.pk])).content.decode()
    for file in packet.files.all():
        for name in ("packet-file-review", "packet-file-signing-copy", "packet-file-upload"):
            assert reverse(name, args=[file.pk]) in page
        review = as_user(engineer).get(reverse("packet-file-review", args=[file.pk]))
        signing = as_user(engineer).get(reverse("packet-file-signing-copy", args=[file.pk]))
        assert review.headers["Content-Disposition"].startswith("inline")
        assert signing.headers["Content-Disposition"].startswith("attachment")
        assert _body(review) != _body(signing)
        assert as_user(engineer).get(reverse("packet-file-stamped", args=[file.pk])).status_code == 404


def test_the_office_reads_but_does_not_sign(as_user, design):
    packet = _packet(design)
    office = a_user("office")
    file = packet.files.first()
    page = as_user(office).get(reverse("packet-detail", args=[packet.pk])).content.decode()
    assert reverse("packet-file-review", args=[file.pk]) in page
    assert "Send the signed file" not in page
    assert _body(as_user(office).get(reverse("packet-file-review", args=[file.pk]))).startswith(b"%PDF")
    assert as_user(office).get(reverse("packet-file-signing-copy", args=[file.pk])).status_code == 403
    assert as_user(office).post(reverse("packet-file-upload", args=[file.pk])).status_code == 403


def test_another_engineer_finds_no_packet(as_user, design):
    packet = _packet(design)
    other = a_user("engineer")
    assert as_user(other).get(reverse("packet-detail", args=[packet.pk])).status_code == 404
    for name in ("review", "signing-copy", "stamped"):
        url = reverse(f"packet-file-{name}", args=[packet.files.first().pk])
        assert as_user(other).get(url).status_code == 404


def test_a_crew_gets_no_review_copy(as_user, design):
    lead = a_user("installer")
    a_work_order(design, lead=lead)
    packet = _packet(design)
    page = as_user(lead).get(reverse("packet-detail", args=[packet.pk])).content.decode()
    assert "Review copy" not in page
    assert "Download signing copy" not in page
    for name in ("review", "signing-copy"):
        url = reverse(f"packet-file-{name}", args=[packet.files.first().pk])
        assert as_user(lead).get(url).status_code == 403


def test_an_upload_of_nothing_is_refused_in_words(as_user, design, engineer):
    packet = _packet(design)
    answer = as_user(engineer).post(reverse("packet-file-upload", args=[packet.files.first().pk]))
    assert answer.status_code == 409
    assert "Choose the signed PDF first." in answer.content.decode()


def test_every_reason_against_an_upload_is_shown(as_user, design, engineer, settings, monkeypatch):
    def _refuse(**facts):
        raise Refused("The file is not the signing copy.", "Your licence expired.")

    monkeypatch.setattr("reports.web.packets.accept_signed_upload", _refuse)
    packet = _packet(design)
    url = reverse("packet-file-upload", args=[packet.files.first().pk])
    answer = as_user(engineer).post(url, {"file": SimpleUploadedFile("a.pdf", b"x")})
    assert answer.status_code == 409
    page = answer.content.decode()
    assert "The file is not the signing copy." in page
    assert "Your licence expired." in page
    settings.STEMWALL_UPLOAD_LIMIT_MB = 0
    answer = as_user(engineer).post(url, {"file": SimpleUploadedFile("a.pdf", b"large")})
    assert "larger than 0 MB" in answer.content.decode()


# --- API -------------------------------------------------------------------------------------------------------------
@pytest.fixture
def api():
    def _api(user):
        caller = APIClient()
        caller.force_authenticate(user)
        return caller

    return _api


def test_the_api_asks_watches_and_fetches(api, design, engineer):
    caller = api(engineer)
    asked = caller.post(reverse("api-document-list"), {"kind": "plan_set", "design": design.pk})
    assert (asked.status_code, asked.json()["state"]) == (202, "queued")
    one = reverse("api-document-detail", args=[asked.json()["id"]])
    file = reverse("api-document-file", args=[asked.json()["id"]])
    assert caller.get(file).status_code == 404
    render_here(asked.json()["id"])
    assert caller.get(one).json()["pages"] == 1
    answer = caller.get(file, headers={"Accept": "application/pdf"})
    assert _body(answer).startswith(b"%PDF")


def test_the_api_hides_what_is_not_yours(api, design):
    document = _document(design)
    caller = api(a_user("engineer"))
    assert caller.get(reverse("api-document-list")).json()["results"] == []
    assert caller.get(reverse("api-document-detail", args=[document.pk])).status_code == 404
    wish = {"kind": "plan_set", "design": design.pk}
    assert caller.post(reverse("api-document-list"), wish).status_code == 404


def test_the_api_says_what_does_not_fit(api, design, engineer):
    answer = api(engineer).post(reverse("api-document-list"), {"kind": "work_order", "design": design.pk})
    assert answer.status_code == 400
    assert answer.headers["Content-Type"] == "application/problem+json"
    assert answer.json()["errors"] == [
        {"field": "subject", "message": "Needed for a work order, and for nothing else."}
    ]


def test_the_api_makes_a_packet_or_says_why_not(api, design, engineer):
    answer = api(engineer).post(reverse("api-make-packet"), {"design": design.pk})
    assert (answer.status_code, len(answer.json()["files"])) == (201, 2)
    study = a_design(job=a_job(engineer=engineer), quantity_study=True)
    refused = api(engineer).post(reverse("api-make-packet"), {"design": study.pk})
    assert refused.status_code == 409
    assert "quantity study" in refused.json()["reasons"][0]
    assert api(a_user("installer")).post(reverse("api-make-packet"), {"design": design.pk}).status_code == 403
