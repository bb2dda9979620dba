"""Houses: address and what the survey found about the whole."""

from __future__ import annotations

from rest_framework import serializers

from jobs.api.serializers.base import StrictModelSerializer, VersionedSerializer
from jobs.api.serializers.wall_lines import WallLineSerializer
from jobs.models import SCOPE_ITEMS, House, PointWeight, StoryAboveWall


class PointWeightSerializer(StrictModelSerializer):
    class Meta:
        model = PointWeight
        fields = ["label", "x_ft", "y_ft", "weight_lb"]


class StoryAboveWallSerializer(StrictModelSerializer):
    class Meta:
        model = StoryAboveWall
        fields = ["line_label", "full_height_wall_ft"]


class OutlineField(serializers.ListField):
    """A closed polygon, [[x, y], …] in feet, x east, y north."""

    def __init__(self, **kwargs: object) -> None:
        point = serializers.ListField(child=serializers.FloatField(), min_length=2, max_length=2)
        super().__init__(child=point, **kwargs)


class ScopeAnswerSerializer(serializers.Serializer):
    flag = serializers.BooleanField(allow_null=True, help_text="null: not observed")
    reason = serializers.CharField(allow_blank=True, required=False)
    mode = serializers.CharField(allow_blank=True, required=False)


class ScopeScreenField(serializers.DictField):
    """Answers to the scope screen, by item."""

    child = ScopeAnswerSerializer()

    def to_internal_value(self, data: object) -> object:
        answers = super().to_internal_value(data)
        if unknown := sorted(set(answers) - set(SCOPE_ITEMS)):
            raise serializers.ValidationError([f"No such item: {', '.join(unknown)}. Items: {', '.join(SCOPE_ITEMS)}."])
        return {item: dict(answer) for item, answer in answers.items()}


class HouseSerializer(VersionedSerializer):
    """Null and empty text mean "not observed"."""

    floor_outline_ft = OutlineField(required=False)
    roof_outline_ft = OutlineField(required=False)
    scope_screen = ScopeScreenField(required=False)
    point_weights = PointWeightSerializer(many=True, read_only=True)
    story_above = StoryAboveWallSerializer(many=True, read_only=True)

    class Meta:
        model = House
        fields = "__all__"
        read_only_fields = ["client"]


class HouseDetailSerializer(HouseSerializer):
    wall_lines = WallLineSerializer(many=True, read_only=True)
