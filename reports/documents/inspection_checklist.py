"""The inspection checklist, letter pages: the job's inspections, then one section a stage with measurable lines.

A line says what to look at, by what criterion, what is required, and leaves room for what was measured. Design values
come before the general ones. Stages: B anchors, C blocking and connectors, D tie-downs, E panel nailing, F the special
inspector's final report, G final. Nobody here builds a new footing, so there is no stage A.
"""

from __future__ import annotations

from typing import Any

from engineering import panel_to_sill, sill_anchors, stitch_nailing, tie_downs, wall_panels
from reports.documents import anchor_record, checklist_lines, figures, notes, schedule_rows, standing, tolerance_table
from reports.drawings import wall_line
from reports.sections import Section

TEMPLATES = "reports/documents/inspection_checklist/"
STAGES = {
    "B": ("Anchors in existing concrete", "before panels hide them; special inspection while they are drilled and set"),
    "C": ("Blocking, connectors, stitch nails", "before panels or insulation"),
    "D": ("Tie-downs", "before cover"),
    "E": ("Panel nailing", "before any cover; inside and outside faces each by themselves"),
    "F": ("Special inspector's final report", "before the final inspection"),
    "G": ("Final", "when all stages above are passed"),
}
ROLES = {  # whose tolerances a stage needs
    "B": (*sill_anchors.KINDS, tie_downs.ANCHOR_ROLE),
    "C": (*wall_line.PLATE_ROLES, stitch_nailing.ROLE, panel_to_sill.ROLE),
    "D": (tie_downs.ROLE,),
    "E": (wall_panels.ROLE,),
}
WHOLE_HOUSE = {"F": checklist_lines.inspector_report, "G": checklist_lines.final}
RULES = (
    "Nothing is covered, and no work goes on past a stage, before that stage is passed.",
    "Who calls the inspection provides the way in, a clear path, light and the means to see and measure.",
    "The approved plans, the permit and the inspection record card are on site until the final approval.",
    "What is rejected stays open until it has been corrected and seen again.",
    "Special inspection comes besides the building department's own and does not take its place.",
    "The engineer of record answers what differs from the plans; nothing is changed on site without the answer.",
)


def sections(snapshot: dict[str, Any], subject: dict[str, Any] | None) -> list[Section]:
    """The job's inspections on one page, then each stage that has a line in this job; the final one always."""
    special = notes.special_inspections(snapshot)
    stages = {stage: groups for stage in STAGES if (groups := stage_lines(snapshot, stage))}
    found = [_overview(snapshot, list(stages), special)]
    for stage, groups in stages.items():
        found.append(_stage(snapshot, stage, groups, [row for row in special if row["stage"] == stage]))
        if stage == "B" and (records := anchor_record.records(snapshot)):
            found.append(_record(snapshot, records))
    return found


def _head(snapshot: dict[str, Any]) -> dict[str, Any]:
    """What every page of the checklist says of the job."""
    return {
        "address": snapshot["house"]["address"],
        "job": snapshot["job"]["number"],
        "banner": standing.of(snapshot).banner,
        "safety": standing.SAFETY,
    }


def _overview(snapshot: dict[str, Any], stages: list[str], special: list[dict[str, str]]) -> Section:
    house, criteria, code = snapshot["house"], snapshot["criteria"], snapshot["jurisdiction"]
    engineer = f"{criteria['confirmed_by']}, {criteria['licence']}" if criteria["confirmed_by"] else "not named yet"
    return Section(
        name="inspections",
        sheet="I-0",
        title="Inspections of this job",
        template=f"{TEMPLATES}overview.html",
        context=_head(snapshot)
        | {
            "facts": [
                ["Site", figures.address(house)],
                ["Building department", f"{code['name']}; {code['code_title']}"],
                ["Contractor", snapshot["job"]["company"]["name"]],
                ["Engineer of record", engineer],
            ],
            "stages": [
                {"sheet": f"I-{stage}", "title": STAGES[stage][0], "when": STAGES[stage][1],
                 "how": _how(special, stage)}
                for stage in stages
            ],
            "special": special,
            "rules": RULES,
        },
    )  # fmt: skip


def _how(special: list[dict[str, str]], stage: str) -> str:
    """How the special inspector watches a stage: the stricter word where its work differs."""
    words = {row["how"].split(",")[0] for row in special if row["stage"] == stage}
    if stage == "F":
        return "its report"
    return "continuous" if "continuous" in words else "periodic" if words else "none"


def _stage(
    snapshot: dict[str, Any], stage: str, groups: list[dict[str, Any]], special: list[dict[str, str]]
) -> Section:
    title, when = STAGES[stage]
    tolerances = tolerance_table.table(snapshot, roles=ROLES[stage]) if stage in ROLES else []
    return Section(
        name=f"stage-{stage.lower()}",
        sheet=f"I-{stage}",
        title=f"Inspection {stage}: {title}",
        template=f"{TEMPLATES}stage.html",
        context=_head(snapshot)
        | {
            "stage": stage,
            "title": title,
            "when": when,
            "groups": groups,
            "special": special,
            "tolerances": tolerances,
            "on_whole_house": stage in WHOLE_HOUSE,
            "correction_rows": list(range(1, 9 if stage in WHOLE_HOUSE else 4)),
        },
    )


def _record(snapshot: dict[str, Any], records: list[dict[str, Any]]) -> Section:
    return Section(
        name="stage-b-record",
        sheet="I-B.1",
        title="Inspection B: special inspection record of anchors",
        template=f"{TEMPLATES}anchor_record.html",
        context=_head(snapshot) | {"records": records},
    )


def stage_lines(snapshot: dict[str, Any], stage: str) -> list[dict[str, Any]]:
    """The lines of a stage (text, criterion, required): counts by wall line, then what holds for every piece."""
    if stage in WHOLE_HOUSE:
        lines = WHOLE_HOUSE[stage](snapshot)
        return [{"title": "Whole house", "lines": lines}] if lines else []
    by_line, general = {
        "B": (checklist_lines.anchors, checklist_lines.every_anchor),
        "C": (checklist_lines.connectors, checklist_lines.every_connector),
        "D": (checklist_lines.held_down, checklist_lines.every_tie_down),
        "E": (checklist_lines.nailing, checklist_lines.every_nail),
    }[stage]
    groups = [
        {"title": f"Wall line {label}", "label": label, "lines": lines}
        for label in schedule_rows.labels(snapshot)
        if (lines := by_line(snapshot, label))
    ]
    return [*groups, *general(snapshot)] if groups else []
