"""One wall line as surveyed: framing, sill, foundation, anchors and what stands in the way.

Lengths run from the line's zero end, in inches. NULL and empty text mean "not observed"; the survey is complete only
when services.wall_lines.missing_facts names nothing.
"""

from __future__ import annotations

from math import hypot

from django.db import models
from django.db.models import F, Q

from jobs.models.base import Versioned, known, not_negative, positive, span
from jobs.models.houses import House
from jobs.models.people import User

BARE = "bare"  # an outside face without any finish
MEMBERS = ("sill", "studs", "plates", "rim", "block")


class JoistDirection(models.TextChoices):
    PERPENDICULAR = "perpendicular"
    PARALLEL = "parallel"


class TopNailsReach(models.TextChoices):
    LOWER = "lower plate"
    UPPER = "upper plate"


class FoundationMaterial(models.TextChoices):
    CONCRETE = "concrete"
    MASONRY = "masonry"
    PARTIAL = "partial"
    POSTS = "posts"


class SegmentKind(models.TextChoices):
    CRIPPLE_WALL = "cripple wall"
    JOISTS_ON_SILL = "joists on the sill"
    BASEMENT_WALL = "basement or garage wall"
    SLAB_PART = "slab part"


class FloorEdge(models.TextChoices):
    RIM = "rim joist"
    END = "end joist"
    BLOCKS = "blocks between joists"
    NOTHING = "nothing"


class FoundationFace(models.TextChoices):
    SOUND = "sound"
    UNSOUND = "unsound"


class Moisture(models.TextChoices):
    DRY = "dry"
    WET = "wet"


class PlateOf(models.TextChoices):
    UPPER = "upper"
    LOWER = "lower"


class LineEnd(models.TextChoices):
    ZERO = "zero"
    FAR = "far"


class WallLineQuerySet(models.QuerySet):
    def visible_to(self, user: User) -> WallLineQuerySet:
        """The wall lines of the houses that the user sees."""
        return self.filter(house__in=House.objects.visible_to(user))


class WallLine(Versioned):
    """A straight line of bracing in one level, its end points in plan in feet."""

    house = models.ForeignKey(House, on_delete=models.CASCADE, related_name="wall_lines")
    label = models.CharField(max_length=20)
    level = models.CharField(max_length=40, default="under the first floor")
    start_x_ft = models.FloatField()
    start_y_ft = models.FloatField()
    end_x_ft = models.FloatField()
    end_y_ft = models.FloatField()

    # Species, specific gravity and how it is known, for each member. No default species.
    sill_species = models.CharField(max_length=60, blank=True)
    sill_specific_gravity = models.FloatField(null=True, blank=True)
    sill_basis = models.CharField(max_length=120, blank=True)
    sill_treated = models.BooleanField(null=True, blank=True)
    studs_species = models.CharField(max_length=60, blank=True)
    studs_specific_gravity = models.FloatField(null=True, blank=True)
    studs_basis = models.CharField(max_length=120, blank=True)
    plates_species = models.CharField(max_length=60, blank=True)
    plates_specific_gravity = models.FloatField(null=True, blank=True)
    plates_basis = models.CharField(max_length=120, blank=True)
    rim_species = models.CharField(max_length=60, blank=True)
    rim_specific_gravity = models.FloatField(null=True, blank=True)
    rim_basis = models.CharField(max_length=120, blank=True)
    block_species = models.CharField(max_length=60, blank=True)
    block_specific_gravity = models.FloatField(null=True, blank=True)
    block_basis = models.CharField(max_length=120, blank=True)

    # Top plates: how many, then the thickness of each; NULL count = not observed.
    top_plate_count = models.PositiveSmallIntegerField(null=True, blank=True)
    lower_plate_in = models.FloatField(null=True, blank=True)
    upper_plate_in = models.FloatField(null=True, blank=True)
    plate_joints_observed = models.BooleanField(default=False)  # False: joints of the upper plate not observed
    lower_plate_joints_observed = models.BooleanField(default=False)
    plate_width_in = models.FloatField(null=True, blank=True)  # of the upper plate
    lower_plate_width_in = models.FloatField(null=True, blank=True)  # NULL: as wide as the upper plate
    plate_tension_psi = models.FloatField(null=True, blank=True)
    top_nails_reach = models.CharField(max_length=20, choices=TopNailsReach, blank=True)

    stud_depth_in = models.FloatField(null=True, blank=True)
    stud_thickness_in = models.FloatField(null=True, blank=True)
    stud_centrelines_in = models.JSONField(default=list, blank=True)

    sill_thickness_in = models.FloatField(null=True, blank=True)
    sill_width_in = models.FloatField(null=True, blank=True)
    sill_edge_in = models.FloatField(null=True, blank=True)  # sill's outer face to the edge of the concrete
    sill_gap = models.CharField(max_length=120, blank=True)  # gaps or shims under it
    sill_gap_in = models.FloatField(null=True, blank=True)  # the greatest of them
    # From the face of the concrete that one can reach back to the sill.
    side_set_back_in = models.FloatField(null=True, blank=True)
    sill_bearing_psi = models.FloatField(null=True, blank=True)

    rim_thickness_in = models.FloatField(null=True, blank=True)
    rim_depth_in = models.FloatField(null=True, blank=True)
    rim_set_back_in = models.FloatField(null=True, blank=True)
    joists = models.CharField(max_length=20, choices=JoistDirection, blank=True)
    joist_spacing_in = models.FloatField(null=True, blank=True)
    floor_edge = models.CharField(max_length=30, choices=FloorEdge, blank=True)  # what stands on the plates there
    outside_finish = models.CharField(max_length=120, blank=True)  # BARE where the framing is
    moisture = models.CharField(max_length=10, choices=Moisture, blank=True)

    jig_bears_on = models.CharField(max_length=120, blank=True)
    headroom_in = models.FloatField(null=True, blank=True)
    ceiling_finish = models.CharField(max_length=120, blank=True)  # here empty means nothing is in the way
    inside_finish = models.CharField(max_length=120, blank=True)
    obstructions = models.TextField(blank=True)
    utilities = models.TextField(blank=True)

    foundation_material = models.CharField(max_length=20, choices=FoundationMaterial, blank=True)
    foundation_continuous = models.BooleanField(null=True, blank=True)
    concrete_psi = models.FloatField(null=True, blank=True)
    concrete_basis = models.CharField(max_length=120, blank=True)
    foundation_condition = models.CharField(max_length=200, blank=True)
    foundation_face = models.CharField(max_length=10, choices=FoundationFace, blank=True)
    crack_width_in = models.FloatField(null=True, blank=True)
    foundation_width_in = models.FloatField(null=True, blank=True)  # across the wall
    foundation_depth_in = models.FloatField(null=True, blank=True)  # of concrete under the sill
    section_loss_percent = models.FloatField(null=True, blank=True)
    foundation_accepted_by = models.ForeignKey(
        User, null=True, blank=True, editable=False, on_delete=models.PROTECT, related_name="+"
    )
    foundation_acceptance_reason = models.CharField(max_length=300, blank=True, editable=False)

    link_0_floor_sheathing = models.CharField(max_length=120, blank=True)
    notes = models.TextField(blank=True)

    objects = WallLineQuerySet.as_manager()

    class Meta:
        ordering = ["house", "label"]
        constraints = [
            models.UniqueConstraint(fields=["house", "label"], name="wallline_label_once_a_house"),
            models.CheckConstraint(name="wallline_label_not_empty", condition=~Q(label="")),
            models.CheckConstraint(
                name="wallline_has_length",
                condition=~Q(start_x_ft=F("end_x_ft"), start_y_ft=F("end_y_ft")),
                violation_error_message="A wall line ends somewhere else than it starts.",
            ),
            *positive(
                "wallline",
                *(f"{member}_specific_gravity" for member in MEMBERS),
                "lower_plate_in",
                "upper_plate_in",
                "plate_width_in",
                "lower_plate_width_in",
                "plate_tension_psi",
                "stud_depth_in",
                "stud_thickness_in",
                "sill_thickness_in",
                "sill_width_in",
                "sill_bearing_psi",
                "rim_thickness_in",
                "rim_depth_in",
                "headroom_in",
                "joist_spacing_in",
                "concrete_psi",
                "foundation_width_in",
                "foundation_depth_in",
            ),
            *not_negative("wallline", "sill_edge_in", "sill_gap_in", "side_set_back_in", "crack_width_in"),
            models.CheckConstraint(
                name="wallline_section_loss_is_a_percentage", condition=Q(section_loss_percent__range=(0, 100))
            ),
            models.CheckConstraint(
                name="wallline_top_plates_as_counted",
                condition=Q(top_plate_count=0, lower_plate_in__isnull=True, upper_plate_in__isnull=True)
                | Q(top_plate_count=1, upper_plate_in__isnull=True)
                | Q(top_plate_count=2)
                | Q(top_plate_count__isnull=True, lower_plate_in__isnull=True, upper_plate_in__isnull=True),
                violation_error_message="Give a thickness for each top plate counted, and for no more.",
            ),
            known("wallline", "joists", JoistDirection, blank=True),
            known("wallline", "floor_edge", FloorEdge, blank=True),
            known("wallline", "moisture", Moisture, blank=True),
            known("wallline", "foundation_face", FoundationFace, blank=True),
            known("wallline", "top_nails_reach", TopNailsReach, blank=True),
            known("wallline", "foundation_material", FoundationMaterial, blank=True),
        ]

    def __str__(self) -> str:
        return f"Wall line {self.label}"

    @property
    def length_ft(self) -> float:
        return hypot(self.end_x_ft - self.start_x_ft, self.end_y_ft - self.start_y_ft)

    @property
    def length_in(self) -> float:
        return self.length_ft * 12.0


class Segment(models.Model):
    """A stretch of one kind of wall; segments follow one another from the zero end."""

    wall_line = models.ForeignKey(WallLine, on_delete=models.CASCADE, related_name="segments")
    kind = models.CharField(max_length=30, choices=SegmentKind)
    from_in = models.FloatField()
    to_in = models.FloatField()
    stud_height_in = models.FloatField()
    far_stud_height_in = models.FloatField(null=True, blank=True)  # of a sloped segment; NULL: the same all along
    ground_slope = models.FloatField(null=True, blank=True)  # rise over run along the line; NULL: not observed
    floor_level = models.CharField(max_length=40, blank=True)

    class Meta:
        ordering = ["from_in"]
        constraints = [
            *span("segment"),
            *not_negative("segment", "stud_height_in"),
            *positive("segment", "far_stud_height_in"),
            known("segment", "kind", SegmentKind),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.from_in:g} to {self.to_in:g} in"


class Panel(models.Model):
    """Where a shear panel may stand, or stands."""

    wall_line = models.ForeignKey(WallLine, on_delete=models.CASCADE, related_name="panels")
    from_in = models.FloatField()
    to_in = models.FloatField()

    class Meta:
        ordering = ["from_in"]
        constraints = span("panel")

    def __str__(self) -> str:
        return f"panel {self.from_in:g} to {self.to_in:g} in"


class SillPiece(models.Model):
    wall_line = models.ForeignKey(WallLine, on_delete=models.CASCADE, related_name="sill_pieces")
    from_in = models.FloatField()
    to_in = models.FloatField()

    class Meta:
        ordering = ["from_in"]
        constraints = span("sillpiece")

    def __str__(self) -> str:
        return f"sill piece {self.from_in:g} to {self.to_in:g} in"


class PlateJoint(models.Model):
    """A joint of a top plate that somebody saw."""

    wall_line = models.ForeignKey(WallLine, on_delete=models.CASCADE, related_name="plate_joints")
    plate = models.CharField(max_length=10, choices=PlateOf, default=PlateOf.UPPER)
    at_in = models.FloatField()

    class Meta:
        ordering = ["at_in"]
        constraints = [
            models.UniqueConstraint(fields=["wall_line", "plate", "at_in"], name="platejoint_place_once_a_plate"),
            known("platejoint", "plate", PlateOf),
            *not_negative("platejoint", "at_in"),
        ]

    def __str__(self) -> str:
        return f"plate joint at {self.at_in:g} in"


class UnseenPlate(models.Model):
    """A stretch where nobody could see whether a top plate is jointed."""

    wall_line = models.ForeignKey(WallLine, on_delete=models.CASCADE, related_name="unseen_plates")
    from_in = models.FloatField()
    to_in = models.FloatField()

    class Meta:
        ordering = ["from_in"]
        constraints = span("unseenplate")

    def __str__(self) -> str:
        return f"plates unseen {self.from_in:g} to {self.to_in:g} in"


class Strut(models.Model):
    """A member in line with the wall beyond one end of it, that brings the floor's shear to the line."""

    wall_line = models.ForeignKey(WallLine, on_delete=models.CASCADE, related_name="struts")
    end = models.CharField(max_length=10, choices=LineEnd)
    length_in = models.FloatField()
    thickness_in = models.FloatField()
    depth_in = models.FloatField()
    tension_psi = models.FloatField()
    basis = models.CharField(max_length=200)
    # For nails through it into the plates; NULL and empty: not observed.
    lap_in = models.FloatField(null=True, blank=True)
    species = models.CharField(max_length=60, blank=True)
    specific_gravity = models.FloatField(null=True, blank=True)

    class Meta:
        ordering = ["-end"]
        constraints = [
            models.UniqueConstraint(fields=["wall_line", "end"], name="strut_end_once_a_line"),
            *positive("strut", "length_in", "thickness_in", "depth_in", "tension_psi", "lap_in", "specific_gravity"),
            models.CheckConstraint(
                name="strut_species_with_its_specific_gravity",
                condition=Q(species="", specific_gravity__isnull=True)
                | (~Q(species="") & Q(specific_gravity__isnull=False)),
                violation_error_message="Give the species and the specific gravity that goes with it, or neither.",
            ),
            known("strut", "end", LineEnd),
        ]

    def __str__(self) -> str:
        return f"strut at the {self.end} end"


class Opening(models.Model):
    """A vent, door or window in the line."""

    wall_line = models.ForeignKey(WallLine, on_delete=models.CASCADE, related_name="openings")
    from_in = models.FloatField()
    to_in = models.FloatField()
    label = models.CharField(max_length=60)

    class Meta:
        ordering = ["from_in"]
        constraints = span("opening")

    def __str__(self) -> str:
        return self.label


class DeadLoad(models.Model):
    """Dead load that the survey shows on this wall; only such load resists overturning."""

    wall_line = models.ForeignKey(WallLine, on_delete=models.CASCADE, related_name="dead_loads")
    label = models.CharField(max_length=60)
    weight_plf = models.FloatField()

    class Meta:
        ordering = ["label", "pk"]
        constraints = positive("deadload", "weight_plf")

    def __str__(self) -> str:
        return self.label
