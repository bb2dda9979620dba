"""Link 8: what a line delivers to its foundation, its recorded condition, the engineer's acceptance."""

from __future__ import annotations

import pytest

from engineering.house import assess
from engineering.inputs import Segment
from tests.engineering.varied import house, with_line


def test_each_panel_delivers_its_shear_uplift_and_compression():
    line = assess(house()).line("A")
    link = line.link("8")
    assert [part.name for part in link.parts] == ["panel 1", "panel 2"]
    assert sum(part.step("shear_lb").value for part in link.parts) == pytest.approx(line.demand_lb)
    for part, panel in zip(link.parts, line.link("7a").parts, strict=True):
        assert part.step("compression_lb").value == pytest.approx(panel.step("compression_lb").value)
        assert part.step("uplift_lb").value == pytest.approx(max(0.0, panel.step("net_tension_lb").value))
        assert part.step("rods").value == (2 if part.step("uplift_lb").value else 0)


def test_the_sill_bears_on_the_concrete_by_width_and_length():
    link = assess(house()).line("A").link("8")
    assert link.parts[0].step("sill_area_in2").value == pytest.approx(96 * 3.5)  # 8 ft of a 3-1/2 in sill


@pytest.mark.parametrize(("edge_in", "bears_in"), [(-1.0, 2.5), (0.0, 3.5), (2.0, 3.5), (-4.0, 0.0)])
def test_a_sill_that_overhangs_bears_on_less(edge_in, bears_in):
    over = with_line(house(), "A", framing={"sill_edge_in": edge_in})
    assert assess(over).line("A").link("8").parts[0].step("sill_bears_in").value == pytest.approx(bears_in)


def test_a_sill_cut_flush_bears_on_what_stays():
    cut = with_line(house(), "1", methods={"wide_sill": "flush cut"})
    assert assess(cut).line("1").link("8").parts[0].step("sill_bears_in").value == pytest.approx(3.5)
    assert assess(house()).line("1").link("8").parts[0].step("sill_bears_in").value == pytest.approx(5.5)


def test_where_joists_bear_on_the_sill_each_piece_delivers_its_length():
    on_sill = with_line(
        house(criteria={"redundancy": 1.0}),
        "B",
        segments=(Segment(kind="joists on the sill", from_ft=0, to_ft=40, stud_height_ft=1.0),),
        panels=(), openings=(), plate_laps_ft=(), framing={"plates_in": ()},
        methods={"floor_to_plate": "angle", "alternatives": ()},
    )  # fmt: skip
    line = assess(on_sill).line("B")
    parts = line.link("8").parts
    assert [part.name for part in parts] == ["sill piece 1", "sill piece 2", "sill piece 3"]
    assert [part.step("shear_lb").value for part in parts] == pytest.approx(
        [line.demand_lb * length_ft / 40 for length_ft in (16, 12, 12)]
    )
    assert [part.step("shear_plf").value for part in parts] == pytest.approx(3 * [line.demand_lb / 40])


def test_the_condition_is_recorded_and_never_weighed():
    bad = {"condition": "spalled", "crack_in": 0.25, "section_loss_percent": 15.0, "face": "unsound", "accepted_by": ""}
    check = assess(with_line(house(), "A", foundation=bad)).line("A").link("8").check
    assert (check.status, check.ratio) == ("recorded", None)
    recorded = [check.step(key).value for key in ("material", "condition", "face", "crack_in", "section_loss_percent")]
    assert recorded == ["concrete", "spalled", "unsound", 0.25, 15.0]
    assert check.step("accepted_by").value == "nobody yet"
    assert check.warnings == ("not accepted by the engineer yet",)


def test_what_nobody_looked_at_says_so():
    assert assess(house()).line("A").link("8").check.step("crack_in").value == "not observed"
