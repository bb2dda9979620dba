"""What the OpenAPI description says beyond what serializers and views say themselves."""

from __future__ import annotations

from typing import Any

from jobs.api.errors import MEDIA_TYPE, PROBLEMS

PROBLEM: dict[str, Any] = {
    "type": "object",
    "description": "Problem details (RFC 9457). "
    + " ".join(f"Type {name}: {meaning}" for name, meaning in PROBLEMS.items()),
    "properties": {
        "type": {"type": "string", "format": "uri-reference"},
        "title": {"type": "string"},
        "status": {"type": "integer"},
        "detail": {"type": "string"},
        "instance": {"type": "string", "format": "uri-reference"},
        "reasons": {"type": "array", "items": {"type": "string"}},
        "current": {"type": "object", "additionalProperties": True},
        "errors": {
            "type": "array",
            "items": {
                "type": "object",
                "properties": {"field": {"type": "string"}, "message": {"type": "string"}},
                "required": ["field", "message"],
            },
        },
        "field": {"type": "string"},
        "value": {},
        "allowed": {"type": "string"},
    },
    "required": ["type", "title", "status", "detail", "instance"],
}


def name_the_problem(result: dict[str, Any], generator: Any, request: Any, public: bool) -> dict[str, Any]:
    """Every operation may answer with a problem; saying so once for each keeps serializers free of it."""
    result.setdefault("components", {}).setdefault("schemas", {})["Problem"] = PROBLEM
    answer = {
        "description": "Anything that went wrong, as problem details.",
        "content": {MEDIA_TYPE: {"schema": {"$ref": "#/components/schemas/Problem"}}},
    }
    for path in result["paths"].values():
        for operation in path.values():
            operation["responses"].setdefault("default", answer)
    return result
