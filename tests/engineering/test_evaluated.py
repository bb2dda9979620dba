"""Evaluation reports: used inside their own limits, refused outside."""

from dataclasses import replace

import pytest

from engineering.errors import OutOfRange
from engineering.evaluated import USE_SILL_ANCHOR, USE_THROUGH_PLATES, allowable
from engineering.inputs import NOT_OBSERVED, EvaluatedConnector

SCREW = EvaluatedConnector(
    key="screw",
    name="screw, invented",
    kind="through-plate screw",
    report="EXAMPLE-1",
    issued="2023-01-01",
    expires="2026-12-31",
    use=USE_THROUGH_PLATES,
    species=("Douglas Fir-Larch",),
    value_lb=235,
    value_basis="C_D 1.0",
    diameter_in=0.242,
)
ANCHOR = EvaluatedConnector(
    key="anchor",
    name="anchor, invented",
    kind="sill anchor",
    report="EXAMPLE-4",
    issued="2024-01-01",
    expires="2027-12-31",
    use=USE_SILL_ANCHOR,
    species=(),
    value_lb=980,
    value_basis="ASD seismic, C_D not applied",
    diameter_in=0.5,
    minimum_concrete_psi=2500,
)
ASKED = {
    "use": USE_THROUGH_PLATES,
    "species": "Douglas Fir-Larch",
    "calculation_date": "2025-06-01",
    "load_duration": 1.6,
}
ASKED_ANCHOR = {**ASKED, "use": USE_SILL_ANCHOR, "species": None, "concrete_psi": 2500.0}


def test_value_at_c_d_one_is_multiplied():
    check = allowable(SCREW, **ASKED)
    assert check.capacity == 376
    assert check.step("reference_lb").value == 235
    assert "EXAMPLE-1" in check.clause


@pytest.mark.parametrize("basis", ["already 1.6", "ASD seismic, C_D not applied"])
def test_value_that_holds_its_duration_is_taken_as_it_is(basis):
    connector = replace(SCREW, value_basis=basis)
    assert allowable(connector, **ASKED).capacity == 235
    with pytest.raises(OutOfRange, match=r"must be 1\.6"):
        allowable(connector, **{**ASKED, "load_duration": 1.0})


def test_anchor_in_concrete_of_the_reports_strength():
    assert allowable(ANCHOR, **ASKED_ANCHOR).capacity == 980


def test_a_report_that_covers_any_wood_says_so():
    anywhere = replace(SCREW, species=("any",))
    assert allowable(anywhere, **{**ASKED, "species": "Hem-Fir"}).capacity == 376


def test_a_report_that_lists_no_wood_goes_into_none():
    with pytest.raises(OutOfRange, match="covers: no wood"):
        allowable(replace(SCREW, species=()), **ASKED)


def test_wet_wood_takes_the_reports_own_factor_or_refuses():
    wet = {**ASKED, "moisture": "wet in service"}
    with pytest.raises(OutOfRange, match="no wet service factor") as problem:
        allowable(SCREW, **wet)
    assert problem.value.field == "moisture"
    check = allowable(replace(SCREW, wet_service_factor=0.7), **wet)
    assert check.capacity == pytest.approx(0.7 * 376)
    assert check.step("wet_lb").inputs == {"allowable": 376, "factor": 0.7}
    # Dry wood, and what goes into no wood, take no factor.
    assert allowable(replace(SCREW, wet_service_factor=0.7), **ASKED).capacity == 376
    assert allowable(ANCHOR, **{**ASKED_ANCHOR, "moisture": "wet in service"}).capacity == 980


@pytest.mark.parametrize("day", ["2023-01-01", "2026-12-31"])
def test_first_and_last_day_of_a_report_count(day):
    assert allowable(SCREW, **{**ASKED, "calculation_date": day}).capacity == 376


@pytest.mark.parametrize(
    ("connector", "asked", "field", "text"),
    [
        (SCREW, {**ASKED, "calculation_date": "2027-01-01"}, "calculation_date", "expired on 2026-12-31"),
        (SCREW, {**ASKED, "calculation_date": "2022-12-31"}, "calculation_date", "not issued before 2023-01-01"),
        (SCREW, {**ASKED, "calculation_date": "1 June 2025"}, "calculation_date", "YYYY-MM-DD"),
        (SCREW, {**ASKED, "species": "Hem-Fir"}, "species", "covers: Douglas Fir-Larch"),
        (SCREW, {**ASKED, "use": USE_SILL_ANCHOR}, "use", "covers: shear, from below"),
        (SCREW, {**ASKED, "load_duration": 1.5}, "load_duration", "Table 2.3.2"),
        (ANCHOR, {**ASKED_ANCHOR, "species": "Hem-Fir"}, "species", "covers: no wood"),
        (ANCHOR, {**ASKED_ANCHOR, "concrete_psi": 2400.0}, "concrete_psi", "too weak"),
        (ANCHOR, {**ASKED_ANCHOR, "concrete_psi": NOT_OBSERVED}, "concrete_psi", "must be observed"),
        (ANCHOR, {**ASKED_ANCHOR, "concrete_psi": None}, "concrete_psi", "must be observed"),
    ],
)
def test_refuses_outside_the_report(connector, asked, field, text):
    with pytest.raises(OutOfRange, match=text) as problem:
        allowable(connector, **asked)
    assert problem.value.field == field


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"expires": "2022-12-31"}, "expires"),
        ({"issued": "2023-1-1"}, "issued"),
        ({"value_lb": 0}, "value_lb"),
        ({"report": " "}, "report"),
        ({"minimum_edge_in": -0.5}, "minimum_edge_in"),
        ({"species": ("",)}, "species"),
        ({"wet_service_factor": 1.2}, "wet_service_factor"),
    ],
)
def test_a_connector_that_can_not_be_is_refused(change, field):
    with pytest.raises(OutOfRange) as problem:
        replace(SCREW, **change)
    assert problem.value.field == field


@pytest.mark.parametrize("kind", ["sill anchor", "side connection", "tie-down anchor"])
def test_what_holds_in_concrete_needs_its_strength_whatever_the_report_says(kind):
    silent = replace(ANCHOR, kind=kind, minimum_concrete_psi=None)
    with pytest.raises(OutOfRange, match="holds in concrete"):
        allowable(
            silent, use=silent.use, species=None, calculation_date="2025-06-01", load_duration=1.6,
            concrete_psi=NOT_OBSERVED,
        )  # fmt: skip
