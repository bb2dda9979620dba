"""The connector catalogue."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from jobs.api.serializers.base import VersionedSerializer
from jobs.models import Connector


class ConnectorSerializer(VersionedSerializer):
    species = serializers.ListField(
        child=serializers.CharField(), required=False, help_text='["any"]: every wood; empty: not into wood'
    )

    class Meta:
        model = Connector
        fields = "__all__"

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        attrs = super().validate(attrs)
        if self.instance is not None and "key" in attrs:
            raise serializers.ValidationError({"key": ["Issued designs quote the key; it stays."]})
        return attrs
