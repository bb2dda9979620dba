"""Users, roles, licences, certificates, crews."""

from datetime import timedelta

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from django.contrib.auth.models import Group
from django.core.exceptions import PermissionDenied, ValidationError
from django.core.management import call_command
from django.utils import timezone

from jobs.errors import Refused, Stale
from jobs.models import JobEvent, Role, User
from jobs.services import people
from tests.factories import CrewFactory, EngineerLicenceFactory, JobFactory, UserFactory

pytestmark = pytest.mark.django_db
PASSWORD = "a plain long sentence"


@pytest.fixture
def office():
    return UserFactory(roles=["office"])


def a_certificate(days=30):
    """A self-signed certificate that runs out in so many days, as PEM text."""
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, "invented, for tests")])
    end = timezone.now() + timedelta(days=days)
    builder = x509.CertificateBuilder(
        issuer_name=name,
        subject_name=name,
        public_key=key.public_key(),
        serial_number=x509.random_serial_number(),
        not_valid_before=end - timedelta(days=60),
        not_valid_after=end,
    )
    return builder.sign(key, hashes.SHA256()).public_bytes(serialization.Encoding.PEM).decode()


@pytest.mark.django_db(transaction=True)
def test_a_flushed_database_gets_its_role_groups_back():
    call_command("flush", interactive=False, verbosity=0)
    assert set(Group.objects.values_list("name", flat=True)) == set(Role.values)


def test_the_first_user_is_the_office_and_there_is_one_first():
    user = people.create_first_user(username="first", password=PASSWORD)
    assert user.roles == {Role.OFFICE}
    assert user.check_password(PASSWORD)
    with pytest.raises(Refused, match="users already"):
        people.create_first_user(username="second", password=PASSWORD)


def test_the_office_adds_users_and_the_log_says_so(office):
    user = people.create_user(username="kim", password=PASSWORD, roles=["estimator", "installer"], by=office)
    assert user.roles == {Role.ESTIMATOR, Role.INSTALLER}
    event = JobEvent.objects.get(subject="user kim")
    assert (event.by, event.after) == (office, "estimator, installer")


@pytest.mark.parametrize("role", ["estimator", "engineer", "installer"])
def test_others_add_nobody(role):
    with pytest.raises(PermissionDenied):
        people.create_user(username="kim", password=PASSWORD, roles=["office"], by=UserFactory(roles=[role]))


@pytest.mark.parametrize("other", ["office", "estimator", "installer"])
def test_the_engineer_stands_alone(office, other):
    with pytest.raises(Refused, match="stands alone"):
        people.create_user(username="kim", password=PASSWORD, roles=["engineer", other], by=office)
    assert not User.objects.filter(username="kim").exists()


def test_a_user_has_a_role_and_a_strong_password(office):
    with pytest.raises(Refused, match="at least one role"):
        people.create_user(username="kim", password=PASSWORD, roles=[], by=office)
    with pytest.raises(ValidationError, match="too short"):
        people.create_user(username="kim", password="short", roles=["office"], by=office)


def test_the_last_office_user_and_an_assigned_engineer_keep_their_roles(office):
    with pytest.raises(Refused, match="last office user"):
        people.set_roles(user_id=office.pk, roles=["estimator"], by=office)
    engineer = JobFactory(assigned_engineer=UserFactory(roles=["engineer"])).assigned_engineer
    with pytest.raises(Refused, match="assigned to jobs"):
        people.set_roles(user_id=engineer.pk, roles=["estimator"], by=office)


def test_licences_are_for_engineers_and_the_longest_one_in_force_counts(office):
    engineer, today = UserFactory(roles=["engineer"]), timezone.localdate()
    facts = {"user_id": engineer.pk, "state": "CA", "discipline": "Civil engineer", "by": office}
    people.add_licence(number="demo 1", expires_on=today, **facts)
    people.add_licence(number="demo 2", expires_on=today + timedelta(days=9), **facts)
    EngineerLicenceFactory(user=engineer, state="OR", expires_on=today + timedelta(days=99))
    assert people.current_licence(user=engineer, state="CA", on=today).number == "demo 2"
    assert people.current_licence(user=engineer, state="CA", on=today + timedelta(days=10)) is None
    with pytest.raises(Refused, match="not an engineer"):
        people.add_licence(number="demo 3", expires_on=today, **facts | {"user_id": office.pk})


def test_a_certificate_is_pinned_once_and_revoked_for_good(office):
    engineer, pem = UserFactory(roles=["engineer"]), a_certificate()
    row = people.enrol_certificate(user_id=engineer.pk, certificate_pem=pem, by=office)
    assert (len(row.fingerprint_sha256), row.subject) == (64, "CN=invented\\, for tests")
    with pytest.raises(Refused, match="enrolled already"):
        people.enrol_certificate(user_id=engineer.pk, certificate_pem=pem, by=office)
    first = people.revoke_certificate(certificate_id=row.pk, by=office).revoked_at
    assert first is not None
    assert people.revoke_certificate(certificate_id=row.pk, by=office).revoked_at == first


@pytest.mark.parametrize(("pem", "why"), [("no certificate", "PEM form"), (a_certificate(days=-1), "ran out")])
def test_a_certificate_that_can_not_be_used_is_refused(office, pem, why):
    with pytest.raises(Refused, match=why):
        people.enrol_certificate(user_id=UserFactory(roles=["engineer"]).pk, certificate_pem=pem, by=office)


def test_a_crew_is_made_of_installers(office):
    lead, member = UserFactory(roles=["installer"]), UserFactory(roles=["installer", "estimator"])
    crew = people.create_crew(name="North", lead_id=lead.pk, member_ids=[member.pk], by=office)
    assert crew.has(lead)
    assert crew.has(member)
    assert not crew.has(office)
    with pytest.raises(Refused, match="not an installer"):
        people.create_crew(name="South", lead_id=office.pk, member_ids=[], by=office)


def test_a_crew_is_edited_over_the_version_seen(office):
    crew = CrewFactory()
    people.edit_crew(crew_id=crew.pk, seen_version=1, name="New", lead_id=crew.lead_id, member_ids=[], by=office)
    with pytest.raises(Stale):
        people.edit_crew(crew_id=crew.pk, seen_version=1, name="Old", lead_id=crew.lead_id, member_ids=[], by=office)
