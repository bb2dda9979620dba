"""Group action: fasteners in a row along the load do not share it alike (NDS 11.3.6). Not for rows of sill bolts."""

from __future__ import annotations

from math import sqrt
from typing import Final

from engineering.inputs import FastenerRow
from engineering.results import Step
from engineering.sources import Source
from engineering.steps import step

NDS_GROUP_ACTION: Final = Source("AWC NDS", "2018", "11.3.6, equation 11.3-1")
WOOD_TO_WOOD: Final = 180_000.0
WOOD_TO_METAL: Final = 270_000.0


def group_action_factor(row: FastenerRow, diameter_in: float, *, metal: bool) -> tuple[Step, ...]:
    """C_g of one row of fasteners of D ≥ 1/4 in, as its last step. [-] `metal`: one of the two members is steel.

    Load and slip of one fastener γ = 180 000 or 270 000 D^1.5 lb/in; R_EA the ratio of the members' EA, at most 1.
    NDS 11.3.6, an elastic model: the members stretch between the fasteners. Where it counts: convention 13.
    """
    n, s = row.count, row.spacing_in
    main_ea, side_ea = row.main_modulus_psi * row.main_area_in2, row.side_modulus_psi * row.side_area_in2
    slip, written = (WOOD_TO_METAL, "270 000·D^1.5") if metal else (WOOD_TO_WOOD, "180 000·D^1.5")
    gamma = slip * diameter_in**1.5
    u = 1 + gamma * s / 2 * (1 / main_ea + 1 / side_ea)
    m = u - sqrt(u**2 - 1)
    r_ea = min(main_ea / side_ea, side_ea / main_ea)
    nds = NDS_GROUP_ACTION
    numerator = m * (1 - m ** (2 * n)) * (1 + r_ea)
    value = numerator / (n * ((1 + r_ea * m**n) * (1 + m) - 1 + m ** (2 * n)) * (1 - m))
    return (
        step("main_EA_lb", "EmAm", "Em·Am", main_ea, "lb", nds, Em=row.main_modulus_psi, Am=row.main_area_in2),
        step("side_EA_lb", "EsAs", "Es·As", side_ea, "lb", nds, Es=row.side_modulus_psi, As=row.side_area_in2),
        step("gamma_lb_per_in", "γ", written, gamma, "lb/in", nds, D=diameter_in),
        step("u", "u", "1 + γ·s/2·(1/EmAm + 1/EsAs)", u, "-", nds, γ=gamma, s=s, EmAm=main_ea, EsAs=side_ea),
        step("m", "m", "u − √(u² − 1)", m, "-", nds, u=u),
        step("R_EA", "R_EA", "the smaller of EsAs/EmAm and EmAm/EsAs", r_ea, "-", nds, EmAm=main_ea, EsAs=side_ea),
        step("C_g", "C_g", "m·(1 − m^2n)·(1 + R_EA) / (n·((1 + R_EA·m^n)·(1 + m) − 1 + m^2n)·(1 − m))", value, "-", nds,
             m=m, n=n, R_EA=r_ea),
    )  # fmt: skip
