"""Where connectors go along a line: even, clear of studs, joints, ends and openings, by bay. Not how many.

All distances are our own working rules ("common practice, no source") but where a clause is named.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import ceil, floor
from typing import NamedTuple

from engineering.errors import OutOfRange

STEP_IN = 0.25  # what a tape and a pencil hold


class Keep(NamedTuple):
    """A place to stay clear of: nearer than `clear_in` to the stretch is out. `rule` names it in a refusal."""

    from_in: float
    to_in: float
    clear_in: float
    rule: str

    @property
    def reach_in(self) -> float:
        """From its middle to where it is clear."""
        return (self.to_in - self.from_in) / 2 + self.clear_in


class Closed(NamedTuple):
    """Keeps with the stretches that they close, merged and in order; made once for what many things stay clear of."""

    keeps: tuple[Keep, ...]
    stretches: list[tuple[float, float]]


def closed(keeps: Iterable[Keep]) -> Closed:
    """The stretches that these keeps close."""
    keeps = tuple(keeps)
    return Closed(keeps, _merged(keeps))


NOTHING_CLOSED = Closed((), [])


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
    keeps: Closed,
    besides: Iterable[Keep] = (),
    apart_in: float,
    largest_gap_in: float | None = None,
    what: str,
) -> tuple[float, ...]:
    """Each target at the nearest quarter inch that breaks no rule, in order. `besides`: a few more keeps.

    OutOfRange naming what and the rule that failed: no clear place left, or a gap wider than `largest_gap_in`.
    """
    besides = tuple(besides)
    taken = [(keep.from_in - keep.clear_in, keep.to_in + keep.clear_in) for keep in besides]
    placed: list[float] = []
    for target_in in targets_in:
        found = _nearest(target_in, from_in, to_in, keeps.stretches, taken)
        if found is None:
            quarters = _quarters(target_in, from_in, to_in)
            rules = _rules_broken(quarters, (*keeps.keeps, *besides), apart_in)
            raise OutOfRange(what, round(target_in, 3), f"no clear place from {from_in:g} to {to_in:g} in: {rules}")
        placed.append(found)
        taken.append((found - apart_in, found + apart_in))
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
    return list(_stud_keeps(tuple(studs_in), stud_in, clear_in))


@lru_cache(maxsize=1024)
def _stud_keeps(studs_in: tuple[float, ...], stud_in: float, clear_in: float) -> tuple[Keep, ...]:
    half, rule = stud_in / 2, f"{clear_in:g} in clear of a stud"
    return tuple(Keep(at - half, at + half, clear_in, rule) for at in studs_in)


def off_limits(
    positions_in: Iterable[float], keeps: Closed, besides: tuple[Keep, ...], slack_in: float
) -> list[tuple[float, str]]:
    """Each place that breaks a rule by more than `slack_in`, with the first rule that it breaks. [in]"""
    taken = [(keep.from_in - keep.clear_in, keep.to_in + keep.clear_in) for keep in besides]
    found = []
    for at_in in positions_in:
        if _block(at_in, keeps.stretches, taken) is None:
            continue
        every = (*keeps.keeps, *besides)
        broken = (k.rule for k in every if abs(at_in - (k.from_in + k.to_in) / 2) < k.reach_in - slack_in - 1e-9)
        if rule := next(broken, ""):
            found.append((at_in, rule))
    return found


def _merged(keeps: Iterable[Keep]) -> list[tuple[float, float]]:
    """Closed stretches in order, not overlapping. Their very edges are clear."""
    closed: list[tuple[float, float]] = []
    for low, high in sorted([(from_in - clear_in, to_in + clear_in) for from_in, to_in, clear_in, _ in keeps]):
        if not closed or low >= closed[-1][1]:
            closed.append((low, high))
        elif high > closed[-1][1]:
            closed[-1] = (closed[-1][0], high)
    return closed


def _nearest(
    target_in: float,
    from_in: float,
    to_in: float,
    closed: list[tuple[float, float]],
    taken: list[tuple[float, float]],
) -> float | None:
    """The clear quarter inch nearest to the target, the one beyond it at a tie; None where there is none."""
    start = round(target_in / STEP_IN) * STEP_IN
    if from_in - 1e-9 <= start <= to_in + 1e-9 and not _block(start, closed, taken):
        return start
    up = max(start, ceil((from_in - 1e-9) / STEP_IN) * STEP_IN)
    while up <= to_in + 1e-9 and (block := _block(up, closed, taken)):
        up = ceil((block[1] - 1e-9) / STEP_IN) * STEP_IN
    down = min(start, floor((to_in + 1e-9) / STEP_IN) * STEP_IN)
    while down >= from_in - 1e-9 and (block := _block(down, closed, taken)):
        down = floor((block[0] + 1e-9) / STEP_IN) * STEP_IN
    if up <= to_in + 1e-9 and (down < from_in - 1e-9 or up - start <= start - down):
        return up
    return down if down >= from_in - 1e-9 else None


def _block(
    at_in: float, closed: list[tuple[float, float]], taken: list[tuple[float, float]]
) -> tuple[float, float] | None:
    """The stretch that a place lies within, None where it is clear; the edge of a stretch is clear."""
    index = bisect_left(closed, (at_in - 1e-9,)) - 1
    if index >= 0 and at_in < closed[index][1] - 1e-9:
        return closed[index]
    for one in taken:
        if one[0] + 1e-9 < at_in < one[1] - 1e-9:
            return one
    return None


def _quarters(target_in: float, from_in: float, to_in: float) -> Iterator[float]:
    """Quarter inches within reach, the nearest to the target first."""
    start = round(target_in / STEP_IN) * STEP_IN
    for n in range(int(max(target_in - from_in, to_in - target_in) / STEP_IN) + 2):
        for at_in in (start + n * STEP_IN, start - n * STEP_IN):
            if from_in - 1e-9 <= at_in <= to_in + 1e-9:
                yield at_in


def _rules_broken(quarters: Iterator[float], keeps: tuple[Keep, ...], apart_in: float) -> str:
    """Which rules close the places, the one that closes most first."""
    broken: dict[str, int] = {}
    for at_in in quarters:
        rules = {keep.rule for keep in keeps if abs(at_in - (keep.from_in + keep.to_in) / 2) < keep.reach_in - 1e-9}
        for rule in rules or {f"{apart_in:g} in apart"}:
            broken[rule] = broken.get(rule, 0) + 1
    return ", ".join(sorted(broken, key=lambda rule: (-broken[rule], rule))) or "nothing to stand on"
