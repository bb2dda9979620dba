"""How figures are written on papers: rounding, units, dates, and a step's numbers put into its expression."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

from engineering.feet_inches import format_feet_inches, format_inches
from jobs import step_numbers

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
NOTHING = "–"
NO_BREAK = "\N{NO-BREAK SPACE}"
NEGLIGIBLE = 1e-9
SHORTEST_NOUN = 3  # letters; shorter units have no plural


def length(length_in: float) -> str:
    """Feet-inches from one foot up, inches below, to the nearest 1/16 in; never broken before its fraction."""
    text = format_feet_inches(length_in) if abs(length_in) >= 12 else format_inches(length_in)
    return text.replace('"', "″").replace("'", "′").replace(" ", NO_BREAK)


def lengths(values_in: list[float]) -> str:
    """Several lengths in one cell."""
    return ", ".join(length(value) for value in values_in)


def address(house: dict[str, Any]) -> str:
    """The site on one line."""
    return f"{house['address']}, {house['city']} {house['state']} {house['postal_code']}"


def way_in(opening_in: list[float] | str) -> str:
    """The access opening's clear width and height, or that nobody saw it."""
    return opening_in if isinstance(opening_in, str) else f"{opening_in[0]:g} × {opening_in[1]:g} in clear"


def amount(value: float | None, unit: str = "") -> str:
    """Pounds and the like to whole units, plf below 1 000 to one decimal; a dash for nothing."""
    if value is None:
        return NOTHING
    text = f"{value:,.1f}" if unit == "plf" and abs(value) < 1000 else f"{value:,.0f}"
    return f"{text} {unit}".strip()


def ratio(value: float | None) -> str:
    return NOTHING if value is None else f"{value:.2f}"


def day(iso: str | None) -> str:
    """2026-11-25 → 25 Nov 2026; a dash for none."""
    if not iso:
        return NOTHING
    parsed = date.fromisoformat(iso)
    return f"{parsed.day} {MONTHS[parsed.month - 1]} {parsed.year}"


def number(value: Any) -> str:
    """A step's number with about four significant figures; words and truths as they are."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int):
        return f"{value:,}"
    if isinstance(value, float):
        return _significant(value)
    return str(value)


def _significant(value: float) -> str:
    size = abs(value)
    if size < NEGLIGIBLE:
        return "0"
    if size >= 1000:
        whole = abs(value - round(value)) < 0.05 or size >= 10_000
        return f"{value:,.0f}" if whole else f"{value:,.1f}"
    decimals = 1 if size >= 100 else 2 if size >= 10 else 3 if size >= 0.1 else 4
    text = f"{value:.{decimals}f}".rstrip("0").rstrip(".")
    return text.replace("-", "−") if float(text) else f"{value:.2e}"


def substituted(expression: str, inputs: dict[str, Any]) -> str:
    """The expression with its numbers as papers print them."""
    return step_numbers.substituted(expression, inputs, number)


# A fraction's stroke and a list's comma stand outside; h/b is the one ratio that is itself a subscript.
SUBSCRIPT = re.compile(r"_(h/b|[A-Za-z0-9Δ⊥]+(?:[,_][A-Za-z0-9Δ⊥]+)*)")


def subscripted(text: str) -> list[list[str]]:
    """Text with printed symbols as [text, subscript] pairs: "Q_E,A / V" → [["Q", "E,A"], [" / V", ""]]."""
    pieces = SUBSCRIPT.split(text)
    under = [piece.replace("_", " ") for piece in pieces[1::2]]
    return [list(pair) for pair in zip(pieces[::2], [*under, ""], strict=True) if any(pair)]


def with_unit(value: Any, unit: str) -> str:
    """A step's value as printed, with its unit: nothing for "-", one nail and not one nails."""
    if unit == "-":
        return number(value)
    counted = value == 1 and len(unit) > SHORTEST_NOUN and unit.endswith("s")
    return f"{number(value)} {unit.removesuffix('s') if counted else unit}".strip()
