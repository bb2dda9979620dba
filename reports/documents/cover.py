"""Sheet G1.0: who and where, what is done and what stays open, by which code, where each requirement is answered."""

from __future__ import annotations

from typing import Any

from reports.documents import details, figures, notes, schedule_rows, standing
from reports.drawings import wall_line, wall_line_plan
from reports.sections import Section

STANDARDS = {
    "2021": ("IEBC 2021", "ASCE 7-16", "NDS 2018 (ASD)", "SDPWS 2021"),
    "2024": ("IEBC 2024", "ASCE 7-22", "NDS 2024 (ASD)", "SDPWS 2021"),
}
NOT_GIVEN = "not given"
KEY_PLAN_IN = (14.0, 10.2)


def section(snapshot: dict[str, Any], stand: standing.Standing, index: list[list[str]]) -> Section:
    """The cover; `index` lists every sheet of the set as [number, title]."""
    house = snapshot["house"]
    context = {
        "banner": stand.banner,
        "safety": standing.SAFETY,
        "title": stand.title,
        "address": figures.address(house),
        "project": project(snapshot),
        "people": people(snapshot),
        "narrative": narrative(snapshot, stand),
        "works": works(snapshot),
        "open_links": [*stand.open_links, *stand.over],
        "remaining": list(stand.remaining),
        "outside": outside(snapshot),
        "code": code_basis(snapshot),
        "earthquake": earthquake_data(snapshot, stand),
        "requirements": requirements(snapshot, stand),
        "index": index,
        "inspections": notes.special_inspections(snapshot),
        "summary": summary(snapshot, stand),
        "ratios": stand.shows_ratios,
        "assumptions": list(snapshot["result"]["assumptions"]),
    }
    plan = wall_line_plan.draw(
        snapshot["inputs"],
        snapshot["result"]["schedule"],
        paper_width_in=KEY_PLAN_IN[0],
        paper_height_in=KEY_PLAN_IN[1],
        state="key",
        sheets={label: f"S2.{label.replace(' ', '')}" for label in schedule_rows.labels(snapshot)},
    )
    return Section(
        name="cover",
        sheet="G1.0",
        title="Cover",
        template="reports/documents/plan_set/cover.html",
        context=context,
        drawings={"key-plan": plan},
        page_size="24x36",
    )


def project(snapshot: dict[str, Any]) -> list[list[str]]:
    """Facts of the place, label and value."""
    house, inputs = snapshot["house"], snapshot["inputs"]
    area = _demand_step(snapshot, "floor_area_sf")
    opening = house["access_opening_in"]
    return [
        ["Job site", figures.address(house)],
        ["Parcel number", house["parcel_number"] or NOT_GIVEN],
        ["Lot, block and tract", house.get("legal_description") or NOT_GIVEN],
        ["Zoning", house.get("zoning") or NOT_GIVEN],
        ["Occupancy group", house.get("occupancy_group") or NOT_GIVEN],
        ["Construction type", house.get("construction_type") or NOT_GIVEN],
        ["Jurisdiction", snapshot["jurisdiction"]["name"]],
        ["Built", str(house["year_built"] or "not observed")],
        ["Stories above the braced walls", str(house["stories"])],
        ["Dwelling units", str(house["dwelling_units"])],
        ["Floor area over the braced walls", f"{area:,.0f} sq ft" if area is not None else figures.NOTHING],
        ["Framing", house["framing_kind"]],
        ["Floor sheathing", house["floor_sheathing"]],
        ["Foundation", ", ".join(dict.fromkeys(line["foundation"]["material"] for line in inputs["lines"]))],
        [
            "Way in under the floor",
            figures.way_in(opening),
        ],
    ]


def people(snapshot: dict[str, Any]) -> list[list[str]]:
    """Owner, contractor and the engineer whose criteria these are."""
    house, job, criteria = snapshot["house"], snapshot["job"], snapshot["criteria"]
    company = job["company"]
    rows = [
        ["Owner", house["client_name"]],
        ["Owner's address", house["client_address"]],
        ["Owner's telephone", house["client_phone"] or NOT_GIVEN],
        ["Contractor", company["name"]],
        ["Contractor's address", ", ".join(part for part in (company["address"], company["phone"]) if part)],
        ["Contractor's licence", company["contractor_licence"] or NOT_GIVEN],
    ]
    if job["estimator"]:
        rows.append(["Surveyed and drawn for", f"{job['estimator']}, job {job['number']}"])
    if criteria["confirmed_by"]:
        rows += [
            ["Engineering criteria", f"{criteria['confirmed_by']}, {criteria['licence']}"],
            ["Criteria confirmed", figures.day(criteria["confirmed_on"])],
        ]
    else:
        rows.append(["Engineering criteria", "not confirmed by an engineer: the jurisdiction's standing template"])
    return rows


def narrative(snapshot: dict[str, Any], stand: standing.Standing) -> list[str]:
    """The lateral system, the strengthening and how far it goes, in sentences."""
    lines = snapshot["inputs"]["lines"]
    kinds = ", ".join(dict.fromkeys(segment["kind"] for line in lines for segment in line["segments"]))
    material = ", ".join(dict.fromkeys(line["foundation"]["material"] for line in lines))
    stories = snapshot["house"]["stories"]
    story_word = "one story" if stories == 1 else f"{stories} stories"
    texts = [
        f"The house has {story_word} of light wood framing over {len(lines)} wall lines ({kinds}) on a {material} "
        "foundation. Earthquake force runs from the floor into rim and end joists, through the top plates into "
        "the braced walls, and from the sill into the foundation. A line is as strong as the weakest link of "
        "that path.",
    ]
    if stand.open_links:
        texts.append(
            "This is a partial strengthening: it improves the links that it touches and leaves the load path "
            "open at the places listed under remaining deficiencies."
        )
    elif stand.over:
        texts.append("The work closes the path on every wall line drawn, but not at the stated force level everywhere.")
    elif stand.shows_ratios:
        texts.append(
            "The work closes the path from floor to foundation on every wall line drawn, at the stated force level."
        )
    texts.append(
        "It lowers the risk that the house slides off its foundation or that the braced level collapses. It does "
        "not bring the house to the standard of a new building and does not rule out damage."
    )
    return texts


def works(snapshot: dict[str, Any]) -> list[dict[str, str]]:
    """What is added, line by line."""
    outline = snapshot["inputs"]["building"]["floor_outline_ft"]
    rows = []
    for label in schedule_rows.labels(snapshot):
        line = schedule_rows.line_inputs(snapshot, label)
        rows.append(
            {
                "line": f"{label}, {wall_line.facing(line, outline)}, {figures.length(wall_line.length_in(line))}",
                "what": schedule_rows.counted_phrase(snapshot, label) or "nothing",
            }
        )
    return rows


def outside(snapshot: dict[str, Any]) -> list[str]:
    """What nobody looked at, so that silence is not read as a finding."""
    texts = ["Walls and floors of the stories above, chimneys, porches and finishes were not analysed."]
    if any(line["foundation"]["accepted_by"] for line in snapshot["inputs"]["lines"]):
        texts.append("The foundation was recorded and accepted by the engineer where named; it was not computed.")
    else:
        texts.append("The foundation was recorded; it was not computed.")
    screen = snapshot["house"]["scope_screen"]
    for item in sorted(screen):
        flag, reason = screen[item]["flag"], screen[item]["reason"]
        if flag or flag is None:
            texts.append(f"Scope screen, {item}: {'yes' if flag else 'not observed'}{', ' + reason if reason else ''}.")
    return texts


def code_basis(snapshot: dict[str, Any]) -> list[list[str]]:
    """Adopted title and edition, the standards behind it, legal basis and force level."""
    place, criteria, table_set = snapshot["jurisdiction"], snapshot["criteria"], snapshot["table_set"]
    level = f"{criteria['force_level']}, factor {criteria['force_factor']:g} on the horizontal effect"
    rows = [
        ["Adopted code", f"{place['code_title']}, edition {place['edition']}"],
        ["Standards", ", ".join(STANDARDS[criteria["code_family"]])],
        ["Legal basis", criteria["legal_basis"]],
        ["Force level", level],
        ["Method", criteria["method"] or "allowable stress design"],
        ["Links 1 and 3 checked for", "diaphragm force F_px" if criteria["diaphragm_force_governs"] else "story shear"],
    ]
    if snapshot["job"]["permit_applied_on"]:
        rows.append(["Permit applied for", figures.day(snapshot["job"]["permit_applied_on"])])
    rows.append(["Deferred submittals", "none"])
    rows.append(["Calculated on", figures.day(snapshot["inputs"]["calculation_date"])])
    if table_set:
        rows.append(
            [
                "Values from memory accepted by",
                f"{table_set['accepted_by']}, {table_set['licence']}, {figures.day(table_set['accepted_on'])}",
            ]
        )
    elif snapshot["result"]["from_memory"]:
        rows.append(["Values from memory", "not yet accepted by an engineer"])
    return rows


def earthquake_data(snapshot: dict[str, Any], stand: standing.Standing) -> list[list[str]]:
    """The eleven items of earthquake design data."""
    hazard, criteria = snapshot["inputs"]["hazard"], snapshot["inputs"]["criteria"]
    dated = figures.day(snapshot["house"]["hazard_date"]) if snapshot["house"]["hazard_date"] else ""
    mapped, source = hazard["mapped"], ", ".join(filter(None, (hazard["source"], dated)))
    motion = f"{mapped['s_s_g']:g} g, {mapped['s_1_g']:g} g" if mapped else f"SS not used; S1 = {hazard['s_1_g']:g} g"
    site = f"{mapped['site_class']}: {source}" if mapped else f"contained in SDS, SD1, given directly: {source}"
    shear, coefficient = _demand_step(snapshot, "V_lb"), _demand_step(snapshot, "Cs")
    return [
        ["1  Risk category", criteria["risk_category"]],
        ["2  Importance factor Ie", f"{criteria['importance']:g}"],
        ["3  Mapped SS, S1", motion],
        ["4  Site class", site],
        ["5  SDS, SD1", f"{hazard['s_ds_g']:g} g, {hazard['s_d1_g']:g} g"],
        ["6  Seismic design category", hazard["seismic_design_category"]],
        ["7  Force-resisting system", criteria["system"]],
        ["8  Design base shear V", figures.amount(shear, "lb") if stand.shows_ratios else "not released"],
        ["9  Response coefficient Cs", f"{coefficient:.4f}" if coefficient is not None else figures.NOTHING],
        ["10  Response modification R", f"{criteria['response_modification']:g}"],
        ["11  Analysis procedure", "equivalent lateral force"],
    ]


def _demand_step(snapshot: dict[str, Any], key: str) -> float | None:
    for step in snapshot["result"]["demand"]["steps"]:
        if step["key"] == key:
            return float(step["value"])
    return None


def requirements(snapshot: dict[str, Any], stand: standing.Standing) -> list[dict[str, Any]]:
    """Requirement → sheets and details, only those that this job answers."""
    roles = notes.roles(snapshot)
    lines = [f"S2.{label.replace(' ', '')}" for label in schedule_rows.labels(snapshot)]
    shown = details.places(snapshot)

    def at(*keys: str) -> list[str]:
        return [shown[key] for key in keys if key in shown]

    rows = [
        ("Standard used and its design parameters", ["G1.0"]),
        ("Lateral system, strengthening, remaining deficiencies", ["G1.0"]),
        ("Earthquake design data", ["G1.0"]),
        ("Foundation plan: anchors, tie-downs, way in", ["S1.0", "S1.1"]),
    ]
    if "sill anchors" in roles:
        rows.append(("Anchor size, spacing, embedment, edge distance", [*lines, *at("anchor", "side"), "S4.0"]))
    if "tie-downs" in roles:
        rows.append(("Tie-downs, their anchors and fasteners", [*lines, *at("tie-down")]))
    if roles & set(wall_line.FLOOR_ROLES):
        ways = at("screw", "pattern", "angle", "face plate", "lag", "toenail", "blocking")
        rows.append(("Floor to wall connection", [*lines, *ways]))
    if "panel edge nails" in roles:
        drawn = at("panel", "joint", "block", "flush cut")
        rows.append(("Shear panels: material, nailing, edge distance, joints", [*lines, *drawn, "S4.0"]))
        rows.append(("Vents and holes in panels, limits on notching", [*at("vents"), "S4.0"]))
    rows.append(("Size, grade and species of the framing", lines))
    rows.append(("Special inspections", ["G1.0"]))
    if stand.shows_ratios:
        rows.append(("Calculations", ["separate file, C-A to C-S"]))
    return [
        {"text": text, "places": [{"text": place, "sheet": _sheet_of(place)} for place in places]}
        for text, places in rows
    ]


def _sheet_of(place: str) -> str:
    """The sheet that a place names ("1/S3.0" → "S3.0"); empty for another file."""
    sheet = place.rpartition("/")[2]
    return "" if " " in sheet else sheet


def summary(snapshot: dict[str, Any], stand: standing.Standing) -> list[dict[str, str]]:
    """One row a wall line: demand, as found, as designed."""
    rows = []
    for result in snapshot["result"]["lines"]:
        found = "; ".join(result["as_found_open"]) or standing.link_status({"status": result["as_found_status"]})
        if result["open_links"]:
            designed = "; ".join(result["open_links"])
        elif stand.shows_ratios and result["weakest_ratio"] is not None:
            designed = f"{figures.ratio(result['weakest_ratio'])} at link {result['weakest_link']}"
        else:
            designed = standing.link_status(result)
        rows.append(
            {
                "label": result["label"],
                "demand": figures.amount(result["demand_lb"]) if stand.shows_ratios else "",
                "found": found,
                "designed": designed,
            }
        )
    return rows
