"""The ledger of old bolts: each bolt's place, why it counts or not, and the ratios with and without it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engineering.errors import OutOfRange
from engineering.house import assess, check_chain
from engineering.inputs import ExistingAnchor
from engineering.results import AnchorLedger
from tests.engineering.varied import edited, house, line_of, with_line

BOLT_LB = 1036.823559879348  # 1/2 in, worked house A
GOOD = ExistingAnchor(
    at_ft=4.0, diameter_in=0.5, embedment_in=8.0, edge_in=1.75, end_in=48.0, accepted=True, reason="tight"
)


def _ledger(*bolts: ExistingAnchor, label: str = "A", **changes) -> AnchorLedger:
    ledger = assess(with_line(house(), label, existing_anchors=bolts, **changes)).line(label).ledger
    assert ledger is not None
    return ledger


def test_a_line_without_old_bolts_has_no_ledger():
    assert assess(house()).line("2").ledger is None


def test_every_old_bolt_of_the_worked_house_has_its_row():
    ledger = assess(house()).line("A").ledger
    assert ledger is not None
    assert [(one.name, one.capacity) for one in ledger.bolts] == [
        ("bolt at 4 ft", pytest.approx(BOLT_LB)),
        ("bolt at 12 ft", 0.0),
        ("bolt at 20 ft", 0.0),
        ("bolt at 28 ft", 0.0),
        ("bolt at 36 ft", pytest.approx(BOLT_LB)),
    ]
    # 4 ft: all conditions shown. 36 ft: 1-1/2 in from the face, so nothing in the concrete.
    assert [one.step("concrete_lb").value for one in ledger.bolts] == [pytest.approx(BOLT_LB), 0, 0, 0, 0]
    assert ledger.bolts[4].notes == ("edge distance under 1-3/4 in",)


def test_nothing_counts_until_it_is_accepted():
    bolt = _ledger(replace(GOOD, accepted=False, reason="turned by hand")).bolts[0]
    assert (bolt.capacity, bolt.step("concrete_lb").value) == (0.0, 0.0)
    assert bolt.notes == ("bolt at 4 ft not accepted: turned by hand",)


def test_a_bolt_outside_the_panels_says_what_it_would_take():
    bolt = _ledger(replace(GOOD, at_ft=20.0)).bolts[0]
    assert bolt.capacity == 0.0
    assert "only through a sill piece checked as a drag member" in bolt.notes[0]


@pytest.mark.parametrize(
    ("change", "key", "found"),
    [
        ({"diameter_in": 0.75}, "light_frame_diameter_in", 0.75),
        ({"embedment_in": 6.0}, "light_frame_embedment_in", 6.0),
        ({"embedment_in": "not observed"}, "light_frame_embedment_in", "not observed"),
        ({"edge_in": "not observed"}, "light_frame_edge_in", "not observed"),
        ({"end_in": 5.0}, "light_frame_end_in", 5.0),
    ],
)
def test_each_light_frame_condition_is_a_step_and_one_missing_is_zero_in_the_concrete(change, key, found):
    bolt = _ledger(replace(GOOD, **change)).bolts[0]
    assert bolt.step(key).value == found
    assert bolt.step("light_frame_shown").value is False
    assert bolt.capacity > 0
    assert bolt.step("concrete_lb").value == 0.0


def test_ratios_stand_with_and_without_the_credit():
    """By hand: the panel's share over bolt and anchor together, and over the anchors alone."""
    result = assess(with_line(house(), "A", existing_anchors=(GOOD, replace(GOOD, at_ft=36.0))))
    line = result.line("A")
    assert line.ledger is not None
    new = {part.name: part.step("new").value for part in line.link("6b").parts}
    share_lb = line.link("6b").parts[0].demand
    assert set(new.values()) == {1}
    assert line.ledger.check.step("ratio_6b_with").value == pytest.approx(share_lb / (BOLT_LB + 980))
    assert line.ledger.check.step("ratio_6b_without").value == pytest.approx(share_lb / 980)
    assert line.ledger.check.step("credit_6b_lb").value == pytest.approx(2 * BOLT_LB)


def test_without_the_old_bolts_a_panel_with_nothing_else_is_open():
    given_house = with_line(house(), "A", existing_anchors=(GOOD, replace(GOOD, at_ft=36.0)))
    result = check_chain(given_house, edited(assess(given_house).schedule, "A", "sill anchors", count=0))
    ledger = result.line("A").ledger
    assert ledger is not None
    assert ledger.check.step("ratio_6a_without").value == "open"
    assert ledger.check.step("ratio_6a_with").value > 1


def test_in_a_foundation_that_is_not_fit_nothing_counts_in_the_concrete():
    ledger = _ledger(GOOD, foundation={"section_loss_percent": 30.0})
    assert ledger.bolts[0].step("concrete_lb").value == 0.0
    assert "30 % section loss" in ledger.bolts[0].notes[0]
    assert ledger.check.step("ratio_6b_with").value == "open"


def test_one_bolt_entered_twice_counts_once():
    bolts = _ledger(GOOD, replace(GOOD, at_ft=4.05)).bolts
    assert [bolt.capacity > 0 for bolt in bolts] == [True, False]
    assert "nearer than 4 diameters to the one before" in bolts[1].notes[0]


def test_two_bolts_can_not_stand_in_one_place():
    with pytest.raises(OutOfRange, match="must give each place once"):
        _ledger(GOOD, GOOD)


def test_the_ledgers_sources_from_memory_are_listed():
    assert "IBC 2021 1905.1.8 exception 1" in assess(house()).from_memory


def test_a_bolt_that_counts_says_which_washer_to_fit():
    assert _ledger(GOOD).bolts[0].warnings == ("fit a 3 in plate washer",)
    assert line_of(house(), "A").existing_anchors[0].washer_in == "not observed"
