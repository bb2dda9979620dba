"""Wall lines that are hard to draw: short, long, crowded, stepped, sloped, full of openings. Plain JSON."""

from __future__ import annotations

import copy
from typing import Any

from reports.documents import schedule_rows

CROWDED_IN = (3.0, 4.5, 6.0, 7.5, 9.0)


def _item(role: str, link: str, connector: str, places: list[float], **more: Any) -> dict[str, Any]:
    return {"link": link, "role": role, "connector": connector, "count": len(places), "spacing_in": None,
            "positions_in": places, "panel": None, "piece": None, "note": ""} | more  # fmt: skip


def _every(step_in: float, length_in: float, start_in: float = 3.0) -> list[float]:
    return [start_in + step_in * n for n in range(int((length_in - 2 * start_in) / step_in) + 1)]


def wall(snapshot: dict, length_ft: float, *, stud_in: float = 16.0, anchor_in: float = 48.0, panel_ft: float = 4.0,
         **changes: Any) -> tuple[dict, dict, dict]:  # fmt: skip
    """A line as surveyed, its schedule and its result: a panel at each end, anchors and connectors at one step."""
    line = copy.deepcopy(schedule_rows.line_inputs(snapshot, "A"))
    length_in, panel_ft = length_ft * 12, min(panel_ft, length_ft / 2 if length_ft > 6 else length_ft)
    studs = [stud_in * n for n in range(int(length_in / stud_in) + 1)]
    studs = sorted({min(max(stud, 0.75), length_in - 0.75) for stud in [*studs, length_in]})
    panels = [{"from_ft": 0.0, "to_ft": panel_ft, "label": ""}] if panel_ft else []
    if 0 < panel_ft < length_ft:
        panels.append({"from_ft": length_ft - panel_ft, "to_ft": length_ft, "label": ""})
    places = _every(anchor_in, length_in)
    anchor = line["existing_anchors"][0]
    line |= {
        "label": "A", "start_ft": [0.0, 0.0], "end_ft": [length_ft, 0.0], "panels": panels, "openings": [],
        "segments": [line["segments"][0] | {"from_ft": 0.0, "to_ft": length_ft}],
        "sill_pieces": [{"from_ft": at, "to_ft": min(at + 8.0, length_ft), "label": ""}
                        for at in range(0, int(length_ft), 8)],
        "plate_laps_ft": [at + 5.0 for at in range(0, int(length_ft) - 5, 12)],
        "lower_plate_laps_ft": [at + 5.5 for at in range(0, int(length_ft) - 5, 12)],
        "existing_anchors": [anchor | {"at_ft": (place + 5.0) / 12, "accepted": n % 2 == 0}
                             for n, place in enumerate(places) if place + 5.0 < length_in],
    }  # fmt: skip
    line["framing"] = line["framing"] | {"stud_centrelines_in": studs}
    line |= changes
    ends = [edge * 12 for panel in line["panels"] for edge in (panel["from_ft"], panel["to_ft"])]
    rods = [end + (4.5 if n % 2 == 0 else -4.5) for n, end in enumerate(ends)]
    items = [
        _item("floor to plate", "1", "screw", _every(anchor_in / 2, length_in, 5.0)),
        _item("stitch nails", "2", "12d", _every(anchor_in / 2, length_in, 7.0)),
        _item("sill anchors", "6a", "anchor", places),
        _item("tie-downs", "7a", "tie-down", rods),
        _item("panel edge nails", "4", "8d", [], spacing_in=3.0),
        *([_item("block nails", "5", "10d-hdg", [], panel=1)] if panels else []),
        _item("side connections", "6a", "anchor", [place + 2.0 for place in places[::2]]),
    ]
    joints = [[stud for stud in studs if panel["from_ft"] * 12 < stud < panel["to_ft"] * 12][1:-1:2]
              for panel in line["panels"]]  # fmt: skip
    return line, {"label": "A", "items": items}, {"panel_joints_in": joints}


def walls(snapshot: dict) -> dict[str, tuple[dict, dict, dict]]:
    segment = schedule_rows.line_inputs(snapshot, "A")["segments"][0]

    def piece(low: float, high: float, kind: str = "cripple wall", stud_ft: float = 2.0, **more: Any) -> dict:
        return segment | {"kind": kind, "from_ft": low, "to_ft": high, "stud_height_ft": stud_ft} | more

    stepped = [piece(0, 8), piece(8, 14, stud_ft=4.0), piece(14, 17, "joists on the sill", 0.0),
               piece(17, 20, "slab part", 0.0), piece(20, 32, stud_ft=6.5)]  # fmt: skip
    openings = [{"from_ft": low, "to_ft": low + 1.2, "label": label} for low, label in
                ((6.0, "vent 14 × 6 in"), (8.0, "vent 14 × 6 in"), (10.0, "gas pipe"),
                 (12.0, "crawlspace access 24 × 18 in, hinged door"), (15.0, ""))]  # fmt: skip
    return {
        "four feet": wall(snapshot, 4.0),
        "sixty feet": wall(snapshot, 60.0, panel_ft=12.0),
        "studs every 12 in": wall(snapshot, 32.0, stud_in=12.0),
        "anchors every foot": wall(snapshot, 40.0, anchor_in=12.0, stud_in=12.0),
        "stepped": wall(snapshot, 32.0, segments=stepped, panel_ft=6.0),
        "sloped": wall(snapshot, 24.0, segments=[piece(0, 24, far_stud_height_ft=5.0)]),
        "low": wall(snapshot, 30.0, segments=[piece(0, 30, stud_ft=0.6)]),
        "openings": wall(snapshot, 24.0, openings=openings),
        "between struts": wall(snapshot, 16.0, struts=[
            {"end": end, "length_ft": 6.0, "thickness_in": 1.5, "depth_in": 3.5} for end in ("zero", "far")]),
        "bare": wall(snapshot, 20.0, panel_ft=0.0, plate_laps_ft="not observed", lower_plate_laps_ft="not observed"),
    }  # fmt: skip


def house_with_a_notch(snapshot: dict) -> tuple[dict, dict]:
    """An L of eight lines, two of them inside the house: inputs, and a schedule with something on each."""
    inputs = copy.deepcopy(snapshot["inputs"])
    inputs["building"]["floor_outline_ft"] = [[0, 0], [40, 0], [40, 18], [26, 18], [26, 32], [0, 32]]
    ends = {
        "A": ([0, 0], [40, 0]), "B": ([26, 18], [40, 18]), "C": ([0, 32], [26, 32]), "1": ([0, 0], [0, 32]),
        "2": ([26, 18], [26, 32]), "3": ([40, 0], [40, 18]), "M": ([0, 16], [26, 16]), "Garage": ([13, 0], [13, 16]),
    }  # fmt: skip
    inputs["lines"], schedules = [], []
    for label, (start, end) in ends.items():
        line, schedule, _ = wall(snapshot, float(abs(end[0] - start[0]) + abs(end[1] - start[1])))
        inputs["lines"].append(line | {"label": label, "start_ft": start, "end_ft": end})
        schedules.append(schedule | {"label": label})
    return inputs, {"lines": schedules}
