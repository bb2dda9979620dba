"""The words and small rules that all links share: names, counts, statuses of a check. Not a formula of strength."""

from __future__ import annotations

from functools import lru_cache
from math import ceil
from typing import Final

from engineering.errors import OutOfRange
from engineering.results import Check, LinkResult, Status, Step
from engineering.steps import step

LINK_NAMES: Final = {
    "0": "floor sheathing to rim, diaphragm beside the line",
    "1": "floor to top plate",
    "2": "upper to lower plate",
    "3": "collector, plate splice",
    "4": "panel",
    "5": "panel to sill",
    "6a": "sill to anchor, wood side",
    "6b": "anchor in concrete",
    "7a": "tie-down and bearing",
    "7b": "tie-down anchor in concrete",
    "8": "foundation",
}
FLOOR_TO_SILL: Final = "floor to sill"  # link 1 where the joists bear on the sill
RATIO_LIMIT: Final = 1.0 + 1e-9
NOT_ACCEPTED: Final = "not accepted by the engineer yet"  # ends a warning that keeps a house from being stamped


def count_for(needed: float) -> int:
    """Whole pieces for a computed need: ceil(x − 1e-9), never below 0 (convention 6)."""
    return max(0, ceil(needed - 1e-9))


def weighed(
    name: str,
    demand: float,
    capacity: float,
    *,
    unit: str = "lb",
    clause: str = "",
    steps: tuple[Step, ...] = (),
    notes: tuple[str, ...] = (),
    warnings: tuple[str, ...] = (),
) -> Check:
    """A check of demand against a capacity above zero: ok up to a ratio of 1, else over."""
    ratio = demand / capacity
    status: Status = "ok" if ratio <= RATIO_LIMIT else "over"
    return Check(
        name=name, status=status, demand=demand, capacity=capacity, unit=unit, ratio=ratio, clause=clause, steps=steps,
        notes=notes, warnings=warnings,
    )  # fmt: skip


def open_link(
    name: str, demand: float | None, reason: str = "", *, unit: str = "lb", steps: tuple[Step, ...] = ()
) -> Check:
    """A link with nothing in it, or nothing that may be counted; the first note is the reason where there is one."""
    return Check(name=name, status="open", demand=demand, unit=unit, steps=steps, notes=(reason,) if reason else ())


def outside_chain(name: str, reason: str, *, steps: tuple[Step, ...] = ()) -> Check:
    """A link that the force does not pass through here."""
    if not steps:
        return _outside(name, reason)
    return Check(name=name, status="not in the chain", steps=steps, notes=(reason,))


@lru_cache(maxsize=256)
def _outside(name: str, reason: str) -> Check:
    return Check(name=name, status="not in the chain", notes=(reason,))


def open_message(link: LinkResult) -> str:
    """ "load path open at upper to lower plate", with the reason behind it where there is one."""
    reason = f": {link.check.notes[0]}" if link.check.notes else ""
    return f"load path open at {link.name}{reason}"


def reason_of(error: OutOfRange) -> str:
    """Why a connector or method can't be used here, from the refusal."""
    return f"{error.field.replace('_', ' ')}: {error.allowed}"


def value_step(key: str, value: Check) -> Step:
    """What one connector carries, by the source that its value stands on: its report, or the connection equations."""
    source = None
    for one in value.steps:
        if one.key == "Zp_lb" or (one.key == "reference_lb" and source is None):
            source = one.source
    if source is None:
        raise KeyError("reference_lb")
    assert value.capacity is not None
    return step(key, "Z'", f"value of one, {value.name}", value.capacity, "lb", source)


def shortfall(more: int, what: str, where: str = "") -> tuple[str, ...]:
    """How many more it takes, as a warning; nothing where none is missing."""
    return (f"{more} more {what} needed{f' {where}' if where else ''}",) if more > 0 else ()
