"""The connector catalogue."""

from __future__ import annotations

from rest_framework import serializers

from jobs.api.serializers.base import VersionedSerializer
from jobs.models import Connector


class ConnectorSerializer(VersionedSerializer):
    species = serializers.ListField(child=serializers.CharField(), required=False, help_text="empty: not into wood")

    class Meta:
        model = Connector
        fields = "__all__"
        read_only_fields = ["key", "basis", "kind"]
