"""From rows to engineering inputs and back to a stored snapshot. Not a strength formula.

Everything missing is collected and refused in one go, so that the surveyor is sent back once.
"""

from __future__ import annotations

import datetime
import hashlib
from collections.abc import Iterable
from typing import Any

from engineering import exchange, house, inputs
from engineering.inputs import NOT_OBSERVED
from engineering.results import HouseResult
from jobs import connector_inputs
from jobs.errors import Refused
from jobs.models import Company, Connector, CriteriaSheet, House, Job, LineChoice, TableSetAcceptance, WallLine
from jobs.models.wall_lines import MEMBERS

SNAPSHOT_FORMAT = 1
SHEATHING_NAILS = {(0.113, 2.0): "6d", (0.131, 2.5): "8d", (0.148, 3.0): "10d"}
METHODS = {
    "floor_to_plate": "floor to top plate",
    "stitch_nail": "stitch nail",
    "splice_nail": "splice nail",
    "block_nail": "sill block nail",
    "sill_anchor": "sill anchor",
    "tie_down": "tie-down",
    "tie_down_anchor": "tie-down anchor",
}


class Facts:
    """Reads required values and remembers every one that is missing."""

    def __init__(self) -> None:
        self.missing: list[str] = []

    def need(self, row: Any, field: str, where: str, *, what: str = "") -> Any:
        value = getattr(row, field)
        if value in (None, "", []):
            self.missing.append(f"{where}: {what or field.removesuffix('_in').replace('_', ' ')} is missing.")
        return value

    def refuse_if_missing(self) -> None:
        if self.missing:
            raise Refused(*self.missing)


# --- what the calculation is made from -------------------------------------------------------------------------------
def criteria_for(job: Job) -> CriteriaSheet:
    """The job's confirmed sheet, else the standing template of its jurisdiction; Refused when there is neither."""
    sheet = CriteriaSheet.objects.filter(job=job).first()
    if sheet is not None and sheet.is_confirmed:
        return sheet
    jurisdiction = job.house.jurisdiction
    template = CriteriaSheet.objects.filter(
        job__isnull=True, jurisdiction=jurisdiction, code_family=jurisdiction.code_family
    ).first()
    if template is None:
        raise Refused(f"{jurisdiction} has no standing criteria template, and this job's criteria are not confirmed.")
    return template


def house_inputs(job: Job, *, on: datetime.date) -> inputs.HouseInputs:
    """What engineering needs, from the present rows; `on` decides which reports have expired.

    Refused lists every missing fact; OutOfRange (from engineering) names a value that can't be.
    """
    surveyed = job.house
    sheet = criteria_for(job)
    facts = Facts()
    where = "House"
    for field in ("floor_outline_ft", "roof_outline_ft", "braced_wall_height_in", "floor_depth_in",
                  "story_wall_height_in", "roof_psf", "floor_psf", "partitions_psf", "story_wall_psf",
                  "braced_wall_psf", "s_ds_g", "s_d1_g", "s_1_g", "t_l_s", "hazard_source",
                  "seismic_design_category"):  # fmt: skip
        facts.need(surveyed, field, where)
    lines = list(surveyed.wall_lines.order_by("label"))
    if not lines:
        facts.missing.append("House: no wall line has been surveyed.")
    choices = {choice.wall_line_id: choice for choice in job.line_choices.all()}
    _need_line_facts(facts, lines, choices)
    facts.refuse_if_missing()
    company = Company.objects.first()
    return inputs.HouseInputs(
        calculation_date=on.isoformat(),
        hazard=inputs.Hazard(
            s_ds_g=surveyed.s_ds_g, s_d1_g=surveyed.s_d1_g, s_1_g=surveyed.s_1_g, t_l_s=surveyed.t_l_s,
            source=surveyed.hazard_source, seismic_design_category=surveyed.seismic_design_category,
        ),
        criteria=inputs.Criteria(
            code_family=sheet.code_family, legal_basis=sheet.legal_basis, force_level=sheet.force_level,
            force_factor=sheet.force_factor, response_modification=sheet.response_modification,
            importance=sheet.importance, redundancy=sheet.redundancy, regular_in_plan=bool(surveyed.regular_in_plan),
            load_duration=sheet.load_duration, maximum_connector_spacing_in=sheet.maximum_connector_spacing_in,
        ),
        building=_building(surveyed),
        lines=tuple(_wall_line(line, choices[line.pk], sheet, company) for line in lines),
        catalogue=connector_inputs.catalogue(
            _connectors(lines, choices), bar_stock_in=company.bar_stock_in if company else ()
        ),
        access_opening_in=(
            NOT_OBSERVED
            if surveyed.access_opening_width_in is None
            else (surveyed.access_opening_width_in, surveyed.access_opening_height_in)
        ),
    )  # fmt: skip


def draft(job: Job, *, on: datetime.date) -> HouseResult:
    """The present rows computed, stored nowhere. Refused or OutOfRange as `house_inputs`."""
    return house.assess(house_inputs(job, on=on))


def inputs_sha256(job: Job, *, on: datetime.date) -> str:
    """Hash of what the present rows would be calculated from; catalogue values and the date are not part of it."""
    return _inputs_sha256(job, house_inputs(job, on=on), criteria_for(job))


# --- what an issued design keeps -------------------------------------------------------------------------------------
def snapshot(job: Job, *, on: datetime.date) -> tuple[str, str, HouseResult]:
    """The canonical text of every input and result, the hash of its inputs, and the result itself."""
    surveyed, sheet = job.house, criteria_for(job)
    made_from = house_inputs(job, on=on)
    result = house.assess(made_from)
    company = Company.objects.first()
    text = exchange.canonical(
        {
            "format": SNAPSHOT_FORMAT,
            "house": _house_facts(surveyed),
            "jurisdiction": _fields(
                surveyed.jurisdiction,
                (
                    "name",
                    "state",
                    "code_title",
                    "code_family",
                    "edition",
                    "stamp_required",
                    "stamp_method",
                    "sheet_size",
                ),
            ),
            "job": {
                "number": job.number,
                "title": job.title,
                "legal_basis": job.legal_basis,
                "company": _fields(company, ("name", "address", "phone", "contractor_licence")) if company else {},
                "estimator": job.estimator.display_name if job.estimator else "",
                "permit_applied_on": _iso(job.permit_applied_on),
            },
            "criteria": _criteria_facts(sheet),
            "table_set": _table_set(sheet),
            "lines": {line.label: _line_facts(line) for line in surveyed.wall_lines.order_by("label")},
            "inputs": exchange.dumps(made_from),
            "result": exchange.dumps(result),
        }
    )
    return text, _inputs_sha256(job, made_from, sheet), result


def _inputs_sha256(job: Job, made_from: inputs.HouseInputs, sheet: CriteriaSheet) -> str:
    design_inputs = exchange.dumps(made_from)
    del design_inputs["catalogue"], design_inputs["calculation_date"]
    text = exchange.canonical(
        {
            "inputs": design_inputs,
            "criteria": _criteria_facts(sheet),
            "place": _fields(job.house, ("address", "city", "state", "parcel_number")),
            "legal_basis": job.legal_basis,
        }
    )
    return hashlib.sha256(text.encode()).hexdigest()


def _fields(row: Any, names: Iterable[str]) -> dict[str, Any]:
    return {name: getattr(row, name) for name in names}


def _iso(day: datetime.date | None) -> str | None:
    return day.isoformat() if day else None


def _observed(value: Any) -> Any:
    return NOT_OBSERVED if value in (None, "") else value


def _house_facts(surveyed: House) -> dict[str, Any]:
    width_in, height_in = surveyed.access_opening_width_in, surveyed.access_opening_height_in
    return {
        **_fields(surveyed, ("address", "city", "state", "postal_code", "parcel_number", "year_built", "stories",
                             "dwelling_units", "scope_screen", "weights_source", "hazard_source")),
        "hazard_date": _iso(surveyed.hazard_date),
        "client_name": surveyed.client.name,
        "client_address": surveyed.client.mailing_address,
        "client_phone": surveyed.client.phone,
        "floor_sheathing": _observed(surveyed.floor_sheathing),
        "framing_kind": _observed(surveyed.framing_kind),
        "access_opening_in": NOT_OBSERVED if width_in is None else [width_in, height_in],
        "water_heater_strapped": _observed(surveyed.water_heater_strapped),
        "lead_test": _test(surveyed.lead_test_on, surveyed.lead_test_result),
        "asbestos_test": _test(surveyed.asbestos_test_on, surveyed.asbestos_test_result),
    }  # fmt: skip


def _test(day: datetime.date | None, found: str) -> str:
    return f"{day.isoformat()}: {found}" if day else "not tested"


def _criteria_facts(sheet: CriteriaSheet) -> dict[str, Any]:
    confirmed = sheet.is_confirmed
    return {
        **_fields(sheet, ("code_family", "legal_basis", "force_level", "force_factor", "response_modification",
                          "importance", "redundancy", "load_duration", "maximum_connector_spacing_in",
                          "links_1_and_3", "accepts_r_for_panels", "link_0_accepted", "remaining_deficiencies",
                          "method", "notes")),
        "confirmed_by": sheet.confirmed_by.display_name if confirmed else None,
        "confirmed_on": _iso(sheet.confirmed_on),
        "licence": sheet.confirmed_licence if confirmed else None,
        "quantity_study": not confirmed,
    }  # fmt: skip


def _table_set(sheet: CriteriaSheet) -> dict[str, str] | None:
    if not sheet.is_confirmed:
        return None
    accepted = TableSetAcceptance.objects.filter(code_family=sheet.code_family, engineer=sheet.confirmed_by).first()
    if accepted is None:
        return None
    return {
        "accepted_by": accepted.engineer.display_name,
        "licence": accepted.licence,
        "accepted_on": accepted.accepted_on.isoformat(),
    }


def _line_facts(line: WallLine) -> dict[str, Any]:
    return {
        **_fields(line, ("level", "obstructions", "utilities", "ceiling_finish", "inside_finish", "notes", "sill_gap")),
        "foundation_condition": _observed(line.foundation_condition),
        "foundation_continuous": _observed(line.foundation_continuous),
        "crack_width_in": _observed(line.crack_width_in),
        "sill_edge_in": _observed(line.sill_edge_in),
    }


# --- rows to engineering inputs --------------------------------------------------------------------------------------
def _need_line_facts(facts: Facts, lines: list[WallLine], choices: dict[int, LineChoice]) -> None:
    for line in lines:
        where = str(line)
        for field in ("top_plate_count", "plate_width_in", "stud_depth_in", "stud_thickness_in", "stud_centrelines_in",
                      "sill_thickness_in", "sill_width_in", "sill_bearing_psi", "rim_thickness_in", "rim_depth_in",
                      "rim_set_back_in", "joists", "foundation_material"):  # fmt: skip
            facts.need(line, field, where)
        for field in ("lower_plate_in", "upper_plate_in")[: line.top_plate_count or 0]:
            facts.need(line, field, where)
        if not line.segments.exists():
            facts.missing.append(f"{where}: no segment of the wall has been measured.")
        choice = choices.get(line.pk)
        if choice is None:
            facts.missing.append(f"{where}: no methods have been chosen for this job.")
            continue
        for field, what in METHODS.items():
            facts.need(choice, field, where, what=f"the choice of {what}")
        for field in ("end_post_width_in", "end_post_depth_in", "rod_from_end_in", "compression_from_end_in"):
            facts.need(choice, field, where)


def _building(surveyed: House) -> inputs.Building:
    return inputs.Building(
        floor_outline_ft=_outline(surveyed.floor_outline_ft),
        roof_outline_ft=_outline(surveyed.roof_outline_ft),
        braced_wall_height_ft=surveyed.braced_wall_height_in / 12,
        floor_depth_ft=surveyed.floor_depth_in / 12,
        story_wall_height_ft=surveyed.story_wall_height_in / 12,
        unit_weights=inputs.UnitWeights(
            roof_psf=surveyed.roof_psf, floor_psf=surveyed.floor_psf, partitions_psf=surveyed.partitions_psf,
            story_wall_psf=surveyed.story_wall_psf, braced_wall_psf=surveyed.braced_wall_psf,
            source=surveyed.weights_source or "as given",
        ),
        point_weights=tuple(
            inputs.PointWeight(label=weight.label, at_ft=(weight.x_ft, weight.y_ft), weight_lb=weight.weight_lb)
            for weight in surveyed.point_weights.all()
        ),
        story_above=tuple(
            inputs.StoryAbove(line=wall.line_label, full_height_wall_ft=wall.full_height_wall_ft)
            for wall in surveyed.story_above.all()
        ),
    )  # fmt: skip


def _outline(points: list[list[float]]) -> tuple[inputs.Point, ...]:
    return tuple((float(x), float(y)) for x, y in points)


def _wall_line(line: WallLine, choice: LineChoice, sheet: CriteriaSheet, company: Company | None) -> inputs.WallLine:
    return inputs.WallLine(
        label=line.label,
        start_ft=(line.start_x_ft, line.start_y_ft),
        end_ft=(line.end_x_ft, line.end_y_ft),
        segments=tuple(
            inputs.Segment(kind=part.kind, from_ft=part.from_in / 12, to_ft=part.to_in / 12,
                           stud_height_ft=part.stud_height_in / 12)
            for part in line.segments.all()
        ),
        panels=_spans(line.panels.all()),
        sill_pieces=_spans(line.sill_pieces.all()),
        plate_laps_ft=(
            tuple(joint.at_in / 12 for joint in line.plate_joints.all()) if line.plate_joints_observed else NOT_OBSERVED
        ),
        openings=_spans(line.openings.all()),
        framing=_framing(line, company),
        foundation=inputs.Foundation(
            material=line.foundation_material,
            concrete_psi=_observed(line.concrete_psi),
            concrete_basis=line.concrete_basis,
            condition=_observed(line.foundation_condition),
            section_loss_percent=_observed(line.section_loss_percent),
            accepted_by=line.foundation_accepted_by.display_name if line.foundation_accepted_by else "",
        ),
        sheathing=_sheathing(line, choice),
        end_post=inputs.EndPost(
            width_in=choice.end_post_width_in, depth_in=choice.end_post_depth_in,
            rod_from_end_in=choice.rod_from_end_in, compression_from_end_in=choice.compression_from_end_in,
        ),
        existing_anchors=tuple(
            inputs.ExistingAnchor(
                at_ft=anchor.at_in / 12, diameter_in=anchor.diameter_in, embedment_in=_observed(anchor.embedment_in),
                edge_in=_observed(anchor.edge_in), end_in=_observed(anchor.end_in), accepted=anchor.accepted,
                reason=anchor.reason,
            )
            for anchor in line.existing_anchors.all()
        ),
        as_found=tuple(
            inputs.AsFoundNailing(link=found.link, nail=connector_inputs.nail(found.nail), spacing_in=found.spacing_in,
                                  toenail=found.toenail)
            for found in line.as_found_nailing.select_related("nail")
        ),
        dead_loads=tuple(
            inputs.DeadLoad(label=load.label, weight_plf=load.weight_plf) for load in line.dead_loads.all()
        ),
        floor_sheathing=_observed(line.link_0_floor_sheathing),
        link_0_accepted_by=sheet.confirmed_by.display_name if sheet.is_confirmed and sheet.link_0_accepted else "",
        methods=inputs.LinkMethods(
            **{field: getattr(choice, field).key for field in METHODS},
            alternatives=tuple(choice.alternatives.order_by("key").values_list("key", flat=True)),
        ),
    )  # fmt: skip


def _spans(rows: Iterable[Any]) -> tuple[inputs.Span, ...]:
    return tuple(
        inputs.Span(from_ft=row.from_in / 12, to_ft=row.to_in / 12, label=getattr(row, "label", "")) for row in rows
    )


def _framing(line: WallLine, company: Company | None) -> inputs.Framing:
    members = {name: _member(line, name, company) for name in MEMBERS}
    return inputs.Framing(
        **members,
        plates_in=(line.lower_plate_in, line.upper_plate_in)[: line.top_plate_count],
        plate_width_in=line.plate_width_in,
        stud_depth_in=line.stud_depth_in,
        stud_thickness_in=line.stud_thickness_in,
        stud_centrelines_in=tuple(float(at) for at in line.stud_centrelines_in),
        sill_thickness_in=line.sill_thickness_in,
        sill_width_in=line.sill_width_in,
        sill_bearing_psi=line.sill_bearing_psi,
        rim_thickness_in=line.rim_thickness_in,
        rim_depth_in=line.rim_depth_in,
        rim_set_back_in=line.rim_set_back_in,
        joists=line.joists,
        top_nails_reach=_observed(line.top_nails_reach),
        jig_bears_on=_observed(line.jig_bears_on),
        headroom_in=_observed(line.headroom_in),
        ceiling_finish=line.ceiling_finish,
    )


def _member(line: WallLine, name: str, company: Company | None) -> inputs.Member:
    treated = bool(line.sill_treated) if name == "sill" else False
    species, gravity = getattr(line, f"{name}_species"), getattr(line, f"{name}_specific_gravity")
    if species and gravity is not None:
        basis = getattr(line, f"{name}_basis")
        return inputs.Member(species=species, specific_gravity=gravity, basis=basis, treated=treated)
    year = line.house.year_built
    rows = [
        row
        for row in (company.species_list if company else [])
        if year is None or (row["built_from"] or 0) <= year <= (row["built_to"] or 9999)
    ]
    if not rows:
        raise Refused(
            f"{line}: the species of the {name} was not observed, and the company's species list has none for a house "
            f"of {year or 'unknown age'}."
        )
    lowest = min(rows, key=lambda row: row["specific_gravity"])
    return inputs.Member(
        species=lowest["species"],
        specific_gravity=lowest["specific_gravity"],
        basis=f"not observed; assumed the lowest of the company's list for a house of {year or 'unknown age'}",
        treated=treated,
    )


def _sheathing(line: WallLine, choice: LineChoice) -> inputs.Sheathing:
    nail = choice.sheathing_nail
    penny = SHEATHING_NAILS.get((nail.diameter_in, nail.length_in))
    if penny is None:
        raise Refused(
            f"{line}: {nail} is not a nail of the shear panel table; 6d (0.113 × 2 in), 8d (0.131 × 2½ in) and "
            "10d (0.148 × 3 in) are."
        )
    return inputs.Sheathing(
        grade=choice.sheathing_grade, thickness=choice.sheathing_thickness, nail=penny,
        nail_diameter_in=nail.diameter_in, nail_length_in=nail.length_in, finish=nail.finish,
    )  # fmt: skip


def _connectors(lines: list[WallLine], choices: dict[int, LineChoice]) -> Iterable[Connector]:
    for line in lines:
        choice = choices[line.pk]
        yield choice.sheathing_nail
        yield from (getattr(choice, field) for field in METHODS)
        yield from choice.alternatives.all()
        yield from (found.nail for found in line.as_found_nailing.select_related("nail"))
