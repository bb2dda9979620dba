"""The inspection checklist: counts that are the schedule's, limits that are the design's, stages that apply."""

from __future__ import annotations

import pytest

from reports.documents import inspection_checklist
from reports.drawings import wall_line
from reports.rendering import render_section
from tests.reports import snapshots


@pytest.fixture(scope="module")
def snapshot():
    return snapshots.snapshot()


def lines_of(snapshot, stage):
    return [line for group in inspection_checklist.stage_lines(snapshot, stage) for line in group["lines"]]


def required(snapshot, stage, word):
    return [line["required"] for line in lines_of(snapshot, stage) if word in line["text"]]


@pytest.mark.parametrize(
    ("stage", "role", "word"),
    [
        ("B", "sill anchors", "1/2 in sill anchor"),
        ("C", "floor to plate", "through-plate screw"),
        ("C", "block nails", "10d common"),
        ("D", "tie-downs", "end-post tie-down"),
    ],
)
def test_counts_add_up_to_the_schedule(snapshot, stage, role, word):
    counted = [
        line for line in lines_of(snapshot, stage) if word in line["text"] and line["criterion"].startswith("count")
    ]
    scheduled = sum(
        item["count"] for line in snapshot["result"]["schedule"]["lines"] for item in wall_line.rows(line, role)
    )
    assert sum(int(line["required"]) for line in counted) == scheduled > 0


def test_design_limits_are_the_required_values(snapshot):
    assert required(snapshot, "B", "Embedment") == ["4″"]
    assert required(snapshot, "B", "concrete's face") == ["1\N{NO-BREAK SPACE}3/4″"]
    assert required(snapshot, "B", "end of the sill piece") == ["3\N{NO-BREAK SPACE}1/2″ and 12″"]
    assert required(snapshot, "C", "Out of plumb") == ["1/8″"]
    assert required(snapshot, "C", "Penetration into the joist") == ["3″"]
    assert required(snapshot, "E", "Panel 1·1: edge nails") == ["4″"]
    assert required(snapshot, "E", "Panel A·1: edge nails") == ["6″"]


def test_panel_holes_are_counted_by_closed_bay(snapshot):
    # Panel A1 runs 0 to 8 ft over studs at 16 in: six bays, two holes in each.
    assert required(snapshot, "E", "Panel A·1: round holes") == ["12"]


def test_special_inspection_stands_on_the_stages_that_it_is_for(snapshot):
    sections = {section.sheet: section for section in inspection_checklist.sections(snapshot, None)}
    assert list(sections) == ["I-B", "I-C", "I-D", "I-E", "I-G"]
    assert {sheet for sheet, section in sections.items() if section.context["special"]} == {"I-B", "I-E"}
    assert required(snapshot, "G", "Special inspector's final report") == ["yes"]


def test_a_stage_without_work_is_left_out():
    bare = snapshots.without(snapshots.snapshot(), "tie-downs", "tie-down anchors", "sill anchors")
    for line in bare["inputs"]["lines"]:
        line["existing_anchors"] = []
    assert [section.sheet for section in inspection_checklist.sections(bare, None)] == ["I-C", "I-E", "I-G"]


def test_no_ratio_stands_on_a_checklist(snapshot):
    for section in inspection_checklist.sections(snapshot, None):
        assert not snapshots.ratios(snapshot) & set(snapshots.texts(section.context))


def test_the_checklist_renders(snapshot):
    for section in inspection_checklist.sections(snapshot, None)[:2]:
        assert render_section(section).startswith(b"%PDF")
