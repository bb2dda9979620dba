"""No two texts of a drawing overlap and none leaves its frame: the sample house, and walls that are hard to draw."""

from __future__ import annotations

import json

import pytest

from reports.documents import plan_set, work_order
from reports.drawings import mass_plan, wall_elevation, wall_line_plan
from reports.drawings.lettering import text_width_pt, wrapped
from reports.drawings.sheet import QUIET_TEXT, REVISION, Sheet, Text
from tests.reports import boxes, snapshots, stress
from tests.reports.test_drawings import all_drawings, elevation

SNAPSHOT = snapshots.snapshot()
OUTLINE = SNAPSHOT["inputs"]["building"]["floor_outline_ft"]
WALLS = stress.walls(SNAPSHOT)
# Permit sheet, permit sheet with long tables under the drawing, one strip of a letter page for the crew.
PAPERS = {"sheet": (32.8, 12.6, 1.3, False), "low sheet": (32.8, 7.4, 1.3, False), "strip": (7.1, 2.85, 1.0, True)}


def faults(drawing):
    return boxes.faults(drawing.sheet)


@pytest.mark.parametrize("seen_from", ["outside", "inside"])
@pytest.mark.parametrize("label", ["A", "B", "1", "2"])
def test_elevations_of_the_sample_house(label, seen_from):
    assert faults(elevation(SNAPSHOT, label, seen_from)) == []
    assert faults(elevation(SNAPSHOT, label, seen_from, crew=True)) == []
    assert faults(elevation(SNAPSHOT, label, seen_from, crew=True, paper=(7.1, 2.85))) == []


@pytest.mark.parametrize("seen_from", ["outside", "inside"])
@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", WALLS)
def test_elevations_of_hard_walls(name, paper, seen_from):
    line, schedule, result = WALLS[name]
    width, height, zoom, crew = PAPERS[paper]
    for window in work_order.bands(line, schedule) if crew else [None]:
        drawing = wall_elevation.draw(
            line,
            catalogue=SNAPSHOT["inputs"]["catalogue"],
            outline_ft=OUTLINE,
            seen_from=seen_from,
            paper_width_in=width,
            paper_height_in=height,
            schedule=schedule,
            result=result,
            window_in=window,
            crew=crew,
            zoom=zoom,
        )
        assert faults(drawing) == []


def test_marks_of_revisions_stand_beside_what_changed_and_hide_nothing():
    line, schedule, result = WALLS["four feet"]
    roles = {"floor to plate": 2, "stitch nails": 1, "sill anchors": 3, "panel edge nails": 4}
    for crew, paper in ((False, (32.8, 12.6)), (True, (7.1, 2.85))):
        drawing = wall_elevation.draw(
            line, catalogue=SNAPSHOT["inputs"]["catalogue"], outline_ft=OUTLINE, seen_from="outside",
            paper_width_in=paper[0], paper_height_in=paper[1], schedule=schedule, result=result, crew=crew,
            revisions=roles,
        )  # fmt: skip
        assert faults(drawing) == []
        marks = [text.text for text in boxes.texts_of(drawing.sheet) if text.layer == REVISION]
        assert sorted(marks) == ["2", "3", "4"]
    plan = wall_line_plan.draw(
        SNAPSHOT["inputs"], None, revisions={"A": 2, "1": 3}, paper_width_in=25.4, paper_height_in=19.0, zoom=1.3,
        sheets={"A": "S2.A", "1": "S2.1"},
    )  # fmt: skip
    assert faults(plan) == []
    assert [text.text for text in boxes.texts_of(plan.sheet) if text.layer == REVISION] == ["2", "3"]


def plan_inputs(*lines):
    return SNAPSHOT["inputs"] | {"lines": list(lines)}


@pytest.mark.parametrize("state", ["existing", "new", "key"])
@pytest.mark.parametrize("zoom", [1.0, 1.3])
def test_plans(state, zoom):
    sheets = {label: f"S2.{label}" for label in "AB12"}
    for paper in ((25.4, 19.0), (18.0, 13.0), (14.0, 10.2)):
        drawing = wall_line_plan.draw(
            SNAPSHOT["inputs"],
            SNAPSHOT["result"]["schedule"],
            state=state,
            sheets=sheets,
            zoom=zoom,
            paper_width_in=paper[0],
            paper_height_in=paper[1],
        )
        assert faults(drawing) == []


@pytest.mark.parametrize("state", ["existing", "new", "key"])
def test_plans_of_a_house_with_a_notch_and_lines_inside(state):
    inputs, schedule = stress.house_with_a_notch(SNAPSHOT)
    sheets = {line["label"]: f"S2.{line['label']}" for line in inputs["lines"]}
    drawing = wall_line_plan.draw(
        inputs, schedule, state=state, sheets=sheets, zoom=1.3, paper_width_in=25.4, paper_height_in=18.0
    )
    assert faults(drawing) == []


@pytest.mark.parametrize("state", ["existing", "new"])
@pytest.mark.parametrize("name", ["four feet", "anchors every foot", "stepped", "openings", "between struts", "bare"])
def test_plans_with_hard_walls(name, state):
    line, schedule, _ = WALLS[name]
    others = [other for other in SNAPSHOT["inputs"]["lines"] if other["label"] != "A"]
    drawing = wall_line_plan.draw(
        plan_inputs(line, *others), {"lines": [schedule]}, state=state, paper_width_in=25.4, paper_height_in=19.0,
        zoom=1.3,
    )  # fmt: skip
    assert faults(drawing) == []


def test_every_other_drawing_of_the_sample_house():
    for name, drawing in all_drawings(SNAPSHOT).items():
        assert faults(drawing) == [], name
    for direction, lines in mass_plan.directions(SNAPSHOT["inputs"]):
        plan = mass_plan.draw(
            SNAPSHOT["inputs"], SNAPSHOT["result"]["picture"], lines, direction=direction, paper_width_in=7.0,
            paper_height_in=5.0,
        )  # fmt: skip
        assert faults(plan) == [], direction


def test_every_sheet_of_the_demos_houses(demo_company):
    """All drawings of the plan sets and of a day's work at every wall, as the demo's designs are printed."""
    done = demo_company.manage(
        "shell", "-v", "0", "-c",
        "from jobs.models import Design; print('\\n'.join(Design.objects.values_list('snapshot', flat=True)))",
    )  # fmt: skip
    designs = [json.loads(row) for row in done.stdout.splitlines() if row.startswith("{")]
    assert designs, done.stderr
    for design in designs:
        labels = [line["label"] for line in design["inputs"]["lines"]]
        sheets = plan_set.sections(design, None) + work_order.sections(design, snapshots.subject(lines=tuple(labels)))
        drawings = {f"{sheet.sheet} {name}": text for sheet in sheets for name, text in sheet.drawings.items()}
        assert {name: faults(text) for name, text in drawings.items() if faults(text)} == {}


def test_every_plan_has_north_and_a_scale_bar():
    """Plan reviewers ask for both on each plan."""
    size = {"paper_width_in": 14.0, "paper_height_in": 10.2}
    schedule = SNAPSHOT["result"]["schedule"]
    plans = [
        wall_line_plan.draw(SNAPSHOT["inputs"], schedule, state=state, **size) for state in ("existing", "new", "key")
    ]
    plans += [
        mass_plan.draw(SNAPSHOT["inputs"], SNAPSHOT["result"]["picture"], lines, direction=direction, **size)
        for direction, lines in mass_plan.directions(SNAPSHOT["inputs"])
    ]
    for plan in plans:
        texts = [text.text for text in boxes.texts_of(plan.sheet)]
        assert "N" in texts
        assert any(text.startswith("Scale ") for text in texts)


def test_two_texts_on_one_place_are_a_fault():
    sheet = Sheet(1 / 12, "crowded")
    sheet.text((0, 0), "plate lap")
    sheet.text((1, 0), "sill joint", layer=QUIET_TEXT)
    assert boxes.faults(sheet) == ["“plate lap” and “sill joint” overlap"]
    sheet.items.pop()
    sheet.text((0, -2), "sill joint")
    assert boxes.faults(sheet) == []


def test_letters_are_measured_in_the_shipped_font():
    for text, bold in (("12′-6 1/2″", False), ("Panel A·1, ½ × 15/32 in", True)):
        item = Text(QUIET_TEXT, (0.0, 0.0), text, size_pt=9.0, bold=bold)
        assert text_width_pt(text, 9.0, bold=bold) == pytest.approx(boxes.width_pt(item))


def test_rows_stay_within_their_width_and_keep_every_word():
    text = "end post 3 × 3 1/2 where none stands yet\nand a second line"
    rows = wrapped(text, 60.0, 7.5)
    assert all(text_width_pt(row, 7.5) <= 60.0 for row in rows)
    assert " ".join(rows).split() == text.split()
