"""Connectors that a design may use: computed by NDS from their geometry, or evaluated by a report."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from engineering import evaluated
from jobs.models.base import Versioned, known, not_negative, positive


class ConnectorKind(models.TextChoices):
    NAIL = "nail"
    LAG_SCREW = "lag screw"
    THROUGH_PLATE_SCREW = "through-plate screw"
    FRAMING_ANGLE = "framing angle"
    FACE_PLATE = "face plate"
    STRAP = "strap"
    SIDE_CONNECTION = "side connection"
    TIE_DOWN = "tie-down"
    SILL_ANCHOR = "sill anchor"
    TIE_DOWN_ANCHOR = "tie-down anchor"


class ConnectorBasis(models.TextChoices):
    COMPUTED = "computed"
    EVALUATED = "evaluated"


class NailKind(models.TextChoices):
    COMMON = "common"
    BOX = "box"
    SINKER = "sinker"


class Finish(models.TextChoices):
    BRIGHT = "bright"
    HOT_DIP = "hot-dip"
    STAINLESS = "stainless"


class ValueBasis(models.TextChoices):
    NORMAL = "C_D 1.0", "at C_D 1.0"
    AT_1_6 = "already 1.6", "already at C_D 1.6"
    ASD_SEISMIC = "ASD seismic, C_D not applied", "ASD seismic, C_D not applied"
    STRENGTH = "strength level", "strength level, with the report's own conversion"


class Connector(Versioned):
    """One row of the catalogue.

    Computed: strength follows from the geometry by NDS; nails and lag screws only. Evaluated: the company enters the
    value with its report, dates, use, species and limits as printed there; outside them it is refused, never used.
    """

    key = models.SlugField(max_length=60, unique=True)
    name = models.CharField(max_length=120)
    kind = models.CharField(max_length=20, choices=ConnectorKind)
    basis = models.CharField(max_length=10, choices=ConnectorBasis)
    finish = models.CharField(max_length=10, choices=Finish)

    nail_kind = models.CharField(max_length=10, choices=NailKind, blank=True)
    diameter_in = models.FloatField(null=True, blank=True)
    root_diameter_in = models.FloatField(null=True, blank=True)
    length_in = models.FloatField(null=True, blank=True)
    thread_in = models.FloatField(null=True, blank=True)
    tip_in = models.FloatField(null=True, blank=True)
    washer_in = models.FloatField(default=0.0)

    value_lb = models.FloatField(null=True, blank=True)
    value_basis = models.CharField(max_length=30, choices=ValueBasis, blank=True)
    report = models.CharField(max_length=80, blank=True)
    maker = models.CharField(max_length=80, blank=True)
    model = models.CharField(max_length=80, blank=True)
    issued_on = models.DateField(null=True, blank=True)
    expires_on = models.DateField(null=True, blank=True)
    # What its report covers; only these uses are ever calculated.
    use = models.CharField(max_length=200, blank=True, choices=[(use, use) for use in evaluated.USES])
    species = models.JSONField(default=list, blank=True)  # ["any"]: every wood; empty: not into wood
    wet_service_factor = models.FloatField(null=True, blank=True)  # NULL: the report gives none, so dry wood only
    give_in = models.FloatField(null=True, blank=True)  # a tie-down's at its allowable load; only drift asks for it
    adhesive = models.BooleanField(default=False)  # bonded into the concrete
    embedment_in = models.FloatField(null=True, blank=True)
    minimum_penetration_in = models.FloatField(null=True, blank=True)
    minimum_edge_in = models.FloatField(null=True, blank=True)
    pilot_in = models.FloatField(null=True, blank=True)
    minimum_concrete_psi = models.FloatField(null=True, blank=True)
    # Further limits of its report; NULL, and no faces: it states none.
    asd_conversion = models.FloatField(null=True, blank=True)  # of a strength-level value alone
    minimum_end_in = models.FloatField(null=True, blank=True)
    minimum_spacing_in = models.FloatField(null=True, blank=True)
    minimum_member_in = models.FloatField(null=True, blank=True)
    minimum_embedment_in = models.FloatField(null=True, blank=True)
    minimum_concrete_in = models.FloatField(null=True, blank=True)
    maximum_gap_in = models.FloatField(null=True, blank=True)
    member_faces = models.JSONField(default=list, blank=True)

    invented = models.BooleanField(default=False, help_text="Made up for a demo; every paper says so.")
    active = models.BooleanField(default=True)

    class Meta:
        ordering = ["kind", "name"]
        constraints = [
            known("connector", "kind", ConnectorKind),
            known("connector", "basis", ConnectorBasis),
            known("connector", "finish", Finish),
            known("connector", "nail_kind", NailKind, blank=True),
            known("connector", "value_basis", ValueBasis, blank=True),
            *positive(
                "connector",
                "diameter_in",
                "root_diameter_in",
                "length_in",
                "thread_in",
                "tip_in",
                "value_lb",
                "embedment_in",
                "minimum_penetration_in",
                "minimum_edge_in",
                "pilot_in",
                "minimum_concrete_psi",
                "wet_service_factor",
                "asd_conversion",
                "minimum_end_in",
                "minimum_spacing_in",
                "minimum_member_in",
                "minimum_embedment_in",
                "minimum_concrete_in",
            ),
            *not_negative("connector", "washer_in", "give_in", "maximum_gap_in"),
            models.CheckConstraint(
                name="connector_conversion_of_a_strength_level",
                condition=Q(value_basis="strength level", asd_conversion__isnull=False)
                | (~Q(value_basis="strength level") & Q(asd_conversion__isnull=True)),
                violation_error_message="A value at strength level needs its report's conversion to ASD, no other has "
                "one.",
            ),
            models.CheckConstraint(
                name="connector_evaluated_has_its_report",
                condition=Q(basis="computed")
                | (
                    ~Q(report="")
                    & ~Q(use="")
                    & ~Q(value_basis="")
                    & Q(value_lb__isnull=False)
                    & Q(diameter_in__isnull=False)
                    & Q(issued_on__isnull=False)
                    & Q(expires_on__isnull=False)
                ),
                violation_error_message="An evaluated connector needs its report number, use covered, value and basis "
                "of the value, diameter, issue and expiry dates.",
            ),
            models.CheckConstraint(
                name="connector_computed_has_its_geometry",
                condition=Q(basis="evaluated")
                | (Q(kind="nail", diameter_in__isnull=False, length_in__isnull=False) & ~Q(nail_kind=""))
                | Q(
                    kind="lag screw",
                    diameter_in__isnull=False,
                    root_diameter_in__isnull=False,
                    length_in__isnull=False,
                    thread_in__isnull=False,
                    tip_in__isnull=False,
                ),
                violation_error_message="A computed connector is a nail (kind, diameter, length) or a lag screw "
                "(diameter, root diameter, length, thread, tip).",
            ),
            models.CheckConstraint(
                name="connector_computed_has_no_report_value",
                condition=Q(basis="evaluated") | Q(value_lb__isnull=True, report=""),
                violation_error_message="A computed connector takes its value from the calculation, not from a report.",
            ),
            models.CheckConstraint(
                name="connector_expires_after_issue",
                condition=Q(expires_on__gt=models.F("issued_on")),
                violation_error_message="A report expires after it was issued.",
            ),
        ]

    def __str__(self) -> str:
        return self.name
