"""Houses and their wall lines."""

from __future__ import annotations

from typing import Any

from django.db import transaction

from jobs.api.serializers.houses import HouseDetailSerializer, HouseSerializer
from jobs.api.serializers.wall_lines import WallLineSerializer
from jobs.api.viewsets.base import CreatableViewSet
from jobs.models import House, WallLine
from jobs.services import houses, wall_lines


class HouseViewSet(CreatableViewSet):
    """Houses as surveyed; one house comes with its wall lines."""

    queryset = House.objects.prefetch_related(*houses.CHILDREN)
    serializer_class = HouseSerializer
    detail_serializer_class = HouseDetailSerializer
    needs = {"list": "house.view", "retrieve": "house.view", "create": "house.edit", "partial_update": "house.edit"}
    filterset_fields = {
        "client": ["exact"],
        "jurisdiction": ["exact"],
        "address": ["icontains"],
        "city": ["exact"],
        "state": ["exact"],
        "year_built": ["exact", "lte", "gte"],
    }

    def edit(self, row: House, *, seen_version: int, changes: dict[str, Any]) -> None:
        children = {name: changes.pop(name) for name in houses.CHILDREN if name in changes}
        houses.edit_house(
            house_id=row.pk, seen_version=seen_version, changes=changes, children=children, by=self.request.user
        )

    def write(self, facts: dict[str, Any]) -> House:
        rows = {name: facts.pop(name) for name in houses.CHILDREN if name in facts}
        with transaction.atomic():
            house = houses.create_house(
                by=self.request.user,
                client_id=facts.pop("client").pk,
                jurisdiction_id=facts.pop("jurisdiction").pk,
                **facts,
            )
            if rows:
                self.edit(house, seen_version=house.version, changes=rows)
        return house


class WallLineViewSet(CreatableViewSet):
    """Wall lines as surveyed."""

    queryset = WallLine.objects.prefetch_related(*wall_lines.CHILDREN)
    serializer_class = WallLineSerializer
    needs = {
        "list": "wall_line.view",
        "retrieve": "wall_line.view",
        "create": "wall_line.edit",
        "partial_update": "wall_line.edit",
    }
    filterset_fields = ["house", "label"]

    def edit(self, row: WallLine, *, seen_version: int, changes: dict[str, Any]) -> None:
        children = {name: changes.pop(name) for name in wall_lines.CHILDREN if name in changes}
        wall_lines.edit_wall_line(
            wall_line_id=row.pk, seen_version=seen_version, changes=changes, children=children, by=self.request.user
        )

    def write(self, facts: dict[str, Any]) -> WallLine:
        children = {name: facts.pop(name) for name in wall_lines.CHILDREN if name in facts}
        return wall_lines.create_wall_line(
            house_id=facts.pop("house").pk, by=self.request.user, children=children, **facts
        )
