"""A sill wider than the studs: blocks with their nails, or the sill cut flush. Line 1 of the worked house has one."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engineering.house import assess, check_chain
from engineering.inputs import ExistingAnchor, HouseInputs
from engineering.wide_sill import nails_in_a_row
from tests.engineering.varied import edited, house, line_of, with_line

BLOCK, CUT = "block on the sill", "sill cut flush with the studs"


def _options(given_house: HouseInputs, label: str = "1"):
    return {one.method: one for one in assess(given_house).line(label).options if one.link == "5"}


def _cut(**changes) -> HouseInputs:
    return with_line(house(), "1", **{"methods": {"wide_sill": "flush cut"}, **changes})


def test_a_wide_sill_offers_both_ways():
    options = _options(house())
    assert list(options) == [BLOCK, CUT]
    assert options[BLOCK].feasible
    assert options[CUT].feasible
    assert options[BLOCK].count == 30


def test_a_sill_of_the_studs_width_offers_neither():
    assert _options(house(), "A") == {}


# --- blocks --------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("length_in", "drilled", "nails"),
    [
        (14.5, False, 5),  # by hand, 0.148 in: 14.5/(15·0.148) − 1 = 5.53
        (4.44, False, 1),
        (4.43, False, 0),
        (4.44, True, 2),  # 4.44/1.48 − 1 = 2
        (2.9, True, 0),
    ],
)
def test_nails_in_a_row_by_15_diameters_and_by_10_where_drilled(length_in, drilled, nails):
    """NDS commentary Table C12.1.6.6, from memory."""
    assert nails_in_a_row(length_in, 0.148, drilled=drilled) == nails


def test_two_rows_hold_what_one_does_not():
    given_house = house()
    schedule = edited(assess(given_house).schedule, "1", "block nails", count=30)  # six a bay, one row holds five
    check = check_chain(given_house, schedule).line("1").link("5").check
    assert check.status == "ok"
    assert check.step("block_rows").value == 2


def test_studs_too_close_for_a_block_make_it_infeasible_with_its_least_length():
    close = with_line(house(), "1", framing={"stud_centrelines_in": tuple(4.0 * n for n in range(85))})
    option = _options(close)[BLOCK]
    assert not option.feasible
    assert "panel 1" in option.reason
    assert assess(close).line("1").link("5").check.status == "open"


def test_an_anchor_in_a_bay_leaves_the_block_in_shorter_pieces():
    given_house = house()
    schedule = assess(given_house).schedule
    one_bolt = next(row for row in schedule.line("1").rows("sill anchors") if row.panel == 1)
    crowded = edited(
        schedule, "1", "sill anchors", of_panel=1, positions_in=tuple(8.0 + 16 * n for n in range(4)), count=4
    )
    few = check_chain(given_house, edited(schedule, "1", "sill anchors", count=0)).line("1").link("5")
    many = check_chain(given_house, crowded).line("1").link("5")
    assert one_bolt.count < 4
    assert many.parts[0].ratio >= few.parts[0].ratio
    assert many.parts[0].step("poorest_bay_holds").value <= few.parts[0].step("poorest_bay_holds").value


def test_no_block_nail_is_said():
    option = _options(with_line(house(), "1", methods={"block_nail": ""}))[BLOCK]
    assert (option.feasible, option.reason) == (False, "no block nail was chosen")


def test_bright_block_nails_are_refused_with_the_reason():
    option = _options(with_line(house(), "1", methods={"block_nail": "stitch"}))[BLOCK]
    assert not option.feasible
    assert "treated" in option.reason


@given(length_in=st.floats(0.5, 24), shorter_in=st.floats(0, 10), diameter_in=st.floats(0.1, 0.2))
def test_a_shorter_block_never_holds_more(length_in, shorter_in, diameter_in):
    for drilled in (False, True):
        less = nails_in_a_row(max(0.1, length_in - shorter_in), diameter_in, drilled=drilled)
        assert less <= nails_in_a_row(length_in, diameter_in, drilled=drilled)


# --- cut flush -----------------------------------------------------------------------------------------------------
def test_a_sill_cut_flush_takes_the_panels_nails_itself():
    result = assess(_cut())
    check = result.line("1").link("5").check
    assert check.status == "ok"
    assert check.ratio == result.line("1").link("4").check.ratio
    assert check.step("cut_depth_in").value == pytest.approx(2.0)
    assert check.step("sill_stays_in").value == pytest.approx(3.5)
    assert result.schedule.line("1").rows("block nails") == ()


def test_a_soft_sill_cut_flush_weakens_the_panel_that_a_block_does_not():
    soft = replace(line_of(house(), "1").framing.sill, species="Redwood", specific_gravity=0.37)
    cut = assess(_cut(framing={"sill": soft})).line("1").link("4").check
    block = assess(with_line(house(), "1", framing={"sill": soft})).line("1").link("4").check
    assert cut.step("lowest_G").value == 0.37
    assert block.step("lowest_G").value == 0.5


def test_a_cut_that_reaches_an_old_bolt_is_infeasible_and_the_chosen_one_open():
    near = ExistingAnchor(
        at_ft=10.0, diameter_in=0.5, embedment_in=8.0, edge_in=3.0, end_in=120.0, accepted=True, reason="tight"
    )
    given_house = _cut(existing_anchors=(near,))
    option = _options(given_house)[CUT]
    assert not option.feasible
    assert "the cut leaves 0.5 in at the bolt at 10 ft, 0.75 in needed" in option.reason
    assert assess(given_house).line("1").link("5").check.status == "open"


def test_an_end_post_must_bear_whole_on_what_stays():
    option = _options(_cut(end_post={"depth_in": 5.5}))[CUT]
    assert not option.feasible
    assert "an end post 5.5 in deep does not bear whole on 3.5 in of sill" in option.reason


def test_too_little_sill_for_a_washer_can_not_be_cut():
    option = _options(_cut(framing={"stud_depth_in": 2.5}))[CUT]
    assert not option.feasible
    assert "no place across a 2.5 in sill" in option.reason


def test_a_sill_narrower_than_the_studs_has_no_wood_behind_the_bottom_nails():
    link = assess(with_line(house(), "A", framing={"sill_width_in": 3.5, "stud_depth_in": 5.5})).line("A").link("5")
    assert link.check.status == "open"
    assert "no wood behind the panel's bottom nails" in link.check.notes[0]
