"""What the engineer has still to accept before a house may be stamped, as the checks say it. Not what follows then."""

from __future__ import annotations

from typing import Final

from engineering.link_checks import NOT_ACCEPTED
from engineering.results import Check, LineResult

REPEATS: Final = "5"  # the panel's bottom edge: says again what link 4 says


def to_accept(basis: Check, lines: tuple[LineResult, ...]) -> tuple[str, ...]:
    """R under older stories, then line by line link 0, small panel pieces and the foundation; empty: nothing is left.

    A warning of a link that ends with NOT_ACCEPTED asks for the engineer; so does the last note of a legal basis that
    is open. The mode for a hillside or an open front is not among them: without it there is no result.
    """
    return (
        *(basis.notes[-1:] if basis.status == "open" else ()),
        *(
            f"line {line.label}, {link.name}: {warning}"
            for line in lines
            for link in line.links
            for warning in link.check.warnings
            if warning.endswith(NOT_ACCEPTED) and link.link != REPEATS
        ),
    )
