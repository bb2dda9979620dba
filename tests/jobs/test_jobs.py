"""Opening jobs, their dated facts, holds; what a job's design proposes for each line."""

from datetime import date, timedelta

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.utils import timezone

from jobs.errors import Refused, Stale
from jobs.models import Stage
from jobs.services import jobs, line_choices
from tests.factories import (
    EvaluatedFactory,
    HouseFactory,
    JobFactory,
    NailFactory,
    UserFactory,
    WallLineFactory,
)

pytestmark = pytest.mark.django_db
BASIS = "voluntary lateral alteration"
PDF = b"%PDF-1.7 approved"


@pytest.fixture
def office():
    return UserFactory(roles=["office"])


@pytest.fixture
def estimator():
    return UserFactory(roles=["estimator"])


def edit(job, by, version=1, **changes):
    return jobs.edit_job(job_id=job.pk, seen_version=version, changes=changes, by=by)


def test_jobs_are_numbered_within_the_year(estimator):
    house = HouseFactory()
    JobFactory(number="T-9999")
    numbers = [
        jobs.create_job(house_id=house.pk, title="Brace", legal_basis=BASIS, by=estimator).number for _ in range(2)
    ]
    year = f"{timezone.localdate():%y}"
    assert numbers == [f"{year}-0001", f"{year}-0002"]


def test_a_job_starts_as_an_inquiry_and_is_logged(estimator):
    job = jobs.create_job(house_id=HouseFactory().pk, title="Brace", legal_basis=BASIS, by=estimator)
    assert (job.stage, job.events.get().what) == (Stage.INQUIRY, "job.create")
    with pytest.raises(ValidationError, match="legal_basis"):
        jobs.create_job(house_id=job.house_id, title="Brace", legal_basis="none", by=estimator)
    with pytest.raises(Refused, match="not an estimator"):
        jobs.create_job(
            house_id=job.house_id,
            title="Brace",
            legal_basis=BASIS,
            by=estimator,
            estimator=UserFactory(roles=["installer"]),
        )


def test_the_stage_is_not_edited(estimator):
    with pytest.raises(Exception, match="no field 'stage'"):
        edit(JobFactory(), estimator, stage="closed")


def test_facts_of_the_permit_are_the_offices(office, estimator):
    job = JobFactory()
    edit(job, estimator, survey_on=date(2026, 11, 20))
    with pytest.raises(PermissionDenied):
        edit(job, estimator, version=2, permit_applied_on=date(2026, 11, 20))
    edit(job, office, version=2, permit_number="B-1", permit_issued_on=timezone.localdate())
    with pytest.raises(ValidationError, match="number and the date"):
        edit(job, office, version=3, permit_number="")
    with pytest.raises(Stale):
        edit(job, office, version=1, title="x")


@pytest.mark.parametrize("name", jobs.HAPPENED)
def test_what_happened_lies_behind(office, name):
    with pytest.raises(Refused, match="lies ahead"):
        edit(JobFactory(), office, **{name: timezone.localdate() + timedelta(days=1)})


def test_the_legal_basis_is_frozen_at_application(office):
    job = JobFactory(permit_applied_on=date(2026, 11, 1))
    edit(job, office, legal_basis=job.legal_basis)
    with pytest.raises(Refused, match="legal basis is frozen"):
        edit(job, office, version=2, legal_basis="local mandate")


def test_a_job_that_is_over_stays_as_it_is(office):
    job = JobFactory(stage=Stage.LOST)
    for act in (
        lambda: edit(job, office, title="x"),
        lambda: jobs.hold(job_id=job.pk, reason="x", by=office),
        lambda: jobs.upload_city_set(job_id=job.pk, seen_version=1, name="a.pdf", data=PDF, by=office),
    ):
        with pytest.raises(Refused, match="The job is lost"):
            act()


def test_an_engineer_is_assigned_by_the_office(office, estimator):
    job, engineer = JobFactory(), UserFactory(roles=["engineer"])
    wish = {"job_id": job.pk, "seen_version": 1}
    with pytest.raises(PermissionDenied):
        jobs.assign_engineer(engineer_id=engineer.pk, by=estimator, **wish)
    with pytest.raises(Refused, match="not an engineer"):
        jobs.assign_engineer(engineer_id=estimator.pk, by=office, **wish)
    assert jobs.assign_engineer(engineer_id=engineer.pk, by=office, **wish).assigned_engineer == engineer


def test_the_city_set_is_kept_with_its_hash(office, estimator):
    job = JobFactory()
    wish = {"job_id": job.pk, "seen_version": 1, "name": "set.pdf"}
    with pytest.raises(PermissionDenied):
        jobs.upload_city_set(data=PDF, by=estimator, **wish)
    with pytest.raises(Refused, match="not a PDF"):
        jobs.upload_city_set(data=b"picture", by=office, **wish)
    job = jobs.upload_city_set(data=PDF, by=office, **wish)
    job.refresh_from_db()
    assert len(job.city_set_sha256) == 64
    assert job.city_set_uploaded_on == timezone.localdate()
    with job.city_set.open() as kept:
        assert kept.read() == PDF


def test_a_hold_is_dated_and_there_is_one_at_a_time(office, estimator):
    job = JobFactory()
    with pytest.raises(PermissionDenied):
        jobs.hold(job_id=job.pk, reason="x", by=estimator)
    with pytest.raises(Refused, match="Give the reason"):
        jobs.hold(job_id=job.pk, reason=" ", by=office)
    assert jobs.hold(job_id=job.pk, reason="decay", by=office).since == timezone.localdate()
    with pytest.raises(Refused, match="on hold already"):
        jobs.hold(job_id=job.pk, reason="decay", by=office)
    assert jobs.lift_hold(job_id=job.pk, by=office).until == timezone.localdate()
    with pytest.raises(Refused, match="not on hold"):
        jobs.lift_hold(job_id=job.pk, by=office)


# --- line choices --------------------------------------------------------------------------------------------------
def choose(job, line, by, version=None, **choices):
    sheathing = {"sheathing_grade": "Sheathing", "sheathing_thickness": "15/32", "sheathing_nail": NailFactory()}
    wanted = {} if version else sheathing
    return line_choices.set_line_choice(
        job_id=job.pk, wall_line_id=line.pk, seen_version=version, by=by, **wanted | choices
    )


def test_a_line_is_given_its_methods_over_the_version_seen(estimator):
    job, screw = JobFactory(), EvaluatedFactory()
    line = WallLineFactory(house=job.house)
    choose(job, line, estimator, floor_to_plate=screw)
    choose(job, line, estimator, version=1, alternatives=[screw], stitch_nail=NailFactory())
    with pytest.raises(Stale):
        choose(job, line, estimator, version=1, floor_to_plate=None)
    with pytest.raises(Stale):
        choose(job, line, estimator)
    row = job.line_choices.get()
    assert (row.floor_to_plate, row.version, list(row.alternatives.all())) == (screw, 2, [screw])


def test_a_connector_goes_where_its_kind_goes(estimator):
    job = JobFactory()
    line = WallLineFactory(house=job.house)
    with pytest.raises(ValidationError, match="does not go here"):
        choose(job, line, estimator, tie_down=EvaluatedFactory())
    with pytest.raises(ValidationError, match="another house"):
        choose(JobFactory(), line, estimator)
    with pytest.raises(PermissionDenied):
        choose(job, line, UserFactory(roles=["engineer"]))
