"""The yield-limit equations: six modes of one dowel in single shear (NDS 12.3.1), also across a gap (AWC TR 12).

Not where their inputs come from.
"""

from __future__ import annotations

from math import sqrt
from typing import Final

from engineering.adjustments import LARGE_DIAMETER_IN
from engineering.errors import require_positive, require_within
from engineering.results import Step
from engineering.sources import Source
from engineering.steps import step

# From memory; with the root diameters they reproduce every legible cell of a scanned Table 12K.
NDS_YIELD_MODES: Final = Source("AWC NDS", "2018", "Table 12.3.1A")
GENERAL_DOWEL: Final = Source("AWC TR 12", "2015", "Table 1-1, general dowel equations")
NDS_REDUCTION_TERMS: Final = Source("AWC NDS", "2018", "Table 12.3.1B")


def reduction_terms(
    *, nominal_diameter_in: float, diameter_in: float, angle_deg: float
) -> tuple[float, float, float, tuple[Step, ...]]:
    """Reduction terms R_d for modes I, II and III/IV, and their steps. [-]

    `diameter_in` is D in the yield equations, `angle_deg` (0 to 90) the largest angle of load to grain in any member.
    R_d = 4, 3.6, 3.2 times K_θ from D = 1/4 in up; below, K_D in every mode (2.2 up to 0.17 in, then 10 D + 0.5),
    times K_θ where only the root is thinner than 1/4 in (small lag screws). NDS Table 12.3.1B and its footnote.
    """
    require_positive(nominal_diameter_in=nominal_diameter_in, diameter_in=diameter_in)
    require_within("angle_deg", angle_deg, 0, 90)
    k_theta = 1 + 0.25 * angle_deg / 90
    if diameter_in >= LARGE_DIAMETER_IN:
        terms = (4.0 * k_theta, 3.6 * k_theta, 3.2 * k_theta)
        expressions = ("4·Kθ", "3.6·Kθ", "3.2·Kθ")
        inputs: dict[str, float] = {"D": diameter_in, "Kθ": k_theta}
    else:
        small = diameter_in <= 0.17
        k_d = 2.2 if small else 10 * diameter_in + 0.5
        written = "2.2 (D ≤ 0.17 in)" if small else "10·D + 0.5"
        inputs = {"D": diameter_in}
        if nominal_diameter_in >= LARGE_DIAMETER_IN:
            k_d, written, inputs = k_d * k_theta, f"({written})·Kθ", {"D": diameter_in, "Kθ": k_theta}
        terms, expressions = (k_d, k_d, k_d), (written, written, written)
    steps = (
        step("K_theta", "Kθ", "1 + 0.25·θ/90", k_theta, "-", NDS_REDUCTION_TERMS, θ=angle_deg),
        step("Rd_I", "Rd (Im, Is)", expressions[0], terms[0], "-", NDS_REDUCTION_TERMS, **inputs),
        step("Rd_II", "Rd (II)", expressions[1], terms[1], "-", NDS_REDUCTION_TERMS, **inputs),
        step("Rd_III_IV", "Rd (IIIm, IIIs, IV)", expressions[2], terms[2], "-", NDS_REDUCTION_TERMS, **inputs),
    )
    return (*terms, steps)


def yield_modes(
    *,
    diameter_in: float,
    main_length_in: float,
    side_length_in: float,
    main_bearing_psi: float,
    side_bearing_psi: float,
    bending_yield_psi: float,
    reduction_i: float,
    reduction_ii: float,
    reduction_iii_iv: float,
    gap_in: float = 0.0,
) -> tuple[float, tuple[Step, ...]]:
    """Reference lateral value Z of one dowel in single shear, the least of six yield modes, and its steps. [lb]

    `diameter_in` is D in the equations (root diameter where the thread counts), lengths are the bearing lengths l_m
    and l_s, bearing strengths those at the angle of load. All inputs > 0, else OutOfRange; `gap_in` between the members
    is 0 or more. Nothing is rounded and no adjustment factor is in it. NDS Table 12.3.1A; with a gap the general dowel
    equations of AWC TR 12, which are the same at g = 0.
    """
    require_positive(**{name: value for name, value in locals().items() if name != "gap_in"})
    require_within("gap_in", gap_in, 0.0, 12.0)
    if gap_in:
        return _modes_across_gap(
            gap_in,
            (main_bearing_psi * diameter_in, main_length_in),
            (side_bearing_psi * diameter_in, side_length_in),
            (diameter_in, main_bearing_psi, side_bearing_psi, bending_yield_psi),
            (reduction_i, reduction_ii, reduction_iii_iv),
        )
    d, lm, ls = diameter_in, main_length_in, side_length_in
    fem, fes, fyb = main_bearing_psi, side_bearing_psi, bending_yield_psi
    rd_1, rd_2, rd_3 = reduction_i, reduction_ii, reduction_iii_iv
    re, rt = fem / fes, lm / ls
    k1 = (sqrt(re + 2 * re**2 * (1 + rt + rt**2) + rt**2 * re**3) - re * (1 + rt)) / (1 + re)
    k2 = -1 + sqrt(2 * (1 + re) + 2 * fyb * (1 + 2 * re) * d**2 / (3 * fem * lm**2))
    k3 = -1 + sqrt(2 * (1 + re) / re + 2 * fyb * (2 + re) * d**2 / (3 * fem * ls**2))
    z_lb = {
        "Im": d * lm * fem / rd_1,
        "Is": d * ls * fes / rd_1,
        "II": k1 * d * ls * fes / rd_2,
        "IIIm": k2 * d * lm * fem / ((1 + 2 * re) * rd_3),
        "IIIs": k3 * d * ls * fem / ((2 + re) * rd_3),
        "IV": d**2 / rd_3 * sqrt(2 * fem * fyb / (3 * (1 + re))),
    }
    k1_text = "(√(Re + 2·Re²·(1 + Rt + Rt²) + Rt²·Re³) − Re·(1 + Rt)) / (1 + Re)"
    k2_text = "−1 + √(2·(1 + Re) + 2·Fyb·(1 + 2·Re)·D² / (3·Fem·lm²))"
    k3_text = "−1 + √(2·(1 + Re)/Re + 2·Fyb·(2 + Re)·D² / (3·Fem·ls²))"
    nds = NDS_YIELD_MODES
    steps = (
        step("Re", "Re", "Fem/Fes", re, "-", nds, Fem=fem, Fes=fes),
        step("Rt", "Rt", "lm/ls", rt, "-", nds, lm=lm, ls=ls),
        step("k1", "k1", k1_text, k1, "-", nds, Re=re, Rt=rt),
        step("k2", "k2", k2_text, k2, "-", nds, Re=re, Fyb=fyb, D=d, Fem=fem, lm=lm),
        step("k3", "k3", k3_text, k3, "-", nds, Re=re, Fyb=fyb, D=d, Fem=fem, ls=ls),
        step("Z_Im_lb", "Z Im", "D·lm·Fem / Rd", z_lb["Im"], "lb", nds, D=d, lm=lm, Fem=fem, Rd=rd_1),
        step("Z_Is_lb", "Z Is", "D·ls·Fes / Rd", z_lb["Is"], "lb", nds, D=d, ls=ls, Fes=fes, Rd=rd_1),
        step("Z_II_lb", "Z II", "k1·D·ls·Fes / Rd", z_lb["II"], "lb", nds, k1=k1, D=d, ls=ls, Fes=fes, Rd=rd_2),
        step(
            "Z_IIIm_lb",
            "Z IIIm",
            "k2·D·lm·Fem / ((1 + 2·Re)·Rd)",
            z_lb["IIIm"],
            "lb",
            nds,
            k2=k2,
            D=d,
            lm=lm,
            Fem=fem,
            Re=re,
            Rd=rd_3,
        ),
        step(
            "Z_IIIs_lb",
            "Z IIIs",
            "k3·D·ls·Fem / ((2 + Re)·Rd)",
            z_lb["IIIs"],
            "lb",
            nds,
            k3=k3,
            D=d,
            ls=ls,
            Fem=fem,
            Re=re,
            Rd=rd_3,
        ),
        step(
            "Z_IV_lb",
            "Z IV",
            "D²/Rd · √(2·Fem·Fyb / (3·(1 + Re)))",
            z_lb["IV"],
            "lb",
            nds,
            D=d,
            Rd=rd_3,
            Fem=fem,
            Fyb=fyb,
            Re=re,
        ),
        *_least(z_lb, nds),
    )
    return min(z_lb.values()), steps


def _least(z_lb: dict[str, float], source: Source) -> tuple[Step, Step]:
    governing = min(z_lb, key=lambda name: z_lb[name])
    return (
        step("Z_lb", "Z", "least of the six modes", z_lb[governing], "lb", source, **z_lb),
        step("mode", "mode", "the mode with the least Z", governing, "-", source, Z=z_lb[governing]),
    )


def _modes_across_gap(
    gap_in: float,
    main: tuple[float, float],
    side: tuple[float, float],
    dowel: tuple[float, float, float, float],
    reductions: tuple[float, float, float],
) -> tuple[float, tuple[Step, ...]]:
    """The six modes with a gap g: each bent or rotated mode is the root of A·P² + B·P + C = 0, then Z = P/Rd. [lb]"""
    (qm, lm), (qs, ls), (d, fem, fes, fyb), g = main, side, dowel, gap_in
    rd_1, rd_2, rd_3 = reductions
    moment = fyb * d**3 / 6
    tr12 = GENERAL_DOWEL
    steps = [
        step("qm_lb_per_in", "qm", "Fem·D", qm, "lb/in", tr12, Fem=fem, D=d),
        step("qs_lb_per_in", "qs", "Fes·D", qs, "lb/in", tr12, Fes=fes, D=d),
        step("M_in_lb", "M", "Fyb·D³/6", moment, "in·lb", tr12, Fyb=fyb, D=d),
        step("Z_Im_lb", "Z Im", "qm·lm / Rd", qm * lm / rd_1, "lb", tr12, qm=qm, lm=lm, Rd=rd_1),
        step("Z_Is_lb", "Z Is", "qs·ls / Rd", qs * ls / rd_1, "lb", tr12, qs=qs, ls=ls, Rd=rd_1),
    ]
    given = {"qm": qm, "qs": qs, "lm": lm, "ls": ls, "g": g, "M": moment}
    # Mode: its reduction term, then A, B and C as printed and as numbers.
    bent: dict[str, tuple[float, tuple[str, float], tuple[str, float], tuple[str, float]]] = {
        "II": (rd_2, ("1/(4·qs) + 1/(4·qm)", 1 / (4 * qs) + 1 / (4 * qm)), ("ls/2 + g + lm/2", ls / 2 + g + lm / 2),
               ("−qs·ls²/4 − qm·lm²/4", -qs * ls**2 / 4 - qm * lm**2 / 4)),
        "IIIm": (rd_3, ("1/(2·qs) + 1/(4·qm)", 1 / (2 * qs) + 1 / (4 * qm)), ("g + lm/2", g + lm / 2),
                 ("−M − qm·lm²/4", -moment - qm * lm**2 / 4)),
        "IIIs": (rd_3, ("1/(4·qs) + 1/(2·qm)", 1 / (4 * qs) + 1 / (2 * qm)), ("ls/2 + g", ls / 2 + g),
                 ("−qs·ls²/4 − M", -qs * ls**2 / 4 - moment)),
        "IV": (rd_3, ("1/(2·qs) + 1/(2·qm)", 1 / (2 * qs) + 1 / (2 * qm)), ("g", g), ("−2·M", -2 * moment)),
    }  # fmt: skip
    z_lb = {"Im": qm * lm / rd_1, "Is": qs * ls / rd_1}
    for mode, (rd, *terms) in bent.items():
        (_, a), (_, b), (_, c) = terms
        z_lb[mode] = (-b + sqrt(b**2 - 4 * a * c)) / (2 * a) / rd
        for letter, unit, (expression, value) in zip("ABC", ("in/lb", "in", "in·lb"), terms, strict=True):
            named = {name: number for name, number in given.items() if name in expression}
            steps.append(step(f"{letter}_{mode}", f"{letter} {mode}", expression, value, unit, tr12, **named))
        root = "(−B + √(B² − 4·A·C)) / (2·A) / Rd"
        steps.append(step(f"Z_{mode}_lb", f"Z {mode}", root, z_lb[mode], "lb", tr12, A=a, B=b, C=c, Rd=rd))
    return min(z_lb.values()), (*steps, *_least(z_lb, tr12))
