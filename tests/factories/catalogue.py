"""Connectors."""

from __future__ import annotations

from datetime import date, timedelta

import factory
from django.utils import timezone

from engineering import evaluated
from jobs import models
from tests.factories.base import Factory


class NailFactory(Factory):
    """8d common unless told otherwise."""

    class Meta:
        model = models.Connector
        django_get_or_create = ("key",)

    key = "8d-common"
    name = "8d common 0.131 × 2½ in"
    kind = "nail"
    basis = "computed"
    finish = "hot-dip"
    nail_kind = "common"
    diameter_in = 0.131
    length_in = 2.5


class EvaluatedFactory(Factory):
    """A through-plate screw unless told otherwise; its value is invented."""

    class Meta:
        model = models.Connector
        django_get_or_create = ("key",)

    key = "demo-screw"
    name = "Demo screw ¼ × 6 in"
    kind = "through-plate screw"
    basis = "evaluated"
    finish = "hot-dip"
    diameter_in = 0.25
    length_in = 6.0
    value_lb = 250.0
    value_basis = "C_D 1.0"
    report = "DEMO-0001"
    maker = "invented"
    model = "invented"
    issued_on = date(2024, 1, 1)
    expires_on = factory.LazyFunction(lambda: timezone.localdate() + timedelta(days=365))
    use = evaluated.USE_THROUGH_PLATES
    species = ["Douglas Fir-Larch"]
    minimum_penetration_in = 2.0
    minimum_edge_in = 0.625
    pilot_in = 0.156
    invented = True
