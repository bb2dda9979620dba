"""The recheck of a job's design with what was logged, as data."""

from __future__ import annotations

from functools import cache
from typing import Any

from engineering import exchange
from engineering.as_built_results import AsBuiltResult
from jobs import as_built
from jobs.models import Design

WITHOUT = ("built", "sunk_nails")  # with their steps they belong on sheets


def answer(design: Design | None) -> dict[str, Any]:
    """The recheck of the design that is built; all empty while there is none."""
    if design is None:
        return {"design": None, "revision": None, "problem": "", "close_out_blocked_by": [], "unread": [],
                "unidentified": [], "sunk_nails": [], "result": None}  # fmt: skip
    record = as_built.recheck(design)
    result: Any = None
    if record.result is not None:
        result = exchange.dumps(record.result)
        for name in WITHOUT:
            del result[name]
    return {
        "design": design.pk,
        "revision": design.revision,
        "problem": record.problem,
        "close_out_blocked_by": list(record.close_out_blocked_by),
        "unread": list(record.unread),
        "unidentified": list(record.unidentified),
        "sunk_nails": [check.name for check in record.result.sunk_nails] if record.result else [],
        "result": result,
    }


@cache
def schema() -> dict[str, Any]:
    """JSON Schema of `answer`, each number with its unit."""
    result = exchange.schema(AsBuiltResult)
    parts = result.pop("$defs")
    for name in WITHOUT:
        del result["properties"][name]
        result["required"].remove(name)
    sentences = {"type": "array", "items": {"type": "string"}}
    return {
        "type": "object",
        "properties": {
            "design": {"type": ["integer", "null"], "description": "The newest stamped, else the newest ordered."},
            "revision": {"type": ["integer", "null"]},
            "problem": {"type": "string", "description": "Why there is no result; empty while there is one."},
            "close_out_blocked_by": sentences,
            "unread": sentences | {"description": "Entries that don't fit the design: they count as nothing."},
            "unidentified": sentences | {"description": "What stands there that nobody could name: it counts nothing."},
            "sunk_nails": sentences | {"description": "What each panel's count comes to."},
            "result": {"oneOf": [_inlined(result, parts), {"type": "null"}]},
        },
        "required": [
            "design", "revision", "problem", "close_out_blocked_by", "unread", "unidentified", "sunk_nails",
            "result",
        ],
    }  # fmt: skip


def _inlined(part: Any, parts: dict[str, Any]) -> Any:
    """A schema without references: an OpenAPI document would look for them among its own components."""
    if isinstance(part, list):
        return [_inlined(one, parts) for one in part]
    if not isinstance(part, dict):
        return part
    if reference := part.get("$ref"):
        return _inlined(parts[reference.rpartition("/")[2]], parts)
    return {key: _inlined(value, parts) for key, value in part.items()}
