"""What follows from the survey and the catalogue alone, kept while a house is held in memory. Nothing of its demand.

A house whose hazard, weight or nailing changes is computed again in the same process: its options are weighed, its
schedule is edited, it is built. What only its lines and its catalogue decide need not be found again. Kept by the
identity of the inputs, which are frozen and kept beside it; two houses that are equal but not the same share nothing.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Hashable
from dataclasses import dataclass
from typing import Any, Final, NoReturn, TypeVar, cast

from engineering.inputs import (
    Catalogue,
    Criteria,
    EvaluatedConnector,
    HouseInputs,
    LagScrew,
    Nail,
    NotObserved,
    WallLine,
)
from engineering.line_demand import LineDemand
from engineering.results import Check

T = TypeVar("T")
Connector = Nail | LagScrew | EvaluatedConnector
HOUSES_KEPT, LINES_KEPT, VALUES_KEPT = 4, 64, 4096


@dataclass(frozen=True, slots=True)
class Given:
    """The inputs of a house that decide no demand."""

    calculation_date: str
    criteria: Criteria
    catalogue: Catalogue
    access_opening_in: tuple[float, float] | NotObserved


class NoDemand:
    """Stands where a line's demand would: what is kept may not ask for it."""

    def __getattr__(self, name: str) -> NoReturn:
        raise AssertionError(f"{name} depends on the demand: it can't be kept with the survey")


NO_DEMAND: Final = cast("LineDemand", NoDemand())


class Kept:
    """Values of connectors in order of their first asking, and what is known of each line."""

    def __init__(self, inputs: HouseInputs) -> None:
        self.given = Given(inputs.calculation_date, inputs.criteria, inputs.catalogue, inputs.access_opening_in)
        catalogue = inputs.catalogue
        everything: tuple[Connector, ...] = (*catalogue.nails, *catalogue.lags, *catalogue.evaluated)
        self.connectors = {one.key: one for one in everything}
        self.checks: list[Check] = []
        self._numbers: dict[tuple[object, ...], int] = {}  # of each check, by what it was asked with
        # The same by the identities of what it was asked with, which are kept: woods and fasteners hash slowly.
        self._same: dict[tuple[int, ...], tuple[int, tuple[object, ...]]] = {}
        self._lines: dict[int, tuple[WallLine, Any]] = {}

    def number(self, asked: tuple[object, ...], compute: Callable[[], Check]) -> int:
        """The number of the check that is asked for so, computed at the first asking."""
        same = tuple(map(id, asked))
        if known := self._same.get(same):
            return known[0]
        number = self._numbers.get(asked)
        if number is None:
            check = compute()
            number = self._numbers[asked] = len(self.checks)
            self.checks.append(check)
        if len(self._same) >= VALUES_KEPT:
            self._same.clear()
        self._same[same] = (number, asked)
        return number

    def line(self, line: WallLine, make: Callable[[], T]) -> T:
        """What is kept of a line, made at its first asking."""
        found = self._lines.get(id(line))
        if found is None:
            if len(self._lines) >= LINES_KEPT:
                self._lines.clear()
            found = self._lines[id(line)] = (line, make())
        known: T = found[1]
        return known


class _Houses(threading.local):
    """The last few houses of a thread."""

    def __init__(self) -> None:
        self.kept: dict[Hashable, Kept] = {}


_HOUSES = _Houses()


def kept(inputs: HouseInputs) -> Kept:
    """What is kept for this catalogue, these criteria, this day and this access opening."""
    houses = _HOUSES.kept
    asked = (id(inputs.catalogue), id(inputs.criteria), inputs.calculation_date, inputs.access_opening_in)
    found = houses.pop(asked, None) or Kept(inputs)
    houses[asked] = found  # the last used last
    if len(houses) > HOUSES_KEPT:
        del houses[next(iter(houses))]
    return found
