"""From survey rows to a frozen design: what is missing, what is assumed, what the snapshot keeps."""

from __future__ import annotations

import hashlib
import json
from datetime import date

import pytest

from engineering import exchange
from engineering.errors import OutOfRange
from engineering.house import assess
from engineering.inputs import HouseInputs
from jobs import assessment, survey_inputs
from jobs.errors import NeverChanged, Refused, Stale
from jobs.models import Company, CriteriaSheet, House, Job, JobEvent
from jobs.services.designs import issue_design
from tests.factories import UserFactory
from tests.issued import issued_design

pytestmark = pytest.mark.django_db


@pytest.fixture
def design():
    return issued_design()


@pytest.fixture
def job(design) -> Job:
    return Job.objects.get(pk=design.job_id)


TODAY = date(2026, 11, 25)


def test_the_snapshot_is_the_text_that_was_hashed_and_its_inputs_give_its_results_again(design):
    assert hashlib.sha256(design.snapshot.encode()).hexdigest() == design.snapshot_sha256
    kept = json.loads(design.snapshot)
    inputs = exchange.loads(HouseInputs, kept["inputs"])
    assert exchange.dumps(assess(inputs)) == kept["result"]
    assert exchange.canonical(kept) == design.snapshot


def test_the_connection_schedule_holds_the_rows_of_the_result_with_their_checks(design):
    kept = json.loads(design.snapshot)["result"]["schedule"]["lines"]
    rows = list(design.connection_schedule.lines.all())
    assert len(rows) == sum(len(line["items"]) for line in kept)
    screws = next(row for row in rows if row.role == "floor to plate")
    assert screws.ratio == pytest.approx(screws.demand / screws.capacity)
    assert len(screws.positions_in) == screws.count


def test_a_panels_anchors_answer_to_the_check_of_their_own_panel(design):
    kept = json.loads(design.snapshot)["result"]["lines"]
    for row in design.connection_schedule.lines.filter(role="sill anchors", panel__isnull=False):
        line = next(line for line in kept if line["label"] == row.wall_line_label)
        link = next(link for link in line["links"] if link["link"] == row.link)
        assert row.capacity == link["parts"][row.panel - 1]["capacity"]


def test_issuing_is_logged_and_a_second_issue_is_the_next_revision(design, job):
    again = issue_design(job_id=job.pk, by=UserFactory(roles=["estimator"]), seen_version=job.version, note="again")
    assert (design.revision, again.revision) == (1, 2)
    event = JobEvent.objects.filter(job=job, what="design.issue").last()
    assert (event.before, event.after, event.note) == ("revision 1", "revision 2", "again")


def test_a_design_is_not_changed(design):
    design.note = "other"
    with pytest.raises(NeverChanged):
        design.save()


def test_a_stale_issue_is_refused(job):
    with pytest.raises(Stale):
        issue_design(job_id=job.pk, by=UserFactory(roles=["estimator"]), seen_version=job.version + 1)


def test_without_a_confirmed_sheet_a_design_is_a_quantity_study_by_the_standing_template(job):
    sheet = CriteriaSheet.objects.get(job=job)
    facts = {field.name: getattr(sheet, field.name) for field in sheet._meta.fields if field.name not in ("id", "job")}
    sheet.delete()
    with pytest.raises(Refused, match="no standing criteria template"):
        assessment.draft(job, on=TODAY)
    template = facts | {"confirmed_by": None, "confirmed_on": None, "confirmed_licence": "", "force_factor": 0.75}
    CriteriaSheet.objects.create(**template)
    job = Job.objects.get(pk=job.pk)
    study = issue_design(job_id=job.pk, by=UserFactory(roles=["estimator"]), seen_version=job.version)
    assert study.quantity_study
    kept = json.loads(study.snapshot)
    assert kept["criteria"]["quantity_study"] is True
    assert kept["inputs"]["criteria"]["force_factor"] == 0.75


def test_everything_missing_is_said_at_once(job):
    line = job.house.wall_lines.first()
    type(line).objects.filter(pk=line.pk).update(rim_thickness_in=None, joists="")
    type(job.house).objects.filter(pk=job.house_id).update(s_ds_g=None)
    with pytest.raises(Refused) as refused:
        assessment.draft(Job.objects.get(pk=job.pk), on=TODAY)
    said = " ".join(refused.value.reasons)
    assert "House: s ds g is missing" in said or "S_DS" in said
    assert f"{line}: rim thickness is missing." in said
    assert f"{line}: joists is missing." in said


def test_a_species_that_nobody_saw_is_the_lowest_of_the_companys_list_for_the_age_and_says_so(job):
    line = job.house.wall_lines.first()
    type(line).objects.filter(pk=line.pk).update(studs_species="", studs_specific_gravity=None)
    Company.objects.update(
        species_list=[
            {"species": "redwood", "specific_gravity": 0.37, "built_from": None, "built_to": 1900},
            {"species": "Hem-Fir", "specific_gravity": 0.43, "built_from": 1900, "built_to": None},
            {"species": "Douglas Fir-Larch", "specific_gravity": 0.5, "built_from": None, "built_to": None},
        ]
    )
    type(job.house).objects.filter(pk=job.house_id).update(year_built=1926)
    job = Job.objects.get(pk=job.pk)
    lines = {one.label: one for one in survey_inputs.house_inputs(job, on=TODAY).lines}
    studs = lines[line.label].framing.studs
    assert (studs.species, studs.specific_gravity) == ("Hem-Fir", 0.43)
    assert "not observed" in studs.basis
    assert any("Hem-Fir" in said for said in assessment.draft(job, on=TODAY).assumptions)


def test_an_expired_report_is_never_used_and_the_open_link_names_it(job):
    result = assessment.draft(job, on=date(2099, 1, 1))
    assert {line.status for line in result.lines} == {"open"}
    assert all("expired on" in " ".join(line.open_links) for line in result.lines)


def test_the_hash_of_the_inputs_follows_the_survey_and_not_the_day(design, job):
    assert assessment.inputs_sha256(job, on=TODAY) == design.inputs_sha256
    panel = job.house.wall_lines.first().panels.first()
    type(panel).objects.filter(pk=panel.pk).update(to_in=panel.to_in - 1)
    assert assessment.inputs_sha256(Job.objects.get(pk=job.pk), on=TODAY) != design.inputs_sha256


def test_small_pieces_not_accepted_are_left_to_accept_and_hash_as_before_that_was_asked(design, job):
    """A sheet from before the question has it off: the design that was issued then is still of the present facts."""
    kept = json.loads(design.snapshot)
    assert kept["criteria"]["small_pieces_accepted"] is True
    assert kept["result"]["to_accept"] == []
    CriteriaSheet.objects.filter(job=job).update(small_pieces_accepted=False)
    House.objects.filter(pk=job.house_id).update(access_opening_width_in=24, access_opening_height_in=18)
    sheet_off = assessment.house_inputs(Job.objects.get(pk=job.pk), on=TODAY)
    assert "small_pieces_accepted_by" not in exchange.essential(sheet_off)["criteria"]
    left = assessment.draft(Job.objects.get(pk=job.pk), on=TODAY).to_accept
    assert left
    assert all("pieces smaller than 4 × 8 ft" in words for words in left)


def test_a_value_that_cannot_be_is_refused_under_its_wall_line(job):
    line = job.house.wall_lines.first()
    panel = line.panels.first()
    type(panel).objects.filter(pk=panel.pk).update(to_in=line.length_in + 60)
    with pytest.raises(OutOfRange, match=rf"^lines\.{line.label}\.panels"):
        assessment.draft(Job.objects.get(pk=job.pk), on=TODAY)
