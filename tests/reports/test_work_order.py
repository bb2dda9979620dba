"""The crew's work order: every scheduled place in its bay, everything in the van, nothing that is not theirs to see."""

from __future__ import annotations

import pytest

from reports.documents import cautions, figures, schedule_rows, work_order
from reports.drawings import wall_line
from reports.merging import page_count
from reports.rendering import render_section
from tests.reports import snapshots


@pytest.fixture(scope="module")
def snapshot():
    return snapshots.snapshot()


@pytest.fixture(scope="module")
def sections(snapshot):
    return {section.sheet: section for section in work_order.sections(snapshot, snapshots.subject())}


def test_a_front_page_and_one_section_a_wall(sections):
    assert list(sections) == ["W-0", "W-A", "W-1"]
    assert sections["W-A"].context["side"] == "south"
    assert sections["W-A"].context["zero_hand"] == "right"
    assert sections["W-A"].context["check_studs"] == "1′-4″, 2′-8″"


@pytest.mark.parametrize("label", ["A", "B", "1", "2"])
def test_every_scheduled_place_stands_in_the_bay_that_holds_it(snapshot, label):
    line, schedule = schedule_rows.line_inputs(snapshot, label), schedule_rows.line_schedule(snapshot, label)
    bays = {
        row["number"]: " ".join(part["at"] for part in row["parts"]) for row in work_order.bay_rows(snapshot, label)
    }
    for role in work_order.SHORT_WORDS:
        for place in wall_line.positions_in(schedule, role):
            assert figures.length(place) in bays[wall_line.bay_at(line, place).number], (role, place)


def test_blocks_stand_in_every_closed_bay_of_a_wide_sill(snapshot):
    rows = work_order.bay_rows(snapshot, "1")
    blocked = [row["number"] for row in rows if row["block"]]
    line = schedule_rows.line_inputs(snapshot, "1")
    assert blocked == [bay.number for panel in line["panels"] for bay in wall_line.bays_inside(line, panel)]
    assert not any(part["what"] == "block" for row in work_order.bay_rows(snapshot, "A") for part in row["parts"])


def test_the_pick_list_holds_every_scheduled_piece(snapshot):
    picked = {row["item"]: int(row["count"].replace(",", "")) for row in work_order.pick_list(snapshot, ["A", "1"])}
    schedules = [schedule_rows.line_schedule(snapshot, label) for label in ("A", "1")]
    screws = sum(item["count"] for schedule in schedules for item in wall_line.rows(schedule, "floor to plate"))
    stitch = sum(item["count"] for schedule in schedules for item in wall_line.rows(schedule, "stitch nails"))
    splice = sum(item["count"] for schedule in schedules for item in wall_line.rows(schedule, "splice nails each side"))
    assert picked["through-plate screw 0.242 × 6 in (invented)"] == screws
    assert picked["12d common 0.148 × 3 1/4 in"] == stitch + 2 * splice  # a splice has two sides
    old = sum(len(schedule_rows.washers_to_fit(snapshot, label)) for label in ("A", "1"))
    assert old == 3  # two accepted bolts on A, one on 1, no washer seen on any
    new = picked["1/2 in sill anchor, 4 in embedment (invented)"]
    assert picked["plate washer, at least 3 × 3 × 0.229 in"] == new + old
    pieces = sum(count for item, count in picked.items() if "piece" in item)
    assert pieces == 6 + 6 + 4 + 4  # joints at every stud of A's panels, three joints in each of 1's


def test_nothing_of_the_client_but_the_site_and_no_prices(snapshot, sections):
    for section in sections.values():
        said = " ".join(snapshots.texts(section.context))
        for private in (snapshot["house"]["client_name"], snapshot["house"]["client_phone"], "$", "price"):
            assert private not in said
        assert not snapshots.ratios(snapshot) & set(snapshots.texts(section.context))
    assert snapshot["house"]["address"] in " ".join(snapshots.texts(sections["W-0"].context))


def test_the_set_up_of_the_drill_is_the_computed_one(sections):
    rows = dict(sections["W-1"].context["set_up"])
    assert rows["Jig: round bar, centred hole"] == "1\N{NO-BREAK SPACE}1/2″, hole 0.157 in"
    assert rows["Out of plumb, started on the line"] == "1/8″ off in 6″ (1.2°)"
    assert rows["Stitch nails beside each screw, where stitched"] == "2"


def test_hold_points_follow_what_the_walls_have(snapshot):
    names = [point["name"] for point in work_order.hold_points(snapshot, ["1"])]
    assert names == ["Probe holes", "Anchors", "Connectors and blocks", "Tie-downs", "Panel nailing"]
    assert "4 in" in work_order.hold_points(snapshot, ["1"])[-1]["text"]
    assert "4 in" not in work_order.hold_points(snapshot, ["A"])[-1]["text"]
    bare = snapshots.without(snapshots.snapshot(), "sill anchors", "tie-downs", "tie-down anchors")
    assert "Anchors" not in [point["name"] for point in work_order.hold_points(bare, ["1"])]


def test_cautions_that_the_job_calls_for(snapshot):
    assert [item.key for item in cautions.of(snapshot)] == [
        "lead",
        "asbestos",
        "crawlspace",
        "electric",
        "gas",
        "silica",
        "shoring",
    ]
    bare = snapshots.without(snapshots.snapshot(), "sill anchors", "tie-down anchors")
    bare["house"]["year_built"] = 1990
    assert "silica" not in [item.key for item in cautions.of(bare)]
    assert "After 1977" in cautions.of(bare)[0].text
    unknown = snapshot | {"house": snapshot["house"] | {"year_built": None}}
    assert "treated as before 1978" in cautions.of(unknown)[0].text


def test_a_wall_has_one_page_and_only_a_long_one_is_drawn_in_strips(snapshot, sections):
    assert sections["W-A"].context["bands"] == ["band-1"]
    line, schedule = schedule_rows.line_inputs(snapshot, "A"), schedule_rows.line_schedule(snapshot, "A")
    assert work_order.bands(line, schedule) == [(0.0, 480.0)]
    assert work_order.bands(line | {"end_ft": [60.0, 0.0]}, schedule) == [(0.0, 360.0), (360.0, 720.0)]
    crowded = {"items": [item | {"positions_in": [float(n) for n in range(80)]} for item in schedule["items"][:1]]}
    assert len(work_order.bands(line, crowded)) == 2
    for name, section in sections.items():
        if name != "W-0":
            assert page_count(render_section(section)) == 1


def test_a_work_order_needs_its_day_and_known_walls(snapshot):
    with pytest.raises(ValueError, match="subject is missing"):
        work_order.sections(snapshot, None)
    with pytest.raises(KeyError):
        work_order.sections(snapshot, snapshots.subject(lines=("Z",)))


def test_the_work_order_renders(sections):
    for section in sections.values():
        assert render_section(section).startswith(b"%PDF")
