"""Where connectors go along a line: even, clear of studs, joints, ends and openings, by bay. Not how many.

All distances are our own working rules ("common practice, no source") but where a clause is named.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
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
    blocked = _merged(keeps)
    placed: list[float] = []
    for target_in in targets_in:
        placed.append(_nearest(target_in, placed, from_in, to_in, blocked, apart_in, what))
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


def _merged(keeps: Iterable[Keep]) -> list[tuple[float, float, str]]:
    """Closed places in order, not overlapping: from, to, and the rule that closes them first."""
    closed: list[tuple[float, float, str]] = []
    for keep in sorted(keeps, key=lambda keep: keep.from_in - keep.clear_in):
        low, high = keep.from_in - keep.clear_in, keep.to_in + keep.clear_in
        if closed and low <= closed[-1][1]:
            before = closed[-1]
            closed[-1] = (before[0], max(before[1], high), before[2])
        else:
            closed.append((low, high, keep.rule))
    return closed


def _nearest(
    target_in: float,
    placed: list[float],
    from_in: float,
    to_in: float,
    blocked: list[tuple[float, float, str]],
    apart_in: float,
    what: str,
) -> float:
    """The open quarter inch nearest to the target."""
    broken: dict[str, int] = {}
    lows = [low for low, _, _ in blocked]
    start = round(target_in / STEP_IN) * STEP_IN
    for n in range(int(max(target_in - from_in, to_in - target_in) / STEP_IN) + 2):
        for at_in in (start + n * STEP_IN, start - n * STEP_IN):
            if not from_in - 1e-9 <= at_in <= to_in + 1e-9:
                continue
            # On the very edge of a closed place is clear.
            index = bisect_left(lows, at_in - 1e-9) - 1
            if index >= 0 and at_in < blocked[index][1] - 1e-9:
                rule = blocked[index][2]
            elif any(abs(at_in - other) < apart_in - 1e-9 for other in placed):
                rule = f"{apart_in:g} in apart"
            else:
                return at_in
            broken[rule] = broken.get(rule, 0) + 1
    rules = ", ".join(sorted(broken, key=lambda rule: -broken[rule])) or "a length to stand on"
    raise OutOfRange(what, round(target_in, 3), f"no clear place between {from_in:g} and {to_in:g} in: {rules}")
