"""Houses and their wall lines."""

from __future__ import annotations

from jobs.api.serializers.houses import HouseDetailSerializer, HouseSerializer
from jobs.api.serializers.wall_lines import WallLineSerializer
from jobs.api.viewsets.base import EditableViewSet
from jobs.models import House, WallLine

LINE_ROWS = (
    "segments",
    "panels",
    "sill_pieces",
    "plate_joints",
    "existing_anchors",
    "openings",
    "as_found_nailing",
    "dead_loads",
)


class HouseViewSet(EditableViewSet):
    queryset = House.objects.prefetch_related("point_weights", "story_above")
    serializer_class = HouseSerializer
    detail_serializer_class = HouseDetailSerializer
    needs = {"list": "house.view", "retrieve": "house.view", "partial_update": "house.edit"}
    filterset_fields = {
        "client": ["exact"],
        "jurisdiction": ["exact"],
        "address": ["icontains"],
        "city": ["exact"],
        "state": ["exact"],
        "year_built": ["exact", "lte", "gte"],
    }


class WallLineViewSet(EditableViewSet):
    queryset = WallLine.objects.prefetch_related(*LINE_ROWS)
    serializer_class = WallLineSerializer
    needs = {"list": "wall_line.view", "retrieve": "wall_line.view", "partial_update": "wall_line.edit"}
    filterset_fields = ["house", "label"]
