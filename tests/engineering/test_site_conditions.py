"""What the survey found about the wood reaches every value: wet framing, a gap under the sill, treated wood."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engineering.errors import OutOfRange
from engineering.finishes import require_finish
from engineering.house import assess
from engineering.inputs import NOT_OBSERVED, AsFoundNailing, Member, Nail
from tests.engineering.varied import house, line_of, with_line

FIR = Member(species="Douglas Fir-Larch", specific_gravity=0.5, basis="grade mark read")
TREATED = replace(FIR, treated=True)


def _link(given, name, label="A"):
    return assess(given).line(label).link(name).check


def _found(given, link, label="A"):
    return next(one.check for one in assess(given).line(label).as_found if one.link == link)


def test_wet_framing_keeps_seven_tenths_of_each_nail():
    dry, wet = (with_line(house(), "A", framing={"moisture": moisture}) for moisture in ("dry", "wet"))
    assert _link(wet, "2").step("each_lb").value == pytest.approx(0.7 * _link(dry, "2").step("each_lb").value)
    assert _found(wet, "1").capacity == pytest.approx(0.7 * _found(dry, "1").capacity)
    nails = [one for one in assess(wet).fasteners if any(step.key == "C_M" for step in one.steps)]
    assert nails
    assert all("C_M" in one.step("Zp_lb").expression for one in nails)


def test_an_evaluated_screw_for_dry_wood_is_no_method_in_wet():
    wet = with_line(house(), "A", framing={"moisture": "wet"})
    option = next(one for one in assess(wet).line("A").options if one.connector == "screw")
    assert not option.feasible
    assert "no wet service factor" in option.reason


def _bolt(given):
    """The wood side of a bolt in line A's sill; the other lines' sills have no gap that was seen."""
    return next(one for one in assess(given).fasteners if "anchor bolt" in one.name)


def test_a_gap_under_the_sill_weakens_its_bolts():
    tight, shimmed = (_bolt(with_line(house(), "A", framing={"sill_gap_in": gap_in})) for gap_in in (0.0, 0.5))
    assert shimmed.step("gap_in").value == 0.5
    assert shimmed.capacity < 0.8 * tight.capacity


def test_a_gap_under_the_sill_takes_more_bolts():
    counts = [
        sum(row.count for row in assess(given).schedule.line("A").rows("sill anchors"))
        for given in (with_line(house(), "A", framing={"sill_gap_in": gap_in}) for gap_in in (0.0, 2.0))
    ]
    assert counts[0] < counts[1]


@pytest.mark.parametrize(
    ("field", "seen", "sentence"),
    [
        ("moisture", "dry", "line A: moisture of the framing was not observed: taken as 19 % or less"),
        ("sill_gap_in", 0.0, "line A: gap under the sill was not observed: taken as none"),
    ],
)
def test_what_nobody_looked_at_is_printed(field, seen, sentence):
    unseen = with_line(house(), "A", framing={field: NOT_OBSERVED})
    assert sentence in assess(unseen).assumptions
    assert sentence not in assess(with_line(house(), "A", framing={field: seen})).assumptions


def test_a_bright_nail_found_in_treated_wood_leaves_its_link_open_and_the_rest_computed():
    given = house()
    plates = replace(line_of(given, "A").framing.plates, treated=True)
    found = tuple(
        replace(one, nail=replace(one.nail, finish="bright")) if isinstance(one, AsFoundNailing) else one
        for one in line_of(given, "A").as_found
    )
    result = assess(with_line(given, "A", framing={"plates": plates}, as_found=found))
    today = next(one.check for one in result.line("A").as_found if one.link == "1")
    assert today.status == "open"
    assert "must be hot-dip or stainless in treated wood" in today.notes[0]
    assert result.line("B").link("1").check.status != "open"


@pytest.mark.parametrize("finish", ["hot-dip", "stainless"])
def test_treated_wood_takes_hot_dip_or_stainless(finish):
    require_finish("nail.finish", finish, TREATED, FIR)
    require_finish("nail.finish", "bright", FIR, FIR)
    with pytest.raises(OutOfRange, match="hot-dip or stainless"):
        require_finish("nail.finish", "bright", FIR, TREATED)


def test_a_bright_connector_is_no_method_in_treated_plates():
    given = house()
    rows = tuple(replace(one, finish="bright") for one in given.catalogue.evaluated)
    given = replace(given, catalogue=replace(given.catalogue, evaluated=rows))
    plates = replace(line_of(given, "A").framing.plates, treated=True)
    options = assess(with_line(given, "A", framing={"plates": plates})).line("A").options
    for key in ("screw", "angle"):
        assert "hot-dip or stainless" in next(one.reason for one in options if one.connector == key)


def test_a_short_nail_as_found_counts_as_nothing():
    given = house()
    short = Nail(key="short", name="6d box 0.099 × 2 in", kind="box", diameter_in=0.099, length_in=2, finish="bright")
    found = tuple(replace(one, nail=short, toenail=False, link="2") for one in line_of(given, "A").as_found[:1])
    check = _found(with_line(given, "A", as_found=found, framing={"plates_in": (2.0, 2.0)}), "2")
    assert check.status == "open"
    assert "6d box" in check.notes[0]
