"""Reads the table of what published requirements ask of the papers, and how each is met."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import NamedTuple

TABLE = Path(__file__).parent / "requirements.csv"
MET, NOT_APPLICABLE, OPEN = "met", "not applicable", "open"


class Requirement(NamedTuple):
    """`how` is the test that holds it where it is met, else the reason. `asks` in our own words."""

    key: str
    asks: str
    verdict: str
    how: str


def requirements() -> list[Requirement]:
    """Every row of the table, in order."""
    with TABLE.open(encoding="utf-8", newline="") as file:
        return [Requirement(*row) for row in list(csv.reader(file))[1:]]
