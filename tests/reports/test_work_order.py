"""The crew's work order: every scheduled place in its bay, everything in the van, nothing that is not theirs to see."""

from __future__ import annotations

from dataclasses import replace

import pytest

from jobs import hold_points
from reports.documents import cautions, crew_day, figures, schedule_rows, work_order
from reports.drawings import wall_line
from reports.merging import page_count
from reports.rendering import render_section
from tests.engineering.varied import SIDE, house, with_connector, with_line, with_side_connections
from tests.reports import snapshots
from tests.reports.papers import text_of


@pytest.fixture(scope="module")
def snapshot():
    return snapshots.snapshot()


def words_of(section):
    return " ".join(text_of(render_section(section), raw=True).split())


@pytest.fixture(scope="module")
def papers(sections):
    """The words of each sheet as read back from its PDF."""
    return {sheet: words_of(section) for sheet, section in sections.items()}


def bonded_side_connections():
    given = with_line(with_side_connections(house(), "B"), "B", methods={"sill_anchor": ""})
    return with_connector(given, replace(SIDE, adhesive=True, embedment_in=4.0))


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


def test_the_day_names_site_permit_plans_and_crew(papers):
    for words in ("25 Nov 2026", "Crew one, lead L. Sample, M. Sample, N. Sample",
                  "14 Sample Street, Exampleton CA 00000", "J-0001",
                  "B-0001, issued 20 Nov 2026; keep it and the card on site",
                  "uploaded 21 Nov 2026; on site while anyone works", "000-000-014", "24 × 18 in clear",
                  "R. Example, PE, Civil C 00000 (invented)"):  # fmt: skip
        assert words in papers["W-0"]


def test_what_nobody_recorded_is_a_blank_that_says_so(snapshot, papers):
    assert "Not recorded in this job; write down what the office tells you" in papers["W-0"]
    for words in ("Keys, gate code", "Parking, unloading", "Dogs and other animals", "Hours allowed, neighbours",
                  "Inspection card hangs at"):  # fmt: skip
        assert words in papers["W-0"]
    bare = {key: value for key, value in snapshots.subject().items() if key not in ("permit", "city_set", "members")}
    facts = dict(crew_day.facts(snapshot, bare))
    assert facts["Permit"].startswith("not recorded")
    assert facts["Approved plans"].startswith("not recorded")
    assert facts["Crew"] == "Crew one, lead L. Sample"


def test_the_order_is_void_once_a_newer_revision_is_stamped(papers):
    assert "Build only from the stamped design that the foot of each page names with its hash" in papers["W-0"]
    assert "void as soon as a newer revision is stamped: scan the code before you start" in papers["W-0"]


def test_the_work_runs_from_hold_point_to_hold_point_with_its_counts(snapshot, papers):
    rows = {row["hold"]: row for row in crew_day.tasks(snapshot, ["A", "1"])}
    assert list(rows) == ["Probe holes", "Anchors", "Connectors and blocks", "Tie-downs", "Panel nailing"]
    total = {
        role: sum(schedule_rows.total(snapshot, label, role) for label in ("A", "1"))
        for role in ("sill anchors", "tie-down anchors", "floor to plate", "stitch nails", "tie-downs")
    }
    assert rows["Anchors"]["counts"] == (
        f"{total['sill anchors']} sill anchors, {total['tie-down anchors']} tie-down anchors"
    )
    assert rows["Connectors and blocks"]["counts"].startswith(
        f"{total['floor to plate']} connectors, {total['stitch nails']} stitch nails"
    )
    assert rows["Tie-downs"]["counts"] == f"{total['tie-downs']} tie-downs"
    for words in ("Hold point: stays open until passed", "Nothing covered that a hold point above has not passed",
                  "Must be open and lit"):  # fmt: skip
        assert words in papers["W-0"]


def test_every_hold_point_has_its_task():
    points = {value.name for value in vars(hold_points).values() if isinstance(value, hold_points.HoldPoint)}
    assert set(crew_day.TASKS) == points
    roles = [role for _does, of in crew_day.TASKS.values() for role in of]
    assert set(roles) <= set(crew_day.COUNTED_AS)


def test_the_visits_on_record_stand_on_the_order(snapshot):
    visit = {"stage": "anchors", "day": "2026-11-24", "inspector": "I. Sample", "result": "pass"}
    subject = snapshots.subject() | {"inspections": [visit]}
    assert "anchors: pass on 24 Nov 2026 by I. Sample" in words_of(work_order.sections(snapshot, subject)[0])


def test_adhesive_is_picked_by_hole_and_asks_for_lot_and_expiry():
    snapshot = snapshots.snapshot(bonded_side_connections())
    picked = {row["item"]: row for row in work_order.pick_list(snapshot, ["B"])}
    holes = schedule_rows.total(snapshot, "B", "side connections")
    adhesive = picked[f"adhesive by report {SIDE.report}"]
    assert (adhesive["count"], adhesive["note"]) == (f"{holes} holes", "lot, expiry date")
    assert "adhesive" in [item.key for item in cautions.of(snapshot)]
    assert not [item for item in work_order.pick_list(snapshots.snapshot(), ["A"]) if "adhesive" in item["item"]]


def test_blocks_are_picked_by_bay(snapshot):
    picked = {row["item"]: row["count"] for row in work_order.pick_list(snapshot, ["1"])}
    blocked = [row for row in work_order.bay_rows(snapshot, "1") if row["block"]]
    assert picked["block for a wide sill, cut to its bay"] == str(len(blocked))


def test_tools_follow_from_the_days_work(snapshot):
    names = " ".join(row["name"] for row in crew_day.tools(snapshot, ["A", "1"]))
    for words in ("Rotary hammer with shroud; dust collector, filter 99 % or better", "HEPA vacuum",
                  "size that report EXAMPLE-4 asks", "Torque wrench",
                  "round bar 1\N{NO-BREAK SPACE}1/2″, hole 0.157 in; bit marked at 6″: wall A, 1",
                  "Air meter; guarded lamps", "Cords with ground-fault protection"):  # fmt: skip
        assert words in names
    bare = snapshots.without(snapshots.snapshot(), "sill anchors", "tie-down anchors", "panel edge nails")
    names = " ".join(row["name"] for row in crew_day.tools(bare, ["A"]))
    assert "hammer" not in names
    assert "Nailer" not in names


def test_photos_are_counted_from_the_schedule(snapshot):
    counts = {row["what"]: row["count"] for row in crew_day.photos(snapshot, ["A", "1"])}
    anchors = sum(schedule_rows.total(snapshot, label, "sill anchors", "tie-down anchors") for label in ("A", "1"))
    assert counts["New anchor in its hole, tape from the datum, before the nut"] == str(anchors)
    assert counts["Probe hole, depth rule in it"] == "4"
    assert counts["New washer under an old anchor's nut"] == "3"
    assert counts["Panel: stamp, edge nails with a rule, holes"] == "12"
    assert counts["Whatever is otherwise than drawn"] == "each"


def test_lead_names_its_areas_and_asks_for_the_firms_certificate(snapshot, papers):
    for words in ("over 6 sq ft of paint in a room or 20 sq ft outside", "Firm's certificate, number and state",
                  "Certified renovator", "Painted area disturbed, by room, sq ft", "pamphlet given on"):  # fmt: skip
        assert words in papers["W-0"]
    newer = snapshot | {"house": snapshot["house"] | {"year_built": 1990}}
    assert cautions.of(newer)[0].asks == ()


def test_silica_names_tool_hours_and_the_way_of_cleaning(papers):
    for words in ("Tool, shroud, collector", "Hours drilled today; limits change at 4",
                  "Way of cleaning agreed: one that suits both",
                  "respirator of factor 10, under a house from the start, outdoors beyond 4 hours"):  # fmt: skip
        assert words in papers["W-0"]


def test_nobody_goes_under_the_floor_before_a_named_person_has_classed_it(papers):
    for words in ("Competent person", "☐ not confined ☐ confined ☐ permit space", "Air tested at (time), found",
                  "Looked at again at (time), why", "A permit space needs its written permit"):  # fmt: skip
        assert words in papers["W-0"]


def test_each_caution_has_its_tick_and_its_name(snapshot, papers):
    assert papers["W-0"].count("Told to the crew by (name)") == len(cautions.of(snapshot))
    for words in ("Survey on, by (certificate)", "Copy on site, seen by", "Circuits found and marked by",
                  "Gas shut-off is at"):  # fmt: skip
        assert words in papers["W-0"]


def test_the_crew_talk_has_its_record(papers):
    for words in ("The last talk is not recorded in this job", "at least every 10 working days",
                  "Talk today: time, led by", "Who was there", "What was put right"):  # fmt: skip
        assert words in papers["W-0"]


def test_what_differs_stops_or_is_logged_by_the_days_own_tolerances(snapshot, papers):
    for words in ("stop that item, leave it open, ask the engineer", "Questions to the engineer", "As found",
                  "up to 1/8″ off the target line", "fewer; another connector, nail or finish"):  # fmt: skip
        assert words in papers["W-0"]
    front = work_order.sections(snapshots.without(snapshots.snapshot(), "tie-downs"), snapshots.subject())[0]
    assert "Tie-down rod" not in {row["item"] for row in front.context["tolerances"]}
    assert "Tie-down rod" in papers["W-0"]


def test_the_lead_signs_counts_hours_lots_and_photos(papers):
    for words in ("Crew lead: counts, lots, hours and photos are right", "Hours of the crew", "Supervisor, signature"):
        assert words in papers["W-0"]


def test_a_panel_on_the_walls_page_tells_its_holes(papers):
    assert papers["W-A"].count("holes 2″ to 3″, top and bottom of a bay; sunk heads") == 2
    assert "15/32 in Sheathing, nails 0.131 × 2 1/2″ hot-dip, 12″ in the field" in papers["W-A"]


def test_a_days_order_holds_on_four_pages_before_the_walls(sections):
    assert page_count(render_section(sections["W-0"])) <= 4


def test_a_work_order_needs_its_day_and_known_walls(snapshot):
    with pytest.raises(ValueError, match="subject is missing"):
        work_order.sections(snapshot, None)
    with pytest.raises(KeyError):
        work_order.sections(snapshot, snapshots.subject(lines=("Z",)))


def test_the_work_order_renders(sections):
    for section in sections.values():
        assert render_section(section).startswith(b"%PDF")
