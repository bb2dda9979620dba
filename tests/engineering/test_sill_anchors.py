"""Anchors by panel and sill piece, old and new, in wood and in concrete."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engineering.anchor_credit import light_frame_shown
from engineering.house import assess, check_chain, propose_schedule
from engineering.inputs import ExistingAnchor, Span
from tests.engineering.varied import SIDE, edited, house, line_of, with_connector, with_line, with_side_connections

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


# --- sill pieces ---------------------------------------------------------------------------------------------------
def test_each_sill_piece_prints_its_anchors_and_what_stands_near_its_ends():
    check = assess(house()).line("2").link("6a").check
    # Pieces 0–14, 14–26 and 26–28 ft: two anchors a piece, one in the short one.
    assert [check.step(f"piece_{number}_anchors").inputs["least"] for number in (1, 2, 3)] == [2, 2, 1]
    assert check.step("piece_1_zero_end_in").value <= 12.0
    assert "sill piece 1: no anchor within 12 in of its far end" in check.notes


def test_a_sill_piece_without_a_panel_takes_its_anchors_too():
    rows = assess(house()).schedule.line("A").rows("sill anchors")
    assert [(row.panel, row.piece) for row in rows if row.panel is None] == [(None, 2)]


@pytest.mark.parametrize(("moved_ft", "nearer"), [(0.29, False), (0.26, True), (0.2, True)])
def test_moving_a_bolt_to_the_end_of_its_sill_never_raises_its_value(moved_ft, nearer):
    """Full value from 7 diameters: 3-1/2 in or 0.292 ft for a 1/2 in bolt."""
    values = [
        _footing(with_line(house(), "A", existing_anchors=(replace(GOOD, at_ft=at_ft),)), 1, "6a")
        .step("credit_lb")
        .value
        for at_ft in (moved_ft + 0.01, moved_ft)
    ]
    assert values[1] <= values[0] + 1e-9
    assert (values[1] < BOLT_LB - 1e-6) is (nearer or moved_ft < 3.5 / 12)


@pytest.mark.parametrize("change", [{"sill_thickness_in": 1.25}, {"specific_gravity": 0.36}, {"sill_gap_in": 0.5}])
def test_a_thinner_softer_or_gapped_sill_never_carries_more(change):
    if "specific_gravity" in change:
        change = {"sill": replace(line_of(house(), "A").framing.sill, **change)}
    before = assess(house()).line("A").link("6a")
    after = assess(with_line(house(), "A", framing=change)).line("A").link("6a")
    for one, other in zip(before.parts, after.parts, strict=True):
        assert other.step("each_lb").value < one.step("each_lb").value


@pytest.mark.parametrize("label", ["A", "B", "1", "2"])
def test_anchors_are_never_fewer_than_the_share_and_the_minimum_take(label):
    result = assess(house())
    line, schedule = result.line(label), result.schedule.line(label)
    for link in ("6a", "6b"):
        for part in line.link(link).parts:
            assert part.step("new").value >= part.step("new_by_share").value
            assert part.ratio <= 1 + 1e-9
    for number in range(1, len(line_of(house(), label).panels) + 1):
        new = sum(row.count for row in schedule.rows("sill anchors") if row.panel == number)
        old = sum(
            p.step("accepted_inside").value for p in line.link("6a").parts if p.name.startswith(f"panel {number}")
        )
        assert new + old >= 2


# --- why there is no anchor ----------------------------------------------------------------------------------------
def test_concrete_of_unseen_strength_is_the_reason_that_is_given():
    line = assess(with_line(house(), "B", foundation={"concrete_psi": "not observed"})).line("B")
    assert "concrete psi: must be observed" in line.link("6b").check.notes[0]
    assert "no anchor: " in line.link("6b").check.notes[0]


def test_a_panel_too_short_for_its_anchors_names_the_rule_and_leaves_the_others_theirs():
    studs = tuple(3.0 * n for n in range(28)) + tuple(96.0 + 16 * n for n in range(25))
    crowded = with_line(house(), "B", framing={"stud_centrelines_in": studs})
    result = assess(crowded)
    line = result.line("B")
    option = next(one for one in line.options if one.method == "sill anchors")
    assert not option.feasible
    assert option.reason.startswith("panel 1, sill piece 1: no clear place from 0 to 84 in: 1.75 in clear of a stud")
    assert "panel 1, sill piece 1: no anchor: no clear place" in line.link("6a").check.notes[0]
    assert {row.panel for row in result.schedule.line("B").rows("sill anchors")} >= {2, 3}


# --- adhesive anchors ----------------------------------------------------------------------------------------------
def _bonded(given, **changes):
    anchor = next(one for one in given.catalogue.evaluated if one.key == "anchor 0.5")
    return with_connector(given, replace(anchor, adhesive=True, **changes))


def test_adhesive_anchors_are_specially_inspected():
    check = assess(_bonded(house())).line("B").link("6b").check
    assert check.step("special_inspection").value == "periodic"
    assert check.step("special_inspection").source.clause == "Table 1705.3"
    assert any("temperature of the concrete and cure time" in note for note in check.notes)
    plain = assess(house()).line("B").link("6b").check
    assert "special_inspection" not in {step.key for step in plain.steps}


@pytest.mark.parametrize(
    ("strength", "reason"), [("not observed", "was not observed"), (2400.0, "an adhesive anchor needs 2500 psi")]
)
def test_adhesive_anchors_need_2500_psi_whatever_their_report_says(strength, reason):
    given = with_line(_bonded(house(), minimum_concrete_psi=None), "B", foundation={"concrete_psi": strength})
    line = assess(given).line("B")
    assert line.link("6b").check.status == "open"
    assert reason in next(one for one in line.options if one.method == "sill anchors").reason


def test_adhesive_side_connections_are_inspected_continuously():
    given = with_line(with_side_connections(house(), "B"), "B", methods={"sill_anchor": ""})
    given = with_connector(given, replace(SIDE, adhesive=True))
    assert assess(given).line("B").link("6b").check.step("special_inspection").value == "continuous"


def test_a_new_anchor_beside_an_old_bolt_that_counts_does_not_count_with_it():
    schedule = propose_schedule(house())
    beside = edited(schedule, "A", "sill anchors", of_panel=2, positions_in=(433.0, 471.0))  # the bolt stands at 36 ft
    link = check_chain(house(), beside).line("A").link("6b").check
    assert link.status == "over"
    assert any("nearer than 4 diameters to an old bolt" in warning for warning in link.warnings)
