"""Period, the S_DS that may be used, the vertical effect and the base shear. Not how the shear is shared."""

from __future__ import annotations

from typing import Final

from engineering.clauses import BASE_SHEAR_READ, CAP_READ, asce
from engineering.errors import OutOfRange
from engineering.inputs import NOT_OBSERVED, CodeFamily, Criteria, DemandInputs, Hazard
from engineering.results import Step
from engineering.site_coefficients import long_period_factor
from engineering.steps import step

PERIOD_COEFFICIENT: Final = 0.02  # C_t and x of "all other structural systems"
PERIOD_EXPONENT: Final = 0.75
EARTHQUAKE_ASD: Final = 0.7
NEAR_FAULT_S_1_G: Final = 0.6
WITHOUT_VERTICAL: Final = ("A", "B")  # seismic design categories

CAPPED_S_DS_G: Final = 1.0
LEAST_OF_S_DS: Final = 0.7
CAP_STORIES: Final = 5
CAP_PERIOD_S: Final = 0.5
CAP_RISK: Final = ("I", "II")
UNKNOWN_SITE: Final = (NOT_OBSERVED, "default")
SOFT_SITE: Final = ("E", "F")


def period(height_ft: float, family: CodeFamily) -> tuple[Step, float]:
    """T_a = C_t·h_n^x of a wood shear wall house. [s] ASCE 7 12.8-7."""
    period_s = PERIOD_COEFFICIENT * height_ft**PERIOD_EXPONENT
    source = asce(family, "12.8-7", BASE_SHEAR_READ)
    return step(
        "Ta_s", "T_a", "C_t·h_n^x", period_s, "s", source, C_t=PERIOD_COEFFICIENT, h_n=height_ft, x=PERIOD_EXPONENT
    ), period_s


def used_s_ds(
    inputs: DemandInputs, *, period_s: float, redundancy: float, irregularity: str
) -> tuple[list[Step], float]:
    """S_DS for C_s and E_v: as it is, or 1.0 (0.7·S_DS if that is more) where the engineer turns the cap on. [g]

    `irregularity` is what the plan itself shows, or empty. Raises OutOfRange naming the first condition that is not
    met; where S_DS is not above 1.0 the cap changes nothing and none is asked. ASCE 7 12.8.1.3.
    """
    hazard, criteria = inputs.hazard, inputs.criteria
    if not criteria.s_ds_cap:
        return [], hazard.s_ds_g
    source = asce(criteria.code_family, "12.8.1.3", CAP_READ)
    if hazard.s_ds_g <= CAPPED_S_DS_G:
        return [step("SDS_used_g", "S_DS", "not above 1.0: no cap", hazard.s_ds_g, "g", source)], hazard.s_ds_g
    stories = 2 + len(inputs.building.upper_stories)  # the braced walls are one
    site = hazard.mapped.site_class if hazard.mapped is not None else hazard.site_class
    for met, field, value, allowed in (
        (criteria.regular_in_plan, "criteria.regular_in_plan", False, "must be true"),
        (criteria.regular_in_height, "criteria.regular_in_height", False, "must be true"),
        (not irregularity, "building", irregularity, "must have no structural irregularity"),
        (stories <= CAP_STORIES, "building.upper_stories", stories, "must make at most five stories in all"),
        (period_s <= CAP_PERIOD_S, "period_s", period_s, "must be at most 0.5 s"),
        (redundancy == 1.0, "criteria.redundancy", redundancy, "must be 1.0, shown by its conditions or as given"),
        (site not in UNKNOWN_SITE, "hazard.site_class", site, "must be known"),
        (site not in SOFT_SITE, "hazard.site_class", site, "must not be E or F"),
        (criteria.risk_category in CAP_RISK, "criteria.risk_category", criteria.risk_category, "must be I or II"),
    ):
        if not met:
            raise OutOfRange(field, value, f"{allowed} for the S_DS cap (ASCE 7 12.8.1.3)")
    used_g = max(CAPPED_S_DS_G, LEAST_OF_S_DS * hazard.s_ds_g)
    expression = "max(1.0, 0.7·S_DS): regular, at most 5 stories, T ≤ 0.5 s, ρ = 1.0, site and risk category"
    return [
        step("SDS_used_g", "S_DS", expression, used_g, "g", source, S_DS=hazard.s_ds_g, stories=stories, T=period_s,
             ρ=redundancy, site=site, risk=criteria.risk_category)
    ], used_g  # fmt: skip


def vertical_effect(hazard: Hazard, criteria: Criteria, s_ds_g: float) -> tuple[list[Step], float]:
    """0.7·E_v/D at ASD: 0.14·S_DS, zero in SDC A and B. Not reduced with the level of force (convention 4).

    `s_ds_g` is what `used_s_ds` gives. ASCE 7 12.4.2.2, 2.4.5.
    """
    category, family = hazard.seismic_design_category, criteria.code_family
    if category in WITHOUT_VERTICAL:
        none = step("Ev", "E_v/D", "0 in SDC A and B", 0.0, "-", asce(family, "12.4.2.2 exception"), SDC=category)
        return [none], 0.0
    effect = 0.2 * s_ds_g
    asd = EARTHQUAKE_ASD * effect
    return [
        step("Ev", "E_v/D", "0.2·S_DS", effect, "-", asce(family, "12.4-4a"), S_DS=s_ds_g),
        step("Ev_asd", "0.7·E_v/D", "0.7·E_v/D", asd, "-", asce(family, "2.4.5"), **{"E_v/D": effect}),
    ], asd


def base_shear(
    inputs: DemandInputs, *, period_s: float, s_ds_g: float, weight_lb: float
) -> tuple[list[Step], float, float]:
    """C_s by 12.8-2 between the limits 12.8-3 or -4 and 12.8-5, -6; V = C_s·W. [-, lb]

    Raises OutOfRange where the standard asks for a site-specific study (11.4.8). ASCE 7 12.8.1.
    """
    hazard, criteria = inputs.hazard, inputs.criteria
    family, reduction = criteria.code_family, criteria.response_modification / criteria.importance
    r_and_i = {"R": criteria.response_modification, "I_e": criteria.importance}
    basic = s_ds_g / reduction
    study, study_steps = long_period_factor(hazard, criteria, period_s)
    by_velocity, upper, upper_steps = _upper_limit(hazard, criteria, period_s, reduction, study)
    lower = max(0.044 * s_ds_g * criteria.importance, 0.01)
    near_fault = 0.5 * hazard.s_1_g / reduction if hazard.s_1_g >= NEAR_FAULT_S_1_G else 0.0
    coefficient = max(min(basic, upper), lower, near_fault)
    shear_lb = coefficient * weight_lb
    source = asce(family, "12.8-1", BASE_SHEAR_READ)
    steps = [
        step("Cs_12_8_2", "C_s", "S_DS/(R/I_e)", basic, "-", asce(family, "12.8-2", BASE_SHEAR_READ),
             S_DS=s_ds_g, **r_and_i),
        by_velocity,
        *study_steps,
        *upper_steps,
        step("Cs_min", "C_s,min", "max(0.044·S_DS·I_e, 0.01)", lower, "-", asce(family, "12.8-5", BASE_SHEAR_READ),
             S_DS=s_ds_g, I_e=criteria.importance),
    ]  # fmt: skip
    if near_fault:
        steps.append(
            step("Cs_min_12_8_6", "C_s,min", "0.5·S_1/(R/I_e), S_1 ≥ 0.6", near_fault, "-",
                 asce(family, "12.8-6", BASE_SHEAR_READ), S_1=hazard.s_1_g, **r_and_i)
        )  # fmt: skip
    steps += [
        step("Cs", "C_s", "S_DS/(R/I_e), at most C_s,max, at least C_s,min", coefficient, "-", source,
             **{"S_DS/(R/I_e)": basic, "C_s,max": upper, "C_s,min": max(lower, near_fault)}),
        step("V_lb", "V", "C_s·W", shear_lb, "lb", source, C_s=coefficient, W=weight_lb),
    ]  # fmt: skip
    return steps, coefficient, shear_lb


def _upper_limit(
    hazard: Hazard, criteria: Criteria, period_s: float, reduction: float, study: float
) -> tuple[Step, float, list[Step]]:
    """12.8-3, or 12.8-4 beyond T_L, and the limit after the factor of 11.4.8."""
    family, long_period = criteria.code_family, period_s > hazard.t_l_s
    limit = hazard.s_d1_g / (period_s * reduction) * (hazard.t_l_s / period_s if long_period else 1.0)
    by_velocity = step(
        "Cs_max", "C_s,max", "S_D1·T_L/(T²·R/I_e)" if long_period else "S_D1/(T·R/I_e)", limit, "-",
        asce(family, "12.8-4" if long_period else "12.8-3", BASE_SHEAR_READ),
        S_D1=hazard.s_d1_g, T=period_s, T_L=hazard.t_l_s, R=criteria.response_modification, I_e=criteria.importance,
    )  # fmt: skip
    if study == 1.0:
        return by_velocity, limit, []
    raised = step(
        "Cs_max_raised", "C_s,max", "factor·C_s,max", study * limit, "-", asce(family, "11.4.8", BASE_SHEAR_READ),
        factor=study, **{"C_s,max": limit},
    )  # fmt: skip
    return by_velocity, study * limit, [raised]
