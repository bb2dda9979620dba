"""How many more of what, and where, so that each link stands again as it was designed. Not what they cost."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from engineering import anchor_layout, collectors, plate_connectors, plate_layout, sill_anchors, stitch_nailing
from engineering.as_built_results import Remedy, Shortfall
from engineering.connector_values import LineContext
from engineering.errors import OutOfRange
from engineering.feet_inches import format_inches
from engineering.field_counts import Counted
from engineering.field_log import Row
from engineering.footings import END_DIAMETERS
from engineering.layout import Keep, closed, place, stud_keeps
from engineering.load_path import ROLES
from engineering.results import Check, LineResult, LinkResult, Status
from engineering.schedule import ScheduleItem

Chain = Callable[[Iterable[ScheduleItem]], LineResult]
RANK: dict[Status, int] = {"ok": 0, "recorded": 0, "not in the chain": 0, "over": 1, "open": 2, "not observed": 2}
BOTH_SIDES = {"6a": ("6a", "6b")}  # a sill anchor makes both


def fell(designed: Check, built: Check) -> bool:
    """Whether a link is poorer as built than as designed, and not ok."""
    if RANK[built.status] == 0:
        return False
    if RANK[built.status] > RANK[designed.status]:
        return True
    both = built.ratio is not None and designed.ratio is not None
    return both and (built.ratio or 0.0) > (designed.ratio or 0.0) + 1e-9


@dataclass(frozen=True, slots=True)
class _Lacking:
    """One row of which something is missing: what still counts, and what can be put back, the best place first.

    `places` holds a place for each, empty where the row goes by number; `tests` of them stand and wait for a test.
    """

    item: ScheduleItem
    counted: ScheduleItem | None
    places: tuple[float, ...]
    number: int
    tests: int

    def with_back(self, number: int) -> ScheduleItem | None:
        """The row with so many put back."""
        if number == 0:
            return self.counted
        have = self.counted.count if self.counted else 0
        if not self.places:
            return replace(self.item, count=have + number)
        kept = (*(self.counted.positions_in if self.counted else ()), *self.places[:number])
        return replace(self.item, count=len(kept), positions_in=tuple(sorted(kept)))


def shortfalls(
    context: LineContext, designed: LineResult, built: LineResult, counted: Counted, chain: Chain
) -> tuple[Shortfall, ...]:
    """For each link that fell: the least that closes it, row by row, put back at places where they can stand.

    Links are closed in the order of the chain, each with what was put back before it.
    """
    items, now = list(counted.items), built
    scheduled = {(row.item.role, row.item.connector) for row in counted.rows}
    found: list[Shortfall] = []
    for link in dict.fromkeys(ROLES.values()):
        links = BOTH_SIDES.get(link, (link,))
        fallen = [now.link(one) for one in links if fell(designed.link(one).check, now.link(one).check)]
        if not fallen:
            continue
        rows = [row for row in counted.rows if row.item.link == link]
        lacking = [one for row in rows if (one := _lacking(context, row, counted))]
        others = [item for item in items if not any(_of_row(item, one.item, scheduled) for one in lacking)]
        search = _Search(designed, links, lacking, others, chain)
        back, closes = search.least()
        items = search.items(back)
        for one, number in zip(lacking, back, strict=True):
            found += _told(context.line.label, fallen[0], one, number, closes)
        if not any(back):
            found.append(_nothing_to_add(context.line.label, fallen[0]))
        now = chain(items)
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Search:
    """Looks for the least that has to be put back in the rows of one link, so that it is as designed."""

    designed: LineResult
    links: tuple[str, ...]
    lacking: list[_Lacking]
    others: list[ScheduleItem]
    chain: Chain

    def items(self, back: list[int]) -> list[ScheduleItem]:
        """The line's items with so many put back in each row."""
        rows = [one.with_back(number) for one, number in zip(self.lacking, back, strict=True)]
        return [*self.others, *filter(None, rows)]

    def least(self) -> tuple[list[int], bool]:
        """How many in each row, and whether that does it; all where not even all do it, or where nothing stands."""
        back = [one.number for one in self.lacking]
        if not back or not self._does(back):
            return back, False
        if all(one.counted is None for one in self.lacking):
            return back, True
        for index in range(len(back)):
            low = 0
            while low < back[index]:  # back[index] always does
                middle = (low + back[index]) // 2
                if self._does([*back[:index], middle, *back[index + 1 :]]):
                    back[index] = middle
                else:
                    low = middle + 1
        return back, True

    def _does(self, back: list[int]) -> bool:
        line = self.chain(self.items(back))
        return not any(fell(self.designed.link(one).check, line.link(one).check) for one in self.links)


def _of_row(item: ScheduleItem, row: ScheduleItem, scheduled: set[tuple[str, str]]) -> bool:
    """Whether an item is what stands of a row: its own connector, or a substitute in its place."""
    return _same(item, row) and (item.connector == row.connector or (item.role, item.connector) not in scheduled)


def _same(one: ScheduleItem, other: ScheduleItem) -> bool:
    """Whether two items are of one place in the schedule, whatever their connectors."""
    at = one.positions_in == other.positions_in if one.role in collectors.ROLES else True
    return at and (one.role, one.panel, one.piece, one.spacing_in) == (
        other.role, other.panel, other.piece, other.spacing_in
    )  # fmt: skip


def _lacking(context: LineContext, row: Row, counted: Counted) -> _Lacking | None:
    """What of a row doesn't count, None where all does."""
    item = row.item
    own = next((one for one in counted.items if _same(one, item) and one.connector == item.connector), None)
    waiting = [one for one in counted.plan if (one.role, one.panel, one.piece, one.connector)
               == (item.role, item.panel, item.piece, item.connector)]  # fmt: skip
    if row.by_number:
        number = item.count - (own.count if own else 0)
        tests = min(number, sum(one.count for one in waiting))
        return _Lacking(item, own, (), number, tests) if number > 0 else None
    untested = tuple(at for one in waiting for at in one.positions_in)
    have = own.positions_in if own else ()
    vacant = [at for at in row.vacant_in() if at not in untested and at not in have]
    vacant.sort(key=lambda at: row.places[at] is not None)  # moved away: only where nothing was left out
    taken = [*have, *untested, *row.spoiled_in, *(at for held in row.places.values() if held for at in (held[1],))]
    places = list(untested)
    for at_in in _farthest_first(vacant, [*have, *untested]):
        free = at_in if all(abs(at_in - at) > 1e-9 for at in taken) else _clear(context, item, at_in, taken)
        if free is not None:
            places.append(free)
            taken.append(free)
    return _Lacking(item, own, tuple(places), len(places), len(untested)) if places else None


def _farthest_first(places: list[float], standing: list[float]) -> list[float]:
    """Each time the place that is farthest from all that stand by then, so that few of them spread well."""
    left, by_then, order = list(places), list(standing), list[float]()
    while left:
        best = max(left, key=lambda at: min((abs(at - one) for one in by_then), default=0.0))
        left.remove(best)
        by_then.append(best)
        order.append(best)
    return order


def _clear(context: LineContext, item: ScheduleItem, near_in: float, taken: list[float]) -> float | None:
    """The nearest clear place, by the rules of the role's own layout; None where there is none, or no such rule."""
    line, from_in, to_in = context.line, 0.0, 12 * context.length_ft
    keeps: list[Keep] = []
    if item.role == plate_connectors.ROLE:
        apart_in, end_in = plate_layout.APART_IN, plate_layout.END_CLEAR_IN
        keeps += plate_layout.plate_keeps(context).keeps if plate_layout.passes_plates(context, item) else ()
    elif item.role == stitch_nailing.ROLE:
        apart_in, end_in = plate_layout.STITCH_APART_IN, plate_layout.STITCH_END_CLEAR_IN
        keeps += plate_layout.plate_keeps(context, plate_layout.STITCH_STUD_CLEAR_IN).keeps
    elif item.role in sill_anchors.KINDS and item.piece:
        apart_in = anchor_layout.APART_IN
        end_in = END_DIAMETERS * context.values.connector(item.connector).diameter_in
        spans = (line.sill_pieces[item.piece - 1], *((line.panels[item.panel - 1],) if item.panel else ()))
        from_in, to_in = 12 * max(one.from_ft for one in spans), 12 * min(one.to_ft for one in spans)
        framing = line.framing
        if item.role == sill_anchors.ROLE:
            keeps += stud_keeps(framing.stud_centrelines_in, framing.stud_thickness_in, anchor_layout.WASHER_CLEAR_IN)
        taken = [*taken, *(12 * old.at_ft for old in line.existing_anchors)]
    else:
        return None
    keeps += [Keep(at, at, apart_in, "from another") for at in taken]
    try:
        (found,) = place(
            (near_in,),
            from_in=from_in + end_in,
            to_in=to_in - end_in,
            keeps=closed(keeps),
            apart_in=apart_in,
            what=item.role,
        )
    except OutOfRange:
        return None
    return found


def _told(label: str, link: LinkResult, one: _Lacking, number: int, closes: bool) -> list[Shortfall]:
    """What to test first, then what to install."""
    tests = min(number, one.tests)
    parts: tuple[tuple[Remedy, int, tuple[float, ...]], ...] = (
        ("test or inspect", tests, one.places[:tests]),
        ("install", number - tests, one.places[tests:number]),
    )
    return [_shortfall(label, link, one.item, remedy, more, at, closes) for remedy, more, at in parts if more]


def _shortfall(
    label: str, link: LinkResult, item: ScheduleItem, remedy: Remedy, more: int, places_in: tuple[float, ...],
    closes: bool,
) -> Shortfall:  # fmt: skip
    where = "".join(
        f", {name} {number}" for name, number in (("panel", item.panel), ("sill piece", item.piece)) if number
    )
    if item.role in collectors.ROLES:
        places_in = item.positions_in  # its joint, whatever the number
    at = f" at {', '.join(format_inches(one) for one in sorted(places_in))}" if places_in else ""
    what = f"{more} more {item.role}" if remedy == "install" else f"test or inspect {more} {item.role}"
    end = "" if closes else "; the link is not as designed with that either: the engineer decides"
    return Shortfall(
        line=label, link=link.link, role=item.role, connector=item.connector, panel=item.panel, piece=item.piece,
        more=more, positions_in=tuple(sorted(places_in)), remedy=remedy, closes=closes, lacking=_short_of(link.check),
        unit=link.check.unit, text=f"line {label}, {link.name}: {what} ({item.connector}){where}{at}{end}",
    )  # fmt: skip


def _nothing_to_add(label: str, link: LinkResult) -> Shortfall:
    """All of the schedule stands, and still the link fell: a panel was cut, a place moved, a nail is another."""
    reasons = "; ".join(link.check.warnings or link.check.notes[:1]) or link.check.status
    return Shortfall(
        line=label, link=link.link, role="", connector="", panel=None, piece=None, more=0, positions_in=(),
        remedy="install", closes=False, lacking=_short_of(link.check), unit=link.check.unit,
        text=f"line {label}, {link.name}: {reasons}: the engineer decides",
    )  # fmt: skip


def _short_of(check: Check) -> float | None:
    """Demand less capacity."""
    if check.demand is None or check.capacity is None:
        return None
    return max(0.0, check.demand - check.capacity)
