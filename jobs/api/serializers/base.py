"""What serializers have in common: unknown and read-only members are refused, edits name the version they saw."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from jobs.models import User


class StrictModelSerializer(serializers.ModelSerializer):
    """A model serializer that says so when a member is unknown or can't be set, instead of dropping it."""

    def to_internal_value(self, data: Any) -> Any:
        """400 for each member that this row has not, or that no request may set."""
        if isinstance(data, dict):
            errors = {}
            for name in data:
                field = self.fields.get(name)
                if field is None:
                    errors[name] = ["No such member."]
                elif field.read_only:
                    errors[name] = ["This can't be set here."]
            if errors:
                raise serializers.ValidationError(errors)
        return super().to_internal_value(data)


class VersionedSerializer(StrictModelSerializer):
    """An editable row. An edit must carry the `version` it was made from; a new row has none yet."""

    version = serializers.IntegerField(
        min_value=1, required=False, help_text="The version you read; an edit of an older one gets 409."
    )

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        """The seen version is part of every edit."""
        if self.instance is not None and "version" not in attrs:
            raise serializers.ValidationError({"version": ["Send the version that you read."]})
        if self.instance is None and "version" in attrs:
            raise serializers.ValidationError({"version": ["A new row has no version yet."]})
        return attrs


class PersonSerializer(serializers.ModelSerializer):
    """A colleague, by name only."""

    name = serializers.CharField(source="display_name", read_only=True)

    class Meta:
        model = User
        fields = ["id", "username", "name"]
        read_only_fields = fields
