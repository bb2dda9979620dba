"""Clients, jurisdictions, crews."""

from __future__ import annotations

from jobs.api.serializers.base import PersonSerializer, StrictModelSerializer, VersionedSerializer
from jobs.models import Client, Crew, Jurisdiction


class ClientSerializer(VersionedSerializer):
    class Meta:
        model = Client
        fields = ["id", "name", "mailing_address", "phone", "email", "notes", "version"]


class JurisdictionSerializer(StrictModelSerializer):
    class Meta:
        model = Jurisdiction
        fields = [
            "id",
            "name",
            "state",
            "code_title",
            "code_family",
            "edition",
            "stamp_required",
            "stamp_method",
            "accepts_prescriptive",
            "sheet_size",
            "one_file",
            "notes",
            "version",
        ]
        read_only_fields = fields


class CrewSerializer(StrictModelSerializer):
    lead = PersonSerializer(read_only=True)
    members = PersonSerializer(many=True, read_only=True)

    class Meta:
        model = Crew
        fields = ["id", "name", "lead", "members", "version"]
        read_only_fields = fields
