"""The company itself, its clients, and the jurisdictions it works in."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from jobs.models.base import Versioned, known
from jobs.models.people import Role, User


class CodeFamily(models.TextChoices):
    FAMILY_2021 = "2021", "2021 family (ASCE 7-16, NDS 2018, SDPWS 2021, IEBC 2021)"
    FAMILY_2024 = "2024", "2024 family (ASCE 7-22, NDS 2024, SDPWS 2021, IEBC 2024)"


class StampMethod(models.TextChoices):
    DIGITAL = "digital", "digital signature"
    IMAGE_OVER_SEAL = "image over seal", "image over seal"
    WET_SCAN = "scan of a wet-signed set", "scan of a wet-signed set"


class SheetSize(models.TextChoices):
    """Paper of a plan set, in inches. Sheets are laid out at 24 × 36 and reduced or enlarged as a whole."""

    FULL = "24x36", "24 × 36"
    LARGER = "30x42", "30 × 42"
    ANSI_D = "22x34", "22 × 34"
    ARCH_C = "18x24", "18 × 24"
    LEDGER = "11x17", "11 × 17"


class Company(Versioned):
    """The one row about the company: what its papers print and what its shop has.

    `bar_stock_in`: diameters of round bar for drilling jigs. `species_list`: what a member whose species was not
    observed may be, rows of {"species", "specific_gravity", "built_from", "built_to"} (years, null = open end).
    """

    name = models.CharField(max_length=120)
    address = models.CharField(max_length=200)
    phone = models.CharField(max_length=40)
    email = models.EmailField()
    contractor_licence = models.CharField(max_length=80)
    bar_stock_in = models.JSONField(default=list, blank=True)
    species_list = models.JSONField(default=list, blank=True)
    demo = models.BooleanField(default=False, editable=False)  # set by `manage.py demo`; only such a database is reset

    class Meta:
        verbose_name_plural = "company"
        constraints = [models.CheckConstraint(name="company_one_row", condition=Q(id=1))]

    def __str__(self) -> str:
        return self.name


class ClientQuerySet(models.QuerySet):
    def visible_to(self, user: User) -> ClientQuerySet:
        """Office and estimators see every client; an engineer the clients of assigned jobs; installers none."""
        if user.roles & {Role.OFFICE, Role.ESTIMATOR}:
            return self
        if Role.ENGINEER in user.roles:
            return self.filter(houses__jobs__assigned_engineer=user).distinct()
        return self.none()


class Client(Versioned):
    name = models.CharField(max_length=120)
    mailing_address = models.CharField(max_length=300, blank=True)
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    notes = models.TextField(blank=True)

    objects = ClientQuerySet.as_manager()

    class Meta:
        ordering = ["name", "pk"]
        constraints = [models.CheckConstraint(name="client_name_not_empty", condition=~Q(name=""))]

    def __str__(self) -> str:
        return self.name


class Jurisdiction(Versioned):
    """A building department: its adopted code under its local title, and how it wants a set stamped."""

    name = models.CharField(max_length=120)
    state = models.CharField(max_length=2)
    code_title = models.CharField(max_length=200)
    code_family = models.CharField(max_length=4, choices=CodeFamily)
    edition = models.CharField(max_length=60)
    stamp_required = models.BooleanField(default=True)
    stamp_method = models.CharField(max_length=30, choices=StampMethod, default=StampMethod.DIGITAL)
    accepts_prescriptive = models.BooleanField(default=False)
    sheet_size = models.CharField(max_length=20, choices=SheetSize, default=SheetSize.FULL)
    one_file = models.BooleanField(
        "plan set and calculations in one file", default=False, help_text="Otherwise each is a file of its own."
    )
    notes = models.TextField(blank=True)

    class Meta:
        ordering = ["state", "name"]
        constraints = [
            models.UniqueConstraint(fields=["state", "name"], name="jurisdiction_name_once_a_state"),
            known("jurisdiction", "code_family", CodeFamily),
            known("jurisdiction", "stamp_method", StampMethod),
            known("jurisdiction", "sheet_size", SheetSize),
        ]

    def __str__(self) -> str:
        return f"{self.name}, {self.state}"
