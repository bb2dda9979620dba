"""The questions that can be asked from outside, by name: one JSON object in, one out; or a list of them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from engineering import exchange
from engineering.as_built import recheck
from engineering.as_built_inputs import AsBuiltInputs
from engineering.dowels import single_shear
from engineering.errors import OutOfRange
from engineering.exchange import Json
from engineering.house import assess
from engineering.inputs import (
    Assembly,
    DemandInputs,
    DowelInputs,
    HouseInputs,
    PanelInputs,
    SiteInputs,
    ThroughPlateInputs,
    WithdrawalInputs,
)
from engineering.seismic_demand import demand
from engineering.shear_panels import panel_capacity
from engineering.site_coefficients import site
from engineering.through_plate import set_up
from engineering.unit_weights import assembly_weight
from engineering.withdrawal import withdrawal

KINDS: Final[dict[str, tuple[type[Any], Callable[[Any], object]]]] = {
    "dowel": (DowelInputs, single_shear),
    "withdrawal": (WithdrawalInputs, withdrawal),
    "panel": (PanelInputs, panel_capacity),
    "demand": (DemandInputs, demand),
    "site": (SiteInputs, site),
    "assembly": (Assembly, assembly_weight),
    "through_plate": (ThroughPlateInputs, set_up),
    "house": (HouseInputs, assess),
    "as_built": (AsBuiltInputs, recheck),
}


def run(kind: str, payload: object) -> tuple[Json, bool]:
    """Answer one question or a list of them; whether all could be answered.

    `payload` is JSON text or parsed JSON. An object gives the result, or {"error": {"field", "value", "allowed"}};
    a list gives {"result": …} or {"error": …} for each item. OutOfRange for an unknown `kind` or text that is no JSON.
    """
    inputs_class, function = _known(kind)
    asked = exchange.parse(payload) if isinstance(payload, str | bytes) else payload
    if isinstance(asked, list):
        answers = [_answer(inputs_class, function, item) for item in asked]
        return [answer if failed else {"result": answer} for answer, failed in answers], not any(
            failed for _, failed in answers
        )
    answer, failed = _answer(inputs_class, function, asked)
    return answer, not failed


def schema(kind: str) -> dict[str, Any]:
    """JSON Schema of what `kind` asks for, with units."""
    return exchange.schema(_known(kind)[0])


def error_of(problem: OutOfRange) -> Json:
    """An OutOfRange as it is told outside."""
    value = problem.value
    told = value if value is None or isinstance(value, str | int | float | bool) else str(value)[:200]
    if isinstance(told, float) and (told != told or abs(told) == float("inf")):
        told = str(told)
    return {"error": {"field": problem.field, "value": told, "allowed": problem.allowed}}


def _known(kind: str) -> tuple[type[Any], Callable[[Any], object]]:
    if kind not in KINDS:
        raise OutOfRange("kind", kind, f"must be one of {', '.join(KINDS)}")
    return KINDS[kind]


def _answer(inputs_class: type[Any], function: Callable[[Any], object], asked: object) -> tuple[Json, bool]:
    try:
        return exchange.dumps(function(exchange.loads(inputs_class, asked))), False
    except OutOfRange as problem:
        return error_of(problem), True
