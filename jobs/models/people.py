"""Users and their roles, crews, engineers' licences and certificates."""

from __future__ import annotations

from django.contrib.auth.models import AbstractUser
from django.db import models
from django.utils.functional import cached_property

from jobs.models.base import Versioned


class Role(models.TextChoices):
    OFFICE = "office"
    ESTIMATOR = "estimator"
    ENGINEER = "engineer"
    INSTALLER = "installer"


class User(AbstractUser):
    """A person who logs in. Roles are groups of the same names."""

    @cached_property
    def roles(self) -> frozenset[Role]:
        """The user's roles, read once an instance; none for a user who was switched off."""
        if not self.is_active or self.pk is None:
            return frozenset()
        names = set(self.groups.values_list("name", flat=True))
        return frozenset(role for role in Role if role.value in names)

    @property
    def display_name(self) -> str:
        return self.get_full_name() or self.username

    def __str__(self) -> str:
        return self.display_name


class EngineerLicence(Versioned):
    """A licence as the state prints it; a stamp and a criteria sheet quote it."""

    user = models.ForeignKey(User, on_delete=models.PROTECT, related_name="licences")
    state = models.CharField(max_length=2)
    number = models.CharField(max_length=40)
    discipline = models.CharField(max_length=60)
    expires_on = models.DateField()

    class Meta:
        ordering = ["state", "number"]
        constraints = [
            models.UniqueConstraint(fields=["state", "discipline", "number"], name="engineerlicence_number_once"),
        ]

    def __str__(self) -> str:
        return f"{self.discipline} {self.state} {self.number}"


class EnrolledCertificate(models.Model):
    """The certificate an engineer signs with, pinned by its fingerprint. The key stays with the engineer."""

    user = models.ForeignKey(User, on_delete=models.PROTECT, related_name="certificates")
    certificate_pem = models.TextField()
    fingerprint_sha256 = models.CharField(max_length=64, unique=True)
    subject = models.CharField(max_length=300)
    not_after = models.DateTimeField()
    enrolled_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-enrolled_at"]

    def __str__(self) -> str:
        return f"{self.subject} ({self.fingerprint_sha256[:12]})"


class Crew(Versioned):
    """A group of installers with its lead."""

    name = models.CharField(max_length=60, unique=True)
    lead = models.ForeignKey(User, on_delete=models.PROTECT, related_name="crews_led")
    members = models.ManyToManyField(User, related_name="crews", blank=True)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    def has(self, user: User) -> bool:
        """Whether the user leads this crew or belongs to it."""
        return self.lead_id == user.pk or self.members.filter(pk=user.pk).exists()
