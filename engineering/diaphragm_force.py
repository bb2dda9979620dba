"""The diaphragm force F_px of a level and what raises it at irregular plans. Not how a wall line gets it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from engineering.clauses import DISTRIBUTION_READ, asce
from engineering.inputs import CodeFamily, DemandInputs
from engineering.outlines import greatest_projection, outline
from engineering.results import Step
from engineering.seismic_weight import Level
from engineering.steps import step

LEAST: Final = 0.2
GREATEST: Final = 0.4
RE_ENTRANT_ABOVE: Final = 0.15  # of the plan's size, projection beyond the corner in both directions
RAISED: Final = 1.25
RAISED_CATEGORIES: Final = ("D", "E", "F")


def diaphragm_force(
    at: int, levels: Sequence[Level], forces_lb: Sequence[float], s_ds_g: float, importance: float, family: CodeFamily
) -> tuple[list[Step], float]:
    """F_px of the level `at`: ΣF/Σw from there up times its weight, between 0.2 and 0.4 S_DS·I_e·w. [lb]

    `s_ds_g` is never the capped one. ASCE 7 12.10-1 to 12.10-3.
    """
    level = levels[at]
    force_lb, weight_lb = sum(forces_lb[at:]), sum(one.weight_lb for one in levels[at:])
    by_forces, least, most = force_lb / weight_lb, LEAST * s_ds_g * importance, GREATEST * s_ds_g * importance
    coefficient = min(max(by_forces, least), most)
    key, effect = f"px_{level.key}", {"S_DS": s_ds_g, "I_e": importance}
    first, lower, upper = (asce(family, clause, DISTRIBUTION_READ) for clause in ("12.10-1", "12.10-2", "12.10-3"))
    return [
        step(f"{key}_ratio", "ΣF/Σw", f"ΣF/Σw from {level.label} up", by_forces, "-", first,
             ΣF=force_lb, Σw=weight_lb),
        step(f"{key}_min", "c_min", "0.2·S_DS·I_e", least, "-", lower, **effect),
        step(f"{key}_max", "c_max", "0.4·S_DS·I_e", most, "-", upper, **effect),
        step(f"{key}_coefficient", "F_px/w_px", "ΣF/Σw, at least c_min, at most c_max", coefficient, "-", first,
             **{"ΣF/Σw": by_forces, "c_min": least, "c_max": most}),
        step(f"{key}_lb", "F_px", "F_px/w_px·w_px", coefficient * level.weight_lb, "lb", first,
             **{"F_px/w_px": coefficient, "w_px": level.weight_lb}),
    ], coefficient * level.weight_lb  # fmt: skip


def re_entrant_irregularity(inputs: DemandInputs) -> str:
    """Why the floor has a re-entrant corner irregularity, empty where it has none. ASCE 7 Table 12.3-1 type 2."""
    share, corner = greatest_projection(outline("floor_outline_ft", inputs.building.floor_outline_ft))
    if corner is None or share <= RE_ENTRANT_ABOVE:
        return ""
    return f"the plan reaches {100 * share:.0f} % beyond its re-entrant corner at ({corner[0]:g}, {corner[1]:g}) ft"


def irregular_plan_factor(inputs: DemandInputs, torsion: str) -> tuple[list[Step], float]:
    """What multiplies the diaphragm force in the connections to all lines of the level: 1.25 at irregular plans.

    `torsion` is "1a" or "1b" where a rigid diaphragm shows that irregularity. SDC D to F. ASCE 7 12.3.3.4.
    """
    family, category = inputs.criteria.code_family, inputs.hazard.seismic_design_category
    share, _ = greatest_projection(outline("floor_outline_ft", inputs.building.floor_outline_ft))
    projection = step(
        "re_entrant_projection", "projection", "beyond a re-entrant corner, the lesser of both directions", share, "-",
        asce(family, "Table 12.3-1 type 2"),
    )  # fmt: skip
    found = [*(["type 2"] if share > RE_ENTRANT_ABOVE else []), *([f"type {torsion}"] if torsion else [])]
    raised = bool(found) and category in RAISED_CATEGORIES
    factor = RAISED if raised else 1.0
    if raised:
        expression = f"1.25 on all lines of the level: irregularity {' and '.join(found)}"
    else:
        expression = "1.0: not SDC D to F" if found else "1.0: no such irregularity"
    return [
        projection,
        step("diaphragm_factor", "f", expression, factor, "-", asce(family, "12.3.3.4"), SDC=category,
             projection=share),
    ], factor  # fmt: skip
