"""Houses: address and what the survey found about the whole."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from jobs.api.serializers.base import StrictModelSerializer, VersionedSerializer
from jobs.api.serializers.wall_lines import WallLineSerializer
from jobs.models import SCOPE_ITEMS, House, PointWeight, StoryAboveWall, UpperStory, WeightPart


class PointWeightSerializer(StrictModelSerializer):
    by_level_lb = serializers.ListField(
        child=serializers.FloatField(min_value=0), required=False, help_text="Lowest floor first, roof last."
    )

    class Meta:
        model = PointWeight
        fields = ["label", "x_ft", "y_ft", "weight_lb", "by_level_lb"]


class StoryAboveWallSerializer(StrictModelSerializer):
    class Meta:
        model = StoryAboveWall
        fields = ["line_label", "story", "full_height_wall_ft"]


class OutlineField(serializers.ListField):
    """A closed polygon, [[x, y], …] in feet, x east, y north."""

    def __init__(self, **kwargs: object) -> None:
        point = serializers.ListField(child=serializers.FloatField(), min_length=2, max_length=2)
        super().__init__(child=point, **kwargs)


class UpperStorySerializer(StrictModelSerializer):
    floor_outline_ft = OutlineField()

    class Meta:
        model = UpperStory
        fields = ["position", "label", "floor_outline_ft", "floor_depth_in", "wall_height_in", "floor_psf",
                  "partitions_psf", "wall_psf"]  # fmt: skip


class WeightPartSerializer(StrictModelSerializer):
    class Meta:
        model = WeightPart
        fields = ["use", "name", "weight_psf", "times", "note"]


class ScopeAnswerSerializer(serializers.Serializer):
    flag = serializers.BooleanField(allow_null=True, help_text="null: not observed")
    reason = serializers.CharField()
    mode = serializers.CharField(
        read_only=True, default="", help_text="The way of calculating that the engineer named."
    )
    mode_by = serializers.CharField(read_only=True, default="")


class ScopeScreenField(serializers.DictField):
    """Answers to the scope screen, by item."""

    child = ScopeAnswerSerializer()

    def to_internal_value(self, data: object) -> object:
        answers = super().to_internal_value(data)
        if unknown := sorted(set(answers) - set(SCOPE_ITEMS)):
            raise serializers.ValidationError([f"No such item: {', '.join(unknown)}. Items: {', '.join(SCOPE_ITEMS)}."])
        return {item: dict(answer) for item, answer in answers.items()}


class HouseSerializer(VersionedSerializer):
    """Null and empty text mean "not observed". A list of rows that is sent replaces the whole list."""

    floor_outline_ft = OutlineField(required=False)
    roof_outline_ft = OutlineField(required=False)
    scope_screen = ScopeScreenField(required=False)
    point_weights = PointWeightSerializer(many=True, required=False)
    story_above = StoryAboveWallSerializer(many=True, required=False)
    upper_stories = UpperStorySerializer(many=True, required=False)
    weight_parts = WeightPartSerializer(many=True, required=False)

    class Meta:
        model = House
        fields = "__all__"

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        attrs = super().validate(attrs)
        if self.instance is not None and "client" in attrs:
            raise serializers.ValidationError({"client": ["A house stays with its client."]})
        return attrs


class HouseDetailSerializer(HouseSerializer):
    wall_lines = WallLineSerializer(many=True, read_only=True)
