"""What is proposed: the fewest of the chosen methods that close each link, and nothing where a method can't be used."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engineering.house import assess, propose_schedule
from engineering.inputs import Span
from tests.engineering.varied import house, line_of, with_line


def _option(given, label: str, method: str):
    return next(one for one in assess(given).line(label).options if one.method == method)


def test_the_same_inputs_propose_the_same_schedule():
    assert propose_schedule(house()) == propose_schedule(house())


def test_the_proposal_closes_every_line_at_both_levels():
    for level in ("full", "r75"):
        result = assess(house(level=level, criteria={"small_pieces_accepted_by": "the engineer of the example"}))
        assert {line.status for line in result.lines} == {"ok"}
        # Nobody looked at the washers of the old bolts that count under the new panels.
        assert all(": fit " in warning and "plate washer" in warning for warning in result.warnings)


@pytest.mark.parametrize("label", ["A", "B", "1", "2"])
def test_one_screw_fewer_would_be_over(label):
    row = propose_schedule(house()).line(label).rows("floor to plate")[0]
    assert (row.count - 1) * 376 < assess(house()).line(label).demand_lb <= row.count * 376


def test_the_maximum_spacing_binds_the_screws_and_not_the_others():
    near = house(criteria={"maximum_connector_spacing_in": 24.0})
    assert propose_schedule(near).line("A").count("floor to plate") == 20
    assert _option(near, "A", "through-plate screws").count == 20
    assert _option(near, "A", "framing angles").count == 8
    assert _option(near, "A", "lag screws").count == 15


def test_a_method_that_can_not_be_used_proposes_nothing():
    given_house = with_line(house(), "A", framing={"jig_bears_on": "not observed"})
    schedule = propose_schedule(given_house).line("A")
    assert schedule.rows("floor to plate") == ()
    # Stitch nails stay, by demand and evenly: the plates must hold together whatever makes link 1.
    assert schedule.count("stitch nails") == 19


def test_framing_angles_need_stitch_nails_by_demand():
    schedule = propose_schedule(with_line(house(), "A", methods={"floor_to_plate": "angle"})).line("A")
    assert schedule.count("floor to plate") == 8
    assert schedule.count("stitch nails") == 19
    assert schedule.rows("stitch nails")[0].note == "evenly over the line"


def test_only_methods_from_below_leave_the_ceiling_whole():
    opens = {one.method: one.opens_ceiling for one in assess(house()).line("A").options if one.link == "1"}
    assert opens == {"through-plate screws": False, "framing angles": True, "toenails": True, "lag screws": False}
    bare = with_line(house(), "A", framing={"ceiling_finish": ""})
    assert not _option(bare, "A", "framing angles").opens_ceiling


def test_a_shear_beyond_the_closest_nailing_is_proposed_at_2_in_and_over():
    short = with_line(house(), "A", panels=(Span(from_ft=0.0, to_ft=4.0),))
    result = assess(short)
    assert {row.spacing_in for row in result.schedule.line("A").rows("panel edge nails")} == {2.0}
    check = result.line("A").link("4").check
    assert check.status == "over"
    assert check.step("three_x_at_joints").value is True
    assert any("more panel needed" in warning for warning in check.warnings)


def test_slender_panels_share_the_shear_by_their_capacity():
    """Convention 5: above 2:1 in proportion to 2b/h. Heights 9 ft, one panel 3 ft (3:1) and one 6 ft (1.5:1)."""
    tall = with_line(
        house(building={"braced_wall_height_ft": 9.0}),
        "A",
        segments=(replace(line_of(house(), "A").segments[0], stud_height_ft=8.625),),
        panels=(Span(from_ft=0.0, to_ft=3.0), Span(from_ft=20.0, to_ft=26.0)),
    )
    slender, stout = assess(tall).line("A").link("4").parts
    assert slender.demand == pytest.approx(stout.demand * 2 / 3)
    assert slender.ratio == pytest.approx(stout.ratio)
    assert 3 * slender.demand + 6 * stout.demand == pytest.approx(assess(tall).line("A").demand_lb)


def test_unseen_laps_get_their_nails_without_a_place():
    row = (
        propose_schedule(with_line(house(), "A", plate_laps_ft="not observed")).line("A").rows("splice nails each side")
    )
    assert [(one.count, one.positions_in, one.note) for one in row] == [(6, (), "at each lap, once found")]


def test_a_line_without_panels_is_open_at_the_panel():
    line = assess(with_line(house(), "A", panels=())).line("A")
    assert [link.link for link in line.links if link.check.status == "open"] == ["4", "5"]
    assert line.through_plate is not None


def test_pieces_fit_the_access_opening():
    wide = replace(house(), access_opening_in=(40.0, 30.0))
    # 3 ft high pieces pass a 40 in opening lying down: whole sheets, no joint in 8 ft.
    assert assess(wide).line("A").panel_joints_in == ((), ())
    assert assess(house()).line("A").panel_joints_in[0] == (16.0, 32.0, 48.0, 64.0, 80.0)
    assert any("smaller than 4 × 8 ft" in note for note in assess(house()).line("A").link("4").check.notes)
    unseen = replace(house(), access_opening_in="not observed")
    assert "access opening not observed: panel pieces drawn as whole sheets" in assess(unseen).assumptions


def test_edge_nails_are_counted_round_every_piece():
    rows = propose_schedule(house()).line("A").rows("panel edge nails")
    # Six pieces 16 in wide and 36 in high: 2·(16 + 36)/6, rounded up, is 18 each.
    assert [row.count for row in rows] == [108, 108]


def test_a_sheathing_nail_that_is_not_in_the_catalogue_is_refused():
    sheathing = {"nail_length_in": 3.0}
    with pytest.raises(ValueError, match=r"the catalogue must hold its nail: 0.131 × 3 in, hot-dip"):
        assess(with_line(house(), "A", sheathing=sheathing))


def test_tie_downs_stand_at_both_ends_with_an_anchor_each():
    schedule = propose_schedule(house()).line("1")
    assert [row.positions_in for row in schedule.rows("tie-downs")] == [(4.5, 67.5), (268.5, 331.5)]
    assert schedule.count("tie-down anchors") == 4
