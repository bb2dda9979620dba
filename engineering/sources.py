"""Publications and editions that values and formulas come from. Not the values."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Source:
    """Where a formula or value stands.

    `read` is an address, "print", "common practice", "as given by the company" or "from memory"; an engineer accepts
    what is from memory once per edition before anything is released for permit.
    """

    publication: str
    edition: str
    clause: str
    read: str = "from memory"

    def __str__(self) -> str:
        return " ".join(filter(None, (self.publication, self.edition, self.clause)))
