"""A wall line whose joists bear on the sill: no studs, no plates, no panel; floor to sill, sill to its face.

Between joists nobody can drill from above: side connections stand in for anchors.
"""

from __future__ import annotations

import pytest

from engineering.errors import OutOfRange
from engineering.house import assess
from engineering.inputs import HouseInputs, Segment
from tests.engineering.varied import house, with_line, with_side_connections


def _on_sill(**changes) -> HouseInputs:
    given = with_line(
        house(criteria={"redundancy": 1.0}),
        "B",
        **{
            "segments": (Segment(kind="joists on the sill", from_ft=0, to_ft=40, stud_height_ft=1.0),),
            "panels": (),
            "openings": (),
            "plate_laps_ft": (),
            "framing": {"plates_in": ()},
            "methods": {"floor_to_plate": "angle", "alternatives": ("screw", "lag", "toenail")},
            **changes,
        },
    )
    return with_side_connections(given, "B")


def test_the_chain_goes_from_floor_to_sill_to_anchors():
    line = assess(_on_sill()).line("B")
    assert {link.link: link.check.status for link in line.links} == {
        "0": "recorded", "1": "ok", "2": "not in the chain", "3": "not in the chain", "4": "not in the chain",
        "5": "not in the chain", "6a": "ok", "6b": "ok", "7a": "not in the chain", "7b": "not in the chain",
        "8": "recorded",
    }  # fmt: skip
    assert line.link("1").name == "floor to sill"
    assert line.link("8").check.step("shear_plf").value == pytest.approx(line.demand_lb / 40)


def test_each_sill_piece_carries_its_length_of_the_shear():
    result = assess(_on_sill())
    line, schedule = result.line("B"), result.schedule.line("B")
    # Sill pieces of 16, 12 and 12 ft: by hand 3 805.9·16/40 = 1 522.4 lb over 2 connections of 980 lb is 0.777.
    parts = line.link("6b").parts
    assert [part.name for part in parts] == ["sill piece 1", "sill piece 2", "sill piece 3"]
    assert [part.demand / line.demand_lb for part in parts] == pytest.approx([0.4, 0.3, 0.3])
    assert [(row.piece, row.panel, row.count) for row in schedule.rows("side connections")] == [
        (1, None, 2),
        (2, None, 2),
        (3, None, 2),
    ]
    assert parts[0].ratio == pytest.approx(1522.3557 / 1960, rel=1e-6)
    assert schedule.rows("stitch nails") == schedule.rows("panel edge nails") == schedule.rows("tie-downs") == ()


def test_nothing_passes_plates_that_are_not_there():
    options = {one.connector: one for one in assess(_on_sill()).line("B").options if one.link == "1"}
    assert options["angle"].feasible
    for key in ("screw", "lag"):
        assert "no top plate to go through" in options[key].reason
    # The sill is treated, the catalogue's toenail is bright.
    assert "treated" in options["toenail"].reason


def test_as_found_a_line_without_studs_misses_no_panel():
    found = assess(_on_sill()).line("B").as_found_open
    assert found[0] == "load path open at floor to sill"
    assert not any("panel" in message for message in found)


def test_its_sill_pieces_must_be_surveyed():
    with pytest.raises(OutOfRange, match="must be given where the joists bear on the sill"):
        assess(_on_sill(sill_pieces=(), existing_anchors=()))
