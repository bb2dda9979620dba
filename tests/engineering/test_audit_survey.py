"""Surveys that the worked house does not show: odd rims, long lags, other woods, sills that stop short."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engineering.errors import OutOfRange
from engineering.house import assess
from engineering.inputs import HouseInputs, Segment, Span
from tests.engineering.varied import house, line_of, with_line


def _link_1(given: HouseInputs) -> str:
    line = assess(given).line("A")
    assert line.link("1").check.status == "open"
    return line.link("1").check.notes[0]


@pytest.mark.parametrize("method", ["screw", "lag"])
def test_a_joist_whose_middle_is_not_over_the_plates_takes_nothing_from_below(method):
    off = with_line(house(), "A", methods={"floor_to_plate": method}, framing={"rim_set_back_in": 3.4})
    assert "set back in: must leave" in _link_1(off)


def test_a_lag_through_the_joists_top_is_refused():
    given = with_line(house(), "A", methods={"floor_to_plate": "lag"})
    long = tuple(replace(lag, length_in=20.0, thread_in=10.0) for lag in given.catalogue.lags)
    assert "not through the joist's top" in _link_1(replace(given, catalogue=replace(given.catalogue, lags=long)))


def test_a_lag_keeps_one_and_a_half_diameters_to_the_joists_edge():
    lag = with_line(house(), "A", methods={"floor_to_plate": "lag"}, framing={"rim_thickness_in": 0.75})
    assert assess(lag).line("A").link("1").check.status == "ok"  # NDS Table 12.5.1C: 3/8 in for a 1/4 in lag
    assert "1.5 D to each edge" in _link_1(with_line(lag, "A", framing={"rim_thickness_in": 0.7}))


def test_a_tie_down_counts_only_on_posts_of_its_reports_species():
    given = house()
    rows = tuple(
        replace(one, species=("Douglas Fir-Larch",)) if one.kind == "tie-down" else one
        for one in given.catalogue.evaluated
    )
    given = replace(given, catalogue=replace(given.catalogue, evaluated=rows))
    assert assess(given).line("1").link("7a").check.status == "ok"
    fir = replace(line_of(given, "1").framing.studs, species="Hem-Fir", specific_gravity=0.43)
    check = assess(with_line(given, "1", framing={"studs": fir})).line("1").link("7a").check
    assert check.status == "open"
    assert "species" in check.notes[0]


def _on_sill(length_ft: float, sill_to_ft: float) -> HouseInputs:
    return with_line(
        house(criteria={"redundancy": 1.0}),
        "A",
        end_ft=(length_ft, 0.0),
        segments=(Segment(kind="joists on the sill", from_ft=0, to_ft=length_ft, stud_height_ft=1.0),),
        sill_pieces=(Span(from_ft=0, to_ft=sill_to_ft),),
        panels=(),
        openings=(),
        existing_anchors=(),
        as_found=(),
        plate_laps_ft=(),
        framing={"plates_in": (), "stud_centrelines_in": ()},
        methods={"floor_to_plate": "angle"},
    )


@pytest.mark.parametrize(
    ("length_ft", "sill_to_ft", "reason"),
    [(30.0, 30.0, "10.00 ft of floor beyond the far end"), (40.0, 4.0, "no sill, and no collector")],
)
def test_a_sill_shorter_than_its_floor_is_an_open_collector(length_ft, sill_to_ft, reason):
    line = assess(_on_sill(length_ft, sill_to_ft)).line("A")
    assert line.status == "open"
    assert reason in line.link("3").check.notes[0]
    assert any("collector" in message for message in line.as_found_open)


def test_a_sill_along_the_whole_line_closes():
    assert assess(_on_sill(40.0, 40.0)).line("A").link("3").check.status == "not in the chain"


def test_a_direction_without_wall_lines_is_refused_not_crashed():
    given = house(building={"story_above": ()}, criteria={"redundancy": None})
    with pytest.raises(OutOfRange, match="must be held by two lines along y"):
        assess(replace(given, lines=tuple(line for line in given.lines if line.label in "AB")))
