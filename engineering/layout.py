"""Where connectors go along a line: even, clear of studs, joints, ends and openings, by bay. Not how many.

All distances are our own working rules ("common practice, no source") but where a clause is named.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from engineering.errors import OutOfRange

STEP_IN = 0.25  # what a tape and a pencil hold


@dataclass(frozen=True, slots=True)
class Keep:
    """A place to stay clear of: nearer than `clear_in` to the stretch is out. `rule` names it in a refusal."""

    from_in: float
    to_in: float
    clear_in: float
    rule: str

    def holds(self, at_in: float) -> bool:
        return self.from_in - self.clear_in + 1e-9 < at_in < self.to_in + self.clear_in - 1e-9


@dataclass(frozen=True, slots=True)
class Bay:
    """The space between two studs. `number` counts from the zero end; edges are stud faces (or the line's end)."""

    number: int
    from_in: float
    to_in: float
    positions_in: tuple[float, ...]


def even_positions(count: int, from_in: float, to_in: float) -> tuple[float, ...]:
    """`count` places, evenly, half a space at each end."""
    space_in = (to_in - from_in) / count
    return tuple(from_in + space_in * (index + 0.5) for index in range(count))


def place(
    targets_in: Iterable[float],
    *,
    from_in: float,
    to_in: float,
    keeps: Iterable[Keep],
    apart_in: float,
    largest_gap_in: float | None = None,
    what: str,
) -> tuple[float, ...]:
    """Each target at the nearest quarter inch that breaks no rule, in order.

    OutOfRange naming what and the rule that failed: no clear place left, or a gap wider than `largest_gap_in`.
    """
    keeps = tuple(keeps)
    placed: list[float] = []
    for target_in in targets_in:
        placed.append(_nearest(target_in, placed, from_in, to_in, keeps, apart_in, what))
    placed.sort()
    if largest_gap_in is not None:
        for one, following in pairwise(placed):
            if following - one > largest_gap_in + 1e-9:
                raise OutOfRange(
                    what, round(following - one, 3), f"gap over the maximum spacing of {largest_gap_in:g} in"
                )
    return tuple(placed)


def by_bay(
    positions_in: Iterable[float], studs_in: tuple[float, ...], stud_in: float, length_in: float
) -> tuple[Bay, ...]:
    """The bays of a line in order, each with what stands in it. [in, from the zero end]"""
    faces = [0.0]
    for centre_in in studs_in:
        faces += [centre_in - stud_in / 2, centre_in + stud_in / 2]
    faces.append(length_in)
    edges = [(max(0.0, a), min(length_in, b)) for a, b in zip(faces[::2], faces[1::2], strict=True)]
    open_bays = [(a, b) for a, b in edges if b > a]
    held: list[list[float]] = [[] for _ in open_bays]
    starts = [a for a, _ in open_bays]
    for at_in in sorted(positions_in):
        held[max(0, bisect_right(starts, at_in) - 1)].append(at_in)
    return tuple(
        Bay(number, a, b, tuple(inside)) for number, ((a, b), inside) in enumerate(zip(open_bays, held, strict=True), 1)
    )


def stud_keeps(studs_in: Iterable[float], stud_in: float, clear_in: float) -> list[Keep]:
    """Keep clear of the faces of all studs."""
    half = stud_in / 2
    return [Keep(at - half, at + half, clear_in, f"{clear_in:g} in clear of a stud") for at in studs_in]


def _nearest(
    target_in: float,
    placed: list[float],
    from_in: float,
    to_in: float,
    keeps: tuple[Keep, ...],
    apart_in: float,
    what: str,
) -> float:
    broken: dict[str, int] = {}
    steps = int(max(target_in - from_in, to_in - target_in) / STEP_IN) + 2
    start = round(target_in / STEP_IN) * STEP_IN
    candidates = (start + sign * n * STEP_IN for n in range(steps) for sign in (1, -1))
    for at_in in candidates:
        if not from_in - 1e-9 <= at_in <= to_in + 1e-9:
            continue
        rule = next((keep.rule for keep in keeps if keep.holds(at_in)), "")
        if not rule and any(abs(at_in - other) < apart_in - 1e-9 for other in placed):
            rule = f"{apart_in:g} in apart"
        if not rule:
            return at_in
        broken[rule] = broken.get(rule, 0) + 1
    rules = ", ".join(sorted(broken, key=lambda rule: -broken[rule])) or "a length to stand on"
    raise OutOfRange(what, round(target_in, 3), f"no clear place between {from_in:g} and {to_in:g} in: {rules}")
