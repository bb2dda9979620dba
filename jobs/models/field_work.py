"""Work orders, what the crew logs, hold points, inspections."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from jobs.models.base import Frozen, FrozenQuerySet, Versioned, known, positive
from jobs.models.designs import Design, OfficeAndEngineer
from jobs.models.people import Crew, Role, User
from jobs.models.stages import Job


class WorkOrderQuerySet(models.QuerySet):
    def visible_to(self, user: User) -> WorkOrderQuerySet:
        """Office and estimators: all; engineer: assigned jobs; installer: orders of an own crew."""
        if user.roles & {Role.OFFICE, Role.ESTIMATOR}:
            return self
        seen = Q(pk__in=[])
        if Role.ENGINEER in user.roles:
            seen |= Q(job__assigned_engineer=user)
        if Role.INSTALLER in user.roles:
            seen |= Q(crew__in=Crew.objects.filter(Q(lead=user) | Q(members=user)))
        return self.filter(seen)


class WorkOrder(Versioned):
    """One crew's work on one day, from one design. Crews can be booked before the job is released."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="work_orders")
    design = models.ForeignKey(Design, on_delete=models.PROTECT, related_name="work_orders")
    number = models.PositiveIntegerField()
    crew = models.ForeignKey(Crew, on_delete=models.PROTECT, related_name="work_orders")
    day = models.DateField()
    wall_line_labels = models.JSONField()
    cautions_acknowledged_by = models.ForeignKey(
        User, null=True, blank=True, editable=False, on_delete=models.PROTECT, related_name="+"
    )
    cautions_acknowledged_at = models.DateTimeField(null=True, blank=True, editable=False)

    objects = WorkOrderQuerySet.as_manager()

    class Meta:
        ordering = ["day", "job", "number"]
        constraints = [
            models.UniqueConstraint(fields=["job", "number"], name="workorder_number_once_a_job"),
            *positive("workorder", "number"),
            models.CheckConstraint(
                name="workorder_cautions_acknowledged_by_someone",
                condition=Q(cautions_acknowledged_by__isnull=True, cautions_acknowledged_at__isnull=True)
                | Q(cautions_acknowledged_by__isnull=False, cautions_acknowledged_at__isnull=False),
            ),
        ]

    def __str__(self) -> str:
        return f"work order {self.job.number}-W{self.number}"


class OfOwnWorkOrders(FrozenQuerySet):
    def visible_to(self, user: User) -> OfOwnWorkOrders:
        """What belongs to the work orders that the user sees."""
        return self.filter(work_order__in=WorkOrder.objects.visible_to(user))


class FieldEventKind(models.TextChoices):
    INSTALLED = "installed"
    MISSED = "missed"
    MOVED = "moved"
    SUBSTITUTED = "substituted"
    SPLIT = "split"
    ADDED = "added"
    NAIL_COUNT = "nail_count", "nails counted"
    PANEL_BUILT = "panel_built", "panel as built"
    NOTE = "note"
    HOLD_POINT = "hold_point", "hold point"


class FieldEvent(Frozen):
    """One thing that a crew logged, under an id that the phone made, so that sending it twice writes it once."""

    id = models.UUIDField(primary_key=True)
    work_order = models.ForeignKey(WorkOrder, on_delete=models.PROTECT, related_name="events")
    wall_line_label = models.CharField(max_length=20)
    kind = models.CharField(max_length=12, choices=FieldEventKind)
    payload = models.JSONField(default=dict, blank=True)
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at_client = models.DateTimeField()
    received_at = models.DateTimeField()

    objects = OfOwnWorkOrders.as_manager()

    class Meta(Frozen.Meta):
        ordering = ["received_at", "id"]
        constraints = [known("fieldevent", "kind", FieldEventKind)]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} on {self.wall_line_label}"


class HoldPoint(Frozen):
    """A point that the work must not pass without the crew lead's dated tick."""

    work_order = models.ForeignKey(WorkOrder, on_delete=models.PROTECT, related_name="hold_points")
    wall_line_label = models.CharField(max_length=20)
    name = models.CharField(max_length=120)
    ticked_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    ticked_on = models.DateField()

    objects = OfOwnWorkOrders.as_manager()

    class Meta(Frozen.Meta):
        ordering = ["work_order", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["work_order", "wall_line_label", "name"], name="holdpoint_ticked_once_a_line"
            )
        ]

    def __str__(self) -> str:
        return f"{self.name} on {self.wall_line_label}"


class InspectionResult(models.TextChoices):
    PASS = "pass"
    FAIL = "fail"


class InspectionQuerySet(FrozenQuerySet):
    def visible_to(self, user: User) -> InspectionQuerySet:
        """The inspections of the jobs that the user sees."""
        return self.filter(job__in=Job.objects.visible_to(user))


class Inspection(Frozen):
    """One visit; a later visit of the same stage may pass what failed."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="inspections")
    stage = models.CharField(max_length=80)
    day = models.DateField()
    inspector = models.CharField(max_length=120)
    result = models.CharField(max_length=4, choices=InspectionResult)
    recorded_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")

    objects = InspectionQuerySet.as_manager()

    class Meta(Frozen.Meta):
        ordering = ["day", "pk"]
        constraints = [known("inspection", "result", InspectionResult)]

    def __str__(self) -> str:
        return f"{self.stage} inspection on {self.day}"


class InspectionItem(Frozen):
    """One measurable line of an inspection."""

    inspection = models.ForeignKey(Inspection, on_delete=models.PROTECT, related_name="items")
    wall_line_label = models.CharField(max_length=20)
    text = models.CharField(max_length=200)
    criterion = models.CharField(max_length=200, blank=True)
    required = models.CharField(max_length=120, blank=True)
    measured = models.CharField(max_length=120, blank=True)
    result = models.CharField(max_length=4, choices=InspectionResult)

    class Meta(Frozen.Meta):
        ordering = ["inspection", "pk"]
        constraints = [known("inspectionitem", "result", InspectionResult)]

    def __str__(self) -> str:
        return self.text


class ProofMethod(models.TextChoices):
    """How work is proven whose inspection was not held."""

    TORQUE = "torque test"
    PULL = "pull test"
    EXPOSED = "inspection of exposed work"


class OfOwnDesigns(OfficeAndEngineer):
    path = "design__job"


class AcceptedTest(Frozen):
    """A test in place of a missed inspection, which the engineer lets count. No place named: all of its row."""

    design = models.ForeignKey(Design, on_delete=models.PROTECT, related_name="accepted_tests")
    wall_line_label = models.CharField(max_length=20)
    role = models.CharField(max_length=40)
    panel = models.PositiveSmallIntegerField(null=True, blank=True)
    piece = models.PositiveSmallIntegerField(null=True, blank=True)
    positions_in = models.JSONField(default=list, blank=True)
    method = models.CharField(max_length=40, choices=ProofMethod)
    value = models.CharField(max_length=120)  # what was measured or seen
    reason = models.CharField(max_length=300)
    accepted_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    accepted_at = models.DateTimeField()

    objects = OfOwnDesigns.as_manager()

    class Meta(Frozen.Meta):
        ordering = ["accepted_at", "pk"]
        constraints = [
            known("acceptedtest", "method", ProofMethod),
            *positive("acceptedtest", "panel", "piece"),
            models.CheckConstraint(name="acceptedtest_has_value_and_reason", condition=~Q(value="") & ~Q(reason="")),
        ]

    def __str__(self) -> str:
        return f"{self.method} of {self.role} on {self.wall_line_label}"
