"""Drag along the plates, and the splices at their laps."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engineering.collectors import drag
from engineering.connector_values import ConnectorValues, LineContext
from engineering.errors import OutOfRange
from engineering.house import assess, check_chain
from engineering.inputs import Span
from engineering.load_path import contexts
from engineering.panel_shares import panels
from engineering.seismic_demand import demand_inputs, house_demand
from tests.engineering.varied import edited, house, with_line, with_strap


def _context(given, label: str) -> LineContext:
    lines = contexts(given, house_demand(demand_inputs(given)), ConnectorValues(given))
    return next(one for one in lines if one.line.label == label)


def _link_3(given, label="A"):
    return assess(given).line(label).link("3").check


@settings(max_examples=40, deadline=None)
@given(edges=st.lists(st.floats(0.0, 40.0), min_size=4, max_size=4, unique=True).map(sorted))
def test_drag_closes_at_the_far_end(edges):
    a, b, c, d = edges
    spans = [Span(from_ft=x, to_ft=y) for x, y in ((a, b), (c, d)) if y - x > 1.5]
    if not spans:
        return
    context = _context(with_line(house(), "A", panels=tuple(spans)), "A")
    forces = drag(context, panels(context))
    assert forces.closure_lb == pytest.approx(0.0, abs=1e-6)
    assert forces.largest_lb <= context.demand.demand_lb + 1e-6


def test_a_panel_in_the_middle_is_dragged_to_from_both_sides():
    context = _context(with_line(house(), "A", panels=(Span(from_ft=10.0, to_ft=30.0),)), "A")
    forces = drag(context, panels(context))
    assert forces.force_lb(10.0) == pytest.approx(context.demand.demand_lb / 4)
    assert forces.force_lb(20.0) == pytest.approx(0.0, abs=1e-6)


def test_laps_nobody_saw_leave_the_link_open():
    check = _link_3(with_line(house(), "A", plate_laps_ft="not observed"))
    assert check.status == "open"
    assert check.notes == ("plate laps were not observed",)


def test_a_plate_in_one_piece_is_recorded_with_its_drag():
    check = _link_3(with_line(house(), "A", plate_laps_ft=()))
    assert check.status == "recorded"
    assert check.demand == pytest.approx(1039.03, abs=0.01)


def test_panels_all_along_leave_nothing_to_drag():
    check = _link_3(with_line(house(), "A", panels=(Span(from_ft=0.0, to_ft=40.0),)))
    assert check.status == "not in the chain"


def test_each_lap_gets_the_nails_of_the_largest_drag():
    given_house = with_line(house(), "A", plate_laps_ft=(8.0, 18.0))
    result = assess(given_house)
    assert [row.count for row in result.schedule.line("A").rows("splice nails each side")] == [6, 6]
    parts = result.line("A").link("3").parts
    assert parts[1].demand == pytest.approx(2 * 3463.4277 / 40)  # 2 ft from the middle, where the drag is 0


def test_a_lap_without_its_splice_is_open():
    given_house = house()
    bare = edited(assess(given_house).schedule, "A", "splice nails each side", count=0)
    line = check_chain(given_house, bare).line("A")
    assert line.open_links == ("load path open at collector, plate splice: lap at 8 ft: no splice nails",)
    assert line.weakest_ratio is None


def test_too_few_splice_nails_say_how_many_more():
    given_house = house()
    short = edited(assess(given_house).schedule, "A", "splice nails each side", count=4, positions_in=(96.0,))
    check = check_chain(given_house, short).line("A").link("3").check
    assert check.status == "over"
    assert check.warnings == ("2 more splice nails each side needed at each lap",)


@settings(max_examples=30, deadline=None)
@given(cut_ft=st.floats(2.0, 6.0))
def test_a_panel_cut_in_two_drags_the_same(cut_ft):
    whole = with_line(house(), "A", panels=(Span(from_ft=0.0, to_ft=8.0), Span(from_ft=32.0, to_ft=40.0)))
    cut = with_line(
        house(),
        "A",
        panels=(Span(from_ft=0.0, to_ft=cut_ft), Span(from_ft=cut_ft, to_ft=8.0), Span(from_ft=32.0, to_ft=40.0)),
    )
    one, two = (drag(context, panels(context)) for context in (_context(whole, "A"), _context(cut, "A")))
    assert two.closure_lb == pytest.approx(one.closure_lb, abs=1e-6)
    for at_ft in (4.0, 8.0, 20.0, 36.0):
        assert two.force_lb(at_ft) == pytest.approx(one.force_lb(at_ft), abs=1e-6)


def test_plates_jointed_at_one_place_need_a_strap():
    check = _link_3(with_line(house(), "A", plate_laps_ft=(8.0,), lower_plate_laps_ft=(8.0,)))
    assert check.status == "open"
    assert check.notes == ("lap at 8 ft: the plates do not lap here: a strap is needed",)


def test_a_lap_with_room_for_its_nails_is_checked_for_the_largest_drag():
    check = _link_3(with_line(house(), "A", plate_laps_ft=(10.0,), lower_plate_laps_ft=(14.0, 26.0)))
    assert check.status == "ok"
    assert check.demand == pytest.approx(check.step("drag_max_lb").value)
    assert check.step("lap_holds").inputs["lap"] == pytest.approx(48.0)


def test_a_short_lap_is_checked_for_its_own_drag_with_the_nails_it_has_room_for():
    # 7 in: three spaces of 15 × 0.148 in, so two nails in each of two rows; the largest drag takes 6.
    given_house = with_line(house(), "A", plate_laps_ft=(18.0,), lower_plate_laps_ft=(18.0 - 7 / 12, 30.0))
    result = assess(given_house)
    assert [row.count for row in result.schedule.line("A").rows("splice nails each side")] == [4]
    check = result.line("A").link("3").check
    assert check.status == "ok"
    assert check.demand == pytest.approx(2 * 3463.4277 / 40)
    assert "lap at 18 ft has room for 4 of 6 nails: checked for its own drag, 173 lb" in check.notes


def test_a_short_lap_where_the_drag_is_large_is_over():
    check = _link_3(with_line(house(), "A", plate_laps_ft=(8.0,), lower_plate_laps_ft=(8.0 + 7 / 12,)))
    assert check.status == "over"
    assert check.warnings == ("lap at 8 ft: 6 nails needed, room for 4: a strap is needed",)


def test_a_lap_too_short_for_one_nail_is_open():
    check = _link_3(with_line(house(), "A", plate_laps_ft=(8.0,), lower_plate_laps_ft=(8.0 + 2 / 12,)))
    assert check.status == "open"
    assert check.notes == ("lap at 8 ft: lap of 2 in holds no nail: a strap is needed",)


def test_joints_of_the_lower_plate_nobody_saw_leave_the_link_open_where_panels_are_nailed_to_it():
    check = _link_3(with_line(house(), "A", lower_plate_laps_ft="not observed"))
    assert check.status == "open"
    assert check.notes == ("joints of the lower plate were not observed, and the panels are nailed to it",)


def test_nails_of_a_lap_nobody_saw_count_as_nothing_where_panels_are_nailed_to_the_upper_plate():
    unseen = with_line(house(), "A", lower_plate_laps_ft="not observed", framing={"top_nails_reach": "upper plate"})
    check = _link_3(unseen)
    assert check.status == "open"
    assert "joints of the lower plate were not observed: how far the plates lap here is not known" in check.notes[0]


def test_plates_nobody_saw_in_a_drag_zone_leave_the_link_open():
    hidden = (Span(from_ft=6.0, to_ft=10.0),)
    check = _link_3(with_line(house(), "A", plate_laps_ft=(20.0,), plates_unseen=hidden))
    assert check.status == "open"
    assert check.notes == ("plates from 6 to 10 ft were not seen, drag up to 1,039 lb",)


def test_plates_nobody_saw_where_nothing_is_dragged_do_not_matter():
    all_along = with_line(
        house(), "A", panels=(Span(from_ft=0.0, to_ft=40.0),), plates_unseen=(Span(from_ft=6.0, to_ft=10.0),)
    )
    assert _link_3(all_along).status == "not in the chain"


def test_a_strap_carries_where_a_single_plate_is_jointed():
    single = with_line(
        with_strap(house()),
        "A",
        framing={"plates_in": (1.5,), "top_nails_reach": "upper plate"},
        methods={"splice_nail": "strap", "floor_to_plate": "angle", "alternatives": ()},
    )
    result = assess(single)
    assert [(row.count, row.positions_in) for row in result.schedule.line("A").rows("plate straps")] == [(1, (96.0,))]
    check = result.line("A").link("3").check
    assert check.status == "ok"
    assert check.capacity == 1200.0
    assert check.step("px_plate_straps").value == 2


def test_nails_do_not_splice_a_single_plate():
    single = with_line(
        house(),
        "A",
        framing={"plates_in": (1.5,), "top_nails_reach": "upper plate"},
        methods={"floor_to_plate": "angle", "alternatives": ()},
    )
    check = _link_3(single)
    assert check.status == "open"
    assert check.notes == ("lap at 8 ft: the plates do not lap here: a strap is needed",)


def test_a_strap_whose_report_leaves_the_plates_wood_out_is_open():
    given_house = with_line(with_strap(house(), species=("Southern Pine",)), "A", methods={"splice_nail": "strap"})
    check = _link_3(given_house)
    assert check.status == "open"
    straps = with_line(with_strap(house()), "A", methods={"splice_nail": "strap"})
    check = check_chain(given_house, assess(straps).schedule).line("A").link("3").check
    assert "Southern Pine" in check.notes[0]


def test_a_splice_by_anything_but_a_nail_or_a_strap_is_refused():
    with pytest.raises(OutOfRange) as refused:
        assess(with_line(house(), "A", methods={"splice_nail": "angle"}))
    assert refused.value.field == "lines.A.methods"
    assert refused.value.allowed == "must be a nail or a strap of the catalogue"


def test_the_plate_itself_is_checked_where_its_tension_is_known():
    unknown = _link_3(house())
    stress_psi = unknown.step("drag_max_lb").value / (1.5 * 3.5)
    assert unknown.step("plate_tension_psi").value == pytest.approx(stress_psi)
    assert any("its allowable tension was not given" in note for note in unknown.notes)
    known = _link_3(with_line(house(), "A", framing={"plate_tension_psi": 100.0}))
    assert known.status == "over"
    assert known.capacity == pytest.approx(100 * 1.6 * 1.5 * 3.5)
    assert known.ratio == pytest.approx(known.step("drag_max_lb").value / 840)


def test_f_px_governs_where_the_engineer_says_so():
    story, by_px = _link_3(house()), _link_3(house(criteria={"diaphragm_force_governs": True}))
    assert by_px.demand == pytest.approx(story.step("px_drag_max_lb").value)
    assert by_px.step("splice_nails_each_side").value == story.step("px_splice_nails_each_side").value == 8


def test_joints_of_the_lower_plate_nobody_saw_are_said():
    sentence = "line A: joints of the lower plate were not observed: no splice nails are counted"
    assert sentence in assess(with_line(house(), "A", lower_plate_laps_ft="not observed")).assumptions
    assert sentence not in assess(with_line(house(), "A", lower_plate_laps_ft=(14.0,))).assumptions
