"""What a survey finds on a wall line and may count once accepted: sheathing, sill bolts, nails. Not its new parts."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from jobs.models.base import Versioned, known, not_negative, positive, span
from jobs.models.catalogue import Connector
from jobs.models.people import User
from jobs.models.wall_lines import WallLine


class BottomEdge(models.TextChoices):
    ON_THE_SILL = "on the sill"
    ABOVE = "stops above the sill"


class FoundSheathing(Versioned):
    """What covers the wall today. It carries nothing until the engineer accepts it, with a reason."""

    wall_line = models.ForeignKey(WallLine, on_delete=models.CASCADE, related_name="found_sheathing")
    material = models.CharField(max_length=120)
    from_in = models.FloatField()
    to_in = models.FloatField()
    bottom_edge = models.CharField(max_length=30, choices=BottomEdge, blank=True)
    allowable_plf = models.FloatField(null=True, blank=True)  # the engineer's own value, where the table has none
    source = models.CharField(max_length=200, blank=True)
    accepted = models.BooleanField(default=False, editable=False)
    accepted_by = models.ForeignKey(
        User, null=True, blank=True, editable=False, on_delete=models.PROTECT, related_name="+"
    )
    reason = models.CharField(max_length=300, blank=True, editable=False)

    class Meta:
        ordering = ["from_in", "material"]
        verbose_name_plural = "found sheathing"
        constraints = [
            *span("foundsheathing"),
            *positive("foundsheathing", "allowable_plf"),
            known("foundsheathing", "bottom_edge", BottomEdge, blank=True),
            models.CheckConstraint(
                name="foundsheathing_own_value_has_its_source",
                condition=Q(allowable_plf__isnull=True) | ~Q(source=""),
                violation_error_message="Give the source of the allowable value.",
            ),
            models.CheckConstraint(
                name="foundsheathing_accepted_by_someone_for_a_reason",
                condition=Q(accepted=False, accepted_by__isnull=True)
                | (Q(accepted=True, accepted_by__isnull=False) & ~Q(reason="")),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.material}, {self.from_in:g} to {self.to_in:g} in"


class ExistingAnchor(Versioned):
    """One bolt that was found. It counts nothing until the engineer accepts it, with a reason."""

    wall_line = models.ForeignKey(WallLine, on_delete=models.CASCADE, related_name="existing_anchors")
    at_in = models.FloatField()
    diameter_in = models.FloatField()
    embedment_in = models.FloatField(null=True, blank=True)
    edge_in = models.FloatField(null=True, blank=True)
    end_in = models.FloatField(null=True, blank=True)
    washer = models.CharField(max_length=60, blank=True)
    washer_in = models.FloatField(null=True, blank=True)  # side of a square plate washer, 0: none
    washer_thickness_in = models.FloatField(null=True, blank=True)
    seen = models.BooleanField(default=False)
    wrench_tested = models.BooleanField(default=False)
    photographed = models.BooleanField(default=False)
    accepted = models.BooleanField(default=False, editable=False)
    accepted_by = models.ForeignKey(
        User, null=True, blank=True, editable=False, on_delete=models.PROTECT, related_name="+"
    )
    reason = models.CharField(max_length=300, blank=True, editable=False)

    class Meta:
        ordering = ["at_in"]
        constraints = [
            models.UniqueConstraint(fields=["wall_line", "at_in"], name="existinganchor_place_once_a_line"),
            *positive("existinganchor", "diameter_in", "embedment_in"),
            *not_negative("existinganchor", "at_in", "edge_in", "end_in", "washer_in", "washer_thickness_in"),
            models.CheckConstraint(
                name="existinganchor_accepted_by_someone_for_a_reason",
                condition=Q(accepted=False, accepted_by__isnull=True)
                | (Q(accepted=True, accepted_by__isnull=False) & ~Q(reason="")),
            ),
        ]

    def __str__(self) -> str:
        return f"existing anchor at {self.at_in:g} in"


class NailedLink(models.TextChoices):
    FLOOR_TO_PLATE = "1", "1 floor to top plate"
    PLATE_TO_PLATE = "2", "2 upper plate to lower plate"


class AsFoundNailing(models.Model):
    """Existing nails that make link 1 or 2 today: seen, or taken by the engineer from the code of the year built."""

    wall_line = models.ForeignKey(WallLine, on_delete=models.CASCADE, related_name="as_found_nailing")
    link = models.CharField(max_length=2, choices=NailedLink)
    nail = models.ForeignKey(Connector, on_delete=models.PROTECT, related_name="+")
    spacing_in = models.FloatField()
    toenail = models.BooleanField()
    edition = models.CharField(max_length=120, blank=True, editable=False)  # empty: the nails were seen
    accepted_by = models.ForeignKey(
        User, null=True, blank=True, editable=False, on_delete=models.PROTECT, related_name="+"
    )
    reason = models.CharField(max_length=300, blank=True, editable=False)

    class Meta:
        ordering = ["link"]
        constraints = [
            *positive("asfoundnailing", "spacing_in"),
            known("asfoundnailing", "link", NailedLink),
            models.CheckConstraint(
                name="asfoundnailing_accepted_by_someone_for_a_reason",
                condition=Q(edition="", accepted_by__isnull=True, reason="")
                | (~Q(edition="") & Q(accepted_by__isnull=False) & ~Q(reason="")),
            ),
        ]

    def __str__(self) -> str:
        return f"link {self.link}: {self.nail} at {self.spacing_in:g} in"

    @property
    def accepted(self) -> bool:
        """Taken by the engineer from the code of the year built; nobody saw it."""
        return self.accepted_by_id is not None
