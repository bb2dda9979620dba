"""Links 6a and 6b: anchors panel by panel on their own sill pieces, wood side and concrete side, old and new.

Convention 10: each panel's anchors carry that panel's share; a panel across a sill joint is shared by length; at
least two a panel and two a piece (one in a short piece); an old bolt counts once accepted, in the concrete only where
the light-frame conditions are all shown.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from engineering.clauses import LIGHT_FRAME_ANCHORS, convention
from engineering.connector_values import LineContext
from engineering.errors import OutOfRange
from engineering.evaluated import USE_SILL_ANCHOR
from engineering.fasteners import SILL_BOLT_EMBEDMENT_IN
from engineering.inputs import NOT_OBSERVED, ExistingAnchor, Foundation, Span, WallLine
from engineering.link_checks import (
    LINK_NAMES,
    count_for,
    open_link,
    outside_chain,
    reason_of,
    shortfall,
    value_step,
    weighed,
)
from engineering.results import Check, LinkResult, Step
from engineering.schedule import ScheduleItem
from engineering.steps import step
from engineering.wall_panels import panels

ROLE = "sill anchors"
# New-build rule of IRC R403.1.6 as AWC answers on it (awc.org/faqs, read): 7 diameters to 12 in from a sill end.
END_DIAMETERS = 7.0
APART_DIAMETERS = 4.0  # bolts in a row, full value: NDS Table 12.5.1B
SECTION_LOSS_LIMIT_PERCENT = 20.0
SHARES = convention(10, "anchors by panel on its own sill piece")


@dataclass(frozen=True, slots=True)
class Footing:
    """The part of a panel that stands on one sill piece, with its share of the panel's shear.

    `panel` is None where the joists bear on the sill: then it is the sill piece itself, with its share by length.
    """

    panel: int | None
    piece: int
    from_ft: float
    to_ft: float
    share_lb: float

    @property
    def name(self) -> str:
        """As printed."""
        return f"panel {self.panel}, sill piece {self.piece}" if self.panel else f"sill piece {self.piece}"

    def holds(self, at_ft: float) -> bool:
        """Whether a place on the line lies in it, ends included."""
        return self.from_ft - 1e-6 <= at_ft <= self.to_ft + 1e-6


def unfit_foundation(foundation: Foundation) -> str:
    """Why no sill anchor may be counted in this foundation; empty where it may. The engineer's own route stays open."""
    if foundation.material != "concrete":
        return f"{foundation.material} foundation: the engineer's own design"
    if foundation.section_loss_percent == NOT_OBSERVED:
        return "section loss of the foundation was not observed"
    if foundation.section_loss_percent >= SECTION_LOSS_LIMIT_PERCENT:
        return f"{foundation.section_loss_percent:g} % section loss of the foundation: the engineer's own design"
    return ""


def footings(context: LineContext) -> tuple[Footing, ...]:
    """Each panel on each of its sill pieces, shear shared by length; each sill piece where the joists bear on it."""
    return context.once("footings", lambda: _footings(context))


def _footings(context: LineContext) -> tuple[Footing, ...]:
    found = []
    if context.on_sill:
        plf = context.demand.demand_lb / sum(piece.to_ft - piece.from_ft for piece in context.line.sill_pieces)
        for number, piece in enumerate(context.line.sill_pieces, 1):
            share_lb = plf * (piece.to_ft - piece.from_ft)
            found.append(Footing(None, number, piece.from_ft, piece.to_ft, share_lb))
    for panel in panels(context):
        for number, piece in enumerate(context.line.sill_pieces, 1):
            from_ft, to_ft = max(panel.span.from_ft, piece.from_ft), min(panel.span.to_ft, piece.to_ft)
            if to_ft - from_ft > 1e-6:
                share_lb = panel.unit_shear_plf * (to_ft - from_ft)
                found.append(Footing(panel.number, number, from_ft, to_ft, share_lb))
    return tuple(found)


def light_frame_shown(line: WallLine, anchor: ExistingAnchor) -> tuple[bool, str]:
    """Whether all conditions are shown under which a sill bolt's concrete side need not be computed, and if not why.

    At most 5/8 in, at least 7 in embedded, 1-3/4 in from the edge along the sill, 15 diameters from the end, a sill of
    2 or 3 in nominal. IBC 1905.1.8 exception 1.
    """
    if anchor.diameter_in > 0.625:
        return False, "larger than 5/8 in"
    # A full-sawn sill measures its nominal 2 or 3 in.
    if not 1.5 <= line.framing.sill_thickness_in <= 3.0:
        return False, "sill not 2 or 3 in nominal"
    for value, least, what in (
        (anchor.embedment_in, 7.0, "embedment under 7 in"),
        (anchor.edge_in, 1.75, "edge distance under 1-3/4 in"),
        (anchor.end_in, 15 * anchor.diameter_in, "end distance under 15 diameters"),
    ):
        if value == NOT_OBSERVED:
            return False, f"{what.split(' under')[0]} not observed"
        if value < least - 1e-9:
            return False, what
    return True, "all shown"


def counted(line: WallLine, anchor: ExistingAnchor) -> str:
    """Why an old bolt counts as nothing; empty where it counts. Not accepted, or too near its sill piece's end."""
    if not anchor.accepted:
        return f"bolt at {anchor.at_ft:g} ft not accepted: {anchor.reason}"
    if _near_end(line, anchor.at_ft, anchor.diameter_in):
        return f"bolt at {anchor.at_ft:g} ft is nearer than {END_DIAMETERS:g} diameters to the end of its sill piece"
    return ""


def _near_end(line: WallLine, at_ft: float, diameter_in: float) -> bool:
    clear_ft = END_DIAMETERS * diameter_in / 12 - 1e-6
    return any(
        piece.from_ft - 1e-6 <= at_ft <= piece.to_ft + 1e-6
        and min(at_ft - piece.from_ft, piece.to_ft - at_ft) < clear_ft
        for piece in line.sill_pieces
    )


@dataclass(frozen=True, slots=True)
class Credit:
    """What the old bolts in a footing bring. [lb]"""

    count: int
    wood_lb: float
    concrete_lb: float


def credit(context: LineContext, footing: Footing) -> Credit:
    """Accepted bolts inside a footing: wood value for all of them, concrete only where the conditions are shown."""
    return context.once(("credit", footing), lambda: _credit(context, footing))


def _credit(context: LineContext, footing: Footing) -> Credit:
    line = context.line
    inside = [a for a in line.existing_anchors if _stands_in(context, a, footing) and not counted(line, a)]
    wood = [wood_value_lb(context, anchor) for anchor in inside]
    concrete = [value for anchor, value in zip(inside, wood, strict=True) if light_frame_shown(line, anchor)[0]]
    if unfit_foundation(line.foundation):
        concrete = []
    return Credit(len(inside), sum(wood, 0.0), sum(concrete, 0.0))


def _stands_in(context: LineContext, anchor: ExistingAnchor, footing: Footing) -> bool:
    """Whether an old bolt stands in this footing; one between two panels that meet counts in the first alone."""
    feet = footings(context)
    return next((one for one in feet if one.holds(anchor.at_ft)), None) == footing


def wood_value_lb(context: LineContext, anchor: ExistingAnchor) -> float:
    """Wood side of an old bolt; 6 in of embedment taken where it was not observed. [lb]"""
    embedment_in = SILL_BOLT_EMBEDMENT_IN if anchor.embedment_in == NOT_OBSERVED else anchor.embedment_in
    value_lb = context.values.sill_bolt(context.line, anchor.diameter_in, embedment_in).capacity
    assert value_lb is not None
    return value_lb


@dataclass(frozen=True, slots=True)
class NewAnchor:
    """A new anchor's two sides on this line. `concrete` is None where it can't be counted there, for `reason`. [lb]"""

    wood: Check
    concrete: Check | None
    reason: str

    @property
    def wood_lb(self) -> float:
        """Value on the wood side."""
        assert self.wood.capacity is not None
        return self.wood.capacity


def new_anchor(context: LineContext, key: str) -> NewAnchor:
    """Both sides of a catalogue sill anchor; OutOfRange where the key is no sill anchor."""
    connector = context.values.evaluated(key, "sill anchor")
    embedment_in = SILL_BOLT_EMBEDMENT_IN if connector.embedment_in is None else connector.embedment_in
    wood = context.values.sill_bolt(context.line, connector.diameter_in, embedment_in)
    if reason := unfit_foundation(context.line.foundation):
        return NewAnchor(wood, None, reason)
    try:
        return NewAnchor(wood, context.values.allowable(context.line, connector, USE_SILL_ANCHOR), "")
    except OutOfRange as error:
        return NewAnchor(wood, None, reason_of(error))


def needed(context: LineContext, footing: Footing, anchor: NewAnchor) -> tuple[int, int]:
    """New anchors that the share takes on the wood side and in the concrete."""
    old = credit(context, footing)
    assert anchor.concrete is not None
    assert anchor.concrete.capacity is not None
    return (
        count_for((footing.share_lb - old.wood_lb) / anchor.wood_lb),
        count_for((footing.share_lb - old.concrete_lb) / anchor.concrete.capacity),
    )


def piece_minimum(context: LineContext, piece: Span) -> int:
    """Least number of anchors in a sill piece: two, one where it is short."""
    criteria = context.inputs.criteria
    short = 12 * (piece.to_ft - piece.from_ft) < criteria.one_anchor_under_in - 1e-9
    return 1 if short else criteria.anchors_per_piece


def counts(context: LineContext, anchor: NewAnchor) -> tuple[dict[Footing, int], dict[int, int]]:
    """New anchors in each footing, and those a sill piece needs besides (piece number → count)."""
    concrete_lb = anchor.concrete.capacity if anchor.concrete else None
    return context.once(("counts", anchor.wood_lb, concrete_lb), lambda: _counts(context, anchor))


def _counts(context: LineContext, anchor: NewAnchor) -> tuple[dict[Footing, int], dict[int, int]]:
    feet = footings(context)
    inside = {footing: max(needed(context, footing, anchor)) for footing in feet}
    for number in {footing.panel for footing in feet if footing.panel}:
        own = [footing for footing in feet if footing.panel == number]
        have = sum(inside[footing] + credit(context, footing).count for footing in own)
        longest = max(own, key=lambda footing: footing.to_ft - footing.from_ft)
        inside[longest] += max(0, context.inputs.criteria.anchors_per_panel - have)
    line, extra = context.line, {}
    for number, piece in enumerate(line.sill_pieces, 1):
        old = sum(piece.from_ft <= a.at_ft <= piece.to_ft and not counted(line, a) for a in line.existing_anchors)
        new = sum(count for footing, count in inside.items() if footing.piece == number)
        extra[number] = max(0, piece_minimum(context, piece) - old - new)
    return inside, extra


def check_6a(context: LineContext, rows: tuple[ScheduleItem, ...]) -> LinkResult:
    """Link 6a: each footing's share against the wood side of its old and new anchors. [lb]"""
    return _link(context, rows, "6a")


def check_6b(context: LineContext, rows: tuple[ScheduleItem, ...]) -> LinkResult:
    """Link 6b: each footing's share against the concrete side: evaluated values at the real strength, and old bolts
    whose light-frame conditions are shown. [lb] Open in a foundation that is not fit, with that reason."""
    return _link(context, rows, "6b")


def _link(context: LineContext, rows: tuple[ScheduleItem, ...], link: str) -> LinkResult:
    name = LINK_NAMES[link]
    feet = footings(context)
    if not feet:
        return LinkResult(link=link, name=name, check=outside_chain(name, "no panel on this line"))
    if link == "6b" and (reason := unfit_foundation(context.line.foundation)):
        return LinkResult(link=link, name=name, check=open_link(name, context.demand.demand_lb, reason))
    parts = tuple(_footing_check(context, footing, rows, link) for footing in feet)
    if opened := [part for part in parts if part.status == "open"]:
        reason = "; ".join(f"{part.name}: {part.notes[0]}" for part in opened)
        check = open_link(name, sum((part.demand or 0.0) for part in parts), reason)
        return LinkResult(link=link, name=name, check=check, parts=parts)
    worst = max(parts, key=lambda part: part.ratio or 0.0)
    assert worst.demand is not None
    assert worst.capacity is not None
    total = sum(row.count for row in rows)
    steps = (
        *worst.steps,
        step("new_in_panels", "n", "new anchors in panels", sum(row.count for row in rows if row.panel), "-", SHARES),
        step("new_total", "n_line", "in panels and by the sill piece rule", total, "-", SHARES),
    )
    warnings = [warning for part in parts for warning in part.warnings]
    too_few = [*panel_warnings(context, rows), *piece_warnings(context, rows)] if link == "6a" else []
    warnings += [warning for warning in too_few if warning not in warnings]
    checked = weighed(
        name,
        worst.demand,
        worst.capacity,
        clause=worst.clause,
        steps=steps,
        notes=(worst.name,),
        warnings=tuple(warnings),
    )
    if too_few:  # strong enough, but under the least number of a panel or a sill piece
        checked = replace(checked, status="over")
    return LinkResult(link=link, name=name, check=checked, parts=parts)


def panel_warnings(context: LineContext, rows: tuple[ScheduleItem, ...]) -> list[str]:
    """Panels with fewer anchors than their minimum, new and accepted old ones together."""
    found: list[str] = []
    for panel in panels(context):
        own = [footing for footing in footings(context) if footing.panel == panel.number]
        old = sum(credit(context, footing).count for footing in own)
        new = sum(row.count for row in rows if row.panel == panel.number)
        more = context.inputs.criteria.anchors_per_panel - old - new
        found += shortfall(more, "sill anchors", f"in panel {panel.number}")
    return found


def piece_warnings(context: LineContext, rows: tuple[ScheduleItem, ...]) -> list[str]:
    """Sill pieces with fewer anchors than their minimum, new and accepted old ones together."""
    line = context.line
    found: list[str] = []
    for number, piece in enumerate(line.sill_pieces, 1):
        old = sum(piece.from_ft <= a.at_ft <= piece.to_ft and not counted(line, a) for a in line.existing_anchors)
        new = sum(row.count for row in rows if row.piece == number)
        found += shortfall(piece_minimum(context, piece) - old - new, "sill anchors", f"in sill piece {number}")
    return found


def _footing_check(context: LineContext, footing: Footing, rows: tuple[ScheduleItem, ...], link: str) -> Check:
    old, line = credit(context, footing), context.line
    old_lb = old.wood_lb if link == "6a" else old.concrete_lb
    new_lb, new_count, each_lb, clause = 0.0, 0, 0.0, ""
    value: Check | None = None
    reasons: list[str] = []
    for row in rows:
        if (row.panel, row.piece) != (footing.panel, footing.piece):
            continue
        standing, lost = _standing(
            line, footing, row, context.values.evaluated(row.connector, "sill anchor").diameter_in
        )
        reasons += lost
        anchor = new_anchor(context, row.connector)
        value = anchor.wood if link == "6a" else anchor.concrete
        if value is None or value.capacity is None:
            reasons.append(f"{row.connector} can't be counted in this concrete ({anchor.reason})")
            continue
        each_lb, clause = value.capacity, value.clause
        new_count += standing
        new_lb += standing * each_lb
    capacity_lb = old_lb + new_lb
    steps = _footing_steps(footing, old, link, new_count, value, capacity_lb)
    if capacity_lb <= 0:
        return open_link(footing.name, footing.share_lb, "; ".join(reasons) or "no anchor", steps=steps)
    one_more_lb = each_lb or _chosen_lb(context, link)
    more = count_for((footing.share_lb - capacity_lb) / one_more_lb) if one_more_lb else 0
    warnings = shortfall(more, "sill anchors", f"in {footing.name}")
    if capacity_lb < footing.share_lb and not warnings:
        warnings = (f"{footing.share_lb - capacity_lb:,.0f} lb more needed in {footing.name}",)
    return weighed(
        footing.name, footing.share_lb, capacity_lb, clause=clause or str(SHARES), steps=steps,
        notes=tuple(counted(line, a) for a in line.existing_anchors if footing.holds(a.at_ft) and counted(line, a)),
        warnings=(*warnings, *reasons),
    )  # fmt: skip


def _chosen_lb(context: LineContext, link: str) -> float:
    """What one more of the line's chosen sill anchor would bring on this side, 0 where none was chosen or counts."""
    key = context.line.methods.sill_anchor
    if not key:
        return 0.0
    anchor = new_anchor(context, key)
    if link == "6a":
        return anchor.wood_lb
    return anchor.concrete.capacity or 0.0 if anchor.concrete else 0.0


def _standing(line: WallLine, footing: Footing, row: ScheduleItem, diameter_in: float) -> tuple[int, list[str]]:
    """How many anchors of a row stand where they count: inside the footing, 7 diameters from ends, 4 apart."""
    if not row.positions_in:
        return row.count, []
    lost, standing = list[str](), list[float]()
    for at_in in sorted(row.positions_in):
        if not footing.holds(at_in / 12):
            lost.append(f"anchor at {at_in:g} in stands outside {footing.name}")
        elif _near_end(line, at_in / 12, diameter_in):
            lost.append(
                f"anchor at {at_in:g} in is nearer than {END_DIAMETERS:g} diameters to the end of its sill piece"
            )
        elif standing and at_in - standing[-1] < APART_DIAMETERS * diameter_in - 1e-9:
            lost.append(f"anchor at {at_in:g} in is nearer than {APART_DIAMETERS:g} diameters to the one before")
        else:
            standing.append(at_in)
    return row.count - len(lost), lost


def _footing_steps(
    footing: Footing, old: Credit, link: str, new_count: int, value: Check | None, capacity_lb: float
) -> tuple[Step, ...]:
    old_lb, source = (old.wood_lb, SHARES) if link == "6a" else (old.concrete_lb, LIGHT_FRAME_ANCHORS)
    length_ft = footing.to_ft - footing.from_ft
    steps = [
        step("sill_piece", "piece", "sill piece under it", footing.piece, "-", SHARES),
        step("demand_lb", "V", "v·length", footing.share_lb, "lb", SHARES,
             v=footing.share_lb / length_ft, length=length_ft),
        step("accepted_inside", "n_old", "accepted bolts inside", old.count, "bolts", SHARES),
        step("credit_lb", "credit", "their value on this side", old_lb, "lb", source),
        step("new", "n", "new anchors", new_count, "-", SHARES),
    ]  # fmt: skip
    if value is None or value.capacity is None:
        return (*steps, step("capacity_lb", "capacity", "credit alone", capacity_lb, "lb", SHARES))
    each_lb = value.capacity
    by_share = count_for((footing.share_lb - old_lb) / each_lb)
    return (
        *steps,
        value_step("each_lb", value),
        step("new_by_share", "n_V", "(V − credit)/Z', rounded up", by_share, "-", SHARES,
             V=footing.share_lb, credit=old_lb, Z=each_lb),
        step("capacity_lb", "capacity", "credit + n·Z'", capacity_lb, "lb", SHARES,
             credit=old_lb, n=new_count, Z=each_lb),
    )  # fmt: skip
