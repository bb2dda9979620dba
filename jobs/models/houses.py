"""A house and what the survey found about it as a whole. NULL means "not observed" (or not yet measured)."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from jobs.models.base import Versioned, known, not_negative, positive
from jobs.models.clients import Client, Jurisdiction
from jobs.models.people import Role, User

SCOPE_ITEMS = {
    "hillside": "Hillside: slope steeper than 3:1, or the floor held uphill only",
    "open_front": "Open front under living space",
    "foundation": "Masonry or partial foundation",
    "split_level": "Split level",
    "cantilever": "Cantilever",
    "tall_veneer": "Tall veneer",
    "balloon_framing": "Balloon framing",
}
ENGINEER_MODE_ITEMS = ("hillside", "open_front")  # no line result without the engineer's named mode


class FramingKind(models.TextChoices):
    PLATFORM = "platform"
    BALLOON = "balloon"
    PLANK_AND_BEAM = "plank and beam"
    POSTS = "posts"


class SeismicDesignCategory(models.TextChoices):
    A = "A"
    B = "B"
    C = "C"
    D = "D"
    E = "E"
    F = "F"


class SiteClass(models.TextChoices):
    A = "A"
    B = "B"
    BC = "BC", "BC"
    C = "C"
    CD = "CD", "CD"
    D = "D"
    DE = "DE", "DE"
    E = "E"
    F = "F"
    DEFAULT = "default", "default: soil not known"


class HouseQuerySet(models.QuerySet):
    def visible_to(self, user: User) -> HouseQuerySet:
        """Every house for office and estimators; else those of the jobs that the user sees."""
        if user.roles & {Role.OFFICE, Role.ESTIMATOR}:
            return self
        from jobs.models.stages import Job  # stages.py imports this module

        return self.filter(pk__in=Job.objects.visible_to(user).values("house"))


class House(Versioned):
    """Address and survey facts. Outlines are closed polygons [[x, y], …] in feet, x east, y north.

    `scope_screen` answers SCOPE_ITEMS: {item: {"flag": true | false | null, "reason": text, "mode": text}}; null is
    "not observed", "mode" is the way of calculating that the engineer named for a flagged item.
    """

    client = models.ForeignKey(Client, on_delete=models.PROTECT, related_name="houses")
    jurisdiction = models.ForeignKey(Jurisdiction, on_delete=models.PROTECT, related_name="houses")
    address = models.CharField(max_length=200)
    city = models.CharField(max_length=80)
    state = models.CharField(max_length=2)
    postal_code = models.CharField(max_length=10)
    parcel_number = models.CharField(max_length=40, blank=True)
    # What a permit counter asks for besides; empty: not given.
    legal_description = models.CharField(max_length=200, blank=True)  # lot, block and tract
    zoning = models.CharField(max_length=40, blank=True)
    occupancy_group = models.CharField(max_length=20, blank=True)
    construction_type = models.CharField(max_length=20, blank=True)
    year_built = models.PositiveSmallIntegerField(null=True, blank=True)
    stories = models.PositiveSmallIntegerField(null=True, blank=True)
    dwelling_units = models.PositiveSmallIntegerField(null=True, blank=True)

    floor_outline_ft = models.JSONField(default=list, blank=True)
    roof_outline_ft = models.JSONField(default=list, blank=True)
    braced_wall_height_in = models.FloatField(null=True, blank=True)
    floor_depth_in = models.FloatField(null=True, blank=True)
    story_wall_height_in = models.FloatField(null=True, blank=True)
    regular_in_plan = models.BooleanField(null=True, blank=True)
    regular_in_height = models.BooleanField(null=True, blank=True)

    roof_psf = models.FloatField(null=True, blank=True)
    floor_psf = models.FloatField(null=True, blank=True)
    partitions_psf = models.FloatField(null=True, blank=True)
    story_wall_psf = models.FloatField(null=True, blank=True)
    braced_wall_psf = models.FloatField(null=True, blank=True)
    flat_roof_snow_psf = models.FloatField(null=True, blank=True)
    weights_source = models.CharField(max_length=300, blank=True)

    # Mapped motion and site class give S_DS and S_D1 in the 2021 family; else both are entered as they were read.
    s_s_g = models.FloatField(null=True, blank=True)
    site_class = models.CharField(max_length=10, choices=SiteClass, blank=True)
    shear_wave_measured = models.BooleanField(null=True, blank=True)
    s_ds_g = models.FloatField(null=True, blank=True)
    s_d1_g = models.FloatField(null=True, blank=True)
    s_1_g = models.FloatField(null=True, blank=True)
    t_l_s = models.FloatField(null=True, blank=True)
    hazard_source = models.CharField(max_length=300, blank=True)
    hazard_date = models.DateField(null=True, blank=True)
    seismic_design_category = models.CharField(max_length=1, choices=SeismicDesignCategory, blank=True)

    floor_sheathing = models.CharField(max_length=120, blank=True)  # empty: not observed
    framing_kind = models.CharField(max_length=20, choices=FramingKind, blank=True)  # empty: not observed
    access_opening_width_in = models.FloatField(null=True, blank=True)
    access_opening_height_in = models.FloatField(null=True, blank=True)
    water_heater_strapped = models.BooleanField(null=True, blank=True)
    lead_test_on = models.DateField(null=True, blank=True)
    lead_test_result = models.CharField(max_length=200, blank=True)
    asbestos_test_on = models.DateField(null=True, blank=True)
    asbestos_test_result = models.CharField(max_length=200, blank=True)
    scope_screen = models.JSONField(default=dict, blank=True)
    notes = models.TextField(blank=True)

    objects = HouseQuerySet.as_manager()

    class Meta:
        ordering = ["address", "pk"]
        constraints = [
            *positive(
                "house",
                "stories",
                "dwelling_units",
                "braced_wall_height_in",
                "floor_depth_in",
                "story_wall_height_in",
                "s_ds_g",
                "s_d1_g",
                "s_s_g",
                "t_l_s",
                "access_opening_width_in",
                "access_opening_height_in",
            ),
            *not_negative(
                "house",
                "roof_psf",
                "floor_psf",
                "partitions_psf",
                "story_wall_psf",
                "braced_wall_psf",
                "s_1_g",
                "flat_roof_snow_psf",
            ),
            models.CheckConstraint(name="house_year_built_plausible", condition=Q(year_built__range=(1800, 2100))),
            models.CheckConstraint(
                name="house_access_opening_both_or_none",
                condition=Q(access_opening_width_in__isnull=True, access_opening_height_in__isnull=True)
                | Q(access_opening_width_in__isnull=False, access_opening_height_in__isnull=False),
                violation_error_message="An access opening has a width and a height.",
            ),
            known("house", "framing_kind", FramingKind, blank=True),
            known("house", "seismic_design_category", SeismicDesignCategory, blank=True),
            known("house", "site_class", SiteClass, blank=True),
        ]

    def __str__(self) -> str:
        return f"{self.address}, {self.city}"


class PointWeight(models.Model):
    """A weight at one place (a chimney), wholly in the strip that holds it.

    `by_level_lb` shares it to the levels, lowest floor first, roof last; empty: all at the lowest floor.
    """

    house = models.ForeignKey(House, on_delete=models.CASCADE, related_name="point_weights")
    label = models.CharField(max_length=60)
    x_ft = models.FloatField()
    y_ft = models.FloatField()
    weight_lb = models.FloatField()
    by_level_lb = models.JSONField(default=list, blank=True)

    class Meta:
        ordering = ["label", "pk"]
        constraints = positive("pointweight", "weight_lb")

    def __str__(self) -> str:
        return self.label


class StoryAboveWall(models.Model):
    """Full-height sheathed wall above one wall line; only the redundancy bays use it.

    `story` names one of the upper stories; empty: the first story.
    """

    house = models.ForeignKey(House, on_delete=models.CASCADE, related_name="story_above")
    line_label = models.CharField(max_length=20)
    story = models.CharField(max_length=40, blank=True)
    full_height_wall_ft = models.FloatField()

    class Meta:
        ordering = ["story", "line_label"]
        constraints = [
            models.UniqueConstraint(
                fields=["house", "story", "line_label"], name="storyabovewall_once_a_line_and_story"
            ),
            *not_negative("storyabovewall", "full_height_wall_ft"),
        ]

    def __str__(self) -> str:
        return f"above {self.line_label}"


class UpperStory(models.Model):
    """A story above the first, on its own floor; `position` counts from below."""

    house = models.ForeignKey(House, on_delete=models.CASCADE, related_name="upper_stories")
    position = models.PositiveSmallIntegerField()
    label = models.CharField(max_length=40)
    floor_outline_ft = models.JSONField(default=list)
    floor_depth_in = models.FloatField()
    wall_height_in = models.FloatField()
    floor_psf = models.FloatField()
    partitions_psf = models.FloatField()
    wall_psf = models.FloatField()

    class Meta:
        ordering = ["position"]
        verbose_name_plural = "upper stories"
        constraints = [
            models.UniqueConstraint(fields=["house", "position"], name="upperstory_position_once_a_house"),
            *positive("upperstory", "floor_depth_in", "wall_height_in", "floor_psf", "wall_psf"),
            *not_negative("upperstory", "partitions_psf"),
        ]

    def __str__(self) -> str:
        return self.label


class WeightUse(models.TextChoices):
    ROOF = "roof"
    FLOOR = "floor"
    PARTITIONS = "partitions"
    STORY_WALL = "story wall"
    BRACED_WALL = "braced wall"


class WeightPart(models.Model):
    """One layer of what a roof, floor or wall is made of: a row of the table of unit weights, or the company's own
    with its note. The parts of one use add up to its unit weight."""

    house = models.ForeignKey(House, on_delete=models.CASCADE, related_name="weight_parts")
    use = models.CharField(max_length=20, choices=WeightUse)
    name = models.CharField(max_length=120)
    weight_psf = models.FloatField()
    times = models.FloatField(default=1.0)  # layers, or the eighths of an inch of a row that is by the eighth
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["use", "pk"]
        constraints = [*positive("weightpart", "weight_psf", "times"), known("weightpart", "use", WeightUse)]

    def __str__(self) -> str:
        return f"{self.use}: {self.name}"
