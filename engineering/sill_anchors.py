"""New sill anchors and side connections: what one brings in wood and concrete, and how many each footing takes.

Convention 10: each panel's anchors carry that panel's share; at least two a panel and two a piece (one in a short
piece), old bolts that count included.
"""

from __future__ import annotations

from typing import NamedTuple

from engineering import seats
from engineering.anchor_credit import credit, piece_credit
from engineering.connector_values import LineContext
from engineering.errors import OutOfRange
from engineering.evaluated import USE_SIDE_CONNECTION, USE_SILL_ANCHOR
from engineering.fasteners import SILL_BOLT_EMBEDMENT_IN
from engineering.footings import Footing, footings, piece_minimum, unfit_foundation
from engineering.geometry_factor import SPACING_FULL_D
from engineering.inputs import NOT_OBSERVED, EvaluatedConnector, NotObserved
from engineering.link_checks import count_for, reason_of
from engineering.plate_washers import AxisWindow, axis_window
from engineering.results import Check, Step
from engineering.sources import Source
from engineering.steps import step

ROLE, SIDE_ROLE = "sill anchors", "side connections"
KINDS = {ROLE: "sill anchor", SIDE_ROLE: "side connection"}
ADHESIVE = Source("ACI 318", "19", "17.2.2")
LEAST_ADHESIVE_PSI, LEAST_AGE_DAYS = 2500.0, 21
INSPECTION = Source(
    "IBC",
    "2021",
    "Table 1705.3",
    read="https://www.fandr.com/insights/speaking-in-code/post-installed-anchors-in-concrete-and-aci-355-4/",
)


class NewAnchor(NamedTuple):
    """One new anchor or side connection on this line. A side is None where it can't be counted, for `reason`. [lb]

    A side connection's report value covers both sides. `window`: where an anchor stands across the sill.
    """

    connector: EvaluatedConnector
    wood: Check | None
    concrete: Check | None
    reason: str
    window: AxisWindow | None = None

    def side(self, link: str) -> Check | None:
        """Its value on the side of link 6a or 6b."""
        return self.wood if link == "6a" else self.concrete

    def lb(self, link: str) -> float:
        """The same as a number, 0 where it can't be counted."""
        side = self.wood if link == "6a" else self.concrete
        return (side.capacity or 0.0) if side is not None else 0.0


def new_anchor(context: LineContext, key: str) -> NewAnchor:
    """Both sides of a catalogue sill anchor or side connection; OutOfRange where the key is neither."""
    return context.surveyed(("new anchor", key), lambda bare: _new_anchor(bare, key))


def _new_anchor(context: LineContext, key: str) -> NewAnchor:
    found = context.values.connector(key)
    if isinstance(found, EvaluatedConnector) and found.kind == KINDS[SIDE_ROLE]:
        return _side_connection(context, found)
    connector = context.values.evaluated(key, KINDS[ROLE])
    line = context.line
    embedment_in = SILL_BOLT_EMBEDMENT_IN if connector.embedment_in is None else connector.embedment_in
    wood = context.values.sill_bolt(line, connector.diameter_in, embedment_in)
    window = axis_window(line, connector.diameter_in, connector.minimum_edge_in)
    reason = (
        unfit_foundation(line.foundation)
        or too_weak_for_adhesive(connector, line.foundation.concrete_psi)
        or window.reason
    )
    if reason:
        return NewAnchor(connector, wood, None, reason, window)
    try:
        value = context.values.allowable(line, connector, USE_SILL_ANCHOR, (), seats.sill_anchor(line))
        return NewAnchor(connector, wood, value, "", window)
    except OutOfRange as error:
        return NewAnchor(connector, wood, None, reason_of(error), window)


def _side_connection(context: LineContext, connector: EvaluatedConnector) -> NewAnchor:
    foundation = context.line.foundation
    reason = unfit_foundation(foundation) or too_weak_for_adhesive(connector, foundation.concrete_psi)
    if not reason and foundation.face != "sound":
        reason = f"a side connection needs a sound face of the concrete: {foundation.face}"
    if reason:
        return NewAnchor(connector, None, None, reason)
    sill = (context.line.framing.sill,)
    try:
        seat = seats.side_connection(context.line, connector)
        value = context.values.allowable(context.line, connector, USE_SIDE_CONNECTION, sill, seat)
    except OutOfRange as error:
        return NewAnchor(connector, None, None, reason_of(error))
    return NewAnchor(connector, value, value, "")


def least_apart_in(connector: EvaluatedConnector) -> float:
    """From one anchor to the next: 4 diameters for the sill (NDS Table 12.5.1B), or more by its report. [in]"""
    return max(SPACING_FULL_D * connector.diameter_in, connector.minimum_spacing_in or 0.0)


def too_weak_for_adhesive(connector: EvaluatedConnector, concrete_psi: float | NotObserved) -> str:
    """Adhesive anchors need 2 500 psi whatever their report leaves out. ACI 318-19 17.2.2."""
    if not connector.adhesive:
        return ""
    if concrete_psi == NOT_OBSERVED:
        return "concrete strength was not observed: an adhesive anchor needs it"
    if concrete_psi < LEAST_ADHESIVE_PSI:
        return f"concrete of {concrete_psi:g} psi: an adhesive anchor needs {LEAST_ADHESIVE_PSI:g} psi"
    return ""


def adhesive_steps(connector: EvaluatedConnector) -> tuple[tuple[Step, ...], tuple[str, ...]]:
    """How adhesive anchors are inspected and in what concrete they may be set, as steps and a note for the sheets.

    Nothing for other anchors. Holes of a side connection are horizontal, those of a sill anchor vertical, downward.
    """
    if not connector.adhesive:
        return (), ()
    how = "continuous" if connector.kind == KINDS[SIDE_ROLE] else "periodic"
    hole = "horizontal" if connector.kind == KINDS[SIDE_ROLE] else "downward"
    steps = (
        step("special_inspection", "inspection", f"adhesive anchors in {hole} holes", how, "-", INSPECTION),
        step("adhesive_concrete_psi", "f_c min", "concrete for adhesive anchors", LEAST_ADHESIVE_PSI, "psi", ADHESIVE),
        step("adhesive_concrete_age_days", "age", "least age of the concrete", LEAST_AGE_DAYS, "days", ADHESIVE),
    )
    return steps, (
        f"{connector.name}: {how} special inspection, or more where its report asks for it; dry clean holes, "
        "temperature of the concrete and cure time as its report prints them",
    )


def needed(context: LineContext, footing: Footing, anchor: NewAnchor) -> int:
    """New anchors that the share takes, on the wood side or in the concrete, whichever takes more."""
    old, wood_lb, concrete_lb = credit(context, footing), anchor.lb("6a"), anchor.lb("6b")
    return max(
        count_for((footing.share_lb - old.wood_lb) / wood_lb),
        count_for((footing.share_lb - old.concrete_lb) / concrete_lb),
    )


def counts(context: LineContext, anchor: NewAnchor) -> tuple[dict[Footing, int], dict[int, int]]:
    """New anchors in each footing, and those a sill piece needs besides (piece number → count)."""
    return context.once(("counts", anchor.connector.key), lambda: _counts(context, anchor))


def _counts(context: LineContext, anchor: NewAnchor) -> tuple[dict[Footing, int], dict[int, int]]:
    feet = footings(context)
    inside = {footing: needed(context, footing, anchor) for footing in feet}
    for number in range(1, len(context.line.panels) + 1):
        own = [footing for footing in feet if footing.panel == number]
        have = sum([inside[footing] + credit(context, footing).least for footing in own])
        if have < context.inputs.criteria.anchors_per_panel:
            longest = max(own, key=lambda footing: footing.length_ft)
            inside[longest] += context.inputs.criteria.anchors_per_panel - have
    extra = {}
    for number, piece in enumerate(context.line.sill_pieces, 1):
        new = sum([count for footing, count in inside.items() if footing.piece == number])
        extra[number] = max(0, piece_minimum(context, piece) - piece_credit(context, number) - new)
    return inside, extra
