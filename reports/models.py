"""Documents: what was asked for, how far it is, where the file is. Not job stages."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q

from jobs.models import Design, Role, User, WorkOrder


class Kind(models.TextChoices):
    PLAN_SET = "plan_set", "Permit plan set"
    CALCULATIONS = "calculations", "Calculations"
    INSPECTION_CHECKLIST = "inspection_checklist", "Inspection checklist"
    WORK_ORDER = "work_order", "Work order"


class State(models.TextChoices):
    QUEUED = "queued"
    RENDERING = "rendering"
    READY = "ready"
    CANCELLED = "cancelled"
    FAILED = "failed"


UNDER_WAY = (State.QUEUED, State.RENDERING)


class DocumentQuerySet(models.QuerySet):
    def visible_to(self, user: User) -> DocumentQuerySet:
        """Office and estimators: all; engineer: assigned jobs; installer: own work orders and their checklists."""
        if user.roles & {Role.OFFICE, Role.ESTIMATOR}:
            return self
        seen = Q(pk__in=[])
        if Role.ENGINEER in user.roles:
            seen |= Q(design__job__assigned_engineer=user)
        if Role.INSTALLER in user.roles:
            orders = WorkOrder.objects.visible_to(user)
            seen |= Q(kind=Kind.WORK_ORDER, subject_id__in=orders.values("pk"))
            seen |= Q(kind=Kind.INSPECTION_CHECKLIST, design__in=orders.values("design"))
        return self.filter(seen)


class Document(models.Model):
    """One paper of one design. This row is the truth about the work; a message to a worker is only a hint.

    `snapshot` is the canonical JSON text of what the paper says besides the design's own frozen snapshot, and
    `inputs_sha256` is the hash of that text, so a paper with other inputs is another document. While `state` is
    "rendering", only the holder of an unexpired lease may write. `problem` is a sentence for a person. `at_work` says
    that a worker began something and has not told its end: if the lease runs out then, the worker died; otherwise the
    document only waited behind others.
    """

    kind = models.CharField(max_length=30, choices=Kind)
    design = models.ForeignKey(Design, on_delete=models.PROTECT, related_name="documents")
    subject_id = models.PositiveBigIntegerField(null=True, blank=True)
    snapshot = models.TextField()
    inputs_sha256 = models.CharField(max_length=64)
    requested_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    requested_at = models.DateTimeField()
    state = models.CharField(max_length=10, choices=State, default=State.QUEUED)
    holder = models.CharField(max_length=32, blank=True)
    lease_until = models.DateTimeField(null=True, blank=True)
    hinted_at = models.DateTimeField()
    attempts = models.PositiveSmallIntegerField(default=0)
    at_work = models.BooleanField(default=False)
    problem = models.TextField(blank=True)
    sections_done = models.PositiveSmallIntegerField(default=0)
    sections_total = models.PositiveSmallIntegerField(default=0)
    file = models.CharField(max_length=200, blank=True)  # a name in default_storage
    file_sha256 = models.CharField(max_length=64, blank=True)
    pages = models.PositiveIntegerField(default=0)

    objects = DocumentQuerySet.as_manager()

    class Meta:
        ordering = ["-requested_at", "-pk"]
        constraints = [
            # Two, because NULLs are distinct to a database.
            models.UniqueConstraint(
                fields=["kind", "design", "inputs_sha256"],
                condition=Q(subject_id__isnull=True),
                name="document_once_a_design",
            ),
            models.UniqueConstraint(
                fields=["kind", "design", "subject_id", "inputs_sha256"],
                condition=Q(subject_id__isnull=False),
                name="document_once_a_subject",
            ),
            models.CheckConstraint(name="document_kind_known", condition=Q(kind__in=Kind.values)),
            models.CheckConstraint(name="document_state_known", condition=Q(state__in=State.values)),
            models.CheckConstraint(
                name="document_ready_with_its_file", condition=~Q(state=State.READY) | ~Q(file="") & ~Q(file_sha256="")
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} of {self.design}"

    @property
    def file_name(self) -> str:
        """What a browser should call the file."""
        return f"{self.file_stem}.pdf"

    @property
    def file_stem(self) -> str:
        """How the names of all files made from the document begin."""
        subject = f"-{self.subject_id}" if self.subject_id else ""
        return f"{self.design.job.number}-r{self.design.revision}-{self.kind.replace('_', '-')}{subject}"
