"""Drawings: to scale, inside their frame, the same at each call, and saying what the result says."""

from __future__ import annotations

import itertools
import re
import xml.etree.ElementTree as ElementTree

import pytest

from reports.documents import details, schedule_rows
from reports.drawings import (
    load_path,
    plan_marks,
    running_dimensions,
    svg,
    wall_elevation,
    wall_line,
    wall_line_plan,
)
from reports.drawings.running_dimensions import Mark
from reports.drawings.sheet import EXISTING, INK, SCALES, Sheet, length_text
from tests.reports import snapshots

NS = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def snapshot():
    return snapshots.snapshot()


def elevation(snapshot, label, seen_from="outside", paper=(32.0, 12.0), **more):
    return wall_elevation.draw(
        schedule_rows.line_inputs(snapshot, label),
        catalogue=snapshot["inputs"]["catalogue"],
        outline_ft=snapshot["inputs"]["building"]["floor_outline_ft"],
        seen_from=seen_from,
        paper_width_in=paper[0],
        paper_height_in=paper[1],
        schedule=schedule_rows.line_schedule(snapshot, label),
        result=schedule_rows.line_result(snapshot, label),
        **more,
    )


def all_drawings(snapshot):
    size = {"paper_width_in": 14.0, "paper_height_in": 12.0}
    return {
        "elevation": elevation(snapshot, "A"),
        "inside": elevation(snapshot, "A", "inside", window_in=(0.0, 240.0), crew=True),
        "plan": wall_line_plan.draw(snapshot["inputs"], snapshot["result"]["schedule"], **size),
        "legend": plan_marks.draw_legend(snapshot["inputs"], snapshot["result"]["schedule"], new=True),
        "load path": load_path.draw(schedule_rows.line_result(snapshot, "1")),
        **{f"{one.detail.key} {one.lines}": one.svg() for one in details.drawn(snapshot, ratios=True)},
    }


def words(text):
    return [node.text for node in ElementTree.fromstring(text).iter(f"{NS}text")]


def test_every_drawing_is_the_same_twice_and_carries_no_style(snapshot):
    first, second = all_drawings(snapshot), all_drawings(snapshot)
    assert first == second
    for name, text in first.items():
        assert "style" not in text, name
        assert "NaN" not in text, name
        assert "inf" not in re.findall(r'="([^"]*)"', text), name


def test_nothing_is_drawn_outside_the_frame(snapshot):
    for name, text in all_drawings(snapshot).items():
        root = ElementTree.fromstring(text)
        _, _, width, height = (float(part) for part in root.get("viewBox").split())
        for node in root.iter():
            if node.tag == f"{NS}line":
                xs, ys = [node.get("x1"), node.get("x2")], [node.get("y1"), node.get("y2")]
            elif node.tag in (f"{NS}polygon", f"{NS}polyline"):
                xs, ys = zip(*(pair.split(",") for pair in node.get("points").split()), strict=True)
            else:
                continue
            assert all(-0.01 <= float(x) <= width + 0.01 for x in xs), name
            assert all(-0.01 <= float(y) <= height + 0.01 for y in ys), name


def test_an_elevation_is_true_to_the_scale_that_it_names(snapshot):
    text = elevation(snapshot, "A")
    name = next(word for word in words(text) if word.startswith("Scale "))
    scale = dict(SCALES)[name.removeprefix("Scale ").removesuffix(" at full sheet size")]
    wall_pt = 40 * 12 * scale * 72
    widths = []
    for node in ElementTree.fromstring(text).iter(f"{NS}polygon"):
        xs = [float(pair.split(",")[0]) for pair in node.get("points").split()]
        widths.append(max(xs) - min(xs))
    assert any(width == pytest.approx(wall_pt, abs=0.02) for width in widths)


def test_the_largest_scale_that_fits_is_taken_and_none_is_an_error():
    def fill(sheet):
        sheet.rectangle(EXISTING, (0, 0), (12, 12))

    # Twelve inches: 216 pt at 3 in to the foot, 108 pt at half of that; 6 pt of margin on each side.
    for paper_in, width in ((3.3, "228pt"), (3.0, "120pt")):
        text = svg.write_fitting(fill, title="a foot", paper_width_in=paper_in, paper_height_in=paper_in)
        assert ElementTree.fromstring(text).get("width") == width
    with pytest.raises(ValueError, match="fits no scale"):
        svg.write_fitting(fill, title="a foot", paper_width_in=0.1, paper_height_in=0.1)


def test_an_empty_sheet_is_refused():
    with pytest.raises(ValueError, match="nothing is drawn"):
        svg.write(Sheet(1.0, "empty"))


def test_text_from_a_survey_is_escaped():
    sheet = Sheet(1.0, "<b>&")
    sheet.text((0, 0), 'vent <script> & "pipe"')
    text = svg.write(sheet)
    assert "<script>" not in text
    assert words(text) == ['vent <script> & "pipe"']


def test_a_hatch_stays_inside_its_polygon():
    sheet = Sheet(1.0, "hatch")
    sheet.hatch(((0, 0), (10, 0), (10, 10)), spacing_pt=20, angle_deg=90)
    for node in ElementTree.fromstring(svg.write(sheet)).iter(f"{NS}line"):
        # Below the slope y = x of the triangle: paper y runs down from the top, which is ten inches and a margin up.
        x = (float(node.get("x1")) - 6) / 72
        tops = [10 - (float(node.get(key)) - 6) / 72 for key in ("y1", "y2")]
        assert max(tops) <= x + 1e-3


@pytest.mark.parametrize(
    ("label", "outside", "side", "zero"),
    [
        ("A", True, "south", "west end"),
        ("B", False, "north", "west end"),
        ("1", False, "west", "south end"),
        ("2", True, "east", "south end"),
    ],
)
def test_each_side_of_a_house_is_seen_the_right_way_round(snapshot, label, outside, side, zero):
    line = schedule_rows.line_inputs(snapshot, label)
    outline = snapshot["inputs"]["building"]["floor_outline_ft"]
    assert wall_line.zero_is_left(line, outline, "outside") is outside
    assert wall_line.zero_is_left(line, outline, "inside") is not outside
    assert wall_line.facing(line, outline) == side
    assert wall_line.zero_end_name(line) == zero


def test_the_inside_view_is_the_outside_view_mirrored(snapshot):
    def places(seen_from):
        root = ElementTree.fromstring(elevation(snapshot, "A", seen_from))
        marks = {}
        for group in root.iter(f"{NS}g"):
            x = float(re.match(r"translate\(([-\d.]+)", group.get("transform")).group(1))
            marks.setdefault(group.find(f"{NS}text").text, x)
        return marks

    screws = [
        length_text(p) for p in wall_line.positions_in(schedule_rows.line_schedule(snapshot, "A"), "floor to plate")
    ]
    outside, inside = places("outside"), places("inside")
    assert [outside[s] for s in screws] == sorted(outside[s] for s in screws)
    assert [inside[s] for s in screws] == sorted((inside[s] for s in screws), reverse=True)


def test_every_scheduled_place_is_dimensioned(snapshot):
    for label in ("A", "B", "1", "2"):
        shown = words(elevation(snapshot, label))
        for role in ("floor to plate", "sill anchors", "tie-downs"):
            for place in wall_line.positions_in(schedule_rows.line_schedule(snapshot, label), role):
                assert length_text(place) in shown, (label, role, place)


def test_an_elevation_before_any_design_shows_what_was_surveyed(snapshot):
    line = schedule_rows.line_inputs(snapshot, "A")
    text = wall_elevation.draw(
        line,
        catalogue=snapshot["inputs"]["catalogue"],
        seen_from="outside",
        paper_width_in=20.0,
        outline_ft=snapshot["inputs"]["building"]["floor_outline_ft"],
    )
    assert "Stud centrelines as" in " ".join(words(text))
    assert not any(word.startswith("Through-plate screw") for word in words(text))


def test_crowded_running_dimensions_keep_apart_and_in_order():
    places = running_dimensions._spread([0.0, 0.1, 0.2, 5.0], 1.0)
    gaps = [later - earlier for earlier, later in itertools.pairwise(places)]
    assert min(gaps) >= 1.0 - 1e-9
    assert places[3] == pytest.approx(5.0)
    assert sum(places[:3]) == pytest.approx(0.3)


def test_a_place_is_written_once_and_bold_wins():
    sheet = Sheet(1 / 12, "row")
    marks = [Mark(24.0), Mark(24.0, bold=True)]
    running_dimensions.running_dimensions(sheet, marks, along=lambda s: s, row_in=0.0, way=1, ends=(0.0, 48.0))
    assert svg.write(sheet).count("2′-0″") == 1
    assert 'font-weight="700"' in svg.write(sheet)


def test_the_load_path_shows_ratios_with_two_decimals_and_its_weakest_link(snapshot):
    result = schedule_rows.line_result(snapshot, "2")
    shown = words(load_path.draw(result))
    assert "0.97" in shown
    assert "Weakest link: 6b, anchor in concrete, 0.97." in shown
    assert "open" in shown  # as found


def test_an_open_link_is_a_dashed_gap_with_its_word():
    snapshot = snapshots.opened(snapshots.snapshot(), "B", "3", "load path open at collector, plate splice")
    result = schedule_rows.line_result(snapshot, "B")
    text = load_path.draw(result | {"as_found": []})
    assert words(text).count("open") == 1
    assert "Load path open at collector, plate splice." in words(text)
    assert text.count("stroke-dasharray") == 1


def test_a_bar_over_one_breaks_its_frame():
    def bar_ends(ratio):
        sheet = Sheet(1 / 72, "bar")
        load_path._bar(sheet, 0.0, 0.0, ratio)
        return [max(x for x, _ in item.points) for item in sheet.items if item.fill == INK]

    assert bar_ends(0.9) == []
    assert max(bar_ends(1.1)) > load_path.BAR_PT
    assert max(bar_ends(9.0)) == pytest.approx(load_path.BAR_PT * load_path.BAR_LIMIT)


def test_without_ratios_the_load_path_says_only_open_closed_or_not_observed(snapshot):
    result = schedule_rows.line_result(snapshot, "1")
    over = [link for link in result["as_found"] if link["check"]["status"] == "over"]
    assert over  # the sample has one, so that hiding it is tested
    shown = words(load_path.draw(result, ratios=False))
    assert "closed" in shown
    assert "over" not in shown
    assert not any(re.search(r"\d\.\d\d", word) for word in shown)


def test_bays_count_from_the_zero_end_and_end_with_the_line(snapshot):
    line = schedule_rows.line_inputs(snapshot, "A")
    bays = wall_line.bays(line)
    assert bays[0].from_in == 0.0
    assert bays[-1].to_in == 480.0
    assert [bay.number for bay in bays] == list(range(1, len(bays) + 1))
    with pytest.raises(ValueError, match="outside wall line A"):
        wall_line.bay_at(line, 481.0)


def test_a_long_verdict_does_not_widen_the_load_path(snapshot):
    result = schedule_rows.line_result(snapshot, "1")
    many = result | {
        "open_links": [f"load path open at anchor in concrete: reason {n}, said at length" for n in range(6)]
    }
    widths = [
        float(ElementTree.fromstring(load_path.draw(one)).get("width").removesuffix("pt")) for one in (result, many)
    ]
    assert widths[1] == pytest.approx(widths[0])


def test_an_arc_runs_anticlockwise_from_its_start():
    sheet = Sheet(1 / 72, "arc")
    sheet.arc(EXISTING, (0.0, 0.0), 10.0, 0.0, 90.0)
    path = next(ElementTree.fromstring(svg.write(sheet)).iter(f"{NS}path")).get("d")
    # Paper y runs down: from the right end up and round to the top, the short way.
    assert path == "M26 16A10 10 0 0 0 16 6"


def test_struts_stand_beyond_their_end_of_the_wall():
    snapshot = snapshots.snapshot()
    line = schedule_rows.line_inputs(snapshot, "A")
    line |= {"struts": [{"end": "far", "length_ft": 6.0, "thickness_in": 1.5, "depth_in": 5.5}]}
    shown = elevation(snapshot, "A")
    assert "strut 6′-0″" in words(shown)
    at = next(item.at[0] for item in shown.sheet.items if getattr(item, "text", "") == "strut 6′-0″")
    assert at > 480
    assert "strut 6′-0″" not in words(elevation(snapshot, "A", window_in=(0.0, 240.0)))
    plan = wall_line_plan.draw(snapshot["inputs"], None, state="existing", paper_width_in=25.4, paper_height_in=19.0)
    assert "strut 6′-0″" in words(plan)


def test_a_sloped_sill_follows_the_ground_and_its_studs_reach_it():
    snapshot = snapshots.snapshot()
    line = schedule_rows.line_inputs(snapshot, "A")
    line["segments"] = [line["segments"][0] | {"stud_height_ft": 2.0, "far_stud_height_ft": 4.0}]
    bottoms = [wall_line.sill_bottom_at(line, station) for station in (0.0, 240.0, 480.0)]
    assert bottoms == [pytest.approx(-(3.0 + 24.0 + 1.5)), pytest.approx(-40.5), pytest.approx(-52.5)]
    assert "cripple wall, studs 2′-0″ to 4′-0″ at its far end" in words(elevation(snapshot, "A"))


def test_a_legend_explains_only_what_its_plan_shows(snapshot):
    def explained(schedule, **more):
        return words(plan_marks.draw_legend(snapshot["inputs"], schedule, **more))

    new = explained(snapshot["result"]["schedule"], new=True)
    assert "new tie-down" in new
    assert "existing anchor, not counted" not in new
    assert "new side connection, sill to foundation" not in new
    assert "new tie-down" not in explained(None, new=True)
    found = explained(snapshot["result"]["schedule"], new=False)
    assert "existing anchor, not counted" in found
    assert not [word for word in found if word.startswith("new ")]


def test_the_plan_as_found_shows_no_new_part_and_the_new_plan_no_dead_anchor(snapshot):
    size = {"paper_width_in": 25.4, "paper_height_in": 19.0}
    found, new = (
        wall_line_plan.draw(snapshot["inputs"], snapshot["result"]["schedule"], state=state, **size)
        for state in ("existing", "new")
    )
    layers = [{item.layer.name for item in drawing.sheet.items} for drawing in (found, new)]
    assert not layers[0] & {"added connectors", "new panels in plan"}
    assert {"added connectors", "new panels in plan"} <= layers[1]
    assert "chimney, 3,000 lb" in words(found)
    assert "crawlspace access 24 × 18 in" in words(found)
    assert "A·1  8′-0″" in words(new)
    assert "A·1  8′-0″" not in words(found)
