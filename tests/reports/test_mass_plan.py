"""The drawing of which mass goes to which wall line, and the sums beside it."""

from __future__ import annotations

import re

import pytest

from engineering import exchange
from engineering.house import assess
from engineering.seismic_demand import house_demand
from reports.documents import demand_sheet, figures
from reports.drawings import mass_plan
from reports.drawings.sheet import Hatch, Sheet
from tests.engineering.test_diaphragm_force import _l_house
from tests.published.house_a import house_inputs
from tests.reports import snapshots


@pytest.fixture(scope="module")
def snapshot():
    return snapshots.snapshot()


def drawn(snapshot, direction):
    lines = dict(mass_plan.directions(snapshot["inputs"]))[direction]
    return mass_plan.draw(
        snapshot["inputs"], snapshot["result"]["picture"], lines, direction=direction,
        paper_width_in=7.1, paper_height_in=4.15,
    )  # fmt: skip


def test_each_direction_has_its_own_plan_of_its_own_lines(snapshot):
    ways = mass_plan.directions(snapshot["inputs"])
    assert [(name, [line["label"] for line in lines]) for name, lines in ways] == [
        ("east–west", ["A", "B"]), ("north–south", ["1", "2"])]  # fmt: skip
    assert list(demand_sheet.plans(snapshot)) == ["east–west", "north–south"]


def test_a_plan_names_each_line_with_its_weight_and_its_scale(snapshot):
    plan = drawn(snapshot, "north–south")
    for label in ("1", "2"):
        weight_lb = sum(share["weight_lb"] for share in snapshot["result"]["picture"] if share["line"] == label)
        assert f"to line {label}<" in plan
        assert f"{weight_lb:,.0f} lb" in plan
    assert "to line A" not in plan
    assert "Scale 3/32″ = 1′-0″" in plan


def test_strips_are_told_apart_without_colour(snapshot):
    hatchings = {(angle, spacing, layer.dash_pt) for angle, spacing, layer in mass_plan.PATTERNS}
    assert len(hatchings) == len(mass_plan.PATTERNS)
    for (one, _, _), (two, _, _) in zip(mass_plan.PATTERNS, mass_plan.PATTERNS[1:], strict=False):
        assert one != two


def test_every_rectangle_of_an_angled_house_is_hatched_for_its_line():
    given = _l_house(20.0, 14.0)
    picture = exchange.dumps(house_demand(given).picture)
    inputs = exchange.dumps(given)
    lines = dict(mass_plan.directions(inputs))["east–west"]
    own = [share for share in picture if share["line"] in {line["label"] for line in lines}]
    sheet = Sheet(1 / 128, "Mass")
    mass_plan._draw(sheet, inputs, own, lines)
    hatched = [item for item in sheet.items if isinstance(item, Hatch)]
    floors = [share for share in own if share["kind"] == "area" and share["level"] == "floor"]
    assert len(hatched) == len(floors) > len(lines)
    assert len({(item.angle_deg, item.spacing_pt) for item in hatched}) == len(lines)


def test_each_directions_sum_is_the_houses_weight(snapshot):
    weight_lb = next(step["value"] for step in snapshot["result"]["demand"]["steps"] if step["key"] == "weight_lb")
    together = [row for row in demand_sheet.shares(snapshot)["rows"] if row["whole"]]
    assert [row["cells"][-1] for row in together] == [figures.amount(weight_lb)] * 2


def test_without_a_picture_there_is_no_plan(snapshot):
    bare = snapshot | {"result": snapshot["result"] | {"picture": []}}
    assert demand_sheet.plans(bare) == {}
    assert demand_sheet.shares(bare)["rows"] == []
    with pytest.raises(ValueError, match="no piece of mass"):
        drawn(bare, "east–west")


def test_the_steps_of_the_demand_stand_under_headings_in_their_own_order():
    """The worked house: nothing is moved, a heading where the subject changes, one for each line."""
    check = exchange.dumps(assess(house_inputs("full")).demand)
    rows = demand_sheet.headed(check, [{"key": step["key"]} for step in check["steps"]], ["A", "B", "1", "2"])
    assert [row["key"] for row in rows] == [step["key"] for step in check["steps"]]
    headings = [row["heading"] for row in rows if row["heading"]]
    assert rows[0]["heading"] == "Structural system"
    assert len(headings) == len(set(headings))
    assert {f"Wall line {label}" for label in "AB12"} <= set(headings)
    for heading, key in (("Vertical distribution", "k"), ("Redundancy", "rho"), ("Weight", "weight_lb")):
        under = next(
            row["heading"] for row in reversed(rows[: [r["key"] for r in rows].index(key) + 1]) if row["heading"]
        )
        assert under == heading


def test_a_drawing_holds_no_style(snapshot):
    assert not re.search(r"style=|<style", drawn(snapshot, "east–west"))
