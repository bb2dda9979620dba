"""The JSON boundary: strict reading into the input classes, writing, canonical text, JSON Schema with units."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Iterable
from math import isfinite
from types import ModuleType
from typing import Any, Final, NoReturn, TypeVar, get_args, get_type_hints

from pydantic import ConfigDict, TypeAdapter, ValidationError, with_config

from engineering import as_built_inputs, as_built_results, inputs, results, schedule, single_inputs, sources
from engineering.errors import OutOfRange
from engineering.results import Step
from engineering.units import unit_of

T = TypeVar("T")
Json = dict[str, "Json"] | list["Json"] | str | int | float | bool | None

WHOLE: Final = "input"  # the path of the whole object in an error
_ADAPTERS: Final[dict[type[Any], TypeAdapter[Any]]] = {}  # made once each: a house takes a while
_FLOAT_FIELDS: Final[dict[type[Any], frozenset[str]]] = {}
STRICT: Final = ConfigDict(extra="forbid", strict=True, allow_inf_nan=False)


def _dataclasses(modules: Iterable[ModuleType]) -> Iterable[type]:
    for module in modules:
        for thing in vars(module).values():
            if isinstance(thing, type) and dataclasses.is_dataclass(thing):
                yield thing


for _class in _dataclasses((as_built_inputs, as_built_results, inputs, single_inputs, results, schedule, sources)):
    with_config(STRICT)(_class)  # kept here, so that the classes themselves know nothing of JSON


def loads(kind: type[T], payload: object) -> T:
    """An instance of the dataclass `kind` from JSON text or from parsed JSON.

    OutOfRange with the dotted path, the value and what is allowed for the first problem: no JSON, a key twice, an
    unknown or missing key, another type, NaN or infinity, or what the class itself refuses.
    """
    parsed = parse(payload) if isinstance(payload, str | bytes) else payload
    try:
        text = json.dumps(parsed)
    except (TypeError, ValueError, RecursionError) as problem:
        raise OutOfRange(WHOLE, type(parsed).__name__, f"must be JSON: {problem}") from None
    try:
        read: T = _adapter(kind).validate_json(text)
    except ValidationError as problem:
        _refuse(kind, problem)
    return read


def parse(text: str | bytes) -> Json:
    """JSON text as Python values; OutOfRange where it is none, or names a key twice in one object."""
    try:
        parsed: Json = json.loads(text, object_pairs_hook=_without_doubles)
    except OutOfRange:
        raise
    except (ValueError, RecursionError) as problem:
        raise OutOfRange(WHOLE, text[:60], f"must be JSON: {problem}") from None
    return parsed


def dumps(value: object) -> Json:
    """Any value of this package as JSON-able Python: dataclasses as objects, tuples as lists, −0.0 as 0.0.

    A whole number in a field of floats is written as a float, so that equal inputs have one text. `loads` of the same
    class reads it back. OutOfRange for a number that is not finite.
    """
    return _dumps(value, as_float=False)


def essential(value: object) -> Json:
    """As `dumps`, without the fields that stand at their class's default.

    For hashes that must outlive the program's version: a new optional field, left at its neutral default, changes none.
    """
    return _dumps(value, as_float=False, defaults=False)


def canonical(value: object) -> str:
    """One text for one value: sorted keys, no blanks, no NaN, no −0.0. The text is what is stored and hashed."""
    return json.dumps(dumps(value), sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


def schema(kind: type) -> dict[str, Any]:
    """JSON Schema of a class; each number carries the "unit" that its name's suffix stands for."""
    whole = _adapter(kind).json_schema()
    for part in (whole, *whole.get("$defs", {}).values()):
        for name, rule in part.get("properties", {}).items():
            rule.pop("title", None)
            if _holds_numbers(rule):
                rule["unit"] = unit_of(name)
    return whole


def _adapter(kind: type[Any]) -> TypeAdapter[Any]:
    if kind not in _ADAPTERS:
        _ADAPTERS[kind] = TypeAdapter(kind)
    return _ADAPTERS[kind]


def _dumps(value: object, *, as_float: bool, defaults: bool = True) -> Json:
    if isinstance(value, float) or (as_float and isinstance(value, int) and not isinstance(value, bool)):
        if not isfinite(value):
            raise OutOfRange(WHOLE, value, "must be a finite number")
        return float(value) + 0.0
    if value is None or isinstance(value, str | int):
        return value
    if isinstance(value, Step):
        return {name: _dumps(member, as_float=False) for name, member in zip(Step._fields, value, strict=True)}
    if isinstance(value, list | tuple):
        return [_dumps(item, as_float=as_float, defaults=defaults) for item in value]
    if isinstance(value, dict):
        return {str(key): _dumps(item, as_float=False, defaults=defaults) for key, item in value.items()}
    if dataclasses.is_dataclass(value):
        floats = _float_fields(type(value))
        return {
            field.name: _dumps(getattr(value, field.name), as_float=field.name in floats, defaults=defaults)
            for field in dataclasses.fields(value)
            if defaults or getattr(value, field.name) != field.default
        }
    raise TypeError(f"{type(value).__name__} has no JSON form")


def _float_fields(kind: type[Any]) -> frozenset[str]:
    """The fields of a dataclass that hold floats and no whole numbers."""
    if kind not in _FLOAT_FIELDS:
        leaves = {name: _leaves(hint) for name, hint in get_type_hints(kind).items()}
        _FLOAT_FIELDS[kind] = frozenset(name for name, of in leaves.items() if float in of and int not in of)
    return _FLOAT_FIELDS[kind]


def _leaves(hint: Any) -> set[Any]:
    inner = get_args(hint)
    return {hint} if not inner else set().union(*(_leaves(argument) for argument in inner))


def _without_doubles(pairs: list[tuple[str, Json]]) -> dict[str, Json]:
    read: dict[str, Json] = {}
    for key, value in pairs:
        if key in read:
            raise OutOfRange(key, value, "must be given once")
        read[key] = value
    return read


def _holds_numbers(rule: dict[str, Any]) -> bool:
    if rule.get("type") in ("number", "integer"):
        return True
    inner = [*rule.get("anyOf", ()), *rule.get("prefixItems", ())]
    if isinstance(rule.get("items"), dict):
        inner.append(rule["items"])
    return any(_holds_numbers(part) for part in inner)


def _refuse(kind: type, problem: ValidationError) -> NoReturn:
    """Raise one problem as OutOfRange: an unknown key first (often a missing one misspelt), a missing key last."""
    details = problem.errors(include_url=False)
    order = {"unexpected_keyword_argument": 0, "missing": 2}
    first = min(details, key=lambda detail: order.get(detail["type"], 1))
    path, at = _path(kind, first["loc"])
    if first["type"] == "unexpected_keyword_argument":
        known = ", ".join(field.name for field in dataclasses.fields(at))
        raise OutOfRange(path, first["input"], f"is not known here; known are {known}") from None
    if first["type"] == "missing":
        raise OutOfRange(path, None, "must be given") from None
    own = first.get("ctx", {}).get("error")
    if isinstance(own, OutOfRange):
        raise OutOfRange(f"{path}.{own.field}".removeprefix(f"{WHOLE}."), own.value, own.allowed) from None
    # A value that may be one of several types has a message for each.
    same = [detail for detail in details if _path(kind, detail["loc"])[0] == path]
    texts = dict.fromkeys(detail["msg"].removeprefix("Input should be ") for detail in same)
    allowed = " or ".join(texts).replace("a valid array", "a list").replace("a valid ", "a ")
    allowed = allowed.replace("tuple", "list").replace("dictionary", "object")
    raise OutOfRange(path, first["input"], f"must be {allowed}") from None


def _path(kind: type, location: tuple[int | str, ...]) -> tuple[str, Any]:
    """The dotted path without the names of union branches, and the class that its last key belongs to."""
    parts: list[str] = []
    here: Any = kind
    owner: Any = kind
    for number, part in enumerate(location):
        if isinstance(part, int):
            parts.append(str(part))
            continue
        if here is None:
            continue
        hints = get_type_hints(here)
        if part in hints:
            parts.append(part)
            owner, here = here, _class_within(hints[part])
        elif number == len(location) - 1:
            parts.append(part)
            owner = here
    return ".".join(parts) or WHOLE, owner


def _class_within(hint: Any) -> Any:
    """The dataclass that a hint such as tuple[Span, ...] or X | None holds, None where it holds none."""
    if isinstance(hint, type) and dataclasses.is_dataclass(hint):
        return hint
    return next((found for argument in get_args(hint) if (found := _class_within(argument)) is not None), None)
