"""The office's pages: logging in, the list of jobs, the job and what can be done there."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from jobs.models import Job, WorkOrder
from jobs.services import jobs as job_service
from jobs.services import stages
from tests.factories import (
    PASSWORD,
    ClientFactory,
    CrewFactory,
    CriteriaSheetFactory,
    HouseFactory,
    JobFactory,
    ReviewCommentFactory,
    UserFactory,
    WorkOrderFactory,
)
from tests.issued import issued_design
from tests.jobs.pages import as_sent, logged_in

pytestmark = pytest.mark.django_db


def text(response):
    return response.content.decode()


# --- logging in ----------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("roles", "first"),
    [
        (["office"], "job-list"),
        (["estimator", "installer"], "job-list"),
        (["engineer"], "review-list"),
        (["installer"], "today"),
    ],
)
def test_each_role_lands_on_its_own_first_page(roles, first):
    user = UserFactory(roles=roles)
    client = Client()
    response = client.post(reverse("login"), {"username": user.username, "password": PASSWORD}, follow=True)
    assert response.redirect_chain[-1][0] == reverse(first)


def test_a_user_without_a_role_is_told_whom_to_ask():
    assert "no role yet" in text(logged_in().get(reverse("home")))


def test_a_wrong_password_says_so_and_keeps_the_name():
    response = Client().post(reverse("login"), {"username": "someone", "password": "wrong"})
    assert "do not match" in text(response)
    assert 'value="someone"' in text(response)


def test_the_tenth_wrong_password_rests_the_log_in():
    user = UserFactory(roles=["office"])
    client = Client()
    for _ in range(10):
        response = client.post(reverse("login"), {"username": user.username, "password": "wrong"})
    assert response.status_code == 429
    assert "Log-in is resting" in text(response)
    again = client.post(reverse("login"), {"username": user.username, "password": PASSWORD})
    assert again.status_code == 429


@pytest.mark.parametrize(
    ("roles", "offered", "absent"),
    [
        (["office"], ["job-list", "client-list", "today", "admin:index"], ["review-list"]),
        (["estimator"], ["job-list", "client-list"], ["review-list", "today", "admin:index"]),
        (["engineer"], ["review-list"], ["client-list", "today", "admin:index"]),
        (["installer"], ["today"], ["client-list", "review-list", "admin:index"]),
    ],
)
def test_the_bar_offers_only_what_the_role_may_open(roles, offered, absent):
    page = text(logged_in(*roles).get(reverse("job-list")))
    bar = page[page.index("<nav") : page.index("</nav>")]
    assert all(f'href="{reverse(name)}"' in bar for name in offered)
    assert not any(f'href="{reverse(name)}"' in bar for name in absent)


def test_no_page_carries_script_or_inline_style():
    job = JobFactory()
    client = logged_in("office")
    for address in (
        reverse("job-list"),
        reverse("job-detail", args=[job.pk]),
        reverse("house-detail", args=[job.house_id]),
    ):
        page = text(client.get(address))
        assert "<script" not in page
        assert " style=" not in page


# --- the list ------------------------------------------------------------------------------------------------------
def numbers(response):
    return {job.number for job in response.context["page"]}


def test_each_word_of_a_search_must_be_found():
    wanted = JobFactory(title="Brace", house=HouseFactory(client=ClientFactory(name="Kim Placeholder")))
    JobFactory(title="Brace")
    assert numbers(logged_in("office").get(reverse("job-list"), {"q": "placeholder brace"})) == {wanted.number}


def test_a_search_by_address_or_number():
    job = JobFactory(house=HouseFactory(address="77 Trial Lane"))
    JobFactory()
    client = logged_in("estimator")
    assert numbers(client.get(reverse("job-list"), {"q": "trial lane"})) == {job.number}
    assert numbers(client.get(reverse("job-list"), {"q": job.number})) == {job.number}


def test_an_engineer_can_not_search_by_client():
    engineer = logged_in("engineer")
    JobFactory(assigned_engineer=engineer.user, house=HouseFactory(client=ClientFactory(name="Kim Placeholder")))
    response = engineer.get(reverse("job-list"), {"q": "placeholder"})
    assert numbers(response) == set()
    assert "Kim Placeholder" not in text(engineer.get(reverse("job-list")))


def test_the_stage_filter_stands_in_the_address():
    surveyed, inquiry, lost = JobFactory(stage="surveyed"), JobFactory(), JobFactory(stage="lost")
    client = logged_in("office")
    assert numbers(client.get(reverse("job-list"), {"stage": "surveyed"})) == {surveyed.number}
    assert numbers(client.get(reverse("job-list"))) == {surveyed.number, inquiry.number}
    assert numbers(client.get(reverse("job-list"), {"stage": "all"})) == {surveyed.number, inquiry.number, lost.number}


def test_the_list_says_what_a_job_waits_for_and_since_when():
    office = logged_in("office")
    job = job_service.create_job(
        house_id=HouseFactory().pk, title="Brace", legal_basis="voluntary lateral alteration", by=office.user
    )
    job_service.edit_job(
        job_id=job.pk,
        seen_version=1,
        changes={"waiting_for_who": "owner", "waiting_for_what": "access"},
        by=office.user,
    )
    response = office.get(reverse("job-list"))
    assert "owner: access" in text(response)
    assert response.context["page"][0].since.date() == timezone.now().date()


def test_the_list_comes_in_pages_that_keep_the_search():
    for _ in range(27):
        JobFactory(title="Brace")
    response = logged_in("office").get(reverse("job-list"), {"q": "brace", "page": 2})
    assert len(response.context["page"]) == 2
    assert "?q=brace&amp;page=1" in text(response)


def test_the_list_asks_as_many_queries_for_many_jobs_as_for_one(django_assert_max_num_queries):
    client = logged_in("office")
    JobFactory()
    client.get(reverse("job-list"))
    for _ in range(10):
        JobFactory()
    with django_assert_max_num_queries(8):
        client.get(reverse("job-list"))


# --- the job -------------------------------------------------------------------------------------------------------
def test_a_hidden_job_is_not_there():
    job = JobFactory()
    for role in ("engineer", "installer"):
        assert logged_in(role).get(reverse("job-detail", args=[job.pk])).status_code == 404


def test_the_crew_sees_the_job_without_the_client_or_the_criteria():
    order = WorkOrderFactory(design=issued_design())
    client = Client()
    client.force_login(order.crew.lead)
    page = text(client.get(reverse("job-detail", args=[order.job_id])))
    assert order.job.house.address in page
    assert order.job.house.client.name not in page
    assert "Criteria sheet" not in page
    assert "Demo screw" not in page
    assert "Log</h2>" not in page


def test_a_move_shows_every_reason_against_it():
    job = JobFactory(stage="permit issued")
    page = text(logged_in("office").get(reverse("job-detail", args=[job.pk])))
    for reason in stages.reasons_against(job, "released"):
        assert reason.replace("'", "&#x27;") in page


def test_a_refused_move_answers_409_and_the_job_stays():
    job = JobFactory()
    response = logged_in("office").post(
        reverse("job-move", args=[job.pk]), {"to": "survey booked", "seen_stage": "inquiry"}
    )
    assert response.status_code == 409
    assert "The job stays where it is" in text(response)
    job.refresh_from_db()
    assert job.stage == "inquiry"


def test_a_move_is_made_and_logged():
    job = JobFactory(survey_on=timezone.localdate())
    office = logged_in("office")
    response = office.post(
        reverse("job-move", args=[job.pk]), {"to": "survey booked", "seen_stage": "inquiry"}, follow=True
    )
    assert "is now: survey booked" in text(response)
    assert "moved: inquiry → survey booked" in text(response)


def test_a_move_from_a_stage_that_has_passed_is_refused():
    job = JobFactory(stage="surveyed")
    response = logged_in("office").post(
        reverse("job-move", args=[job.pk]), {"to": "lost", "seen_stage": "inquiry", "note": "gone"}
    )
    assert response.status_code == 409
    assert "Someone moved this job" in text(response)


def test_a_move_to_no_stage_is_not_found():
    job = JobFactory()
    assert logged_in("office").post(reverse("job-move", args=[job.pk]), {"to": "nowhere"}).status_code == 404


def test_a_move_of_another_role_is_absent_and_refused():
    job = JobFactory(stage="permit issued")
    estimator = logged_in("estimator")
    assert "Move to: released" not in text(estimator.get(reverse("job-detail", args=[job.pk])))
    response = estimator.post(reverse("job-move", args=[job.pk]), {"to": "released", "seen_stage": "permit issued"})
    assert response.status_code == 403


def test_ending_a_job_needs_its_reason():
    job = JobFactory()
    office = logged_in("office")
    address = reverse("job-move", args=[job.pk])
    assert office.post(address, {"to": "lost", "seen_stage": "inquiry"}).status_code == 409
    assert office.post(address, {"to": "lost", "seen_stage": "inquiry", "note": "chose another"}).status_code == 302


def test_hold_and_lift():
    job = JobFactory()
    office = logged_in("office")
    page = text(office.post(reverse("job-hold", args=[job.pk]), {"reason": "Owner travels"}, follow=True))
    assert "On hold since" in page
    assert "Owner travels" in page
    office.post(reverse("job-hold-lift", args=[job.pk]))
    assert Job.objects.get().current_hold is None


def test_a_hold_without_a_reason_is_refused():
    job = JobFactory()
    response = logged_in("office").post(reverse("job-hold", args=[job.pk]), {"reason": " "})
    assert response.status_code == 409
    assert "Give the reason for the hold." in text(response)


def test_the_office_assigns_the_engineer():
    job, engineer = JobFactory(), UserFactory(roles=["engineer"])
    address = reverse("job-assign", args=[job.pk])
    assert logged_in("estimator").post(address, {"engineer": engineer.pk, "version": 1}).status_code == 403
    logged_in("office").post(address, {"engineer": engineer.pk, "version": 1})
    assert Job.objects.get().assigned_engineer == engineer


def test_the_city_approved_set_is_kept_and_comes_back():
    job = JobFactory()
    office = logged_in("office")
    file = SimpleUploadedFile("approved.pdf", b"%PDF-1.7 approved", content_type="application/pdf")
    office.post(reverse("job-city-set", args=[job.pk]), {"city_set": file, "version": 1})
    answer = office.get(reverse("job-city-set-file", args=[job.pk]))
    assert b"".join(answer.streaming_content) == b"%PDF-1.7 approved"
    assert Job.objects.get().city_set_uploaded_on == timezone.localdate()


def test_a_city_set_that_is_no_pdf_is_refused():
    job = JobFactory()
    file = SimpleUploadedFile("approved.pdf", b"not it", content_type="application/pdf")
    response = logged_in("office").post(reverse("job-city-set", args=[job.pk]), {"city_set": file, "version": 1})
    assert response.status_code == 409
    assert "is not a PDF file" in text(response)


def test_the_criteria_sheet_starts_from_the_standing_template():
    job = JobFactory()
    office = logged_in("office")
    address = reverse("job-criteria-start", args=[job.pk])
    assert "no standing criteria template" in text(office.post(address))
    CriteriaSheetFactory(job=None, jurisdiction=job.house.jurisdiction)
    assert "not confirmed" in text(office.post(address, follow=True))


def test_an_engineers_comment_is_marked_as_dealt_with():
    comment = ReviewCommentFactory()
    office = logged_in("office")
    address = reverse("job-comment-resolve", args=[comment.job_id])
    for wrong in ("", "first", ReviewCommentFactory().pk):
        assert office.post(address, {"comment": wrong}).status_code == 404
    office.post(address, {"comment": comment.pk})
    comment.refresh_from_db()
    assert comment.resolved_at is not None


# --- opening and editing -------------------------------------------------------------------------------------------
def test_a_new_job_gets_the_next_number_of_the_year():
    house = HouseFactory()
    facts = {"house": house.pk, "title": "Brace", "legal_basis": "voluntary lateral alteration"}
    response = logged_in("estimator").post(reverse("job-create"), facts, follow=True)
    assert f"Job {timezone.localdate():%y}-0001 is open." in text(response)


def test_a_new_job_without_a_title_says_where():
    response = logged_in("estimator").post(reverse("job-create"), {"house": HouseFactory().pk})
    assert response.status_code == 400
    assert '<a href="#id_title">Title</a>' in text(response)


def test_the_office_enters_dates():
    job = JobFactory()
    office = logged_in("office")
    address = reverse("job-edit", args=[job.pk])
    today = timezone.localdate()
    sent = as_sent(office.get(address)) | {"contract_signed_on": today.isoformat(), "permit_number": "B-1",
                                           "permit_issued_on": today.isoformat()}  # fmt: skip
    assert office.post(address, sent).status_code == 302
    job.refresh_from_db()
    assert (job.contract_signed_on, job.permit_number) == (today, "B-1")


def test_permit_dates_are_not_on_the_estimators_form():
    job = JobFactory()
    estimator = logged_in("estimator")
    address = reverse("job-edit", args=[job.pk])
    sent = as_sent(estimator.get(address))
    assert "permit_number" not in sent
    estimator.post(address, sent | {"permit_number": "B-1", "permit_issued_on": timezone.localdate().isoformat()})
    job.refresh_from_db()
    assert job.permit_number == ""


def test_a_day_that_lies_ahead_is_refused_and_kept_in_the_form():
    job = JobFactory()
    office = logged_in("office")
    address = reverse("job-edit", args=[job.pk])
    ahead = (timezone.localdate() + timedelta(days=3)).isoformat()
    response = office.post(address, as_sent(office.get(address)) | {"contract_signed_on": ahead})
    assert response.status_code == 400
    assert "lies ahead" in text(response)
    assert f'value="{ahead}"' in text(response)


def test_a_permit_number_without_its_date_says_what_is_missing():
    job = JobFactory()
    office = logged_in("office")
    address = reverse("job-edit", args=[job.pk])
    response = office.post(address, as_sent(office.get(address)) | {"permit_number": "B-1"})
    assert response.status_code == 400
    assert "A permit has a number and the date it was issued." in text(response)


def test_a_stale_save_loses_nothing_and_says_who_changed_what():
    job = JobFactory()
    office, other = logged_in("office"), UserFactory(roles=["office"], first_name="Kay", last_name="Colleague")
    address = reverse("job-edit", args=[job.pk])
    sent = as_sent(office.get(address))
    job_service.edit_job(job_id=job.pk, seen_version=1, changes={"title": "Theirs"}, by=other)

    response = office.post(address, sent | {"title": "Mine"})
    page = text(response)
    assert response.status_code == 409
    assert 'value="Mine"' in page
    assert "Kay Colleague" in page
    assert '<td class="pre">Mine</td><td class="pre">Theirs</td>' in page
    assert Job.objects.get().title == "Theirs"

    assert office.post(address, as_sent(response)).status_code == 302
    assert Job.objects.get().title == "Mine"


def test_a_form_without_its_version_is_not_understood():
    job = JobFactory()
    office = logged_in("office")
    address = reverse("job-edit", args=[job.pk])
    sent = as_sent(office.get(address))
    del sent["version"]
    assert office.post(address, sent).status_code == 400


# --- field work ----------------------------------------------------------------------------------------------------
def test_the_office_books_a_crew():
    design, crew = issued_design(), CrewFactory()
    office = logged_in("office")
    day = timezone.localdate() + timedelta(days=2)
    facts = {"design": design.pk, "crew": crew.pk, "day": day.isoformat(), "wall_line_labels": ["A", "1"]}
    assert office.post(reverse("work-order-create", args=[design.job_id]), facts).status_code == 302
    order = WorkOrder.objects.get()
    assert (order.day, order.wall_line_labels) == (day, ["A", "1"])


def test_booking_without_a_wall_line_says_so():
    design, crew = issued_design(), CrewFactory()
    facts = {"design": design.pk, "crew": crew.pk, "day": timezone.localdate().isoformat()}
    response = logged_in("office").post(reverse("work-order-create", args=[design.job_id]), facts)
    assert response.status_code == 400
    assert "Wall lines" in text(response)


def test_an_inspection_is_written_down_with_its_items():
    order = WorkOrderFactory(design=issued_design())
    Job.objects.filter(pk=order.job_id).update(stage="in progress")
    office = logged_in("office")
    address = reverse("inspection-record", args=[order.job_id])
    sent = as_sent(office.get(address)) | {
        "stage": "anchors", "day": timezone.localdate().isoformat(), "inspector": "Inspector Sample",
        "items-0-wall_line_label": "A", "items-0-text": "plate washers", "items-0-result": "fail",
    }  # fmt: skip
    page = text(office.post(address, sent, follow=True))
    assert "Written down" in page
    assert '<span class="status status-fail">fail</span>' in page
