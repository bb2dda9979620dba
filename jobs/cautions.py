"""The usual safety cautions, with the same words on every paper and page. Nothing in the program overrides them.

They repeat what is common on such work; the employer's own safety programme and the law of the place go further.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from jobs.hold_points import ANCHOR_ROLES

LEAD_PAINT_BANNED_YEAR = 1978
LEAD_SQ_FT_A_ROOM, LEAD_SQ_FT_OUTSIDE = 6, 20  # up to these a job is minor repair
CRAWLSPACE_KINDS = ("cripple wall", "joists on the sill")


@dataclass(frozen=True, slots=True)
class Caution:
    """`asks`: what the crew writes down beside it before the first task; nobody has recorded that yet."""

    key: str
    title: str
    text: str
    asks: tuple[str, ...] = ()


def of(snapshot: dict[str, Any]) -> list[Caution]:
    """The cautions that this job calls for, in the order in which they are met on site."""
    house, lines = snapshot["house"], snapshot["inputs"]["lines"]
    found = [_lead(house), _asbestos(house)]
    if any(segment["kind"] in CRAWLSPACE_KINDS for line in lines for segment in line["segments"]):
        found.append(CRAWLSPACE)
    found += [ELECTRIC, GAS]
    drilled = _drilled_in(snapshot)
    if drilled:
        found.append(SILICA)
    if any(one["adhesive"] and one["key"] in drilled for one in snapshot["inputs"]["catalogue"]["evaluated"]):
        found.append(ADHESIVE)
    found.append(SHORING)
    return found


def _drilled_in(snapshot: dict[str, Any]) -> set[str]:
    """The connectors that are set in drilled concrete."""
    return {
        item["connector"]
        for line in snapshot["result"]["schedule"]["lines"]
        for item in line["items"]
        if item["count"] and item["role"] in ANCHOR_ROLES
    }


def _lead(house: dict[str, Any]) -> Caution:
    year = house["year_built"]
    built = f"Built in {year}." if year else "Year built not known: treated as before 1978."
    if year and year >= LEAD_PAINT_BANNED_YEAR:
        rule = "After 1977 lead paint is unlikely; old timber or paint brought in is treated as lead until tested."
        return Caution("lead", "Lead", f"{built} Test: {house['lead_test']}. {rule}")
    rule = (
        "Treat every painted surface as lead until a test says otherwise. Certified firm and renovator, pamphlet given "
        f"first, where over {LEAD_SQ_FT_A_ROOM} sq ft of paint in a room or {LEAD_SQ_FT_OUTSIDE} sq ft outside is "
        "disturbed, pieces taken off counted whole. Sheet and tape the work area, no dry sanding, no open flame, clean "
        "with a HEPA vacuum."
    )
    asks = (
        "Firm's certificate, number and state",
        "Certified renovator",
        "Painted area disturbed, by room, sq ft",
        "Outside, sq ft; pamphlet given on",
    )
    return Caution("lead", "Lead", f"{built} Test: {house['lead_test']}. {rule}", asks)


def _asbestos(house: dict[str, Any]) -> Caution:
    return Caution(
        "asbestos",
        "Asbestos",
        f"Survey: {house['asbestos_test']}. Do not cut, scrape or drill plaster, texture, duct wrap, siding, "
        "floor tile or vermiculite before a survey says that it is clear. Damaged pipe or duct wrap in the work "
        "area: leave and call.",
        ("Survey on, by (certificate)", "Materials looked at, result", "Copy on site, seen by"),
    )


CRAWLSPACE = Caution(
    "crawlspace", "Crawlspace air",
    "A crawlspace can be a confined space. A competent person looks at air, exits, water and wiring before "
    "anyone goes in and says what it is; again when a way out or the air changes, or adhesive, solvent or an engine is "
    "used. A permit space needs its written permit and trained people. Never alone: one person stays at the opening.",
    (
        "Competent person",
        "☐ not confined ☐ confined ☐ permit space",
        "Air tested at (time), found",
        "Looked at again at (time), why",
    ),
)  # fmt: skip
ELECTRIC = Caution(
    "electric", "Electricity",
    "Find and mark open and hidden circuits before drilling or nailing. Ground-fault protection on every cord "
    "and lamp; cords and tools looked at each day; no work on wet ground with live cords. Damaged wiring: stay away "
    "and call.",
    ("Circuits found and marked by", "Ground-fault protection tried by", "Cords and tools looked at by"),
)  # fmt: skip
GAS = Caution(
    "gas", "Gas",
    "Know where the shut-off is and keep a wrench there. Mark pipes before drilling or nailing; nothing is "
    "fastened to a pipe. Smell of gas: leave, no switches, call from outside.",
    ("Gas shut-off is at", "Water shut-off is at", "Pipes and ducts marked by"),
)  # fmt: skip
SILICA = Caution(
    "silica", "Silica dust",
    "Drilling concrete: shroud and dust collector with a filter of at least 99 %, holes cleaned with a HEPA "
    "vacuum, never blown or swept dry. Where the adhesive's instructions ask for another way of cleaning, ask "
    "before drilling. Sawing concrete: water on the blade, and a respirator of factor 10, under a house from the "
    "start, outdoors beyond 4 hours. Chipping: ask first.",
    (
        "Competent person",
        "Tool, shroud, collector",
        "Hours drilled today; limits change at 4",
        "Way of cleaning agreed: one that suits both",
    ),
)  # fmt: skip
ADHESIVE = Caution(
    "adhesive", "Adhesive",
    "Uncured resin harms skin, eyes and airways, and an allergy stays. Gloves that its data sheet names, air moving, a "
    "place to wash. Don't cut, sand or burn cured resin. Under a house it changes the air: have that looked at again.",
    ("Safety data sheet on site, seen by", "Gloves, as it names them", "Place to wash is at"),
)  # fmt: skip
SHORING = Caution(
    "shoring", "Shoring",
    "Nothing that carries load is cut, lifted or taken out, and no soil is dug beside or under the footing, without "
    "shoring that the engineer has drawn or approved.",
)  # fmt: skip
