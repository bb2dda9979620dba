"""Where connectors go: even, clear of what they must be clear of, with the rule named that leaves no place."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engineering.errors import OutOfRange
from engineering.house import assess
from engineering.layout import Keep, by_bay, closed, even_positions, place, stud_keeps
from tests.engineering.varied import house, line_of, with_line


def test_even_means_half_a_space_at_each_end():
    assert even_positions(4, 0.0, 96.0) == (12.0, 36.0, 60.0, 84.0)


def test_a_place_on_a_stud_moves_to_the_nearest_clear_quarter_inch():
    keeps = stud_keeps([48.0], 1.5, 1.5)
    # The stud's face is at 48.75, 1-1/2 in clear of it is 50-1/4.
    assert place([48.5], from_in=0, to_in=96, keeps=closed(keeps), apart_in=3, what="screws") == (50.25,)


def test_the_rule_that_leaves_no_place_is_named():
    keeps = [Keep(-1.0, 97.0, 0.0, "outside the opening door")]
    with pytest.raises(OutOfRange, match="no clear place from 0 to 96 in: outside the opening door") as refused:
        place([48.0], from_in=0, to_in=96, keeps=closed(keeps), apart_in=3, what="lines.A.screws")
    assert refused.value.field == "lines.A.screws"


def test_too_many_for_the_length_names_the_spacing():
    with pytest.raises(OutOfRange, match="3 in apart"):
        place([5.0] * 5, from_in=0, to_in=10, keeps=closed([]), apart_in=3, what="screws")


def test_a_gap_over_the_maximum_is_refused():
    keeps = [Keep(40.0, 80.0, 0.0, "outside the opening")]
    with pytest.raises(OutOfRange, match="maximum spacing of 48 in"):
        place(
            [30.0, 60.0, 90.0],
            from_in=0,
            to_in=120,
            keeps=closed(keeps),
            apart_in=3,
            largest_gap_in=48.0,
            what="screws",
        )


@settings(max_examples=60, deadline=None)
@given(
    count=st.integers(1, 12),
    length=st.floats(120, 480),
    spacing=st.sampled_from([12.0, 16.0, 24.0]),
    clear=st.floats(0.5, 2.5),
)
def test_every_place_keeps_every_rule(count, length, spacing, clear):
    studs = [spacing * n for n in range(int(length / spacing) + 1)]
    places = place(
        even_positions(count, 0.0, length),
        from_in=3,
        to_in=length - 3,
        keeps=closed(stud_keeps(studs, 1.5, clear)),
        apart_in=3,
        what="x",
    )
    assert len(places) == count
    assert all(abs(at - stud) >= 0.75 + clear - 1e-9 for at in places for stud in studs)
    assert all(b - a >= 3 - 1e-9 for a, b in pairwise(places))
    assert 3 <= places[0] <= places[-1] <= length - 3


def test_bays_run_from_stud_face_to_stud_face():
    bays = by_bay([20.0, 22.0, 40.0], (0.0, 16.0, 32.0, 48.0), 1.5, 48.0)
    assert [(bay.number, bay.from_in, bay.to_in) for bay in bays] == [
        (1, 0.75, 15.25),
        (2, 16.75, 31.25),
        (3, 32.75, 47.25),
    ]
    assert [bay.positions_in for bay in bays] == [(), (20.0, 22.0), (40.0,)]


@pytest.mark.parametrize("level", ["full", "r75"])
@pytest.mark.parametrize("label", ["A", "B", "1", "2"])
def test_the_worked_house_is_laid_out_clear_of_everything(level, label):
    given_house = house(level=level)
    line, schedule = line_of(given_house, label), assess(given_house).schedule.line(label)
    studs, length_in = line.framing.stud_centrelines_in, 12 * line.length_ft
    screws = [at for row in schedule.rows("floor to plate") for at in row.positions_in]
    nails = [at for row in schedule.rows("stitch nails") for at in row.positions_in]
    anchors = [at for row in schedule.rows("sill anchors") for at in row.positions_in]
    rods = [at for row in schedule.rows("tie-downs") for at in row.positions_in]
    assert len(screws) == schedule.count("floor to plate")
    assert all(abs(at - stud) >= 0.75 + 1.5 - 1e-9 for at in screws for stud in studs)
    assert all(abs(at - stud) >= 0.75 + 0.75 - 1e-9 for at in nails for stud in studs)
    assert all(abs(at - 12 * lap) >= 3.0 for at in screws for lap in line.plate_laps_ft)
    assert all(not 12 * o.from_ft < at < 12 * o.to_ft for at in screws for o in line.openings)
    assert all(b - a <= 72.0 for a, b in pairwise([0.0, *screws, length_in]))
    assert all(abs(a - b) >= 1.25 - 1e-9 for a in nails for b in screws)
    ends = [12 * end for piece in line.sill_pieces for end in (piece.from_ft, piece.to_ft)]
    assert all(abs(at - end) >= 7 * 0.5 for at in anchors for end in ends)
    old = [12 * anchor.at_ft for anchor in line.existing_anchors]
    assert all(abs(a - b) >= 6.0 for a, b in pairwise(sorted([*anchors, *old, *rods])) if a in anchors or b in anchors)


def test_end_anchors_stand_within_a_foot_of_their_sill_end():
    """Bolts not over 12 in and not under 7 diameters from the end of a sill piece, where the panel stands at it."""
    schedule = assess(house()).schedule.line("A")
    first, last = schedule.rows("sill anchors")[0], schedule.rows("sill anchors")[-1]
    assert 3.5 <= first.positions_in[0] <= 12.0
    assert 3.5 <= 480.0 - last.positions_in[-1] <= 12.0


def test_anchors_that_find_no_place_are_infeasible_with_every_rule():
    crowded = with_line(house(), "B", framing={"stud_centrelines_in": tuple(3.0 * n for n in range(160))})
    line = assess(with_line(crowded, "B", methods={"floor_to_plate": "angle"})).line("B")
    option = next(one for one in line.options if one.link == "6b")
    assert not option.feasible
    assert option.reason.startswith("panel 1, sill piece 1: no clear place from 0 to 84 in: 1.75 in clear of a stud, ")
    assert f"sill anchors can't be placed: {option.reason}" in line.warnings
    assert line.link("6a").check.status == "open"


def test_screws_that_find_no_place_make_the_method_infeasible():
    studs = {"stud_centrelines_in": tuple(4.0 * n for n in range(120))}
    crowded = with_line(house(), "A", framing=studs, panels=(), methods={"sill_anchor": ""})
    line = assess(crowded).line("A")
    option = next(one for one in line.options if one.method == "through-plate screws")
    assert not option.feasible
    assert "clear of a stud" in option.reason
    assert line.open_links[0].startswith("load path open at floor to top plate: through-plate screws can't be used")


def test_no_screw_goes_up_where_no_studded_wall_was_surveyed():
    wall = line_of(house(), "A").segments[0]
    short = with_line(house(), "A", segments=(replace(wall, to_ft=8.0), replace(wall, from_ft=32.0)))
    line = assess(short).line("A")
    screws = next(option for option in line.options if option.method == "through-plate screws")
    assert not screws.feasible
    assert line.status == "open"
