"""Plate washers under the nuts of sill anchors: their size, and where an anchor stands across the sill for them.

Places across the sill are measured from its outer face; the studs stand flush with that face, the panel on their
inner one, on both where there is a second panel. A sill whose distance from the concrete's edge was not observed is
taken as flush with it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import ceil

from engineering.errors import OutOfRange
from engineering.geometry_factor import EDGE_D, NDS_EDGE
from engineering.inputs import NOT_OBSERVED, ExistingAnchor, Sheathing, WallLine
from engineering.results import Step
from engineering.shear_panels import SPACINGS_IN, nominal_unit_shear
from engineering.sources import Source
from engineering.steps import step

SIDE_IN, THICKNESS_IN = 3.0, 0.229
SLOT_OVER_IN, SLOT_LONG_IN = 3 / 16, 1.75
EDGE_GAP_IN = 0.5
NOMINAL_LIMIT_PLF = 400.0
WASHER = Source(
    "IBC", "2006", "2305.3.11", read="http://seaint.blogspot.com/2008/01/fw-3x3-square-sill-plate-washers.html"
)
NEAR_EDGE = Source("AWC SDPWS", "2021", "4.3.6.4.3")
SIZE = f"{SIDE_IN:g} × {SIDE_IN:g} × {THICKNESS_IN:g} in"


@dataclass(frozen=True, slots=True)
class AxisWindow:
    """From where to where a new anchor's axis may stand across the sill, and its washer; or the `reason` why not."""

    from_in: float
    to_in: float
    washer_in: float
    reason: str
    steps: tuple[Step, ...]


def bearing_width_in(line: WallLine) -> float:
    """The sill's width that stays: all of it, or the studs' depth where it is cut flush with them. [in]"""
    framing = line.framing
    if line.methods.wide_sill == "flush cut" and line.framing.plates_in:
        return min(framing.sill_width_in, framing.stud_depth_in)
    return framing.sill_width_in


def borne_in(line: WallLine) -> float:
    """The sill's width that bears on the concrete: less what stands out beyond the concrete's edge. [in]"""
    return max(0.0, bearing_width_in(line) - max(0.0, -sill_edge_in(line)))


def panel_face_in(line: WallLine) -> float:
    """From the sill's outer face to the panel on the studs' inner face; the sill's inner face without studs. [in]"""
    framing = line.framing
    return min(framing.sill_width_in, framing.stud_depth_in) if framing.plates_in else framing.sill_width_in


def axis_in(line: WallLine, anchor: ExistingAnchor) -> float | None:
    """Where an old bolt stands across the sill; None where nobody measured it. [in]"""
    if anchor.edge_in == NOT_OBSERVED:
        return None
    return anchor.edge_in - sill_edge_in(line)


def sill_edge_in(line: WallLine) -> float:
    """From the concrete's edge to the sill's outer face; flush where it was not observed. [in]"""
    edge_in = line.framing.sill_edge_in
    return 0.0 if edge_in == NOT_OBSERVED else edge_in


@lru_cache(maxsize=128)
def near_edge_step(sheathing: Sheathing) -> Step:
    """Whether washers must come near the edge on this panel's side: its nominal shear above 400 plf, at 6 in already.

    Sheathing that the table does not have takes the rule too. SDPWS 4.3.6.4.3.
    """
    try:
        nominal_plf = nominal_unit_shear(sheathing, SPACINGS_IN[0]).value
    except OutOfRange:
        return step("washer_near_edge", "near the edge", "sheathing not in the table", True, "-", NEAR_EDGE)
    assert isinstance(nominal_plf, float)
    near, rule = nominal_plf > NOMINAL_LIMIT_PLF, f"within {EDGE_GAP_IN:g} in where v_n > v_limit on that side"
    return step("washer_near_edge", "near the edge", rule, near, "-", NEAR_EDGE,
                v_n=nominal_plf, v_limit=NOMINAL_LIMIT_PLF)  # fmt: skip


def _near_inner(line: WallLine) -> bool:
    return bool(line.framing.plates_in and near_edge_step(line.sheathing).value)


def _near_outer(line: WallLine) -> bool:
    return bool(line.framing.plates_in and line.other_face is not None and near_edge_step(line.other_face).value)


def washer_for(line: WallLine, axis_in: float) -> tuple[float, str]:
    """Side of the square washer that an anchor at `axis_in` across the sill takes under a panel, or why none does.

    At least 3 in; it comes within 1/2 in of each sheathed edge, lies wholly on the sill and clear of the panel's face.
    """
    face_in, side_in = panel_face_in(line), SIDE_IN
    if _near_inner(line):
        side_in = max(side_in, 2 * (face_in - EDGE_GAP_IN - axis_in))
    if _near_outer(line):
        side_in = max(side_in, 2 * (axis_in - EDGE_GAP_IN))
    side_in = ceil(4 * side_in - 1e-9) / 4
    room_in = 2 * min(axis_in, face_in - axis_in)
    if side_in > room_in + 1e-9:
        return side_in, (
            f"a {side_in:g} in plate washer does not lie wholly on the sill, {axis_in:g} in from its outer face and "
            f"{face_in - axis_in:g} in from the panel"
        )
    return side_in, ""


def axis_window(line: WallLine, diameter_in: float, least_edge_in: float | None) -> AxisWindow:
    """Where a new anchor stands across the sill: washer, the bolt's edge distances and its report's edge distance.

    A 3 in washer where one can be; else the place that takes the smallest. `least_edge_in`: of the report, to the
    concrete's edges, outer and inner; where one of them was not observed no anchor of such a report counts.
    """
    face_in, width_in, edge_in = panel_face_in(line), bearing_width_in(line), sill_edge_in(line)
    bolt_in = EDGE_D * diameter_in
    low_in = max(SIDE_IN / 2, bolt_in, (least_edge_in or 0.0) - edge_in)
    high_in = min(face_in - SIDE_IN / 2, width_in - bolt_in, _inner_limit_in(line, least_edge_in))
    wanted_in = min(max(face_in / 2, low_in), high_in) if low_in <= high_in + 1e-9 else face_in / 2
    three_low_in, three_high_in = low_in, high_in
    if _near_inner(line):
        three_low_in = max(low_in, face_in - EDGE_GAP_IN - SIDE_IN / 2)
    if _near_outer(line):
        three_high_in = min(high_in, EDGE_GAP_IN + SIDE_IN / 2)
    steps = [
        step("bolt_edge_in", "e_bolt", "1.5·D to each edge of the sill", bolt_in, "in", NDS_EDGE, D=diameter_in),
    ]
    if least_edge_in is not None:
        steps.append(
            step("sill_side_in", "x_edge", "c_min − e_sill, concrete edge distance less the sill's",
                 least_edge_in - edge_in, "in", NEAR_EDGE, c_min=least_edge_in, e_sill=edge_in)
        )  # fmt: skip
    if edge_in < 0 and least_edge_in is None:
        reason = "the sill overhangs the concrete, and the anchor's report gives no edge distance to hold it to"
        return AxisWindow(low_in, high_in, SIDE_IN, reason, tuple(steps))
    if unseen := _edges_unseen(line, least_edge_in):
        return AxisWindow(low_in, high_in, SIDE_IN, unseen, tuple(steps))
    if low_in > high_in + 1e-9:
        reason = (
            f"no place across a {width_in:g} in sill: at least {low_in:g} in from its outer face for the washer, the "
            f"bolt and the concrete's edge, at most {high_in:g} in for the washer at the panel, the bolt and the "
            "concrete's inner edge"
        )
        return AxisWindow(low_in, high_in, SIDE_IN, reason, tuple(steps))
    if three_low_in <= three_high_in + 1e-9:
        found = (three_low_in, three_high_in, SIDE_IN, "")
    else:
        side_in, reason = washer_for(line, wanted_in)
        found = (wanted_in, wanted_in, side_in, reason)
    steps += [
        step("axis_from_in", "x_min", "from the sill's outer face", found[0], "in", NEAR_EDGE, panel=face_in),
        step("axis_to_in", "x_max", "from the sill's outer face", found[1], "in", NEAR_EDGE, panel=face_in),
        step("washer_side_in", "a", f"square plate washer, {THICKNESS_IN:g} in thick", found[2], "in", WASHER,
             thickness=THICKNESS_IN, slot_over_bolt=SLOT_OVER_IN, slot_long=SLOT_LONG_IN),
    ]  # fmt: skip
    return AxisWindow(*found, tuple(steps))


def _inner_limit_in(line: WallLine, least_edge_in: float | None) -> float:
    """Across the sill up to where the report's distance to the concrete's inner edge is kept. [in]"""
    width_in = line.foundation.width_in
    if least_edge_in is None or width_in == NOT_OBSERVED:
        return 1e9
    return width_in - sill_edge_in(line) - least_edge_in


def _edges_unseen(line: WallLine, least_edge_in: float | None) -> str:
    """Which edge of the concrete nobody measured, where the anchor's report states a distance to it; else empty."""
    asks = f"must be observed: the anchor's report asks for {least_edge_in or 0.0:g} in to the concrete's edges"
    if least_edge_in is None:
        return ""
    if line.framing.sill_edge_in == NOT_OBSERVED:
        return f"sill edge in: {asks}"
    return f"foundation width in: {asks}" if line.foundation.width_in == NOT_OBSERVED else ""


def too_small(anchor: ExistingAnchor, side_in: float) -> str:
    """What is wrong with an old bolt's washer where `side_in` is needed: too small, too thin, not observed; or ""."""
    if anchor.washer_in == NOT_OBSERVED or anchor.washer_thickness_in == NOT_OBSERVED:
        return "not observed"
    if anchor.washer_in < side_in - 1e-9:
        return f"{anchor.washer_in:g} in" if anchor.washer_in else "none"
    if anchor.washer_thickness_in < THICKNESS_IN - 1e-9:
        return f"{anchor.washer_thickness_in:g} in thick"
    return ""
