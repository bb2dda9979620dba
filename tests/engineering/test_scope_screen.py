"""The scope screen: what was asked and seen of the house, what follows, and where there is no result without a mode."""

from __future__ import annotations

from dataclasses import fields, replace

import pytest

from engineering.errors import OutOfRange
from engineering.house import assess
from engineering.inputs import NOT_OBSERVED, ScopeAnswer, ScopeScreen
from engineering.scope_screen import screen
from tests.engineering.varied import house, line_of, with_line

NO = ScopeAnswer(answer="no", reason="walked round")
NAMES = [field.name for field in fields(ScopeScreen)]
ALL_NO = ScopeScreen(**dict.fromkeys(NAMES, NO))
MODE = "downhill walls as anchors to the uphill foundation, letter of the engineer"


def screened(scope=ALL_NO, **changes):
    return screen(house(scope=scope, **changes))


def yes(name, reason="seen", value=None):
    return replace(ALL_NO, **{name: ScopeAnswer(answer="yes", reason=reason, value=value)})


def on_ground(slope, given=None):
    """The worked house with one segment of line A on ground of this slope."""
    given = given or house(scope=ALL_NO)
    first, *others = line_of(given, "A").segments
    return with_line(given, "A", segments=(replace(first, ground_slope=slope), *others))


def test_a_house_in_scope_is_recorded_with_its_reasons():
    check = screened()
    assert (check.status, check.warnings) == ("recorded", ())
    assert [check.step(name).value for name in NAMES] == ["no"] * len(NAMES)
    assert check.step("hillside").expression == "walked round"


@pytest.mark.parametrize("name", NAMES)
def test_a_question_nobody_answered_is_said(name):
    check = screened(replace(ALL_NO, **{name: ScopeAnswer(answer=NOT_OBSERVED)}))
    assert check.status == "not observed"
    assert check.step(name).value == "not observed"
    assert check.notes[-1].startswith("not observed: ")


@pytest.mark.parametrize("name", ["hillside", "open_front"])
def test_hillside_and_open_front_give_no_result_without_a_mode(name):
    with pytest.raises(OutOfRange, match=rf"scope\.{name} = 'yes': needs the engineer's named mode \(criteria\.mode\)"):
        assess(house(scope=yes(name)))


@pytest.mark.parametrize("name", ["hillside", "open_front"])
def test_in_the_engineers_mode_they_are_computed_and_say_so(name):
    result = assess(house(scope=yes(name), criteria={"mode": MODE}))
    assert f"computed in the engineer's mode: {MODE}" in result.scope.warnings
    assert f"computed in the engineer's mode: {MODE}" in result.warnings


def test_a_blank_mode_is_none():
    with pytest.raises(OutOfRange, match=r"scope\.hillside"):
        screened(yes("hillside"), criteria={"mode": "  "})


def test_a_steep_slope_is_a_hillside_whatever_the_answer():
    steep = replace(ALL_NO, hillside=ScopeAnswer(answer="no", value=0.4))
    with pytest.raises(OutOfRange, match=r"scope\.hillside = 0\.4"):
        screened(steep)
    with pytest.raises(OutOfRange, match=r"scope\.hillside = 'slope 0\.34 at line A, segment 1'"):
        screen(on_ground(0.34))


def test_three_to_one_is_not_steeper_than_three_to_one():
    check = screen(on_ground(1 / 3))
    assert check.warnings == ()
    assert check.step("ground_slope").value == 1 / 3


def test_the_steepest_ground_is_printed_with_its_place():
    given = on_ground(0.5, house(scope=ALL_NO, criteria={"mode": MODE}))
    check = screen(given)
    assert check.step("ground_slope").inputs == {"where": "line A, segment 1"}
    assert "line A, segment 1: slope 0.5, closes the prescriptive route: ground steeper than 3:1" in check.warnings


@pytest.mark.parametrize(
    ("name", "consequence"),
    [
        ("masonry_or_partial_foundation", "sill anchors are infeasible"),
        ("split_level", "closes the prescriptive route"),
        ("cantilever", "mass of a floor beyond its wall lines"),
        ("tall_veneer", "its weight must be in the wall's unit weight"),
        ("balloon_framing", "no top plate for links 1 and 2"),
    ],
)
def test_the_others_warn_of_what_follows(name, consequence):
    (warning,) = screened(yes(name, reason="seen from the street")).warnings
    assert "(seen from the street)" in warning
    assert consequence in warning


@pytest.mark.parametrize(("material", "named"), [("masonry", "masonry"), ("partial", "a partial"), ("posts", "posts")])
def test_a_foundation_found_on_a_line_speaks_against_the_answer(material, named):
    given = with_line(house(scope=ALL_NO), "B", foundation={"material": material})
    (warning,) = screen(given).warnings
    assert warning.startswith(f"line B stands on {named}")
    told = with_line(house(scope=yes("masonry_or_partial_foundation")), "B", foundation={"material": material})
    assert len(screen(told).warnings) == 1


def test_one_segment_over_four_feet_closes_the_prescriptive_route():
    given = house(scope=ALL_NO)
    tall = tuple(replace(segment, stud_height_ft=4.0) for segment in line_of(given, "2").segments)
    (warning,) = screen(with_line(given, "2", segments=tall)).warnings
    # Studs of 4 ft on a 1½ in sill under two 1½ in plates.
    assert warning == "line 2, segment 1: 4.375 ft, closes the prescriptive route: cripple wall over 4 ft"


def test_a_sloped_segment_is_as_tall_as_its_taller_end():
    given = house(scope=ALL_NO)
    sloped = tuple(replace(segment, far_stud_height_ft=5.0) for segment in line_of(given, "2").segments)
    assert screen(with_line(given, "2", segments=sloped)).step("cripple_wall_ft").value == 5.375


def test_the_house_carries_its_screen():
    given = house(scope=ALL_NO)
    assert assess(given).scope == screen(given)
