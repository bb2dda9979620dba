"""What the database itself keeps, and who sees which rows."""

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.db.models import ProtectedError

from jobs import models
from jobs.errors import NeverChanged
from tests.factories import (
    AcceptedTestFactory,
    ClientFactory,
    CompanyFactory,
    CrewFactory,
    CriteriaSheetFactory,
    DesignFactory,
    EvaluatedFactory,
    ExistingAnchorFactory,
    FieldEventFactory,
    HoldPointFactory,
    HouseFactory,
    InspectionItemFactory,
    JobFactory,
    NailFactory,
    PacketFactory,
    ScheduleLineFactory,
    StampFactory,
    TableSetAcceptanceFactory,
    UserFactory,
    WallLineFactory,
    WorkOrderFactory,
)

pytestmark = pytest.mark.django_db


def broken(row):
    """The name of the constraint that stops a write which went past every form."""
    with pytest.raises(IntegrityError) as stopped, transaction.atomic():
        row()
    return str(stopped.value)


def write(row, **values):
    return lambda: type(row)._base_manager.filter(pk=row.pk).update(**values)


@pytest.mark.parametrize(
    ("factory", "values", "name"),
    [
        (JobFactory, {"stage": "dreaming"}, "job_stage_known"),
        (JobFactory, {"permit_number": "B1"}, "job_permit_with_number_and_date"),
        (JobFactory, {"city_set": "a.pdf"}, "job_city_set_with_hash_and_date"),
        (HouseFactory, {"braced_wall_height_in": 0}, "house_braced_wall_height_in_above_zero"),
        (HouseFactory, {"access_opening_width_in": 24}, "house_access_opening_both_or_none"),
        (HouseFactory, {"year_built": 48}, "house_year_built_plausible"),
        (WallLineFactory, {"rim_thickness_in": -1.5}, "wallline_rim_thickness_in_above_zero"),
        (WallLineFactory, {"top_plate_count": 1}, "wallline_top_plates_as_counted"),
        (WallLineFactory, {"end_x_ft": 0}, "wallline_has_length"),
        (WallLineFactory, {"section_loss_percent": 120}, "wallline_section_loss_is_a_percentage"),
        (ExistingAnchorFactory, {"accepted": True}, "existinganchor_accepted_by_someone_for_a_reason"),
        (NailFactory, {"length_in": None}, "connector_computed_has_its_geometry"),
        (NailFactory, {"value_lb": 100}, "connector_computed_has_no_report_value"),
        (EvaluatedFactory, {"report": ""}, "connector_evaluated_has_its_report"),
        (EvaluatedFactory, {"expires_on": None}, "connector_evaluated_has_its_report"),
        (EvaluatedFactory, {"value_basis": ""}, "connector_evaluated_has_its_report"),
        (CriteriaSheetFactory, {"force_factor": 1.2}, "criteriasheet_force_factor_up_to_one"),
        (CriteriaSheetFactory, {"confirmed_licence": "x"}, "criteriasheet_confirmed_by_name_date_and_licence"),
        (PacketFactory, {"withdrawn_reason": "x"}, "packet_withdrawn_by_someone_for_a_reason"),
        (WorkOrderFactory, {"cautions_acknowledged_at": "2026-11-25T08:00Z"}, "workorder_cautions_acknowledged_by"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_the_database_refuses(factory, values, name):
    assert name in broken(write(factory(), **values))


def test_a_stretch_of_a_wall_line_has_a_length():
    line = WallLineFactory()
    assert "panel_to_after_from" in broken(lambda: line.panels.create(from_in=24, to_in=24))
    assert "segment_from_not_negative" in broken(
        lambda: line.segments.create(kind="cripple wall", from_in=-1, to_in=24, stud_height_in=30)
    )


def test_not_observed_is_a_value_that_passes():
    line = WallLineFactory(headroom_in=None, concrete_psi=None, rim_specific_gravity=None, jig_bears_on="")
    line.full_clean()


@pytest.mark.parametrize(
    "again",
    [
        lambda: WallLineFactory(label="A", house=WallLineFactory(label="A").house),
        lambda: DesignFactory(revision=1, job=DesignFactory(revision=1).job),
        lambda: WorkOrderFactory(number=1, design=WorkOrderFactory(number=1).design),
        lambda: CriteriaSheetFactory(job=CriteriaSheetFactory().job),
        lambda: CriteriaSheetFactory(
            job=None, jurisdiction=CriteriaSheetFactory(job=None, jurisdiction=HouseFactory().jurisdiction).jurisdiction
        ),
        lambda: TableSetAcceptanceFactory(engineer=TableSetAcceptanceFactory().engineer),
        lambda: [models.Hold.objects.create(job=job, reason="x", since="2026-11-25") for job in [JobFactory()] * 2],
    ],
    ids=["line label", "revision", "work order number", "job's sheet", "template", "table set", "open hold"],
)
def test_there_is_one_only(again):
    with pytest.raises(IntegrityError):
        again()


def test_two_code_families_have_a_template_each_and_jobs_their_own():
    sheet = CriteriaSheetFactory(job=None, jurisdiction=HouseFactory().jurisdiction)
    CriteriaSheetFactory(job=None, jurisdiction=sheet.jurisdiction, code_family="2024")
    CriteriaSheetFactory(job=JobFactory(house=HouseFactory(jurisdiction=sheet.jurisdiction)))


def test_the_company_is_one_row():
    CompanyFactory()
    other = models.Company(id=2, name="x", address="x", phone="x", email="x@example.com", contractor_licence="x")
    assert "company_one_row" in broken(other.save)


# --- frozen rows ---------------------------------------------------------------------------------------------------
def a_schedule_line():
    return ScheduleLineFactory(schedule=DesignFactory().connection_schedule)


FROZEN = {
    "design": DesignFactory,
    "connection schedule": lambda: DesignFactory().connection_schedule,
    "schedule line": a_schedule_line,
    "stamp": lambda: StampFactory(packet_file=PacketFactory().files.first()),
    "table set acceptance": TableSetAcceptanceFactory,
    "field event": FieldEventFactory,
    "inspection": lambda: InspectionItemFactory().inspection,
    "inspection item": InspectionItemFactory,
    "hold point": HoldPointFactory,
    "accepted test": AcceptedTestFactory,
    "job event": lambda: models.JobEvent.objects.create(
        subject="x", by=UserFactory(), at="2026-11-25T08:00Z", what="x"
    ),
}


@pytest.mark.parametrize("make", FROZEN.values(), ids=FROZEN)
def test_a_frozen_row_is_never_changed_or_deleted(make):
    made = make()
    row = type(made).objects.get(pk=made.pk)
    field = row._meta.fields[-1].attname
    with pytest.raises(NeverChanged):
        row.save()
    with pytest.raises(NeverChanged):
        row.delete()
    with pytest.raises(NeverChanged):
        type(row).objects.filter(pk=row.pk).update(**{field: getattr(row, field)})
    with pytest.raises(NeverChanged):
        type(row).objects.bulk_update([row], [row._meta.fields[-1].name])
    with pytest.raises(NeverChanged):
        type(row).objects.filter(pk=row.pk).delete()
    with pytest.raises(NeverChanged):
        type(row)._base_manager.filter(pk=row.pk).update(**{field: getattr(row, field)})


def test_every_frozen_model_is_tried():
    frozen = {model._meta.verbose_name for model in _subclasses(models.Design.__mro__[1])}
    assert frozen == set(FROZEN)


def _subclasses(base):
    return {sub for sub in base.__subclasses__() if not sub._meta.abstract}


def test_what_frozen_rows_stand_on_can_not_be_deleted():
    design = DesignFactory()
    with pytest.raises(ProtectedError):
        design.job.delete()
    with pytest.raises(ProtectedError):
        design.job.house.delete()


# --- roles and who sees what ---------------------------------------------------------------------------------------
def test_roles_are_groups_and_a_user_who_was_switched_off_has_none():
    user = UserFactory(roles=["office", "installer"])
    assert user.roles == {models.Role.OFFICE, models.Role.INSTALLER}
    assert UserFactory(roles=["office"], is_active=False).roles == frozenset()
    assert UserFactory(is_superuser=True).roles == frozenset()


@pytest.fixture
def two_jobs():
    """A job with an engineer and a crew, and another with others."""
    engineer, crew = UserFactory(roles=["engineer"]), CrewFactory(members=[UserFactory(roles=["installer"])])
    mine = JobFactory(assigned_engineer=engineer)
    order = WorkOrderFactory(design=DesignFactory(job=mine), crew=crew)
    other = WorkOrderFactory()
    for made in (order, other):
        FieldEventFactory(work_order=made)
        PacketFactory(design=made.design)
        InspectionItemFactory(inspection__job=made.job)
        AcceptedTestFactory(design=made.design)
        CriteriaSheetFactory(job=made.job)
        WallLineFactory(house=made.job.house)
    return mine, engineer, crew


EACH_ROLE_SEES = {  # of two of everything: how many rows office, estimator, engineer, crew lead, crew member see
    "Job": (2, 2, 1, 1, 1),
    "House": (2, 2, 1, 1, 1),
    "WallLine": (2, 2, 1, 1, 1),
    "Client": (2, 2, 1, 0, 0),
    "CriteriaSheet": (2, 2, 1, 0, 0),
    "Design": (2, 2, 1, 0, 0),
    "Packet": (2, 2, 1, 1, 1),
    "WorkOrder": (2, 2, 1, 1, 1),
    "FieldEvent": (2, 2, 1, 1, 1),
    "Inspection": (2, 2, 1, 1, 1),
    "AcceptedTest": (2, 2, 1, 0, 0),
}


@pytest.mark.parametrize(("name", "counts"), EACH_ROLE_SEES.items(), ids=EACH_ROLE_SEES)
def test_each_role_sees_its_own_rows(two_jobs, name, counts):
    _, engineer, crew = two_jobs
    users = [
        UserFactory(roles=["office"]),
        UserFactory(roles=["estimator"]),
        engineer,
        crew.lead,
        crew.members.get(),
    ]
    rows = getattr(models, name).objects
    assert tuple(rows.visible_to(user).count() for user in users) == counts
    assert rows.visible_to(UserFactory()).count() == 0
    assert rows.visible_to(UserFactory(roles=["engineer"])).count() == 0
    assert rows.visible_to(UserFactory(roles=["installer"])).count() == 0


def test_a_user_with_two_roles_sees_what_either_sees(two_jobs):
    _, _, crew = two_jobs
    crew.lead.groups.add(*UserFactory(roles=["office"]).groups.all())
    assert models.Job.objects.visible_to(models.User.objects.get(pk=crew.lead_id)).count() == 2


def test_a_client_needs_a_name():
    with pytest.raises(ValidationError, match="name"):
        ClientFactory.build(name="").full_clean()


def test_packet_states_follow_from_its_files():
    packet = PacketFactory()
    assert (packet.is_ready, packet.is_stamped) == (True, False)
    assert not PacketFactory(ready=False).is_ready
    for file in packet.files.all():
        StampFactory(packet_file=file)
    assert packet.is_stamped
    assert len(packet.token) >= 32
