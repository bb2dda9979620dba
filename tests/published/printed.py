"""Reads the printed values that tests trust, and rounds as the print does."""

import csv
from math import floor
from pathlib import Path

FOLDER = Path(__file__).parents[2] / "fixtures" / "published"


def rows(name):
    """The rows of one CSV file; lines that start with # name its source."""
    lines = (FOLDER / name).read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def as_printed(value, step):
    """The nearest multiple of `step`, halves up."""
    return step * floor(value / step + 0.5)


def status(row):
    """Read or from memory, for the test's id."""
    return "read" if row["status"] == "read" else "from memory"
