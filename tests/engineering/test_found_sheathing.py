"""Links 4 and 5 as found: gypsum, boards, siding and plaster count only as accepted, and only where they stand."""

from __future__ import annotations

import pytest

from engineering.errors import OutOfRange
from engineering.found_sheathing import materials
from engineering.house import assess
from engineering.inputs import FoundSheathing, Segment, Span
from tests.engineering.varied import house, line_of, with_line

BOARDS = "horizontal lumber sheathing 1x6 and smaller, two 8d a stud"
GYPSUM = "gypsum wallboard 1/2, 5d cooler at 7, studs at 16, unblocked"


def sheathing(material=BOARDS, from_ft=0.0, to_ft=40.0, **changes):
    return FoundSheathing(
        **{
            "material": material,
            "from_ft": from_ft,
            "to_ft": to_ft,
            "bottom_edge": "on the sill",
            "accepted": True,
            "reason": "nailing seen in three places",
            **changes,
        }
    )


def as_found(*found, link="4", **changes):
    line = assess(with_line(house(), "A", found_sheathing=found, **changes)).line("A")
    return next(one.check for one in line.as_found if one.link == link)


def test_boards_carry_their_table_value_over_the_whole_line():
    check = as_found(sheathing())
    assert check.capacity == pytest.approx(140 / 2.8)
    assert check.demand == pytest.approx(assess(house()).line("A").demand_lb / 40)
    assert check.status == "over"


def test_the_bottom_edge_is_link_5_of_the_same_sheathing():
    assert as_found(sheathing(), link="5").ratio == as_found(sheathing()).ratio


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"accepted": False}, "not accepted"),
        ({"bottom_edge": "stops above the sill"}, "bottom edge stops above the sill"),
        ({"bottom_edge": "not observed"}, "bottom edge not observed"),
        ({"material": "wood lath and plaster"}, "no published value"),
        ({"material": "stucco"}, "no published value"),
    ],
)
def test_what_was_not_accepted_seen_or_published_carries_nothing(changes, reason):
    for link in ("4", "5"):
        check = as_found(sheathing(**changes), link=link)
        assert check.status == "open"
        assert reason in check.notes[0]


def test_plaster_counts_with_the_engineers_own_value_and_its_source():
    own = sheathing(material="wood lath and plaster", allowable_plf=90.0, source="letter of the engineer, 2025-05-02")
    check = as_found(own)
    assert check.capacity == 90
    assert "letter of the engineer" in str(check.step("found_face_plf").source)
    with pytest.raises(OutOfRange, match="must name where"):
        sheathing(material="stucco", allowable_plf=90.0)


def test_two_faces_of_unlike_sheathing_are_never_added():
    """Greater of twice the weaker and the stronger alone: gypsum 200/2.8, boards 140/2.8."""
    boards = sheathing(face="outside")
    assert as_found(boards, sheathing(GYPSUM, face="inside")).capacity == pytest.approx(2 * 140 / 2.8)
    siding = "plywood siding 5/16, 6d galvanized casing at 4, blocked"
    assert as_found(boards, sheathing(siding, face="inside")).capacity == pytest.approx(590 / 2.8)


@pytest.mark.parametrize(
    ("boards", "gypsum"),
    [
        ("outside", "outside"),
        ("inside", "inside"),
        ("outside", "not observed"),
        ("not observed", "inside"),
        ("not observed", "not observed"),
    ],
)
def test_layers_not_shown_to_lie_on_two_faces_count_once(boards, gypsum):
    """Boards under gypsum on one face are one face: the better alone, 200/2.8 plf."""
    check = as_found(sheathing(face=boards), sheathing(GYPSUM, face=gypsum))
    assert check.capacity == pytest.approx(200 / 2.8)
    assert any("not shown to lie on different faces" in note for note in check.notes)


def test_an_unseen_layer_adds_nothing_to_two_faces():
    faces = (sheathing(face="outside"), sheathing(GYPSUM, face="inside"))
    assert as_found(*faces, sheathing()).capacity == as_found(*faces).capacity


def test_one_layer_on_each_part_of_the_wall_is_no_second_face():
    check = as_found(sheathing(to_ft=20.0), sheathing(from_ft=20.0))
    assert check.capacity == pytest.approx(140 / 2.8)
    assert not any("different faces" in note for note in check.notes)


def test_openings_and_narrow_stretches_do_not_count():
    """Boards up to 2:1; 3 ft high. 0 to 4 and 5 to 20 count, the foot between vents does not."""
    holes = (Span(from_ft=4.0, to_ft=4.5), Span(from_ft=5.5, to_ft=20.0), Span(from_ft=36.0, to_ft=40.0))
    check = as_found(sheathing(to_ft=30.0), panels=(), openings=holes)
    assert check.step("found_length_ft").value == pytest.approx(4 + 10)
    assert any("4.5 to 5.5 ft: h/b over 2" in note for note in check.notes)


def test_a_step_parts_a_stretch():
    steps = (
        Segment(kind="cripple wall", from_ft=0.0, to_ft=1.0, stud_height_ft=5.0),
        Segment(kind="cripple wall", from_ft=1.0, to_ft=40.0, stud_height_ft=2.0),
    )
    check = as_found(sheathing(), panels=(), segments=steps)
    assert check.step("found_length_ft").value == 39


def test_softer_framing_takes_off():
    soft = {
        "studs": line_of(house(), "A").framing.studs.__class__(species="cedar", specific_gravity=0.36, basis="seen")
    }
    assert as_found(sheathing(), framing=soft).capacity == pytest.approx(140 / 2.8 * 0.86)


def test_found_sheathing_adds_nothing_to_new_panels():
    with_boards = assess(with_line(house(), "A", found_sheathing=(sheathing(),))).line("A").link("4").check
    assert with_boards.ratio == assess(house()).line("A").link("4").check.ratio
    assert any("adds nothing to the new panels" in note for note in with_boards.notes)


def test_values_from_memory_are_told_as_such():
    given = with_line(house(), "A", found_sheathing=(sheathing(),))
    assert materials()[BOARDS].source.read == "from memory"
    assert any("Table 4.3D" in source for source in assess(given).from_memory)
