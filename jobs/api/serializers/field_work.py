"""Work orders, what crews log, inspections."""

from __future__ import annotations

from rest_framework import serializers

from jobs.api.serializers.base import PersonSerializer
from jobs.models import AcceptedTest, FieldEvent, FieldEventKind, HoldPoint, Inspection, InspectionItem, WorkOrder


class HoldPointSerializer(serializers.ModelSerializer):
    ticked_by = PersonSerializer(read_only=True)

    class Meta:
        model = HoldPoint
        fields = ["wall_line_label", "name", "ticked_by", "ticked_on"]


class WorkOrderSerializer(serializers.ModelSerializer):
    address = serializers.CharField(source="job.house.address", read_only=True)
    job_number = serializers.CharField(source="job.number", read_only=True)
    revision = serializers.IntegerField(source="design.revision", read_only=True)
    wall_line_labels = serializers.ListField(child=serializers.CharField(), read_only=True)
    hold_points = HoldPointSerializer(many=True, read_only=True)

    class Meta:
        model = WorkOrder
        fields = [
            "id",
            "job",
            "job_number",
            "address",
            "design",
            "revision",
            "number",
            "crew",
            "day",
            "wall_line_labels",
            "cautions_acknowledged_at",
            "hold_points",
            "version",
        ]


class FieldEventSerializer(serializers.ModelSerializer):
    by = PersonSerializer(read_only=True)
    payload = serializers.DictField(read_only=True)

    class Meta:
        model = FieldEvent
        fields = ["id", "work_order", "wall_line_label", "kind", "payload", "by", "at_client", "received_at"]


class FieldEventInput(serializers.Serializer):
    """`id` is made by the phone: sending the same event again answers with the row that is already there."""

    PAYLOAD = (
        "An entry about the schedule: role, connector (catalogue key), panel and piece as scheduled, with positions_in "
        "(scheduled places, inches from the zero end) or, for a row without places, count. moved: moved_to_in, a new "
        "place for each. substituted: substitute, a catalogue key of the design, or nail {diameter_in, length_in, "
        "kind, finish} as measured; neither: it counts as nothing. added: places of its own. across_in: off its line. "
        "nail_count: panel, total, flush, over_16th, over_8th, missed_framing. panel_built: panel, from_in, to_in. "
        "hold_point: name. Any: text; makes_good, the id of a shortfall's event. 409 says what does not fit the design."
    )
    id = serializers.UUIDField()
    wall_line_label = serializers.CharField(max_length=20)
    kind = serializers.ChoiceField(choices=FieldEventKind.choices)
    payload = serializers.DictField(required=False, help_text=PAYLOAD)
    at_client = serializers.DateTimeField()


class TickHoldPointInput(serializers.Serializer):
    wall_line_label = serializers.CharField(max_length=20)
    name = serializers.CharField(max_length=120)


class InspectionItemSerializer(serializers.ModelSerializer):
    class Meta:
        model = InspectionItem
        exclude = ["inspection"]


class InspectionSerializer(serializers.ModelSerializer):
    items = InspectionItemSerializer(many=True, read_only=True)
    recorded_by = PersonSerializer(read_only=True)

    class Meta:
        model = Inspection
        fields = ["id", "job", "stage", "day", "inspector", "result", "recorded_by", "items"]


class AcceptedTestSerializer(serializers.ModelSerializer):
    """A test that the engineer lets count in place of an inspection. Without places, all of its row."""

    accepted_by = PersonSerializer(read_only=True)
    positions_in = serializers.ListField(
        child=serializers.FloatField(), required=False, max_length=400, help_text="From the line's zero end, in inches."
    )

    class Meta:
        model = AcceptedTest
        fields = ["id", "wall_line_label", "role", "panel", "piece", "positions_in", "method", "value", "reason",
                  "accepted_by", "accepted_at"]  # fmt: skip
        read_only_fields = ["accepted_at"]
