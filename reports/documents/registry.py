"""The kinds of document: what each is about, whether it is stamped, where its sections come from."""

from __future__ import annotations

from dataclasses import dataclass
from importlib import import_module
from typing import Any

from reports.models import Kind
from reports.sections import Section


@dataclass(frozen=True, slots=True)
class Registered:
    """`stamped`: a file of the permit packet. `of_work_order`: about one work order of its design."""

    stamped: bool = False
    of_work_order: bool = False


KINDS = {
    Kind.PLAN_SET: Registered(stamped=True),
    Kind.CALCULATIONS: Registered(stamped=True),
    Kind.INSPECTION_CHECKLIST: Registered(),
    Kind.WORK_ORDER: Registered(of_work_order=True),
}
PACKET_KINDS = tuple(kind for kind, registered in KINDS.items() if registered.stamped)


def sections(kind: str, snapshot: dict[str, Any], subject: dict[str, Any] | None) -> list[Section]:
    """The sections of a document in order. ValueError for an unknown kind or a repeated name."""
    module = import_module(f"reports.documents.{Kind(kind).value}")
    found: list[Section] = module.sections(snapshot, subject)
    for names in ([s.name for s in found], [s.sheet for s in found if s.sheet]):
        if repeated := {name for name in names if names.count(name) > 1}:
            raise ValueError(f"{kind}: used twice: {', '.join(sorted(repeated))}")
    if not found:
        raise ValueError(f"{kind}: no sections")
    return found
