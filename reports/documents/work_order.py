"""The crew's work order, letter pages: a front page for the day, then each wall seen from inside, bay by bay.

Cites the design that the title strip names; carries no prices and no client contact.
"""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from math import ceil
from typing import Any

from jobs import hold_points as jobs_hold_points
from reports.documents import (
    cautions,
    crew_day,
    details,
    figures,
    schedule_rows,
    standing,
    tolerance_table,
)
from reports.drawings import vent_holes, wall_elevation, wall_line
from reports.sections import Section

TEMPLATES = "reports/documents/work_order/"
# Roles with places along the wall, in the crew's words.
SHORT_WORDS = {
    "floor to plate": "connector",
    "blocking nails": "blocking nail",
    "stitch nails": "stitch nail",
    "splice nails each side": "plate lap",
    "plate straps": "plate strap",
    "strut splice": "strut splice",
    "sill anchors": "sill anchor",
    "side connections": "side connection",
    "tie-downs": "tie-down rod",
}
CORNER_IN = 3.0  # a stud nearer to the datum checks nothing
BAND_FT = 40.0  # of wall drawn in one strip across a letter page
BAND_WIDTH_IN, BAND_HEIGHT_IN = 7.1, 2.85  # the strips of one wall stand over each other
BAND_MARKS = 45  # places that one strip has room to dimension in one row


def sections(snapshot: dict[str, Any], subject: dict[str, Any] | None) -> list[Section]:
    """The front page and one section a wall. `subject`: number, day, crew, lead, wall_lines (labels).

    ValueError without a subject; KeyError for a wall line that the design does not have.
    """
    if subject is None:
        raise ValueError("a work order is about one day of one crew: subject is missing")
    stand = standing.of(snapshot)
    return [_front(snapshot, subject, stand), *(_wall(snapshot, label, stand) for label in subject["wall_lines"])]


def _front(snapshot: dict[str, Any], subject: dict[str, Any], stand: standing.Standing) -> Section:
    labels = subject["wall_lines"]
    context = {
        "number": subject["number"],
        "banner": stand.banner,
        "facts": crew_day.facts(snapshot, subject),
        "blanks": crew_day.SITE_BLANKS,
        "scope": [
            {
                "label": label,
                "what": schedule_rows.counted_phrase(snapshot, label) or "nothing",
                "utilities": snapshot["lines"].get(label, {}).get("utilities", ""),
                "sheet": wall_sheet(label),
            }
            for label in labels
        ],
        "tasks": crew_day.tasks(snapshot, labels),
        "inspections": crew_day.inspections(subject),
        "picks": pick_list(snapshot, labels),
        "tools": crew_day.tools(snapshot, labels),
        "photos": crew_day.photos(snapshot, labels),
        "cautions": [
            {"title": item.title, "text": item.text, "asks": list(item.asks)} for item in cautions.of(snapshot)
        ],
        "tolerances": tolerance_table.table(snapshot, roles={"", *crew_day.roles(snapshot, labels)}, labels=labels),
        "safety": standing.SAFETY,
    }
    return Section(
        name="front",
        sheet="W-0",
        title=f"Work order {subject['number']}",
        template=f"{TEMPLATES}front.html",
        context=context,
    )


def wall_sheet(label: str) -> str:
    """The sheet number of a wall's page."""
    return f"W-{label.replace(' ', '')}"


def pick_list(snapshot: dict[str, Any], labels: list[str]) -> list[dict[str, str]]:
    """What goes in the van: every scheduled piece of the day's walls, without allowance for waste."""
    names = wall_line.connector_names(snapshot["inputs"]["catalogue"])
    counts: Counter[str] = Counter()
    pieces: Counter[str] = Counter()
    washers: Counter[str] = Counter()
    posts = 0
    post_size = ""
    for label in labels:
        line, schedule = schedule_rows.line_inputs(snapshot, label), schedule_rows.line_schedule(snapshot, label)
        for item in schedule["items"]:
            sides = 2 if item["role"] == "splice nails each side" else 1
            counts[names.get(item["connector"], item["connector"])] += item["count"] * sides
        washers[schedule_rows.new_washer(snapshot, label)] += schedule_rows.total(snapshot, label, "sill anchors")
        washers.update(schedule_rows.washers_to_fit(snapshot, label).values())
        if ends := schedule_rows.total(snapshot, label, "tie-downs"):
            posts += ends
            post = line["end_post"]
            post_size = f"{figures.length(post['width_in'])} × {figures.length(post['depth_in'])}"
        pieces += _panel_pieces(snapshot, label)
    rows = [
        {"item": name, "count": f"{count:,}", "note": ""}
        for name, count in sorted(counts.items(), key=lambda pair: pair[0].lower())
        if count
    ]
    rows += [
        {"item": f"plate washer, at least {size}", "count": f"{count:,}", "note": ""}
        for size, count in washers.items()
        if count
    ]
    holes: Counter[str] = Counter()
    for anchor in snapshot["inputs"]["catalogue"]["evaluated"]:
        holes[anchor["report"]] += counts[names[anchor["key"]]] if anchor["adhesive"] else 0
    rows += [
        {"item": f"adhesive by report {report}", "count": f"{count:,} holes", "note": "lot, expiry date"}
        for report, count in holes.items()
        if count
    ]
    if blocks := sum(len(crew_day.blocked_bays(snapshot, label)) for label in labels):
        rows.append(
            {
                "item": "block for a wide sill, cut to its bay",
                "count": f"{blocks:,}",
                "note": "in two pieces beside a rod",
            }
        )
    if posts:
        rows.append({"item": f"end post {post_size}", "count": f"{posts:,}", "note": "where none stands yet"})
    rows += [
        {"item": text, "count": f"{count:,}", "note": "field nails at 12 in besides"} for text, count in pieces.items()
    ]
    return rows


def _panel_pieces(snapshot: dict[str, Any], label: str) -> Counter[str]:
    """Sheathing pieces by size, from panel ends and joints."""
    line, result = schedule_rows.line_inputs(snapshot, label), schedule_rows.line_result(snapshot, label)
    _schedule, sheathing = schedule_rows.line_schedule(snapshot, label), line["sheathing"]
    pieces: Counter[str] = Counter()
    for number, panel in enumerate(line["panels"], start=1):
        middle = (panel["from_ft"] + panel["to_ft"]) * 6
        height_in = -wall_line.sill_bottom_in(line, wall_line.segment_at(line, middle))
        if wall_line.ends_at_lower_plate(line):
            height_in -= line["framing"]["plates_in"][-1]
        ends = (panel["from_ft"] * 12, *wall_line.panel_joints_in(result, number), panel["to_ft"] * 12)
        for low, high in pairwise(ends):
            size = f"{figures.length(high - low)} × {figures.length(height_in)}"
            pieces[f"{sheathing['thickness']} in {sheathing['grade']}, piece {size}"] += 1
    return pieces


def hold_points(snapshot: dict[str, Any], labels: list[str]) -> list[dict[str, str]]:
    """Where work stops until someone named has looked; only what the day's walls have."""
    return [{"name": point.name, "text": point.text} for point in jobs_hold_points.of(snapshot, labels)]


def _wall(snapshot: dict[str, Any], label: str, stand: standing.Standing) -> Section:
    line, result = schedule_rows.line_inputs(snapshot, label), schedule_rows.line_result(snapshot, label)
    schedule, facts = schedule_rows.line_schedule(snapshot, label), snapshot["lines"].get(label, {})
    outline = snapshot["inputs"]["building"]["floor_outline_ft"]
    strips = bands(line, schedule)
    drawings = {
        f"band-{index}": wall_elevation.draw(
            line,
            catalogue=snapshot["inputs"]["catalogue"],
            outline_ft=outline,
            seen_from="inside",
            paper_width_in=BAND_WIDTH_IN,
            paper_height_in=BAND_HEIGHT_IN,
            schedule=schedule,
            result=result,
            window_in=window,
            crew=True,
        )
        for index, window in enumerate(strips, start=1)
    }
    studs = [stud for stud in line["framing"]["stud_centrelines_in"] if stud > CORNER_IN][:2]
    in_way = [
        (title, facts.get(key, ""))
        for title, key in (
            ("In the way", "obstructions"),
            ("Utilities", "utilities"),
            ("Ceiling", "ceiling_finish"),
            ("Inside finish", "inside_finish"),
        )
    ]
    context = {
        "label": label,
        "side": wall_line.facing(line, outline),
        "length": figures.length(wall_line.length_in(line)),
        "banner": stand.banner,
        "zero": wall_line.zero_end_name(line),
        "zero_hand": "left" if wall_line.zero_is_left(line, outline, "inside") else "right",
        "check_studs": figures.lengths(studs),
        "bands": list(drawings),
        "bays": bay_rows(snapshot, label),
        "words": words(snapshot, label),
        "set_up": details.set_up_rows(
            result["through_plate"], stitched=schedule_rows.total(snapshot, label, "stitch nails") > 0
        )
        if result["through_plate"]
        else [],
        "set_up_warnings": list(result["through_plate"]["warnings"]) if result["through_plate"] else [],
        "panels": _panel_rows(snapshot, label),
        "sheathed": f"{line['sheathing']['thickness']} in {line['sheathing']['grade']}, nails "
        f"{schedule_rows.sheathing_nail(line)}, 12″ in the field",
        "in_way": [[title, text] for title, text in in_way if text],
        "holds": hold_points(snapshot, [label]),
    }
    return Section(
        name=f"wall-{label}",
        sheet=wall_sheet(label),
        title=f"Wall line {label}, seen from inside",
        template=f"{TEMPLATES}wall.html",
        context=context,
        drawings=drawings,
    )


def bands(line: dict[str, Any], schedule: dict[str, Any]) -> list[tuple[float, float]]:
    """The line cut into equal strips short enough to read, from the zero end; shorter where much is put in."""
    length_in = wall_line.length_in(line)
    above = sum(len(wall_line.positions_in(schedule, role)) for role in wall_line.PLATE_ROLES)
    below = sum(len(wall_line.positions_in(schedule, role)) for role in (*wall_line.SILL_ROLES, "tie-downs"))
    crowd = max(above, below + len(line["existing_anchors"]))
    count = max(1, ceil(length_in / (BAND_FT * 12) - 1e-9), ceil(crowd / BAND_MARKS))
    return [(length_in * index / count, length_in * (index + 1) / count) for index in range(count)]


def bay_rows(snapshot: dict[str, Any], label: str) -> list[dict[str, Any]]:
    """Each bay that something goes into: number, studs, what stands where from the datum, whether a block fills it."""
    line, schedule = schedule_rows.line_inputs(snapshot, label), schedule_rows.line_schedule(snapshot, label)
    found: dict[int, list[tuple[float, str]]] = {}
    for item in schedule["items"]:
        word = SHORT_WORDS.get(item["role"])
        for station in item["positions_in"] if word else ():
            found.setdefault(wall_line.bay_at(line, station).number, []).append((station, word))
    washers = schedule_rows.washers_to_fit(snapshot, label)
    for anchor in line["existing_anchors"]:
        if anchor["accepted"]:
            station = anchor["at_ft"] * 12
            washer = f"fit plate washer {washers[station]}" if station in washers else ""
            what = ", ".join(filter(None, ("existing anchor", washer, "tighten")))
            found.setdefault(wall_line.bay_at(line, station).number, []).append((station, what))
    blocked = crew_day.blocked_bays(snapshot, label)
    return [
        {
            "number": bay.number,
            "studs": f"{figures.length(bay.from_in)} to {figures.length(bay.to_in)}",
            "block": bay.number in blocked,
            "parts": [{"at": at, "what": what} for what, at in _merged(sorted(found.get(bay.number, [])))],
        }
        for bay in wall_line.bays(line)
        if bay.number in found or bay.number in blocked
    ]


def _merged(items: list[tuple[float, str]]) -> list[tuple[str, str]]:
    """Equal things of one bay on one line, in order of the first of them."""
    places: dict[str, list[str]] = {}
    for station, what in items:
        places.setdefault(what, []).append(figures.length(station))
    return [(f"{len(at)} {what}s" if len(at) > 1 else what, ", ".join(at)) for what, at in places.items()]


def words(snapshot: dict[str, Any], label: str) -> list[list[str]]:
    """What the short words of the bay table stand for on this wall."""
    schedule = schedule_rows.line_schedule(snapshot, label)
    names = wall_line.connector_names(snapshot["inputs"]["catalogue"])
    rows = []
    for role, word in {**SHORT_WORDS, "block nails": "block"}.items():
        notes: dict[str, list[str]] = {}
        for item in wall_line.rows(schedule, role):
            if not item["count"]:
                continue
            said = notes.setdefault(names[item["connector"]], [])
            # Blocks differ from panel to panel; everything else is told once.
            note = f"panel {label}·{item['panel']}: {item['note']}" if word == "block" else item["note"]
            if note and note not in said:
                said.append(note)
        each = sorted({f"{item['count']} × " for item in wall_line.rows(schedule, role)}) if word == "plate lap" else []
        tail = " each side" if word == "plate lap" else ""
        rows += [[word, "; ".join([f"{''.join(each)}{name}{tail}", *said])] for name, said in notes.items()]
    return rows


def _panel_rows(snapshot: dict[str, Any], label: str) -> list[dict[str, str]]:
    line, result = schedule_rows.line_inputs(snapshot, label), schedule_rows.line_result(snapshot, label)
    rows = []
    for item in wall_line.rows(schedule_rows.line_schedule(snapshot, label), "panel edge nails"):
        panel = line["panels"][(item["panel"] or 1) - 1]
        joints = wall_line.panel_joints_in(result, item["panel"] or 1)
        middle = wall_line.segment_at(line, (panel["from_ft"] + panel["to_ft"]) * 6)
        stud_in = middle["stud_height_ft"] * 12
        rows.append(
            {
                "name": f"{label}·{item['panel'] or 1}",
                "from": f"{figures.length(panel['from_ft'] * 12)} to {figures.length(panel['to_ft'] * 12)}",
                "joints": figures.lengths(list(joints)) or "none",
                "spacing": figures.length(item["spacing_in"]),
                "holes": "1 a bay" if vent_holes.needed(stud_in) == 1 else "top and bottom of a bay",
            }
        )
    return rows
