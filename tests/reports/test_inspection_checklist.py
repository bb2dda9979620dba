"""The inspection checklist: counts that are the schedule's, limits that are the design's, stages that apply."""

from __future__ import annotations

from dataclasses import replace

import pytest

from reports.documents import anchor_record, figures, inspection_checklist
from reports.drawings import wall_line
from reports.merging import page_count
from reports.rendering import render_section
from tests.engineering.varied import SIDE, house, with_connector, with_line, with_side_connections
from tests.reports import snapshots
from tests.reports.papers import text_of


@pytest.fixture(scope="module")
def snapshot():
    return snapshots.snapshot()


def lines_of(snapshot, stage):
    return [line for group in inspection_checklist.stage_lines(snapshot, stage) for line in group["lines"]]


def sheets_of(snapshot):
    return [section.sheet for section in inspection_checklist.sections(snapshot, None)]


def printed(snapshot):
    """The words of each sheet as read back from its PDF."""
    return {
        section.sheet: " ".join(text_of(render_section(section), raw=True).split())
        for section in inspection_checklist.sections(snapshot, None)
    }


@pytest.fixture(scope="module")
def papers(snapshot):
    return printed(snapshot)


@pytest.fixture(scope="module")
def bonded():
    """Side connections bonded into the face of the concrete: adhesive in horizontal holes."""
    given = with_connector(
        with_line(with_side_connections(house(), "B"), "B", methods={"sill_anchor": ""}),
        replace(SIDE, adhesive=True, embedment_in=4.0),
    )
    return printed(snapshots.snapshot(given))


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
    assert required(snapshot, "B", "Embedment") == ["4″", "10″"]  # sill anchors, tie-down anchors
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
    assert list(sections) == ["I-0", "I-B", "I-B.1", "I-C", "I-D", "I-E", "I-F", "I-G"]
    stages = {sheet: section for sheet, section in sections.items() if "groups" in section.context}
    assert {sheet for sheet, section in stages.items() if section.context["special"]} == {"I-B", "I-E"}
    assert required(snapshot, "G", "Special inspector's final report") == ["yes"]


def test_a_stage_without_work_is_left_out():
    bare = snapshots.without(snapshots.snapshot(), "tie-downs", "tie-down anchors", "sill anchors")
    for line in bare["inputs"]["lines"]:
        line["existing_anchors"] = []
    assert sheets_of(bare) == ["I-0", "I-C", "I-E", "I-F", "I-G"]  # nails at 4 in still want their inspector
    wide = snapshots.without(bare, "panel edge nails")
    assert sheets_of(wide) == ["I-0", "I-C", "I-G"]


def test_no_ratio_stands_on_a_checklist(snapshot):
    for section in inspection_checklist.sections(snapshot, None):
        assert not snapshots.ratios(snapshot) & set(snapshots.texts(section.context))


def test_the_rules_of_the_site_head_the_checklist(papers):
    for words in (
        "no work goes on past a stage, before that stage is passed",
        "provides the way in, a clear path, light and the means to see and measure",
        "The approved plans, the permit and the inspection record card are on site",
        "What is rejected stays open until it has been corrected and seen again",
        "The engineer of record answers what differs",
    ):
        assert words in papers["I-0"]


def test_the_owner_chooses_and_pays_the_special_inspector(papers):
    assert (
        "The owner chooses the inspector or agency, signs the agreement and pays; the contractor may not"
        in (papers["I-0"])
    )
    assert "chosen and paid by the owner, not by the contractor" in papers["I-F"]


def test_every_stage_has_room_for_corrections_and_for_seeing_them_again(papers):
    for sheet in ("I-B", "I-C", "I-D", "I-E", "I-F", "I-G"):
        for words in ("rejected work stays open", "Seen again by, date", "Inspector, name and agency",
                      "Date, time come and gone", "not ready", "Photos, from number to number"):  # fmt: skip
            assert words in papers[sheet], sheet


def test_each_stage_says_what_may_differ_of_its_own_work_only(papers):
    assert "at least 4″ embedment" in papers["I-B"]
    assert "up to 1/8″ off the target line" in papers["I-C"]
    assert "up to 1/2″ from its place" in papers["I-D"]
    assert "down to 2″ apart" in papers["I-E"]
    assert "target line" not in papers["I-B"]
    assert "What may differ" not in papers["I-G"]


def test_every_anchor_in_concrete_has_its_line_in_the_special_inspectors_record(snapshot):
    found = {one["name"]: [(place["line"], place["at"]) for place in one["places"]]
             for one in anchor_record.records(snapshot)}  # fmt: skip
    for role, name in (("sill anchors", "1/2 in sill anchor"), ("tie-down anchors", "5/8 in tie-down anchor")):
        scheduled = {
            (line["label"], figures.length(at_in))
            for line in snapshot["result"]["schedule"]["lines"]
            for at_in in wall_line.positions_in(line, role)
        }
        recorded = next(places for product, places in found.items() if product.startswith(name))
        assert len(recorded) == len(set(recorded))
        assert set(recorded) == scheduled


def test_the_record_asks_for_what_is_measured_and_gives_no_torque_that_nobody_set(papers):
    for words in ("Hole, diameter", "Hole, depth", "Cleaned", "Edge distance", "Set, depth", "Spacing to next",
                  "Torque or pull reached", "Gauge or wrench id; calibration date", "share of anchors tested",
                  "Torque and pull values: not recorded in this design", "Hole cleaning method, as printed",
                  "A hole that nobody saw drilled is only accepted when bit and hole are checked"):  # fmt: skip
        assert words in papers["I-B.1"]
    assert "expiry" not in papers["I-B.1"]  # nothing is bonded here


def test_bonded_anchors_in_horizontal_holes_are_watched_one_by_one_with_lot_and_expiry(bonded):
    assert "continuous, bonded with adhesive" in bonded["I-B"]
    assert "Continuous: the inspector stands by at each piece" in bonded["I-B"]
    for words in ("continuous, bonded with adhesive", "Adhesive expiry date of each lot", "Lot, set at",
                  "Concrete temperature; cure time as printed"):  # fmt: skip
        assert words in bonded["I-B.1"]
    assert "continuous" in bonded["I-0"]


def test_holes_of_a_closed_bay_by_their_numbers(papers):
    for words in ("at top and at bottom; one where studs are under 18″ diameter 2″ to 3″",
                  "Clear of sill and plates at least 1″", "lower hole centred on it",
                  "In a bay with old blocking: holes above and below it too, or a new 2 × 4"):  # fmt: skip
        assert words in papers["I-E"]


def test_a_low_stud_asks_for_one_hole_a_bay():
    inputs = snapshots.house_inputs()
    low = tuple(replace(line, segments=(replace(line.segments[0], stud_height_ft=1.25),)) for line in inputs.lines)
    snapshot = snapshots.snapshot(replace(inputs, lines=low))
    holes = [line for line in lines_of(snapshot, "E") if line["text"].startswith("Panel A·1: round holes")]
    assert [(line["criterion"], line["required"]) for line in holes] == [("1 a bay", "6")]


def test_a_plate_washer_and_its_slot_are_measured(snapshot):
    assert required(snapshot, "B", "Plate washer between") == ["3 × 3 × 0.229 in"]
    assert required(snapshot, "B", "Slot in a plate washer") == ["11/16″ × 1\N{NO-BREAK SPACE}3/4″"]
    assert required(snapshot, "B", "Anchors in each sill piece") == ["2"]
    assert required(snapshot, "B", "cracked or spalled") == ["none", "none"]


def test_the_inspections_of_a_job_stand_on_one_page(snapshot):
    overview = inspection_checklist.sections(snapshot, None)[0]
    assert page_count(render_section(overview)) == 1
