"""Floor beyond the end of a line: the strut that brings its shear, and its splice."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engineering.collectors import forces
from engineering.connector_values import ConnectorValues
from engineering.house import assess, check_chain
from engineering.inputs import HouseInputs, Segment, Span, Strut
from engineering.load_path import contexts
from engineering.seismic_demand import demand_inputs, house_demand
from tests.engineering.varied import edited, house, with_line, with_strap

# A quarter of line A's 3 463 lb comes from the last 10 of 40 ft.
FORCE_LB = 3463.4277 / 4


def _short(given_house: HouseInputs | None = None, length_ft: float = 30.0, **changes) -> HouseInputs:
    """Line A ends before its floor does, at 30 of 40 ft."""
    segment = Segment(kind="cripple wall", from_ft=0, to_ft=length_ft, stud_height_ft=2.625)
    return with_line(
        given_house or house(),
        "A",
        **{
            "end_ft": (length_ft, 0.0),
            "segments": (segment,),
            "panels": (Span(from_ft=0.0, to_ft=8.0), Span(from_ft=14.0, to_ft=22.0)),
            "sill_pieces": (Span(from_ft=0.0, to_ft=14.0), Span(from_ft=14.0, to_ft=length_ft)),
            "existing_anchors": (),
            "framing": {"stud_centrelines_in": tuple(16.0 * n for n in range(int(12 * length_ft / 16) + 1))},
            "methods": {"strut_splice": "stitch"},
            **changes,
        },
    )


def _strut(**changes) -> Strut:
    given_strut = Strut(
        end="far", length_ft=10.0, thickness_in=1.5, depth_in=3.5, tension_psi=500.0, basis="grade mark read",
        member=house().lines[0].framing.plates, lap_in=48.0,
    )  # fmt: skip
    return replace(given_strut, **changes)


def _check(given_house: HouseInputs):
    return assess(given_house).line("A").link("3").check


def _part(given_house: HouseInputs):
    return next(one for one in assess(given_house).line("A").link("3").parts if one.name == "strut at the far end")


def test_floor_beyond_a_lines_end_needs_a_strut():
    check = _check(_short())
    assert check.status == "open"
    assert check.notes == ("no strut for 866 lb from 10.00 ft of floor beyond the far end",)


def test_a_strut_is_spliced_for_the_force_it_brings():
    given_house = _short(struts=(_strut(),))
    rows = assess(given_house).schedule.line("A").rows("strut splice")
    each_lb = _part(given_house).step("strut_each_lb").value
    assert [(row.link, row.positions_in) for row in rows] == [("3", (360.0,))]
    assert (rows[0].count - 1) * each_lb < FORCE_LB <= rows[0].count * each_lb
    part = _part(given_house)
    assert part.status == "ok"
    assert part.step("strut_force_lb").value == pytest.approx(FORCE_LB)
    assert part.step("strut_shear_plf").value == pytest.approx(FORCE_LB / 10)
    assert part.step("strut_tension_lb").value == pytest.approx(500 * 1.6 * 1.5 * 3.5)


def test_the_drag_is_zero_at_the_struts_outer_end_and_its_force_at_the_lines_end():
    given_house = _short(struts=(_strut(),))
    context = contexts(given_house, house_demand(demand_inputs(given_house)), ConnectorValues(given_house))[0]
    along = forces(context)
    assert along.stretches[-1].to_ft == 40.0
    assert along.force_lb(30.0) == pytest.approx(-FORCE_LB)
    assert (along.force_lb(0.0), along.closure_lb) == pytest.approx((0.0, 0.0), abs=1e-6)


@settings(max_examples=15, deadline=None)
@given(length_ft=st.floats(24.0, 39.0))
def test_the_strut_brings_the_share_of_the_floor_that_it_covers(length_ft):
    check = assess(_short(length_ft=length_ft)).line("A").link("3").parts[0]
    assert check.step("strut_force_lb").value == pytest.approx(3463.4277 * (40 - length_ft) / 40, rel=1e-6)


@pytest.mark.parametrize(
    ("changed", "reason"),
    [
        ({"length_ft": 6.0}, "the strut at the far end reaches 6.00 of 10.00 ft of floor"),
        ({"lap_in": "not observed"}, "must be observed: nails need room"),
        ({"member": "not observed"}, "must be observed for its splice"),
        ({"lap_in": 2.0}, "the lap of the strut at the far end holds no nail"),
        ({"end": "zero"}, "no strut for 866 lb from 10.00 ft of floor beyond the far end"),
    ],
)
def test_a_strut_that_can_not_be_counted_leaves_the_link_open(changed, reason):
    schedule = assess(_short(struts=(_strut(),))).schedule
    check = check_chain(_short(struts=(_strut(**changed),)), schedule).line("A").link("3").check
    assert check.status == "open"
    assert reason in check.notes[0]


def test_a_strut_without_its_splice_is_open():
    given_house = _short(struts=(_strut(),))
    bare = edited(assess(given_house).schedule, "A", "strut splice", count=0)
    check = check_chain(given_house, bare).line("A").link("3").check
    assert check.notes[0] == "the strut at the far end has no splice"


def test_a_weak_strut_is_over_in_tension():
    check = _check(_short(struts=(_strut(tension_psi=100.0),)))
    assert check.status == "over"
    assert check.capacity == pytest.approx(100 * 1.6 * 1.5 * 3.5)
    assert "strut at the far end: 866 lb, 840 lb allowed in tension: a larger member" in check.warnings


def test_too_few_nails_in_the_splice_say_how_many_more():
    given_house = _short(struts=(_strut(),))
    count = assess(given_house).schedule.line("A").count("strut splice")
    short = edited(assess(given_house).schedule, "A", "strut splice", count=count - 2)
    check = check_chain(given_house, short).line("A").link("3").check
    assert check.status == "over"
    assert "2 more nails or straps needed in the splice of the strut at the far end" in check.warnings


def test_a_strap_splices_a_strut_without_a_lap():
    strut = _strut(lap_in="not observed")
    given_house = _short(with_strap(house()), struts=(strut,), methods={"strut_splice": "strap"})
    assert assess(given_house).schedule.line("A").count("strut splice") == 1
    assert _part(given_house).status == "ok"


def test_what_the_engineer_has_to_detail_is_said():
    notes = _check(_short(struts=(_strut(),))).notes
    assert any("how joists or blocks bring the shear to it is the engineer's detail" in note for note in notes)
    assert "tension of the strut at the far end: grade mark read" in notes
