"""What the load path's section and the details of panels, sill and foundation show of a wall line.

None where the line does not trigger a detail.
"""

from __future__ import annotations

import re
from dataclasses import replace

from reports.documents import schedule_rows
from reports.documents.detail_line import CORNER, FOOT, Facts, Line
from reports.drawings import load_path, vent_holes, wall_line
from reports.drawings.load_path_section import Joiners

OLD_EMBEDMENT_IN = 6.0  # an old bolt's, drawn where nobody saw it and never dimensioned


# --- the whole load path -------------------------------------------------------------------------------------------
def path_found(line: Line) -> Facts:
    """Every wall line: the chain as found."""
    framing, old = line.framing, line.line["existing_anchors"]
    nailed = {nailing["link"] for nailing in line.line["as_found"]}
    joiners = Joiners(new=False, floor_to_plate="nail" if "1" in nailed else "", stitched="2" in nailed)
    if old:
        edge, seen = old[0]["edge_in"], old[0]["embedment_in"]
        offset = framing.get("sill_edge_in")
        known = isinstance(edge, int | float) and isinstance(offset, int | float)
        washer = old[0].get("washer_in")
        joiners = replace(
            joiners,
            anchor_embedment_in=seen if isinstance(seen, int | float) else OLD_EMBEDMENT_IN,
            anchor_at_in=edge - offset if known else framing["stud_depth_in"] / 2,
            washer_in=washer if isinstance(washer, int | float) else 0.0,
        )
    return _path(line, joiners, 0)


def path_designed(line: Line) -> Facts:
    """Every wall line: the chain as designed."""
    floor = next((line.kind(row["connector"]) for row in line.rows("floor to plate")), "")
    new = line.rows("sill anchors")
    at, washer = line.anchor_place()
    old = path_found(line).shared["joiners"]
    joiners = Joiners(
        new=True,
        floor_to_plate="blocking" if line.rows("blocking nails") else floor or old.floor_to_plate,
        stitched=bool(line.rows("stitch nails")),
        panel=bool(line.line["panels"]),
        block=bool(line.rows("block nails")),
        flush_cut=line.flush_cut,
        anchor_embedment_in=line.connector(new[0]["connector"])["embedment_in"] if new else old.anchor_embedment_in,
        anchor_at_in=at if new else old.anchor_at_in,
        washer_in=washer if new else old.washer_in,
    )
    return _path(line, joiners, 1)


def _path(line: Line, joiners: Joiners, which: int) -> Facts:
    return Facts(
        {
            "framing": line.section(*CORNER, *FOOT, "top_nails_reach"),
            "foundation": line.foundation(),
            "stud_height_in": line.stud_height_in,
            "panel_thickness_in": line.panel_in,
            "joiners": joiners,
            "links": load_path.states(line.result, ratios=line.ratios)[which],
        }
    )


# --- panels --------------------------------------------------------------------------------------------------------
def panel(line: Line) -> Facts | None:
    """Panels with edge nailing in the schedule."""
    rows = line.rows("panel edge nails")
    if not rows or not line.line["panels"]:
        return None
    number = rows[0]["panel"] or 1
    span = line.line["panels"][number - 1]
    start, end = span["from_ft"] * 12, span["to_ft"] * 12
    joints = [at - start for at in wall_line.panel_joints_in(line.result, number)]
    top, sill = line.covered_in
    sheathing = line.line["sheathing"]
    heights = tuple(-wall_line.sill_bottom_at(line.line, at) - line.framing["sill_thickness_in"] for at in (start, end))
    above = wall_line.plates_height_in(line.line) - top
    studs = [at - start for at in line.framing["stud_centrelines_in"] if start <= at <= end]
    return Facts(
        {
            "edge_in": rows[0]["spacing_in"],
            "field_in": _field_spacing_in(rows[0]["note"]),
            "nail": schedule_rows.sheathing_nail(line.line),
            "sheathing": f"{sheathing['thickness']} {sheathing['grade']}",
            "plates_in": top,
            "sill_in": sill,
            "small_pieces": bool(joints) and not isinstance(line.snapshot["inputs"]["access_opening_in"], str),
        },
        {
            "length_in": end - start,
            "heights_in": tuple(height - above + sill for height in heights),
            "joints_in": joints,
            "studs_in": studs,
        },
    )


def _field_spacing_in(note: str) -> float:
    """The spacing of the nails at inner studs that the schedule's own words give."""
    found = re.search(r"field nails at (\d+) in", note)
    return float(found.group(1)) if found else 12.0


def panel_joint(line: Line) -> Facts | None:
    """Panels that come in pieces."""
    rows = line.rows("panel edge nails")
    if not rows or not any(line.result["panel_joints_in"] or []):
        return None
    framing = line.framing
    return Facts(
        {
            "stud_in": (framing["stud_thickness_in"], framing["stud_depth_in"]),
            "panel_in": line.panel_in,
            "nail": line.connector(rows[0]["connector"]),
            "three_x": bool(line.steps("4").get("three_x_at_joints")),
        }
    )


def vents(line: Line) -> Facts | None:
    """Panels that close stud bays."""
    if not line.rows("panel edge nails") or not line.line["panels"]:
        return None
    inside = [bay for span in line.line["panels"] for bay in wall_line.bays_inside(line.line, span)]
    if not inside:
        return None
    anchors = [*wall_line.positions_in(line.schedule, "sill anchors")]
    anchors += [old["at_ft"] * 12 for old in line.line["existing_anchors"]]
    free, held = None, None
    for bay in inside:
        at = next((at for at in anchors if bay.from_in < at < bay.to_in), None)
        if at is None:
            free = free or {"length_in": bay.to_in - bay.from_in, "anchor_in": None}
        else:
            held = held or {"length_in": bay.to_in - bay.from_in, "anchor_in": at - bay.from_in}
    top, sill = line.covered_in
    return Facts(
        {"holes": vent_holes.needed(line.stud_height_in)},
        {
            "bays": [bay for bay in (free, held) if bay],
            "stud_height_in": line.stud_height_in,
            "stud_thickness_in": line.framing["stud_thickness_in"],
            "plates_in": top,
            "sill_in": sill,
        },
    )


def block(line: Line) -> Facts | None:
    """Blocks on a sill wider than the studs, with their nails in the schedule."""
    rows, steps = line.rows("block nails"), line.steps("5")
    if not rows or "block_nails_per_bay" not in steps:
        return None
    span = line.line["panels"][(rows[0]["panel"] or 1) - 1]
    bays = [bay.to_in - bay.from_in for bay in wall_line.bays_inside(line.line, span)]
    return Facts(
        {
            "framing": line.section(*FOOT),
            "foundation": line.foundation(),
            "panel_thickness_in": line.panel_in,
            "nail": line.connector(rows[0]["connector"]),
            "nails_a_bay": steps["block_nails_per_bay"],
            "rows": steps.get("block_rows", 1),
            "shortest_in": steps.get("shortest_block_in"),
        },
        {"bay_in": max(bays, key=bays.count) if bays else 16.0},
    )


def flush_cut(line: Line) -> Facts | None:
    """A wide sill that is cut flush with the studs along the panels."""
    steps = line.steps("5")
    if not line.flush_cut or "cut_depth_in" not in steps:
        return None
    return Facts(
        {
            "framing": line.section(*FOOT),
            "foundation": line.foundation(),
            "panel_thickness_in": line.panel_in,
            "cut_depth_in": steps["cut_depth_in"],
            "stays_in": steps["sill_stays_in"],
            "bolt_to_cut_in": steps.get("bolt_to_cut_in"),
            "edge_nail": schedule_rows.sheathing_nail(line.line),
        }
    )


# --- sill and foundation -------------------------------------------------------------------------------------------
def anchor(line: Line) -> Facts | None:
    """New sill anchors in the schedule."""
    rows = line.rows("sill anchors")
    if not rows:
        return None
    at, washer = line.anchor_place()
    return Facts(
        {
            "framing": line.section(*FOOT),
            "foundation": line.foundation(),
            "anchor": line.connector(rows[0]["connector"]),
            "axis_in": at,
            "washer_in": washer,
            "panel_thickness_in": line.panel_in,
            "block": bool(line.rows("block nails")),
            "flush_cut": line.flush_cut,
        }
    )


def side_connection(line: Line) -> Facts | None:
    """Side connections in the schedule."""
    rows = line.rows("side connections")
    return (
        Facts(
            {
                "framing": line.section(*FOOT, "rim_depth_in", "side_set_back_in"),
                "foundation": line.foundation("face"),
                "connector": line.connector(rows[0]["connector"]),
            }
        )
        if rows
        else None
    )


def tie_down(line: Line) -> Facts | None:
    """Tie-downs in the schedule."""
    rows, rods = line.rows("tie-downs"), line.rows("tie-down anchors")
    if not rows:
        return None
    nails = line.rows("panel edge nails")
    rod = rods[0]["connector"] if rods else line.line["methods"]["tie_down_anchor"]
    post = line.line["end_post"]
    return Facts(
        {
            "framing": {"sill_thickness_in": line.framing["sill_thickness_in"]},
            "post": {key: post[key] for key in ("width_in", "depth_in", "rod_from_end_in")},
            "tie_down": line.connector(rows[0]["connector"]),
            "anchor": line.connector(rod),
            "edge_nail": schedule_rows.sheathing_nail(line.line),
            "edge_in": nails[0]["spacing_in"] if nails else 6.0,
        }
    )
