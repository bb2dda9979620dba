"""Worked house A, our own hand calculation: each of its step names mapped to one of our values."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache
from typing import Any

from engineering.anchor_credit import light_frame_shown
from engineering.house import assess
from engineering.results import Check, HouseResult, LineResult
from engineering.schedule import LineSchedule
from tests.published.house_a import house_inputs

Value = Any


@cache
def result(level: str, anchor: str = "0_5") -> HouseResult:
    return assess(house_inputs(level, float(anchor.replace("_", "."))))


def line(level: str, label: str, anchor: str = "0_5") -> LineResult:
    return result(level, anchor).line(label)


def scheduled(level: str, label: str, anchor: str = "0_5") -> LineSchedule:
    return result(level, anchor).schedule.line(label)


def link(level: str, label: str, name: str, anchor: str = "0_5") -> Check:
    return line(level, label, anchor).link(name).check


def part(level: str, label: str, name: str, panel: int, anchor: str = "0_5") -> Check:
    parts = line(level, label, anchor).link(name).parts
    return next(one for one in parts if re.match(rf"panel {panel}\b", one.name))


def fastener(start: str, level: str = "full", anchor: str = "0_5") -> Check:
    return next(one for one in result(level, anchor).fasteners if one.name.startswith(start))


def option(level: str, label: str, method: str) -> Any:
    return next(one for one in line(level, label).options if one.method == method)


DEMAND_KEYS = {
    "weight.cripple_top_half_lb": "braced_wall_top_half_lb",
    "weight.chimney_lb": "point_weight_chimney_lb",
    "weight.W_lb": "weight_lb",
    "demand.Cs_max_12_8_3": "Cs_max",
    "demand.Cs_min_12_8_5": "Cs_min",
    "strips.cut_y_ft": "cut_A_B_ft",
    "strips.cut_x_ft": "cut_1_2_ft",
    "vertical.w_floor_lb": "level_floor_weight_lb",
    "vertical.w_roof_lb": "level_roof_weight_lb",
    "vertical.sum_wh_lb_ft": "sum_wh",
    "vertical.F_floor_lb": "level_floor_force_lb",
    "vertical.F_roof_lb": "level_roof_force_lb",
    "vertical.wall_plf_floor": "level_floor_wall_plf",
    "vertical.wall_plf_roof": "level_roof_wall_plf",
    "demand.story_above_share": "level_roof_story_share",
    "px.floor.sumF_over_sumw": "px_floor_ratio",
    "px.floor.Fpx_lb": "px_floor_lb",
}
FASTENERS = {
    "stitch": "12d common",
    "block": "10d common",
    "toenail": "16d common",
    "lag": "1/4 x 6 in. lag",
    "bolt_0_5": "0.5 in anchor bolt",
    "bolt_0_625": "0.625 in anchor bolt",
    "as_found_toenail": "8d common",
}
PX_COUNTS = {"screws": "through-plate screws", "angles": "framing angles", "toenails": "toenails", "lags": "lag screws"}
METHODS = {"angles": "framing angles", "toenails": "toenails", "lags": "lag screws"}
LINE_4_STEPS = (
    "panel_length_ft|aspect_ratio_max|required_length_6in_ft|required_length_4in_ft|edge_nail_spacing_in"
    "|panel_unit_shear_plf"
)


def _demand_step(key: str) -> Value:
    return result("full").demand.step(key).value


def _strip(label: str, quantity: str) -> Value:
    return _demand_step(f"strip_{label}_{ {'W_lb': 'weight_lb'}.get(quantity, quantity) }")


def _fastener(name: str, key: str) -> Value:
    check = fastener(FASTENERS[name], anchor="0_625" if name == "bolt_0_625" else "0_5")
    return check.step(key).value


def _screw(key: str) -> Value:
    set_up = line("full", "A").through_plate
    assert set_up is not None
    if key == "penetration_ok":
        return 2.0 <= set_up.step("penetration_in").value < 9.25
    if key == "pilot_in_NDS_range":
        return not any("pilot" in warning for warning in set_up.warnings)
    return set_up.step(key).value


def _light_frame(label: str, number: str) -> Value:
    wall = next(one for one in house_inputs().lines if one.label == label)
    return light_frame_shown(wall, wall.existing_anchors[int(number) - 1])[0]


def _link_1(level: str, label: str, key: str) -> Value:
    check = link(level, label, "1")
    if key == "screws":
        return scheduled(level, label).count("floor to plate")
    if key == "screw_spacing_in":
        return scheduled(level, label).rows("floor to plate")[0].spacing_in
    if key == "ratio":
        return check.ratio
    if key == "px_toenails_feasible":
        return option(level, label, "toenails").px_feasible
    if key.startswith("px_"):
        return option(level, label, PX_COUNTS[key.removeprefix("px_")]).px_count
    if key == "toenails_feasible":
        return option(level, label, "toenails").feasible
    if match := re.fullmatch(r"option_([a-z]+)(_ratio)?", key):
        chosen = option(level, label, METHODS[match[1]])
        return chosen.ratio if match[2] else chosen.count
    raise KeyError(key)


def _link_2(level: str, label: str, key: str) -> Value:
    check = link(level, label, "2")
    return check.ratio if key == "ratio" else check.step(key).value


def _link_3(level: str, label: str, key: str) -> Value:
    check = link(level, label, "3")
    return check.ratio if key == "ratio" else check.step(key).value


def _link_5(level: str, label: str, key: str) -> Value:
    check = link(level, label, "5")
    if key == "ratio":
        edge = check.step("edge_nail_ratio").value
        return max(edge, check.step("block_nail_ratio").value) if len(check.steps) > 1 else check.ratio
    return check.step(key).value


def _link_6_panel(level: str, label: str, panel: str, key: str) -> Value:
    names = {
        "sill_piece": ("6a", "sill_piece"),
        "demand_lb": ("6a", "demand_lb"),
        "accepted_inside": ("6a", "accepted_inside"),
        "wood_credit_lb": ("6a", "credit_lb"),
        "concrete_credit_lb": ("6b", "credit_lb"),
    }
    name, step = names[key]
    return part(level, label, name, int(panel)).step(step).value


def _link_6_new(level: str, label: str, panel: str, anchor: str, key: str) -> Value:
    if key == "new":
        rows = scheduled(level, label, anchor).rows("sill anchors")
        return sum(row.count for row in rows if row.panel == int(panel))
    side = key[-2:]
    check = part(level, label, side, int(panel), anchor)
    return check.ratio if key.startswith("ratio") else check.step("new_by_share").value


def link_6_rows(level: str, label: str, piece: str | None, anchor: str, key: str) -> Value:
    rows = scheduled(level, label, anchor).rows("sill anchors")
    if piece:
        return sum(row.count for row in rows if row.panel is None and row.piece == int(piece))
    inside = sum(row.count for row in rows if row.panel is not None)
    return {"new_in_panels": inside, "new_total": sum(row.count for row in rows)}[key]


def _link_7(level: str, label: str, key: str) -> Value:
    count = scheduled(level, label).count("tie-downs")
    return count > 0 if key == "tie_downs_needed" else count


def _link_7a(level: str, label: str, key: str) -> Value:
    check = link(level, label, "7a")
    return check.ratio if key == "ratio" else check.step(key).value


def _link_7b(level: str, label: str, key: str) -> Value:
    check = link(level, label, "7b")
    return check.ratio if key == "ratio" else check.step(key).value


def _as_found(key: str) -> Value:
    found = line("full", "A")
    if key == "first_open_link":
        return next(one.link for one in found.as_found if one.check.status == "open")
    toenails = next(one.check for one in found.as_found if one.link == "1")
    return toenails.ratio if key == "ratio_full" else toenails.step(key).value


def _joints(label: str, panel: str, key: str) -> Value:
    joints = list(line("full", label).panel_joints_in[int(panel) - 1])
    return joints if key == "joints_in" else len(joints) + 1


def _level(label: str, quantity: str, level: str) -> Value:
    return _demand_step(f"strip_{label}_{level}_{'mass' if quantity == 'mass' else 'force'}_lb")


MAPPED: tuple[tuple[str, Callable[..., Value]], ...] = (
    (r"(?:weight|demand)\.(\w+)", lambda key: _demand_step(key)),
    (r"demand\.(rho_bays|rho_bays_story_above)\.(\w+)", lambda key, label: _demand_step(f"{key}_{label}")),
    (r"strips\.(wall_line_mass_plf)", _demand_step),
    (r"vertical\.(\w)\.(mass|F)_(floor|roof)_lb", _level),
    (r"alternate\.by_level\.(\w)\.QE_lb", lambda label: _demand_step(f"strip_{label}_by_level_lb")),
    (r"px\.floor\.(min|max|coefficient)", lambda key: _demand_step(f"px_floor_{key}")),
    (r"px\.(\w)\.(floor_part_lb|above_lb)", lambda label, key: _demand_step(f"px_{label}_{key}")),
    (
        r"(full|r75)\.(\w)\.demand_px_lb",
        lambda level, label: result(level).demand.step(f"px_{label}_lb").value,
    ),
    (r"(full|r75)\.(\w)\.link0\.(demand_px_plf)", lambda level, label, key: link(level, label, "0").step(key).value),
    (
        r"(full|r75)\.(\w)\.link7\.(omitted_moment_ft_lb)",
        lambda level, label, key: link(level, label, "7a").step(key).value,
    ),
    (r"strips\.(A|B|1|2)\.(\w+)", _strip),
    (r"fastener\.(\w+)\.(\w+)", _fastener),
    (r"screw\.(\w+)", _screw),
    (r"panel\.(A|B|1|2)\.(lowest_G)", lambda label, key: link("full", label, "4").step(key).value),
    (r"panel\.(v_allow_[6432]in_plf)", lambda key: link("full", "A", "4").step(key).value),
    (r"panel\.(\w)\.(\d)\.(joints_in|pieces)", _joints),
    (r"anchors\.(\w)\.(\d)\.light_frame_shown", _light_frame),
    (r"overturning\.(dead_load_factor|compression_factor)", lambda key: link("full", "A", "7a").step(key).value),
    (r"overturning\.(\w)\.(dead_load_plf)", lambda label, key: link("full", label, "7a").step(key).value),
    (r"(full|r75)\.(\w)\.demand_lb", lambda level, label: line(level, label).demand_lb),
    (rf"(full|r75)\.(\w)\.({LINE_4_STEPS})", lambda level, label, key: link(level, label, "4").step(key).value),
    (r"(full|r75)\.(\w)\.link0\.demand_plf", lambda level, label: link(level, label, "0").demand),
    (r"(full|r75)\.(\w)\.link1\.(\w+)", _link_1),
    (r"(full|r75)\.(\w)\.link2\.(\w+)", _link_2),
    (r"(full|r75)\.(\w)\.link3\.(\w+)", _link_3),
    (r"(full|r75)\.(\w)\.link4\.ratio", lambda level, label: link(level, label, "4").ratio),
    (
        r"(full|r75)\.(\w)\.link4\.(required_nominal_plf|three_x_at_joints)",
        lambda level, label, key: link(level, label, "4").step(key).value,
    ),
    (r"(full|r75)\.(\w)\.link5\.(\w+)", _link_5),
    (r"(full|r75)\.(\w)\.link6\.panel(\d)\.(sill_piece|demand_lb|accepted_inside|\w+_credit_lb)", _link_6_panel),
    (r"(full|r75)\.(\w)\.link6\.panel(\d)\.bolt_(0_5|0_625)_(\w+)", _link_6_new),
    (r"(full|r75)\.(\w)\.link6\.piece(\d)\.bolt_(0_5|0_625)_(extra)", link_6_rows),
    (
        r"(full|r75)\.(\w)\.link6\.bolt_(0_5|0_625)_(new_in_panels|new_total)",
        lambda level, label, anchor, key: link_6_rows(level, label, None, anchor, key),
    ),
    (
        r"(full|r75)\.(\w)\.link(6a|6b)\.bolt_(0_5|0_625)_ratio",
        lambda level, label, name, anchor: link(level, label, name, anchor).ratio,
    ),
    (
        r"(full|r75)\.(\w)\.link7\.panel(\d)\.(\w+)",
        lambda level, label, panel, key: part(level, label, "7a", int(panel)).step(key).value,
    ),
    (r"(full|r75)\.(\w)\.link7\.(tie_downs_needed|tie_down_count)", _link_7),
    (r"(full|r75)\.(\w)\.link7a\.(\w+)", _link_7a),
    (r"(full|r75)\.(\w)\.link7b\.(\w+)", _link_7b),
    (r"(full|r75)\.(\w)\.link8\.(\w+)", lambda level, label, key: link(level, label, "8").step(key).value),
    (r"(full|r75)\.(\w)\.weakest_ratio", lambda level, label: line(level, label).weakest_ratio),
    (r"(full|r75)\.(\w)\.weakest_link", lambda level, label: line(level, label).weakest_link),
    (r"as_found\.A\.link1\.(\w+)", _as_found),
    (r"as_found\.A\.(first_open_link)", _as_found),
)


def ours(name: str) -> Value:
    if name in DEMAND_KEYS:
        return _demand_step(DEMAND_KEYS[name])
    for pattern, read in MAPPED:
        if match := re.fullmatch(pattern, name):
            return read(*match.groups())
    raise LookupError(f"{name} is neither mapped to one of our steps nor excluded")
