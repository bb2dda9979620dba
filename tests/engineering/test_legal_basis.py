"""The legal basis: which force levels it allows by which clause, and what the engineer has still to accept."""

from __future__ import annotations

import pytest

from engineering.errors import OutOfRange
from engineering.house import assess
from engineering.legal_basis import check, force_source
from tests.engineering.varied import house

A3 = "appendix A3 engineered"
VOLUNTARY = "voluntary lateral alteration"
MANDATE = "local mandate"
ENGINEER = "E. Ngineer, SE 1234"


def criteria(**changes):
    return house(criteria=changes).criteria


@pytest.mark.parametrize(
    ("basis", "factor", "family", "clause"),
    [  # all from memory
        (A3, 0.75, "2021", "IEBC 2021 Appendix A3 A301.3"),
        (A3, 0.75, "2024", "IEBC 2024 Appendix A3 A301.3"),
        (A3, 1.0, "2021", "IEBC 2021 304.3.1"),
        (VOLUNTARY, 1.0, "2021", "IEBC 2021 304.3.1"),
        (VOLUNTARY, 0.75, "2024", "IEBC 2024 304.3.2 item 1"),
        (VOLUNTARY, 0.6, "2021", "IEBC 2021 503.13"),
        (MANDATE, 0.75, "2021", "Local ordinance reduced by chapter 9"),
    ],
)
def test_a_force_level_stands_on_the_clause_of_its_basis(basis, factor, family, clause):
    given = criteria(legal_basis=basis, force_factor=factor, force_level="reduced by chapter 9", code_family=family)
    assert str(force_source(given)) == clause
    assert check(given).step("force_factor").source == force_source(given)


@pytest.mark.parametrize(
    ("basis", "factor", "allowed"),
    [(A3, 0.8, "0.75, its reduced level, or 1"), (A3, 0.5, "0.75"), (MANDATE, 0.7, "from 0.75 to 1")],
)
def test_a_force_factor_that_the_basis_does_not_allow_is_refused(basis, factor, allowed):
    with pytest.raises(OutOfRange, match=f"criteria.force_factor = {factor}: must be {allowed}.*under: {basis}"):
        check(criteria(legal_basis=basis, force_factor=factor))


@pytest.mark.parametrize(
    ("basis", "instead"),
    [
        ("appendix A3 prescriptive", "its tables give anchors and panels without forces"),
        ("jurisdiction standard plan", "the plan set gives its own schedule"),
    ],
)
def test_a_basis_without_forces_says_what_gives_the_schedule(basis, instead):
    with pytest.raises(OutOfRange, match=f"criteria.legal_basis = '{basis}': must be one of: {A3}.*{instead}"):
        assess(house(criteria={"legal_basis": basis}))


def test_a_target_must_be_stated():
    with pytest.raises(OutOfRange, match="must name the force level under: voluntary"):
        check(criteria(force_level=" "))


def test_r_under_older_stories_waits_for_the_engineer():
    waiting = check(criteria())
    assert waiting.status == "open"
    assert "R = 6.5 for new panels under older stories: not accepted by the engineer yet" in waiting.notes
    accepted = check(criteria(system_accepted_by=ENGINEER))
    assert accepted.status == "recorded"
    assert f"R = 6.5 for new panels under older stories: accepted by {ENGINEER}" in accepted.notes
    assert accepted.step("R_under_older_stories").inputs["accepted"] == ENGINEER


def test_r_no_higher_than_that_of_older_bracing_needs_no_acceptance():
    given = check(criteria(system="bearing wall, other materials", response_modification=2.0))
    assert given.status == "recorded"
    assert not any("older stories" in note for note in given.notes)


def test_a_mandate_leaves_the_ordinance_to_the_engineer():
    assert any("ordinance" in note for note in check(criteria(legal_basis=MANDATE)).notes)


def test_a_level_named_full_with_less_than_full_forces_is_warned_of():
    assert "named full, its factor is 0.75" in check(criteria(force_factor=0.75)).warnings[0]
    assert check(criteria(force_factor=0.75, force_level="reduced 75 %")).warnings == ()


def test_a_target_below_the_reduced_forces_is_warned_of():
    assert "below the reduced forces" in check(criteria(force_factor=0.5, force_level="half")).warnings[0]


def test_the_house_carries_its_basis_and_its_unread_clauses():
    result = assess(house())
    assert result.basis == check(house().criteria)
    assert "IEBC 2021 304.3.1" in result.from_memory
