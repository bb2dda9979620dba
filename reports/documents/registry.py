"""The kinds of document: what each is called, what it is about, where its sections come from."""

from __future__ import annotations

from dataclasses import dataclass
from importlib import import_module
from typing import Any

from reports.sections import Section


@dataclass(frozen=True, slots=True)
class Kind:
    """`needs_stamp`: part of the permit packet. `subject`: what the document is about besides its design."""

    key: str
    title: str
    needs_stamp: bool
    subject: str = ""


KINDS = {
    kind.key: kind
    for kind in (
        Kind("plan_set", "Permit plan set", needs_stamp=True),
        Kind("calculations", "Calculations", needs_stamp=True),
        Kind("inspection_checklist", "Inspection checklist", needs_stamp=False),
        Kind("work_order", "Work order", needs_stamp=False, subject="work order"),
    )
}
PACKET_KINDS = tuple(key for key, kind in KINDS.items() if kind.needs_stamp)


def sections(kind: str, snapshot: dict[str, Any], subject: dict[str, Any] | None) -> list[Section]:
    """The sections of a document in order. KeyError for an unknown kind; ValueError when a name or sheet repeats."""
    module = import_module(f"reports.documents.{KINDS[kind].key}")
    found: list[Section] = module.sections(snapshot, subject)
    for names in ([s.name for s in found], [s.sheet for s in found if s.sheet]):
        if repeated := {name for name in names if names.count(name) > 1}:
            raise ValueError(f"{kind}: used twice: {', '.join(sorted(repeated))}")
    if not found:
        raise ValueError(f"{kind}: no sections")
    return found
