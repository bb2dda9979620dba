"""The same chain as it stands today: old nails, accepted bolts, no panels. Nothing is credited that was not seen."""

from __future__ import annotations

from engineering.anchor_credit import counted, light_frame_shown, wood_value_lb
from engineering.clauses import LIGHT_FRAME_ANCHORS, TOENAIL_LIMIT, convention
from engineering.collectors import bare_floor, struts
from engineering.connector_values import LineContext
from engineering.errors import OutOfRange
from engineering.footings import unfit_foundation
from engineering.inputs import AsFoundNailing, ExistingAnchor
from engineering.link_checks import LINK_NAMES, open_link, outside_chain, reason_of, value_step, weighed
from engineering.plate_connectors import TOENAIL_LIMIT_PLF, link_name
from engineering.results import Check, LinkResult
from engineering.steps import step
from engineering.stitch_nailing import in_chain
from engineering.wall_panels import ON_SILL

NO_PANEL = "no panel was found"
FOUND = convention(10, "what was found counts once seen and accepted")


def links(context: LineContext) -> tuple[LinkResult, ...]:
    """Links 1 to 7b as found; a link with nothing in it is open."""
    checks = {
        "1": _nailing(context, "1"),
        "2": _nailing(context, "2") if in_chain(context) else outside_chain(LINK_NAMES["2"], "no two plates to pass"),
        "3": _drag(context),
        "4": outside_chain(LINK_NAMES["4"], ON_SILL) if context.on_sill else _no_panel("4"),
        "5": outside_chain(LINK_NAMES["5"], ON_SILL) if context.on_sill else _no_panel("5"),
        "6a": _anchors(context, "6a"),
        "6b": _anchors(context, "6b"),
        "7a": outside_chain(LINK_NAMES["7a"], NO_PANEL),
        "7b": outside_chain(LINK_NAMES["7b"], NO_PANEL),
    }
    names = {**LINK_NAMES, "1": link_name(context)}
    return tuple(LinkResult(link=link, name=names[link], check=check) for link, check in checks.items())


def _drag(context: LineContext) -> Check:
    name, bare = LINK_NAMES["3"], (*struts(context), *bare_floor(context)) if context.on_sill else ()
    if bare:
        return open_link(name, context.demand.demand_lb, "; ".join(bare))
    return outside_chain(name, "no panel to drag to")


def _no_panel(link: str) -> Check:
    return open_link(LINK_NAMES[link], None, NO_PANEL, unit="plf")


def _nailing(context: LineContext, link: str) -> Check:
    """Old nails at their spacing over the whole line; toenails not above 150 plf in SDC D to F."""
    name, demand_lb, length_ft = LINK_NAMES[link], context.demand.demand_lb, context.demand.length_ft
    found = [nailing for nailing in context.line.as_found if nailing.link == link]
    if not found:
        return open_link(name, demand_lb)
    valued: list[tuple[AsFoundNailing, int, float, Check]] = []
    refused: list[str] = []
    for nailing in found:
        try:
            valued.append((nailing, *_capacity_lb(context, nailing)))
        except OutOfRange as error:  # a short nail, a bright one in treated wood: it holds nothing that may be counted
            refused.append(f"{nailing.nail.name} as found counts as nothing ({reason_of(error)})")
    if refused:
        return open_link(name, demand_lb, "; ".join(refused))
    weakest, count, nails_lb, value = min(valued, key=lambda one: one[2])
    limit_lb = TOENAIL_LIMIT_PLF * length_ft if weakest.toenail and context.high_seismic else nails_lb
    capacity_lb = min(nails_lb, limit_lb)
    assert value.capacity is not None
    steps = (
        step("nails", "n", "12·L/s, rounded down, + 1", count, "nails", FOUND, L=length_ft, s=weakest.spacing_in),
        value_step("each_lb", value),
        step("nails_capacity_lb", "n·Z'", "n·Z'", nails_lb, "lb", FOUND, n=count, Z=value.capacity),
        step("limit_lb", "limit", "150 plf·L for toenails in SDC D to F", limit_lb, "lb", TOENAIL_LIMIT, L=length_ft),
        step("capacity_lb", "capacity", "the smaller", capacity_lb, "lb", FOUND),
    )
    return weighed(name, demand_lb, capacity_lb, clause=value.clause, steps=steps)


def _capacity_lb(context: LineContext, nailing: AsFoundNailing) -> tuple[int, float, Check]:
    count = int(12 * context.demand.length_ft / nailing.spacing_in + 1e-9) + 1
    if nailing.link == "2":
        value = context.values.between_plates(context.line, nailing.nail)
    elif nailing.toenail:
        value = context.values.toenail(context.line, nailing.nail)
    else:
        value = context.values.plate_to_rim(context.line, nailing.nail)
    assert value.capacity is not None
    return count, count * value.capacity, value


def _anchors(context: LineContext, link: str) -> Check:
    """Accepted old bolts on the whole line: wood side, or concrete side where the light-frame conditions are shown."""
    name, demand_lb, line = LINK_NAMES[link], context.demand.demand_lb, context.line
    if link == "6b" and (reason := unfit_foundation(line.foundation)):
        return open_link(name, demand_lb, reason)
    good = [anchor for anchor in line.existing_anchors if _counts(context, anchor, link)]
    if not good:
        return open_link(name, demand_lb, "no bolt that counts" if line.existing_anchors else "")
    capacity_lb = sum(wood_value_lb(context, anchor) for anchor in good)
    source = FOUND if link == "6a" else LIGHT_FRAME_ANCHORS
    steps = (
        step("bolts", "n", "accepted bolts that count on this side", len(good), "bolts", source),
        step("capacity_lb", "capacity", "sum of their values", capacity_lb, "lb", source, n=len(good)),
    )
    return weighed(name, demand_lb, capacity_lb, clause=str(source), steps=steps)


def _counts(context: LineContext, anchor: ExistingAnchor, link: str) -> bool:
    return not counted(context.line, anchor) and (link == "6a" or light_frame_shown(context.line, anchor)[0])
