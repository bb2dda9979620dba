"""New blocking between floor and plates: nails by the room of a block, blocks by demand, spacing and upright joists."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engineering.house import assess, check_chain
from engineering.inputs import HouseInputs
from engineering.results import Check, MethodOption
from engineering.schedule import ScheduleItem
from tests.engineering.varied import edited, house, line_of, with_line


def _blocked(label: str = "A", *, nail: str = "stitch", methods=None, **framing) -> HouseInputs:
    """The worked house with blocking pinned on one line; line A has joists across it, line 1 along it."""
    chosen = {"floor_to_plate_by": "blocking", "blocking_nail": nail, **(methods or {})}
    return with_line(house(), label, methods=chosen, framing={"joist_spacing_in": 16.0, **framing})


def _row(given: HouseInputs, label: str = "A") -> ScheduleItem:
    (row,) = assess(given).schedule.line(label).rows("blocking nails")
    return row


def _option(given: HouseInputs, label: str = "A") -> MethodOption:
    return next(one for one in assess(given).line(label).options if one.method == "nailed blocking")


def _check(given: HouseInputs, label: str = "A") -> Check:
    return assess(given).line(label).link("1").check


def test_blocks_against_a_rim_by_hand():
    # 12d 0.148 in: 188.15 lb each (worked house); 3 463.4 / 188.15 = 18.4. A block of 14-1/2 in holds 5 at 2.22 in:
    # by demand 4 blocks, by the 72 in maximum 7 over 40 ft, 3 nails in each.
    row = _row(_blocked())
    assert (row.count, row.note) == (21, "3 down in each of 7 blocks, as many sideways")
    assert row.spacing_in == pytest.approx(480 / 7)
    check = _check(_blocked())
    assert check.status == "ok"
    assert check.ratio == pytest.approx(3463.4277 / (21 * 188.1516), rel=1e-4)


def test_where_nothing_stood_every_other_bay_gets_a_block_so_that_no_joist_rolls():
    row = _row(_blocked(floor_edge="nothing"))
    assert row.note == "2 down in each of 15 blocks, as many sideways"
    steps = [step.key for step in _check(_blocked(floor_edge="nothing")).steps]
    assert "count" in steps


def test_along_a_joist_that_nothing_meets_the_block_is_continuous():
    row = _row(_blocked("1"), "1")
    assert row.note == "down into the plate, as many sideways into the joist"
    assert row.count == 19  # 3 463.4 / 188.0, rounded up


def test_blocks_across_the_plates_where_no_joist_stands_over_them():
    given = _blocked("1", floor_edge="nothing")
    value = next(check for check in assess(given).fasteners if check.name.startswith("12d common"))
    # 3-1/2 in plates hold 1 + (3.5 − 2·0.37)/1.48 = 2 in each of two rows: 4 nails a block.
    row = _row(given, "1")
    assert row.note == "4 down in each of 5 blocks, as many sideways"
    assert _check(given, "1").capacity == pytest.approx(20 * value.capacity)


def test_the_ends_of_blocks_across_the_plates_are_nailed_into_end_grain():
    one = _option(_blocked("1", floor_edge="nothing"), "1")
    assert one.feasible
    shallow = _option(_blocked("1", floor_edge="nothing", rim_depth_in=3.5), "1")
    assert "into each end of a block" in shallow.reason


@pytest.mark.parametrize(
    ("framing", "reason"),
    [
        ({"joist_spacing_in": "not observed"}, "joist spacing in: must be observed"),
        ({"joist_spacing_in": 5.5}, "15 diameters to each end"),
        ({"rim_set_back_in": 0.75}, "beside the joist for a nailing block"),
    ],
)
def test_blocking_is_refused_with_its_reason(framing, reason):
    given = _blocked(**framing)
    assert reason in _option(given).reason
    assert assess(given).line("A").open_links[0].startswith("load path open at floor to top plate: nailed blocking")


def test_a_nail_too_thick_for_a_nailing_block_splits_it():
    given = _blocked()
    thick = tuple(
        replace(nail, diameter_in=0.312, length_in=5.0) if nail.key == "stitch" else nail
        for nail in given.catalogue.nails
    )
    assert "splits" in _option(replace(given, catalogue=replace(given.catalogue, nails=thick))).reason


def test_on_the_sill_a_bright_nail_is_refused_and_a_hot_dip_one_counts():
    def on_sill(nail: str) -> HouseInputs:
        return with_line(_blocked(nail=nail), "A", panels=(), openings=(), plate_laps_ft=(), framing={"plates_in": ()})

    assert "treated" in _option(on_sill("stitch")).reason
    assert _option(on_sill("block")).feasible


def test_fewer_blocking_nails_are_over_and_more_than_fit_do_not_count():
    given = _blocked()
    schedule = assess(given).schedule
    few = check_chain(given, edited(schedule, "A", "blocking nails", count=14)).line("A").link("1").check
    assert few.status == "over"
    assert "5 more nailed blocking needed" in few.warnings
    many = check_chain(given, edited(schedule, "A", "blocking nails", count=400)).line("A").link("1").check
    assert many.capacity == pytest.approx(150 * 188.1516, rel=1e-4)  # 30 bays of 5
    assert "400 nailed blocking, but there is room for 150" in many.warnings


def test_pinned_blocking_leaves_the_connectors_as_alternatives():
    line = assess(_blocked()).line("A")
    assert [one.method for one in line.options if one.link == "1"][:2] == ["nailed blocking", "through-plate screws"]
    assert line.through_plate is None


def test_stitch_nails_follow_the_demand_where_nothing_passes_the_plates():
    row = assess(_blocked()).schedule.line("A").rows("stitch nails")[0]
    assert (row.count, row.note) == (19, "evenly over the line")


@settings(max_examples=25, deadline=None)
@given(st.floats(0.36, 0.55), st.floats(0.36, 0.55), st.sampled_from([12.0, 16.0, 24.0]))
def test_softer_blocks_never_take_fewer_nails_and_always_carry_the_line(first, second, spacing_in):
    def option(gravity: float) -> MethodOption:
        given = _blocked(joist_spacing_in=spacing_in)
        block = replace(line_of(given, "A").framing.block, specific_gravity=gravity)
        return _option(with_line(given, "A", framing={"block": block}))

    soft, hard = option(min(first, second)), option(max(first, second))
    assert soft.count * soft.each_lb >= 3463.42
    assert soft.each_lb <= hard.each_lb + 1e-9
    assert soft.count >= hard.count
