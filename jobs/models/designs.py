"""Choices for a wall line, issued designs with their connection schedule, packets and stamps."""

from __future__ import annotations

from secrets import token_urlsafe

from django.db import models
from django.db.models import Q

from jobs.models.base import Frozen, FrozenQuerySet, Versioned, known, not_negative, positive
from jobs.models.catalogue import Connector
from jobs.models.people import EnrolledCertificate, Role, User
from jobs.models.stages import Job
from jobs.models.wall_lines import WallLine


class SheathingGrade(models.TextChoices):
    STRUCTURAL_I = "Structural I"
    SHEATHING = "Sheathing"


class SheathingThickness(models.TextChoices):
    T_5_16 = "5/16", "5/16 in"
    T_3_8 = "3/8", "3/8 in"
    T_7_16 = "7/16", "7/16 in"
    T_15_32 = "15/32", "15/32 in"
    T_19_32 = "19/32", "19/32 in"


class PanelMake(models.TextChoices):
    OSB = "OSB"
    PLYWOOD_3 = "plywood 3-ply"
    PLYWOOD_4 = "plywood 4-ply or more"


class FloorToPlateBy(models.TextChoices):
    CONNECTOR = "connector", "the connector chosen above"
    BLOCKING = "blocking", "new blocking with its nails"


class WideSill(models.TextChoices):
    BLOCK = "block", "block on the sill in every bay"
    FLUSH_CUT = "flush cut", "sill cut flush with the studs"


class LineChoice(Versioned):
    """What the company proposes for one wall line. A connector that is NULL has not been chosen yet."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="line_choices")
    wall_line = models.ForeignKey(WallLine, on_delete=models.CASCADE, related_name="choices")
    sheathing_grade = models.CharField(max_length=20, choices=SheathingGrade)
    sheathing_thickness = models.CharField(max_length=6, choices=SheathingThickness)
    sheathing_nail = models.ForeignKey(Connector, on_delete=models.PROTECT, related_name="+")
    floor_to_plate = models.ForeignKey(Connector, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    alternatives = models.ManyToManyField(Connector, blank=True, related_name="+")
    stitch_nail = models.ForeignKey(Connector, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    splice_nail = models.ForeignKey(Connector, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    block_nail = models.ForeignKey(Connector, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    sill_anchor = models.ForeignKey(Connector, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    tie_down = models.ForeignKey(Connector, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    tie_down_anchor = models.ForeignKey(Connector, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    sheathing_panel = models.CharField(max_length=30, choices=PanelMake, blank=True)  # decides stiffness only
    floor_to_plate_by = models.CharField(max_length=10, choices=FloorToPlateBy, default=FloorToPlateBy.CONNECTOR)
    blocking_nail = models.ForeignKey(Connector, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    open_outside = models.BooleanField(default=False)  # the outside finish may be opened
    side_connection = models.ForeignKey(Connector, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    strut_splice = models.ForeignKey(Connector, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    wide_sill = models.CharField(max_length=10, choices=WideSill, default=WideSill.BLOCK)
    edge_spacing_in = models.PositiveSmallIntegerField(null=True, blank=True)  # NULL: the widest that carries
    # The same on the second face of the wall; all empty: one face only.
    other_face_grade = models.CharField(max_length=20, choices=SheathingGrade, blank=True)
    other_face_thickness = models.CharField(max_length=6, choices=SheathingThickness, blank=True)
    other_face_nail = models.ForeignKey(Connector, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    end_post_width_in = models.FloatField(null=True, blank=True)
    end_post_depth_in = models.FloatField(null=True, blank=True)
    end_post_species = models.CharField(max_length=60, blank=True)  # empty: of the studs' wood
    end_post_specific_gravity = models.FloatField(null=True, blank=True)
    end_post_modulus_psi = models.FloatField(null=True, blank=True)  # E, for the drift alone
    rod_from_end_in = models.FloatField(null=True, blank=True)
    compression_from_end_in = models.FloatField(null=True, blank=True)

    class Meta:
        ordering = ["wall_line"]
        constraints = [
            models.UniqueConstraint(fields=["job", "wall_line"], name="linechoice_once_a_job_and_line"),
            known("linechoice", "sheathing_grade", SheathingGrade),
            known("linechoice", "sheathing_thickness", SheathingThickness),
            known("linechoice", "wide_sill", WideSill),
            known("linechoice", "sheathing_panel", PanelMake, blank=True),
            known("linechoice", "floor_to_plate_by", FloorToPlateBy),
            models.CheckConstraint(
                name="linechoice_end_post_species_with_its_specific_gravity",
                condition=Q(end_post_species="", end_post_specific_gravity__isnull=True)
                | (~Q(end_post_species="") & Q(end_post_specific_gravity__isnull=False)),
                violation_error_message="Give the end posts' species and its specific gravity, or neither.",
            ),
            models.CheckConstraint(
                name="linechoice_edge_spacing_of_the_table", condition=Q(edge_spacing_in__in=(6, 4, 3, 2))
            ),
            models.CheckConstraint(
                name="linechoice_other_face_whole_or_none",
                condition=Q(other_face_grade="", other_face_thickness="", other_face_nail__isnull=True)
                | (~Q(other_face_grade="") & ~Q(other_face_thickness="") & Q(other_face_nail__isnull=False)),
                violation_error_message="Panels on the second face need grade, thickness and nail, or none of them.",
            ),
            *positive(
                "linechoice",
                "end_post_width_in",
                "end_post_depth_in",
                "end_post_specific_gravity",
                "end_post_modulus_psi",
            ),
            *not_negative("linechoice", "rod_from_end_in", "compression_from_end_in"),
        ]

    def __str__(self) -> str:
        return f"choice for {self.wall_line}"


class OfficeAndEngineer(FrozenQuerySet):
    """Frozen rows under a job; `path` of a subclass leads to the job."""

    path = "job"

    def visible_to(self, user: User) -> OfficeAndEngineer:
        """Office and estimators: all; engineer: assigned jobs; installer: none."""
        if user.roles & {Role.OFFICE, Role.ESTIMATOR}:
            return self
        if Role.ENGINEER in user.roles:
            return self.filter(**{f"{self.path}__assigned_engineer": user})
        return self.none()


class Design(Frozen):
    """One frozen revision: every input and every result as canonical JSON text. Never rehash a parsed value."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="designs")
    revision = models.PositiveIntegerField()
    snapshot = models.TextField()
    inputs_sha256 = models.CharField(max_length=64)
    snapshot_sha256 = models.CharField(max_length=64)
    calculated_on = models.DateField()
    software_version = models.CharField(max_length=40)
    issued_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    issued_at = models.DateTimeField()
    quantity_study = models.BooleanField()
    note = models.CharField(max_length=300, blank=True)

    objects = OfficeAndEngineer.as_manager()

    class Meta(Frozen.Meta):
        ordering = ["job", "revision"]
        constraints = [
            models.UniqueConstraint(fields=["job", "revision"], name="design_revision_once_a_job"),
            *positive("design", "revision"),
        ]

    def __str__(self) -> str:
        return f"design {self.job.number} revision {self.revision}"


class ConnectionSchedule(Frozen):
    """What is built, written once with its design. Quantities are read from here and nowhere else."""

    design = models.OneToOneField(Design, on_delete=models.PROTECT, related_name="connection_schedule")

    def __str__(self) -> str:
        return f"connection schedule of {self.design}"


class ScheduleLine(Frozen):
    """One row of the schedule; `panel` and `piece` count from 1 along the line from its zero end."""

    schedule = models.ForeignKey(ConnectionSchedule, on_delete=models.PROTECT, related_name="lines")
    wall_line_label = models.CharField(max_length=20)
    link = models.CharField(max_length=2)
    role = models.CharField(max_length=40)
    connector_key = models.CharField(max_length=60)
    connector_name = models.CharField(max_length=120)
    count = models.PositiveIntegerField()
    spacing_in = models.FloatField(null=True, blank=True)
    positions_in = models.JSONField(default=list)
    panel = models.PositiveSmallIntegerField(null=True, blank=True)
    piece = models.PositiveSmallIntegerField(null=True, blank=True)
    demand = models.FloatField(null=True, blank=True)
    capacity = models.FloatField(null=True, blank=True)
    unit = models.CharField(max_length=10, blank=True)
    ratio = models.FloatField(null=True, blank=True)
    governing = models.CharField(max_length=200, blank=True)
    note = models.TextField(blank=True)

    class Meta(Frozen.Meta):
        ordering = ["schedule", "wall_line_label", "pk"]
        constraints = positive("scheduleline", "spacing_in", "panel", "piece")

    def __str__(self) -> str:
        return f"{self.wall_line_label}: {self.count} × {self.connector_name}"


class PacketQuerySet(models.QuerySet):
    def visible_to(self, user: User) -> PacketQuerySet:
        """Office and estimators: all; engineer: assigned jobs; installer: designs of an own crew's work orders."""
        if user.roles & {Role.OFFICE, Role.ESTIMATOR}:
            return self
        seen = Q(pk__in=[])
        if Role.ENGINEER in user.roles:
            seen |= Q(design__job__assigned_engineer=user)
        if Role.INSTALLER in user.roles:
            from jobs.models.field_work import WorkOrder  # field_work.py imports this module

            seen |= Q(design__in=WorkOrder.objects.visible_to(user).values("design"))
        return self.filter(seen)


def verification_token() -> str:
    """An unguessable name for a packet's public verification page."""
    return token_urlsafe(24)


class Packet(models.Model):
    """An ordered list of files for a permit, made from one design."""

    design = models.ForeignKey(Design, on_delete=models.PROTECT, related_name="packets")
    number = models.PositiveIntegerField()
    token = models.CharField(max_length=64, unique=True, default=verification_token, editable=False)
    created_at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_by = models.ForeignKey(User, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    withdrawn_reason = models.CharField(max_length=300, blank=True)

    objects = PacketQuerySet.as_manager()

    class Meta:
        ordering = ["design", "number"]
        constraints = [
            models.UniqueConstraint(fields=["design", "number"], name="packet_number_once_a_design"),
            models.CheckConstraint(
                name="packet_withdrawn_by_someone_for_a_reason",
                condition=Q(withdrawn_at__isnull=True, withdrawn_by__isnull=True, withdrawn_reason="")
                | (Q(withdrawn_at__isnull=False, withdrawn_by__isnull=False) & ~Q(withdrawn_reason="")),
            ),
        ]

    def __str__(self) -> str:
        return f"packet {self.number} of {self.design}"

    @property
    def is_ready(self) -> bool:
        """Whether every file has its review copy and, where it is stamped, its signing copy."""
        files = list(self.files.all())
        return bool(files) and all(file.review_copy and (file.signing_copy or not file.needs_stamp) for file in files)

    @property
    def is_stamped(self) -> bool:
        """Whether every file that needs a stamp has one."""
        needing = self.files.filter(needs_stamp=True)
        return needing.exists() and not needing.filter(stamp__isnull=True).exists()


class PacketFileKind(models.TextChoices):
    PLAN_SET = "plan_set", "plan set"
    CALCULATIONS = "calculations", "calculations"
    SET = "set", "plan set and calculations"


class PacketFile(models.Model):
    """One file of a packet in up to three objects: review copy, signing copy, stamped original."""

    packet = models.ForeignKey(Packet, on_delete=models.PROTECT, related_name="files")
    kind = models.CharField(max_length=20, choices=PacketFileKind)
    order = models.PositiveSmallIntegerField()
    needs_stamp = models.BooleanField()
    document_sha256 = models.CharField(max_length=64, blank=True)
    review_copy = models.CharField(max_length=200, blank=True)  # names in default_storage
    review_copy_sha256 = models.CharField(max_length=64, blank=True)
    signing_copy = models.CharField(max_length=200, blank=True)
    signing_copy_sha256 = models.CharField(max_length=64, blank=True)
    stamped = models.CharField(max_length=200, blank=True)
    stamped_sha256 = models.CharField(max_length=64, blank=True)
    problem = models.TextField(blank=True)  # why its copies can't be made, as a sentence for a person

    class Meta:
        ordering = ["packet", "order"]
        constraints = [
            models.UniqueConstraint(fields=["packet", "kind"], name="packetfile_kind_once_a_packet"),
            models.UniqueConstraint(fields=["packet", "order"], name="packetfile_order_once_a_packet"),
            known("packetfile", "kind", PacketFileKind),
            *(
                models.CheckConstraint(
                    name=f"packetfile_{name}_with_its_hash",
                    condition=Q(**{name: "", f"{name}_sha256": ""}) | (~Q(**{name: ""}) & ~Q(**{f"{name}_sha256": ""})),
                )
                for name in ("review_copy", "signing_copy", "stamped")
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} of {self.packet}"


class Stamp(Frozen):
    """The engineer's seal, signature and date on one file, as the server checked it."""

    packet_file = models.OneToOneField(PacketFile, on_delete=models.PROTECT, related_name="stamp")
    signer = models.ForeignKey(User, on_delete=models.PROTECT, related_name="stamps")
    certificate = models.ForeignKey(EnrolledCertificate, on_delete=models.PROTECT, related_name="stamps")
    licence = models.CharField(max_length=120)  # as it read on that day
    signed_at = models.DateTimeField()
    recorded_at = models.DateTimeField()
    file_sha256 = models.CharField(max_length=64)
    design_sha256 = models.CharField(max_length=64)

    class Meta(Frozen.Meta):
        ordering = ["packet_file"]

    def __str__(self) -> str:
        return f"stamp on {self.packet_file}"
