"""What the papers must say, read back from the PDFs of the sample house. Keys as in requirements.csv."""

from __future__ import annotations

import re
from functools import cache

import pytest

from reports.documents import inspection_checklist, plan_set, work_order
from reports.rendering import render_section
from tests.reports import snapshots
from tests.reports.papers import text_of

COVER, SCHEDULE, LINE_A, NEW_WORK = "plan G1.0", "plan S4.0", "plan S2.A", "plan S1.1"
CHECKLIST, ORDER, DETAILS = "checklist", "work order", "plan S3"
SAID: dict[str, tuple[str, tuple[str, ...]]] = {
    "P-06": (SCHEDULE, ("Approved plans on site",)),
    "P-20": (COVER, ("Standards IEBC", "ASCE 7", "Earthquake force runs from", "Outside this work")),
    "P-21": (COVER, ("Legal basis voluntary", "Force level full, factor 1")),
    "P-22": (COVER, ("lowers the risk", "not bring the house to the standard of a new building")),
    "P-25": (COVER, ("Force level full, factor 1 on the horizontal effect",)),
    "P-26": (COVER, ("Deferred submittals none",)),
    "P-30": (COVER, ("14 Sample Street", "Parcel number 000-000-014", "Zoning R1", "Owner Sample Owner",
                     "Owner's address 14 Sample Street", "Owner's telephone 000-555-0100",
                     "Contractor Sample Retrofit")),
    "P-31": (COVER, ("Occupancy group R-3", "Construction type V-B", "1,120 sq ft", "edition", "S4.0")),
    "P-32": (COVER, ("Lot, block and tract Lot 7, Block 3, Tract 000",)),
    "P-34": (COVER, ("Contractor's licence C 000000", "Civil C 00000")),
    "P-41": (NEW_WORK, ("access", "sill anchor", "tie-down")),
    "P-43": (SCHEDULE, ("1/2 in sill anchor, 4 in embedment", "end-post tie-down", "every fastener that their report")),
    "P-44": (SCHEDULE, ("3/8 in from panel edges and 3/8 in from the edge of the framing", "Heads flush",
                        "round hole of 2 to 3 in", "Fasteners into treated wood")),
    "P-45": (SCHEDULE, ("Inspection and testing",)),
    "P-46": (SCHEDULE, ("concrete, 2,500 psi (two cores)",)),
    "P-54": (CHECKLIST, ("The owner chooses the inspector and pays",)),
    "I-01": (CHECKLIST, ("Work stays open until this stage is passed",)),
    "I-02": (CHECKLIST, ("inspection card",)),
    "I-05": (CHECKLIST, ("besides the building department's own inspection and does not take its place",)),
    "I-B": (CHECKLIST, ("Inspection B: Anchors in existing concrete", "before panels hide them")),
    "I-C": (CHECKLIST, ("Inspection C: Blocking, connectors, stitch nails", "before panels or insulation")),
    "I-D": (CHECKLIST, ("Inspection D: Tie-downs", "before cover")),
    "I-E": (CHECKLIST, ("Inspection E: Panel nailing", "before any cover")),
    "I-F": (CHECKLIST, ("Special inspector's final report", "discrepancies")),
    "I-G": (CHECKLIST, ("Inspection G: Final", "Vents and panel holes open", "Photos from the same places")),
    "I-10": (CHECKLIST, ("Nuts snug, after any adhesive has cured",)),
    "I-12": (CHECKLIST, ("Plate washer between nut and sill at least 3 × 3 × 0.229",)),
    "I-14": (CHECKLIST, ("Washer edge to the sheathed edge of the sill at most 1/2″",)),
    "I-15": (CHECKLIST, ("Distance to the end of the sill piece", "3 1/2″ and 12″")),
    "I-16": (CHECKLIST, ("Embedment at least 4″", "1/2 in sill anchor, 4 in embedment")),
    "I-17": (CHECKLIST, ("thread flush with the nut or beyond",)),
    "I-19": (CHECKLIST, ("Powder-driven fasteners in place of anchors",)),
    "I-21": (SCHEDULE, ("Heads flush with the face, neither proud nor sunk",)),
    "I-22": (CHECKLIST, ("heads sunk below the face",)),
    "I-24": (CHECKLIST, ("Nails to panel edges at least 3/8″",)),
    "I-25": (CHECKLIST, ("8d nails: penetration into framing at least 1 3/8″",)),
    "I-26": (CHECKLIST, ("edge nails, all edges of every piece spacing at most 4″",)),
    "I-27": (CHECKLIST, ("Clipped heads, or nails thinner or shorter than named",)),
    "I-28": (CHECKLIST, ("Nails beside a joint without framing behind",)),
    "I-29": (CHECKLIST, ("nuts tightened again before cover",)),
    "I-30": (CHECKLIST, ("every hole that the report", "end-post tie-down")),
    "I-31": (CHECKLIST, ("grade and thickness on the stamp",)),
    "I-32": (CHECKLIST, ("joints on studs at",)),
    "I-41": (CHECKLIST, ("Product and lot", "Drilling method, bit size read", "Hole cleaning method",
                         "Hole, diameter")),
    "I-43": (CHECKLIST, ("Torque or pull required; share of anchors tested", "Torque or pull reached",
                         "Gauge or wrench id; calibration date")),
    "W-4.1": (ORDER, ("Lead. Built in 1948", "Certified firm and renovator")),
    "W-4.2": (ORDER, ("Asbestos. Survey: not tested",)),
    "W-4.3": (ORDER, ("shroud and dust collector with a filter of at least 99 %", "HEPA vacuum")),
    "W-4.4": (ORDER, ("confined space", "A competent person looks at air")),
    "W-4.5": (ORDER, ("Find and mark open and hidden circuits", "Ground-fault protection")),
    "W-4.5b": (ORDER, ("Know where the shut-off is",)),
    "W-4.6": (ORDER, ("without shoring that the engineer has drawn or approved",)),
    "W-6-head": (ORDER, ("J-0001", "14 Sample Street")),
    "W-6-scope": (ORDER, ("Wall", "Hold")),
    "W-6-layout": (ORDER, ("Bay",)),
    "W-6-materials": (ORDER, ("through-plate screw 0.242 × 6 in", "Count")),
    "W-6-sign": (ORDER, ("signature",)),
}  # fmt: skip


@cache
def _papers() -> dict[str, str]:
    snapshot = snapshots.snapshot()
    found = {f"plan {one.sheet}": _words(one) for one in plan_set.sections(snapshot, None)}
    found[CHECKLIST] = " ".join(_words(one) for one in inspection_checklist.sections(snapshot, None))
    found[ORDER] = " ".join(_words(one) for one in work_order.sections(snapshot, snapshots.subject()))
    return found


def _words(section) -> str:
    return re.sub(r"\s+", " ", text_of(render_section(section), raw=True))


@pytest.mark.parametrize("key", SAID)
def test_the_paper_says_it(key):
    paper, words = SAID[key]
    missing = [one for one in words if re.sub(r"\s+", " ", one) not in _papers()[paper]]
    assert not missing, f"{paper}: {missing}"
