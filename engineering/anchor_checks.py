"""Links 6a and 6b: each footing's share against its old and new anchors, wood side and concrete side."""

from __future__ import annotations

from dataclasses import replace

from engineering.anchor_credit import washers_to_fit
from engineering.anchor_layout import why_not
from engineering.anchor_standing import Held, concrete_rules, held, too_few_anchors, wood_rules
from engineering.connector_values import LineContext
from engineering.footings import (
    SHARES,
    Footing,
    footings,
    unfit_foundation,
)
from engineering.link_checks import LINK_NAMES, count_for, open_link, outside_chain, shortfall, weighed
from engineering.results import Check, LinkResult, Step
from engineering.schedule import ScheduleItem
from engineering.side_connections import choice
from engineering.steps import step


def check_6a(context: LineContext, rows: tuple[ScheduleItem, ...]) -> LinkResult:
    """Link 6a: each footing's share against the wood side of its old and new anchors. [lb]"""
    return _link(context, rows, "6a")


def check_6b(context: LineContext, rows: tuple[ScheduleItem, ...]) -> LinkResult:
    """Link 6b: each footing's share against the concrete side: evaluated values at the real strength, and old bolts
    whose light-frame conditions are shown. [lb] Open in a foundation that is not fit, with that reason."""
    return _link(context, rows, "6b")


def _link(context: LineContext, rows: tuple[ScheduleItem, ...], link: str) -> LinkResult:
    name = LINK_NAMES[link]
    if not footings(context):
        return LinkResult(link=link, name=name, check=outside_chain(name, "no panel on this line"))
    if link == "6b" and (reason := unfit_foundation(context.line.foundation)):
        return LinkResult(link=link, name=name, check=open_link(name, context.demand.demand_lb, reason))
    brought = held(context, rows, link)
    parts = tuple(
        [_footing_check(context, footing, one) for footing, one in zip(footings(context), brought, strict=True)]
    )
    if opened := [part for part in parts if part.status == "open"]:
        reason = "; ".join(f"{part.name}: {part.notes[0]}" for part in opened)
        check = open_link(name, sum((part.demand or 0.0) for part in parts), reason)
        return LinkResult(link=link, name=name, check=check, parts=parts)
    worst = max(parts, key=lambda part: part.ratio or 0.0)
    assert worst.demand is not None
    assert worst.capacity is not None
    in_panels, total = sum([row.count for row in rows if row.panel]), sum([row.count for row in rows])
    steps = [
        *worst.steps,
        step("new_in_panels", "n", "new anchors in panels", in_panels, "-", SHARES),
        step("new_total", "n_line", "in panels and by the sill piece rule", total, "-", SHARES),
    ]
    warnings = [warning for part in parts for warning in part.warnings]
    notes = [worst.name]
    too_few: tuple[str, ...] = ()
    more_steps, more_notes = wood_rules(context, rows) if link == "6a" else concrete_rules(context, rows)
    steps += more_steps
    notes += more_notes
    if link == "6a":
        too_few = too_few_anchors(context, rows)
        warnings += [warning for warning in (*too_few, *washers_to_fit(context)) if warning not in warnings]
    checked = weighed(
        name,
        worst.demand,
        worst.capacity,
        clause=worst.clause,
        steps=tuple(steps),
        notes=tuple(notes),
        warnings=tuple(dict.fromkeys(warnings)),
    )
    if too_few:  # strong enough, but under the least number of a panel or a sill piece
        checked = replace(checked, status="over")
    return LinkResult(link=link, name=name, check=checked, parts=parts)


def _nothing(context: LineContext, footing: Footing) -> str:
    """Why a footing has no anchor: what keeps the chosen one out, where something does."""
    reason = why_not(context, footing)
    return f"no anchor: {reason}" if reason else "no anchor"


def _footing_check(context: LineContext, footing: Footing, brought: Held) -> Check:
    """A footing's share against what its anchors bring."""
    share_lb, capacity_lb = footing.share_lb, brought.capacity_lb
    steps = (
        brought.piece,
        step("demand_lb", "V", "v·length", share_lb, "lb", SHARES,
             v=share_lb / footing.length_ft, length=footing.length_ft),
        *brought.counted,
        *_by_share(share_lb, brought),
        *brought.summed,
    )  # fmt: skip
    if capacity_lb <= 0:
        return open_link(footing.name, share_lb, "; ".join(brought.reasons) or _nothing(context, footing), steps=steps)
    more = count_for((share_lb - capacity_lb) / brought.one_more_lb) if brought.one_more_lb else 0
    warnings = shortfall(more, choice(context)[0], f"in {footing.name}") if more > 0 else ()
    if capacity_lb < share_lb and not warnings:
        warnings = (f"{share_lb - capacity_lb:,.0f} lb more needed in {footing.name}",)
    return weighed(
        footing.name, share_lb, capacity_lb, clause=brought.clause, steps=steps, notes=brought.notes,
        warnings=(*warnings, *brought.reasons),
    )  # fmt: skip


def _by_share(share_lb: float, brought: Held) -> tuple[Step, ...]:
    """What one new anchor brings, and how many the share takes; nothing where none counts."""
    if brought.each is None:
        return ()
    each_lb, old_lb = float(brought.each.value), brought.old_lb
    by_share = count_for((share_lb - old_lb) / each_lb)
    return (
        brought.each,
        step("new_by_share", "n_V", "(V − credit)/Z', rounded up", by_share, "-", SHARES,
             **{"V": share_lb, "credit": old_lb, "Z'": each_lb}),
    )  # fmt: skip
