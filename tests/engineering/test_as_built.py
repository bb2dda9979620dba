"""The recheck: what the crew logged against what was designed, line by line."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from engineering import capacity
from engineering.as_built import recheck
from engineering.as_built_inputs import AcceptedTest, AsBuiltInputs, BuiltPanel, HeldInspection, LineLog
from engineering.as_built_results import INSIDE, OUTSIDE, AsBuiltResult
from engineering.errors import OutOfRange
from engineering.exchange import dumps
from engineering.house import assess, check_chain
from engineering.inputs import Nail
from engineering.inspections import held
from engineering.schedule import ScheduleItem
from tests.engineering.logged import as_scheduled, entry, made_good, row, tally, with_log
from tests.engineering.varied import house, with_line

FLOOR, STITCH, EDGE, ANCHORS = "floor to plate", "stitch nails", "panel edge nails", "sill anchors"
THIN = Nail(key="thin", name="6d box", kind="box", diameter_in=0.099, length_in=2.0, finish="hot-dip")


@cache
def _as_scheduled() -> AsBuiltInputs:
    return as_scheduled(house(), assess(house()).schedule)


def _rechecked(*more, label: str = "A", **changes) -> AsBuiltResult:
    return recheck(with_log(_as_scheduled(), label, *more, **changes))


def _row(role: str, number: int = 0, label: str = "A"):
    return row(_as_scheduled(), label, role, number)


def _rulings(result: AsBuiltResult, role: str) -> list[tuple[str, str]]:
    return [(one.ruling, one.tolerance) for one in result.decisions if one.role == role]


# --- nothing otherwise, nothing at all ------------------------------------------------------------------------------
def test_a_log_equal_to_the_schedule_gives_the_designs_own_result():
    given = _as_scheduled()
    result = recheck(given)
    assert result.built == check_chain(given.house, given.schedule)
    assert result.standing == given.schedule.lines
    assert not result.shortfalls
    assert not result.uncounted
    assert not result.close_out_blocked_by
    assert not result.assumptions
    assert {one.ruling for one in result.decisions} == {INSIDE}


def test_what_nobody_logged_does_not_stand():
    result = recheck(replace(_as_scheduled(), log=()))
    line = result.line("A")
    assert (line.as_designed_status, line.as_built_status) == ("ok", "open")
    assert {one.reason for one in result.uncounted} == {"not logged as installed"}
    assert not result.decisions
    assert "line A is open as built" in result.close_out_blocked_by
    assert f"line A: {_row(FLOOR).count} floor to plate not logged as installed" in result.close_out_blocked_by


def test_each_link_three_times():
    link = recheck(replace(_as_scheduled(), log=())).line("A").link("4")
    assert link.as_found is not None
    assert (link.as_found.status, link.as_designed.status, link.as_built.status) == ("open", "ok", "open")
    assert link.as_designed.capacity == pytest.approx(link.as_designed.capacity)
    assert recheck(_as_scheduled()).line("A").link("4").as_built == link.as_designed


# --- connectors ------------------------------------------------------------------------------------------------------
def test_a_missed_screw_is_a_question_even_where_the_rest_carries_it():
    screws = _row(FLOOR)
    result = _rechecked(entry(screws, "missed", positions_in=screws.positions_in[1:2]))
    assert result.line("A").link("1").as_built.capacity < result.line("A").link("1").as_designed.capacity
    assert _rulings(result, FLOOR) == [(OUTSIDE, "none_fewer")]


def test_the_shortfall_says_how_many_more_and_where():
    screws = _row(FLOOR)
    missed = screws.positions_in[: screws.count - 1]
    result = _rechecked(entry(screws, "missed", positions_in=missed))
    (short,) = [one for one in result.shortfalls if one.link == "1"]
    assert 0 < short.more <= len(missed)
    assert set(short.positions_in) <= set(missed)
    assert short.lacking > 0
    assert short.closes
    assert result.line("A").shortfall


def test_a_split_is_made_good_in_the_same_bay_with_a_log_entry():
    screws = _row(FLOOR)
    at_in = screws.positions_in[1]
    split = entry(screws, "split", positions_in=(at_in,))
    assert _rulings(_rechecked(split), FLOOR) == [(OUTSIDE, "none_fewer")]
    result = _rechecked(split, entry(screws, "added", positions_in=(at_in + 3.0,)))
    assert _rulings(result, FLOOR) == [(INSIDE, "same_bay")]
    assert result.line("A").link("1").as_built == result.line("A").link("1").as_designed


def test_a_screw_moved_within_its_bay_is_logged_only():
    screws = _row(FLOOR)
    at_in = screws.positions_in[1]
    result = _rechecked(entry(screws, "moved", positions_in=(at_in,), moved_to_in=(at_in + 1.0,)))
    assert _rulings(result, FLOOR) == [(INSIDE, "same_bay")]
    assert not result.line("A").shortfall


def test_a_screw_moved_to_another_bay_is_a_question():
    screws = _row(FLOOR)
    at_in = screws.positions_in[1]
    result = _rechecked(entry(screws, "moved", positions_in=(at_in,), moved_to_in=(at_in + 16.0,)))
    assert _rulings(result, FLOOR)[0][0] == OUTSIDE


def test_a_screw_off_the_target_line_beyond_its_tolerance_counts_as_nothing():
    screws = _row(FLOOR)
    at = screws.positions_in[1:2]
    limit_in = next(one.limit for one in recheck(_as_scheduled()).tolerances if (one.key, one.line) == ("across", "A"))
    inside = _rechecked(entry(screws, positions_in=at, across_in=limit_in))
    outside = _rechecked(entry(screws, positions_in=at, across_in=limit_in + 0.01))
    assert not inside.uncounted
    assert [(one.positions_in, one.count) for one in outside.uncounted] == [(at, 1)]
    assert outside.line("A").link("1").as_built.capacity < inside.line("A").link("1").as_built.capacity


def test_a_screw_moved_beside_a_stud_counts_as_nothing_until_the_engineer_answers():
    screws = _row(FLOOR)
    at_in = screws.positions_in[1]
    stud_in = min(house().lines[0].framing.stud_centrelines_in, key=lambda stud: abs(stud - at_in))
    result = _rechecked(entry(screws, "moved", positions_in=(at_in,), moved_to_in=(stud_in,)))
    assert [(one.positions_in, one.reason) for one in result.uncounted] == [
        ((stud_in,), "where the layout has no place for it")
    ]
    assert {ruling for ruling, _ in _rulings(result, FLOOR)} == {OUTSIDE}


def test_made_good_later_counts_again():
    screws = _row(FLOOR)
    at = screws.positions_in[:2]
    result = _rechecked(entry(screws, "missed", positions_in=at), entry(screws, positions_in=at))
    assert result.built == recheck(_as_scheduled()).built


def test_a_weak_substitute_never_costs_more_than_nothing_in_its_place():
    screws = _row(FLOOR)
    at = screws.positions_in[1:2]
    missed = _rechecked(entry(screws, "missed", positions_in=at))
    weak = _rechecked(entry(screws, "substituted", positions_in=at, substitute="toenail"))
    assert weak.line("A").link("1").as_built.ratio <= missed.line("A").link("1").as_built.ratio + 1e-9
    assert (OUTSIDE, "as_scheduled") in _rulings(weak, FLOOR)


# --- nails -----------------------------------------------------------------------------------------------------------
def test_a_thinner_nail_recomputes_the_panel_and_states_the_shortfall():
    nails = _row(EDGE)
    result = _rechecked(entry(nails, "substituted", substitute="thin", nail=THIN))
    link = result.line("A").link("4")
    assert link.as_built.status != "ok"
    assert (OUTSIDE, "as_scheduled") in _rulings(result, EDGE)
    told = next(one.text for one in result.decisions if one.ruling == OUTSIDE)
    assert "0.099 × 2 in box hot-dip instead of 0.131 × 2.5 in common hot-dip: thinner, shorter, other kind" in told
    (short,) = [one for one in result.shortfalls if one.role == EDGE]
    assert (short.panel, short.more, short.closes) == (nails.panel, nails.count, True)


def test_missed_edge_nails_are_taken_off_the_number_installed():
    nails = _row(EDGE)
    result = _rechecked(entry(nails, "missed", count=12), tallies=())
    assert [(one.count, one.reason) for one in result.uncounted] == [(12, "fewer stand than scheduled")]
    (short,) = result.shortfalls
    assert (short.role, short.panel, short.more) == (EDGE, nails.panel, 12)
    assert "12 of 108 panel edge nails missing" in [one.text for one in result.decisions]


def test_sunk_nails_beyond_the_limit_are_nails_to_add():
    nails = _row(EDGE)
    sunk = tally(nails, over_8th=10)
    others = tuple(tally(one) for one in _as_scheduled().schedule.line("A").rows(EDGE)[1:])
    result = _rechecked(tallies=(sunk, *others))
    (short,) = result.shortfalls
    assert (short.role, short.panel, short.more) == (EDGE, nails.panel, 5)
    assert "sunk nails of panel 1: add 5 edge nails and count again" in [one.text for one in result.decisions]
    again = recheck(made_good(with_log(_as_scheduled(), "A", tallies=(sunk, *others)), result.shortfalls))
    assert not again.shortfalls
    assert {one.ruling for one in again.decisions} == {INSIDE}


def test_the_counts_of_sunk_nails_come_with_their_steps_and_unread_sources():
    result = recheck(_as_scheduled())
    check = result.sunk_nails[0]
    assert check.name == "line A, panel 1: accepted"
    assert check.step("sunk_share").value == 0
    assert "APA TT-012 overdriven fasteners" in result.from_memory
    assert set(result.built.from_memory) <= set(result.from_memory)


def test_nails_not_counted_are_taken_as_flush_and_that_is_printed():
    result = _rechecked(tallies=())
    assert result.line("A").as_built_status == "ok"
    assert any("panel 1: sunk nails were not counted" in text for text in result.assumptions)


# --- inspections -----------------------------------------------------------------------------------------------------
def test_anchors_without_their_inspection_count_as_nothing_until_a_test_is_accepted():
    result = _rechecked(inspections=())
    line = result.line("A")
    assert line.link("6b").as_built.status == "open"
    assert {(one.role, one.count) for one in result.test_plan if one.line == "A"} == {
        (ANCHORS, one.count) for one in _as_scheduled().schedule.line("A").rows(ANCHORS)
    }
    assert any("inspection not held" in text for text in result.close_out_blocked_by)
    assert {one.remedy for one in result.shortfalls if one.role == ANCHORS} == {"test or inspect"}
    test = AcceptedTest(role=ANCHORS, method="pull test", result="no slip at 2,500 lb", accepted_by="")
    assert _rechecked(inspections=(), tests=(test,)).line("A").link("6b").as_built.status == "open"
    accepted = _rechecked(inspections=(), tests=(replace(test, accepted_by="the engineer"),))
    assert accepted.line("A").link("6b").as_built == line.link("6b").as_designed
    assert not [one for one in accepted.test_plan if one.role == ANCHORS]


def test_a_test_of_some_anchors_brings_those_alone():
    anchors = _row(ANCHORS)
    test = AcceptedTest(
        role=ANCHORS, method="torque test", result="held", accepted_by="the engineer", panel=anchors.panel,
        piece=anchors.piece, positions_in=anchors.positions_in[:1],
    )  # fmt: skip
    result = _rechecked(inspections=(), tests=(test,))
    counted = result.built.schedule.line("A").rows(ANCHORS)
    assert [one.positions_in for one in counted] == [anchors.positions_in[:1]]


def test_close_nailing_needs_its_inspection():
    given_house = with_line(house(), "A", edge_spacing_in=4)
    given = as_scheduled(given_house, assess(given_house).schedule)
    assert row(given, "A", EDGE).spacing_in == 4
    kept = tuple(one for one in given.log[0].inspections if one.role != EDGE)
    result = recheck(with_log(given, "A", inspections=kept))
    assert result.line("A").link("4").as_built.status == "open"
    assert "inspection of the exposed nailing" in next(one.method for one in result.test_plan if one.role == EDGE)


# --- panels ----------------------------------------------------------------------------------------------------------
def test_a_shortened_panel_is_computed_again_with_its_anchors_and_share():
    panel = house().lines[0].panels[0]
    built = BuiltPanel(panel=1, from_ft=panel.from_ft, to_ft=panel.from_ft + 2.0)
    result = _rechecked(panels=(built,))
    designed, now = check_chain(_as_scheduled().house, _as_scheduled().schedule).line("A"), result.built.line("A")
    assert now.link("4").check.demand > designed.link("4").check.demand
    assert result.line("A").shortfall
    assert (OUTSIDE, "panel_end") in _rulings(result, EDGE)


def test_a_panel_too_slender_to_be_one_is_refused():
    with pytest.raises(OutOfRange, match=r"3\.5"):
        _rechecked(panels=(BuiltPanel(panel=1, from_ft=0.0, to_ft=0.7),))


@pytest.mark.parametrize(("off_in", "ruling"), [(0.4, INSIDE), (0.6, OUTSIDE)])
def test_a_panel_end_within_half_an_inch_is_logged_only(off_in, ruling):
    panel = house().lines[0].panels[0]
    built = BuiltPanel(panel=1, from_ft=panel.from_ft, to_ft=panel.to_ft - off_in / 12)
    assert (ruling, "panel_end") in _rulings(_rechecked(panels=(built,)), EDGE)


# --- logs that can not be --------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("field", "changes"),
    [
        ("role", {"role": "duct tape"}),
        ("role", {"panel": 7}),
        ("positions_in", {"positions_in": (1.0,), "count": 1}),
        ("count", {"count": 99}),
    ],
)
def test_an_entry_that_fits_no_row_is_refused_by_its_path(field, changes):
    wrong = replace(entry(_row(FLOOR)), **changes)
    given = replace(_as_scheduled(), log=(LineLog(label="A", entries=(wrong,)),))
    with pytest.raises(OutOfRange) as refused:
        recheck(given)
    assert refused.value.field == f"log.A.entries.0.{field}"


@pytest.mark.parametrize(
    ("field", "kind", "changes"),
    [
        ("moved_to_in", "moved", {}),
        ("moved_to_in", "missed", {"moved_to_in": (1.0,)}),
        ("substitute", "substituted", {}),
        ("substitute", "missed", {"substitute": "lag"}),
        ("count", "missed", {"count": 0}),
        ("across_in", "installed", {"across_in": -1.0}),
        ("nail.key", "substituted", {"substitute": "other", "nail": THIN}),
    ],
)
def test_an_entry_that_can_not_be_is_refused(field, kind, changes):
    with pytest.raises(OutOfRange) as refused:
        replace(entry(_row(FLOOR)), kind=kind, **changes)
    assert refused.value.field == field


def test_edge_nails_are_counted_and_so_can_not_be_moved():
    nails = _row(EDGE)
    with pytest.raises(OutOfRange, match="must not be moved"):
        _rechecked(entry(nails, "moved", positions_in=(1.0,), moved_to_in=(2.0,)))


def test_a_line_logged_twice_or_unknown_is_refused():
    log = LineLog(label="A", entries=())
    for lines in ((log, log), (replace(log, label="Q"),)):
        with pytest.raises(OutOfRange) as refused:
            replace(_as_scheduled(), log=lines)
        assert refused.value.field == "log"


# --- from outside ----------------------------------------------------------------------------------------------------
def test_one_question_from_outside():
    answer, could = capacity.run("as_built", dumps(_as_scheduled()))
    assert could
    assert answer == dumps(recheck(_as_scheduled()))
    assert capacity.schema("as_built")["$defs"]["LogEntry"]["properties"]["across_in"]["unit"] == "in"


def test_what_is_said_of_one_panel_goes_before_what_is_said_of_all():
    row = ScheduleItem(link="6a", role="sill anchors", connector="anchor", count=2, panel=1)
    of_all = HeldInspection(role="sill anchors", held=True, by="the inspector, 2 June")
    missed = HeldInspection(role="sill anchors", held=False, panel=1)
    assert held(row, LineLog(label="B", entries=(), inspections=(of_all,)))
    assert not held(row, LineLog(label="B", entries=(), inspections=(missed, of_all)))
    assert held(replace(row, panel=2), LineLog(label="B", entries=(), inspections=(missed, of_all)))
