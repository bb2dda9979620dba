"""One wall line of a snapshot with all that its details ask of it, and the facts that a detail shows.

`shared` facts are all that a drawing says of every line that is built by it: lines with the same ones share a
drawing. `example` facts are those of the one place that is drawn.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from engineering import plate_washers
from reports.drawings import wall_line, wall_section
from reports.drawings.through_plate_section import step_values

# What a detail shows of the framing: where the floor stands on the plates, where the wall stands on the concrete.
CORNER = (
    "plates_in", "plate_width_in", "lower_plate_width_in", "stud_depth_in", "sill_width_in", "rim_thickness_in",
    "rim_depth_in", "rim_set_back_in", "joists", "floor_edge", "ceiling_finish",
)  # fmt: skip
FOOT = ("plates_in", "stud_depth_in", "stud_thickness_in", "sill_thickness_in", "sill_width_in", "sill_edge_in")


@dataclass(frozen=True, slots=True)
class Facts:
    shared: dict[str, Any]
    example: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Line:
    """One wall line of a snapshot with all that details ask of it."""

    snapshot: dict[str, Any]
    label: str
    ratios: bool  # whether papers may show them
    line: dict[str, Any]
    result: dict[str, Any]
    schedule: dict[str, Any]

    @property
    def framing(self) -> dict[str, Any]:
        framing: dict[str, Any] = self.line["framing"]
        return framing

    def section(self, *keys: str) -> dict[str, Any]:
        """The framing as a section shows it."""
        return {key: self.framing.get(key) for key in keys}

    def foundation(self, *more: str) -> dict[str, Any]:
        return {key: self.line["foundation"].get(key) for key in ("width_in", *more)}

    def rows(self, role: str) -> list[dict[str, Any]]:
        """The scheduled rows of a role that hold anything."""
        return [row for row in wall_line.rows(self.schedule, role) if row["count"] or row["spacing_in"]]

    def connector(self, key: str) -> dict[str, Any]:
        """A catalogue record: nail, lag screw or evaluated connector; KeyError when there is none."""
        catalogue = self.snapshot["inputs"]["catalogue"]
        for record in (*catalogue["evaluated"], *catalogue["nails"], *catalogue["lags"]):
            if record["key"] == key:
                found: dict[str, Any] = record
                return found
        raise KeyError(key)

    def kind(self, key: str) -> str:
        return wall_line.connector_kinds(self.snapshot["inputs"]["catalogue"])[key]

    def steps(self, link: str) -> dict[str, Any]:
        """The values of a link's steps, its own before those of its parts."""
        found: dict[str, Any] = {}
        for one in self.result["links"]:
            if one["link"] == link:
                for check in (*reversed(one["parts"]), one["check"]):
                    found |= step_values(check)
        return found

    @property
    def stud_height_in(self) -> float:
        """Of the studs under the first panel, else of the first segment."""
        at_in = self.line["panels"][0]["from_ft"] * 12 + 1.0 if self.line["panels"] else 1.0
        return float(wall_line.segment_at(self.line, at_in)["stud_height_ft"]) * 12

    @property
    def flush_cut(self) -> bool:
        wide = self.framing["sill_width_in"] > self.framing["stud_depth_in"] + 1e-6
        return bool(self.line["methods"].get("wide_sill") == "flush cut" and wide and self.line["panels"])

    @property
    def panel_in(self) -> float:
        return wall_section.panel_thickness_in(self.line["sheathing"])

    @property
    def covered_in(self) -> tuple[float, float]:
        """How much of the top plates and of the sill (or of the blocks on it) a panel covers."""
        plates = self.framing["plates_in"]
        top = plates[0] if wall_line.ends_at_lower_plate(self.line) else sum(plates)
        return top, 0.0 if self.rows("block nails") else self.framing["sill_thickness_in"]

    def anchor_place(self) -> tuple[float, float]:
        """Where a new anchor stands across the sill, from its outer face, and the side of its plate washer. [in]"""
        steps = self.steps("6a") | self.steps("6b")
        middle = min(self.framing["sill_width_in"], self.framing["stud_depth_in"]) / 2
        low, high = steps.get("axis_from_in", middle), steps.get("axis_to_in", middle)
        return min(max(middle, low), high), steps.get("washer_side_in", plate_washers.SIDE_IN)
