"""The admin: the office's records, and nobody else's."""

from datetime import timedelta

import pytest
from django.contrib import admin
from django.urls import reverse
from django.utils import timezone

from jobs.models import Company, Connector, EnrolledCertificate, JobEvent, Role, User
from tests.factories import CompanyFactory, CrewFactory, NailFactory, UserFactory
from tests.jobs.test_people import a_certificate

pytestmark = pytest.mark.django_db
PAGES = ["company", "connector", "jurisdiction", "crew", "engineerlicence", "enrolledcertificate", "user"]


@pytest.fixture
def office(client):
    user = UserFactory(roles=["office"])
    client.force_login(user)
    return user


@pytest.mark.parametrize("role", ["estimator", "engineer", "installer"])
@pytest.mark.parametrize("superuser", [False, True])
def test_other_roles_are_refused_even_a_superuser(client, role, superuser):
    client.force_login(UserFactory(roles=[role], is_staff=True, is_superuser=superuser))
    for name in ("admin:index", *(f"admin:jobs_{page}_changelist" for page in PAGES)):
        assert client.get(reverse(name)).status_code == 403


def test_who_is_not_logged_in_is_sent_to_the_one_log_in_page(client):
    answer = client.get(reverse("admin:jobs_user_changelist"), follow=True)
    assert answer.redirect_chain[-1][0].startswith(reverse("login"))


@pytest.mark.parametrize("page", PAGES)
def test_the_office_sees_each_list_and_its_add_page(client, office, page):
    CompanyFactory.build()
    assert client.get(reverse(f"admin:jobs_{page}_changelist")).status_code == 200
    assert client.get(reverse(f"admin:jobs_{page}_add")).status_code == 200


def test_the_index_lists_these_records_only(client, office):
    models = {m["object_name"] for app in client.get(reverse("admin:index")).context["app_list"] for m in app["models"]}
    assert {name.lower() for name in models} == set(PAGES)


def test_nothing_is_deleted_here(client, office):
    nail = NailFactory()
    assert client.post(reverse("admin:jobs_connector_delete", args=[nail.pk]), {"post": "yes"}).status_code == 403
    assert not any(model_admin.has_delete_permission(None) for model_admin in own_admins())


def own_admins():
    return [found for model, found in admin.site._registry.items() if model._meta.app_label == "jobs"]


def form_of(client, url):
    """What the page's form would send back unchanged."""
    form = client.get(url).context["adminform"].form
    values = {name: form.get_initial_for_field(field, name) for name, field in form.fields.items()}
    prepared = {name: form.fields[name].prepare_value(value) for name, value in values.items()}
    return {name: value for name, value in prepared.items() if value is not None and value is not False}


def test_a_connector_is_changed_over_the_version_seen(client, office):
    nail = NailFactory()
    url = reverse("admin:jobs_connector_change", args=[nail.pk])
    first = form_of(client, url)
    assert client.post(url, first | {"name": "new name"}).status_code == 302
    nail.refresh_from_db()
    assert (nail.name, nail.version) == ("new name", 2)
    answer = client.post(url, first | {"name": "older wish"})
    assert "Someone changed this connector" in answer.content.decode()
    assert Connector.objects.get().name == "new name"


def test_a_rule_of_the_catalogue_is_said_at_the_form(client, office):
    nail = NailFactory()
    url = reverse("admin:jobs_connector_change", args=[nail.pk])
    answer = client.post(url, form_of(client, url) | {"length_in": ""})
    assert "A computed connector is a nail" in answer.content.decode()


NEW_USER = {
    "username": "kim",
    "first_name": "Kim",
    "last_name": "Example",
    "email": "kim@example.com",
    "password1": "a plain long sentence",
    "password2": "a plain long sentence",
}


def groups(*roles):
    from django.contrib.auth.models import Group

    return [Group.objects.get(name=role).pk for role in roles]


def test_a_user_is_added_with_roles_and_logged(client, office):
    answer = client.post(reverse("admin:jobs_user_add"), NEW_USER | {"groups": groups("estimator", "installer")})
    assert answer.status_code == 302
    user = User.objects.get(username="kim")
    assert user.roles == {Role.ESTIMATOR, Role.INSTALLER}
    assert user.check_password("a plain long sentence")
    assert JobEvent.objects.get(subject="user kim").by == office


def test_the_engineer_stands_alone_here_too(client, office):
    answer = client.post(reverse("admin:jobs_user_add"), NEW_USER | {"groups": groups("engineer", "office")})
    assert "stands alone" in answer.content.decode()
    assert not User.objects.filter(username="kim").exists()
    url = reverse("admin:jobs_user_change", args=[office.pk])
    answer = client.post(url, form_of(client, url) | {"groups": groups("estimator")})
    assert "last office user" in answer.content.decode()
    off = {name: value for name, value in form_of(client, url).items() if name != "is_active"}
    assert "stays switched on" in client.post(url, off).content.decode()


def test_an_engineers_certificate_and_licence_are_recorded(client, office):
    engineer, pem = UserFactory(roles=["engineer"]), a_certificate()
    add = reverse("admin:jobs_enrolledcertificate_add")
    assert "not an engineer" in client.post(add, {"user": office.pk, "certificate_pem": pem}).content.decode()
    assert "PEM form" in client.post(add, {"user": engineer.pk, "certificate_pem": "x"}).content.decode()
    assert client.post(add, {"user": engineer.pk, "certificate_pem": pem}).status_code == 302
    row = EnrolledCertificate.objects.get()
    assert len(row.fingerprint_sha256) == 64
    client.post(
        reverse("admin:jobs_enrolledcertificate_changelist"), {"action": "revoke", "_selected_action": [row.pk]}
    )
    row.refresh_from_db()
    assert row.revoked_at is not None

    licence = {"user": engineer.pk, "state": "CA", "number": "demo", "discipline": "Civil engineer"}
    licence["expires_on"] = (timezone.localdate() + timedelta(days=1)).isoformat()
    add = reverse("admin:jobs_engineerlicence_add")
    assert client.post(add, licence).status_code == 302
    assert "not an engineer" in client.post(add, licence | {"user": office.pk}).content.decode()


def test_a_crew_is_made_of_installers(client, office):
    url = reverse("admin:jobs_crew_change", args=[CrewFactory().pk])
    answer = client.post(url, form_of(client, url) | {"lead": office.pk, "members": []})
    assert "Not an installer" in answer.content.decode()


def test_the_company_is_added_once(client, office):
    facts = {"name": "A", "address": "A", "phone": "1", "email": "a@example.com", "contractor_licence": "invented"}
    facts |= {"bar_stock_in": "[1.5]", "species_list": "[]"}
    assert client.post(reverse("admin:jobs_company_add"), facts).status_code == 302
    assert Company.objects.get().pk == 1
    assert client.get(reverse("admin:jobs_company_add")).status_code == 403
