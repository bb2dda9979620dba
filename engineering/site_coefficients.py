"""From mapped accelerations to S_DS, S_D1 and the seismic design category: ASCE 7-16 with Supplement 1.

ASCE 7-22 has no site coefficients: its hazard service gives S_DS and S_D1 for the site class, and they are entered.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import pairwise
from typing import Final, NoReturn

from engineering.clauses import asce
from engineering.errors import OutOfRange
from engineering.inputs import NOT_OBSERVED, CodeFamily, Criteria, Hazard, MappedMotion, RiskCategory, SiteInputs
from engineering.results import Check, Step
from engineering.sources import Source
from engineering.steps import step
from engineering.tables import rows

GROUND_MOTION_READ: Final = "https://up.codes/s/seismic-ground-motion-values"
SHEET_READ: Final = "https://publicdocs.santa-ana.org/BuildingWeblink/0/doc/370584/Page131.aspx"
FACTOR_READ: Final = "https://lfportal.everettwa.gov/WebLink/0/doc/1926471/Page50.aspx"

SITE_CLASSES: Final = ("A", "B", "C", "D", "E", "default")
DEFAULT_FLOOR: Final = 1.2  # least F_a where class D is the default
STUDY_FROM_S_1: Final = 0.2  # classes D and E: from here F_v serves only for T_s
LONG_PERIOD_FACTOR: Final = 1.5
STUDY: Final = "11.4.8"
AGREES_WITHIN_G: Final = 0.0006  # accelerations are entered to three decimals

SAME_G: Final = 1e-9  # two thirds of 0.3 is 0.2, whatever the floats make of it
# Least acceleration of each row of Tables 11.6-1 and 11.6-2; the letters of risk categories I to III, and of IV.
SHORT_ROWS_G: Final = (0.0, 0.167, 0.33, 0.5)
ONE_SECOND_ROWS_G: Final = (0.0, 0.067, 0.133, 0.2)
LETTERS: Final = {"I": "ABCD", "II": "ABCD", "III": "ABCD", "IV": "ACDD"}
NEAR_FAULT_S_1_G: Final = 0.75
# What the exception of 11.6 asks for where Table 11.6-2 is left aside (from memory).
ALONE: Final = (
    "S_1 under 0.75, T_a < 0.8·T_s and T < T_s in both directions, C_s by 12.8-2, the diaphragms rigid or the wall"
    " lines not over 40 ft apart"
)

F_A_RULES: Final = Source("ASCE", "7-16", "11.4.4", GROUND_MOTION_READ)
CLASS_B: Final = Source("ASCE", "7-16", "11.4.3", GROUND_MOTION_READ)
S_MS_BOUND: Final = Source("ASCE", "7-16", "11.4.4, S_MS not less than S_M1", GROUND_MOTION_READ)
T_S: Final = Source("ASCE", "7-16", "11.4.6")
EXCEPTION_D: Final = Source("ASCE", "7-16", "11.4.8 exception 2", FACTOR_READ)
EXCEPTION_E: Final = Source("ASCE", "7-16", "11.4.8 exception 3")


@dataclass(frozen=True, slots=True)
class DesignSpectrum:
    """What a mapped motion gives, with its steps. `site_class` is the row that was used: D for the default class."""

    site_class: str
    s_ds_g: float
    s_d1_g: float
    t_s_s: float
    seismic_design_category: str
    category_s_ds_g: float  # S_DS without its lower bound, by which the category is assigned
    steps: tuple[Step, ...]


def site(inputs: SiteInputs) -> Check:
    """The design spectrum of one site, as `design_spectrum`."""
    return design_spectrum(inputs.mapped, risk_category=inputs.risk_category, code_family=inputs.code_family)


def design_spectrum(mapped: MappedMotion, *, risk_category: RiskCategory, code_family: CodeFamily) -> Check:
    """F_a, F_v, S_MS, S_M1, S_DS, S_D1 (g), T_s (s) and the seismic design category, step by step.

    Recorded: there is nothing to compare. Raises OutOfRange as `spectrum` does. ASCE 7-16 11.4, 11.6.
    """
    found = spectrum(mapped, risk_category=risk_category, code_family=code_family)
    return Check(
        name="design spectrum",
        status="recorded",
        unit="g",
        clause=str(asce(code_family, "11.4")),
        steps=found.steps,
        notes=("site class not known: D by default, F_a not less than 1.2",) if mapped.site_class == "default" else (),
    )


@lru_cache(maxsize=4096)
def spectrum(mapped: MappedMotion, *, risk_category: RiskCategory, code_family: CodeFamily) -> DesignSpectrum:
    """The same as values for callers.

    F_a and F_v are linear between the columns of S_S and S_1, and the end columns' beyond them. The default class is
    D with F_a ≥ 1.2; class B without a measured velocity takes 1.0 for both. S_MS is not less than S_M1, except when
    the category is assigned. Raises OutOfRange in the 2024 family (no such tables), for classes that ASCE 7-16 does
    not have, for class A without a measurement, and where only a site-specific study will do (11.4.8).
    ASCE 7-16 11.4.2 to 11.4.5, 11.6.
    """
    if code_family == "2024":
        raise OutOfRange(
            "mapped", code_family, "must be left out: ASCE 7-22 has no F_a and F_v; enter S_DS and S_D1 of its service"
        )
    if mapped.site_class not in (*SITE_CLASSES, "F"):
        raise OutOfRange("mapped.site_class", mapped.site_class, f"must be one of {', '.join(SITE_CLASSES)}")
    if mapped.site_class == "A" and not mapped.shear_wave_measured:
        raise OutOfRange("mapped.site_class", "A", "must have a measured shear wave velocity (ASCE 7-16 20.3)")
    row = "D" if mapped.site_class == "default" else mapped.site_class
    f_a, f_v, steps = _coefficients(mapped, row)
    s_s = mapped.s_s_g
    s_ms, s_m1 = f_a * s_s, f_v * mapped.s_1_g
    bound, s_d1 = max(s_ms, s_m1), 2 / 3 * s_m1
    s_ds, by_category = 2 / 3 * bound, 2 / 3 * s_ms
    steps += [
        step("SMS_g", "S_MS", "F_a·S_S", s_ms, "g", _of("Eq. 11.4-1", SHEET_READ), F_a=f_a, S_S=s_s),
        step("SM1_g", "S_M1", "F_v·S_1", s_m1, "g", _of("Eq. 11.4-2", SHEET_READ), F_v=f_v, S_1=mapped.s_1_g),
        step("SMS_bound_g", "S_MS", "max(S_MS, S_M1)", bound, "g", S_MS_BOUND, S_MS=s_ms, S_M1=s_m1),
        step("SDS_g", "S_DS", "2/3·S_MS", s_ds, "g", _of("Eq. 11.4-3", SHEET_READ), S_MS=bound),
        step("SD1_g", "S_D1", "2/3·S_M1", s_d1, "g", _of("Eq. 11.4-4", SHEET_READ), S_M1=s_m1),
        step("SDS_category_g", "S_DS for the category", "2/3·F_a·S_S", by_category, "g", S_MS_BOUND, F_a=f_a, S_S=s_s),
        step("Ts_s", "T_s", "S_D1/S_DS", s_d1 / s_ds, "s", T_S, S_D1=s_d1, S_DS=s_ds),
    ]
    letter, category_steps = category(
        by_category, s_d1, mapped.s_1_g, risk_category=risk_category, code_family=code_family
    )
    return DesignSpectrum(row, s_ds, s_d1, s_d1 / s_ds, letter, by_category, (*steps, *category_steps))


def category(
    s_ds_g: float, s_d1_g: float, s_1_g: float, *, risk_category: RiskCategory, code_family: CodeFamily
) -> tuple[str, tuple[Step, ...]]:
    """Seismic design category from S_DS without its lower bound, S_D1 and S_1 (g): the more severe of both tables.

    With S_1 of 0.75 or more it is E, in risk category IV it is F. ASCE 7 11.6, Tables 11.6-1 and 11.6-2.
    """
    read = "from memory" if risk_category == "IV" else SHEET_READ
    short, one_second = _letter(SHORT_ROWS_G, s_ds_g, risk_category), _letter(ONE_SECOND_ROWS_G, s_d1_g, risk_category)
    table_1, table_2 = asce(code_family, "Table 11.6-1", read), asce(code_family, "Table 11.6-2", read)
    risk, letter = risk_category, max(short, one_second)
    expression = "the more severe of short and one_second"
    rule = asce(code_family, "11.6", read)
    both = step("SDC", "SDC", expression, letter, "-", rule, short=short, one_second=one_second)
    if s_1_g >= NEAR_FAULT_S_1_G:
        letter, rule = "F" if risk == "IV" else "E", asce(code_family, "11.6")
        both = step("SDC", "SDC", "by risk category, S_1 ≥ 0.75", letter, "-", rule, S_1=s_1_g, risk=risk)
    return letter, (
        step("SDC_short", "SDC", "by S_DS and risk category", short, "-", table_1, S_DS=s_ds_g, risk=risk),
        step("SDC_one_second", "SDC", "by S_D1 and risk category", one_second, "-", table_2, S_D1=s_d1_g, risk=risk),
        both,
    )


def require_agreement(hazard: Hazard, criteria: Criteria) -> tuple[Step, ...]:
    """The steps from the mapped motion to S_DS, S_D1 and the category it gives; none where nothing is mapped.

    Raises OutOfRange naming what the site coefficients give where the hazard says otherwise, to three decimals, and
    for a site class that the edition of the family does not have.
    """
    mapped = hazard.mapped
    if criteria.code_family == "2021" and hazard.site_class not in (*SITE_CLASSES, "F", NOT_OBSERVED):
        raise OutOfRange("hazard.site_class", hazard.site_class, f"must be one of {', '.join(SITE_CLASSES)}, F")
    if mapped is None:
        return ()
    if hazard.site_class not in (NOT_OBSERVED, mapped.site_class):
        raise OutOfRange("hazard.site_class", hazard.site_class, f"must be {mapped.site_class}, as mapped")
    found = spectrum(mapped, risk_category=criteria.risk_category, code_family=criteria.code_family)
    for field, given, follows in (
        ("s_1_g", hazard.s_1_g, mapped.s_1_g),
        ("s_ds_g", hazard.s_ds_g, found.s_ds_g),
        ("s_d1_g", hazard.s_d1_g, found.s_d1_g),
    ):
        if abs(given - follows) > AGREES_WITHIN_G:
            raise OutOfRange(f"hazard.{field}", given, f"must be {follows:.3f}, as it follows from the mapped motion")
    return found.steps


def category_warnings(hazard: Hazard, criteria: Criteria) -> tuple[str, ...]:
    """A warning where the category entered stands only by the exception of 11.6, named with what must then hold.

    Raises OutOfRange for a category below the least that may be: that of Table 11.6-1 alone, or E or F with S_1 of
    0.75 or more. A higher one than computed is the engineer's or the jurisdiction's to take. ASCE 7 11.6.
    """
    risk, family, s_ds_g, s_d1_g = criteria.risk_category, criteria.code_family, hazard.s_ds_g, hazard.s_d1_g
    if hazard.mapped is not None:
        found = spectrum(hazard.mapped, risk_category=risk, code_family=family)
        s_ds_g, s_d1_g = found.category_s_ds_g, found.s_d1_g
    letter, _ = category(s_ds_g, s_d1_g, hazard.s_1_g, risk_category=risk, code_family=family)
    near_fault = hazard.s_1_g >= NEAR_FAULT_S_1_G
    least = letter if near_fault else _letter(SHORT_ROWS_G, s_ds_g, risk)
    entered, field = hazard.seismic_design_category, "hazard.seismic_design_category"
    if entered < least:
        given = f"S_1 = {hazard.s_1_g:g}" if near_fault else f"S_DS = {s_ds_g:.3g} by Table 11.6-1 alone"
        allowed = f"must be at least {least}: ASCE 7 11.6 gives it at {given}, risk category {risk}"
        raise OutOfRange(field, entered, allowed)
    if entered >= letter:
        return ()
    return (
        f"seismic design category {entered} was entered; S_DS, S_D1 and S_1 give {letter} by ASCE 7 11.6. {entered} "
        f"stands only by its exception, Table 11.6-1 alone, whose conditions the engineer must show: {ALONE}",
    )


def long_period_factor(hazard: Hazard, criteria: Criteria, period_s: float) -> tuple[float, tuple[Step, ...]]:
    """What multiplies the upper limits 12.8-3 and 12.8-4 of C_s at this period (s), with its step; 1.0 without one.

    ASCE 7-16: on class D with S_1 ≥ 0.2 no site-specific study is needed where C_s is by 12.8-2 up to 1.5·T_s and by
    1.5 times 12.8-3 or 12.8-4 beyond; both together are C_s ≤ 1.5 times the limit. On class E with S_1 ≥ 0.2 the
    period must not exceed T_s, else OutOfRange. A site class that nobody gave changes nothing. 11.4.8.
    """
    given = hazard.mapped.site_class if hazard.mapped is not None else hazard.site_class
    if criteria.code_family != "2021" or hazard.s_1_g < STUDY_FROM_S_1 or given not in ("D", "E", "default"):
        return 1.0, ()
    if given == "E":
        limit_s = hazard.s_d1_g / hazard.s_ds_g
        if period_s > limit_s:
            allowed = f"must be a class other than E where T = {period_s:.3f} s exceeds T_s = {limit_s:.3f} s"
            raise OutOfRange(
                "hazard.site_class", "E", f"{allowed}: a site-specific study is needed (ASCE 7-16 {STUDY})"
            )
        expression = "class E, S_1 ≥ 0.2: T ≤ T_s"
        kept = step("long_period_factor", "T", expression, period_s, "s", EXCEPTION_E, T_s=limit_s, S_1=hazard.s_1_g)
        return 1.0, (kept,)
    expression = "1.5 on 12.8-3 and 12.8-4: class D, S_1 ≥ 0.2"
    factor = step("long_period_factor", "factor", expression, LONG_PERIOD_FACTOR, "-", EXCEPTION_D, S_1=hazard.s_1_g)
    return LONG_PERIOD_FACTOR, (factor,)


def _of(clause: str, read: str) -> Source:
    return Source("ASCE", "7-16", clause, read)


def _coefficients(mapped: MappedMotion, row: str) -> tuple[float, float, list[Step]]:
    if row == "B" and not mapped.shear_wave_measured:
        expression = "class B, shear wave velocity not measured"
        return (
            1.0,
            1.0,
            [step(key, symbol, expression, 1.0, "-", CLASS_B) for key, symbol in (("Fa", "F_a"), ("Fv", "F_v"))],
        )
    f_a, by_f_a = _interpolated("Fa", "F_a", "S_S", "asce-7-16-11.4-1", "Table 11.4-1", row, mapped.s_s_g)
    f_v, by_f_v = _interpolated(
        "Fv", "F_v", "S_1", "asce-7-16-11.4-2", "Table 11.4-2 with Supplement 1", row, mapped.s_1_g
    )
    steps = [by_f_a, by_f_v]
    if mapped.site_class == "default":
        floored = max(f_a, DEFAULT_FLOOR)
        expression = "max(F_a, 1.2): class D by default"
        steps.insert(1, step("Fa_default", "F_a", expression, floored, "-", F_A_RULES, F_a=f_a))
        f_a = floored
    return f_a, f_v, steps


def _interpolated(
    key: str, symbol: str, of: str, table: str, clause: str, row: str, value_g: float
) -> tuple[float, Step]:
    """The coefficient of a class at S_S or S_1, linear between two columns; refused where a study is asked for."""
    columns, read = _columns(table)[row]
    source = _of(f"{clause}, class {row}", read)
    first, last = columns[0], columns[-1]
    at_end = first if value_g <= first[0] else last if value_g >= last[0] else None
    if at_end is not None:
        value, expression = at_end[1], f"{of} at the table's end column"
        if value is None:
            _refuse_without_study(row, of, value_g)
        return value, step(key, symbol, expression, value, "-", source, **{of: value_g})
    (low_g, low), (high_g, high) = next(pair for pair in pairwise(columns) if pair[0][0] <= value_g < pair[1][0])
    if low is None or (high is None and value_g > low_g):
        _refuse_without_study(row, of, value_g)
    if high is None:
        return low, step(key, symbol, f"{of} at a column of the table", low, "-", source, **{of: value_g})
    value = low + (high - low) * (value_g - low_g) / (high_g - low_g)
    expression = f"F_low + (F_high − F_low)·({of} − low)/(high − low)"
    return value, step(
        key, symbol, expression, value, "-", source,
        F_low=low, F_high=high, low=low_g, high=high_g, **{of: value_g},
    )  # fmt: skip


@cache
def _columns(table: str) -> dict[str, tuple[tuple[tuple[float, float | None], ...], str]]:
    """By site class: acceleration and coefficient of each column, None where the table asks for a study; the source."""
    read = {}
    for row in rows(table):
        heads = [head for head in row if head not in ("site_class", "read")]
        cells = tuple((float(head), None if row[head] == STUDY else float(row[head])) for head in heads)
        read[row["site_class"]] = (cells, row["read"])
    return read


def _refuse_without_study(row: str, of: str, value_g: float) -> NoReturn:
    allowed = (
        f"must not be {row} at {of} = {value_g:g}: ASCE 7-16 11.4.8 asks for a site-specific study; enter its S_DS"
    )
    raise OutOfRange("mapped.site_class", row, f"{allowed} and S_D1 without a mapped motion")


def _letter(least_g: tuple[float, ...], value_g: float, risk_category: RiskCategory) -> str:
    reached = sum(value_g > least - SAME_G for least in least_g)
    return LETTERS[risk_category][reached - 1]
