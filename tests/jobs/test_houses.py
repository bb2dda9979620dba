"""Clients, jurisdictions, houses: what may be written and what the survey still lacks."""

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from jobs.errors import Refused, Stale
from jobs.models import SCOPE_ITEMS, Company, House
from jobs.services import catalogue, clients, houses
from tests.factories import (
    ClientFactory,
    EvaluatedFactory,
    HouseFactory,
    JobFactory,
    JurisdictionFactory,
    NailFactory,
    UserFactory,
)

pytestmark = pytest.mark.django_db
SQUARE = [[0, 0], [10, 0], [10, 10], [0, 10]]


@pytest.fixture
def estimator():
    return UserFactory(roles=["estimator"])


@pytest.fixture
def office():
    return UserFactory(roles=["office"])


def edit(house, by, version=1, **changes):
    return houses.edit_house(house_id=house.pk, seen_version=version, changes=changes, by=by)


# --- clients, company, jurisdictions, connectors -------------------------------------------------------------------
def test_a_client_is_made_and_edited(estimator):
    client = clients.create_client(name="Client", by=estimator)
    clients.edit_client(client_id=client.pk, seen_version=1, changes={"phone": "555 0109"}, by=estimator)
    with pytest.raises(Stale):
        clients.edit_client(client_id=client.pk, seen_version=1, changes={"phone": "555 0110"}, by=estimator)
    with pytest.raises(ValidationError, match="valid email"):
        clients.create_client(name="Client", email="nowhere", by=estimator)


@pytest.mark.parametrize("role", ["engineer", "installer"])
def test_clients_are_not_the_engineers_or_the_crews(role):
    with pytest.raises(PermissionDenied):
        clients.create_client(name="Client", by=UserFactory(roles=[role]))


def test_the_company_is_written_once_and_then_edited(office):
    facts = {"name": "A", "address": "A", "phone": "1", "email": "a@example.com", "contractor_licence": "invented"}
    clients.set_company(by=office, **facts)
    clients.set_company(by=office, seen_version=1, name="B")
    assert (Company.objects.get().name, Company.objects.get().version) == ("B", 2)
    with pytest.raises(Stale):
        clients.set_company(by=office, name="C")


def test_jurisdictions_are_the_offices(office, estimator):
    facts = {"name": "Sampleton", "state": "CA", "code_title": "x", "code_family": "2021", "edition": "2022"}
    row = clients.create_jurisdiction(by=office, **facts)
    clients.edit_jurisdiction(jurisdiction_id=row.pk, seen_version=1, changes={"edition": "2025"}, by=office)
    with pytest.raises(PermissionDenied):
        clients.create_jurisdiction(by=estimator, **facts)
    with pytest.raises(ValidationError, match="code_family"):
        clients.create_jurisdiction(by=office, **facts | {"name": "B", "code_family": "1997"})


def facts_of(connector):
    skip = {"id", "version"}
    return {f.name: getattr(connector, f.name) for f in connector._meta.fields if f.name not in skip}


def test_a_connector_needs_its_geometry_or_its_report(office):
    nail, screw = facts_of(NailFactory.build()), facts_of(EvaluatedFactory.build())
    catalogue.create_connector(by=office, **nail)
    catalogue.create_connector(by=office, **screw)
    with pytest.raises(ValidationError, match="nail \\(kind, diameter, length\\)"):
        catalogue.create_connector(by=office, **nail | {"key": "b", "length_in": None})
    with pytest.raises(ValidationError, match="needs its report number"):
        catalogue.create_connector(by=office, **screw | {"key": "c", "expires_on": None})
    with pytest.raises(ValidationError, match="after it was issued"):
        catalogue.create_connector(by=office, **screw | {"key": "d", "issued_on": screw["expires_on"]})


def test_a_connector_is_edited_by_the_office_but_its_key_stays(office, estimator):
    nail = NailFactory()
    catalogue.edit_connector(connector_id=nail.pk, seen_version=1, changes={"active": False}, by=office)
    with pytest.raises(Exception, match="no field 'key'"):
        catalogue.edit_connector(connector_id=nail.pk, seen_version=2, changes={"key": "other"}, by=office)
    with pytest.raises(PermissionDenied):
        catalogue.edit_connector(connector_id=nail.pk, seen_version=2, changes={"active": True}, by=estimator)


# --- houses --------------------------------------------------------------------------------------------------------
def test_a_house_may_start_with_its_address_only(estimator):
    house = houses.create_house(
        by=estimator,
        client_id=ClientFactory().pk,
        jurisdiction_id=JurisdictionFactory().pk,
        address="1 Sample Street",
        city="Sampleton",
        state="CA",
        postal_code="00000",
    )
    missing = houses.missing_facts(house)
    assert "floor outline" in missing[0]
    assert len(missing) == 1 + len(SCOPE_ITEMS)


def test_a_surveyed_house_lacks_nothing():
    assert houses.missing_facts(HouseFactory()) == []


@pytest.mark.parametrize("name", houses.NEEDED)
def test_each_needed_fact_is_named_when_it_lacks(name):
    empty = "" if isinstance(getattr(HouseFactory.build(client=None, jurisdiction=None), name), str) else None
    house = HouseFactory()
    setattr(house, name, [] if name.endswith("outline_ft") else empty)
    assert houses.NEEDED[name] in houses.missing_facts(house)[0]


def test_zero_weight_is_a_weight():
    assert houses.missing_facts(HouseFactory(partitions_psf=0.0)) == []


def test_an_edit_is_logged_from_what_to_what(estimator):
    house = HouseFactory(roof_psf=15)
    edit(house, estimator, roof_psf=10.0)
    event = house.events.get()
    assert (event.what, event.before, event.after) == ("house.edit", "roof_psf = 15.0", "roof_psf = 10.0")


def test_saving_without_a_change_is_not_logged(estimator):
    house = HouseFactory()
    edit(house, estimator, roof_psf=house.roof_psf)
    assert not house.events.exists()


def test_a_stale_edit_is_refused_and_changes_nothing(estimator):
    house = HouseFactory()
    edit(house, estimator, roof_psf=10.0)
    with pytest.raises(Stale):
        houses.edit_house(
            house_id=house.pk,
            seen_version=1,
            changes={"roof_psf": 12.0},
            children={"point_weights": [{"label": "chimney", "x_ft": 1, "y_ft": 1, "weight_lb": 900}]},
            by=estimator,
        )
    house.refresh_from_db()
    assert (house.roof_psf, house.point_weights.count()) == (10.0, 0)


@pytest.mark.parametrize("role", ["engineer", "installer"])
def test_the_survey_is_the_estimators(role):
    with pytest.raises(PermissionDenied):
        edit(HouseFactory(), UserFactory(roles=[role]), roof_psf=10.0)


def test_point_weights_and_walls_above_are_replaced_as_a_whole(estimator):
    house = HouseFactory()
    house.point_weights.create(label="old", x_ft=1, y_ft=1, weight_lb=1)
    houses.edit_house(
        house_id=house.pk,
        seen_version=1,
        changes={},
        by=estimator,
        children={
            "point_weights": [{"label": "chimney", "x_ft": 1, "y_ft": 1, "weight_lb": 900}],
            "story_above": [{"line_label": "A", "full_height_wall_ft": 12}],
        },
    )
    assert house.point_weights.get().label == "chimney"
    assert house.story_above.get().full_height_wall_ft == 12
    assert "point weights" in house.events.get().note


def test_one_wrong_row_leaves_everything_as_it_was(estimator):
    house = HouseFactory()
    house.point_weights.create(label="old", x_ft=1, y_ft=1, weight_lb=1)
    with pytest.raises(ValidationError):
        houses.edit_house(
            house_id=house.pk,
            seen_version=1,
            changes={"roof_psf": 9.0},
            by=estimator,
            children={"point_weights": [{"label": "chimney", "x_ft": 1, "y_ft": 1, "weight_lb": -900}]},
        )
    assert (House.objects.get(pk=house.pk).version, house.point_weights.get().label) == (1, "old")


@pytest.mark.parametrize(
    "outline",
    [
        [[0, 0], [1, 1]],
        [[0, 0], [1, 1], [2]],
        [[0, 0], [1, 1], ["a", 2]],
        "square",
        [[0, 0], [1, 1], [2, float("nan")]],
    ],
)
def test_an_outline_that_is_none_is_refused(estimator, outline):
    with pytest.raises(ValidationError, match="floor_outline_ft"):
        edit(HouseFactory(), estimator, floor_outline_ft=outline)


def test_an_outline_is_corners_in_feet(estimator):
    assert edit(HouseFactory(), estimator, floor_outline_ft=SQUARE).floor_outline_ft == SQUARE


# --- scope screen --------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    "screen",
    [{"basement": {"flag": True, "reason": "x"}}, {"hillside": "yes"}, {"hillside": {"flag": "yes", "reason": "x"}}],
)
def test_the_scope_screen_answers_its_own_items(estimator, screen):
    with pytest.raises(ValidationError, match="scope_screen"):
        edit(HouseFactory(), estimator, scope_screen=screen)


def test_an_answer_has_a_reason():
    house = HouseFactory()
    house.scope_screen["cantilever"] = {"flag": True, "reason": " "}
    assert houses.missing_facts(house) == ["The scope screen has no answer with a reason for: Cantilever."]


def test_not_observed_answers_the_screen_except_where_it_decides_the_calculation():
    house = HouseFactory()
    house.scope_screen["tall_veneer"] = {"flag": None, "reason": "behind planting"}
    assert houses.missing_facts(house) == []
    house.scope_screen["hillside"] = {"flag": None, "reason": "too dark"}
    assert "look again" in houses.missing_facts(house)[0]


@pytest.fixture
def hillside():
    job = JobFactory(assigned_engineer=UserFactory(roles=["engineer"]))
    job.house.scope_screen["hillside"] = {"flag": True, "reason": "slope 2:1"}
    job.house.save()
    return job.house, job.assigned_engineer


def name_mode(house, by, item="hillside", mode="anchored uphill, own model", version=1):
    return houses.name_mode(house_id=house.pk, item=item, mode=mode, seen_version=version, by=by)


def test_the_engineer_names_the_mode_and_the_estimator_can_not(hillside, estimator):
    house, engineer = hillside
    with pytest.raises(PermissionDenied):
        name_mode(house, estimator)
    with pytest.raises(PermissionDenied):
        name_mode(house, UserFactory(roles=["engineer"]))
    screen = house.scope_screen | {"hillside": {"flag": True, "reason": "slope 2:1", "mode": "mine"}}
    assert "mode" not in edit(house, estimator, scope_screen=screen).scope_screen["hillside"]
    assert name_mode(house, engineer, version=2).scope_screen["hillside"]["mode_by"] == engineer.display_name


def test_a_mode_is_kept_while_the_answer_stays_and_lapses_with_it(hillside, estimator):
    house, engineer = hillside
    house = name_mode(house, engineer)
    same = house.scope_screen | {"hillside": {"flag": True, "reason": "slope 2:1"}}
    house = edit(house, estimator, version=2, scope_screen=same)
    assert house.scope_screen["hillside"]["mode"]
    other = house.scope_screen | {"hillside": {"flag": True, "reason": "slope 1:1"}}
    house = edit(house, estimator, version=3, scope_screen=other)
    assert "mode" not in house.scope_screen["hillside"]


@pytest.mark.parametrize(("item", "mode"), [("cantilever", "x"), ("open_front", "x"), ("hillside", " ")])
def test_a_mode_is_for_a_flagged_item_and_says_something(hillside, item, mode):
    with pytest.raises(Refused):
        name_mode(*hillside, item=item, mode=mode)
