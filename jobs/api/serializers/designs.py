"""Issued designs, their schedules, packets and stamps: all read only."""

from __future__ import annotations

import json
from typing import Any

from rest_framework import serializers

from jobs.api.serializers.base import PersonSerializer
from jobs.models import ConnectionSchedule, Design, Packet, PacketFile, ScheduleLine, Stamp


class DesignSerializer(serializers.ModelSerializer):
    issued_by = PersonSerializer(read_only=True)

    class Meta:
        model = Design
        exclude = ["snapshot"]
        read_only_fields = ["job", "revision"]


class DesignDetailSerializer(serializers.ModelSerializer):
    """`snapshot` is the frozen text parsed for reading; its hash is that of the stored text, not of this object."""

    issued_by = PersonSerializer(read_only=True)
    snapshot = serializers.SerializerMethodField()

    class Meta:
        model = Design
        fields = "__all__"

    def get_snapshot(self, design: Design) -> dict[str, Any]:
        """Every input and every result of this revision."""
        return json.loads(design.snapshot)


class ScheduleLineSerializer(serializers.ModelSerializer):
    positions_in = serializers.ListField(child=serializers.FloatField(), read_only=True)

    class Meta:
        model = ScheduleLine
        exclude = ["id", "schedule"]


class ConnectionScheduleSerializer(serializers.ModelSerializer):
    job = serializers.IntegerField(source="design.job_id", read_only=True)
    revision = serializers.IntegerField(source="design.revision", read_only=True)
    lines = ScheduleLineSerializer(many=True, read_only=True)

    class Meta:
        model = ConnectionSchedule
        fields = ["id", "design", "job", "revision", "lines"]


class PacketFileSerializer(serializers.ModelSerializer):
    kind = serializers.CharField(read_only=True)
    stamped = serializers.BooleanField(read_only=True, help_text="Whether the stamped original is here.")

    class Meta:
        model = PacketFile
        fields = [
            "id",
            "kind",
            "order",
            "needs_stamp",
            "review_copy_sha256",
            "signing_copy_sha256",
            "stamped",
            "stamped_sha256",
            "problem",
        ]


class PacketSerializer(serializers.ModelSerializer):
    files = PacketFileSerializer(many=True, read_only=True)

    class Meta:
        model = Packet
        fields = ["id", "design", "number", "created_at", "withdrawn_at", "withdrawn_reason", "files"]


class CurrencySerializer(serializers.Serializer):
    state = serializers.CharField()
    reasons = serializers.ListField(child=serializers.CharField())


class PacketDetailSerializer(PacketSerializer):
    """With the state of its stamp, computed now."""

    currency = CurrencySerializer(read_only=True)

    class Meta(PacketSerializer.Meta):
        fields = [*PacketSerializer.Meta.fields, "currency"]


class StampSerializer(serializers.ModelSerializer):
    signer = PersonSerializer(read_only=True)
    packet = serializers.IntegerField(source="packet_file.packet_id", read_only=True)
    kind = serializers.CharField(source="packet_file.kind", read_only=True)

    class Meta:
        model = Stamp
        fields = [
            "id",
            "packet",
            "packet_file",
            "kind",
            "signer",
            "licence",
            "signed_at",
            "recorded_at",
            "file_sha256",
            "design_sha256",
        ]
