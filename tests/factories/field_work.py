"""Work orders, the crew's log, inspections."""

from __future__ import annotations

from uuid import uuid4

import factory
from django.utils import timezone

from jobs import models
from tests.factories.base import Factory
from tests.factories.jobs import DesignFactory, JobFactory
from tests.factories.people import CrewFactory, UserFactory


class WorkOrderFactory(Factory):
    """A crew's order for line A; `acknowledged=True`: the cautions are."""

    class Meta:
        model = models.WorkOrder

    class Params:
        acknowledged = factory.Trait(
            cautions_acknowledged_by=factory.LazyAttribute(lambda order: order.crew.lead),
            cautions_acknowledged_at=factory.LazyFunction(timezone.now),
        )

    design = factory.SubFactory(DesignFactory)
    job = factory.LazyAttribute(lambda order: order.design.job)
    number = factory.LazyAttribute(lambda order: order.job.work_orders.count() + 1)
    crew = factory.SubFactory(CrewFactory)
    day = factory.LazyFunction(timezone.localdate)
    wall_line_labels = ["A"]


class FieldEventFactory(Factory):
    class Meta:
        model = models.FieldEvent

    id = factory.LazyFunction(uuid4)
    work_order = factory.SubFactory(WorkOrderFactory)
    wall_line_label = "A"
    kind = "installed"
    by = factory.LazyAttribute(lambda event: event.work_order.crew.lead)
    at_client = factory.LazyFunction(timezone.now)
    received_at = factory.LazyFunction(timezone.now)


class InspectionFactory(Factory):
    """A visit; its items are InspectionItemFactory's."""

    class Meta:
        model = models.Inspection

    job = factory.SubFactory(JobFactory)
    stage = "final"
    day = factory.LazyFunction(timezone.localdate)
    inspector = "Sampleton building inspector"
    result = "pass"
    recorded_by = factory.SubFactory(UserFactory, roles=["office"])


class InspectionItemFactory(Factory):
    class Meta:
        model = models.InspectionItem

    inspection = factory.SubFactory(InspectionFactory)
    wall_line_label = "A"
    text = "plate washers 3 × 3 × ¼ in"
    result = "pass"


class HoldPointFactory(Factory):
    """The lead's tick."""

    class Meta:
        model = models.HoldPoint

    work_order = factory.SubFactory(WorkOrderFactory)
    wall_line_label = "A"
    name = "Anchors"
    ticked_by = factory.LazyAttribute(lambda point: point.work_order.crew.lead)
    ticked_on = factory.LazyFunction(timezone.localdate)


class AcceptedTestFactory(Factory):
    class Meta:
        model = models.AcceptedTest

    design = factory.SubFactory(DesignFactory)
    wall_line_label = "A"
    role = "sill anchors"
    method = "pull test"
    value = "3 of 3 held 1,500 lb"
    reason = "The load is twice the design value."
    accepted_by = factory.SubFactory(UserFactory, roles=["engineer"])
    accepted_at = factory.LazyFunction(timezone.now)
