"""What may differ from the drawings with a log entry only, each with its limit and source. Not the wording."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from engineering import panel_to_sill, plate_connectors, sill_anchors, stitch_nailing, tie_downs, wall_panels
from engineering.as_built_results import Tolerance
from engineering.evaluated import report_source
from engineering.footings import END_DIAMETERS, PIECE_ENDS
from engineering.inputs import HouseInputs
from engineering.results import HouseResult
from engineering.sources import Source

PRACTICE: Final = Source("common practice, no source", "", "", "common practice")
NAIL_EDGE: Final = Source("AWC SDPWS", "2021", "4.3.7.1")
PANEL_NAILING: Final = Source("AWC SDPWS", "2021", "Table 4.3A")
ANY_ROLE: Final = ""

PANEL_END_IN: Final = 0.5
NAIL_TO_EDGE_IN: Final = 0.375
NAILS_APART_IN: Final = 2.0


def _rule(key: str, role: str, measured: str, source: Source, limit: float | None = None, unit: str = "-") -> Tolerance:
    return Tolerance(key=key, role=role, measured=measured, limit=limit, unit=unit, source=source)


NONE_FEWER: Final = _rule("none_fewer", ANY_ROLE, "fewer than scheduled", PRACTICE, 0.0)
AS_SCHEDULED: Final = _rule("as_scheduled", ANY_ROLE, "another connector, nail or finish than scheduled", PRACTICE)
INSPECTED: Final = _rule("inspected", ANY_ROLE, "inspection held before cover", PRACTICE)
SAME_BAY: Final = _rule("same_bay", plate_connectors.ROLE, "along the wall, in its stud bay, clear of studs", PRACTICE)
STITCH_BAY: Final = _rule("same_bay", stitch_nailing.ROLE, "along the wall, in its connector's bay", PRACTICE)
ANCHOR_BAY: Final = _rule("same_bay", sill_anchors.ROLE, "in its bay, panel and sill piece", PRACTICE)
SPACING: Final = _rule("maximum_spacing", plate_connectors.ROLE, "from one to the next", PRACTICE, unit="in")
ACROSS: Final = _rule("across", plate_connectors.ROLE, "off the target line, at the joist", PRACTICE, unit="in")
SIDE: Final = _rule("same_piece", sill_anchors.SIDE_ROLE, "along the wall, in its panel and sill piece", PRACTICE)
ANCHOR_END: Final = _rule("sill_end", sill_anchors.ROLE, "at least, to the end of the sill piece", PIECE_ENDS,
                          unit="in")  # fmt: skip
ANCHOR_EDGE: Final = _rule("concrete_edge", sill_anchors.ROLE, "at least, to the concrete's edge", PRACTICE, unit="in")
ANCHOR_DEPTH: Final = _rule("embedment", sill_anchors.ROLE, "at least, in the concrete", PRACTICE, unit="in")
EDGE_NAILS: Final = (
    _rule("nail_edge", wall_panels.ROLE, "at least, to edges of panel and framing", NAIL_EDGE, NAIL_TO_EDGE_IN, "in"),
    _rule("nails_apart", wall_panels.ROLE, "at least, from nail to nail", PANEL_NAILING, NAILS_APART_IN, "in"),
    _rule("joint", wall_panels.ROLE, "panel joint, on the stud drawn", PRACTICE),
    _rule("panel_end", wall_panels.ROLE, "either end of a panel from where it is drawn", PRACTICE, PANEL_END_IN, "in"),
)
NAILS_APART, PANEL_END = EDGE_NAILS[1], EDGE_NAILS[3]
ROD: Final = _rule("rod", tie_downs.ROLE, "rod from its place, toward the panel's middle", PRACTICE,
                   tie_downs.ROD_TOLERANCE_IN, "in")  # fmt: skip
BLOCKS: Final = _rule("every_bay", panel_to_sill.ROLE, "a block with its nails in every bay of a panel", PRACTICE)


def tolerances(inputs: HouseInputs, designed: HouseResult) -> tuple[Tolerance, ...]:
    """The tolerances of what this schedule holds; through-plate screws by line, sill anchors by connector.

    A screw's comes from its set-up check: what is left of its edge distance at the joist. [in]
    """
    found = {item.role for line in designed.schedule.lines for item in line.items}
    table = [NONE_FEWER, AS_SCHEDULED, INSPECTED]
    if plate_connectors.ROLE in found:
        table += [SAME_BAY, replace(SPACING, limit=inputs.criteria.maximum_connector_spacing_in)]
        table += [
            replace(ACROSS, limit=float(step.value), source=step.source, line=line.label)
            for line in designed.lines if line.through_plate is not None
            for step in line.through_plate.steps if step.key == "placing_tolerance_in"
        ]  # fmt: skip
    if stitch_nailing.ROLE in found:
        table.append(STITCH_BAY)
    if wall_panels.ROLE in found:
        table += EDGE_NAILS
    if panel_to_sill.ROLE in found:
        table.append(BLOCKS)
    if sill_anchors.ROLE in found:
        table += [ANCHOR_BAY, *_of_anchors(inputs, designed, sill_anchors.ROLE)]
    if sill_anchors.SIDE_ROLE in found:
        table += [SIDE, *_of_anchors(inputs, designed, sill_anchors.SIDE_ROLE)]
    if tie_downs.ROLE in found:
        table.append(ROD)
    return tuple(table)


def _of_anchors(inputs: HouseInputs, designed: HouseResult, role: str) -> list[Tolerance]:
    """End distance of the sill, edge and depth in the concrete, by each anchor's own size and report."""
    used = dict.fromkeys(
        item.connector for line in designed.schedule.lines for item in line.rows(role)
    )  # fmt: skip
    table = []
    for anchor in inputs.catalogue.evaluated:
        if anchor.key not in used:
            continue
        rule = replace(ANCHOR_END, role=role, connector=anchor.key)
        report = report_source(anchor)
        table.append(replace(rule, limit=END_DIAMETERS * anchor.diameter_in))
        if anchor.minimum_edge_in is not None:
            table.append(
                replace(ANCHOR_EDGE, role=role, limit=anchor.minimum_edge_in, source=report, connector=anchor.key)
            )
        if anchor.embedment_in is not None:
            table.append(
                replace(ANCHOR_DEPTH, role=role, limit=anchor.embedment_in, source=report, connector=anchor.key)
            )
    return table
