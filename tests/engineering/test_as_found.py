"""Links 1 and 2 as found: which old nails count, what the prescriptive chapter waives, what stays open and why."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engineering.as_found import links
from engineering.errors import OutOfRange
from engineering.house import assess
from engineering.inputs import AsFoundNailing, HouseInputs, Nail, Story
from engineering.results import Check
from tests.engineering.varied import house, line_of, prescriptive, with_line

EIGHT_D = Nail(
    key="8d", name="8d common 0.131 × 2½ in", kind="common", diameter_in=0.131, length_in=2.5, finish="bright"
)
TOENAILS = AsFoundNailing(link="1", nail=EIGHT_D, spacing_in=16.0, toenail=True)


def _found(*nailing: AsFoundNailing, link: str = "1", given: HouseInputs | None = None, **changes) -> Check:
    line = assess(with_line(given or house(), "A", as_found=nailing, **changes)).line("A")
    return next(one.check for one in line.as_found if one.link == link)


def test_seen_toenails_count_and_say_how_they_are_known():
    check = _found(TOENAILS)
    assert check.step("nails").value == 31  # 480 / 16 + 1
    assert check.notes == ("8d common 0.131 × 2½ in: seen",)


def test_the_nailing_of_the_year_built_counts_once_the_engineer_accepts_it():
    accepted = replace(
        TOENAILS, basis="accepted: UBC 1927", accepted_by="J. Alder", reason="same builder next door, opened"
    )
    check = _found(accepted)
    assert check.capacity == _found(TOENAILS).capacity
    assert check.notes == (
        "8d common 0.131 × 2½ in: nailing of UBC 1927, accepted by J. Alder: same builder next door, opened",
    )


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"basis": "probably"}, "basis"),
        ({"basis": "accepted: "}, "basis"),
        ({"basis": "accepted: UBC 1927", "reason": "r"}, "accepted_by"),
        ({"basis": "accepted: UBC 1927", "accepted_by": "J. Alder"}, "reason"),
    ],
)
def test_nailing_that_nobody_saw_needs_edition_engineer_and_reason(changes, field):
    with pytest.raises(OutOfRange) as refused:
        replace(TOENAILS, **changes)
    assert refused.value.field == field


def test_straight_nails_from_floor_to_plate_count_only_where_seen():
    straight = replace(TOENAILS, toenail=False, nail=replace(EIGHT_D, length_in=3.5))
    assert _found(straight).status == "ok"
    unseen = _found(replace(straight, basis="accepted: UBC 1927", accepted_by="J. Alder", reason="r"))
    assert unseen.status == "open"
    assert "must be seen: straight nails" in unseen.notes[0]


def test_nails_that_may_not_be_counted_leave_the_link_open_with_the_reason():
    short = _found(replace(TOENAILS, nail=replace(EIGHT_D, length_in=1.25)))
    assert short.status == "open"
    assert "6 D" in short.notes[0]
    plates = replace(line_of(house(), "A").framing.plates, treated=True)
    assert "treated" in _found(TOENAILS, framing={"plates": plates}).notes[0]


def test_nails_between_plates_make_link_2():
    nails = AsFoundNailing(link="2", nail=replace(EIGHT_D, length_in=3.25), spacing_in=12.0, toenail=False)
    check = _found(nails, link="2")
    assert check.status == "ok"
    assert check.capacity == pytest.approx(41 * float(check.step("each_lb").value))


def test_toenails_stop_at_150_plf_of_the_local_shear_not_of_the_average():

    close = replace(TOENAILS, spacing_in=3.0)
    line = assess(with_line(house(), "2", as_found=(close,))).line("2")
    check = next(one.check for one in line.as_found if one.link == "1")
    limit = check.step("limit_lb")
    assert check.capacity == limit.value == pytest.approx(150 * limit.inputs["V"] / limit.inputs["v"])


def test_toenails_are_not_limited_in_a_mild_category():
    mild = house(hazard={"s_ds_g": 0.45, "seismic_design_category": "C"})
    check = _found(replace(TOENAILS, spacing_in=3.0), given=mild)
    assert check.capacity > 6000
    assert check.step("capacity_lb").inputs == {"N": check.capacity}


def test_joists_that_nothing_holds_upright_carry_no_toenail():
    check = _found(TOENAILS, framing={"floor_edge": "nothing"})
    assert check.status == "open"
    assert "nothing holds them upright" in check.notes[0]


# --- the prescriptive chapter --------------------------------------------------------------------------------------
def _by_the_chapter(*nailing: AsFoundNailing, given: HouseInputs | None = None, **changes) -> Check:
    context = prescriptive(with_line(given or house(), "A", as_found=nailing, **changes), "A")
    return next(one.check for one in links(context) if one.link == "1")


def _two_stories() -> HouseInputs:
    built = house().building
    second = Story(
        label="second", floor_outline_ft=built.floor_outline_ft, floor_depth_ft=1.0, wall_height_ft=8.0,
        floor_psf=10.0, partitions_psf=10.0, wall_psf=15.0,
    )  # fmt: skip
    return house(building={"upper_stories": (second,), "story_above": (), "point_weights": ()})


def test_in_one_story_the_chapter_waives_the_check_and_its_clause_is_cited():
    check = _by_the_chapter()
    assert (check.status, check.ratio) == ("recorded", None)
    assert check.clause == "IEBC 2021 A304.1.3"
    assert "need no check" in check.notes[0]


def test_nails_that_were_seen_are_weighed_all_the_same():
    assert _by_the_chapter(TOENAILS).ratio is not None


def test_a_rim_that_nobody_saw_is_not_waived():
    assert _by_the_chapter(framing={"floor_edge": "not observed"}).status == "open"


def test_in_more_stories_the_bottom_edge_must_be_verified():
    check = _by_the_chapter(given=_two_stories())
    assert check.status == "open"
    assert "bottom edge of rim or blocks must be verified (IEBC 2021 A304.1.3)" in check.notes[0]


@pytest.mark.parametrize("basis", ["appendix A3 engineered", "voluntary lateral alteration"])
def test_a_basis_with_computed_forces_waives_nothing(basis):
    """A304 belongs to the prescriptive chapter alone: A3 engineered is computed under A301.3."""
    assert _found(given=house(criteria={"legal_basis": basis})).status == "open"
