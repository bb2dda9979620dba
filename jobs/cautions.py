"""The usual safety cautions, with the same words on every paper and page. Nothing in the program overrides them.

They repeat what is common on such work; the employer's own safety programme and the law of the place go further.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

LEAD_PAINT_BANNED_YEAR = 1978
CRAWLSPACE_KINDS = ("cripple wall", "joists on the sill")


@dataclass(frozen=True, slots=True)
class Caution:
    key: str
    title: str
    text: str


def of(snapshot: dict[str, Any]) -> list[Caution]:
    """The cautions that this job calls for, in the order in which they are met on site."""
    house, lines = snapshot["house"], snapshot["inputs"]["lines"]
    found = [_lead(house), _asbestos(house)]
    if any(segment["kind"] in CRAWLSPACE_KINDS for line in lines for segment in line["segments"]):
        found.append(CRAWLSPACE)
    found += [ELECTRIC, GAS]
    if _drills_concrete(snapshot):
        found.append(SILICA)
    found.append(SHORING)
    return found


def _drills_concrete(snapshot: dict[str, Any]) -> bool:
    roles = {
        item["role"] for line in snapshot["result"]["schedule"]["lines"] for item in line["items"] if item["count"]
    }
    return bool(roles & {"sill anchors", "side connections", "tie-down anchors"})


def _lead(house: dict[str, Any]) -> Caution:
    year = house["year_built"]
    built = f"Built in {year}." if year else "Year built not known: treated as before 1978."
    if year and year >= LEAD_PAINT_BANNED_YEAR:
        rule = "After 1977 lead paint is unlikely; old timber or paint brought in is treated as lead until tested."
    else:
        rule = (
            "Treat every painted surface as lead until a test says otherwise. Certified firm and renovator, "
            "sheet and tape the work area, no dry sanding, no open flame, clean with a HEPA vacuum."
        )
    return Caution("lead", "Lead", f"{built} Test: {house['lead_test']}. {rule}")


def _asbestos(house: dict[str, Any]) -> Caution:
    return Caution(
        "asbestos",
        "Asbestos",
        f"Survey: {house['asbestos_test']}. Do not cut, scrape or drill plaster, texture, duct wrap, siding, "
        "floor tile or vermiculite before a survey says that it is clear. Damaged pipe or duct wrap in the work "
        "area: leave and call.",
    )


CRAWLSPACE = Caution(
    "crawlspace", "Crawlspace air",
    "A crawlspace can be a confined space. A competent person looks at air, exits, water and wiring before "
    "anyone goes in, and again when adhesive, solvent or an engine is used. Never alone: one person stays at the "
    "opening.",
)  # fmt: skip
ELECTRIC = Caution(
    "electric", "Electricity",
    "Find and mark open and hidden circuits before drilling or nailing. Ground-fault protection on every cord "
    "and lamp; no work on wet ground with live cords. Damaged wiring: stay away and call.",
)  # fmt: skip
GAS = Caution(
    "gas", "Gas",
    "Know where the shut-off is and keep a wrench there. Mark pipes before drilling or nailing; nothing is "
    "fastened to a pipe. Smell of gas: leave, no switches, call from outside.",
)  # fmt: skip
SILICA = Caution(
    "silica", "Silica dust",
    "Drilling concrete: shroud and dust collector with a filter of at least 99 %, holes cleaned with a HEPA "
    "vacuum, never blown or swept dry. Where the adhesive's instructions ask for another way of cleaning, ask "
    "before drilling.",
)  # fmt: skip
SHORING = Caution(
    "shoring", "Shoring",
    "Nothing that carries load is cut, lifted or taken out, and no soil is dug beside or under the footing, without "
    "shoring that the engineer has drawn or approved.",
)  # fmt: skip
