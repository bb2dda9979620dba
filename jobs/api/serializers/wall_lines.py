"""Wall lines as surveyed, with the rows that belong to them."""

from __future__ import annotations

from rest_framework import serializers

from jobs.api.serializers.base import StrictModelSerializer, VersionedSerializer
from jobs.models import (
    AsFoundNailing,
    DeadLoad,
    ExistingAnchor,
    Opening,
    Panel,
    PlateJoint,
    Segment,
    SillPiece,
    WallLine,
)


class SegmentSerializer(StrictModelSerializer):
    class Meta:
        model = Segment
        fields = ["kind", "from_in", "to_in", "stud_height_in", "ground_slope", "floor_level"]


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
        fields = ["at_in"]


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
        fields = ["link", "nail", "spacing_in", "toenail"]


class DeadLoadSerializer(StrictModelSerializer):
    class Meta:
        model = DeadLoad
        fields = ["label", "weight_plf"]


class WallLineSerializer(VersionedSerializer):
    """Lengths in inches from the line's zero end; null and empty text mean "not observed"."""

    length_in = serializers.FloatField(read_only=True)
    segments = SegmentSerializer(many=True, read_only=True)
    panels = PanelSerializer(many=True, read_only=True)
    sill_pieces = SillPieceSerializer(many=True, read_only=True)
    plate_joints = PlateJointSerializer(many=True, read_only=True)
    existing_anchors = ExistingAnchorSerializer(many=True, read_only=True)
    openings = OpeningSerializer(many=True, read_only=True)
    as_found_nailing = AsFoundNailingSerializer(many=True, read_only=True)
    dead_loads = DeadLoadSerializer(many=True, read_only=True)
    stud_centrelines_in = serializers.ListField(child=serializers.FloatField(min_value=0), required=False)

    class Meta:
        model = WallLine
        exclude = ["foundation_acceptance_reason"]
        read_only_fields = ["house", "foundation_accepted_by"]
