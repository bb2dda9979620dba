"""The calculations, letter pages, printed from the steps of the frozen result. Nothing is typed or computed here.

Sections: C-A criteria and sources, C-D demand, C-F fasteners, C-L.<line> one a wall line, C-S summary.
"""

from __future__ import annotations

from typing import Any

from reports.documents import conventions, cover, demand_sheet, figures, printed_checks, schedule_rows, standing
from reports.drawings import load_path, wall_line
from reports.rendering import NotRenderable
from reports.sections import Section

TEMPLATES = "reports/documents/calculations/"


def sections(snapshot: dict[str, Any], subject: dict[str, Any] | None) -> list[Section]:
    """All sections in order; NotRenderable where no engineer has confirmed the criteria, or none is asked to."""
    stand = standing.of(snapshot)
    if not stand.shows_ratios:
        raise NotRenderable(f"There are no calculations to print: {stand.banner[:1].lower()}{stand.banner[1:]}.")
    lines = [_line(snapshot, label) for label in schedule_rows.labels(snapshot)]
    return [_criteria(snapshot, stand), _demand(snapshot), _fasteners(snapshot), *lines, _summary(snapshot, stand)]


def _section(name: str, sheet: str, title: str, context: dict[str, Any], drawings: dict[str, str]) -> Section:
    template = f"{TEMPLATES}{name.split('-')[0]}.html"
    return Section(name=name, sheet=sheet, title=title, template=template, context=context, drawings=drawings)


def _criteria(snapshot: dict[str, Any], stand: standing.Standing) -> Section:
    house, criteria = snapshot["house"], snapshot["criteria"]
    redundancy = criteria["redundancy"]
    rows = [
        ["Response modification R", f"{criteria['response_modification']:g}"],
        ["Importance factor", f"{criteria['importance']:g}"],
        ["Redundancy ρ", "from the bays" if redundancy is None else f"{redundancy:g}, given"],
        ["Load duration C_D", f"{criteria['load_duration']:g}"],
        ["Widest connector spacing", figures.length(criteria["maximum_connector_spacing_in"])],
        ["R of new panels under older stories", "accepted" if criteria["accepts_r_for_panels"] else "not accepted"],
        [
            "Link 0, floor sheathing and diaphragm",
            "accepted" if criteria["link_0_accepted"] else "recorded, not accepted",
        ],
        [
            "Panel pieces under 4 × 8 ft by the access opening",
            "accepted" if criteria.get("small_pieces_accepted") else "not accepted",
        ],
    ]
    if criteria["notes"]:
        rows.append(["Notes", criteria["notes"]])
    context = {
        "title": f"Calculations. {stand.title}",
        "safety": standing.SAFETY,
        "address": figures.address(house),
        "job": [
            ["Parcel number", house["parcel_number"]],
            ["Owner", house["client_name"]],
            ["Jurisdiction", snapshot["jurisdiction"]["name"]],
            [
                "Criteria by",
                f"{criteria['confirmed_by']}, {criteria['licence']}, {figures.day(criteria['confirmed_on'])}",
            ],
        ],
        "code": cover.code_basis(snapshot),
        "criteria": rows,
        "hazard": cover.earthquake_data(snapshot, stand),
        "basis": printed_checks.check_rows(snapshot["result"]["basis"]),
        "scope": printed_checks.check_rows(snapshot["result"]["scope"]),
        "open_links": [*stand.open_links, *stand.over],
        "remaining": list(stand.remaining),
        "conventions": conventions.rows(snapshot),
        "assumptions": list(snapshot["result"]["assumptions"]),
        "warnings": list(snapshot["result"]["warnings"]),
        "from_memory": list(snapshot["result"]["from_memory"]),
        "accepted": _accepted(snapshot["table_set"]),
        "sheets": [
            ["C-A", "Criteria, conventions, sources"],
            ["C-D", "Demand"],
            ["C-F", "Fasteners"],
            *([line_sheet(label), f"Wall line {label}"] for label in schedule_rows.labels(snapshot)),
            ["C-S", "Summary"],
        ],
    }
    return _section("criteria", "C-A", "Criteria, conventions, sources", context, {})


def _accepted(table_set: dict[str, str] | None) -> str:
    if table_set is None:
        return "Not yet accepted: nothing may be released for permit before that."
    return f"Accepted by {table_set['accepted_by']}, {table_set['licence']}, {figures.day(table_set['accepted_on'])}."


def line_sheet(label: str) -> str:
    """The sheet number of a wall line's calculation."""
    return f"C-L.{label.replace(' ', '')}"


def _demand(snapshot: dict[str, Any]) -> Section:
    check, plans = snapshot["result"]["demand"], demand_sheet.plans(snapshot)
    rows = printed_checks.check_rows(check)
    demand_sheet.headed(check, rows["steps"], schedule_rows.labels(snapshot))
    drawings = {f"mass-{number}": plan for number, plan in enumerate(plans.values())}
    context = {
        "check": rows,
        "loads": _loads(snapshot),
        "plans": [[name, direction] for name, direction in zip(drawings, plans, strict=True)],
        "shares": demand_sheet.shares(snapshot),
    }
    return _section("demand", "C-D", "Seismic demand", context, drawings)


def _loads(snapshot: dict[str, Any]) -> list[list[str]]:
    building = snapshot["inputs"]["building"]
    weights = building["unit_weights"]
    rows = [
        ["Roof", f"{weights['roof_psf']:g} psf"],
        ["Floor", f"{weights['floor_psf']:g} psf"],
        ["Partitions", f"{weights['partitions_psf']:g} psf"],
        ["Story walls", f"{weights['story_wall_psf']:g} psf"],
        ["Braced walls", f"{weights['braced_wall_psf']:g} psf"],
        ["Braced wall height", figures.length(building["braced_wall_height_ft"] * 12)],
        ["Floor depth", figures.length(building["floor_depth_ft"] * 12)],
        ["Story wall height", figures.length(building["story_wall_height_ft"] * 12)],
    ]
    rows += [
        [
            weight["label"].capitalize(),
            f"{weight['weight_lb']:,.0f} lb at ({weight['at_ft'][0]:g}, {weight['at_ft'][1]:g}) ft",
        ]
        for weight in building["point_weights"]
    ]
    return rows


def _fasteners(snapshot: dict[str, Any]) -> Section:
    checks = [printed_checks.check_rows(check) for check in snapshot["result"]["fasteners"]]
    return _section("fasteners", "C-F", "Fastener values", {"checks": checks}, {})


def _line(snapshot: dict[str, Any], label: str) -> Section:
    result, line = schedule_rows.line_result(snapshot, label), schedule_rows.line_inputs(snapshot, label)
    names = wall_line.connector_names(snapshot["inputs"]["catalogue"])
    context = {
        "label": label,
        "length": figures.length(wall_line.length_in(line)),
        "demand": figures.amount(result["demand_lb"], "lb"),
        "verdict": load_path.verdict(result),
        "links": [printed_checks.link_rows(link) for link in result["links"]],
        "found": [
            {
                "link": link["link"],
                "name": link["name"],
                **printed_checks.compared(link["check"]),
                "notes": [*link["check"]["notes"], *link["check"]["warnings"]],
                "check": printed_checks.check_rows(link["check"]) if link["check"]["steps"] else None,
            }
            for link in result["as_found"]
        ],
        "ledger": _ledger(result["ledger"]),
        "found_open": list(result["as_found_open"]),
        "options": [
            {
                "link": option["link"],
                "method": ": ".join(filter(None, (option["method"], names.get(option["connector"], "")))),
                "opens": " and ".join(_opened(option)),
                "px": figures.NOTHING if option["px_count"] is None else str(option["px_count"]),
                "count": str(option["count"])
                if option["feasible"] and option["count"] is not None
                else figures.NOTHING,
                "each": figures.amount(option["each_lb"], "lb"),
                "ratio": figures.ratio(option["ratio"]),
                "reason": option["reason"],
            }
            for option in result["options"]
        ],
        "set_up": printed_checks.check_rows(result["through_plate"]) if result["through_plate"] else None,
        "warnings": list(result["warnings"]),
        "mark": printed_checks.MEMORY_MARK,
    }
    drawings = {"load-path": load_path.draw(result)}
    return _section(f"line-{label}", line_sheet(label), f"Wall line {label}", context, drawings)


def _opened(option: dict[str, Any]) -> list[str]:
    opened = (("ceiling", option["opens_ceiling"]), ("outside", option["opens_outside"]))
    return [what for what, is_opened in opened if is_opened]


def _ledger(ledger: dict[str, Any] | None) -> dict[str, Any] | None:
    """The old bolts: what each brings or why it does not, and the ratios with and without them."""
    if ledger is None or not ledger["bolts"]:
        return None
    return {
        "check": printed_checks.check_rows(ledger["check"]),
        "bolts": printed_checks.part_table(ledger["bolts"], ledger["check"]),
    }


def _summary(snapshot: dict[str, Any], stand: standing.Standing) -> Section:
    links = list(dict.fromkeys(link["link"] for line in snapshot["result"]["lines"] for link in line["links"]))
    rows = []
    for result in snapshot["result"]["lines"]:
        by_link = {link["link"]: link["check"] for link in result["links"]}
        cells = []
        for link in links:
            check = by_link[link]
            short = {"recorded": "rec.", "not in the chain": figures.NOTHING, "not observed": "n. obs."}
            cells.append(
                figures.ratio(check["ratio"])
                if check["ratio"] is not None
                else short.get(check["status"], check["status"])
            )
        rows.append(
            {
                "label": result["label"],
                "demand": figures.amount(result["demand_lb"]),
                "cells": cells,
                "verdict": load_path.verdict(result),
                "sheet": line_sheet(result["label"]),
            }
        )
    context = {
        "links": links,
        "names": [[link["link"], link["name"]] for link in snapshot["result"]["lines"][0]["links"]],
        "rows": rows,
        "open_links": [*stand.open_links, *stand.over],
        "safety": standing.SAFETY,
    }
    return _section("summary", "C-S", "Summary", context, {})
