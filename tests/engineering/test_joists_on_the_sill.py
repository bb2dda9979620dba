"""A wall line whose joists bear on the sill: no studs, no plates, no panel; floor to sill, sill to its face.

Between joists nobody can drill from above: side connections stand in for anchors.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from engineering.connector_values import ConnectorValues
from engineering.errors import OutOfRange
from engineering.footings import footings
from engineering.house import assess
from engineering.inputs import HouseInputs, Segment, Span
from engineering.load_path import contexts
from engineering.seismic_demand import demand_inputs, house_demand
from tests.engineering.varied import house, line_of, with_line, with_side_connections


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


def test_each_sill_piece_carries_what_its_own_rectangle_brings():
    base = house(criteria={"redundancy": 1.0})
    outline = ((0.0, 0.0), (40.0, 0.0), (40.0, 28.0), (20.0, 28.0), (20.0, 14.0), (0.0, 14.0))
    plan = {"floor_outline_ft": outline, "roof_outline_ft": outline, "point_weights": (), "story_above": ()}
    building = replace(base.building, **plan)

    def placed(label, like, start_ft, end_ft, *, plates_in=(1.5, 1.5), **more):
        source, long_ft = line_of(base, like), abs(end_ft[0] - start_ft[0]) + abs(end_ft[1] - start_ft[1])
        wall = Segment(kind="cripple wall", from_ft=0, to_ft=long_ft, stud_height_ft=2.625)
        studs = tuple(16.0 * number for number in range(int(0.75 * long_ft) + 1))
        facts = {
            "segments": (wall,), "panels": (Span(from_ft=0, to_ft=8),), "openings": (), "plate_laps_ft": (),
            "sill_pieces": (Span(from_ft=0, to_ft=long_ft),), "existing_anchors": (),
            "framing": replace(source.framing, stud_centrelines_in=studs, plates_in=plates_in), **more,
        }  # fmt: skip
        return replace(source, label=label, start_ft=start_ft, end_ft=end_ft, **facts)

    bearing = {
        "segments": (Segment(kind="joists on the sill", from_ft=0, to_ft=40, stud_height_ft=1.0),), "panels": (),
        "sill_pieces": (Span(from_ft=0, to_ft=20), Span(from_ft=20, to_ft=40)), "plates_in": (),
    }  # fmt: skip
    lines = (
        placed("A", "A", (0.0, 0.0), (40.0, 0.0), **bearing), placed("M", "B", (0.0, 14.0), (20.0, 14.0)),
        placed("B", "B", (20.0, 28.0), (40.0, 28.0)), placed("1", "1", (0.0, 0.0), (0.0, 14.0)),
        placed("2", "2", (40.0, 0.0), (40.0, 28.0)), placed("3", "1", (20.0, 14.0), (20.0, 28.0)),
    )  # fmt: skip
    given = replace(base, building=building, lines=lines)
    demand = house_demand(demand_inputs(given))
    context = next(one for one in contexts(given, demand, ConnectorValues(given)) if one.line.label == "A")
    shares = [foot.share_lb for foot in footings(context)]
    assert shares == pytest.approx([part.demand_lb for part in demand.lines["A"].parts])
    assert shares[1] > 1.5 * shares[0]  # 28 ft of floor behind it, not 14
