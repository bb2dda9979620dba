"""A design's frozen results as rows for a page: each check with its steps. Reads the snapshot, computes nothing."""

from __future__ import annotations

from typing import Any

from jobs import step_numbers

Json = dict[str, Any]

PRINTED = {"-": ""}  # units that a page prints otherwise than the snapshot


def number(value: Any) -> str:
    """A value as a page prints it: whole above 1,000, four figures below; true and false as yes and no."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if not isinstance(value, int | float):
        return str(value)
    if isinstance(value, int) or abs(value) >= 1000:
        return f"{value:,.0f}"
    return f"{value:.4g}"


def substituted(expression: str, inputs: Json) -> str:
    """The expression with its numbers as this page prints them."""
    return step_numbers.substituted(expression, inputs, number)


def source_text(source: Json) -> str:
    """Publication, edition and clause; what nobody here has read says so."""
    text = " ".join(part for part in (source["publication"], source["edition"], source["clause"]) if part)
    return f"{text} (from memory)" if source["read"] == "from memory" else text


def step_row(step: Json) -> Json:
    """One printed line: symbol = expression = numbers = value unit, source."""
    return {
        "symbol": step["symbol"],
        "expression": step["expression"],
        "numbers": substituted(step["expression"], step["inputs"]),
        "value": number(step["value"]),
        "unit": PRINTED.get(step["unit"], step["unit"]),
        "source": source_text(step["source"]),
    }


def check_row(check: Json, **more: Any) -> Json:
    """A check with its printed steps; demand and capacity with their unit."""
    return {
        **check,
        "unit": PRINTED.get(check["unit"], check["unit"]),
        "steps": [step_row(step) for step in check["steps"]],
        **more,
    }


def link_row(link: Json) -> Json:
    """A link of the load path, its own check and those of its parts."""
    return check_row(
        link["check"], link=link["link"], link_name=link["name"], parts=[check_row(part) for part in link["parts"]]
    )


def line_row(line: Json) -> Json:
    """A wall line's chain as designed and as found, with the other methods that were counted."""
    return {
        **line,
        "links": [link_row(link) for link in line["links"]],
        "as_found": [link_row(link) for link in line["as_found"]],
        "through_plate": check_row(line["through_plate"]) if line["through_plate"] else None,
        "ledger": ledger_row(line["ledger"]) if line["ledger"] else None,
    }


def ledger_row(ledger: Json) -> Json:
    """The old bolts: the ratios with and without them, and each bolt as a part."""
    return check_row(ledger["check"], parts=[check_row(bolt) for bolt in ledger["bolts"]])


def result_rows(result: Json) -> Json:
    """The whole house: scope, legal basis, demand, fasteners, lines, what was assumed and what nobody has read."""
    return {
        **result,
        "scope": check_row(result["scope"]) if result["scope"] else None,
        "basis": check_row(result["basis"]) if result["basis"] else None,
        "demand": check_row(result["demand"]),
        "fasteners": [check_row(check) for check in result["fasteners"]],
        "lines": [line_row(line) for line in result["lines"]],
    }
