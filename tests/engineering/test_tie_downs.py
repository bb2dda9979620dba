"""Overturning, tie-downs and their anchors."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engineering.errors import OutOfRange
from engineering.house import assess, check_chain
from engineering.inputs import Span
from engineering.tie_downs import SEISMIC_TENSION, overturning
from tests.engineering.varied import edited, house, with_line

GIVEN = {
    "shear_lb": 350.0 * 6,
    "height_ft": 8.0,
    "length_ft": 6.0,
    "arm_ft": 5.5,
    "dead_load_plf": 120.0,
    "dead_load_factor": 0.6,
    "compression_factor": 1.0,
}


def test_tension_falls_with_dead_load_and_rises_with_shear():
    base = overturning(**GIVEN).tension_lb
    assert overturning(**{**GIVEN, "dead_load_plf": 240.0}).tension_lb < base
    assert overturning(**{**GIVEN, "shear_lb": 2200.0}).tension_lb > base


def test_without_dead_load_tension_and_compression_are_equal():
    turned = overturning(**{**GIVEN, "dead_load_plf": 0.0})
    assert turned.tension_lb == pytest.approx(turned.compression_lb) == pytest.approx(2100 * 8 / 5.5)


@pytest.mark.parametrize(
    ("field", "value"),
    [("shear_lb", 0.0), ("height_ft", -1.0), ("arm_ft", 6.5), ("arm_ft", 0.0), ("dead_load_plf", -1.0),
     ("dead_load_factor", -0.1)],
)  # fmt: skip
def test_what_can_not_be_is_refused(field, value):
    with pytest.raises(OutOfRange) as refused:
        overturning(**{**GIVEN, field: value})
    assert refused.value.field == field


def test_no_dead_load_shown_means_none_resists():
    bare = with_line(house(), "A", dead_loads=())
    result = assess(bare)
    assert "line A: no dead load on this wall was shown: none resists overturning" in result.assumptions
    assert result.schedule.line("A").count("tie-downs") == 4
    assert result.line("A").link("7b").check.status == "ok"


def test_a_panel_with_one_tie_down_is_open():
    given_house = house()
    one = edited(assess(given_house).schedule, "1", "tie-downs", count=1)
    check = check_chain(given_house, one).line("1").link("7a").check
    assert check.status == "open"
    assert check.notes[0].startswith("panel 1: 1 more tie-down needed, one at each end")


def test_no_tie_down_chosen_leaves_the_link_open():
    line = assess(with_line(house(), "1", methods={"tie_down": "", "tie_down_anchor": ""})).line("1")
    assert [link.link for link in line.links if link.check.status == "open"] == ["7a", "7b"]
    assert line.status == "open"


def test_tie_down_anchors_are_not_counted_in_masonry():
    line = assess(with_line(house(), "1", foundation={"material": "masonry"})).line("1")
    assert line.link("7b").check.status == "open"
    assert line.link("7b").check.notes[0].startswith("masonry foundation")


def test_no_net_tension_keeps_the_anchor_out_of_the_chain():
    line = assess(house()).line("A")
    assert line.link("7b").check.status == "not in the chain"
    assert line.link("8").check.step("uplift_lb").value == 0.0


def test_the_moment_of_the_stories_above_is_said_to_be_left_out():
    check = assess(house()).line("1").link("7a").check
    above_ft_lb = check.step("omitted_moment_ft_lb").value
    assert f"the moment of the stories above, {above_ft_lb:,.0f} ft·lb on the whole line, is left out" in check.notes


def test_two_tie_downs_at_one_end_leave_the_other_open():
    given_house = house()
    moved = edited(assess(given_house).schedule, "1", "tie-downs", of_panel=1, positions_in=(4.5, 9.0))
    check = check_chain(given_house, moved).line("1").link("7a").check
    assert check.notes[0].startswith("panel 1: 1 more tie-down needed")


def test_more_tension_than_the_anchor_allows_is_over_and_told():
    check = assess(with_line(house(), "2", dead_loads=())).line("2").link("7b").check
    assert check.status == "over"
    assert "lb of tension, 900 lb allowed" in check.warnings[0]


def test_the_anchors_value_is_said_to_hold_what_concrete_asks_in_seismic_tension():
    assert SEISMIC_TENSION in assess(house()).line("1").link("7b").check.notes


def test_a_panel_held_down_by_its_dead_load_says_so_with_the_number():
    link = assess(house()).line("A").link("7a")
    uplift_lb = link.parts[0].step("net_tension_lb").value
    assert uplift_lb < 0
    assert f"panel 1: tie-down not required, uplift = {uplift_lb:,.0f} lb" in link.check.notes
    assert "not required" not in " ".join(assess(house()).line("1").link("7a").check.notes)


def test_two_panels_at_one_post_are_not_set_against_each_other():
    apart = assess(house()).line("A").link("7a").check
    joined = with_line(house(), "A", panels=(Span(from_ft=0.0, to_ft=8.0), Span(from_ft=8.0, to_ft=16.0)))
    notes = assess(joined).line("A").link("7a").check.notes
    assert not any("share a post" in note for note in apart.notes)
    assert "panels 1 and 2 share a post: their opposite forces are not set against each other" in notes


def test_the_arm_is_printed_with_its_distances():
    arm = assess(house()).line("A").link("7a").parts[0].step("arm_ft")
    assert arm.value == arm.inputs["b"] - (arm.inputs["a_rod"] + arm.inputs["a_C"]) / 12 == 7.5


def test_a_wet_sill_bears_less_than_a_dry_one():
    dry, wet = (
        assess(with_line(house(), "A", framing={"moisture": moisture})).line("A").link("7a").parts[0].step("bearing_lb")
        for moisture in ("dry", "wet")
    )
    assert wet.value == pytest.approx(0.67 * dry.value)
    assert wet.inputs["C_M"] == 0.67


def test_end_posts_of_their_own_wood_are_asked_for_in_the_tie_downs_report():
    fir = replace(house().lines[0].framing.studs, species="Hem-Fir", specific_gravity=0.43)
    post = replace(house().lines[0].end_post, member=fir)
    listed = replace(
        house().catalogue,
        evaluated=tuple(
            replace(one, species=("Douglas Fir-Larch",)) if one.kind == "tie-down" else one
            for one in house().catalogue.evaluated
        ),
    )
    given_house = with_line(house(catalogue=listed), "1", end_post=post)
    check = assess(given_house).line("1").link("7a").check
    assert check.status == "open"
    assert "Douglas Fir-Larch" in check.notes[0]
    assert assess(house(catalogue=listed)).line("1").link("7a").check.status == "ok"


@settings(max_examples=60, deadline=None)
@given(
    shear_lb=st.floats(100.0, 20_000.0), height_ft=st.floats(1.0, 12.0), length_ft=st.floats(2.0, 40.0),
    rod_ft=st.floats(0.0, 0.5), post_ft=st.floats(0.0, 0.5), dead_plf=st.floats(0.0, 1000.0),
    light=st.floats(0.0, 0.6), heavy=st.floats(1.0, 1.3),
)  # fmt: skip
def test_forces_balance_the_panel_as_a_rigid_body(
    shear_lb, height_ft, length_ft, rod_ft, post_ft, dead_plf, light, heavy
):
    arm_ft = length_ft - rod_ft - post_ft
    turned = overturning(
        shear_lb=shear_lb, height_ft=height_ft, length_ft=length_ft, arm_ft=arm_ft, dead_load_plf=dead_plf,
        dead_load_factor=light, compression_factor=heavy,
    )  # fmt: skip
    moment = shear_lb * height_ft
    # About the post: rod up at the arm, dead load down at mid-length. The convention turns the dead load about the end.
    about_post = (moment - light * dead_plf * length_ft * (length_ft / 2 - post_ft)) / arm_ft
    assert turned.tension_lb == pytest.approx(about_post - light * dead_plf * length_ft * post_ft / arm_ft, abs=1e-6)
    # About the rod, with what the rod then pulls: the post carries the load and the rod's pull together.
    about_rod = (moment + heavy * dead_plf * length_ft * (length_ft / 2 - rod_ft)) / arm_ft
    pull = (moment - heavy * dead_plf * length_ft * (length_ft / 2 - post_ft)) / arm_ft
    assert about_rod == pytest.approx(pull + heavy * dead_plf * length_ft, rel=1e-9, abs=1e-6)
    off_lb = heavy * dead_plf * length_ft * (rod_ft - post_ft) / (2 * arm_ft)  # half the load at each end
    assert turned.compression_lb == pytest.approx(about_rod + off_lb, rel=1e-9, abs=1e-6)
    if rod_ft == post_ft == 0:
        assert turned.tension_lb == pytest.approx(about_post)
        assert turned.compression_lb == pytest.approx(about_rod)


@settings(max_examples=40, deadline=None)
@given(more=st.floats(1.0, 3.0))
def test_tension_rises_with_height_and_falls_with_dead_load(more):
    base = overturning(**GIVEN)
    assert overturning(**{**GIVEN, "height_ft": 8.0 * more}).tension_lb >= base.tension_lb
    heavier = overturning(**{**GIVEN, "dead_load_plf": 120.0 * more})
    assert heavier.tension_lb <= base.tension_lb
    assert heavier.compression_lb >= base.compression_lb


@pytest.mark.parametrize("label", ["A", "B", "1", "2"])
def test_tie_downs_stand_in_pairs_where_there_is_net_tension(label):
    result = assess(house())
    pulled = sum(part.step("net_tension_lb").value > 0 for part in result.line(label).link("7a").parts)
    needed = result.line(label).link("7a").check.step("tie_down_count_needed").value
    assert needed == 2 * pulled == result.schedule.line(label).count("tie-downs")


def test_an_adhesive_tie_down_anchor_asks_for_inspection_and_sound_concrete():
    adhesive = replace(
        house().catalogue,
        evaluated=tuple(
            replace(one, adhesive=True, minimum_concrete_psi=None) if one.kind == "tie-down anchor" else one
            for one in house().catalogue.evaluated
        ),
    )
    strong = with_line(house(catalogue=adhesive), "1", foundation={"concrete_psi": 2500.0})
    check = assess(strong).line("1").link("7b").check
    assert check.step("special_inspection").value == "periodic"
    assert any("periodic special inspection" in note for note in check.notes)
    weak = with_line(house(catalogue=adhesive), "1", foundation={"concrete_psi": 2400.0})
    assert "an adhesive anchor needs 2500 psi" in assess(weak).line("1").link("7b").check.notes[0]


def test_an_end_post_bears_no_further_than_the_sill_on_its_concrete():
    def bearing_lb(**changes):
        return assess(with_line(house(), "A", **changes)).line("A").link("7a").parts[0].step("bearing_lb").value

    whole = bearing_lb()
    assert bearing_lb(end_post={"depth_in": 11.25}) == pytest.approx(whole)  # beyond the 3-1/2 in sill is air
    over = bearing_lb(framing={"sill_edge_in": -1.5})
    assert over == pytest.approx(whole * 2.0 / 3.5)
