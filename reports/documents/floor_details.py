"""What the details from floor to plates show of a wall line; None where the line does not trigger one."""

from __future__ import annotations

from typing import Any

from engineering.nail_spacing import rows_across
from reports.documents.detail_line import CORNER, Facts, Line
from reports.drawings import wall_line
from reports.drawings.sheet import length_text
from reports.drawings.through_plate_section import step_values

PATTERN_SHOWN_IN, PATTERN_BEFORE_IN = 50.0, 12.0


def _floor_row(line: Line, *kinds: str) -> dict[str, Any] | None:
    return next((row for row in line.rows("floor to plate") if line.kind(row["connector"]) in kinds), None)


def screw(line: Line) -> Facts | None:
    """Through-plate screws in the schedule, with their computed set-up."""
    row, set_up = _floor_row(line, "through-plate screw"), line.result["through_plate"]
    if row is None or not set_up:
        return None
    stitches = line.rows("stitch nails")
    return Facts(
        {
            "framing": line.section(*CORNER, "jig_bears_on"),
            "set_up": step_values(set_up),
            "screw": line.connector(row["connector"]),
            "stitch_nail": line.connector(stitches[0]["connector"]) if stitches else None,
        }
    )


def pattern(line: Line) -> Facts | None:
    """Through-plate screws or stitch nails under the plates."""
    row, stitches = _floor_row(line, "through-plate screw"), line.rows("stitch nails")
    if not stitches and row is None:
        return None
    places = wall_line.positions_in(line.schedule, "floor to plate") if row else []
    nails = wall_line.positions_in(line.schedule, "stitch nails")
    start = max(0.0, min([*places, *nails]) - PATTERN_BEFORE_IN)
    back, rim = line.framing["rim_set_back_in"], line.framing["rim_thickness_in"]
    return Facts(
        {
            "framing": line.section("plate_width_in", "stud_depth_in", "stud_thickness_in"),
            "target_in": back + rim / 2,
            "stitch_nail": line.connector(stitches[0]["connector"])["name"] if stitches else "",
            "screw": line.connector(row["connector"])["name"] if row else "",
        },
        {
            "studs_in": line.framing["stud_centrelines_in"],
            "screws_in": places,
            "stitches_in": nails,
            "shown_in": (start, min(start + PATTERN_SHOWN_IN, wall_line.length_in(line.line))),
        },
    )


def angle(line: Line) -> Facts | None:
    """Framing angles in the schedule."""
    row = _floor_row(line, "framing angle")
    return row and Facts(
        {"framing": line.section(*CORNER), "connector": line.connector(row["connector"]), "side": "inside"}
    )


def face_plate(line: Line) -> Facts | None:
    """Face plates from outside in the schedule."""
    row = _floor_row(line, "face plate")
    return row and Facts(
        {
            "framing": line.section(*CORNER, "outside_finish"),
            "connector": line.connector(row["connector"]),
            "side": "outside",
        }
    )


def lag(line: Line) -> Facts | None:
    """Lag screws in the schedule."""
    row = _floor_row(line, "lag screw")
    return row and _fastener(line, row, "lag screw")


def toenail(line: Line) -> Facts | None:
    """Toenails from floor to plate in the schedule."""
    row = _floor_row(line, "nail")
    return row and _fastener(line, row, "toenail")


def blocking(line: Line) -> Facts | None:
    """New blocking in the schedule."""
    rows = line.rows("blocking nails")
    return _fastener(line, rows[0], "blocking") if rows else None


def _fastener(line: Line, row: dict[str, Any], way: str) -> Facts:
    spacing = f", at most {length_text(row['spacing_in'])} apart" if row["spacing_in"] else ""
    return Facts(
        {
            "framing": line.section(*CORNER),
            "way": way,
            "fastener": line.connector(row["connector"]),
            "how": row["note"] or f"number by the schedule{spacing}",
        }
    )


def splice(line: Line) -> Facts | None:
    """Splice nails each side of a plate joint in the schedule."""
    rows = line.rows("splice nails each side")
    if not rows:
        return None
    row = max(rows, key=lambda one: one["count"])
    nail, steps = line.connector(row["connector"]), line.steps("3")
    shared, example = _joint(line, row)
    across = max(1, rows_across(line.framing["plate_width_in"], nail["diameter_in"]))
    return Facts(shared | {"rows": across, "strap": False}, example | {"holds": steps.get("lap_holds")})


def strap(line: Line) -> Facts | None:
    """Straps across a plate joint in the schedule."""
    rows = line.rows("plate straps")
    if not rows:
        return None
    shared, example = _joint(line, rows[0])
    return Facts(shared | {"rows": 1, "strap": True}, example | {"holds": None})


def _joint(line: Line, row: dict[str, Any]) -> tuple[dict[str, Any], dict[str, Any]]:
    at_in = row["positions_in"][0]
    lower = wall_line.plate_joints_in(line.line, "lower")
    ends = [0.0, *lower, wall_line.length_in(line.line)]
    unseen = isinstance(line.line.get("lower_plate_laps_ft", "not observed"), str)
    return (
        {"plates_in": line.framing["plates_in"], "connector": line.connector(row["connector"])},
        {
            "count": row["count"],
            "where": f"line {line.label}, {length_text(at_in)} from its zero end",
            "lap_in": None if unseen else min(abs(end - at_in) for end in ends),
        },
    )


def strut(line: Line) -> Facts | None:
    """A strut whose splice to the plates is in the schedule."""
    rows = line.rows("strut splice")
    if not rows or not line.line.get("struts"):
        return None
    end = "zero" if rows[0]["positions_in"][0] < 1.0 else "far"
    beam = next((one for one in line.line["struts"] if one["end"] == end), line.line["struts"][0])
    connector = line.connector(rows[0]["connector"])
    return Facts(
        {
            "plate_width_in": line.framing["plate_width_in"],
            "strut": {key: beam.get(key) for key in ("length_ft", "thickness_in", "depth_in", "lap_in")},
            "connector": connector,
            "count": rows[0]["count"],
            "strap": connector.get("kind") == "strap",
        }
    )
