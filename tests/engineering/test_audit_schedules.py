"""Deficient schedules as a crew or a careless hand might leave them: never a pass, always what is short."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engineering.errors import OutOfRange
from engineering.house import assess, check_chain
from tests.engineering.varied import edited, house, with_line


def _rechecked(label, role, **changes):
    return check_chain(house(), edited(assess(house()).schedule, label, role, **changes)).line(label)


@pytest.mark.parametrize("spacing_in", [-6.0, 0.1, 1.5, 8.0])
def test_edge_nails_no_table_knows_leave_the_panel_open(spacing_in):
    link = _rechecked("A", "panel edge nails", spacing_in=spacing_in).link("4")
    assert link.check.status == "open"
    assert "from 2 to 6 in apart" in link.check.notes[0]


def test_one_edge_nail_is_not_a_nailed_panel():
    link = _rechecked("A", "panel edge nails", count=1).link("4")
    assert link.check.status == "open"
    assert "must be at least 108 edge nails" in link.check.notes[0]


def test_nails_for_6_in_scheduled_at_4_in_count_as_6_in():
    at_6_in = assess(house()).line("A").link("4").check.ratio
    assert _rechecked("A", "panel edge nails", spacing_in=4.0).link("4").check.ratio == at_6_in


def test_of_two_nailings_for_one_panel_the_wider_counts():
    given = house()
    result = assess(given)
    closer = edited(result.schedule, "A", "panel edge nails", spacing_in=2.0, count=400).line("A")
    rows = (*result.schedule.line("A").items, *closer.rows("panel edge nails"))
    both = replace(result.schedule, lines=(replace(closer, items=rows),))
    assert check_chain(given, both).line("A").link("4").check.ratio == result.line("A").link("4").check.ratio


def test_a_nail_of_another_finish_is_not_the_sheathings_nail():
    given = house()
    nails = given.catalogue.nails
    own = next(nail for nail in nails if nail.key == "sheathing")
    other = replace(own, key="other", finish="bright" if own.finish != "bright" else "hot-dip")
    given = replace(given, catalogue=replace(given.catalogue, nails=(*nails, other)))
    link = check_chain(given, edited(assess(given).schedule, "A", "panel edge nails", connector="other")).line("A")
    assert link.link("4").check.status == "open"


@pytest.mark.parametrize("role", ["tie-downs", "tie-down anchors"])
@pytest.mark.parametrize("places", [(33.0, 39.0), (4.5, 39.0), (4.5, 200.0), (10.0, 20.0, 30.0)])
def test_tie_downs_away_from_the_panels_ends_leave_it_open(role, places):
    line = _rechecked("1", role, of_panel=1, count=len(places), positions_in=places)
    link = line.link("7a" if role == "tie-downs" else "7b")
    assert link.check.status == "open"
    assert "one at each end" in link.check.notes[0]


def test_a_sill_piece_without_its_least_anchors_is_no_pass():
    given = house()
    line = assess(given).schedule.line("2")
    bare = replace(line, items=tuple(row for row in line.items if (row.role, row.piece) != ("sill anchors", 3)))
    link = check_chain(given, replace(assess(given).schedule, lines=(bare,))).line("2").link("6a")
    assert (link.check.status, link.check.ratio < 1) == ("over", True)
    assert link.check.warnings == ("1 more sill anchors needed in sill piece 3",)


def test_two_anchors_a_panel_even_where_one_would_carry_it():
    given = house(criteria={"force_factor": 0.2})
    link = check_chain(given, edited(assess(given).schedule, "B", "sill anchors", count=1)).line("B").link("6a")
    assert (link.check.status, link.check.ratio < 1) == ("over", True)
    assert "1 more sill anchors needed in panel 1" in link.check.warnings


def test_screws_without_places_still_keep_the_maximum_spacing():
    given = house(criteria={"force_factor": 0.2})
    schedule = edited(assess(given).schedule, "A", "floor to plate", count=4, positions_in=())
    check = check_chain(given, schedule).line("A").link("1").check
    assert (check.status, check.ratio < 1) == ("over", True)
    assert "screws at 120 in: more than the maximum spacing of 72 in" in check.warnings


def test_a_line_given_twice_is_refused():
    schedule = assess(house()).schedule
    with pytest.raises(OutOfRange, match=r"schedule\.lines"):
        check_chain(house(), replace(schedule, lines=(*schedule.lines, schedule.lines[0])))


def test_stitch_nails_all_at_one_end_are_not_spread():
    crowded = tuple(2.5 + 1.25 * number for number in range(20))
    check = _rechecked("A", "stitch nails", positions_in=crowded).link("2").check
    assert (check.status, check.ratio < 1) == ("over", True)
    assert "nothing from 26.25 to 480 in: not spread over the line" in check.warnings


def test_framing_angles_all_at_one_end_are_not_spread():
    given = with_line(house(), "B", methods={"floor_to_plate": "angle"})
    schedule = assess(given).schedule
    count = schedule.line("B").count("floor to plate")
    crowded = edited(schedule, "B", "floor to plate", positions_in=tuple(6.0 + 4 * one for one in range(count)))
    assert assess(given).line("B").link("1").check.status == "ok"
    assert check_chain(given, crowded).line("B").link("1").check.status == "over"


def test_blocks_of_narrow_bays_hold_fewer_nails():
    # A stud every 4 in from 16 to 48 in: 2-1/2 in clear hold no 0.162 in nail at 15 diameters.
    studs = tuple(sorted({*range(0, 337, 16), *range(16, 49, 4)}))
    given = with_line(house(), "1", framing={"stud_centrelines_in": tuple(float(at) for at in studs)})
    check = check_chain(given, assess(house()).schedule).line("1").link("5").check
    assert check.status == "over"
    assert any(warning.startswith("panel 1: blocks hold") for warning in check.warnings)
    assert assess(given).line("1").link("5").check.status == "ok"  # proposed: more in the wide bays


def test_anchors_side_by_side_do_not_both_count():
    link = _rechecked("B", "sill anchors", of_panel=1, positions_in=(40.0, 41.0)).link("6a")
    assert link.check.status == "over"
    assert "anchor at 41 in is nearer than 4 diameters to the one before" in link.check.warnings
