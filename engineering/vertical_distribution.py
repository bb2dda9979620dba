"""How the base shear is shared over the levels, and what each story resists of it. Not which wall line carries it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate
from typing import Final

from engineering.clauses import DISTRIBUTION_READ, asce
from engineering.errors import require_positive
from engineering.inputs import CodeFamily
from engineering.results import Step
from engineering.seismic_weight import Level
from engineering.steps import step

LINEAR_UP_TO_S: Final = 0.5
SQUARE_FROM_S: Final = 2.5


def exponent(period_s: float) -> float:
    """k: 1 up to T = 0.5 s, 2 from 2.5 s, linear between. ASCE 7 12.8.3."""
    require_positive(period_s=period_s)
    if period_s <= LINEAR_UP_TO_S:
        return 1.0
    return min(2.0, 1.0 + (period_s - LINEAR_UP_TO_S) / (SQUARE_FROM_S - LINEAR_UP_TO_S))


def distribution_factors(
    levels: Sequence[Level], period_s: float, family: CodeFamily
) -> tuple[list[Step], tuple[float, ...], tuple[float, ...]]:
    """C_vx of each level, and the share of the base shear that the story under each resists; lowest first.

    C_vx = w·h^k/Σw·h^k. ASCE 7 12.8-12, 12.8-13.
    """
    power, rule = exponent(period_s), asce(family, "12.8-12", DISTRIBUTION_READ)
    products = [level.weight_lb * level.height_ft**power for level in levels]
    whole = sum(products)
    factors = tuple(product / whole for product in products)
    shares = tuple(accumulate(reversed(factors)))[::-1]
    steps = [
        step("k", "k", "1 up to T = 0.5 s, 2 from 2.5 s", power, "-", rule, T=period_s),
        step("sum_wh", "Σw·h^k", "Σw·h^k", whole, "lb·ft^k", rule,
             **{f"w·h^k {level.label}": product for level, product in zip(levels, products, strict=True)}),
        *(
            step(f"level_{level.key}_C_vx", f"C_v {level.label}", "w·h^k/Σw·h^k", factor, "-", rule,
                 w=level.weight_lb, h=level.height_ft, k=power, **{"Σw·h^k": whole})
            for level, factor in zip(levels, factors, strict=True)
        ),
        *(
            step(f"level_{level.key}_story_share", f"V_x/V under {level.label}", "ΣC_v from here up", share, "-",
                 asce(family, "12.8-13", DISTRIBUTION_READ),
                 **{f"C_v {above.label}": one for above, one in zip(levels[number:], factors[number:], strict=True)})
            for number, (level, share) in enumerate(zip(levels, shares, strict=True))
        ),
    ]  # fmt: skip
    return steps, factors, shares


def level_forces_lb(
    levels: Sequence[Level], factors: Sequence[float], shear_lb: float, family: CodeFamily
) -> tuple[list[Step], tuple[float, ...]]:
    """F_x = C_vx·V of each level, lowest first. [lb] ASCE 7 12.8-11."""
    forces = tuple(factor * shear_lb for factor in factors)
    rule = asce(family, "12.8-11", DISTRIBUTION_READ)
    return [
        step(f"level_{level.key}_force_lb", f"F_{level.label}", "C_vx·V", force, "lb", rule, C_vx=factor, V=shear_lb)
        for level, factor, force in zip(levels, factors, forces, strict=True)
    ], forces
