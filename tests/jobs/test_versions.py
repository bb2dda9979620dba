"""Edits are saved only over the version that was seen."""

import pytest
from django.core.exceptions import FieldDoesNotExist, ValidationError

from jobs.errors import Stale
from jobs.models import Client
from jobs.services.versions import create, save_if_current
from tests.factories import ClientFactory, HouseFactory

pytestmark = pytest.mark.django_db


def test_an_edit_counts_the_version_up_and_says_what_changed():
    client = ClientFactory(phone="555 0101")
    change = save_if_current(client, seen_version=1, changes={"phone": "555 0199", "name": client.name})
    client.refresh_from_db()
    assert (client.version, client.phone) == (2, "555 0199")
    assert (change.before, change.after) == ("phone = 555 0101", "phone = 555 0199")


def test_an_edit_of_an_older_version_is_refused_with_the_row_as_it_stands():
    client = ClientFactory(phone="555 0101")
    save_if_current(Client.objects.get(pk=client.pk), seen_version=1, changes={"phone": "555 0199"})
    with pytest.raises(Stale, match="now version 2") as stale:
        save_if_current(Client.objects.get(pk=client.pk), seen_version=1, changes={"phone": "555 0155"})
    assert stale.value.current.phone == "555 0199"
    assert Client.objects.get(pk=client.pk).phone == "555 0199"


def test_a_writer_who_read_before_another_saved_is_refused_by_the_update_itself():
    first, second = ClientFactory(), None
    second = Client.objects.get(pk=first.pk)
    save_if_current(first, seen_version=1, changes={"phone": "1"})
    with pytest.raises(Stale):
        save_if_current(second, seen_version=1, changes={"phone": "2"})  # second still believes in version 1


def test_values_that_break_a_rule_are_refused_by_field():
    house = HouseFactory()
    with pytest.raises(ValidationError) as broken:
        save_if_current(house, seen_version=1, changes={"roof_psf": "heavy"})
    assert "roof_psf" in broken.value.message_dict


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_numbers_without_end_are_refused(value):
    with pytest.raises(ValidationError, match="finite"):
        save_if_current(HouseFactory(), seen_version=1, changes={"roof_psf": value})


@pytest.mark.parametrize("name", ["version", "id", "colour", "jobs"])
def test_a_field_that_is_not_editable_is_a_bug(name):
    with pytest.raises(FieldDoesNotExist):
        save_if_current(HouseFactory(), seen_version=1, changes={name: 3})


def test_a_field_outside_the_act_is_a_bug():
    with pytest.raises(FieldDoesNotExist):
        save_if_current(ClientFactory(), seen_version=1, changes={"name": "B"}, allowed=frozenset({"phone"}))


def test_a_new_row_keeps_the_models_rules():
    with pytest.raises(ValidationError) as broken:
        create(Client, {"name": ""})
    assert "name" in broken.value.message_dict
