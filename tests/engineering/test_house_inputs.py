"""Houses that can't be are refused where they are filled in, by the name of the field."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engineering.errors import OutOfRange
from engineering.house import assess
from engineering.inputs import Segment, Span
from tests.engineering.varied import house, line_of, with_line


def _span(from_ft: float, to_ft: float) -> Span:
    return Span(from_ft=from_ft, to_ft=to_ft)


@pytest.mark.parametrize(
    ("field", "changes", "allowed"),
    [
        ("panels", {"panels": (_span(0, 8), _span(32, 41))}, "must end on the line"),
        ("panels", {"panels": (_span(0, 8), _span(6, 14))}, "must be in order and not overlap"),
        ("panels", {"panels": (_span(20, 28), _span(0, 8))}, "must be in order and not overlap"),
        ("panels", {"panels": (_span(0, 0.4),)}, "longer than its end posts"),
        ("panels", {"sill_pieces": (_span(0, 4), _span(5, 26), _span(26, 40)), "existing_anchors": ()},
         "must stand on sill pieces"),
        ("panels", {"openings": (_span(7, 9),)}, "must not cover an opening"),
        ("panels", {"segments": (Segment(kind="slab part", from_ft=0, to_ft=40, stud_height_ft=2.0),)},
         "must stand on a studded wall"),
        ("panels", {"segments": (Segment(kind="cripple wall", from_ft=10, to_ft=40, stud_height_ft=2.0),)},
         "must stand on surveyed segments"),
        ("panels", {"segments": (Segment(kind="cripple wall", from_ft=0, to_ft=4, stud_height_ft=2.0),
                                 Segment(kind="cripple wall", from_ft=4, to_ft=40, stud_height_ft=3.0))},
         r"step at 4 ft \(studs 2 ft, then 3 ft\); full height stands from 0 to 4, 4 to 40 ft"),
        ("sill_pieces", {"sill_pieces": (_span(0, 20), _span(19, 40))}, "must be in order and not overlap"),
        ("existing_anchors.at_ft", {"sill_pieces": (_span(0, 11), _span(13, 40))}, "must stand on a sill piece"),
        ("plate_laps_ft", {"plate_laps_ft": (41.0,)}, "must be from 0 to 40"),
        ("end_ft", {"end_ft": (40.0, 1.0)}, "parallel to x or y"),
        ("end_ft", {"end_ft": (0.0, 0.0)}, "parallel to x or y"),
    ],
)  # fmt: skip
def test_a_wall_line_that_can_not_be_is_refused(field, changes, allowed):
    with pytest.raises(OutOfRange, match=allowed) as refused:
        with_line(house(), "A", **changes)
    assert refused.value.field == field


@pytest.mark.parametrize(
    ("field", "framing"),
    [
        ("plates_in", {"plates_in": (1.5, 1.5, 1.5)}),
        ("plates_in", {"plates_in": (1.5, 0.0)}),
        ("stud_centrelines_in", {"stud_centrelines_in": (16.0, 0.0)}),
        ("framing.stud_centrelines_in", {"stud_centrelines_in": (0.0, 481.0)}),
        ("rim_set_back_in", {"rim_set_back_in": 4.0}),
        ("sill_width_in", {"sill_width_in": -3.5}),
        ("headroom_in", {"headroom_in": 0.0}),
    ],
)
def test_framing_that_can_not_be_is_refused(field, framing):
    with pytest.raises(OutOfRange) as refused:
        with_line(house(), "A", framing=framing)
    assert refused.value.field == field


@pytest.mark.parametrize(
    ("from_ft", "to_ft"), [(-1.0, 4.0), (4.0, 4.0), (5.0, 4.0), (0.0, float("inf")), (float("nan"), 4.0)]
)
def test_a_stretch_runs_forward_from_the_zero_end(from_ft, to_ft):
    with pytest.raises(OutOfRange):
        _span(from_ft, to_ft)


def test_a_line_off_the_plan_is_refused():
    line = replace(line_of(house(), "A"), start_ft=(0.0, -1.0), end_ft=(40.0, -1.0))
    with pytest.raises(OutOfRange, match="must lie on the floor outline or inside it"):
        replace(house(), lines=(line, *house().lines[1:]))


def test_labels_are_given_once():
    with pytest.raises(OutOfRange, match="each label once"):
        replace(house(), lines=(house().lines[0], house().lines[0]))


def test_catalogue_keys_are_given_once():
    catalogue = house().catalogue
    with pytest.raises(OutOfRange, match="each key must be given once"):
        replace(catalogue, nails=(*catalogue.nails, replace(catalogue.nails[0], key="lag")))


def test_a_chosen_connector_must_be_of_its_kind():
    with pytest.raises(OutOfRange, match="must be a sill anchor"):
        assess(with_line(house(), "A", methods={"sill_anchor": "tie-down"}))
    with pytest.raises(OutOfRange, match="can't be a tie-down"):
        assess(with_line(house(), "A", methods={"floor_to_plate": "tie-down"}))
    with pytest.raises(OutOfRange, match="must be one of"):
        assess(with_line(house(), "A", methods={"stitch_nail": "unheard of"}))


def test_a_panel_more_slender_than_the_standard_allows_is_refused():
    tall = replace(line_of(house(), "A").segments[0], stud_height_ft=8.625)
    high = house(building={"braced_wall_height_ft": 9.0})
    with pytest.raises(OutOfRange, match=r"h/b = 4.50 is over 3.5"):
        assess(with_line(high, "A", segments=(tall,), panels=(_span(0, 2),)))


def test_panels_need_plates_to_nail_to():
    with pytest.raises(OutOfRange, match="must be one or two top plates where panels stand") as refused:
        assess(with_line(house(), "A", framing={"plates_in": ()}, plate_laps_ft=()))
    assert refused.value.field == "lines.A.framing.plates_in"


def test_a_joint_needs_a_stud_in_reach():
    with pytest.raises(OutOfRange, match="needs a stud within 24 in of 16 in"):
        assess(with_line(house(), "A", framing={"stud_centrelines_in": (0.0, 16.0, 48.0, 64.0, 80.0)}))
