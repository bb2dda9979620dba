"""Who may do what."""

import pytest
from django.contrib.auth.models import AnonymousUser
from django.core.exceptions import PermissionDenied

from jobs import policy
from jobs.models import Role
from tests.factories import (
    ClientFactory,
    CrewFactory,
    CriteriaSheetFactory,
    DesignFactory,
    ExistingAnchorFactory,
    HouseFactory,
    JobFactory,
    PacketFactory,
    UserFactory,
    WallLineFactory,
    WorkOrderFactory,
)

pytestmark = pytest.mark.django_db


def test_an_unknown_action_is_a_bug():
    with pytest.raises(KeyError):
        policy.check(UserFactory(roles=["office"]), "job.dance")


@pytest.mark.parametrize("action", policy.MAY)
def test_nobody_without_a_role_may_do_anything(action):
    assert not policy.check(AnonymousUser(), action)
    assert not policy.check(UserFactory(), action)
    assert not policy.check(UserFactory(is_superuser=True, is_staff=True), action)
    assert not policy.check(UserFactory(is_active=False, roles=["office"]), action)


@pytest.mark.parametrize("action", policy.MAY)
def test_the_table_holds_roles_only(action):
    assert policy.MAY[action]
    assert policy.MAY[action] <= frozenset(Role)


def test_object_rules_are_about_known_actions():
    assert policy.OBJECT_RULES.keys() <= policy.MAY.keys()


# Who must never (design, "The people").
@pytest.mark.parametrize("action", ["packet.sign", "criteria.edit", "criteria.edit_template", "criteria.confirm"])
@pytest.mark.parametrize("role", ["office", "estimator", "installer"])
def test_engineering_is_the_engineers_alone(role, action):
    assert not policy.check(UserFactory(roles=[role]), action)


@pytest.mark.parametrize(
    "action", ["client.view", "client.edit", "design.view", "criteria.view", "catalogue.view", "capacity.run"]
)
def test_crews_see_neither_clients_nor_calculations(action):
    assert not policy.check(UserFactory(roles=["installer"]), action)


@pytest.mark.parametrize("role", ["estimator", "engineer", "installer"])
def test_the_admin_is_the_offices(role):
    assert not policy.check(UserFactory(roles=[role]), "admin.use")
    assert policy.check(UserFactory(roles=["office"]), "admin.use")


def test_a_refusal_says_which_roles_it_takes_and_require_raises_it():
    estimator = UserFactory(roles=["estimator"])
    assert "engineer" in policy.check(estimator, "criteria.confirm").reason
    with pytest.raises(PermissionDenied, match="engineer"):
        policy.require(estimator, "criteria.confirm")


ENGINEERS_OWN = ["review.return", "criteria.confirm", "criteria.edit", "packet.sign", "packet.withdraw"]


@pytest.mark.parametrize("action", ENGINEERS_OWN)
def test_only_the_assigned_engineer_acts_on_a_job(action):
    engineer = UserFactory(roles=["engineer"])
    job = JobFactory(assigned_engineer=engineer)
    packet = PacketFactory(design=DesignFactory(job=job))
    sheet = CriteriaSheetFactory(job=job)
    for on in (job, packet, packet.files.first(), sheet):
        assert policy.check(engineer, action, on=on)
        assert not policy.check(UserFactory(roles=["engineer"]), action, on=on)


def test_a_template_is_edited_as_a_template_and_a_sheet_as_a_sheet():
    engineer = UserFactory(roles=["engineer"])
    sheet = CriteriaSheetFactory(job=JobFactory(assigned_engineer=engineer))
    template = CriteriaSheetFactory(job=None, jurisdiction=sheet.jurisdiction)
    assert policy.check(engineer, "criteria.edit_template", on=template)
    assert not policy.check(engineer, "criteria.edit_template", on=sheet)
    assert not policy.check(engineer, "criteria.edit", on=template)


def test_anchors_and_modes_are_for_an_engineer_of_the_house():
    engineer = UserFactory(roles=["engineer"])
    house = JobFactory(assigned_engineer=engineer).house
    anchor = ExistingAnchorFactory(wall_line=WallLineFactory(house=house))
    for action, on in (
        ("anchor.accept", anchor),
        ("foundation.accept", anchor.wall_line),
        ("house.name_mode", house),
    ):
        assert policy.check(engineer, action, on=on)
        assert not policy.check(UserFactory(roles=["engineer"]), action, on=on)


@pytest.mark.parametrize("action", ["job.view", "design.issue", "packet.make", "document.request"])
def test_an_engineer_has_nothing_to_do_with_other_jobs(action):
    job = JobFactory(assigned_engineer=UserFactory(roles=["engineer"]))
    assert policy.check(job.assigned_engineer, action, on=job)
    assert not policy.check(UserFactory(roles=["engineer"]), action, on=job)
    assert policy.check(UserFactory(roles=["office"]), action, on=job)


def test_a_crew_logs_its_own_work_orders_and_its_lead_ticks():
    member = UserFactory(roles=["installer"])
    crew = CrewFactory(members=[member])
    order, other = WorkOrderFactory(crew=crew), WorkOrderFactory()
    for user in (crew.lead, member):
        assert policy.check(user, "work_order.view", on=order)
        assert policy.check(user, "work_order.log", on=order)
        assert policy.check(user, "work_order.acknowledge", on=order)
        assert not policy.check(user, "work_order.view", on=other)
        assert not policy.check(user, "work_order.log", on=other)
        assert not policy.check(user, "work_order.acknowledge", on=other)
    assert policy.check(crew.lead, "work_order.tick", on=order)
    assert not policy.check(member, "work_order.tick", on=order)
    assert policy.check(UserFactory(roles=["office"]), "work_order.log", on=order)


def test_a_crew_sees_its_plan_set_and_no_calculations():
    order = WorkOrderFactory()
    plan_set, calculations = PacketFactory(design=order.design).files.order_by("order")
    lead, stranger = order.crew.lead, CrewFactory().lead
    assert policy.check(lead, "document.view", on=plan_set)
    assert policy.check(lead, "document.view", on=order)
    assert not policy.check(lead, "document.view", on=calculations)
    assert not policy.check(lead, "document.view", on=order.design)
    assert not policy.check(lead, "document.view", on=order.job)
    assert not policy.check(stranger, "document.view", on=plan_set)
    assert not policy.check(UserFactory(roles=["engineer"]), "document.view", on=calculations)
    assert policy.check(UserFactory(roles=["estimator"]), "document.view", on=calculations)


def test_house_and_client_follow_the_job():
    order = WorkOrderFactory()
    lead = order.crew.lead
    assert policy.check(lead, "house.view", on=order.job.house)
    assert not policy.check(lead, "house.view", on=HouseFactory())
    assert not policy.check(lead, "house.edit", on=order.job.house)
    assert policy.check(UserFactory(roles=["estimator"]), "client.edit", on=ClientFactory())
