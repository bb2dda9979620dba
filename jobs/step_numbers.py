"""A step's numbers put into its expression, for pages and papers alike. How a number is written is theirs."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any, Final

OPERATORS: Final = "·/+−^√×≥≤"
LONGEST_SYMBOL: Final = 2  # letters before a subscript


def substituted(expression: str, inputs: dict[str, Any], number: Callable[[Any], str]) -> str:
    """The expression with each symbol replaced by its number; what it does not spell out follows as "X = 1".

    An input's name can't hold a space, hyphen or prime: "set_back" stands for "set-back", "Z" for "Z′" too. Words
    without an operator are no formula: only the inputs are listed then.
    """
    if not inputs or not any(sign in expression for sign in OPERATORS):
        return _listed(inputs, number)
    patterns = {_as_spelled(name): name for name in sorted(inputs, key=len, reverse=True)}
    found: set[str] = set()

    def put(match: re.Match[str]) -> str:
        name = next(name for pattern, name in patterns.items() if re.fullmatch(pattern, match.group(0)))
        found.add(name)
        text = number(inputs[name])
        return f"({text})" if text.startswith(("-", "−")) else text

    whole = "|".join(rf"(?<![\w.])(?:{pattern})(?![A-Za-z0-9_\u0370-\u03ff])(?! = )" for pattern in patterns)
    text = re.sub(whole, put, expression)
    rest = _listed({name: value for name, value in inputs.items() if name not in found}, number)
    if not found:
        return rest
    return f"{text}, {rest}" if rest else text


def words(name: str) -> str:
    """An input's name for reading: a word in words, a symbol with its subscript as it is."""
    head, _, _ = name.partition("_")
    return name.replace("_", " ") if len(head) > LONGEST_SYMBOL else name


def _listed(inputs: dict[str, Any], number: Callable[[Any], str]) -> str:
    return ", ".join(f"{words(name)} = {number(value)}" for name, value in inputs.items())


def _as_spelled(name: str) -> str:
    return re.escape(name).replace("_", "[ _-]") + "['′⊥]?"
