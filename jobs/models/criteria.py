"""Criteria sheets (the engineer's) and the acceptance of printed tables nobody here has read."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from jobs.models.base import Frozen, Versioned, known, positive
from jobs.models.clients import CodeFamily, Jurisdiction
from jobs.models.people import Role, User
from jobs.models.stages import Job, LegalBasis


class RiskCategory(models.TextChoices):
    ONE = "I", "I"
    TWO = "II", "II"
    THREE = "III", "III"
    FOUR = "IV", "IV"


class Diaphragm(models.TextChoices):
    FLEXIBLE = "flexible"
    RIGID = "rigid"


class CriteriaSheetQuerySet(models.QuerySet):
    def visible_to(self, user: User) -> CriteriaSheetQuerySet:
        """Office and estimators: all; engineer: templates and assigned jobs; installer: none."""
        if user.roles & {Role.OFFICE, Role.ESTIMATOR}:
            return self
        if Role.ENGINEER in user.roles:
            return self.filter(Q(job__isnull=True) | Q(job__assigned_engineer=user))
        return self.none()


class CriteriaSheet(Versioned):
    """How a design is calculated. Without a job: the standing template of a jurisdiction and code family.

    `redundancy` NULL: computed from the bays, 1.3 where they can't be shown. `force_factor` acts on the horizontal
    effect only.
    """

    job = models.OneToOneField(Job, null=True, blank=True, on_delete=models.CASCADE, related_name="criteria_sheet")
    jurisdiction = models.ForeignKey(Jurisdiction, on_delete=models.PROTECT, related_name="criteria_sheets")
    code_family = models.CharField(max_length=4, choices=CodeFamily)
    legal_basis = models.CharField(max_length=40, choices=LegalBasis)
    force_level = models.CharField(max_length=60)
    force_factor = models.FloatField()
    response_modification = models.FloatField()
    importance = models.FloatField()
    redundancy = models.FloatField(null=True, blank=True)
    load_duration = models.FloatField()
    maximum_connector_spacing_in = models.FloatField()
    risk_category = models.CharField(max_length=3, choices=RiskCategory, default=RiskCategory.TWO)
    system = models.CharField(max_length=80, default="bearing wall, wood structural panels")
    s_ds_cap = models.BooleanField(default=False)
    diaphragm = models.CharField(max_length=10, choices=Diaphragm, default=Diaphragm.FLEXIBLE)
    diaphragm_force_governs = models.BooleanField(default=False)  # links 0, 1 and 3 by F_px, else by story shear
    accepts_r_for_panels = models.BooleanField(default=False)
    link_0_accepted = models.BooleanField(default=False)
    small_pieces_accepted = models.BooleanField(default=False)  # panel pieces under 4 × 8 ft by the access opening
    remaining_deficiencies = models.TextField(blank=True)
    method = models.TextField(blank=True)
    notes = models.TextField(blank=True)
    confirmed_by = models.ForeignKey(
        User, null=True, blank=True, editable=False, on_delete=models.PROTECT, related_name="confirmed_sheets"
    )
    confirmed_on = models.DateField(null=True, blank=True, editable=False)
    confirmed_licence = models.CharField(max_length=120, blank=True, editable=False)

    objects = CriteriaSheetQuerySet.as_manager()

    class Meta:
        ordering = ["jurisdiction", "code_family", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["jurisdiction", "code_family"],
                condition=Q(job__isnull=True),
                name="criteriasheet_one_template_a_jurisdiction_and_family",
            ),
            known("criteriasheet", "code_family", CodeFamily),
            known("criteriasheet", "legal_basis", LegalBasis),
            known("criteriasheet", "risk_category", RiskCategory),
            known("criteriasheet", "diaphragm", Diaphragm),
            *positive(
                "criteriasheet",
                "response_modification",
                "importance",
                "load_duration",
                "maximum_connector_spacing_in",
            ),
            models.CheckConstraint(
                name="criteriasheet_force_factor_up_to_one", condition=Q(force_factor__gt=0, force_factor__lte=1)
            ),
            models.CheckConstraint(
                name="criteriasheet_redundancy_from_1_to_1_3", condition=Q(redundancy__range=(1.0, 1.3))
            ),
            models.CheckConstraint(
                name="criteriasheet_confirmed_by_name_date_and_licence",
                condition=Q(confirmed_by__isnull=True, confirmed_on__isnull=True, confirmed_licence="")
                | (
                    Q(job__isnull=False, confirmed_by__isnull=False, confirmed_on__isnull=False)
                    & ~Q(confirmed_licence="")
                ),
            ),
        ]

    def __str__(self) -> str:
        whose = f"job {self.job.number}" if self.job else f"standing template, {self.jurisdiction}"
        return f"criteria sheet ({whose}, {self.code_family})"

    @property
    def is_confirmed(self) -> bool:
        return self.confirmed_by_id is not None


class TableSetAcceptance(Frozen):
    """An engineer accepts an edition's printed tables under their licence, once, dated."""

    code_family = models.CharField(max_length=4, choices=CodeFamily)
    engineer = models.ForeignKey(User, on_delete=models.PROTECT, related_name="accepted_table_sets")
    licence = models.CharField(max_length=120)
    accepted_on = models.DateField()

    class Meta(Frozen.Meta):
        ordering = ["code_family", "accepted_on"]
        constraints = [
            models.UniqueConstraint(fields=["code_family", "engineer"], name="tablesetacceptance_once_an_engineer"),
            known("tablesetacceptance", "code_family", CodeFamily),
            models.CheckConstraint(name="tablesetacceptance_licence_not_empty", condition=~Q(licence="")),
        ]

    def __str__(self) -> str:
        return f"{self.code_family} tables accepted by {self.engineer}, {self.licence}"
