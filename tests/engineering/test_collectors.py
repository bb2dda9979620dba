"""Drag along the plates, splices at laps, struts."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engineering.collectors import drag
from engineering.connector_values import ConnectorValues, LineContext
from engineering.house import assess, check_chain
from engineering.inputs import Span
from engineering.load_path import contexts
from engineering.seismic_demand import demand_inputs, house_demand
from engineering.wall_panels import panels
from tests.engineering.varied import edited, house, with_line


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


def test_floor_beyond_a_lines_end_needs_a_strut():
    short = with_line(
        house(),
        "A",
        end_ft=(30.0, 0.0),
        segments=(
            house().lines[0].segments[0].__class__(kind="cripple wall", from_ft=0, to_ft=30, stud_height_ft=2.625),
        ),
        panels=(Span(from_ft=0.0, to_ft=8.0), Span(from_ft=14.0, to_ft=22.0)),
        sill_pieces=(Span(from_ft=0.0, to_ft=14.0), Span(from_ft=14.0, to_ft=30.0)),
        existing_anchors=(),
        framing={"stud_centrelines_in": tuple(16.0 * n for n in range(23))},
    )
    check = _link_3(short)
    assert check.status == "open"
    # A quarter of the line's demand comes from the last 10 of 40 ft.
    assert check.notes == ("no strut for 866 lb from 10.00 ft of floor beyond the far end",)
