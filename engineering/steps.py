"""Writes one Step on one line; the substituted numbers by their printed symbols."""

from __future__ import annotations

from engineering.results import Scalar, Step
from engineering.sources import Source


def step(key: str, symbol: str, expression: str, value: Scalar, unit: str, source: Source, /, **inputs: Scalar) -> Step:
    """A Step: `symbol` = `expression` with `inputs` = `value` `unit`, by `source`. Nothing is rounded."""
    # Past Step's own constructor, which would only pass the same seven on: a house has thousands of steps.
    return tuple.__new__(Step, (key, symbol, expression, inputs, value, unit, source))
