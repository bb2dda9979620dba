"""Checks as rows for paper: figures, steps with their numbers and clauses, parts beside each other."""

from __future__ import annotations

from typing import Any, Final

from reports.documents import figures

MEMORY_MARK: Final = "†"
COMPANY: Final = "as given by the company"  # of a source: no publication, but no memory either
PARTS_ABREAST: Final = 4


def compared(check: dict[str, Any]) -> dict[str, str]:
    """Demand, capacity, ratio and status of a check as printed."""
    return {
        "demand": figures.amount(check["demand"], check["unit"]),
        "capacity": figures.amount(check["capacity"], check["unit"]),
        "ratio": figures.ratio(check["ratio"]),
        "status": check["status"],
    }


def check_rows(check: dict[str, Any]) -> dict[str, Any]:
    """A check as printed: its figures, its status word, and one row a step."""
    return {
        "name": check["name"][:1].upper() + check["name"][1:],
        **compared(check),
        "compared": check["demand"] is not None and check["capacity"] is not None,
        "clause": check["clause"],
        "steps": [step_row(step) for step in check["steps"]],
        "notes": list(check["notes"]),
        "warnings": list(check["warnings"]),
    }


def part_table(parts: list[dict[str, Any]], check: dict[str, Any]) -> dict[str, Any]:
    """Parts beside each other, at most PARTS_ABREAST in a band: figures, then by symbol what is not a step of `check`.

    What every part of a band shares with the check's own steps stands there already, figure for figure.
    """
    printed = [_as_printed(step) for step in check["steps"]]
    bands = []
    for start in range(0, len(parts), PARTS_ABREAST):
        band = parts[start : start + PARTS_ABREAST]
        keys = dict.fromkeys(step["key"] for part in band for step in part["steps"])
        own = [key for key in keys if any(_as_printed(step) not in printed for step in _of(band, key))]
        bands.append({"names": [part["name"] for part in band], "rows": [_part_row(band, key) for key in own]})
    steps = sum(len(part["steps"]) for part in parts)
    return {
        "parts": [
            {"name": part["name"], **compared(part), "notes": [*part["notes"], *part["warnings"]]} for part in parts
        ],
        "bands": bands,
        "shared": steps > sum(len(row["cells"]) for band in bands for row in band["rows"]),
    }


def _of(parts: list[dict[str, Any]], key: str) -> list[dict[str, Any]]:
    return [step for part in parts for step in part["steps"] if step["key"] == key]


def _as_printed(step: dict[str, Any]) -> dict[str, Any]:
    return {name: step[name] for name in ("symbol", "expression", "inputs", "value", "unit", "source")}


def _part_row(parts: list[dict[str, Any]], key: str) -> dict[str, Any]:
    """One symbol across the parts: the expression once where they share it, under each value where they differ."""
    own = [next((step for step in part["steps"] if step["key"] == key), None) for part in parts]
    found = [step for step in own if step]
    first = step_row(found[0])
    shared = len({step["expression"] for step in found}) == 1
    cells = []
    for step in own:
        row = step_row(step) if step else {"value": figures.NOTHING, "expression": [], "numbers": []}
        below = [] if shared or not step else row["expression"]
        cells.append({"value": row["value"], "below": [*below, *([[" = ", ""]] if below and row["numbers"] else []),
                                                       *row["numbers"]]})  # fmt: skip
    return {
        "symbol": first["symbol"],
        "what": first["expression"] if shared else [],
        "cells": cells,
        "clause": first["clause"],
    }


def link_rows(link: dict[str, Any]) -> dict[str, Any]:
    """A link's check with its steps, and its parts beside each other."""
    return {
        "link": link["link"],
        "title": f"Link {link['link']}, {link['name']}",
        "check": check_rows(link["check"]),
        "table": part_table(link["parts"], link["check"]) if link["parts"] else None,
    }


def step_row(step: dict[str, Any]) -> dict[str, Any]:
    """symbol = expression = numbers = value unit, and the clause with a mark where it is from memory."""
    expression, value = step["expression"], figures.with_unit(step["value"], step["unit"])
    numbers = figures.substituted(expression, step["inputs"])
    source = step["source"]
    parts = [source["publication"], source["edition"], source["clause"]]
    if source["publication"].startswith("evaluation report"):
        parts = parts[:1]  # dates and use stand with the value itself
    if source["read"] == COMPANY:
        parts.append(COMPANY)
    clause = " ".join(part for part in parts if part)
    return {
        "symbol": figures.subscripted(step["symbol"]),
        "expression": [] if expression in (step["symbol"], value) else figures.subscripted(expression),
        "numbers": [] if numbers in (expression, value) else figures.subscripted(numbers),
        "value": value,
        "clause": clause + (f" {MEMORY_MARK}" if source["read"] == "from memory" else ""),
    }
