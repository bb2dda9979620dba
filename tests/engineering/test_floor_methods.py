"""Link 1 by each way: where it can be used, how many it takes, and the reason where it can't."""

from __future__ import annotations

from dataclasses import replace
from math import ceil

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engineering.errors import OutOfRange
from engineering.evaluated import USE_FACE_PLATE
from engineering.house import assess
from engineering.inputs import NOT_OBSERVED, EvaluatedConnector, HouseInputs
from engineering.nail_spacing import row_holds
from engineering.results import MethodOption
from tests.engineering.varied import house, line_of, with_line

FACE_PLATE = EvaluatedConnector(
    key="face plate",
    name="face plate, invented",
    kind="face plate",
    report="EXAMPLE-7",
    issued="2024-01-01",
    expires="2027-12-31",
    use=USE_FACE_PLATE,
    species=("Douglas Fir-Larch",),
    value_lb=520,
    value_basis="already 1.6",
    diameter_in=0.148,
)
ALL = ("screw", "lag", "angle", "toenail", "face plate")
BLOCKS = {"floor_edge": "blocks between joists", "joist_spacing_in": 16.0}


def _house(label: str = "A", *, methods=None, framing=None, **changes) -> HouseInputs:
    """The worked house with a face plate in its catalogue and every way counted on one line."""
    given = house(**changes)
    catalogue = replace(given.catalogue, evaluated=(*given.catalogue.evaluated, FACE_PLATE))
    chosen = {"alternatives": ALL[1:], "blocking_nail": "stitch", **(methods or {})}
    return with_line(replace(given, catalogue=catalogue), label, methods=chosen, framing=framing or {})


def _options(given: HouseInputs, label: str = "A") -> dict[str, MethodOption]:
    return {one.method: one for one in assess(given).line(label).options if one.link == "1"}


def test_every_way_is_listed_once_the_pinned_one_first():
    assert list(_options(_house())) == [
        "through-plate screws",
        "lag screws",
        "framing angles",
        "toenails",
        "face plates from outside",
        "nailed blocking",
    ]


def test_each_way_carries_the_line():
    for one in _options(_house(framing={"outside_finish": "", "joist_spacing_in": 16.0})).values():
        assert one.feasible, one.reason
        assert one.count * one.each_lb >= 3463.42 - 0.01
        assert one.ratio == pytest.approx(3463.4277 / (one.count * one.each_lb), rel=1e-6)


@settings(max_examples=25, deadline=None)
@given(st.floats(100, 600), st.floats(100, 600))
def test_a_weaker_connector_never_takes_fewer(first, second):
    def count(value_lb: float) -> int:
        given = _house(framing={"outside_finish": ""})
        rows = tuple(
            replace(one, value_lb=value_lb) if one.key == "angle" else one for one in given.catalogue.evaluated
        )
        return _options(replace(given, catalogue=replace(given.catalogue, evaluated=rows)))["framing angles"].count

    weak, strong = sorted((first, second))
    assert count(weak) >= count(strong)
    assert count(weak) == ceil(3463.4277 / weak - 1e-9)


# --- what stands on the plates -------------------------------------------------------------------------------------
@pytest.mark.parametrize("method", ["through-plate screws", "lag screws", "framing angles", "toenails"])
def test_nothing_on_the_plates_needs_blocking_first(method):
    one = _options(_house(framing={"floor_edge": "nothing", "joist_spacing_in": 16.0}))[method]
    assert not one.feasible
    assert "needs blocking first" in one.reason


def test_not_observed_counts_as_the_joist_that_was_measured_and_says_so():
    result = assess(_house(framing={"floor_edge": NOT_OBSERVED}))
    assert result.line("A").link("1").check.status == "ok"
    assert any("taken as a joist along the line" in said for said in result.assumptions)


def test_into_blocks_screws_go_by_the_block_never_into_a_joist_that_crosses():
    result = assess(_house(framing=BLOCKS))
    row = result.schedule.line("A").rows("floor to plate")[0]
    # 40 ft of joists at 16 in are 30 blocks, 14-1/2 in clear: 3 in from each end and from one to the next, 3 each.
    assert (row.count, row.positions_in) == (10, ())
    assert row.note == "into blocks, at most 3 in each of 30"
    assert result.line("A").link("1").check.step("held_each").value == 3


def test_blocks_of_unknown_spacing_are_not_counted():
    one = _options(_house(framing={"floor_edge": "blocks between joists"}))["through-plate screws"]
    assert "joist spacing in: must be observed" in one.reason


def test_blocks_too_short_for_their_toenails_refuse_them():
    # 0.162 in nails want 15 D = 2.43 in to both ends: a block of 4 in holds none, one of 5 in holds one.
    framing = {**BLOCKS, "joist_spacing_in": 5.5}
    one = _options(_house(framing=framing))["toenails"]
    assert "87 blocks hold 0 each" in one.reason
    assert _options(_house(framing={**framing, "joist_spacing_in": 6.5}))["toenails"].feasible


def test_stitch_nails_of_screws_in_blocks_are_spread_over_the_line():
    result = assess(_house(framing=BLOCKS))
    row = result.schedule.line("A").rows("stitch nails")[0]
    assert (row.count, len(row.positions_in)) == (20, 20)
    assert result.line("A").link("2").check.status == "ok"


# --- from below ----------------------------------------------------------------------------------------------------
def test_a_lower_plate_too_narrow_for_the_target_refuses_what_comes_from_below():
    found = _options(_house(framing={"lower_plate_width_in": 1.0}))
    for method in ("through-plate screws", "lag screws"):
        assert "of the 1 in" in found[method].reason
    assert _options(_house(framing={"lower_plate_width_in": 5.5}))["through-plate screws"].feasible


def test_a_way_that_finds_no_place_says_which_rule_left_none():
    studs = {"stud_centrelines_in": tuple(4.0 * n for n in range(120))}
    found = _options(_house(framing=studs, methods={"floor_to_plate": "angle", "alternatives": ("screw", "lag")}))
    for method in ("through-plate screws", "lag screws"):
        assert "clear of a stud" in found[method].reason
    assert found["framing angles"].feasible


# --- through the ceiling and from outside --------------------------------------------------------------------------
def test_only_what_comes_from_inside_opens_a_ceiling_and_only_where_there_is_one():
    opened = {name for name, one in _options(_house()).items() if one.opens_ceiling}
    assert opened == {"framing angles", "toenails", "nailed blocking"}
    assert not any(one.opens_ceiling for one in _options(_house(framing={"ceiling_finish": ""})).values())


def test_an_angle_needs_the_joists_face_over_the_plate():
    one = _options(_house(framing={"rim_set_back_in": 2.5}))["framing angles"]
    assert "no face to nail an angle to" in one.reason


@pytest.mark.parametrize(
    ("framing", "reason"),
    [
        ({}, "outside finish: must be observed"),
        ({"outside_finish": "stucco"}, "stucco is in the way outside and may not be opened"),
        ({"outside_finish": "", "rim_set_back_in": 0.25}, "flush"),
        ({"outside_finish": "", "floor_edge": "nothing"}, "needs blocking first"),
    ],
)
def test_work_from_outside_is_refused_with_its_reason(framing, reason):
    assert reason in _options(_house(framing=framing))["face plates from outside"].reason


def test_an_outside_finish_may_be_opened_and_is_told():
    given = _house(framing={"outside_finish": "stucco"}, methods={"open_outside": True})
    one = _options(given)["face plates from outside"]
    assert (one.feasible, one.opens_outside, one.opens_ceiling) == (True, True, False)
    assert one.count == 7  # 3 463.4 / 520, by hand


def test_face_plates_are_built_and_checked():
    given = _house(framing={"outside_finish": ""}, methods={"floor_to_plate": "face plate"})
    result = assess(given)
    assert result.line("A").link("1").check.ratio == pytest.approx(3463.4277 / (7 * 520), rel=1e-6)
    assert len(result.schedule.line("A").rows("floor to plate")[0].positions_in) == 7


# --- toenails and F_px ---------------------------------------------------------------------------------------------
def test_toenails_are_limited_by_the_local_shear_of_the_force_that_governs():
    one = _options(_house("1"), "1")["toenails"]
    assert (one.feasible, one.px_feasible) == (True, False)  # 123.7 plf by the story shear, 177.3 by F_px
    governed = _options(_house("1", criteria={"diaphragm_force_governs": True}), "1")["toenails"]
    assert "177.3 plf is over the 150 plf" in governed.reason


def test_the_count_by_the_diaphragm_force_stands_beside_and_can_govern():
    # Worked house: line A 3 463.4 lb and 4 964.0 lb by F_px; screws of 376 lb.
    one = _options(_house())["through-plate screws"]
    assert (one.count, one.px_count) == (10, 14)
    result = assess(_house(criteria={"diaphragm_force_governs": True}))
    check = result.line("A").link("1").check
    assert result.schedule.line("A").count("floor to plate") == 14
    assert (check.demand, check.step("px_demand_lb").value) == (pytest.approx(4964.0237), pytest.approx(4964.0237))


@pytest.mark.parametrize(
    ("clear_in", "held"),
    # 15 diameters of a 0.148 in nail are 2.22 in, to both ends and from nail to nail.
    [(4.4, 0), (4.44, 1), (6.65, 1), (6.66, 2), (14.5, 5)],
)
def test_a_row_of_nails_keeps_fifteen_diameters(clear_in, held):
    assert row_holds(clear_in, 15 * 0.148, 15 * 0.148) == held


# --- choices -------------------------------------------------------------------------------------------------------
def test_blocking_takes_a_nail():
    with pytest.raises(OutOfRange, match="must be a nail"):
        assess(_house(methods={"blocking_nail": "screw"}))


def test_more_rows_than_there_is_room_for_do_not_count():
    given = _house(framing={**BLOCKS, "joist_spacing_in": 120.0}, methods={"floor_to_plate": "angle"})
    rim = line_of(given, "A").framing.rim_thickness_in
    assert assess(given).line("A").link("1").check.status == "ok"
    tight = _house(framing={**BLOCKS, "joist_spacing_in": 5.0 + rim}, methods={"floor_to_plate": "angle"})
    assert "blocks hold 0 each" in assess(tight).line("A").link("1").check.notes[0]
