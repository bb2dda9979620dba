"""Jobs and criteria sheets."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from jobs.api.serializers.base import PersonSerializer, StrictModelSerializer, VersionedSerializer
from jobs.models import CriteriaSheet, Job, Stage


class JobSerializer(VersionedSerializer):
    address = serializers.CharField(source="house.address", read_only=True)
    estimator_name = serializers.CharField(
        source="estimator.display_name", read_only=True, default=None, allow_null=True
    )
    assigned_engineer_name = serializers.CharField(
        source="assigned_engineer.display_name", read_only=True, default=None, allow_null=True
    )
    on_hold = serializers.SerializerMethodField()

    class Meta:
        model = Job
        exclude = ["city_set"]
        read_only_fields = ["number", "house", "assigned_engineer", "stage", "city_set_sha256", "city_set_uploaded_on"]

    def get_on_hold(self, job: Job) -> str | None:
        """The reason of the hold, or null."""
        return next((hold.reason for hold in job.holds.all() if hold.until is None), None)


class NewJobSerializer(StrictModelSerializer):
    """A job opens at "inquiry" under the next free number."""

    class Meta:
        model = Job
        fields = ["house", "title", "legal_basis", "estimator", "programme"]


class MoveJobInput(serializers.Serializer):
    """`seen_stage` is the stage you saw; a job that has moved since is refused with 409."""

    to = serializers.ChoiceField(choices=Stage.choices)
    seen_stage = serializers.ChoiceField(choices=Stage.choices)
    note = serializers.CharField(required=False, help_text="Why; some moves ask for it.")


class IssueDesignInput(serializers.Serializer):
    seen_version = serializers.IntegerField(min_value=1, help_text="The job's version that you saw.")


class SeenVersionInput(serializers.Serializer):
    version = serializers.IntegerField(min_value=1, help_text="The version you read.")


class CriteriaSheetSerializer(VersionedSerializer):
    confirmed_by = PersonSerializer(read_only=True)

    class Meta:
        model = CriteriaSheet
        fields = "__all__"
        read_only_fields = ["job", "jurisdiction", "confirmed_on", "confirmed_licence"]
        validators = []  # the service checks the whole row

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        attrs = super().validate(attrs)
        if attrs.get("redundancy") not in (None, 1.0, 1.3):
            raise serializers.ValidationError({"redundancy": ["1.0 or 1.3, or null to compute it from the bays."]})
        if self.instance is not None and self.instance.job_id is None and "code_family" in attrs:
            raise serializers.ValidationError({"code_family": ["A standing template stays with its family."]})
        return attrs
