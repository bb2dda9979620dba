"""A document from request to file: asked once, drawn once, safe to deliver twice, late or never."""

from __future__ import annotations

import json
from datetime import date

import pytest
from celery.exceptions import SoftTimeLimitExceeded
from django.core.exceptions import PermissionDenied

from jobs.errors import Refused
from jobs.models import Inspection, Job, JobEvent
from reports import merging, rendering, storage
from reports.models import Document, Kind, State
from reports.rendering import NotRenderable
from reports.sections import sha256_of
from reports.services import leases
from reports.services.documents import cancel_document, render_here
from tests.reports.papers import text_of
from tests.reports.rows import a_design, a_job, a_user, a_work_order

pytestmark = pytest.mark.django_db


# --- the usual way ---------------------------------------------------------------------------------------------------
def test_from_request_to_file(workers, ask):
    document = ask(kind="plan_set", design_id=a_design().pk)
    assert document.state == State.QUEUED
    workers.work()
    document.refresh_from_db()
    assert (document.state, document.sections_done, document.sections_total) == (State.READY, 3, 3)
    assert (document.holder, document.lease_until, document.problem) == ("", None, "")
    pdf = storage.read(document.file)
    assert sha256_of(pdf) == document.file_sha256
    assert document.pages == 3
    for page, note in enumerate(("first", "second", "third"), start=1):
        assert f"plan_set: {note}" in text_of(pdf, page=page)


def test_each_section_is_a_message_of_its_own(workers, ask):
    document = ask(kind="plan_set", design_id=a_design().pk)
    task, args = workers.messages.pop()
    assert (task, args) == ("reports.tasks.render_document", (document.pk,))
    workers.messages.append((task, args))
    workers.work(deliver=lambda name: 1 if name == "render_document" else 0)
    document.refresh_from_db()
    assert (document.state, document.sections_done, document.sections_total) == (State.RENDERING, 0, 3)


def test_asked_twice_is_drawn_once(workers, ask):
    design = a_design()
    first = ask(kind="plan_set", design_id=design.pk)
    second = ask(kind="plan_set", design_id=design.pk)
    assert first.pk == second.pk
    assert len(workers.sent("render_document")) == 1


def test_in_this_process_without_workers(workers, ask):
    document = ask(kind="calculations", design_id=a_design().pk)
    assert render_here(document.pk).state == State.READY


def test_the_same_inputs_give_the_same_file_without_drawing_again(workers, ask, drawn):
    design = a_design()
    first = render_here(ask(kind="plan_set", design_id=design.pk).pk)
    Document.objects.all().delete()
    second = render_here(ask(kind="plan_set", design_id=design.pk).pk)
    assert first.file_sha256 == second.file_sha256
    assert sorted(drawn) == ["note 1", "note 2", "note 3"]


def test_only_a_changed_section_is_drawn_again(workers, ask, drawn):
    job = a_job()
    render_here(ask(kind="plan_set", design_id=a_design(job=job).pk).pk)
    changed = a_design(job=job, revision=2, notes=["first", "other", "third"])
    document = render_here(ask(kind="plan_set", design_id=changed.pk).pk)
    assert sorted(drawn) == ["note 1", "note 2", "note 2", "note 3"]
    assert "Revision 2" in text_of(storage.read(document.file), page=1)


def test_a_work_order_paper_speaks_of_its_work_order(workers, ask):
    design = a_design()
    order = a_work_order(design)
    document = render_here(ask(kind="work_order", design_id=design.pk, subject_id=order.pk).pk)
    assert f"for {design.job.number}-W{order.number} on 2026-11-25" in text_of(storage.read(document.file))
    assert document.file_name.endswith(f"-r1-work-order-{order.pk}.pdf")


def test_a_work_order_paper_has_what_its_job_recorded(workers, ask):
    order = a_work_order(a_design())
    order.crew.members.add(order.crew.lead, helper := a_user("installer"))
    Job.objects.filter(pk=order.job_id).update(permit_number="B-7", permit_issued_on=date(2026, 11, 20))
    Inspection.objects.create(
        job=order.job, stage="anchors", day=date(2026, 11, 24), inspector="I. Sample", result="pass",
        recorded_by=helper,
    )  # fmt: skip
    document = ask(kind="work_order", design_id=order.design_id, subject_id=order.pk)
    subject = json.loads(document.snapshot)["subject"]
    assert subject["permit"] == {"number": "B-7", "issued_on": "2026-11-20"}
    assert subject["city_set"] == {"sha256": "", "uploaded_on": ""}
    assert subject["members"] == [helper.display_name]
    assert [(visit["stage"], visit["result"]) for visit in subject["inspections"]] == [("anchors", "pass")]


@pytest.mark.parametrize(("kind", "with_order"), [("work_order", False), ("plan_set", True)])
def test_a_subject_where_it_belongs(workers, ask, kind, with_order):
    design = a_design()
    subject = a_work_order(design).pk if with_order else None
    with pytest.raises(ValueError, match=r"work order|subject"):
        ask(kind=kind, design_id=design.pk, subject_id=subject)


def test_a_work_order_of_another_design_is_no_subject(workers, ask):
    order = a_work_order(a_design())
    with pytest.raises(type(order).DoesNotExist):
        ask(kind="work_order", design_id=a_design().pk, subject_id=order.pk)


def test_crews_do_not_ask_for_papers(workers, ask):
    with pytest.raises(PermissionDenied):
        ask(kind="plan_set", design_id=a_design().pk, by=a_user("installer"))


# --- delivered twice, late, never -----------------------------------------------------------------------------------
def test_every_message_delivered_twice(workers, ask, monkeypatch, drawn):
    merges = []
    real = merging.merge
    monkeypatch.setattr(merging, "merge", lambda **facts: merges.append(1) or real(**facts))
    document = ask(kind="plan_set", design_id=a_design().pk)
    workers.work(deliver=lambda name: 2)
    document.refresh_from_db()
    assert document.state == State.READY
    assert (len(drawn), len(merges)) == (3, 1)


def test_a_message_after_the_end_changes_nothing(workers, ask):
    document = ask(kind="plan_set", design_id=a_design().pk)
    late = list(workers.messages)
    workers.work()
    before = Document.objects.values().get(pk=document.pk)
    workers.messages += late
    workers.work()
    assert Document.objects.values().get(pk=document.pk) == before


def test_a_lost_section_message_is_made_up_for(workers, ask, drawn):
    document = ask(kind="plan_set", design_id=a_design().pk)
    lost = iter([0])
    workers.work(deliver=lambda name: next(lost, 1) if name == "render_section" else 1)
    document.refresh_from_db()
    assert (document.state, document.sections_done) == (State.RENDERING, 2)
    _expire(document)
    assert leases.sweep() == [document.pk]
    workers.messages.append(("reports.tasks.render_document", (document.pk,)))
    workers.work()
    document.refresh_from_db()
    assert document.state == State.READY
    assert len(drawn) == 3


def test_a_worker_that_lost_its_lease_writes_nothing(workers, ask, drawn):
    document = ask(kind="plan_set", design_id=a_design().pk)
    workers.work(deliver=lambda name: 1 if name == "render_document" else 0)
    old = Document.objects.get(pk=document.pk).holder
    _expire(document)
    leases.sweep()
    assert leases.claim(document.pk, holder="b" * 32)
    sha256 = "ab" * 32
    workers.messages.append(("reports.tasks.render_section", (document.pk, sha256, old)))
    workers.work()
    document.refresh_from_db()
    assert (document.holder, document.sections_done, document.problem) == ("b" * 32, 0, "")
    assert drawn == []


# --- failing ---------------------------------------------------------------------------------------------------------
def test_what_can_not_be_drawn_fails_at_once_with_its_reason(workers, ask, monkeypatch):
    def _refuse(section):
        raise NotRenderable(f"{section.name}: nothing to show for “drawing:plan”")

    monkeypatch.setattr(rendering, "render_section", _refuse)
    document = ask(kind="plan_set", design_id=a_design().pk)
    workers.work()
    document.refresh_from_db()
    assert document.state == State.FAILED
    assert "drawing:plan" in document.problem


def test_what_takes_too_long_fails_and_names_the_sheet(workers, ask, monkeypatch):
    def _dawdle(section):
        raise SoftTimeLimitExceeded

    monkeypatch.setattr(rendering, "render_section", _dawdle)
    document = ask(kind="plan_set", design_id=a_design().pk)
    workers.work()
    document.refresh_from_db()
    assert document.state == State.FAILED
    assert "Stopped while drawing “Sheet N2.0, Sheet note 2”: it took longer than 25 seconds." in document.problem


def test_what_is_too_large_to_be_signed_fails_with_both_sizes(workers, ask, settings):
    settings.STEMWALL_UPLOAD_LIMIT_MB = 0
    document = ask(kind="plan_set", design_id=a_design().pk)
    workers.work()
    document.refresh_from_db()
    assert document.state == State.FAILED
    assert "0 MB are the most" in document.problem


@pytest.mark.parametrize("state", [State.FAILED, State.CANCELLED])
def test_a_document_that_was_given_up_can_be_asked_for_again(workers, ask, state):
    design = a_design()
    document = ask(kind="plan_set", design_id=design.pk)
    Document.objects.filter(pk=document.pk).update(state=state, attempts=5, problem="x")
    workers.messages.clear()
    again = ask(kind="plan_set", design_id=design.pk)
    assert (again.pk, again.state, again.attempts, again.problem) == (document.pk, State.QUEUED, 0, "")
    workers.work()
    again.refresh_from_db()
    assert again.state == State.READY


def test_a_mistake_of_ours_is_tried_five_times_and_then_named(workers, ask, monkeypatch):
    def _break(section):
        raise ZeroDivisionError("scale of nothing")

    monkeypatch.setattr(rendering, "render_section", _break)
    document = ask(kind="plan_set", design_id=a_design().pk)
    for _ in range(leases.MAX_ATTEMPTS):
        _break_down(workers)
        _expire(document)
        workers.messages += [("reports.tasks.render_document", (pk,)) for pk in leases.sweep()]
    document.refresh_from_db()
    assert document.state == State.FAILED
    assert document.problem == "Gave up after 5 attempts without progress: ZeroDivisionError: scale of nothing"
    assert workers.messages == []


def test_attempts_count_from_the_last_progress(workers, ask):
    document = ask(kind="plan_set", design_id=a_design().pk)
    Document.objects.filter(pk=document.pk).update(attempts=4)
    assert leases.claim(document.pk, holder="a" * 32)
    assert leases.progress(document.pk, holder="a" * 32, rendered=True)
    document.refresh_from_db()
    assert document.attempts == 0


def test_waiting_behind_other_papers_is_no_attempt(workers, ask):
    document = ask(kind="plan_set", design_id=a_design().pk)
    for _ in range(2 * leases.MAX_ATTEMPTS):
        workers.work(deliver=lambda name: 1 if name == "render_document" else 0)
        _expire(document)
        workers.messages += [("reports.tasks.render_document", (pk,)) for pk in leases.sweep()]
    workers.work()
    document.refresh_from_db()
    assert document.state == State.READY


# --- cancelling ------------------------------------------------------------------------------------------------------
def test_cancelling_stops_the_work_and_keeps_what_is_drawn(workers, ask, drawn):
    design = a_design()
    document = ask(kind="plan_set", design_id=design.pk)
    first = iter([1])
    workers.work(deliver=lambda name: next(first, 0) if name == "render_section" else 1)
    cancelled = cancel_document(document_id=document.pk, by=a_user("office", first_name="Ana", last_name="Example"))
    assert (cancelled.state, cancelled.problem) == (State.CANCELLED, "Ana Example cancelled it.")
    assert JobEvent.objects.get(what="document.cancel").after == "Permit plan set of revision 1"
    assert ask(kind="plan_set", design_id=design.pk).state == State.QUEUED
    workers.work()
    assert Document.objects.get(pk=document.pk).state == State.READY
    assert sorted(drawn) == ["note 1", "note 2", "note 3"]


def test_a_worker_in_the_middle_finds_the_claim_gone(workers, ask, monkeypatch):
    document = ask(kind="plan_set", design_id=a_design().pk)
    real = rendering.render_section

    def _cancelled_meanwhile(section):
        leases.cancel(document.pk, problem="Ana Example cancelled it.")
        return real(section)

    monkeypatch.setattr(rendering, "render_section", _cancelled_meanwhile)
    workers.work()
    document.refresh_from_db()
    assert (document.state, document.sections_done, document.file) == (State.CANCELLED, 0, "")
    assert leases.sweep() == []


def test_what_has_ended_can_not_be_cancelled(workers, ask):
    document = ask(kind="plan_set", design_id=a_design().pk)
    workers.work()
    with pytest.raises(Refused, match="ready already"):
        cancel_document(document_id=document.pk, by=a_user("office"))
    assert Document.objects.get(pk=document.pk).state == State.READY


def test_crews_do_not_cancel(workers, ask):
    document = ask(kind="plan_set", design_id=a_design().pk)
    with pytest.raises(PermissionDenied):
        cancel_document(document_id=document.pk, by=a_user("installer"))


# --- leases ----------------------------------------------------------------------------------------------------------
def test_one_claim_wins_until_its_lease_runs_out(workers, ask):
    document = ask(kind="plan_set", design_id=a_design().pk)
    assert leases.claim(document.pk, holder="a" * 32)
    assert not leases.claim(document.pk, holder="b" * 32)
    _expire(document)
    assert leases.sweep() == [document.pk]
    assert leases.claim(document.pk, holder="b" * 32)
    assert not leases.finish(document.pk, holder="a" * 32, file="f", file_sha256="0" * 64, pages=1)
    assert not leases.fail(document.pk, holder="a" * 32, problem="x")
    document.refresh_from_db()
    assert (document.holder, document.attempts) == ("b" * 32, 1)


def test_one_of_several_assemblers_wins(workers, ask):
    document = ask(kind="plan_set", design_id=a_design().pk)
    assert leases.claim(document.pk, holder="a" * 32)
    wins = [leases.take_over(document.pk, holder="a" * 32, winner=letter * 32) for letter in "bcd"]
    assert wins == [True, False, False]


def test_progress_renews_the_lease(workers, ask):
    document = ask(kind="plan_set", design_id=a_design().pk)
    leases.claim(document.pk, holder="a" * 32)
    _expire(document)
    leases.progress(document.pk, holder="a" * 32, rendered=False)
    assert not leases.claim(document.pk, holder="b" * 32)
    assert leases.sweep() == []


def test_the_sweep_hints_a_forgotten_request_once(workers, ask, settings):
    document = ask(kind="plan_set", design_id=a_design().pk)
    assert leases.sweep() == []
    Document.objects.filter(pk=document.pk).update(hinted_at="2026-01-01T00:00:00Z")
    assert leases.sweep() == [document.pk]
    assert leases.sweep() == []


# --- who sees what ---------------------------------------------------------------------------------------------------
def test_who_sees_which_papers(workers, ask):
    engineer, lead = a_user("engineer"), a_user("installer")
    design = a_design(job=a_job(engineer=engineer))
    order = a_work_order(design, lead=lead)
    other = a_work_order(design)
    for kind in ("plan_set", "calculations", "inspection_checklist"):
        ask(kind=kind, design_id=design.pk)
    mine = ask(kind="work_order", design_id=design.pk, subject_id=order.pk)
    ask(kind="work_order", design_id=design.pk, subject_id=other.pk)
    ask(kind="plan_set", design_id=a_design().pk)

    def seen(user):
        return sorted(Document.objects.visible_to(user).values_list("kind", flat=True))

    assert len(seen(a_user("office"))) == len(seen(a_user("estimator"))) == 6
    assert len(seen(engineer)) == 5
    assert seen(lead) == ["inspection_checklist", "work_order"]
    assert Document.objects.visible_to(lead).get(kind=Kind.WORK_ORDER) == mine
    assert seen(a_user("installer")) == seen(a_user("engineer")) == []


def test_the_snapshot_of_a_document_is_its_name(workers, ask):
    document = ask(kind="plan_set", design_id=a_design().pk)
    assert sha256_of(document.snapshot) == document.inputs_sha256
    assert json.loads(document.snapshot)["design"]["snapshot_sha256"] == document.design.snapshot_sha256


def _expire(document):
    Document.objects.filter(pk=document.pk).update(lease_until="2026-01-01T00:00:00Z")


def _break_down(workers):
    with pytest.raises(ZeroDivisionError):
        workers.work()
    workers.messages.clear()
