"""Link 0, the floor's sheathing and its nailing to the rim beside the line: recorded with its demand, never computed.

The engineer accepts it by name, or the prescriptive chapter waives it where that chapter is the legal basis: what its
A304 waives goes with its own schedule of anchors and panels, not with forces computed under A301.3.
"""

from __future__ import annotations

from typing import Final

from engineering.clauses import convention
from engineering.connector_values import FloorForce, LineContext
from engineering.inputs import LegalBasis
from engineering.link_checks import LINK_NAMES, NOT_ACCEPTED
from engineering.results import Check, LinkResult, Step
from engineering.sources import Source
from engineering.steps import step

CHAPTER: Final[LegalBasis] = "appendix A3 prescriptive"
RIM_READ: Final = "https://online.flipbuilder.com/mewf/quir/files/basic-html/page123.html"
RIM_WAIVER: Final = {
    "perpendicular": {
        "2021": Source("IEBC", "2021", "A304.1.3", RIM_READ),
        "2024": Source("IEBC", "2024", "A304.1.3"),
    },
    "parallel": {"2021": Source("IEBC", "2021", "A304.1.4"), "2024": Source("IEBC", "2024", "A304.1.4")},
}
STORY, DIAPHRAGM = convention(9, "diaphragm shear even over the line"), convention(9, "F_px beside the story shear")
NOT_COMPUTED: Final = "no value is taken for the floor's sheathing, its nailing to the rim, nor its chords"


def waiver(context: LineContext) -> Source | None:
    """The clause by which this link need not be looked at here; None where the engineer has to.

    Under the prescriptive chapter the top edge of a rim joist or of blocks need not be verified, whatever the number
    of stories; there has to be a rim or blocks, and someone who saw it.
    """
    framing, criteria = context.line.framing, context.inputs.criteria
    if criteria.legal_basis != CHAPTER or framing.floor_edge in ("nothing", "not observed"):
        return None
    return RIM_WAIVER[framing.joists][criteria.code_family]


def check(context: LineContext) -> LinkResult:
    """Link 0: the largest shear per foot that enters the line, by the force that governs and by F_px. [plf]"""
    line = context.line
    story_plf, px_plf = context.local_demand_plf("story shear"), context.local_demand_plf("F_px")
    steps = [
        _step(context, "story shear", "demand_plf", "v", STORY),
        _step(context, "F_px", "demand_px_plf", "v_px", DIAPHRAGM),
    ]
    notes = [f"floor sheathing: {line.floor_sheathing}", NOT_COMPUTED]
    accepted, waived = line.link_0_accepted_by, waiver(context)
    if accepted:
        notes.append(f"accepted by {accepted}")
    elif waived:
        notes.append(f"waived by {waived}: the top edge of rim or blocks need not be verified")
        steps.append(step("waived", "waived", "top edge of rim or blocks", True, "-", waived))
    recorded = Check(
        name=LINK_NAMES["0"],
        status="recorded",
        demand=px_plf if context.floor_force == "F_px" else story_plf,
        unit="plf",
        clause=str(waived) if waived and not accepted else "",
        steps=tuple(steps),
        notes=tuple(notes),
        warnings=() if accepted or waived else (NOT_ACCEPTED,),
    )
    return LinkResult(link="0", name=LINK_NAMES["0"], check=recorded)


def _step(context: LineContext, by: FloorForce, key: str, symbol: str, source: Source) -> Step:
    from_ft, to_ft, plf = max(context.delivered(by), key=lambda part: part[2])
    return step(key, symbol, "V/L where it is largest along the line", plf, "plf", source,
                V=plf * (to_ft - from_ft), L=to_ft - from_ft)  # fmt: skip
