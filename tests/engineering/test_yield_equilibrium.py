"""The yield equations against equilibrium alone, solved with SciPy: no yield mode is assumed.

Lower-bound theorem of plasticity: a dowel carries any shear for which some bearing pressure |q| ≤ Fe·D along it and
some moment |M| ≤ Fyb·D³/6 balance. The largest such shear, found by linear programming, is the collapse load, and the
equations' least mode without its reduction term must be that load.
"""

import numpy as np
import pytest
from scipy.optimize import linprog
from scipy.sparse import lil_matrix

from engineering.yield_modes import yield_modes

SLICES = 100  # of each member; pressure is even over a slice, and the moment is held to its limit at the cuts
PARTS = np.diff((np.arange(SLICES + 1) / SLICES) ** 1.7)  # shorter near the shear plane, where a stocky dowel turns
MODES = ("Im", "Is", "II", "IIIm", "IIIs", "IV")


def collapse_lb(*, diameter_in, main_length_in, side_length_in, main_bearing_psi, side_bearing_psi,
                bending_yield_psi, gap_in):  # fmt: skip
    """The largest shear across the gap. Free ends: no shear and no moment there."""
    moment = bending_yield_psi * diameter_in**3 / 6
    # Walk the dowel from the side member's free end: lengths of the slices, limits of their pressure.
    slices = (
        [(part * side_length_in, side_bearing_psi * diameter_in) for part in PARTS[::-1]]
        + ([(gap_in, 0.0)] if gap_in else [])
        + [(part * main_length_in, main_bearing_psi * diameter_in) for part in PARTS]
    )
    n = len(slices)
    # Unknowns: pressure of each slice, then shear and moment at each of the n + 1 cuts.
    shear, bending = n, 2 * n + 1
    balance = lil_matrix((2 * n + 4, 3 * n + 2))
    for i, (length_in, _) in enumerate(slices):
        balance[i, [i, shear + i, shear + i + 1]] = [length_in, 1.0, -1.0]
        # M rises by the shear over the slice: V·Δ + q·Δ²/2
        balance[n + i, [i, shear + i, bending + i, bending + i + 1]] = [length_in**2 / 2, length_in, 1.0, -1.0]
    for row, unknown in enumerate((shear, shear + n, bending, bending + n)):
        balance[2 * n + row, unknown] = 1.0
    bounds = [(-limit, limit) for _, limit in slices] + [(None, None)] * (n + 1) + [(-moment, moment)] * (n + 1)
    aim = np.zeros(3 * n + 2)
    aim[shear + SLICES] = -1.0  # the shear between the members
    found = linprog(aim, A_eq=balance.tocsr(), b_eq=np.zeros(2 * n + 4), bounds=bounds, method="highs")
    assert found.status == 0, found.message
    return -found.fun


def least_mode(**dowel):
    z_lb, steps = yield_modes(**dowel, reduction_i=1.0, reduction_ii=1.0, reduction_iii_iv=1.0)
    return z_lb, next(step.value for step in steps if step.key == "mode")


def dowels(seed, count, *, gaps):
    """Random dowels, drawn so that each of the six modes comes up."""
    draw = np.random.default_rng(seed)
    for _ in range(count):
        diameter_in = draw.uniform(0.1, 1.0)
        yield {
            "diameter_in": diameter_in,
            "main_length_in": diameter_in * draw.choice([draw.uniform(0.3, 2), draw.uniform(2, 14)]),
            "side_length_in": diameter_in * draw.choice([draw.uniform(0.3, 2), draw.uniform(2, 14)]),
            "main_bearing_psi": draw.uniform(1500, 8000),
            "side_bearing_psi": draw.choice([draw.uniform(1500, 8000), 61850.0, 87000.0], p=[0.8, 0.1, 0.1]),
            "bending_yield_psi": draw.choice([45_000.0, 70_000.0, 100_000.0]),
            "gap_in": diameter_in * draw.uniform(0.05, 6) if gaps else 0.0,
        }


@pytest.mark.parametrize("gaps", [False, True], ids=["members touch", "gap between them"])
def test_the_least_mode_is_the_collapse_load(gaps):
    reached = set()
    for dowel in dowels(20, 36, gaps=gaps):
        z_lb, mode = least_mode(**dowel)
        reached.add(mode)
        # What slices of this length leave: a turning point inside a slice, a moment's peak between two cuts.
        assert collapse_lb(**dowel) == pytest.approx(z_lb, rel=4e-4), (mode, dowel)
    assert reached == set(MODES)


def test_a_vanishing_gap_gives_the_equations_of_the_nds():
    for dowel in dowels(21, 300, gaps=False):
        z_lb, _ = least_mode(**dowel)
        assert least_mode(**{**dowel, "gap_in": 1e-9})[0] == pytest.approx(z_lb, rel=1e-7)


def test_each_mode_of_the_gap_equations_is_the_nds_mode_as_the_gap_vanishes():
    for dowel in dowels(22, 50, gaps=False):
        touching, across = (
            {s.key: s.value for s in yield_modes(**{**dowel, "gap_in": gap_in}, reduction_i=4.0, reduction_ii=3.6,
                                                 reduction_iii_iv=3.2)[1]}
            for gap_in in (0.0, 1e-9)
        )  # fmt: skip
        for mode in MODES:
            assert across[f"Z_{mode}_lb"] == pytest.approx(touching[f"Z_{mode}_lb"], rel=1e-7), mode
