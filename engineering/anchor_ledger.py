"""The ledger of a line's old bolts: what each counts for and why not, and the anchors' ratios with and without them."""

from __future__ import annotations

from engineering.anchor_credit import OldBolt, light_frame_steps, old_bolts
from engineering.connector_values import LineContext
from engineering.footings import SHARES, end_distance_in
from engineering.geometry_factor import NDS_END
from engineering.inputs import NOT_OBSERVED
from engineering.plate_washers import WASHER
from engineering.results import AnchorLedger, Check, Scalar, Step
from engineering.sources import Source
from engineering.steps import step

LEDGER = Source("Ledger of old bolts", "", "zero until accepted", "common practice")
CONCRETE = Source("Ledger of old bolts", "", "zero in the concrete until its conditions are shown", "common practice")


def ledger(context: LineContext, wood: tuple[Check, ...], concrete: tuple[Check, ...]) -> AnchorLedger | None:
    """Each old bolt with its place, whether it counts, its wood and concrete value [lb]; None where there is none.

    Ratios of links 6a and 6b by their parts `wood` and `concrete`, once with and once without the old bolts.
    """
    bolts = old_bolts(context)
    if not bolts:
        return None
    return AnchorLedger(check=_check(wood, concrete, bolts), bolts=context.surveyed("ledger bolts", _bolts))


def _bolts(context: LineContext) -> tuple[Check, ...]:
    return tuple(_bolt(context, bolt) for bolt in old_bolts(context))


def _bolt(context: LineContext, bolt: OldBolt) -> Check:
    anchor = bolt.anchor
    where = bolt.foot.name if bolt.foot else "outside the panels"
    steps = [
        step("place_ft", "x", "from the zero end", anchor.at_ft, "ft", LEDGER),
        step("diameter_in", "D", "as measured", anchor.diameter_in, "in", LEDGER),
        step("stands_in", "in", "panel and sill piece", where, "-", SHARES),
        step("accepted", "accepted", anchor.reason or "no reason given", anchor.accepted, "-", LEDGER),
        step("counts", "counts", bolt.why_not or "accepted, in its panel, off the sill's ends", not bolt.why_not, "-",
             LEDGER),
    ]  # fmt: skip
    if not bolt.why_not:
        steps += [
            step(
                "end_factor",
                "C_Δ",
                "end/(7·D), at most 1",
                bolt.end_factor,
                "-",
                NDS_END,
                D=anchor.diameter_in,
                end=end_distance_in(context.line, anchor.at_ft),
            ),
            *light_frame_steps(context.line, anchor),
        ]
    steps += [
        step("wood_lb", "Z'_wood", "credited on the wood side", bolt.wood_lb, "lb", LEDGER),
        step("concrete_lb", "Z'_concrete", bolt.why_no_concrete or "credited in the concrete", bolt.concrete_lb, "lb",
             CONCRETE),
    ]  # fmt: skip
    if bolt.washer_in is not None:
        steps.append(_washer_step(bolt))
    return Check(
        name=f"bolt at {anchor.at_ft:g} ft",
        status="recorded",
        capacity=bolt.wood_lb,
        steps=tuple(steps),
        notes=tuple(filter(None, (bolt.why_not, bolt.why_no_concrete))),
        warnings=(f"fit a {bolt.washer_in:g} in plate washer",) if bolt.washer_found and not bolt.why_not else (),
    )


def _washer_step(bolt: OldBolt) -> Step:
    found = bolt.anchor.washer_in
    return step("washer_in", "washer", "at least a, square, 0.229 in thick", found,
                "-" if found == NOT_OBSERVED else "in", WASHER, a=bolt.washer_in or 0.0)  # fmt: skip


def _check(wood: tuple[Check, ...], concrete: tuple[Check, ...], bolts: tuple[OldBolt, ...]) -> Check:
    """The line's anchors with and without the credit: highest ratio of its footings, "open" where one holds nothing."""
    steps = [
        step("bolts", "n_found", "old bolts found", len(bolts), "bolts", LEDGER),
        step("bolts_counted", "n_old", "that count", sum(not bolt.why_not for bolt in bolts), "bolts", LEDGER),
    ]
    for link, parts, credited in (
        ("6a", wood, [bolt.wood_lb for bolt in bolts]),
        ("6b", concrete, [bolt.concrete_lb for bolt in bolts]),
    ):
        credit_lb = sum(credited, 0.0)
        steps += [
            step(f"credit_{link}_lb", "credit", f"old bolts in link {link}", credit_lb, "lb", LEDGER),
            _ratio(f"ratio_{link}_with", f"{link}, old bolts counted", parts, counted=True),
            _ratio(f"ratio_{link}_without", f"{link}, new anchors alone", parts, counted=False),
        ]
    return Check(name="existing anchors", status="recorded", steps=tuple(steps))


def _ratio(key: str, symbol: str, parts: tuple[Check, ...], *, counted: bool) -> Step:
    """The highest ratio of a link's footings, the old bolts counted or not; "open" where one then holds nothing."""
    expression = "V/capacity" if counted else "V/(capacity − credit)"
    found = list[tuple[float, dict[str, Scalar]]]()
    for part in parts:
        credit_lb = 0.0 if counted else part.step("credit_lb").value
        assert isinstance(credit_lb, float)
        holds_lb = (part.capacity or 0.0) - credit_lb
        if part.demand is None or (part.ratio is None and counted) or holds_lb <= 1e-9:
            return step(key, symbol, expression, "open", "-", LEDGER)
        inputs: dict[str, Scalar] = {"V": part.demand, "capacity": part.capacity or 0.0}
        found.append((part.demand / holds_lb, inputs if counted else inputs | {"credit": credit_lb}))
    if not found:
        return step(key, symbol, expression, "open", "-", LEDGER)
    ratio, inputs = max(found, key=lambda one: one[0])
    return step(key, symbol, expression, ratio, "-", LEDGER, **inputs)
