"""Wall lines as surveyed, with the rows that belong to them."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from jobs.api.serializers.base import StrictModelSerializer, VersionedSerializer
from jobs.models import (
    AsFoundNailing,
    DeadLoad,
    ExistingAnchor,
    FoundSheathing,
    Opening,
    Panel,
    PlateJoint,
    Segment,
    SillPiece,
    Strut,
    UnseenPlate,
    WallLine,
)


class SegmentSerializer(StrictModelSerializer):
    class Meta:
        model = Segment
        fields = ["kind", "from_in", "to_in", "stud_height_in", "far_stud_height_in", "ground_slope", "floor_level"]


class PanelSerializer(StrictModelSerializer):
    class Meta:
        model = Panel
        fields = ["from_in", "to_in"]


class SillPieceSerializer(StrictModelSerializer):
    class Meta:
        model = SillPiece
        fields = ["from_in", "to_in"]


class PlateJointSerializer(StrictModelSerializer):
    class Meta:
        model = PlateJoint
        fields = ["plate", "at_in"]


class ExistingAnchorSerializer(StrictModelSerializer):
    """A bolt that was found; `accepted` is the engineer's word and has its own page."""

    class Meta:
        model = ExistingAnchor
        fields = [
            "id",
            "at_in",
            "diameter_in",
            "embedment_in",
            "edge_in",
            "end_in",
            "washer",
            "washer_in",
            "washer_thickness_in",
            "seen",
            "wrench_tested",
            "photographed",
            "accepted",
            "accepted_by",
            "reason",
            "version",
        ]
        read_only_fields = ["id", "accepted", "accepted_by", "reason", "version"]


class OpeningSerializer(StrictModelSerializer):
    class Meta:
        model = Opening
        fields = ["from_in", "to_in", "label"]


class AsFoundNailingSerializer(StrictModelSerializer):
    class Meta:
        model = AsFoundNailing
        fields = ["link", "nail", "spacing_in", "toenail", "edition", "accepted_by", "reason"]
        read_only_fields = ["edition", "accepted_by", "reason"]


class FoundSheathingSerializer(StrictModelSerializer):
    """What covers the wall; `accepted` is the engineer's word and has its own page."""

    class Meta:
        model = FoundSheathing
        fields = ["id", "material", "from_in", "to_in", "bottom_edge", "allowable_plf", "source", "accepted",
                  "accepted_by", "reason", "version"]  # fmt: skip
        read_only_fields = ["id", "accepted", "accepted_by", "reason", "version"]


class UnseenPlateSerializer(StrictModelSerializer):
    class Meta:
        model = UnseenPlate
        fields = ["from_in", "to_in"]


class StrutSerializer(StrictModelSerializer):
    class Meta:
        model = Strut
        fields = ["end", "length_in", "thickness_in", "depth_in", "tension_psi", "basis", "lap_in", "species",
                  "specific_gravity"]  # fmt: skip


class DeadLoadSerializer(StrictModelSerializer):
    class Meta:
        model = DeadLoad
        fields = ["label", "weight_plf"]


class WallLineSerializer(VersionedSerializer):
    """Lengths in inches from the line's zero end; null and empty text mean "not observed".

    A list of rows (segments, panels, existing anchors …) that is sent replaces the whole list. The house is set once.
    """

    length_in = serializers.FloatField(read_only=True)
    segments = SegmentSerializer(many=True, required=False)
    panels = PanelSerializer(many=True, required=False)
    sill_pieces = SillPieceSerializer(many=True, required=False)
    plate_joints = PlateJointSerializer(many=True, required=False)
    existing_anchors = ExistingAnchorSerializer(many=True, required=False)
    openings = OpeningSerializer(many=True, required=False)
    as_found_nailing = AsFoundNailingSerializer(many=True, required=False)
    dead_loads = DeadLoadSerializer(many=True, required=False)
    found_sheathing = FoundSheathingSerializer(many=True, required=False)
    unseen_plates = UnseenPlateSerializer(many=True, required=False)
    struts = StrutSerializer(many=True, required=False)
    stud_centrelines_in = serializers.ListField(child=serializers.FloatField(min_value=0), required=False)

    class Meta:
        model = WallLine
        exclude = ["foundation_acceptance_reason"]
        read_only_fields = ["foundation_accepted_by"]
        validators = []  # the service checks the whole row

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        attrs = super().validate(attrs)
        if self.instance is not None and "house" in attrs:
            raise serializers.ValidationError({"house": ["A wall line stays with its house."]})
        return attrs
