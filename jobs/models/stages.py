"""A job (one retrofit of one house), its stage, holds, log and review comments."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from jobs.models.base import Frozen, Versioned, known
from jobs.models.houses import House
from jobs.models.people import Role, User


class Stage(models.TextChoices):
    INQUIRY = "inquiry"
    SURVEY_BOOKED = "survey booked"
    SURVEYED = "surveyed"
    CRITERIA_SET = "criteria set"
    DESIGNED = "designed"
    PROPOSED = "proposed"
    CONTRACT_SIGNED = "contract signed"
    IN_REVIEW = "in review"
    STAMPED = "stamped"
    SUBMITTED = "submitted"
    PERMIT_ISSUED = "permit issued"
    RELEASED = "released"
    IN_PROGRESS = "in progress"
    FINAL_INSPECTION = "final inspection"
    CLOSED = "closed"
    LOST = "lost"
    CANCELLED = "cancelled"


OVER = (Stage.CLOSED, Stage.LOST, Stage.CANCELLED)


class LegalBasis(models.TextChoices):
    A3_PRESCRIPTIVE = "appendix A3 prescriptive", "appendix A3 prescriptive"
    A3_ENGINEERED = "appendix A3 engineered", "appendix A3 engineered"
    VOLUNTARY = "voluntary lateral alteration", "voluntary lateral alteration"
    LOCAL_MANDATE = "local mandate", "local mandate"
    STANDARD_PLAN = "jurisdiction standard plan", "jurisdiction standard plan"


class JobQuerySet(models.QuerySet):
    def visible_to(self, user: User) -> JobQuerySet:
        """Office and estimators: all; engineer: assigned jobs; installer: jobs with a work order of an own crew."""
        if user.roles & {Role.OFFICE, Role.ESTIMATOR}:
            return self
        seen = Q(pk__in=[])
        if Role.ENGINEER in user.roles:
            seen |= Q(assigned_engineer=user)
        if Role.INSTALLER in user.roles:
            from jobs.models.field_work import WorkOrder  # field_work.py imports this module

            seen |= Q(pk__in=WorkOrder.objects.visible_to(user).values("job"))
        return self.filter(seen)


class Job(Versioned):
    """One retrofit of one house. `stage` is written by services.stages alone."""

    number = models.CharField(max_length=20, unique=True)
    house = models.ForeignKey(House, on_delete=models.PROTECT, related_name="jobs")
    title = models.CharField(max_length=160)
    stage = models.CharField(max_length=20, choices=Stage, default=Stage.INQUIRY, editable=False)
    legal_basis = models.CharField(max_length=40, choices=LegalBasis)
    assigned_engineer = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="assigned_jobs"
    )
    estimator = models.ForeignKey(User, null=True, blank=True, on_delete=models.PROTECT, related_name="estimated_jobs")

    survey_on = models.DateField(null=True, blank=True)
    proposed_on = models.DateField(null=True, blank=True)
    contract_signed_on = models.DateField(null=True, blank=True)
    cancellation_ends_on = models.DateField(null=True, blank=True)
    permit_applied_on = models.DateField(null=True, blank=True)
    permit_number = models.CharField(max_length=60, blank=True)
    permit_issued_on = models.DateField(null=True, blank=True)
    city_set = models.FileField(upload_to="city_sets/", blank=True)
    city_set_sha256 = models.CharField(max_length=64, blank=True)
    city_set_uploaded_on = models.DateField(null=True, blank=True)
    programme = models.CharField(max_length=120, blank=True)  # grant, rebate or insurer; empty: none
    programme_approved_on = models.DateField(null=True, blank=True)
    prescriptive_accepted_on = models.DateField(null=True, blank=True)

    waiting_for_who = models.CharField(max_length=80, blank=True)
    waiting_for_what = models.CharField(max_length=160, blank=True)
    waiting_for_due = models.DateField(null=True, blank=True)

    objects = JobQuerySet.as_manager()

    class Meta:
        ordering = ["number"]
        constraints = [
            known("job", "stage", Stage),
            known("job", "legal_basis", LegalBasis),
            models.CheckConstraint(
                name="job_city_set_with_hash_and_date",
                condition=Q(city_set="", city_set_sha256="", city_set_uploaded_on__isnull=True)
                | (~Q(city_set="") & ~Q(city_set_sha256="") & Q(city_set_uploaded_on__isnull=False)),
            ),
            models.CheckConstraint(
                name="job_permit_with_number_and_date",
                condition=Q(permit_number="", permit_issued_on__isnull=True)
                | (~Q(permit_number="") & Q(permit_issued_on__isnull=False)),
                violation_error_message="A permit has a number and the date it was issued.",
            ),
            models.CheckConstraint(
                name="job_cancellation_ends_after_signing",
                condition=Q(cancellation_ends_on__gte=models.F("contract_signed_on")),
                violation_error_message="The cancellation period ends on or after the day the contract was signed.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.title}"

    @property
    def is_prescriptive(self) -> bool:
        """Whether the job takes the prescriptive route, with no engineering analysis."""
        return self.legal_basis == LegalBasis.A3_PRESCRIPTIVE

    @property
    def current_hold(self) -> Hold | None:
        return self.holds.filter(until__isnull=True).first()


class Hold(models.Model):
    """On hold: a dated flag with a reason beside the stage."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="holds")
    reason = models.CharField(max_length=300)
    since = models.DateField()
    until = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["-since", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["job"], condition=Q(until__isnull=True), name="hold_one_open_a_job"),
            models.CheckConstraint(name="hold_reason_not_empty", condition=~Q(reason="")),
            models.CheckConstraint(name="hold_ends_after_start", condition=Q(until__gte=models.F("since"))),
        ]

    def __str__(self) -> str:
        return f"on hold since {self.since}: {self.reason}"


class JobEvent(Frozen):
    """The log: who, when, what changed, from what to what. `subject` names what belongs to no job or house."""

    job = models.ForeignKey(Job, null=True, blank=True, on_delete=models.PROTECT, related_name="events")
    house = models.ForeignKey(House, null=True, blank=True, on_delete=models.PROTECT, related_name="events")
    subject = models.CharField(max_length=160, blank=True)
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    what = models.CharField(max_length=80)
    before = models.TextField(blank=True)
    after = models.TextField(blank=True)
    note = models.TextField(blank=True)

    class Meta(Frozen.Meta):
        ordering = ["at", "pk"]
        constraints = [
            models.CheckConstraint(
                name="jobevent_is_about_something",
                condition=Q(job__isnull=False) | Q(house__isnull=False) | ~Q(subject=""),
            )
        ]

    def __str__(self) -> str:
        return f"{self.what} by {self.by}"


class ReviewComment(models.Model):
    """What the engineer asks for when a job goes back to "designed"; open until someone marks it resolved."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="review_comments")
    design = models.ForeignKey(
        "jobs.Design", null=True, blank=True, on_delete=models.PROTECT, related_name="review_comments"
    )
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    text = models.TextField()
    at = models.DateTimeField()
    resolved_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["at", "pk"]
        constraints = [models.CheckConstraint(name="reviewcomment_text_not_empty", condition=~Q(text=""))]

    def __str__(self) -> str:
        return self.text[:60]
