"""Criteria sheets and accepted table sets: the engineer's, named and dated."""

from datetime import date, timedelta

import pytest
from django.core.exceptions import PermissionDenied
from django.utils import timezone

from jobs.errors import Refused, Stale
from jobs.models import CriteriaSheet, TableSetAcceptance
from jobs.services import criteria
from tests.factories import (
    CriteriaSheetFactory,
    EngineerLicenceFactory,
    HouseFactory,
    JobFactory,
    JurisdictionFactory,
    UserFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def engineer():
    return EngineerLicenceFactory().user


@pytest.fixture
def job(engineer):
    job = JobFactory(assigned_engineer=engineer)
    CriteriaSheetFactory(job=None, jurisdiction=job.house.jurisdiction, force_level="full", force_factor=1.0)
    return job


@pytest.fixture
def sheet(job):
    return criteria.start_sheet(job_id=job.pk, by=UserFactory(roles=["estimator"]))


def confirm(sheet, by, version=1):
    return criteria.confirm_sheet(sheet_id=sheet.pk, seen_version=version, by=by)


TEMPLATE = {
    "legal_basis": "voluntary lateral alteration",
    "force_level": "full",
    "force_factor": 1.0,
    "response_modification": 6.5,
    "importance": 1.0,
    "load_duration": 1.6,
    "maximum_connector_spacing_in": 72.0,
    "diaphragm_force_governs": False,
}


def test_a_template_is_the_engineers_one_a_jurisdiction_and_family(engineer):
    place = JurisdictionFactory()
    where = {"jurisdiction_id": place.pk, "code_family": "2021"}
    criteria.save_template(by=engineer, **where, **TEMPLATE)
    criteria.save_template(by=engineer, seen_version=1, **where, force_factor=0.75)
    with pytest.raises(Stale):
        criteria.save_template(by=engineer, **where, **TEMPLATE)
    with pytest.raises(PermissionDenied):
        criteria.save_template(by=UserFactory(roles=["office"]), seen_version=2, **where, force_factor=0.5)
    assert CriteriaSheet.objects.get(job=None).force_factor == 0.75


def test_a_jobs_sheet_starts_as_an_unconfirmed_copy(sheet, job):
    assert (sheet.job, sheet.force_level, sheet.is_confirmed) == (job, "full", False)
    with pytest.raises(Refused, match="already"):
        criteria.start_sheet(job_id=job.pk, by=UserFactory(roles=["office"]))


def test_without_a_template_for_the_adopted_family_there_is_no_sheet(job):
    job.house.jurisdiction.code_family = "2024"
    job.house.jurisdiction.save()
    with pytest.raises(Refused, match="no standing criteria template for the 2024 family"):
        criteria.start_sheet(job_id=job.pk, by=UserFactory(roles=["office"]))


def test_the_assigned_engineer_confirms_named_dated_and_under_a_licence(sheet, engineer):
    row = confirm(sheet, engineer)
    assert (row.confirmed_by, row.confirmed_on) == (engineer, timezone.localdate())
    assert row.confirmed_licence == str(engineer.licences.get())
    assert sheet.job.events.last().what == "criteria.confirm"


def test_nobody_else_confirms_or_edits(sheet):
    for user in (EngineerLicenceFactory().user, *(UserFactory(roles=[r]) for r in ("office", "estimator"))):
        with pytest.raises(PermissionDenied):
            confirm(sheet, user)
        with pytest.raises(PermissionDenied):
            criteria.edit_sheet(sheet_id=sheet.pk, seen_version=1, changes={"force_factor": 0.5}, by=user)


@pytest.mark.parametrize("facts", [{"state": "OR"}, {"expires_on": date(2020, 1, 1)}])
def test_a_licence_of_the_state_in_force_is_needed(sheet, engineer, facts):
    engineer.licences.update(**facts)
    with pytest.raises(Refused, match="No licence of yours for CA"):
        confirm(sheet, engineer)


def test_job_and_sheet_agree_on_the_legal_basis(sheet, engineer):
    CriteriaSheet.objects.filter(pk=sheet.pk).update(legal_basis="local mandate")
    with pytest.raises(Refused, match="make them agree"):
        confirm(sheet, engineer)


def test_a_stale_sheet_is_not_confirmed(sheet, engineer):
    criteria.edit_sheet(sheet_id=sheet.pk, seen_version=1, changes={"force_factor": 0.75}, by=engineer)
    with pytest.raises(Stale):
        confirm(sheet, engineer, version=1)


def test_a_change_takes_the_confirmation_away(sheet, engineer):
    confirm(sheet, engineer)
    row = criteria.edit_sheet(sheet_id=sheet.pk, seen_version=2, changes={"force_factor": 0.75}, by=engineer)
    assert (row.is_confirmed, row.confirmed_licence) == (False, "")


def test_the_family_is_frozen_once_the_permit_is_applied_for(sheet, engineer):
    sheet.job.permit_applied_on = timezone.localdate()
    sheet.job.save()
    with pytest.raises(Refused, match="code family is frozen"):
        criteria.edit_sheet(sheet_id=sheet.pk, seen_version=1, changes={"code_family": "2024"}, by=engineer)


def test_a_template_is_not_confirmed(engineer):
    template = CriteriaSheetFactory(job=None, jurisdiction=HouseFactory().jurisdiction)
    with pytest.raises(PermissionDenied):
        confirm(template, engineer)


# --- table sets ----------------------------------------------------------------------------------------------------
def test_tables_are_accepted_once_under_a_licence_of_ones_own(engineer):
    licence = engineer.licences.get()
    row = criteria.accept_tables(code_family="2021", licence_id=licence.pk, by=engineer)
    assert (row.licence, row.accepted_on) == (str(licence), timezone.localdate())
    with pytest.raises(Refused, match="accepted the 2021 tables already"):
        criteria.accept_tables(code_family="2021", licence_id=licence.pk, by=engineer)
    with pytest.raises(Refused, match="licence of your own"):
        criteria.accept_tables(code_family="2024", licence_id=EngineerLicenceFactory().pk, by=engineer)
    licence.expires_on = timezone.localdate() - timedelta(days=1)
    licence.save()
    with pytest.raises(Refused, match="ran out"):
        criteria.accept_tables(code_family="2024", licence_id=licence.pk, by=engineer)
    assert TableSetAcceptance.objects.count() == 1


def test_tables_are_the_engineers_to_accept(engineer):
    with pytest.raises(PermissionDenied):
        criteria.accept_tables(
            code_family="2021", licence_id=engineer.licences.get().pk, by=UserFactory(roles=["office"])
        )
