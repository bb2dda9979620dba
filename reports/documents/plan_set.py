"""The permit plan set: cover, wall-line plan, one elevation a line, details, schedule and notes. 24 × 36 in.

Sheet numbers are fixed and follow the wall line's own label (S2.A), so that a line added later renumbers nothing.
"""

from __future__ import annotations

from typing import Any

from reports.documents import cautions, cover, details, figures, notes, schedule_rows, standing, tolerance_table
from reports.drawings import load_path, plan_marks, wall_elevation, wall_line, wall_line_plan
from reports.sections import Section

PAGE = "24x36"
TEMPLATES = "reports/documents/plan_set/"
PLAN_FOUND, PLAN_NEW, DETAILS, SCHEDULE = "S1.0", "S1.1", "S3.0", "S4.0"
ELEVATION_WIDTH_IN, ELEVATION_HEIGHT_IN = 32.8, 12.6
SHEET_IN, PATH_IN, STAMPS_IN, ROW_IN, NOTE_ROW_IN, NOTE_LETTERS = 22.2, 8.3, 6.1, 0.24, 0.21, 85
PLAN_WIDTH_IN = 25.4
ZOOM = 1.3  # the set is read at half size too
ROWS_A_SHEET = 62


def sections(snapshot: dict[str, Any], subject: dict[str, Any] | None) -> list[Section]:
    """All sheets of the set in order. `subject` is not used: a plan set is about its whole design."""
    stand = standing.of(snapshot)
    lines = [_elevation(snapshot, label, stand) for label in schedule_rows.labels(snapshot)]
    plans = [_plan(snapshot, stand, new=new) for new in (False, True)]
    sheets = [*plans, *lines, *details.sections(snapshot, stand), *_schedule(snapshot, stand)]
    index = [["G1.0", "Cover"], *([sheet.sheet, sheet.title] for sheet in sheets)]
    return [cover.section(snapshot, stand, index), *sheets]


def line_sheet(label: str) -> str:
    """The sheet number of a wall line's elevation."""
    return f"S2.{label.replace(' ', '')}"


def common(stand: standing.Standing) -> dict[str, Any]:
    """What every sheet carries besides its own drawings."""
    return {"banner": stand.banner, "safety": standing.SAFETY}


def _sheet(name: str, sheet: str, title: str, context: dict[str, Any], drawings: dict[str, str]) -> Section:
    return Section(
        name=name,
        sheet=sheet,
        title=title,
        template=f"{TEMPLATES}{name.split('-')[0]}.html",
        context=context,
        drawings=drawings,
        page_size=PAGE,
    )


def _plan(snapshot: dict[str, Any], stand: standing.Standing, *, new: bool) -> Section:
    """The plan as found, or of the new work over it."""
    inputs = snapshot["inputs"]
    outline = inputs["building"]["floor_outline_ft"]
    rows = []
    for label in schedule_rows.labels(snapshot):
        line = schedule_rows.line_inputs(snapshot, label)
        anchors = line["existing_anchors"]
        panels = line["panels"]
        rows.append(
            {
                "label": label,
                "sheet": line_sheet(label),
                "side": wall_line.facing(line, outline),
                "length": figures.length(wall_line.length_in(line)),
                "kinds": ", ".join(dict.fromkeys(segment["kind"] for segment in line["segments"])),
                "zero": wall_line.zero_end_name(line),
                "panels": f"{len(panels)} ({figures.length(sum(p['to_ft'] - p['from_ft'] for p in panels) * 12)})"
                if panels
                else figures.NOTHING,
                "connectors": str(schedule_rows.total(snapshot, label, *wall_line.FLOOR_ROLES)),
                "anchors": f"{schedule_rows.total(snapshot, label, *wall_line.SILL_ROLES)} new, "
                f"{sum(a['accepted'] for a in anchors)} of {len(anchors)} existing counted",
                "found": f"{len(anchors)}, {sum(a['accepted'] for a in anchors)} of them counted",
                "tie_downs": str(schedule_rows.total(snapshot, label, "tie-downs")),
                "status": _line_status(schedule_rows.line_result(snapshot, label), stand),
            }
        )
    opening = inputs["access_opening_in"]
    context = common(stand) | {
        "new": new,
        "rows": rows,
        "access": figures.way_in(opening),
        "foundations": [{"label": line["label"], "text": notes.foundation(line)} for line in inputs["lines"]],
    }
    plan = wall_line_plan.draw(
        inputs,
        snapshot["result"]["schedule"],
        state="new" if new else "existing",
        paper_width_in=PLAN_WIDTH_IN,
        paper_height_in=SHEET_IN - 1.0 - ROW_IN * len(rows) * 1.15,
        zoom=ZOOM,
        sheets={label: line_sheet(label) for label in schedule_rows.labels(snapshot)},
    )
    legend = plan_marks.draw_legend(inputs, snapshot["result"]["schedule"], new=new, zoom=ZOOM)
    drawings = {"plan": plan, "legend": legend}
    if new:
        return _sheet("plan-new", PLAN_NEW, "Wall-line plan, new work", context, drawings)
    return _sheet("plan", PLAN_FOUND, "Wall-line plan, as found", context, drawings)


def _line_status(result: dict[str, Any], stand: standing.Standing) -> str:
    if result["open_links"]:
        return "open"
    if not stand.shows_ratios or result["weakest_ratio"] is None:
        return standing.link_status(result)
    return f"{figures.ratio(result['weakest_ratio'])} at link {result['weakest_link']}"


def _elevation(snapshot: dict[str, Any], label: str, stand: standing.Standing) -> Section:
    line, result = schedule_rows.line_inputs(snapshot, label), schedule_rows.line_result(snapshot, label)
    schedule = schedule_rows.line_schedule(snapshot, label)
    outline = snapshot["inputs"]["building"]["floor_outline_ft"]
    side = wall_line.facing(line, outline)
    context = common(stand) | {
        "caption": f"Wall line {label}, {side} side, seen from outside",
        "rows": schedule_rows.line_rows(snapshot, label, ratios=stand.shows_ratios),
        "ratios": stand.shows_ratios,
        "demand": figures.amount(result["demand_lb"], "lb") if stand.shows_ratios else "",
        "options": _options(snapshot, result, stand),
        "notes": notes.for_line(snapshot, label),
        "details": details.references(snapshot, label),
    }
    elevation = wall_elevation.draw(
        line,
        catalogue=snapshot["inputs"]["catalogue"],
        outline_ft=outline,
        seen_from="outside",
        paper_width_in=ELEVATION_WIDTH_IN,
        paper_height_in=_elevation_height_in(context),
        schedule=schedule,
        result=result,
        zoom=ZOOM,
    )
    drawings = {"elevation": elevation, "load-path": load_path.draw(result, ratios=stand.shows_ratios)}
    return _sheet(f"line-{label}", line_sheet(label), f"Wall line {label}, elevation and schedule", context, drawings)


def _elevation_height_in(context: dict[str, Any]) -> float:
    """What the schedule, the load path and the notes under it leave for the elevation, at least a third."""
    rows = sum(2 if len(row["note"]) + len(row["connector"]) > 75 else 1 for row in context["rows"])
    schedule_in = 1.8 + ROW_IN * (rows + len(context["options"]))
    note_rows = sum(1 + len(text) // NOTE_LETTERS for text in context["notes"])
    notes_in = STAMPS_IN + 1.2 + NOTE_ROW_IN * (note_rows + len(context["details"]))
    left_in = SHEET_IN - max(schedule_in, notes_in, PATH_IN)
    return min(ELEVATION_HEIGHT_IN, max(left_in, SHEET_IN / 3))


def _options(snapshot: dict[str, Any], result: dict[str, Any], stand: standing.Standing) -> list[dict[str, str]]:
    """The ways that were compared for floor to plate, with the reason where one can't be used."""
    names = wall_line.connector_names(snapshot["inputs"]["catalogue"])
    return [
        {
            "method": names.get(option["connector"], option["method"]),
            "count": str(option["count"]) if option["feasible"] else figures.NOTHING,
            "ratio": figures.ratio(option["ratio"]) if stand.shows_ratios and option["feasible"] else "",
            "ceiling": "opens the ceiling" if option["opens_ceiling"] else "",
            "reason": option["reason"],
        }
        for option in result["options"]
        if option["link"] == "1"
    ]


def _schedule(snapshot: dict[str, Any], stand: standing.Standing) -> list[Section]:
    rows = [
        row
        for label in schedule_rows.labels(snapshot)
        for row in schedule_rows.line_rows(snapshot, label, ratios=stand.shows_ratios)
    ]
    found = []
    for number, start in enumerate(range(0, max(len(rows), 1), ROWS_A_SHEET)):
        first = number == 0
        context = common(stand) | {
            "rows": rows[start : start + ROWS_A_SHEET],
            "ratios": stand.shows_ratios,
            "tolerances": tolerance_table.table(snapshot) if first else [],
            "notes": [{"title": title, "texts": texts} for title, texts in notes.general(snapshot)] if first else [],
            "cautions": [{"title": c.title, "text": c.text} for c in cautions.of(snapshot)] if first else [],
        }
        sheet = SCHEDULE if first else f"S4.{number}"
        title = "Connection schedule, tolerances, notes" if first else "Connection schedule, continued"
        found.append(_sheet(f"schedule-{number}" if number else "schedule", sheet, title, context, {}))
    return found
