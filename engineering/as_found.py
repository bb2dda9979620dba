"""The same chain as it stands today: old nails, accepted bolts, no panels. Nothing is credited that was not seen."""

from __future__ import annotations

from engineering import collectors, floor_diaphragm, found_sheathing
from engineering.anchor_credit import counted, light_frame_shown, wood_value_lb
from engineering.clauses import LIGHT_FRAME_ANCHORS, TOENAIL_LIMIT, convention
from engineering.connector_values import LineContext
from engineering.errors import OutOfRange
from engineering.floor_edges import NOTHING
from engineering.floor_methods import TOENAIL_LIMIT_PLF
from engineering.footings import unfit_foundation
from engineering.inputs import ACCEPTED, SEEN, AsFoundNailing, ExistingAnchor
from engineering.link_checks import LINK_NAMES, open_link, outside_chain, reason_of, value_step, weighed
from engineering.panel_shares import ON_SILL
from engineering.plate_connectors import link_name
from engineering.results import Check, LinkResult
from engineering.steps import step
from engineering.stitch_nailing import in_chain

NO_PANEL, NO_DRAG = "no panel was found", "no panel to drag to"
NOTHING_THERE = "nothing stands on the plates between the joists: nothing holds them upright"
# By the prescriptive chapter, where it is the legal basis: a check of what exists, no value of it.
ONE_STORY = "one story: existing connections at the edges of rim or blocks need no check"
MORE_STORIES = "not seen; in more than one story the bottom edge of rim or blocks must be verified"
FOUND = convention(10, "what was found counts once seen and accepted")


def links(context: LineContext) -> tuple[LinkResult, ...]:
    """Links 1 to 7b as found; a link with nothing in it is open."""
    checks = {
        "1": _floor(context),
        "2": _nailing(context, "2", context.demand.demand_lb)
        if in_chain(context)
        else outside_chain(LINK_NAMES["2"], "no two plates to pass"),
        "3": _drag(context),
        "4": outside_chain(LINK_NAMES["4"], ON_SILL) if context.on_sill else found_sheathing.check(context),
        "5": outside_chain(LINK_NAMES["5"], ON_SILL) if context.on_sill else found_sheathing.bottom_edge(context),
        "6a": _anchors(context, "6a"),
        "6b": _anchors(context, "6b"),
        "7a": outside_chain(LINK_NAMES["7a"], NO_PANEL),
        "7b": outside_chain(LINK_NAMES["7b"], NO_PANEL),
    }
    names = {**LINK_NAMES, "1": link_name(context)}
    return tuple([LinkResult(link=link, name=names[link], check=check) for link, check in checks.items()])


def _drag(context: LineContext) -> Check:
    """No panel to drag to; where the joists bear on the sill the floor still has to reach a sill, without new nails."""
    return collectors.check(context, ()).check if context.on_sill else outside_chain(LINK_NAMES["3"], NO_DRAG)


def _floor(context: LineContext) -> Check:
    """Link 1 as found: old nails, none into joists that nothing holds; unseen ones 0 or waived by the chapter."""
    name, demand_lb = link_name(context), context.floor_demand_lb
    if context.line.framing.floor_edge == NOTHING:
        return open_link(name, demand_lb, NOTHING_THERE)
    clause = floor_diaphragm.waiver(context)
    if clause is None or any(nailing.link == "1" for nailing in context.line.as_found):
        return _nailing(context, "1", demand_lb)
    if context.inputs.building.upper_stories:
        return open_link(name, demand_lb, f"{MORE_STORIES} ({clause})")
    return Check(
        name=name, status="recorded", demand=demand_lb, clause=str(clause),
        steps=(step("waived", "waived", ONE_STORY, True, "-", clause),), notes=(f"waived by {clause}: {ONE_STORY}",),
    )  # fmt: skip


def _nailing(context: LineContext, link: str, demand_lb: float) -> Check:
    """Old nails at their spacing over the whole line; toenails not above 150 plf of local shear in SDC D to F.

    Nails that may not be counted (too short, bright in treated wood, straight ones that nobody saw) leave the link
    open with that reason.
    """
    name, length_ft = LINK_NAMES[link], context.length_ft
    found = [nailing for nailing in context.line.as_found if nailing.link == link]
    if not found:
        return open_link(name, demand_lb)
    valued: list[tuple[AsFoundNailing, int, float, Check]] = []
    refused: list[str] = []
    for nailing in found:
        try:
            valued.append((nailing, *_capacity_lb(context, nailing)))
        except OutOfRange as error:
            refused.append(f"{nailing.nail.name} as found counts as nothing ({reason_of(error)})")
    if refused:
        return open_link(name, demand_lb, "; ".join(refused))
    weakest, count, nails_lb, value = min(valued, key=lambda one: one[2])
    limited = weakest.toenail and context.high_seismic
    local_plf = context.local_demand_plf()
    limit_lb = TOENAIL_LIMIT_PLF * demand_lb / local_plf
    capacity_lb = min(nails_lb, limit_lb) if limited else nails_lb
    assert value.capacity is not None
    steps = [
        step("nails", "n", "12·L/s, rounded down, + 1", count, "nails", FOUND, L=length_ft, s=weakest.spacing_in),
        value_step("each_lb", value),
        step("nails_capacity_lb", "N", "n·Z'", nails_lb, "lb", FOUND, n=count, Z=value.capacity),
    ]
    if limited:
        steps.append(
            step("limit_lb", "limit", "v_max·V/v, toenails in SDC D to F, v the largest shear per foot", limit_lb, "lb",
                 TOENAIL_LIMIT, v_max=TOENAIL_LIMIT_PLF, V=demand_lb, v=local_plf)
        )  # fmt: skip
        steps.append(
            step("capacity_lb", "capacity", "min(N, limit)", capacity_lb, "lb", FOUND, N=nails_lb, limit=limit_lb)
        )
    else:
        steps.append(step("capacity_lb", "capacity", "N", capacity_lb, "lb", FOUND, N=nails_lb))
    notes = tuple(dict.fromkeys(_basis(nailing) for nailing in found))
    return weighed(name, demand_lb, capacity_lb, clause=value.clause, steps=tuple(steps), notes=notes)


def _basis(nailing: AsFoundNailing) -> str:
    """How the nails are known, in words for the sheet."""
    if nailing.basis == SEEN:
        return f"{nailing.nail.name}: {SEEN}"
    edition = nailing.basis.removeprefix(ACCEPTED)
    return f"{nailing.nail.name}: nailing of {edition}, accepted by {nailing.accepted_by}: {nailing.reason}"


def _capacity_lb(context: LineContext, nailing: AsFoundNailing) -> tuple[int, float, Check]:
    asked = ("as found nails", context.line.as_found.index(nailing))
    return context.surveyed(asked, lambda bare: _value_of(bare, nailing))


def _value_of(context: LineContext, nailing: AsFoundNailing) -> tuple[int, float, Check]:
    count = int(12 * context.length_ft / nailing.spacing_in + 1e-9) + 1
    if nailing.link == "2":
        value = context.values.between_plates(context.line, nailing.nail)
    elif nailing.toenail:
        value = context.values.toenail(context.line, nailing.nail)
    elif nailing.basis != SEEN:
        raise OutOfRange("as_found.basis", nailing.basis, "must be seen: straight nails from floor to plate")
    else:
        value = context.values.plate_to_rim(context.line, nailing.nail)
    assert value.capacity is not None
    return count, count * value.capacity, value


def _anchors(context: LineContext, link: str) -> Check:
    """Accepted old bolts on the whole line: wood side, or concrete side where the light-frame conditions are shown."""
    name, demand_lb, line = LINK_NAMES[link], context.demand.demand_lb, context.line
    if link == "6b" and (reason := unfit_foundation(line.foundation)):
        return open_link(name, demand_lb, reason)
    good = [one for one in _counted(context) if link == "6a" or light_frame_shown(line, one)[0]]
    if not good:
        return open_link(name, demand_lb, "no bolt that counts" if line.existing_anchors else "")
    asked = ("as found bolts", link)
    capacity_lb = context.surveyed(asked, lambda bare: sum(wood_value_lb(bare, anchor) for anchor in good))
    source = FOUND if link == "6a" else LIGHT_FRAME_ANCHORS
    steps = (
        step("bolts", "n", "accepted bolts that count on this side", len(good), "bolts", source),
        step("capacity_lb", "capacity", "sum of their values", capacity_lb, "lb", source, n=len(good)),
    )
    return weighed(name, demand_lb, capacity_lb, clause=str(source), steps=steps)


def _counted(context: LineContext) -> tuple[ExistingAnchor, ...]:
    line = context.line
    return context.surveyed(
        "counted bolts", lambda bare: tuple(one for one in line.existing_anchors if not counted(line, one))
    )
