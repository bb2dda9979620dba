"""Jobs and criteria sheets."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from jobs.api.serializers.base import PersonSerializer, VersionedSerializer
from jobs.models import CriteriaSheet, Job, Stage


class JobSerializer(VersionedSerializer):
    address = serializers.CharField(source="house.address", read_only=True)
    estimator = PersonSerializer(read_only=True)
    assigned_engineer = PersonSerializer(read_only=True)
    on_hold = serializers.SerializerMethodField()

    class Meta:
        model = Job
        exclude = ["city_set"]
        read_only_fields = ["number", "house", "stage", "city_set_sha256", "city_set_uploaded_on"]

    def get_on_hold(self, job: Job) -> str | None:
        """The reason of the hold, or null."""
        return next((hold.reason for hold in job.holds.all() if hold.until is None), None)


class MoveJobInput(serializers.Serializer):
    """`seen_stage` is the stage you saw; a job that has moved since is refused with 409."""

    to = serializers.ChoiceField(choices=Stage.choices)
    seen_stage = serializers.ChoiceField(choices=Stage.choices)


class IssueDesignInput(serializers.Serializer):
    seen_version = serializers.IntegerField(min_value=1, help_text="The job's version that you saw.")


class CriteriaSheetSerializer(VersionedSerializer):
    confirmed_by = PersonSerializer(read_only=True)

    class Meta:
        model = CriteriaSheet
        fields = "__all__"
        read_only_fields = ["job", "jurisdiction", "code_family", "confirmed_on", "confirmed_licence"]

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        attrs = super().validate(attrs)
        if attrs.get("redundancy") not in (None, 1.0, 1.3):
            raise serializers.ValidationError({"redundancy": ["1.0 or 1.3, or null to compute it from the bays."]})
        return attrs
