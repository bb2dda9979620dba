"""A rigid floor against an independent stiffness solution, and what it refuses."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from engineering.errors import OutOfRange
from engineering.inputs import DemandInputs
from engineering.rigid_diaphragm import RigidShares, Stiff, rigid_shares
from engineering.seismic_demand import demand_inputs, house_demand
from engineering.tributary import axis_of
from tests.engineering.varied import house

WIDTH_FT, DEPTH_FT = 40.0, 28.0

walls = st.lists(
    st.tuples(st.floats(0.0, 1.0), st.floats(1.0, 200.0)), min_size=2, max_size=5, unique_by=lambda wall: wall[0]
)


def _lines(along_x: list[tuple[float, float]], along_y: list[tuple[float, float]]) -> list[Stiff]:
    return [
        *(Stiff(f"x{n}", "x", at * DEPTH_FT, k) for n, (at, k) in enumerate(along_x)),
        *(Stiff(f"y{n}", "y", at * WIDTH_FT, k) for n, (at, k) in enumerate(along_y)),
    ]


def _shares(lines: list[Stiff], centre: tuple[float, float], category: str = "D") -> RigidShares:
    return rigid_shares(
        lines, mass_centre_ft=centre, low_ft=(0.0, 0.0), high_ft=(WIDTH_FT, DEPTH_FT), category=category, family="2021"
    )


def _wall_forces(lines: list[Stiff], force: tuple[float, float], at: tuple[float, float]) -> dict[str, float]:
    """Forces in the walls under a force at a point: u, v and θ of the floor from a 3 × 3 stiffness matrix."""
    stiffness, rows = np.zeros((3, 3)), {}
    for line in lines:
        # Displacement of the wall along itself, from the floor's u, v at the origin and its turn θ.
        row = np.array([1.0, 0.0, -line.at_ft]) if line.axis == "x" else np.array([0.0, 1.0, line.at_ft])
        rows[line.label] = line.stiffness_kip_per_in * row
        stiffness += line.stiffness_kip_per_in * np.outer(row, row)
    load = np.array([force[0], force[1], force[1] * at[0] - force[0] * at[1]])
    moved = np.linalg.solve(stiffness, load)
    return {label: float(row @ moved) for label, row in rows.items()}


@settings(max_examples=150, deadline=None)
@given(along_x=walls, along_y=walls, at=st.tuples(st.floats(0.05, 0.95), st.floats(0.05, 0.95)))
def test_shares_are_those_of_an_independent_stiffness_solution(along_x, along_y, at):
    """Both directions, both accidental eccentricities, each amplified by its A_x, and never below the direct share."""
    lines = _lines(along_x, along_y)
    centre = (at[0] * WIDTH_FT, at[1] * DEPTH_FT)
    spread_ft = max(abs(a.at_ft - b.at_ft) for a in lines for b in lines if a.axis == b.axis)
    assume(spread_ft > 2.0)
    found = _shares(lines, centre)
    amplifiers = {axis: next(s.value for s in found.steps if s.key == f"rigid_{axis}_A_x") for axis in "xy"}
    wanted = {
        line.label: line.stiffness_kip_per_in
        / sum(other.stiffness_kip_per_in for other in lines if other.axis == line.axis)
        for line in lines
    }
    for axis, sign in product("xy", (-1, 1)):
        if axis == "x":
            force, moved = (1.0, 0.0), (centre[0], centre[1] + sign * amplifiers["x"] * 0.05 * DEPTH_FT)
        else:
            force, moved = (0.0, 1.0), (centre[0] + sign * amplifiers["y"] * 0.05 * WIDTH_FT, centre[1])
        for label, share in _wall_forces(lines, force, moved).items():
            # Against the force a wall holds nothing that counts; across it, either sign loads it.
            counts = share if label.startswith(axis) else abs(share)
            wanted[label] = max(wanted[label], counts)
    assert found.shares == pytest.approx(wanted, rel=1e-7, abs=1e-9)


@settings(max_examples=100, deadline=None)
@given(along_x=walls, along_y=walls, at=st.tuples(st.floats(0.05, 0.95), st.floats(0.05, 0.95)))
def test_amplification_follows_the_edges_of_the_independent_solution(along_x, along_y, at):
    lines = _lines(along_x, along_y)
    assume(max(abs(a.at_ft - b.at_ft) for a in lines for b in lines if a.axis == b.axis) > 2.0)
    centre = (at[0] * WIDTH_FT, at[1] * DEPTH_FT)
    # Two walls of no stiffness at the plan's edges tell how far these move.
    feelers = [Stiff("x low", "x", 0.0, 1e-9), Stiff("x high", "x", DEPTH_FT, 1e-9)]
    worst = 0.0
    for sign in (-1, 1):
        forces = _wall_forces([*lines, *feelers], (1.0, 0.0), (centre[0], centre[1] + sign * 0.05 * DEPTH_FT))
        edges = [forces[one.label] / 1e-9 for one in feelers]
        average = sum(edges) / 2
        worst = max(worst, max(map(abs, edges)) / average if average > 0 else float("inf"))
    assume(abs(worst - 1.2) > 1e-4 and abs(worst - 1.4) > 1e-4)
    steps = {one.key: one.value for one in _shares(lines, centre).steps}
    assert steps["rigid_x_irregularity"] == ("type 1b" if worst > 1.4 else "type 1a" if worst > 1.2 else "none")
    assert steps["rigid_x_A_x"] == pytest.approx(min(max(1.0, (worst / 1.2) ** 2), 3.0), rel=1e-4)


def test_a_symmetric_floor_gets_the_accidental_torsion_alone():
    lines = [
        Stiff("A", "x", 0.0, 10.0),
        Stiff("B", "x", 28.0, 10.0),
        Stiff("1", "y", 0.0, 10.0),
        Stiff("2", "y", 40.0, 10.0),
    ]
    found = _shares(lines, (20.0, 14.0))
    # By hand: J = 2·10·14² + 2·10·20² = 11 920; force along x: 0.5 + 1.4·10·14/11 920.
    assert found.shares["A"] == found.shares["B"] == pytest.approx(0.5 + 1.4 * 10 * 14 / 11_920)
    assert found.shares["1"] == pytest.approx(0.5 + 2.0 * 10 * 20 / 11_920)


def test_no_amplification_in_the_low_categories():
    lines = _lines([(0.0, 100.0), (1.0, 1.0)], [(0.0, 10.0), (1.0, 10.0)])
    high, low = _shares(lines, (20.0, 14.0), "D"), _shares(lines, (20.0, 14.0), "B")
    assert high.irregularity == low.irregularity == "1b"
    assert next(s.value for s in low.steps if s.key == "rigid_x_A_x") == 1.0
    assert next(s.value for s in high.steps if s.key == "rigid_x_A_x") > 1.0


@pytest.mark.parametrize(
    "lines",
    [
        [Stiff("A", "x", 0.0, 10.0), Stiff("B", "x", 28.0, 10.0)],
        [Stiff("A", "x", 0.0, 10.0), Stiff("1", "y", 0.0, 10.0)],
    ],
)
def test_a_floor_that_nothing_holds_is_refused(lines):
    with pytest.raises(OutOfRange) as refused:
        _shares(lines, (20.0, 14.0))
    assert refused.value.field == "lines"


def _rigid(stiffness: dict[str, float | None], **changes) -> DemandInputs:
    given_house = demand_inputs(house(**changes))
    return replace(
        given_house,
        criteria=replace(given_house.criteria, diaphragm="rigid"),
        lines=tuple(replace(one, stiffness_kip_per_in=stiffness[one.label]) for one in given_house.lines),
    )


EVEN = {"A": 60.0, "B": 60.0, "1": 60.0, "2": 60.0}


def test_lines_of_a_rigid_floor_carry_the_house_or_more():
    found = house_demand(_rigid(EVEN))
    for axis in "xy":
        own = [line.label for line in _rigid(EVEN).lines if axis_of(line) == axis]
        carried = sum(found.lines[label].demand_lb for label in own)
        assert carried >= 0.7 * found.check.demand


def test_a_stiffer_line_draws_more():
    even, stiff = house_demand(_rigid(EVEN)), house_demand(_rigid({**EVEN, "A": 120.0}))
    assert stiff.lines["A"].demand_lb > even.lines["A"].demand_lb


def test_the_parts_of_a_rigid_line_add_up():
    for line in house_demand(_rigid({**EVEN, "A": 200.0})).lines.values():
        assert sum(part.demand_lb for part in line.parts) == pytest.approx(line.demand_lb)
        assert sum(part.demand_lb for part in line.diaphragm_parts) == pytest.approx(line.diaphragm_demand_lb)


def test_the_heavy_chimney_turns_the_house():
    """The chimney stands at (38, 20): the floor turns toward lines 2 and B."""
    check = house_demand(_rigid(EVEN)).check
    # By hand: ((63 680 − 3 000)·20 + 3 000·38)/63 680 and ((63 680 − 3 000)·14 + 3 000·20)/63 680.
    assert check.step("rigid_y_CM_ft").value == pytest.approx(20 + 3000 * 18 / 63_680)
    assert check.step("rigid_x_CM_ft").value == pytest.approx(14 + 3000 * 6 / 63_680)


def test_torsion_makes_the_plan_irregular():
    """Type 1b: ρ can't be 1.0 by the bays rule, the diaphragm's connections take 25 % more."""
    check = house_demand(_rigid({**EVEN, "A": 600.0})).check
    assert check.step("rho").value == 1.3
    assert any("torsion, type 1" in note for note in check.notes)
    assert check.step("diaphragm_factor").value == 1.25


@pytest.mark.parametrize(("category", "warned"), [("D", False), ("E", True)])
def test_extreme_torsion_is_not_permitted_in_the_highest_categories(category, warned):
    turned = _rigid({**EVEN, "A": 600.0}, hazard={"seismic_design_category": category})
    assert any("1b" in warning for warning in house_demand(turned).check.warnings) is warned


@pytest.mark.parametrize("stiffness", [None, 0.0])
def test_a_rigid_floor_needs_the_stiffness_of_each_line(stiffness):
    with pytest.raises(OutOfRange) as refused:
        house_demand(_rigid({**EVEN, "B": stiffness}))
    assert refused.value.field == "lines.B.stiffness_kip_per_in"


def test_panels_without_pinned_nailing_are_refused():
    with pytest.raises(OutOfRange) as refused:
        demand_inputs(house(criteria={"diaphragm": "rigid"}))
    assert refused.value.field == "lines.A.edge_spacing_in"


def test_the_stiffness_of_pinned_panels_goes_into_the_floor():
    given_house = house(criteria={"diaphragm": "rigid"})
    pinned = replace(given_house, lines=tuple(replace(line, edge_spacing_in=4) for line in given_house.lines))
    asked = demand_inputs(pinned)
    # k = G_a·Σb/h: line B has 20 ft of panels, line A 16.
    by_label = {line.label: line.stiffness_kip_per_in for line in asked.lines}
    assert by_label["B"] / by_label["A"] == pytest.approx(20 / 16)
    check = house_demand(asked).check
    assert check.step("rigid_k_B").value == by_label["B"]
