"""The tolerance table in words: what engineering allows to differ with a log entry, and what stops the item."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any, Final

from engineering import exchange
from engineering.as_built_results import Tolerance
from engineering.inputs import HouseInputs
from engineering.results import HouseResult
from engineering.tolerances import tolerances
from reports.documents import figures
from reports.documents.schedule_rows import line_result
from reports.drawings import wall_line

ALONG: Final = "Floor-to-plate connector, along the wall"
EDGE_NAILS: Final = "Panel edge nails"
# Role and key of each of engineering's tolerances → what it is about, what is inside, what is outside.
WORDS: Final[dict[tuple[str, str], tuple[str, str, str]]] = {
    ("", "none_fewer"): ("All that is scheduled", "none fewer", "fewer"),
    ("", "as_scheduled"): ("All that is scheduled", "as named", "another connector, nail or finish"),
    ("", "inspected"): (
        "All that is scheduled",
        "inspected before cover where an inspection is due",
        "covered without it",
    ),
    ("floor to plate", "same_bay"): (ALONG, "anywhere in the same bay, clear of the stud", "another bay"),
    ("floor to plate", "maximum_spacing"): (ALONG, "up to {limit} to the next", "farther apart"),
    ("floor to plate", "across"): (
        "Through-plate screw, across the plates, {where}",
        "up to {limit} off the target line at the joist: {off} off in {depth} ({degrees}) when started on it",
        "more than that, or no wood felt at full depth",
    ),
    ("stitch nails", "same_bay"): ("Stitch nails", "anywhere in the connector's bay", "a split plate, or another bay"),
    ("panel edge nails", "nail_edge"): (EDGE_NAILS, "at least {limit} to edges", "less"),
    ("panel edge nails", "nails_apart"): (
        EDGE_NAILS,
        "spacing as scheduled or closer, down to {limit} apart",
        "wider, thinner or shorter nails; any sunk head at 4 in or closer",
    ),
    ("panel edge nails", "joint"): ("Panel joint", "on the stud drawn", "on another stud or off a stud"),
    ("panel edge nails", "panel_end"): ("Panel, either end", "up to {limit} from where it is drawn", "more than that"),
    ("block nails", "every_bay"): (
        "Blocks on a wide sill",
        "one with its nails in every bay of a panel",
        "a bay without, a split block",
    ),
    ("sill anchors", "same_bay"): (
        "Sill anchor",
        "same bay, same panel and sill piece",
        "another; reinforcement hit, cracked or crumbling concrete",
    ),
    ("sill anchors", "sill_end"): ("Sill anchor, {where}", "at least {limit} from the piece's end", "less"),
    ("sill anchors", "concrete_edge"): ("Sill anchor, {where}", "at least {limit} to the concrete's edge", "less"),
    ("sill anchors", "embedment"): ("Sill anchor, {where}", "at least {limit} embedment", "less"),
    ("side connections", "same_piece"): (
        "Side connection",
        "same panel and sill piece",
        "another; reinforcement hit, cracked or crumbling concrete",
    ),
    ("side connections", "sill_end"): ("Side connection, {where}", "at least {limit} from the piece's end", "less"),
    ("side connections", "concrete_edge"): (
        "Side connection, {where}",
        "at least {limit} to the concrete's edge",
        "less",
    ),
    ("side connections", "embedment"): ("Side connection, {where}", "at least {limit} embedment", "less"),
    ("tie-downs", "rod"): (
        "Tie-down rod",
        "up to {limit} from its place toward the panel's middle, plumb, nut fully on",
        "more than that, toward the panel's end, a bent rod, a post other than drawn",
    ),
}


def table(
    snapshot: dict[str, Any], *, roles: Collection[str] | None = None, labels: Collection[str] | None = None
) -> list[dict[str, str]]:
    """Item, what may differ with a log entry only, what stops the item and goes to the engineer.

    Of these roles and wall lines only, where they are given; "" is what holds for every role.
    """
    inputs = exchange.loads(HouseInputs, snapshot["inputs"])
    found = tuple(
        one
        for one in tolerances(inputs, exchange.loads(HouseResult, snapshot["result"]))
        if (roles is None or one.role in roles) and (labels is None or not one.line or one.line in labels)
    )
    rows: dict[str, tuple[list[str], list[str]]] = {}
    for item, inside, outside in _worded(snapshot, found):
        allowed, stops = rows.setdefault(item, ([], []))
        allowed.append(inside)
        stops += [outside] if outside not in stops else []
    return [
        {"item": item, "inside": "; ".join(allowed), "outside": "; ".join(stops)}
        for item, (allowed, stops) in rows.items()
    ]


def _worded(snapshot: dict[str, Any], found: tuple[Tolerance, ...]) -> list[tuple[str, str, str]]:
    """Each tolerance in its words; lines whose screws have the same limits in one."""
    names = wall_line.connector_names(snapshot["inputs"]["catalogue"])
    lines: dict[tuple[str, str, str], list[str]] = {}
    for one in found:
        item, inside, outside = WORDS[one.role, one.key]
        inside = inside.format(limit=_limit(one), **(_set_up(snapshot, one.line) if one.line else {}))
        place = item if one.line else item.format(where=names.get(one.connector, one.connector))
        lines.setdefault((place, inside, outside), []).extend([one.line] if one.line else [])
    return [
        (item.format(where=f"lines {', '.join(of)}") if of else item, inside, outside)
        for (item, inside, outside), of in lines.items()
    ]


def _limit(one: Tolerance) -> str:
    return "" if one.limit is None else figures.length(one.limit) if one.unit == "in" else f"{one.limit:g}"


def _set_up(snapshot: dict[str, Any], label: str) -> dict[str, str]:
    """What the screw's set-up says of its tolerance at the drill."""
    values = {step["key"]: step["value"] for step in line_result(snapshot, label)["through_plate"]["steps"]}
    return {
        "off": figures.length(values["max_off_in"]),
        "depth": figures.length(values["drilled_depth_in"]),
        "degrees": f"{values['max_out_of_plumb_deg']:.1f}°",
    }
