"""Three invented jobs: one worked through to today's work order, one in review, one just surveyed."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any
from uuid import uuid4

from django.utils import timezone

from jobs.models import Connector, Design, FieldEventKind, Job, Jurisdiction, Packet, Stage, WorkOrder
from jobs.services import criteria, designs, field_work, jobs, line_choices, stages, wall_lines
from jobs.services.stamps import day_text
from reports import demo_engineer, storage
from reports.demo.people import People
from reports.demo.survey import Survey, load_catalogue, load_house, load_jurisdictions
from reports.models import Kind
from reports.services.documents import request_document
from reports.services.packets import make_packet
from reports.services.stamping import accept_signed_upload

LEGAL_BASIS = "voluntary lateral alteration"
CONNECTOR_CHOICES = (
    "sheathing_nail",
    "floor_to_plate",
    "stitch_nail",
    "splice_nail",
    "block_nail",
    "sill_anchor",
    "tie_down",
    "tie_down_anchor",
)
Drawn = Callable[[], None]  # returns once every requested document and packet file is ready


def tell(people: People, today: date, drawn: Drawn) -> list[Job]:
    """Make everything; `drawn` waits for the papers. The jobs come back in the order told."""
    load_catalogue(by=people.office, today=today)
    load_jurisdictions(by=people.office)
    _write_templates(people)
    first = _complete_job(people, today, drawn)
    second = _job_in_review(people, today, drawn)
    third = _surveyed_job(people, today)
    return [first, second, third]


def _complete_job(people: People, today: date, drawn: Drawn) -> Job:
    survey = load_house("flush_end_joist", by=people.estimator, today=today)
    job = _open(people, survey, "Basement walls under a finished ceiling", survey_on=today - timedelta(days=64))
    job, packet = _to_review(people, job, survey, drawn, signed_on=today - timedelta(days=42))
    for file in packet.files.order_by("order"):
        signed = demo_engineer.sign(
            storage.read(file.signing_copy), people.key, licence=people.licence, day=day_text(today)
        )
        accept_signed_upload(packet_file_id=file.pk, data=signed, by=people.engineer)
    job = _move(job, Stage.STAMPED, people.engineer)
    job = _edit(job, people.office, permit_applied_on=today - timedelta(days=20))
    job = _move(job, Stage.SUBMITTED, people.office)
    job = _edit(job, people.office, permit_number="DEMO-26-0417", permit_issued_on=today - timedelta(days=6))
    job = _move(job, Stage.PERMIT_ISSUED, people.office)
    plan_set = packet.files.order_by("order").first()
    jobs.upload_city_set(
        job_id=job.pk,
        seen_version=job.version,
        name="approved set.pdf",
        data=storage.read(plan_set.stamped),
        by=people.office,
    )
    job.refresh_from_db()
    job = _move(job, Stage.RELEASED, people.office)
    _first_day(people, job, packet.design, today)
    drawn()
    job.refresh_from_db()
    return job


def _first_day(people: People, job: Job, design: Design, today: date) -> None:
    """Today's order for walls 1 and 2, begun; tomorrow's for A and B."""
    order = _order(people, job, design, today, ["1", "2"])
    _order(people, job, design, today + timedelta(days=1), ["A", "B"])
    for booked in WorkOrder.objects.filter(job=job):
        field_work.acknowledge_cautions(work_order_id=booked.pk, by=people.installer)
    _move(job, Stage.IN_PROGRESS, people.installer)
    field_work.log_event(
        event_id=uuid4(),
        work_order_id=order.pk,
        wall_line_label="1",
        kind=FieldEventKind.NOTE,
        at_client=timezone.now(),
        by=people.installer,
        payload={"text": "Probe hole at each end of wall 1: the bit came out in the middle of the end joist."},
    )
    for booked in WorkOrder.objects.filter(job=job):
        request_document(kind=Kind.WORK_ORDER, design_id=design.pk, subject_id=booked.pk, by=people.office)
    request_document(kind=Kind.INSPECTION_CHECKLIST, design_id=design.pk, by=people.office)


def _order(people: People, job: Job, design: Design, day: date, labels: list[str]) -> WorkOrder:
    return field_work.create_work_order(
        job_id=job.pk, design_id=design.pk, crew_id=people.crew.pk, day=day, wall_line_labels=labels, by=people.office
    )


def _job_in_review(people: People, today: date, drawn: Drawn) -> Job:
    survey = load_house("crawlspace_in_review", by=people.estimator, today=today)
    job = _open(people, survey, "Crawlspace cripple walls", survey_on=today - timedelta(days=30))
    job, _ = _to_review(people, job, survey, drawn, signed_on=today - timedelta(days=12))
    return _edit(
        job,
        people.office,
        waiting_for_who=people.engineer.display_name,
        waiting_for_what="review and stamp",
        waiting_for_due=today + timedelta(days=4),
    )


def _surveyed_job(people: People, today: date) -> Job:
    survey = load_house("surveyed_with_unknowns", by=people.estimator, today=today)
    job = _open(people, survey, "Crawlspace, several things not observed", survey_on=today - timedelta(days=1))
    _choose(people, job, survey)
    return _edit(
        job,
        people.estimator,
        waiting_for_who=people.estimator.display_name,
        waiting_for_what="the plate joints of wall B",
        waiting_for_due=today + timedelta(days=7),
    )


# --- what every job goes through -------------------------------------------------------------------------------------
def _open(people: People, survey: Survey, title: str, *, survey_on: date) -> Job:
    """A job with its survey done."""
    job = jobs.create_job(
        house_id=survey.house.pk, title=title, legal_basis=LEGAL_BASIS, by=people.estimator, estimator=people.estimator
    )
    job = _edit(job, people.estimator, survey_on=survey_on)
    job = _move(job, Stage.SURVEY_BOOKED, people.estimator)
    return _move(job, Stage.SURVEYED, people.estimator)


def _to_review(people: People, job: Job, survey: Survey, drawn: Drawn, *, signed_on: date) -> tuple[Job, Packet]:
    """Criteria, design, contract, packet: up to the engineer's review."""
    jobs.assign_engineer(job_id=job.pk, engineer_id=people.engineer.pk, seen_version=job.version, by=people.office)
    job.refresh_from_db()
    _choose(people, job, survey)
    _engineer_decides(people, job, survey)
    job = _move(job, Stage.CRITERIA_SET, people.engineer)
    design = designs.issue_design(job_id=job.pk, by=people.estimator, seen_version=job.version)
    job = _move(job, Stage.DESIGNED, people.estimator)
    job = _edit(job, people.estimator, proposed_on=signed_on - timedelta(days=5))
    job = _move(job, Stage.PROPOSED, people.estimator)
    job = _edit(job, people.estimator, contract_signed_on=signed_on, cancellation_ends_on=signed_on + timedelta(days=5))
    job = _move(job, Stage.CONTRACT_SIGNED, people.estimator)
    packet = make_packet(design_id=design.pk, by=people.estimator)
    drawn()
    packet.refresh_from_db()
    return _move(job, Stage.IN_REVIEW, people.estimator), packet


def _choose(people: People, job: Job, survey: Survey) -> None:
    connectors = {row.key: row for row in Connector.objects.all()}
    facts: dict[str, Any] = dict(survey.choices)
    alternatives = [connectors[key] for key in facts.pop("alternatives")]
    for name in CONNECTOR_CHOICES:
        facts[name] = connectors[facts[name]]
    for line in survey.house.wall_lines.all():
        line_choices.set_line_choice(
            job_id=job.pk, wall_line_id=line.pk, by=people.estimator, alternatives=alternatives, **facts
        )


def _engineer_decides(people: People, job: Job, survey: Survey) -> None:
    for line in survey.house.wall_lines.all():
        wall_lines.accept_foundation(
            wall_line_id=line.pk,
            seen_version=line.version,
            reason="Sound concrete, cores above the strength used.",
            by=people.engineer,
        )
        for anchor in line.existing_anchors.all():
            if reason := survey.accepted_anchors[line.label].get(anchor.at_in):
                wall_lines.accept_anchor(
                    anchor_id=anchor.pk, seen_version=anchor.version, reason=reason, by=people.engineer
                )
    sheet = criteria.start_sheet(job_id=job.pk, by=people.engineer)
    criteria.confirm_sheet(sheet_id=sheet.pk, seen_version=sheet.version, by=people.engineer)


def _write_templates(people: People) -> None:

    for jurisdiction in Jurisdiction.objects.all():
        criteria.save_template(
            jurisdiction_id=jurisdiction.pk,
            code_family=jurisdiction.code_family,
            by=people.engineer,
            legal_basis=LEGAL_BASIS,
            force_level="full",
            force_factor=1.0,
            response_modification=6.5,
            importance=1.0,
            redundancy=None,
            load_duration=1.6,
            maximum_connector_spacing_in=72.0,
            accepts_r_for_panels=True,
            link_0_accepted=True,
            small_pieces_accepted=True,
            remaining_deficiencies=(
                "Floor sheathing and the diaphragm beside each line are recorded, not strengthened. Overturning from "
                "the story above is not resisted. The chimney is not braced."
            ),
            method="Equivalent lateral force, flexible diaphragm, allowable stress design.",
            notes="Invented for the demo.",
        )
    licence = people.engineer.licences.get()
    criteria.accept_tables(code_family=jurisdiction.code_family, licence_id=licence.pk, by=people.engineer)


def _edit(job: Job, by: Any, **changes: Any) -> Job:
    jobs.edit_job(job_id=job.pk, seen_version=job.version, changes=changes, by=by)
    job.refresh_from_db()
    return job


def _move(job: Job, to: Stage, by: Any) -> Job:
    return stages.move_job(job_id=job.pk, to=to, by=by, seen_stage=job.stage)
