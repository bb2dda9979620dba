"""Anchors by panel and sill piece, old and new, in wood and in concrete."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engineering.anchor_credit import light_frame_shown
from engineering.house import assess, check_chain
from engineering.inputs import ExistingAnchor, Span
from tests.engineering.varied import edited, house, line_of, with_line

BOLT_LB = 1036.823559879348  # 1/2 in, worked house A
GOOD = ExistingAnchor(
    at_ft=4.0, diameter_in=0.5, embedment_in=8.0, edge_in=1.75, end_in=48.0, accepted=True, reason="tight"
)


def _footing(given, number: int, link: str, label: str = "A"):
    return assess(given).line(label).link(link).parts[number - 1]


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({}, "all shown"),
        ({"diameter_in": 0.75}, "larger than 5/8 in"),
        ({"embedment_in": 6.9}, "embedment under 7 in"),
        ({"embedment_in": "not observed"}, "embedment not observed"),
        ({"edge_in": 1.7}, "edge distance under 1-3/4 in"),
        ({"edge_in": "not observed"}, "edge distance not observed"),
        ({"end_in": 7.4}, "end distance under 15 diameters"),
        ({"end_in": "not observed"}, "end distance not observed"),
    ],
)
def test_every_light_frame_condition_must_be_shown(changes, reason):
    shown, why = light_frame_shown(line_of(house(), "A"), replace(GOOD, **changes))
    assert shown == (reason == "all shown")
    assert why == reason


def test_a_bolt_that_was_not_accepted_counts_as_nothing():
    doubtful = with_line(house(), "A", existing_anchors=(replace(GOOD, accepted=False, reason="loose"),))
    part = _footing(doubtful, 1, "6a")
    assert part.step("accepted_inside").value == 0
    assert part.notes == ("bolt at 4 ft not accepted: loose",)
    assert part.step("new").value == 2


def test_a_bolt_outside_the_panels_does_not_count():
    outside = with_line(house(), "A", existing_anchors=(replace(GOOD, at_ft=10.0),))
    assert _footing(outside, 1, "6a").step("accepted_inside").value == 0


def test_a_bolt_nearer_than_half_its_end_distance_does_not_count():
    near = with_line(house(), "A", existing_anchors=(replace(GOOD, at_ft=0.14),))
    part = _footing(near, 1, "6a")
    assert part.step("credit_lb").value == 0.0
    assert "nearer than 3.5 diameters" in part.notes[0]


def test_a_bolt_near_its_sill_end_counts_by_its_end_distance_in_wood_and_whole_in_the_concrete():
    """1/2 in at 3 in from the end: 3/(7·0.5) of its value along the grain (NDS Table 12.5.1A, from memory)."""
    near = with_line(house(), "A", existing_anchors=(replace(GOOD, at_ft=0.25, end_in=48.0),))
    wood, concrete = _footing(near, 1, "6a"), _footing(near, 1, "6b")
    assert wood.step("credit_lb").value == pytest.approx(BOLT_LB * 3 / 3.5)
    assert concrete.step("credit_lb").value == pytest.approx(BOLT_LB)
    assert wood.notes == ("bolt at 0.25 ft is 6.0 of 7 diameters from the end of its sill piece",)


def test_a_bolt_near_its_sill_end_is_none_of_the_two_that_a_panel_takes():
    near = with_line(house(criteria={"force_factor": 0.2}), "A", existing_anchors=(replace(GOOD, at_ft=0.25),))
    rows = [row for row in assess(near).schedule.line("A").rows("sill anchors") if row.panel == 1]
    assert sum(row.count for row in rows) == 2


def test_an_accepted_bolt_of_unseen_embedment_counts_on_the_wood_side_alone():
    unseen = with_line(house(), "A", existing_anchors=(replace(GOOD, embedment_in="not observed"),))
    assert _footing(unseen, 1, "6a").step("credit_lb").value == pytest.approx(BOLT_LB)
    assert _footing(unseen, 1, "6b").step("credit_lb").value == 0.0
    assert any("embedment of an accepted bolt" in line for line in assess(unseen).assumptions)


def test_a_panel_across_a_sill_joint_is_shared_by_length():
    split = with_line(
        house(),
        "A",
        sill_pieces=(Span(from_ft=0.0, to_ft=6.0), Span(from_ft=6.0, to_ft=26.0), Span(from_ft=26.0, to_ft=40.0)),
        existing_anchors=(),
    )
    line = assess(split).line("A")
    parts = line.link("6a").parts
    assert [part.name for part in parts] == [
        "panel 1, sill piece 1",
        "panel 1, sill piece 2",
        "panel 2, sill piece 3",
    ]
    assert parts[0].demand == pytest.approx(3 * parts[1].demand)
    assert parts[0].demand + parts[1].demand == pytest.approx(parts[2].demand)
    for piece in (1, 2, 3):
        rows = [row for row in assess(split).schedule.line("A").rows("sill anchors") if row.piece == piece]
        assert sum(row.count for row in rows) >= 2
    assert line.status == "ok"


def test_a_short_sill_piece_takes_one_anchor():
    rows = assess(house()).schedule.line("2").rows("sill anchors")
    assert [(row.piece, row.panel, row.count) for row in rows][-1] == (3, None, 1)


@pytest.mark.parametrize(
    ("foundation", "reason"),
    [
        ({"material": "masonry"}, "masonry foundation"),
        ({"material": "partial"}, "partial foundation"),
        ({"material": "posts"}, "posts foundation"),
        ({"section_loss_percent": 20.0}, "20 % section loss"),
        ({"section_loss_percent": "not observed"}, "section loss of the foundation was not observed"),
    ],
)
def test_a_foundation_that_is_not_fit_takes_no_anchor(foundation, reason):
    result = assess(with_line(house(), "A", foundation=foundation))
    line = result.line("A")
    assert line.link("6b").check.status == "open"
    assert reason in line.link("6b").check.notes[0]
    assert line.weakest_ratio is None
    option = next(one for one in line.options if one.link == "6b")
    assert not option.feasible
    assert reason in option.reason
    assert result.schedule.line("A").rows("sill anchors") == ()


def test_nineteen_percent_section_loss_is_still_computed():
    line = assess(with_line(house(), "A", foundation={"section_loss_percent": 19.9})).line("A")
    assert line.link("6b").check.status == "ok"


@pytest.mark.parametrize("strength", ["not observed", 2400.0])
def test_an_evaluated_anchor_needs_its_concrete_shown(strength):
    line = assess(with_line(house(), "B", foundation={"concrete_psi": strength})).line("B")
    assert line.link("6b").check.status == "open"
    assert not next(one for one in line.options if one.link == "6b").feasible


def test_an_anchor_less_says_one_more():
    given_house = house()
    schedule = edited(assess(given_house).schedule, "2", "sill anchors", count=1)
    line = check_chain(given_house, schedule).line("2")
    assert line.status == "over"
    assert "1 more sill anchors needed in panel 1, sill piece 1" in line.link("6b").check.warnings
    assert line.link("6b").parts[0].ratio == pytest.approx(1902.9446 / 980, rel=1e-6)


def test_no_anchor_at_all_is_open_not_over():
    given_house = house()
    schedule = edited(assess(given_house).schedule, "2", "sill anchors", count=0)
    line = check_chain(given_house, schedule).line("2")
    assert line.link("6a").check.status == "open"
    assert line.weakest_ratio is None


def test_an_anchor_moved_out_of_its_panel_counts_as_nothing():
    given_house = house()
    schedule = edited(
        assess(given_house).schedule, "2", "sill anchors", of_panel=1, positions_in=(30.0, 100.0), count=2
    )
    part = check_chain(given_house, schedule).line("2").link("6a").parts[0]
    assert part.step("new").value == 1
    assert "anchor at 100 in stands outside panel 1, sill piece 1" in part.warnings


def test_an_anchor_moved_to_the_sill_end_counts_as_nothing():
    given_house = house()
    schedule = edited(assess(given_house).schedule, "2", "sill anchors", of_panel=1, positions_in=(1.5, 40.0), count=2)
    part = check_chain(given_house, schedule).line("2").link("6a").parts[0]
    assert part.step("new").value == 1
    assert any("3.5 diameters" in warning for warning in part.warnings)


def test_an_anchor_moved_near_the_sill_end_counts_by_its_end_distance_and_its_panel_is_one_short():
    given_house = house()
    schedule = edited(assess(given_house).schedule, "2", "sill anchors", of_panel=1, positions_in=(3.0, 40.0), count=2)
    line = check_chain(given_house, schedule).line("2")
    part = line.link("6a").parts[0]
    assert part.step("end_factors").value == pytest.approx(1 + 3 / 3.5)
    assert part.capacity == pytest.approx((1 + 3 / 3.5) * BOLT_LB)
    assert line.link("6b").parts[0].capacity == pytest.approx(2 * 980)
    assert line.link("6a").check.status == "over"
    assert "1 more sill anchors needed in panel 1" in line.link("6a").check.warnings


def test_a_sill_piece_short_of_its_minimum_is_warned_of():
    given_house = house()
    schedule = assess(given_house).schedule
    line = schedule.line("A")
    kept = replace(line, items=tuple(i for i in line.items if i.role != "sill anchors" or i.panel is not None))
    schedule = replace(schedule, lines=tuple(kept if one.label == "A" else one for one in schedule.lines))
    warnings = check_chain(given_house, schedule).line("A").warnings
    assert "sill to anchor, wood side: 1 more sill anchors needed in sill piece 2" in warnings


def test_a_bolt_between_two_panels_that_meet_counts_once():
    meeting = with_line(
        house(),
        "A",
        panels=(Span(from_ft=0.0, to_ft=6.0), Span(from_ft=6.0, to_ft=12.0)),
        existing_anchors=(replace(GOOD, at_ft=6.0),),
    )
    counted = [part.step("accepted_inside").value for part in assess(meeting).line("A").link("6a").parts]
    assert counted == [1, 0]


def test_a_panel_left_with_old_bolts_alone_says_how_many_new_ones():
    given_house = house()
    part = check_chain(given_house, edited(assess(given_house).schedule, "1", "sill anchors", count=0))
    first = part.line("1").link("6a").parts[0]
    assert first.status == "over"
    assert first.warnings == ("1 more sill anchors needed in panel 1, sill piece 1",)
