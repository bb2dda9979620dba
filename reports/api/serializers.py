"""Documents and packets as the API shows and takes them."""

from __future__ import annotations

from rest_framework import serializers

from jobs.api.serializers.base import PersonSerializer
from reports.models import Document, Kind


class DocumentSerializer(serializers.ModelSerializer):
    requested_by = PersonSerializer(read_only=True)

    class Meta:
        model = Document
        fields = [
            "id",
            "kind",
            "design",
            "subject_id",
            "inputs_sha256",
            "state",
            "problem",
            "sections_done",
            "sections_total",
            "pages",
            "file_sha256",
            "requested_by",
            "requested_at",
        ]
        read_only_fields = fields


class RequestDocumentInput(serializers.Serializer):
    """`subject` is the work order that a work order paper is about; other kinds have none."""

    kind = serializers.ChoiceField(choices=Kind.choices)
    design = serializers.IntegerField(min_value=1)
    subject = serializers.IntegerField(min_value=1, required=False, allow_null=True, default=None)

    def validate(self, attrs: dict[str, object]) -> dict[str, object]:
        """A work order needs its subject, and nothing else may name one."""
        if (attrs["kind"] == Kind.WORK_ORDER) != (attrs["subject"] is not None):
            raise serializers.ValidationError({"subject": ["Needed for a work order, and for nothing else."]})
        return attrs


class MakePacketInput(serializers.Serializer):
    design = serializers.IntegerField(min_value=1)
