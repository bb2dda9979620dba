"""How far a panel drifts at strength level, by the three-term equation, against the drift limit. Not its shear."""

from __future__ import annotations

from typing import Final

from engineering.clauses import asce
from engineering.connector_values import LineContext
from engineering.errors import OutOfRange, require_positive, require_within
from engineering.panel_shares import Panel, faces
from engineering.results import Step
from engineering.shear_panels import EdgeSpacing, apparent_stiffness_kip_per_in
from engineering.sources import Source
from engineering.steps import step
from engineering.structural_systems import system

THREE_TERMS: Final = Source("AWC SDPWS", "2021", "Eq. 4.3-1")
REPORT: Final = Source("evaluation report", "", "give at the allowable load, as entered", "common practice")
SEISMIC_TO_ASD: Final = 0.7
# Table 12.12-1: other than masonry, four stories or less, finishes made to accommodate the drift.
DRIFT_LIMIT: Final = {"I": 0.025, "II": 0.025, "III": 0.020, "IV": 0.015}


def deflection(
    *,
    unit_shear_plf: float,
    height_ft: float,
    length_ft: float,
    chord_modulus_psi: float,
    chord_area_in2: float,
    stiffness_kip_per_in: float,
    anchor_give_in: float,
) -> tuple[Step, ...]:
    """Deflection of a shear panel at its top, bending, shear with nail slip, give of the tie-down; last is δ. [in]

    δ = 8·v·h³/(E·A·b) + v·h/(1000·G_a) + h·d_a/b; v in lb/ft at strength level, h and b in ft, E in psi, A in in²,
    G_a in kip/in. All above 0 but d_a, from 0 to 2 in; else OutOfRange. SDPWS 2021 Eq. 4.3-1.
    """
    require_positive(
        unit_shear_plf=unit_shear_plf,
        height_ft=height_ft,
        length_ft=length_ft,
        chord_modulus_psi=chord_modulus_psi,
        chord_area_in2=chord_area_in2,
        stiffness_kip_per_in=stiffness_kip_per_in,
    )
    require_within("anchor_give_in", anchor_give_in, 0.0, 2.0)
    bending_in = 8 * unit_shear_plf * height_ft**3 / (chord_modulus_psi * chord_area_in2 * length_ft)
    shear_in = unit_shear_plf * height_ft / (1000 * stiffness_kip_per_in)
    give_in = height_ft * anchor_give_in / length_ft
    total_in = bending_in + shear_in + give_in
    return (
        step("bending_in", "δ_b", "8·v·h³/(E·A·b)", bending_in, "in", THREE_TERMS, v=unit_shear_plf, h=height_ft,
             E=chord_modulus_psi, A=chord_area_in2, b=length_ft),
        step("shear_in", "δ_s", "v·h/(1000·G_a)", shear_in, "in", THREE_TERMS,
             v=unit_shear_plf, h=height_ft, G_a=stiffness_kip_per_in),
        step("give_in", "δ_a", "h·d_a/b", give_in, "in", THREE_TERMS, h=height_ft, d_a=anchor_give_in, b=length_ft),
        step("deflection_in", "δ_xe", "δ_b + δ_s + δ_a", total_in, "in", THREE_TERMS,
             δ_b=bending_in, δ_s=shear_in, δ_a=give_in),
    )  # fmt: skip


def drift(context: LineContext, panel: Panel, edge_spacing_in: EdgeSpacing) -> tuple[tuple[Step, ...], str]:
    """A panel's drift at the force level against its limit, and one sentence on it; no steps where a fact is missing.

    v/0.7 without taking ρ out, C_d/I_e, 0.025·h_sx (risk category II). The tie-down's give is its report's at the
    allowable load, brought to strength level; 0 where no tie-down is chosen. ASCE 7 12.8.6, Table 12.12-1.
    """
    line, criteria = context.line, context.inputs.criteria
    post = line.end_post
    if post.modulus_psi is None:
        return (), "drift not computed: modulus of elasticity of the end posts not given"
    give_in = _give_in(context)
    if give_in is None:
        return (), "drift not computed: the tie-down's give at its allowable load not given"
    wet = line.framing.moisture == "wet"
    stiff = [apparent_stiffness_kip_per_in(face, edge_spacing_in, wet=wet) for face in faces(line)]
    strength_plf = panel.unit_shear_plf / SEISMIC_TO_ASD
    parts = deflection(
        unit_shear_plf=strength_plf,
        height_ft=panel.height_ft,
        length_ft=panel.length_ft,
        chord_modulus_psi=post.modulus_psi,
        chord_area_in2=post.width_in * post.depth_in,
        stiffness_kip_per_in=sum(float(one.value) for one in stiff),
        anchor_give_in=give_in,
    )
    elastic_in = float(parts[-1].value)
    row, family = system(criteria.system), criteria.code_family
    drift_in = row.deflection_amplification * elastic_in / criteria.importance
    share = DRIFT_LIMIT[criteria.risk_category]
    limit_in = share * 12 * panel.height_ft
    steps = (
        step("strength_unit_shear_plf", "v", "v_ASD/0.7, ρ left in", strength_plf, "plf", asce(family, "2.4.5"),
             v_ASD=panel.unit_shear_plf),
        *stiff,
        step("tie_down_give_in", "d_a", "give at the allowable load/0.7, 0 without a tie-down", give_in, "in", REPORT),
        *parts,
        step("drift_in", "δ_x", "C_d·δ_xe/I_e", drift_in, "in", asce(family, "12.8.6"),
             C_d=row.deflection_amplification, δ_xe=elastic_in, I_e=criteria.importance),
        step("drift_limit_in", "Δ_a", f"{share:g}·h_sx", limit_in, "in", asce(family, "Table 12.12-1"),
             h_sx=12 * panel.height_ft),
    )  # fmt: skip
    word = "within" if drift_in <= limit_in * (1 + 1e-9) else "over"
    return steps, f"drift of panel {panel.number}: {drift_in:.2f} in, {word} the limit of {limit_in:.2f} in"


def _give_in(context: LineContext) -> float | None:
    """d_a at strength level: 0 without a tie-down, None where the chosen one's report gives no figure."""
    key = context.line.methods.tie_down
    if not key:
        return 0.0
    try:
        given_in = context.values.evaluated(key, "tie-down").give_in
    except OutOfRange:
        return None
    return None if given_in is None else given_in / SEISMIC_TO_ASD
