"""Work orders with what crews log, and inspections."""

from __future__ import annotations

from drf_spectacular.utils import extend_schema
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from jobs import policy
from jobs.api.serializers.field_work import (
    FieldEventInput,
    FieldEventSerializer,
    InspectionSerializer,
    WorkOrderSerializer,
)
from jobs.api.viewsets.base import SeenViewSet
from jobs.models import Inspection, WorkOrder
from jobs.services import field_work


class WorkOrderViewSet(SeenViewSet):
    """Work orders: one crew's work on one day, from one design."""

    queryset = WorkOrder.objects.select_related("job__house", "design").prefetch_related("hold_points__ticked_by")
    serializer_class = WorkOrderSerializer
    needs = {"list": "work_order.view", "retrieve": "work_order.view", "events": "work_order.view"}
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


class InspectionViewSet(SeenViewSet):
    """Inspections with their items."""

    queryset = Inspection.objects.select_related("recorded_by").prefetch_related("items")
    serializer_class = InspectionSerializer
    needs = {"list": "inspection.view", "retrieve": "inspection.view"}
    filterset_fields = {"job": ["exact"], "stage": ["exact"], "result": ["exact"], "day": ["exact", "gte", "lte"]}
