"""Side connections: where no anchor can be drilled through the sill from above, on a sound face of concrete."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engineering.errors import OutOfRange
from engineering.house import assess, check_chain
from engineering.inputs import HouseInputs
from tests.engineering.varied import SIDE, edited, house, line_of, with_connector, with_line, with_side_connections


def _low(label: str = "B", stud_ft: float = 1.4) -> HouseInputs:
    """Studs too short for a rotary hammer, side connections chosen."""
    segments = tuple(replace(one, stud_height_ft=stud_ft) for one in line_of(house(), label).segments)
    return with_side_connections(with_line(house(), label, segments=segments), label)


def _options(given: HouseInputs, label: str = "B"):
    return {one.method: one for one in assess(given).line(label).options}


def test_under_18_in_of_studs_no_anchor_is_drilled_from_above():
    """ "needs about 18 in of cripple wall" (structural engineers' guide pages)."""
    options = _options(_low(stud_ft=17.9 / 12))
    assert not options["sill anchors"].feasible
    assert "17.9 in clear over the sill (studs): a rotary hammer needs about 18 in" in options["sill anchors"].reason
    assert options["side connections"].feasible
    assert _options(_low(stud_ft=1.5))["sill anchors"].feasible


def test_low_studs_without_a_side_connection_leave_the_link_open_with_that_reason():
    line = assess(with_line(_low(), "B", methods={"side_connection": ""})).line("B")
    assert line.link("6a").check.status == "open"
    assert "a rotary hammer needs about 18 in" in line.link("6a").check.notes[0]


def test_side_connections_carry_both_sides_of_link_6():
    result = assess(_low())
    line, rows = result.line("B"), result.schedule.line("B").rows("side connections")
    assert line.link("6a").check.status == line.link("6b").check.status == "ok"
    assert line.link("6a").check.ratio == pytest.approx(line.link("6b").check.ratio)
    assert result.schedule.line("B").rows("sill anchors") == ()
    assert all(row.link == "6a" and row.count == len(row.positions_in) for row in rows)
    for panel in (1, 2, 3):
        assert sum(row.count for row in rows if row.panel == panel) >= 2
    for piece in (1, 2, 3):
        assert sum(row.count for row in rows if row.piece == piece) >= 2


def test_the_spacing_of_side_connections_is_scheduled():
    for row in assess(_low()).schedule.line("B").rows("side connections"):
        if row.count > 1:
            gaps = [b - a for a, b in zip(row.positions_in, row.positions_in[1:], strict=False)]
            assert row.spacing_in == max(gaps)


def test_where_an_anchor_can_be_drilled_the_side_connection_stays_out():
    given = with_side_connections(house(), "B")
    option = _options(given)["side connections"]
    assert not option.feasible
    assert option.reason == "an anchor can be drilled from above"
    assert assess(given).schedule.line("B").rows("side connections") == ()


def test_side_connections_alone_are_used_at_any_headroom():
    given = with_line(with_side_connections(house(), "B"), "B", methods={"sill_anchor": ""})
    assert assess(given).line("B").link("6b").check.status == "ok"


@pytest.mark.parametrize(
    ("foundation", "reason"),
    [
        ({"face": "not observed"}, "needs a sound face of the concrete: not observed"),
        ({"face": "unsound"}, "needs a sound face of the concrete: unsound"),
        ({"material": "masonry"}, "masonry foundation"),
        ({"section_loss_percent": 25.0}, "25 % section loss"),
        ({"concrete_psi": "not observed"}, "must be observed"),
        ({"concrete_psi": 2000.0}, "is too weak"),
    ],
)
def test_side_connections_need_a_sound_face(foundation, reason):
    given = with_line(_low(), "B", foundation=foundation)
    line = assess(given).line("B")
    option = next(one for one in line.options if one.method == "side connections")
    assert not option.feasible
    assert reason in option.reason
    assert line.link("6b").check.status == "open"


def test_a_report_that_lists_species_covers_those_sills_alone():
    given = with_connector(_low(), replace(SIDE, species=("Redwood",)))
    assert "species" in _options(given)["side connections"].reason
    given = with_connector(_low(), replace(SIDE, species=("Douglas Fir-Larch",)))
    assert _options(given)["side connections"].feasible


def test_another_use_is_refused():
    given = with_connector(_low(), replace(SIDE, use="shear, sill to concrete, parallel to the edge"))
    assert "must be what EXAMPLE-5" in _options(given)["side connections"].reason


def test_a_side_connection_is_no_sill_anchor():
    with pytest.raises(OutOfRange, match="must be a sill anchor of the catalogue"):
        assess(with_line(with_connector(house(), SIDE), "B", methods={"sill_anchor": "side"}))


def test_a_side_connection_less_says_one_more():
    given = _low()
    schedule = edited(assess(given).schedule, "B", "side connections", of_panel=1, count=1)
    check = check_chain(given, schedule).line("B").link("6a").check
    assert check.status == "over"
    assert any(warning.startswith("1 more side connections needed in panel 1") for warning in check.warnings)


def test_a_side_connection_near_the_sill_end_counts_as_nothing():
    given = _low()
    schedule = edited(assess(given).schedule, "B", "side connections", of_panel=1, positions_in=(3.0, 40.0), count=2)
    part = check_chain(given, schedule).line("B").link("6a").parts[0]
    assert part.step("new").value == 1


@pytest.mark.parametrize("given", [_low(), with_side_connections(house(), "B")], ids=["low studs", "room for a drill"])
def test_the_way_that_was_not_taken_is_no_warning(given):
    assert not any("can't be placed" in warning for warning in assess(given).line("B").warnings)
