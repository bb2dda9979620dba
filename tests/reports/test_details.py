"""Details of the plan set: there if and only if the job triggers them, with the numbers of schedule and survey."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engineering.feet_inches import parse_inches
from reports.documents import details, plan_set, schedule_rows, sheet_layout
from reports.documents.sheet_layout import GAP_IN, HEIGHT_IN, STAMPS, WIDTH_IN, Box
from reports.drawings import load_path, vent_holes, wall_line
from reports.drawings.callouts import Note, callouts
from reports.drawings.sheet import OPEN, Dimension, Polyline, Sheet, Text, length_text
from tests.reports import snapshots
from tests.reports.boxes import faults

SIXTEENTH = 1 / 16


def changed(label, **changes):
    """The sample computed with other methods or framing on one line."""
    inputs = snapshots.house_inputs()
    lines = tuple(
        replace(line, **{name: replace(getattr(line, name), **change) for name, change in changes.items()})
        if line.label == label else line
        for line in inputs.lines
    )  # fmt: skip
    return snapshots.snapshot(replace(inputs, lines=lines))


def with_rows(label, role, kind, **line_changes):
    """The sample with a row of a role more on one line, of an evaluated connector of its kind (or of a nail)."""
    snapshot = snapshots.snapshot()
    record = dict(snapshot["inputs"]["catalogue"]["evaluated"][2]) | {
        "key": "extra", "name": f"{kind}, invented", "kind": kind, "length_in": 20.0,
    }  # fmt: skip
    if kind != "nail":
        snapshot["inputs"]["catalogue"]["evaluated"].append(record)
    schedule = schedule_rows.line_schedule(snapshot, label)
    schedule["items"] = [item for item in schedule["items"] if item["role"] != role]
    schedule["items"].append(
        {
            "link": "1", "role": role, "connector": "12d" if kind == "nail" else "extra", "count": 2,
            "spacing_in": 24.0, "positions_in": [228.0, 252.0], "panel": None, "piece": None, "note": "",
        }
    )  # fmt: skip
    schedule_rows.line_inputs(snapshot, label).update(line_changes)
    return snapshot


STRUT = {"end": "far", "length_ft": 6.0, "thickness_in": 1.5, "depth_in": 3.5, "lap_in": 24.0}
SAMPLE = snapshots.snapshot()
TRIGGERED = {
    "path found": lambda: SAMPLE,
    "path": lambda: SAMPLE,
    "screw": lambda: SAMPLE,
    "pattern": lambda: SAMPLE,
    "angle": lambda: changed("A", methods={"floor_to_plate": "angle"}, framing={"floor_edge": "rim joist"}),
    "face plate": lambda: with_rows("A", "floor to plate", "face plate"),
    "lag": lambda: changed("A", methods={"floor_to_plate": "lag-1/4"}),
    "toenail": lambda: with_rows("A", "floor to plate", "nail"),
    "blocking": lambda: with_rows("A", "blocking nails", "nail"),
    "splice": lambda: SAMPLE,
    "strap": lambda: with_rows("A", "plate straps", "strap"),
    "strut": lambda: with_rows("A", "strut splice", "nail", struts=[STRUT]),
    "panel": lambda: SAMPLE,
    "joint": lambda: SAMPLE,
    "vents": lambda: SAMPLE,
    "block": lambda: SAMPLE,
    "flush cut": lambda: changed("1", methods={"wide_sill": "flush cut"}),
    "anchor": lambda: SAMPLE,
    "side": lambda: with_rows("A", "side connections", "side connection"),
    "tie-down": lambda: SAMPLE,
}
BY_ROLE = {
    "screw": "floor to plate",
    "splice": "splice nails each side",
    "panel": "panel edge nails",
    "joint": "panel edge nails",
    "vents": "panel edge nails",
    "block": "block nails",
    "anchor": "sill anchors",
    "tie-down": "tie-downs",
}


def keys(snapshot):
    return {one.detail.key for one in details.drawn(snapshot, ratios=True)}


def of(snapshot, key, label):
    """The drawing of one detail for one line."""
    return next(
        one for one in details.drawn(snapshot, ratios=True) if one.detail.key == key and label in one.labels
    ).svg()  # fmt: skip


def items(drawing, kind):
    return [item for item in drawing.sheet.items if isinstance(item, kind)]


def measured(drawing):
    """What a drawing's dimensions measure and say."""
    found = []
    for item in items(drawing, Dimension):
        (x0, y0), (x1, y1) = item.start, item.end
        found.append((abs(y1 - y0) if item.vertical else abs(x1 - x0), item.text))
    return found


def said(drawing):
    """The texts of a drawing, read across the rows of its callouts."""
    return " ".join(item.text for item in items(drawing, Text))


@pytest.mark.parametrize("key", [detail.key for detail in details.DETAILS])
def test_what_a_job_triggers_is_drawn_clear_and_says_what_it_measures(key):
    snapshot = TRIGGERED[key]()
    shown = [one for one in details.drawn(snapshot, ratios=True) if one.detail.key == key]
    assert shown
    for one in shown:
        drawing = one.svg()
        assert faults(drawing.sheet) == []
        for length_in, text in measured(drawing):
            assert parse_inches(text.removesuffix(" min")) == pytest.approx(length_in, abs=SIXTEENTH / 2 + 1e-9), text


HARD = {
    "one plate": {"plates_in": [1.5]},
    "shallow joists": {"rim_depth_in": 5.5, "plates_in": [1.5]},
    "deep and wide": {"rim_depth_in": 11.25, "rim_thickness_in": 2.0, "plate_width_in": 5.5, "stud_depth_in": 5.5},
    "joists on the sill": {"plates_in": []},
    "nothing on the plates": {"joists": "perpendicular", "floor_edge": "nothing"},
    "blocks between joists": {"joists": "perpendicular", "floor_edge": "blocks between joists"},
    "a sill beyond the concrete": {"sill_edge_in": -1.0},
    "all open": {},
}


@pytest.mark.parametrize("stud_ft", [1.2, 2.625, 8.0])
@pytest.mark.parametrize("name", HARD)
def test_hard_walls_stay_legible(name, stud_ft):
    snapshot = snapshots.snapshot()
    for line in snapshot["inputs"]["lines"]:
        line["framing"] |= HARD[name]
        line["segments"][0]["stud_height_ft"] = stud_ft
    for result in snapshot["result"]["lines"] if name == "all open" else ():
        for link in result["links"]:
            link["check"] |= {"status": "open", "ratio": None}
    for one in details.drawn(snapshot, ratios=True):
        assert faults(one.svg().sheet) == [], one.detail.key


@pytest.mark.parametrize("key", [key for key in TRIGGERED if TRIGGERED[key]() is not SAMPLE])
def test_what_the_sample_does_not_trigger_is_not_drawn(key):
    assert key not in keys(SAMPLE)


@pytest.mark.parametrize(("key", "role"), BY_ROLE.items())
def test_without_its_row_in_the_schedule_a_detail_vanishes(key, role):
    assert key not in keys(snapshots.without(snapshots.snapshot(), role))


def test_without_any_connector_only_the_load_path_is_left():
    bare = snapshots.without(snapshots.snapshot(), *schedule_rows.ROLE_WORDS)
    assert keys(bare) == {"path found", "path"}


def test_a_detail_keeps_its_number_whatever_stands_beside_it():
    places = [(detail.sheet, detail.number) for detail in details.DETAILS]
    assert len(set(places)) == len(places)
    bare = snapshots.without(snapshots.snapshot(), "floor to plate", "stitch nails", "panel edge nails")
    for key, place in details.places(bare).items():
        assert details.places(SAMPLE)[key] == place


def test_lines_of_one_size_share_a_drawing_and_each_line_has_its_own_or_a_shared_one():
    shown = [one for one in details.drawn(SAMPLE, ratios=True) if one.detail.key == "anchor"]
    assert sorted(one.labels for one in shown) == [("1", "2"), ("A", "B")]  # wide sill, and not
    by_line = details.references(SAMPLE, "1")
    assert {"text": "4/S3.2  Blocks on a wide sill", "sheet": "S3.2"} in by_line
    assert not any("wide sill" in reference["text"] for reference in details.references(SAMPLE, "A"))


# --- the numbers ---------------------------------------------------------------------------------------------------
def test_the_screw_stands_on_the_computed_target_with_set_back_bar_and_penetration():
    snapshot = changed("B", framing={"rim_set_back_in": 0.25})
    line, result = schedule_rows.line_inputs(snapshot, "B"), schedule_rows.line_result(snapshot, "B")
    steps = {step["key"]: step["value"] for step in result["through_plate"]["steps"]}
    drawing = of(snapshot, "screw", "B")
    shown = [text for _, text in measured(drawing)]
    assert line["framing"]["rim_set_back_in"] == 0.25
    for key in ("target_from_plate_edge_in", "jig_bar_diameter_in", "penetration_in", "drilled_depth_in"):
        assert length_text(steps[key]) in shown, key
    assert "1/4″" in shown
    assert steps["target_from_plate_edge_in"] == pytest.approx(0.25 + line["framing"]["rim_thickness_in"] / 2)
    words = said(drawing)
    assert f"within {length_text(steps['placing_tolerance_in'])} of it" in words
    assert f"at least {length_text(0.625)}" in words  # the screw's own least edge distance
    assert f"pilot hole {steps['jig_hole_in']:.3f} in" in words


def test_stitch_nails_are_drawn_where_they_are_scheduled_only():
    assert "stitch nails" in said(of(SAMPLE, "screw", "1"))
    assert "stitch nails" not in said(of(SAMPLE, "screw", "B"))
    shown = next(one for one in details.drawn(SAMPLE, ratios=True) if one.detail.key == "pattern" and "1" in one.labels)
    schedule = schedule_rows.line_schedule(SAMPLE, shown.labels[0])
    assert shown.facts.example["stitches_in"] == wall_line.positions_in(schedule, "stitch nails")
    assert shown.facts.example["screws_in"] == wall_line.positions_in(schedule, "floor to plate")


def test_the_anchor_is_as_deep_as_its_report_and_stands_in_its_window():
    drawing = of(SAMPLE, "anchor", "A")
    assert (4.0, "4″") in measured(drawing)
    line = schedule_rows.line_inputs(SAMPLE, "A")
    assert (line["framing"]["sill_width_in"], "3 1/2″") in measured(drawing)
    assert "at least 1 3/4″ to each face" in said(drawing)


def test_a_foundation_that_nobody_measured_is_said():
    unseen = changed("A", framing={"sill_edge_in": "not observed"}, foundation={"width_in": "not observed"})
    line = schedule_rows.line_schedule(unseen, "A")
    line["items"] = [*line["items"], *wall_line.rows(schedule_rows.line_schedule(SAMPLE, "A"), "sill anchors")]
    assert "not observed: measure first" in said(of(unseen, "anchor", "A"))
    assert "not observed" not in said(of(SAMPLE, "anchor", "A"))


def test_the_tie_down_shows_post_rod_and_embedment_of_its_line():
    post = schedule_rows.line_inputs(SAMPLE, "1")["end_post"]
    shown = measured(of(SAMPLE, "tie-down", "1"))
    for length_in in (post["width_in"], post["rod_from_end_in"], 10.0):
        assert (length_in, length_text(length_in)) in shown


def test_panel_pieces_are_dimensioned_where_they_were_cut():
    result, line = schedule_rows.line_result(SAMPLE, "A"), schedule_rows.line_inputs(SAMPLE, "A")
    edges = [line["panels"][0]["from_ft"] * 12, *result["panel_joints_in"][0], line["panels"][0]["to_ft"] * 12]
    pieces = [length_text(high - low) for low, high in itertools.pairwise(edges)]
    shown = [text for _, text in measured(of(SAMPLE, "panel", "A"))]
    assert shown[: len(pieces)] == pieces


def test_blocks_hold_the_scheduled_nails_of_a_bay():
    note = wall_line.rows(schedule_rows.line_schedule(SAMPLE, "1"), "block nails")[0]["note"]
    count = note.split()[0]
    assert f"{count} nails 10d common 0.148 × 3 in hot-dip in each bay" in said(of(SAMPLE, "block", "1"))


def test_a_flush_cut_shows_how_deep_it_goes_and_what_stays():
    shown = [text for _, text in measured(of(TRIGGERED["flush cut"](), "flush cut", "1"))]
    assert {"2″", "3 1/2″"} <= set(shown)  # 5 1/2 in of sill on studs of 3 1/2 in


def test_low_studs_need_one_hole_in_a_bay():
    assert vent_holes.needed(17.9) == 1
    assert vent_holes.needed(18.0) == 2
    drawing = of(SAMPLE, "vents", "A")
    assert "2″ to 3″" in said(drawing)
    assert [text for _, text in measured(drawing)].count("1″ min") == 2


# --- the load path -------------------------------------------------------------------------------------------------
def gaps(drawing):
    """Gaps in a section: dashed boxes; the marks in the callouts are strokes."""
    return [item for item in items(drawing, Polyline) if item.layer == OPEN]


def test_an_open_link_is_drawn_open_and_a_closed_one_is_not():
    found, designed = load_path.states(schedule_rows.line_result(SAMPLE, "2"), ratios=True)
    assert [link.link for link in found if link.status == "open"] == ["2", "4", "5", "6a", "6b"]
    assert not [link for link in designed if link.status == "open"]
    assert len(gaps(of(SAMPLE, "path found", "2"))) == 5
    assert gaps(of(SAMPLE, "path", "2")) == []
    assert "panel: open" in said(of(SAMPLE, "path found", "2"))
    opened = snapshots.opened(snapshots.snapshot(), "2", "6b", "load path open at anchor in concrete: masonry")
    assert len(gaps(of(opened, "path", "2"))) == 1
    assert "anchor in concrete: open" in said(of(opened, "path", "2"))


def test_sections_without_released_ratios_say_open_closed_or_not_observed():
    shown = [one for one in details.drawn(SAMPLE, ratios=False) if one.detail.sheet == "S3.0"]
    words = " ".join(said(one.svg()) for one in shown)
    assert "closed" in words
    assert "over" not in words
    assert not any(ratio in words for ratio in snapshots.ratios(SAMPLE))


def test_what_a_link_is_said_to_be_matches_its_check():
    result = schedule_rows.line_result(SAMPLE, "1")
    found, designed = load_path.states(result, ratios=True)
    checks = {link["link"]: link["check"] for link in result["links"]}
    for state in designed:
        assert state.ratio == checks[state.link]["ratio"]
    assert {state.words for state in found if state.status == "over"} == {"1.23, over", "1.67, over"}
    assert next(state for state in found if state.link == "8").words == load_path.NOT_COMPUTED


# --- the sheets ----------------------------------------------------------------------------------------------------
def test_every_drawing_of_a_sheet_stands_in_its_own_room():
    for section in plan_set.sections(SAMPLE, None):
        if not section.sheet.startswith("S3"):
            continue
        boxes = []
        for name, detail in section.context["details"].items():
            left, top = (float(detail[side].removesuffix("in")) for side in ("left", "top"))
            width, height = (
                float(section.drawings[name].split(f'{side}="')[1].split("pt")[0]) / 72 for side in ("width", "height")
            )
            boxes.append(Box(left, top, width - 0.01, height))  # places are printed to a thousandth
        for one, other in itertools.combinations([*boxes, STAMPS], 2):
            assert not one.meets(other), section.sheet


@given(st.lists(st.tuples(st.floats(1, 20), st.floats(1, 15)), max_size=12))
def test_boxes_are_placed_on_the_canvas_clear_of_each_other_and_of_the_stamps(sizes):
    placed = sheet_layout.pack(sizes)
    assert [(box.width, box.height) for _, box in placed] == sizes
    for _, box in placed:
        assert box.left + box.width <= WIDTH_IN + 1e-9
        assert box.top + box.height <= HEIGHT_IN + 1e-9
        assert not box.meets(STAMPS)
    for (sheet, one), (other_sheet, other) in itertools.combinations(placed, 2):
        assert sheet != other_sheet or not one.meets(other)


def test_a_drawing_larger_than_the_sheet_is_refused():
    with pytest.raises(ValueError, match="does not fit a sheet"):
        sheet_layout.pack([(WIDTH_IN + GAP_IN, 3.0)])


@given(st.lists(st.floats(-20, 20), min_size=1, max_size=12))
def test_callouts_keep_their_order_and_apart(heights):
    sheet = Sheet(1 / 12, "notes")
    callouts(sheet, [Note((0.0, height), f"part {n}") for n, height in enumerate(heights)], x_in=10.0)
    texts = [item for item in sheet.items if isinstance(item, Text)]
    order = sorted(range(len(heights)), key=lambda n: -heights[n])
    assert [text.text for text in texts] == [f"part {n}" for n in order]
    for above, below in itertools.pairwise(texts):
        assert above.at[1] - below.at[1] >= sheet.pt(10) - 1e-9
