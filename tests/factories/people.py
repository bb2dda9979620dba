"""Users, licences, certificates, crews."""

from __future__ import annotations

import hashlib
from datetime import timedelta

import factory
from django.contrib.auth.models import Group
from django.utils import timezone

from jobs import models
from tests.factories.base import PASSWORD, Factory


class UserFactory(Factory):
    """A user; `roles=["office"]` puts them into the groups."""

    class Meta:
        model = models.User
        skip_postgeneration_save = True

    username = factory.Sequence("person{}".format)
    first_name = "Robin"
    last_name = factory.Sequence("Example{}".format)
    password = factory.django.Password(PASSWORD)

    @factory.post_generation
    def roles(self, create, names, **kwargs):
        self.groups.set(Group.objects.filter(name__in=names or []))


class EngineerLicenceFactory(Factory):
    class Meta:
        model = models.EngineerLicence

    user = factory.SubFactory(UserFactory, roles=["engineer"])
    state = "CA"
    number = factory.Sequence("demo {}".format)
    discipline = "Civil engineer"
    expires_on = factory.LazyFunction(lambda: timezone.localdate() + timedelta(days=365))


class EnrolledCertificateFactory(Factory):
    class Meta:
        model = models.EnrolledCertificate

    user = factory.SubFactory(UserFactory, roles=["engineer"])
    certificate_pem = "-----BEGIN CERTIFICATE-----"
    fingerprint_sha256 = factory.Sequence(lambda n: hashlib.sha256(str(n).encode()).hexdigest())
    subject = "CN=demo, not a licence"
    not_after = factory.LazyFunction(lambda: timezone.now() + timedelta(days=365))
    enrolled_at = factory.LazyFunction(timezone.now)


class CrewFactory(Factory):
    """A crew; `members=[user]` adds to the lead."""

    class Meta:
        model = models.Crew
        skip_postgeneration_save = True

    name = factory.Sequence("Crew {}".format)
    lead = factory.SubFactory(UserFactory, roles=["installer"])

    @factory.post_generation
    def members(self, create, users, **kwargs):
        self.members.set(users or [])
