"""Published tables as CSV files, one a table. Lines that start with # name the source; each row says if it was read."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

FOLDER = Path(__file__).parent


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """The rows of one table by file name without ending, such as "sdpws-2021-4-3A"."""
    lines = (FOLDER / f"{name}.csv").read_text(encoding="utf-8").splitlines()
    return tuple(csv.DictReader(line for line in lines if not line.startswith("#")))
