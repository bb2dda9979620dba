"""Site coefficients: interpolation, the default class, what is refused, and the agreement with the hazard."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engineering import capacity
from engineering.errors import OutOfRange
from engineering.inputs import Criteria, Hazard, MappedMotion
from engineering.seismic_demand import demand, demand_inputs
from engineering.site_coefficients import (
    category_warnings,
    design_spectrum,
    long_period_factor,
    require_agreement,
    spectrum,
)
from tests.engineering.varied import house

MOTION = MappedMotion(s_s_g=1.314, s_1_g=0.468, site_class="D")
S_S = st.floats(0.01, 3.0)
S_1 = st.floats(0.01, 1.5)


def found(motion=MOTION, *, risk="II", family="2021", **changes):
    return spectrum(replace(motion, **changes), risk_category=risk, code_family=family)


def value(key, **changes):
    check = design_spectrum(replace(MOTION, **changes), risk_category="II", code_family="2021")
    return check.step(key).value


def mapped_hazard(motion=MOTION, **changes) -> Hazard:
    spectral = found(motion)
    facts = {
        "s_ds_g": round(spectral.s_ds_g, 3),
        "s_d1_g": round(spectral.s_d1_g, 3),
        "s_1_g": motion.s_1_g,
        "t_l_s": 8.0,
        "source": "mapped",
        "seismic_design_category": spectral.seismic_design_category,
        "mapped": motion,
    }
    return Hazard(**{**facts, **changes})


def criteria(**changes) -> Criteria:
    return house(criteria=changes).criteria


def test_half_way_between_two_columns_is_half_way_between_their_coefficients():
    assert value("Fa", s_s_g=0.625) == pytest.approx(1.3)
    assert value("Fv", s_1_g=0.25) == pytest.approx(2.1)


def test_an_interpolated_coefficient_prints_both_columns():
    step = design_spectrum(replace(MOTION, s_s_g=0.552), risk_category="II", code_family="2021").step("Fa")
    assert step.inputs == {"F_low": 1.4, "F_high": 1.2, "low": 0.5, "high": 0.75, "S_S": 0.552}


@pytest.mark.parametrize(("s_s", "column"), [(0.01, 0.25), (3.0, 1.5)])
def test_beyond_the_end_columns_their_value_holds(s_s, column):
    assert value("Fa", s_s_g=s_s) == value("Fa", s_s_g=column)


def test_the_default_class_is_d_with_a_floor():
    assert found(site_class="default").site_class == "D"
    assert found(site_class="default").s_ds_g == pytest.approx(2 / 3 * 1.2 * 1.314)
    assert found(site_class="D").s_ds_g == pytest.approx(2 / 3 * 1.0 * 1.314)


def test_the_floor_leaves_a_higher_coefficient_alone():
    assert found(site_class="default", s_s_g=0.3).s_ds_g == found(site_class="D", s_s_g=0.3).s_ds_g


def test_class_b_without_a_measured_velocity_takes_one():
    assert value("Fa", site_class="B") == value("Fv", site_class="B") == 1.0
    assert value("Fa", site_class="B", shear_wave_measured=True) == 0.9


def test_class_a_needs_a_measured_velocity():
    with pytest.raises(OutOfRange, match="measured shear wave velocity"):
        found(site_class="A")
    assert value("Fa", site_class="A", shear_wave_measured=True) == 0.8


def test_s_ms_is_not_less_than_s_m1_except_for_the_category():
    low = {"s_s_g": 0.16, "s_1_g": 0.14}  # F_a·S_S = 0.256, F_v·S_1 = 0.325
    assert found(**low).s_ds_g == pytest.approx(found(**low).s_d1_g)
    assert found(**low).t_s_s == pytest.approx(1.0)
    assert value("SDS_category_g", **low) == pytest.approx(2 / 3 * 1.6 * 0.16)
    assert value("SDC_short", **low) == "B"


@pytest.mark.parametrize(("risk", "letter"), [("I", "E"), ("II", "E"), ("III", "E"), ("IV", "F")])
def test_close_to_a_fault_the_risk_category_gives_e_or_f(risk, letter):
    assert found(s_1_g=0.75, risk=risk).seismic_design_category == letter
    assert found(s_1_g=0.7499, risk=risk).seismic_design_category == "D"


@pytest.mark.parametrize(("s_s", "letter"), [(0.2, "A"), (0.3, "C"), (0.6, "D")])
def test_risk_category_iv_is_a_letter_higher_in_the_middle(s_s, letter):
    motion = MappedMotion(s_s_g=s_s, s_1_g=0.02, site_class="B")
    assert found(motion, risk="IV").seismic_design_category == letter


@pytest.mark.parametrize("site_class", ["BC", "CD", "DE"])
def test_a_class_that_this_edition_does_not_have_is_refused(site_class):
    with pytest.raises(OutOfRange, match=f"site_class = '{site_class}': must be one of A, B, C, D, E, default"):
        found(site_class=site_class)


@pytest.mark.parametrize(
    "facts",
    [
        {"site_class": "F", "s_s_g": 0.2, "s_1_g": 0.05},
        {"site_class": "E", "s_s_g": 1.0},
        {"site_class": "E", "s_s_g": 0.8},  # no value at the next column to interpolate to
    ],
)
def test_where_only_a_study_will_do_the_motion_is_refused(facts):
    with pytest.raises(OutOfRange, match="site-specific study; enter its S_DS and S_D1 without a mapped motion"):
        found(**facts)


def test_the_last_value_before_a_study_is_used_as_printed():
    assert value("Fa", site_class="E", s_s_g=0.75) == 1.3


def test_the_2024_family_takes_what_its_service_gives():
    with pytest.raises(OutOfRange, match="ASCE 7-22 has no F_a and F_v; enter S_DS and S_D1"):
        found(family="2024")


# --- agreement with the hazard -------------------------------------------------------------------------------------
def test_a_hazard_that_follows_from_its_motion_brings_the_steps():
    steps = require_agreement(mapped_hazard(), criteria())
    assert [step.key for step in steps][:2] == ["Fa", "Fv"]


def test_a_hazard_without_a_mapped_motion_brings_none():
    assert require_agreement(mapped_hazard(mapped=None), criteria()) == ()


@pytest.mark.parametrize(
    ("field", "wrong", "right"),
    [
        ("s_ds_g", 0.9, "0.876"),
        ("s_d1_g", 0.5, "0.572"),
        ("s_1_g", 0.5, "0.468"),
        ("site_class", "C", "D"),
    ],
)
def test_a_hazard_that_disagrees_is_told_what_the_motion_gives(field, wrong, right):
    with pytest.raises(OutOfRange, match=rf"hazard\.{field} = .*must be {right}"):
        require_agreement(mapped_hazard(**{field: wrong}), criteria())


def test_a_class_of_the_newer_edition_goes_with_the_newer_family():
    entered = mapped_hazard(mapped=None, site_class="CD")
    assert require_agreement(entered, criteria(code_family="2024")) == ()
    with pytest.raises(OutOfRange, match=r"hazard\.site_class = 'CD'"):
        require_agreement(entered, criteria())


# --- the category --------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("s_ds_g", "s_1_g", "risk", "least"),
    [
        (0.166, 0.01, "II", "A"),
        (0.167, 0.01, "II", "B"),
        (0.33, 0.01, "II", "C"),
        (0.5, 0.01, "II", "D"),
        (0.33, 0.01, "IV", "D"),
        (0.3, 0.75, "II", "E"),
        (0.3, 0.75, "IV", "F"),
    ],
)
def test_a_category_below_table_11_6_1_is_refused(s_ds_g, s_1_g, risk, least):
    """Rows of Table 11.6-1 and the rule for S_1 of 0.75 or more; risk category IV and that rule from memory."""
    sheet = criteria(risk_category=risk)
    for letter in "ABCDEF":
        entered = mapped_hazard(mapped=None, s_ds_g=s_ds_g, s_d1_g=0.01, s_1_g=s_1_g, seismic_design_category=letter)
        if letter >= least:
            assert category_warnings(entered, sheet) == ()
            continue
        with pytest.raises(OutOfRange, match=f"must be at least {least}") as refused:
            category_warnings(entered, sheet)
        assert (refused.value.field, refused.value.value) == ("hazard.seismic_design_category", letter)


def test_a_category_below_s_d1_alone_is_warned_of_with_its_exception():
    entered = mapped_hazard(mapped=None, s_ds_g=0.45, seismic_design_category="C")  # S_D1 gives D
    (warning,) = category_warnings(entered, criteria())
    assert "C was entered; S_DS, S_D1 and S_1 give D" in warning
    assert "T_a < 0.8·T_s" in warning
    assert "40 ft apart" in warning


@pytest.mark.parametrize("mapped", [None, MOTION])
def test_a_category_higher_than_computed_is_taken(mapped):
    entered = mapped_hazard(mapped=mapped, seismic_design_category="E")
    assert require_agreement(entered, criteria()) is not None
    assert category_warnings(entered, criteria()) == ()


def test_a_mapped_motion_decides_by_its_own_s_ds():
    """S_DS with its lower bound of S_M1 is 0.40, the category goes by 2/3·F_a·S_S = 0.32: B by Table 11.6-1."""
    motion = MappedMotion(s_s_g=0.31, s_1_g=0.3, site_class="D")
    spectral = found(motion)
    assert spectral.s_ds_g > 0.33 > spectral.category_s_ds_g
    entered = mapped_hazard(motion, seismic_design_category="B")
    assert "stands only by its exception" in category_warnings(entered, criteria())[0]


def test_a_house_with_too_low_a_category_is_not_computed():
    with pytest.raises(OutOfRange, match=r"must be at least D: ASCE 7 11\.6 gives it at S_DS = 1\.06"):
        demand(demand_inputs(house(hazard={"seismic_design_category": "C"})))


def test_the_demand_of_a_house_starts_from_its_mapped_motion():
    given = house()
    agreed = demand(demand_inputs(replace(given, hazard=mapped_hazard())))
    assert agreed.step("Fa").value == 1.0
    with pytest.raises(OutOfRange, match=r"hazard\.s_ds_g"):
        demand(demand_inputs(replace(given, hazard=mapped_hazard(s_ds_g=0.6))))


# --- the exceptions of 11.4.8 --------------------------------------------------------------------------------------
@pytest.mark.parametrize("site_class", ["D", "default"])
def test_class_d_in_strong_shaking_multiplies_the_long_period_limit(site_class):
    entered = mapped_hazard(mapped=None, site_class=site_class)
    assert long_period_factor(entered, criteria(), 0.3)[0] == 1.5
    assert long_period_factor(replace(entered, s_1_g=0.2), criteria(), 0.3)[0] == 1.5
    assert long_period_factor(replace(entered, s_1_g=0.199), criteria(), 0.3) == (1.0, ())
    assert long_period_factor(entered, criteria(code_family="2024"), 0.3) == (1.0, ())


def test_a_class_that_nobody_gave_or_rock_multiplies_nothing():
    assert long_period_factor(mapped_hazard(mapped=None), criteria(), 0.3) == (1.0, ())
    assert long_period_factor(mapped_hazard(mapped=None, site_class="C"), criteria(), 0.3) == (1.0, ())


def test_class_e_in_strong_shaking_serves_up_to_t_s_alone():
    entered = mapped_hazard(mapped=None, site_class="E", s_ds_g=1.0, s_d1_g=0.5)
    factor, steps = long_period_factor(entered, criteria(), 0.5)
    assert (factor, str(steps[0].source)) == (1.0, "ASCE 7-16 11.4.8 exception 3")
    with pytest.raises(OutOfRange, match="exceeds T_s"):
        long_period_factor(entered, criteria(), 0.51)


# --- properties ----------------------------------------------------------------------------------------------------
@given(st.sampled_from(["B", "C", "D", "default"]), S_S, S_S)
def test_stronger_mapped_motion_never_gives_less_at_short_periods(site_class, one, other):
    low, high = sorted((one, other))
    weak, strong = (found(site_class=site_class, s_s_g=s_s, s_1_g=0.1) for s_s in (low, high))
    assert strong.s_ds_g >= weak.s_ds_g - 1e-12
    assert strong.seismic_design_category >= weak.seismic_design_category


@given(st.sampled_from(["B", "C", "D", "E"]), S_1, S_1)
def test_stronger_mapped_motion_never_gives_less_at_one_second(site_class, one, other):
    low, high = sorted((one, other))
    weak, strong = (found(site_class=site_class, s_s_g=0.7, s_1_g=s_1) for s_1 in (low, high))
    assert strong.s_d1_g >= weak.s_d1_g - 1e-12


@given(S_S, S_1)
def test_the_default_class_is_never_milder_than_d(s_s, s_1):
    assert found(site_class="default", s_s_g=s_s, s_1_g=s_1).s_ds_g >= found(s_s_g=s_s, s_1_g=s_1).s_ds_g


def test_a_site_is_a_question_of_its_own():
    asked = {"mapped": {"s_s_g": 1.314, "s_1_g": 0.468, "site_class": "default"}}
    answer, answered = capacity.run("site", {**asked, "risk_category": "II", "code_family": "2021"})
    assert answered
    assert {step["key"]: step["value"] for step in answer["steps"]}["SDC"] == "D"
    refused, _ = capacity.run("site", {**asked, "risk_category": "II", "code_family": "2024"})
    assert refused["error"]["field"] == "mapped"
