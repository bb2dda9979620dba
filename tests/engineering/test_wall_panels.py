"""Link 4 on a wall line: pinned nailing, two faces, steps and slopes, pieces, joints, other nails, drift."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from engineering.connector_values import ConnectorValues
from engineering.errors import OutOfRange
from engineering.house import assess, check_chain
from engineering.inputs import Nail, Segment, Sheathing, Span
from engineering.load_path import contexts
from engineering.panel_pieces import joints_in
from engineering.panel_shares import line_stiffness, panels
from engineering.seismic_demand import demand_inputs, house_demand
from tests.engineering.varied import edited, house, line_of, with_line

SHEATHING = line_of(house(), "A").sheathing


def link_4(given, label="A"):
    return assess(given).line(label).link("4").check


def nails(given, label="A"):
    return assess(given).schedule.line(label).rows("panel edge nails")


def line_contexts(given):
    return contexts(given, house_demand(demand_inputs(given)), ConnectorValues(given))


def segments(*heights_ft, kind="cripple wall"):
    """Segments of 10 ft each on the 40 ft line; a pair of heights slopes from the one to the other."""
    return tuple(
        Segment(
            kind=kind,
            from_ft=10.0 * n,
            to_ft=10.0 * n + 10.0,
            stud_height_ft=one[0] if isinstance(one, tuple) else one,
            far_stud_height_ft=one[1] if isinstance(one, tuple) else None,
        )
        for n, one in enumerate(heights_ft)
    )


# --- nailing as pinned ---------------------------------------------------------------------------------------------
def test_a_pinned_nailing_is_scheduled_even_where_a_wider_one_would_carry():
    assert {row.spacing_in for row in nails(house())} == {6.0}
    assert {row.spacing_in for row in nails(with_line(house(), "A", edge_spacing_in=3))} == {3.0}


def test_a_pinned_nailing_that_does_not_carry_stays_and_is_over_with_its_shortfall():
    short = with_line(house(), "A", edge_spacing_in=6, panels=(Span(from_ft=0.0, to_ft=8.0),))
    check = link_4(short)
    assert check.status == "over"
    assert check.step("edge_nail_spacing_in").value == 6
    missing_ft = assess(short).line("A").demand_lb / check.capacity - 8
    assert f"{missing_ft:.2f} ft more panel needed at this nailing, or closer nailing" in check.warnings


# --- stiffness -----------------------------------------------------------------------------------------------------
def test_stiffness_of_a_line_from_its_pinned_nailing():
    """k = G_a·b/h: 15/32 sheathing, 8d at 6 in, OSB 13 kip/in; two panels of 8 ft, 3 ft high."""
    pinned = line_of(with_line(house(), "A", edge_spacing_in=6, sheathing={"panel": "OSB"}), "A")
    assert line_stiffness(pinned)[-1].value == pytest.approx(13 * (8 / 3 + 8 / 3))


def test_an_unchosen_panel_counts_as_the_softer_and_wet_framing_as_half():
    pinned = with_line(house(), "A", edge_spacing_in=6)
    assert line_stiffness(line_of(pinned, "A"))[0].value == 10
    wet = with_line(pinned, "A", framing={"moisture": "wet"})
    assert line_stiffness(line_of(wet, "A"))[0].value == 5
    thick = with_line(pinned, "A", sheathing={"panel": "plywood 4-ply or more"})
    assert line_stiffness(line_of(thick, "A"))[0].value == pytest.approx(12)


def test_both_faces_are_twice_as_stiff():
    one = with_line(house(), "A", edge_spacing_in=6)
    both = with_line(one, "A", other_face=SHEATHING)
    assert line_stiffness(line_of(both, "A"))[-1].value == pytest.approx(
        2 * line_stiffness(line_of(one, "A"))[-1].value
    )


def test_no_stiffness_before_the_nailing_is_pinned_and_none_without_panels():
    with pytest.raises(OutOfRange, match="rigid diaphragm") as refused:
        line_stiffness(line_of(house(), "A"))
    assert refused.value.field == "lines.A.edge_spacing_in"
    assert line_stiffness(line_of(with_line(house(), "A", panels=()), "A"))[-1].value == 0


# --- both faces ----------------------------------------------------------------------------------------------------
def test_the_same_panel_on_both_faces_carries_twice_as_much_with_twice_the_nails():
    both = with_line(house(), "A", other_face=SHEATHING)
    assert link_4(both).capacity == pytest.approx(2 * link_4(house()).capacity)
    assert [row.count for row in nails(both)] == [2 * row.count for row in nails(house())]
    assert all("both faces" in row.note for row in nails(both))


def test_unequal_panels_reach_their_strength_one_after_the_other():
    """The stiffer face takes more: v = K_min·(G_a + G_a'), less than the sum of both."""
    thin = Sheathing(
        grade="Sheathing", thickness="5/16", nail="6d", nail_diameter_in=0.113, nail_length_in=2.0, finish="hot-dip"
    )
    other = Nail(key="6d", name="6d common 0.113 × 2 in", kind="common", diameter_in=0.113, length_in=2.0,
                 finish="hot-dip")  # fmt: skip
    given = house()
    given = replace(given, catalogue=replace(given.catalogue, nails=(*given.catalogue.nails, other)))
    check = link_4(with_line(given, "A", other_face=thin))
    alone = 730, 505
    stiff = 10, 9.5
    least = min(v / g for v, g in zip(alone, stiff, strict=True))
    assert check.step("v_n_both_plf").value == pytest.approx(least * sum(stiff))
    assert check.step("v_n_both_plf").value < sum(alone)
    assert [row.connector for row in nails(with_line(given, "A", other_face=thin))] == ["sheathing", "6d"] * 2


def test_a_second_face_without_its_nails_leaves_the_panel_short():
    both = with_line(house(), "A", other_face=SHEATHING)
    result = assess(both)
    half = edited(result.schedule, "A", "panel edge nails", count=nails(house())[0].count)
    assert check_chain(both, half).line("A").link("4").check.status == "open"


def test_both_faces_closer_than_6_in_ask_for_other_joints_or_3x():
    both = with_line(house(), "A", other_face=SHEATHING, edge_spacing_in=4)
    step = link_4(both).step("three_x_at_joints")
    assert step.value is True
    assert "different studs" in step.expression


# --- steps, slopes, openings ---------------------------------------------------------------------------------------
def test_full_height_stretches_lie_between_openings_and_steps():
    line = line_of(with_line(house(), "A", panels=(), segments=segments(2.0, 2.0, 3.0, (3.0, 4.0)),
                             openings=(Span(from_ft=4.0, to_ft=6.0, label="vent"),)), "A")  # fmt: skip
    assert [(one.from_ft, one.to_ft) for one in line.full_height_stretches] == [(0, 4), (6, 20), (20, 40)]


def test_no_panel_stands_on_a_slab_part_or_over_joists_on_the_sill():
    kinds = ("slab part", "cripple wall", "joists on the sill", "basement or garage wall")
    mixed = tuple(replace(one, kind=kind) for one, kind in zip(segments(2.0, 2.0, 2.0, 2.0), kinds, strict=True))
    line = line_of(with_line(house(), "A", panels=(), segments=mixed), "A")
    assert [(one.from_ft, one.to_ft) for one in line.full_height_stretches] == [(10, 20), (30, 40)]


def test_a_panel_across_a_step_is_refused_with_its_place():
    with pytest.raises(OutOfRange, match=r"step at 10 ft \(studs 2 ft, then 3 ft\).*0 to 10, 10 to 40 ft"):
        with_line(house(), "A", segments=segments(2.0, 3.0, 3.0, 3.0), panels=(Span(from_ft=8.0, to_ft=16.0),))


def test_a_sloped_panel_is_as_high_as_its_taller_end():
    high = house(building={"braced_wall_height_ft": 3.9})
    sloped = with_line(
        high, "A", segments=segments((2.0, 3.0), (3.0, 3.5), 3.5, 3.5), panels=(Span(from_ft=5.0, to_ft=15.0),)
    )
    check = link_4(sloped)
    assert check.step("aspect_ratio_max").inputs["h"] == pytest.approx(3.25 + 4.5 / 12)
    assert any("studs from 2.50 to 3.25 ft" in note for note in check.notes)
    turned = assess(sloped).line("A").link("7a").parts[0]
    assert turned.step("overturning_ft_lb").inputs["h"] == pytest.approx(3.25 + 4.5 / 12)


def test_panels_more_than_twice_as_high_as_others_are_warned_of():
    panels = (Span(from_ft=0.0, to_ft=8.0), Span(from_ft=32.0, to_ft=40.0))
    high = house(building={"braced_wall_height_ft": 5.4})
    uneven = with_line(high, "A", segments=segments(2.0, 2.0, 5.0, 5.0), panels=panels)
    assert any("the shorter are stiffer" in warning for warning in link_4(uneven).warnings)
    even = with_line(high, "A", segments=segments(2.0, 2.0, 4.0, 4.0), panels=panels)
    assert not any("the shorter are stiffer" in warning for warning in link_4(even).warnings)


# --- pieces and joints ---------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("opening_in", "longest_in"),
    [
        ((24.0, 18.0), 24.0),  # 36 in high: its width goes along the 24 in side
        ((18.0, 24.0), 24.0),  # the same hole turned
        ((36.0, 10.0), 96.0),  # the height passes, lying down
        ((35.9, 35.9), 35.9),  # nothing for the diagonal
        ("not observed", 96.0),
    ],
)
def test_pieces_pass_the_access_opening(opening_in, longest_in):
    studs = {"stud_centrelines_in": tuple(float(at) for at in range(481))}
    given = replace(with_line(house(), "A", framing=studs), access_opening_in=opening_in)
    context = line_contexts(given)[0]
    joints = joints_in(context, panels(context)[0])
    widest_in = max(b - a for a, b in pairwise((0.0, *joints, 96.0)))
    assert longest_in - 1 < widest_in <= longest_in


def test_no_stud_for_a_joint_is_refused_with_the_place():
    with pytest.raises(OutOfRange, match="needs a stud within 24 in of 0 in"):
        assess(with_line(house(), "A", framing={"stud_centrelines_in": (0.0, 30.0, 480.0)}))


def test_joints_on_thin_studs_are_warned_of():
    thin = with_line(house(), "A", framing={"stud_thickness_in": 1.25})
    assert any("joints need studs 1.5 in thick" in warning for warning in link_4(thin).warnings)


def test_3x_joints_or_two_studs_stitched_for_the_joints_own_shear():
    """The nails of a stitched joint carry v·h of their panel."""
    check = link_4(with_line(house(), "A", edge_spacing_in=2))
    shear_lb = check.demand * 3.0
    assert check.step("joint_shear_lb").value == pytest.approx(shear_lb)
    each_lb = check.step("joint_nail_lb").value
    count = check.step("joint_stitch_nails").value
    assert (count - 1) * each_lb < shear_lb <= count * each_lb
    assert any(f"stitched with {count} 12d common" in note for note in check.notes)


def test_studs_already_3x_need_no_stitching():
    check = link_4(with_line(house(), "A", edge_spacing_in=2, framing={"stud_thickness_in": 2.5}))
    assert any("serve as 3x" in note for note in check.notes)
    with pytest.raises(KeyError):
        check.step("joint_stitch_nails")


def test_a_panel_of_one_piece_has_no_joint_to_widen():
    whole = replace(with_line(house(), "A", edge_spacing_in=2), access_opening_in=(48.0, 48.0))
    assert not any("3x" in note for note in link_4(whole).notes)


def test_panels_that_abut_meet_on_one_stud():
    abutting = replace(
        with_line(
            house(), "A", edge_spacing_in=2, panels=(Span(from_ft=0.0, to_ft=8.0), Span(from_ft=8.0, to_ft=16.0))
        ),
        access_opening_in=(48.0, 48.0),
    )
    assert any("panel 1: 3x studs at 1 joints" in note for note in link_4(abutting).notes)


# --- thin panels and close studs -----------------------------------------------------------------------------------
def test_studs_16_in_apart_give_thinner_panels_the_value_of_15_32():
    thin = with_line(house(), "A", sheathing={"thickness": "7/16"})
    assert link_4(thin).step("v_n_plf").value == 730
    assert "footnote 2" in link_4(thin).step("v_n_plf").source.clause
    wide = tuple(24.0 * n for n in range(21))
    far = with_line(thin, "A", framing={"stud_centrelines_in": wide}, edge_spacing_in=6)
    assert link_4(far).step("v_n_plf").value == 670


def test_thin_panels_on_studs_far_apart_take_closer_field_nails():
    assert "field nails at 12 in" in nails(house())[0].note
    wide = {"stud_centrelines_in": tuple(24.0 * n for n in range(21))}
    thin = with_line(house(), "A", sheathing={"thickness": "3/8"}, framing=wide)
    assert "field nails at 6 in" in nails(thin)[0].note


# --- other nails ---------------------------------------------------------------------------------------------------
def test_a_thinner_nail_logged_on_site_recomputes_the_panel_and_says_what_is_left():
    given = house()
    thin = Nail(key="thin", name="0.113 × 2½ in", kind="box", diameter_in=0.12, length_in=2.5, finish="hot-dip")
    given = replace(given, catalogue=replace(given.catalogue, nails=(*given.catalogue.nails, thin)))
    before = assess(given)
    after = check_chain(given, edited(before.schedule, "A", "panel edge nails", connector="thin")).line("A")
    check = after.link("4").check
    factor = check.step("nail_factor").value
    assert 0.7 < factor < 1
    assert check.capacity == pytest.approx(factor * before.line("A").link("4").check.capacity)
    assert any(f"{check.capacity:.1f} of 260.7 plf left" in warning for warning in check.warnings)


# --- drift ---------------------------------------------------------------------------------------------------------
def test_drift_is_recorded_where_its_facts_are_there_and_else_said_to_be_missing():
    assert any("modulus of elasticity" in note for note in link_4(house()).notes)
    post = with_line(house(), "A", end_post={"modulus_psi": 1.6e6})
    assert any("tie-down's give" in note for note in link_4(post).notes)
    bare = with_line(post, "A", methods={"tie_down": ""})
    check = link_4(bare)
    v, h, b = check.demand / 0.7, 3.0, 8.0
    area = line_of(bare, "A").end_post.width_in * line_of(bare, "A").end_post.depth_in
    elastic = 8 * v * h**3 / (1.6e6 * area * b) + v * h / 10000
    assert check.step("drift_in").value == pytest.approx(4 * elastic)
    assert check.step("drift_limit_in").value == pytest.approx(0.025 * 36)
    assert any("within the limit" in note for note in check.notes)


def test_a_tie_downs_give_adds_to_the_drift():
    given = with_line(house(), "A", end_post={"modulus_psi": 1.6e6})
    loose = tuple(
        replace(one, give_in=0.1) if one.kind == "tie-down" else one for one in given.catalogue.evaluated
    )  # fmt: skip
    given = replace(given, catalogue=replace(given.catalogue, evaluated=loose))
    assert link_4(given).step("give_in").value == pytest.approx(3 / 8 * 0.1 / 0.7)


def test_bright_nails_do_not_hold_a_panel_to_a_treated_sill():
    bright = with_line(house(), "A", sheathing={"finish": "bright"})
    nails = bright.catalogue.nails
    shiny = replace(next(nail for nail in nails if nail.key == "sheathing"), key="shiny", finish="bright")
    given_house = replace(bright, catalogue=replace(bright.catalogue, nails=(*nails, shiny)))
    line = assess(given_house).line("A")
    assert line.link("4").check.status == "open"
    assert "hot-dip or stainless" in line.link("4").check.notes[0]


def test_a_softer_end_post_is_what_the_edge_nails_enter():
    soft = replace(line_of(house(), "A").framing.studs, species="Western Cedars", specific_gravity=0.36)
    check = assess(with_line(house(), "A", end_post={"member": soft})).line("A").link("4").check
    assert check.step("lowest_G").value == 0.36
    assert check.capacity < assess(house()).line("A").link("4").check.capacity
