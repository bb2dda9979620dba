"""Facts of one wall line that every drawing of it needs: length, which end is left, corner names, bays, levels.

Takes the wall line and its schedule as plain JSON, as they stand in a design's snapshot. Stations are inches from the
line's zero end.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, degrees, hypot
from typing import Any, Literal

from engineering.layout import by_bay
from reports.drawings.sheet import Point

Viewpoint = Literal["outside", "inside"]
POST_SLACK_IN = 2.0
FLOOR_ROLES = ("floor to plate", "blocking nails")  # what joins floor and top plate
PLATE_ROLES = (*FLOOR_ROLES, "plate straps", "strut splice")  # what stands at the top plates
SILL_ROLES = ("sill anchors", "side connections")  # what joins sill and foundation
COMPASS = ("east", "north-east", "north", "north-west", "west", "south-west", "south", "south-east")


def length_in(line: dict[str, Any]) -> float:
    """Length of the wall line."""
    (x0, y0), (x1, y1) = line["start_ft"], line["end_ft"]
    return hypot(x1 - x0, y1 - y0) * 12.0


def contains(outline_ft: list[list[float]], at_ft: Point) -> bool:
    """Whether a point lies inside a polygon (even-odd)."""
    x, y = at_ft
    inside = False
    for (x0, y0), (x1, y1) in zip(outline_ft, outline_ft[1:] + outline_ft[:1], strict=True):
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) / (y1 - y0) * (x1 - x0):
            inside = not inside
    return inside


def interior_is_left(line: dict[str, Any], outline_ft: list[list[float]]) -> bool:
    """Whether the house lies to the left of the line, walking from its zero end. An inside line: yes."""
    (x0, y0), (x1, y1) = line["start_ft"], line["end_ft"]
    size = hypot(x1 - x0, y1 - y0)
    left = (-(y1 - y0) / size, (x1 - x0) / size)
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    return contains(outline_ft, (middle[0] + 0.5 * left[0], middle[1] + 0.5 * left[1]))


def zero_is_left(line: dict[str, Any], outline_ft: list[list[float]], seen_from: Viewpoint) -> bool:
    """Whether the zero end is at the left hand of someone who looks at the line from this side.

    From outside, with the house to the left of the walking direction, the line runs from left to right.
    """
    return interior_is_left(line, outline_ft) == (seen_from == "outside")


def direction_name(from_ft: Point, to_ft: Point) -> str:
    """The compass point of one point seen from another, north being +y."""
    angle = degrees(atan2(to_ft[1] - from_ft[1], to_ft[0] - from_ft[0]))
    return COMPASS[round(angle / 45.0) % 8]


def centre_ft(outline_ft: list[list[float]]) -> Point:
    """Middle of the outline's bounding box."""
    xs, ys = [x for x, _ in outline_ft], [y for _, y in outline_ft]
    return ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)


def facing(line: dict[str, Any], outline_ft: list[list[float]]) -> str:
    """Which side of the house the line stands on: "south", or "inside" for one within the outline."""
    (x0, y0), (x1, y1) = line["start_ft"], line["end_ft"]
    size = hypot(x1 - x0, y1 - y0)
    out = ((y1 - y0) / size, -(x1 - x0) / size)
    if not interior_is_left(line, outline_ft):
        out = (-out[0], -out[1])
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    if contains(outline_ft, (middle[0] + 0.5 * out[0], middle[1] + 0.5 * out[1])):
        return "inside"
    return direction_name((0.0, 0.0), out)


def zero_end_name(line: dict[str, Any]) -> str:
    """Which end of the line the tape starts from: "west end"."""
    return f"{direction_name(tuple(line['end_ft']), tuple(line['start_ft']))} end"


@dataclass(frozen=True, slots=True)
class Bay:
    """The space between two neighbouring studs; `from_in` and `to_in` are their centrelines (or the line's ends)."""

    number: int
    from_in: float
    to_in: float


def bays(line: dict[str, Any]) -> list[Bay]:
    """The bays of a line, numbered from its zero end as on the crew's pages; studs side by side leave none."""
    framing, end_in = line["framing"], length_in(line)
    half_in = framing["stud_thickness_in"] / 2
    open_bays = by_bay((), tuple(framing["stud_centrelines_in"]), framing["stud_thickness_in"], end_in)
    return [
        Bay(
            bay.number,
            bay.from_in - half_in if bay.from_in > 0 else 0.0,
            bay.to_in + half_in if bay.to_in < end_in else end_in,
        )
        for bay in open_bays
    ]


def bay_at(line: dict[str, Any], station_in: float) -> Bay:
    """The bay that holds a station; on a centreline the bay before it. ValueError outside the line."""
    if not -0.01 <= station_in <= length_in(line) + 0.01:
        raise ValueError(f"{station_in} in lies outside wall line {line['label']}")
    half_in = line["framing"]["stud_thickness_in"] / 2
    found = bays(line)
    begun = [bay for bay in found if (bay.from_in + half_in if bay.from_in > 0 else 0.0) <= station_in]
    return begun[-1] if begun else found[0]


def bays_inside(line: dict[str, Any], span: dict[str, Any]) -> list[Bay]:
    """The bays that a panel or another stretch closes; its end posts may stand a little inside its ends."""
    low, high = span["from_ft"] * 12 - POST_SLACK_IN, span["to_ft"] * 12 + POST_SLACK_IN
    inside = [bay for bay in bays(line) if bay.from_in >= low and bay.to_in <= high]
    return [bay for bay in inside if bay.to_in - bay.from_in > 2 * POST_SLACK_IN]


def rows(schedule: dict[str, Any] | None, role: str) -> list[dict[str, Any]]:
    """The rows of one role in a line's schedule."""
    return [] if schedule is None else [item for item in schedule["items"] if item["role"] == role]


def positions_in(schedule: dict[str, Any] | None, role: str) -> list[float]:
    """All positions of one role along the line, in order."""
    return sorted(position for item in rows(schedule, role) for position in item["positions_in"])


def connector_names(catalogue: dict[str, Any]) -> dict[str, str]:
    """Catalogue key → name as written on papers."""
    return {item["key"]: item["name"] for kind in ("nails", "lags", "evaluated") for item in catalogue[kind]}


def connector_kinds(catalogue: dict[str, Any]) -> dict[str, str]:
    """Catalogue key → kind ("through-plate screw", "nail", "lag screw" …)."""
    kinds = {item["key"]: item["kind"] for item in catalogue["evaluated"]}
    return (
        kinds
        | {item["key"]: "nail" for item in catalogue["nails"]}
        | {item["key"]: "lag screw" for item in catalogue["lags"]}
    )


def plates_height_in(line: dict[str, Any]) -> float:
    return sum(line["framing"]["plates_in"])


def ends_at_lower_plate(line: dict[str, Any]) -> bool:
    """Whether the panels stop at the lower of two top plates."""
    framing = line["framing"]
    return framing["top_nails_reach"] == "lower plate" and len(framing["plates_in"]) > 1


def sill_bottom_in(line: dict[str, Any], segment: dict[str, Any]) -> float:
    """Level of the sill's underside in a segment, below the top of the upper plate (negative)."""
    framing = line["framing"]
    return -(plates_height_in(line) + segment["stud_height_ft"] * 12.0 + framing["sill_thickness_in"])


def sill_bottom_at(line: dict[str, Any], station_in: float, segment: dict[str, Any] | None = None) -> float:
    """Level of the sill's underside at a station, on a straight slope where the segment has one."""
    segment = segment or segment_at(line, station_in)
    low, near = sill_bottom_in(line, segment), segment["stud_height_ft"]
    far = segment.get("far_stud_height_ft")
    if far is None:
        return low
    share = (station_in - segment["from_ft"] * 12) / ((segment["to_ft"] - segment["from_ft"]) * 12)
    return low - share * (far - near) * 12


def segment_at(line: dict[str, Any], station_in: float) -> dict[str, Any]:
    """The segment that holds a station (the earlier one at a joint)."""
    for segment in line["segments"]:
        if segment["from_ft"] * 12 - 0.01 <= station_in <= segment["to_ft"] * 12 + 0.01:
            return segment
    raise ValueError(f"{station_in} in lies outside the segments of wall line {line['label']}")


def panel_joints_in(result: dict[str, Any] | None, panel: int) -> tuple[float, ...]:
    """Where the pieces of one panel meet, from the line's result; empty where nothing is computed yet."""
    joints = (result or {}).get("panel_joints_in") or []
    return tuple(joints[panel - 1]) if panel <= len(joints) else ()


def plate_joints_in(line: dict[str, Any], plate: Literal["upper", "lower"]) -> list[float]:
    """Where pieces of a top plate meet; empty also where that was not observed."""
    laps = line.get("plate_laps_ft" if plate == "upper" else "lower_plate_laps_ft", [])
    return [] if isinstance(laps, str) else [lap * 12 for lap in laps]


def sill_joints_in(line: dict[str, Any]) -> list[float]:
    """Where sill pieces end within the line."""
    ends = {round(piece[key] * 12, 3) for piece in line["sill_pieces"] for key in ("from_ft", "to_ft")}
    return sorted(end for end in ends if 0.01 < end < length_in(line) - 0.01)
