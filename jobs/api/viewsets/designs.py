"""Designs, connection schedules, packets, stamps."""

from __future__ import annotations

from django.db.models import QuerySet
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from jobs.api.serializers.designs import (
    ConnectionScheduleSerializer,
    DesignDetailSerializer,
    DesignSerializer,
    PacketDetailSerializer,
    PacketSerializer,
    StampSerializer,
)
from jobs.api.serializers.field_work import AcceptedTestSerializer
from jobs.api.viewsets.base import SeenViewSet
from jobs.models import ConnectionSchedule, Design, Packet, Stamp
from jobs.services import accepted_tests
from jobs.services.stamps import currency


class DesignViewSet(SeenViewSet):
    """Issued designs; one design comes with its frozen snapshot."""

    queryset = Design.objects.select_related("issued_by")
    serializer_class = DesignSerializer
    detail_serializer_class = DesignDetailSerializer
    needs = {"list": "design.view", "retrieve": "design.view", "accept_test": "test.accept"}
    filterset_fields = ["job", "revision", "quantity_study"]

    @extend_schema(request=AcceptedTestSerializer, responses={201: AcceptedTestSerializer})
    @action(detail=True, methods=["post"], url_path="accept-test")
    def accept_test(self, request: Request, pk: str | None = None) -> Response:
        """Let a test stand for an inspection that was not held. 409 lists every reason that stands in the way."""
        design = self.get_object()
        wish = AcceptedTestSerializer(data=request.data)
        wish.is_valid(raise_exception=True)
        test = accepted_tests.accept_test(design_id=design.pk, by=request.user, **wish.validated_data)
        return Response(AcceptedTestSerializer(test).data, status=201)


class ConnectionScheduleViewSet(SeenViewSet):
    """Connection schedules: what is built, line by line."""

    queryset = ConnectionSchedule.objects.select_related("design").prefetch_related("lines")
    serializer_class = ConnectionScheduleSerializer
    needs = {"list": "design.view", "retrieve": "design.view"}
    filterset_fields = ["design", "design__job"]

    def seen(self, rows: QuerySet) -> QuerySet:
        return rows.filter(design__in=Design.objects.visible_to(self.request.user))


class PacketViewSet(SeenViewSet):
    """Permit packets; one packet comes with the state of its stamp."""

    queryset = Packet.objects.prefetch_related("files")
    serializer_class = PacketSerializer
    detail_serializer_class = PacketDetailSerializer
    needs = {"list": "packet.view", "retrieve": "packet.view"}
    filterset_fields = ["design", "design__job"]

    def retrieve(self, request: Request, *args: object, **kwargs: object) -> Response:
        """One packet with the state of its stamp, computed now."""
        packet = self.get_object()
        packet.currency = currency(packet)
        return Response(self.get_serializer(packet).data)


class StampViewSet(SeenViewSet):
    """Stamps as the server checked them."""

    queryset = Stamp.objects.select_related("signer", "packet_file")
    serializer_class: type[serializers.BaseSerializer] = StampSerializer
    needs = {"list": "packet.view", "retrieve": "packet.view"}
    filterset_fields = ["packet_file__packet", "signer"]

    def seen(self, rows: QuerySet) -> QuerySet:
        return rows.filter(packet_file__packet__in=Packet.objects.visible_to(self.request.user))
