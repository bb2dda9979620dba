"""What the engineer has still to accept before a house may be stamped, as the checks say it. Not what follows then."""

from __future__ import annotations

from typing import Final

from engineering.link_checks import NOT_ACCEPTED
from engineering.results import Check, LineResult

REPEATS: Final = "5"  # the panel's bottom edge: says again what link 4 says


def to_accept(basis: Check, lines: tuple[LineResult, ...]) -> tuple[str, ...]:
    """R under older stories, then line by line link 0, small panel pieces and the foundation; empty: nothing is left.

    What a note of the legal basis or a warning of a link says before its closing NOT_ACCEPTED. The mode for a hillside
    or an open front is not among them: without it there is no result.
    """
    asked = [note for note in basis.notes if note.endswith(NOT_ACCEPTED)]
    for line in lines:
        for link in line.links:
            if link.link != REPEATS:
                for words in link.check.warnings:
                    if words.endswith(NOT_ACCEPTED):
                        asked.append(f"line {line.label}, {link.name}: {words}")
    return tuple(words.removesuffix(f": {NOT_ACCEPTED}") for words in asked)
