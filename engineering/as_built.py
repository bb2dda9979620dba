"""The chain computed again with what the crew logged: what holds, what is short, what the engineer must answer."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from engineering import field_counts, wall_panels
from engineering.as_built_inputs import AsBuiltInputs, LineLog
from engineering.as_built_results import (
    AsBuiltResult,
    LineAsBuilt,
    LinkAsBuilt,
    Shortfall,
    Standing,
    Uncounted,
)
from engineering.connector_values import ConnectorValues, LineContext
from engineering.errors import OutOfRange
from engineering.field_counts import MISPLACED, NOT_LOGGED, Counted
from engineering.field_decisions import decisions
from engineering.inputs import HouseInputs, Span, WallLine
from engineering.load_path import ROLES, check_chain, checked, contexts
from engineering.overdriven import SUNK_NAILS, SunkNails
from engineering.plate_layout import misplaced
from engineering.results import Check, LineResult
from engineering.schedule import LineSchedule, Schedule, ScheduleItem
from engineering.seismic_demand import HouseDemand, demand_inputs, house_demand
from engineering.shortfalls import BOTH_SIDES, RANK, Chain, fell, shortfalls
from engineering.tolerances import tolerances


def recheck(inputs: AsBuiltInputs) -> AsBuiltResult:
    """Each link of each line as found, as designed and as built, with the shortfalls and the questions that follow.

    What nobody logged as installed counts as nothing; so do nails sunk or off the framing beyond what is tolerated,
    connectors beyond their tolerance off the line, and work whose inspection was not held, until an accepted test. A
    log equal to the schedule gives the design's own result. OutOfRange for a log that doesn't fit its schedule, by
    the path of the entry, for a panel that can't be one (over 3.5:1), and as `load_path.check_chain` does.
    """
    designed = check_chain(inputs.house, inputs.schedule)
    limits, house = tolerances(inputs.house, designed), _house_as_built(inputs)
    logs = {log.label: log for log in inputs.log}
    scheduled = {line.label: line for line in inputs.schedule.lines}
    counted = {
        line.label: field_counts.count(
            logs.get(line.label, LineLog(label=line.label, entries=())),
            scheduled.get(line.label, LineSchedule(label=line.label, items=())),
            house.catalogue,
            limits,
        )
        for line in house.lines
    }
    demand, values = house_demand(demand_inputs(house)), ConnectorValues(house)
    lines = contexts(house, demand, values)
    counted = {c.line.label: _best(house, demand, c, _well_placed(c, counted[c.line.label])) for c in lines}
    labels = [*scheduled, *(label for label, one in counted.items() if one.items and label not in scheduled)]
    schedule = Schedule(lines=tuple(LineSchedule(label=label, items=counted[label].items) for label in labels))
    built = checked(house, demand, lines, values, schedule)
    short: list[Shortfall] = []
    for context, was, now in zip(lines, designed.lines, built.lines, strict=True):
        one, chain = counted[context.line.label], _chain(house, demand, context)
        short += shortfalls(context, was, now, one, chain)
    asked = [
        decision
        for context, line in zip(lines, inputs.house.lines, strict=True) if line.label in logs
        for decision in decisions(context, line, logs[line.label], counted[line.label])
    ]  # fmt: skip
    compared = tuple(_line(was, now) for was, now in zip(designed.lines, built.lines, strict=True))
    plan = tuple(test for one in counted.values() for test in one.plan)
    lost = tuple(one for line in counted.values() for one in line.uncounted)
    sunk = tuple(_sunk_check(label, number, one) for label, c in counted.items() for number, one in c.sunk.items())
    own = [*(limit.source for limit in limits), *(test.source for test in plan)]
    own += [step.source for check in sunk for step in check.steps]
    return AsBuiltResult(
        lines=compared,
        shortfalls=tuple(short),
        uncounted=lost,
        decisions=tuple(asked),
        test_plan=plan,
        close_out_blocked_by=(
            *(f"line {line.label} is {line.as_built_status} as built" for line in compared if line.shortfall),
            *(f"line {test.line}: {test.reason}, {test.role}: {test.method}" for test in plan),
            *(f"line {one.line}: {one.count} {one.role} {one.reason}" for one in lost if one.reason == NOT_LOGGED),
        ),
        assumptions=_assumptions(counted, logs),
        tolerances=limits,
        sunk_nails=sunk,
        standing=tuple(LineSchedule(label=label, items=counted[label].standing) for label in labels),
        from_memory=tuple(sorted({*built.from_memory, *(str(one) for one in own if one.read == "from memory")})),
        built=built,
    )


def _house_as_built(inputs: AsBuiltInputs) -> HouseInputs:
    """The house with its panels where they stand, and the catalogue with nails that were measured on site."""
    house, logs = inputs.house, {log.label: log for log in inputs.log}
    nails = dict.fromkeys(entry.nail for log in inputs.log for entry in log.entries if entry.nail)
    if nails:
        catalogue = house.catalogue
        new = tuple(nail for nail in nails if nail is not None and nail not in catalogue.nails)
        house = replace(house, catalogue=replace(catalogue, nails=(*catalogue.nails, *new)))
    if not any(log.panels for log in inputs.log):
        return house
    return replace(house, lines=tuple(_line_as_built(line, logs.get(line.label)) for line in house.lines))


def _line_as_built(line: WallLine, log: LineLog | None) -> WallLine:
    if log is None or not log.panels:
        return line
    where, spans = f"log.{log.label}.panels", list(line.panels)
    for built in log.panels:
        if built.panel > len(spans):
            raise OutOfRange(f"{where}.panel", built.panel, f"must be from 1 to {len(spans)}")
        old = spans[built.panel - 1]
        spans[built.panel - 1] = Span(from_ft=built.from_ft, to_ft=built.to_ft, label=old.label)
    try:
        return replace(line, panels=tuple(spans))
    except OutOfRange as error:
        raise OutOfRange(where, error.value, error.allowed) from error


def _chain(house: HouseInputs, demand: HouseDemand, context: LineContext) -> Chain:
    """The line's chain with other items, for trying out."""

    def line(items: Iterable[ScheduleItem]) -> LineResult:
        schedule = Schedule(lines=(LineSchedule(label=context.line.label, items=tuple(items)),))
        return checked(house, demand, (context,), context.values, schedule).lines[0]

    return line


def _well_placed(context: LineContext, counted: Counted) -> Counted:
    """The line without connectors that were put where the layout has none: beside a stud, a joint, an end, a post."""
    drawn = {(row.item.role, at) for row in counted.rows for at in row.item.positions_in}
    items, lost = list[ScheduleItem](), list[Uncounted]()
    for item in counted.items:
        new = [at for at in item.positions_in if (item.role, at) not in drawn]
        off = tuple(at for at in new if misplaced(context, (replace(item, count=1, positions_in=(at,)),)))
        kept = tuple(at for at in item.positions_in if at not in off)
        if off:
            lost.append(field_counts.uncounted(context.line.label, item, len(off), off, MISPLACED))
            item = replace(item, count=len(kept), positions_in=kept)
        items += [item] if item.count else []
    return replace(counted, items=tuple(items), uncounted=(*counted.uncounted, *lost)) if lost else counted


def _best(house: HouseInputs, demand: HouseDemand, context: LineContext, counted: Counted) -> Counted:
    """The line with substitutes counted, or left out where they would pull down what they stand beside.

    Connectors of one role count at the least value among them; a weak one in place of a strong one must not cost more
    than the strong one's absence. A panel with two kinds of nails: the scheduled ones alone, or all as the other kind.
    """
    scheduled = {(row.item.role, row.item.connector) for row in counted.rows}
    groups = dict.fromkeys(
        (one.role, one.panel) for one in counted.items if (one.role, one.connector) not in scheduled
    )  # fmt: skip
    if not groups:
        return counted
    # Values of its own, so that the result lists the connectors of the chosen items alone.
    chain = _chain(house, demand, replace(context, values=ConnectorValues(house), _known={}))
    items = counted.items
    for group in groups:
        here = tuple(one for one in items if (one.role, one.panel) == group)
        own = tuple(one for one in here if (one.role, one.connector) in scheduled)
        others = tuple(one for one in items if one not in here)
        tries = [here, own]
        if group[0] == wall_panels.ROLE:
            number = sum(one.count for one in here)
            tries += [(replace(one, count=number),) for one in here if one not in own]
        poorness = [_poorness(chain((*others, *one)), group[0]) for one in tries]
        items = (*others, *tries[poorness.index(min(poorness))])
    return replace(counted, items=items)


def _poorness(line: LineResult, role: str) -> list[list[tuple[int, float]]]:
    """To compare two lines by the links of a role, their poorest parts first."""
    links = [line.link(one) for one in BOTH_SIDES.get(ROLES[role], (ROLES[role],))]
    return [
        sorted(((RANK[part.status], part.ratio or 0.0) for part in link.parts or (link.check,)), reverse=True)
        for link in links
    ]


def _line(was: LineResult, now: LineResult) -> LineAsBuilt:
    found = {link.link: link.check for link in was.as_found}
    links = tuple(
        LinkAsBuilt(
            link=link.link,
            name=link.name,
            as_found=_standing(found[link.link]) if link.link in found else None,
            as_designed=_standing(link.check),
            as_built=_standing(now.link(link.link).check),
        )
        for link in was.links
    )
    return LineAsBuilt(
        label=was.label,
        as_found_status=was.as_found_status,
        as_designed_status=was.status,
        as_designed_ratio=was.weakest_ratio,
        as_built_status=now.status,
        as_built_ratio=now.weakest_ratio,
        links=links,
        shortfall=any(fell(link.check, now.link(link.link).check) for link in was.links),
    )


def _standing(check: Check) -> Standing:
    return Standing(status=check.status, ratio=check.ratio, capacity=check.capacity, unit=check.unit)


def _sunk_check(label: str, panel: int, sunk: SunkNails) -> Check:
    name = f"line {label}, panel {panel}: {sunk.text}"
    return Check(name=name, status="recorded", clause=str(SUNK_NAILS), steps=sunk.steps)


def _assumptions(counted: dict[str, Counted], logs: dict[str, LineLog]) -> tuple[str, ...]:
    """What was taken where nobody logged a count."""
    return tuple(
        f"line {label}, panel {item.panel}: sunk nails were not counted, all taken as flush and on framing"
        for label, one in counted.items()
        for item in one.items
        if item.role == wall_panels.ROLE
        and not any(tally.panel == item.panel for log in (logs.get(label),) if log for tally in log.tallies)
    )
