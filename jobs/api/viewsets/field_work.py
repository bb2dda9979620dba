"""Work orders with what crews log, and inspections."""

from __future__ import annotations

import json

from drf_spectacular.utils import extend_schema
from rest_framework.decorators import action
from rest_framework.exceptions import ValidationError
from rest_framework.request import Request
from rest_framework.response import Response

from jobs import hold_points, policy
from jobs.api.serializers.field_work import (
    FieldEventInput,
    FieldEventSerializer,
    HoldPointSerializer,
    InspectionSerializer,
    TickHoldPointInput,
    WorkOrderSerializer,
)
from jobs.api.viewsets.base import SeenViewSet
from jobs.models import Inspection, WorkOrder
from jobs.services import field_work


class WorkOrderViewSet(SeenViewSet):
    """Work orders: one crew's work on one day, from one design."""

    queryset = WorkOrder.objects.select_related("job__house", "design").prefetch_related("hold_points__ticked_by")
    serializer_class = WorkOrderSerializer
    needs = {
        "list": "work_order.view",
        "retrieve": "work_order.view",
        "events": "work_order.view",
        "acknowledge_cautions": "work_order.acknowledge",
        "tick_hold_point": "work_order.tick",
    }
    filterset_fields = {"job": ["exact"], "design": ["exact"], "crew": ["exact"], "day": ["exact", "gte", "lte"]}

    @extend_schema(methods=["GET"], filters=False, responses=FieldEventSerializer(many=True))
    @extend_schema(methods=["POST"], request=FieldEventInput, responses={201: FieldEventSerializer})
    @action(detail=True, methods=["get", "post"])
    def events(self, request: Request, pk: str | None = None) -> Response:
        """What the crew logged; POST logs one thing. The same id with the same body answers with the same row."""
        order = self.get_object()
        if request.method == "GET":
            page = self.paginate_queryset(order.events.select_related("by"))
            return self.get_paginated_response(FieldEventSerializer(page, many=True).data)
        policy.require(request.user, "work_order.log", on=order)
        wish = FieldEventInput(data=request.data)
        wish.is_valid(raise_exception=True)
        event = field_work.log_event(
            event_id=wish.validated_data["id"],
            work_order_id=order.pk,
            wall_line_label=wish.validated_data["wall_line_label"],
            kind=wish.validated_data["kind"],
            payload=wish.validated_data.get("payload", {}),
            at_client=wish.validated_data["at_client"],
            by=request.user,
        )
        return Response(FieldEventSerializer(event).data, status=201)

    @extend_schema(request=None, responses=WorkOrderSerializer)
    @action(detail=True, methods=["post"], url_path="acknowledge-cautions")
    def acknowledge_cautions(self, request: Request, pk: str | None = None) -> Response:
        """The crew says that it has read the cautions. Saying it again changes nothing."""
        order = self.get_object()
        field_work.acknowledge_cautions(work_order_id=order.pk, by=request.user)
        return Response(WorkOrderSerializer(self.get_object()).data)

    @extend_schema(request=TickHoldPointInput, responses={201: HoldPointSerializer})
    @action(detail=True, methods=["post"], url_path="hold-points")
    def tick_hold_point(self, request: Request, pk: str | None = None) -> Response:
        """The crew's lead ticks a hold point, dated today. Saying it again answers with the first tick."""
        order = self.get_object()
        wish = TickHoldPointInput(data=request.data)
        wish.is_valid(raise_exception=True)
        label, name = wish.validated_data["wall_line_label"], wish.validated_data["name"]
        known = hold_points.of(json.loads(order.design.snapshot), [label])
        if name not in [point.name for point in known]:
            raise ValidationError({"name": [f"Hold points of wall line {label}: {', '.join(p.name for p in known)}."]})
        point = field_work.tick_hold_point(work_order_id=order.pk, wall_line_label=label, name=name, by=request.user)
        return Response(HoldPointSerializer(point).data, status=201)


class InspectionViewSet(SeenViewSet):
    """Inspections with their items."""

    queryset = Inspection.objects.select_related("recorded_by").prefetch_related("items")
    serializer_class = InspectionSerializer
    needs = {"list": "inspection.view", "retrieve": "inspection.view"}
    filterset_fields = {"job": ["exact"], "stage": ["exact"], "result": ["exact"], "day": ["exact", "gte", "lte"]}
