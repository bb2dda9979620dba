"""From rows to engineering inputs. Not a strength formula.

Everything missing is collected and refused in one go, so that the surveyor is sent back once.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from typing import Any

from engineering import inputs
from engineering.errors import OutOfRange
from engineering.inputs import NOT_OBSERVED
from jobs import connector_inputs
from jobs.errors import Refused
from jobs.models import Company, Connector, CriteriaSheet, House, Job, LineChoice, WallLine
from jobs.models.wall_lines import MEMBERS

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


def the_company() -> Company:
    """The company's own row; Refused before there is one."""
    company = Company.objects.first()
    if company is None:
        raise Refused("The company's own record is missing: its name, address and licence stand on every paper.")
    return company


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
    company = the_company()
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
        lines=tuple(_named_wall_line(line, choices[line.pk], sheet, company) for line in lines),
        catalogue=connector_inputs.catalogue(
            _connectors(lines, choices), bar_stock_in=company.bar_stock_in
        ),
        access_opening_in=(
            NOT_OBSERVED
            if surveyed.access_opening_width_in is None
            else (surveyed.access_opening_width_in, surveyed.access_opening_height_in)
        ),
    )  # fmt: skip


def observed(value: Any) -> Any:
    """The value, or "not observed" where the row holds none."""
    return NOT_OBSERVED if value in (None, "") else value


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


def _named_wall_line(line: WallLine, choice: LineChoice, sheet: CriteriaSheet, company: Company) -> inputs.WallLine:
    """The line; a value that can't be is refused under the line's label, so that a page can lead there."""
    try:
        return _wall_line(line, choice, sheet, company)
    except OutOfRange as problem:
        raise OutOfRange(f"lines.{line.label}.{problem.field}", problem.value, problem.allowed) from problem


def _wall_line(line: WallLine, choice: LineChoice, sheet: CriteriaSheet, company: Company) -> inputs.WallLine:
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
            concrete_psi=observed(line.concrete_psi),
            concrete_basis=line.concrete_basis,
            condition=observed(line.foundation_condition),
            section_loss_percent=observed(line.section_loss_percent),
            accepted_by=line.foundation_accepted_by.display_name if line.foundation_accepted_by else "",
        ),
        sheathing=_sheathing(line, choice),
        end_post=inputs.EndPost(
            width_in=choice.end_post_width_in, depth_in=choice.end_post_depth_in,
            rod_from_end_in=choice.rod_from_end_in, compression_from_end_in=choice.compression_from_end_in,
        ),
        existing_anchors=tuple(
            inputs.ExistingAnchor(
                at_ft=anchor.at_in / 12, diameter_in=anchor.diameter_in, embedment_in=observed(anchor.embedment_in),
                edge_in=observed(anchor.edge_in), end_in=observed(anchor.end_in), accepted=anchor.accepted,
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
        floor_sheathing=observed(line.link_0_floor_sheathing),
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


def _framing(line: WallLine, company: Company) -> inputs.Framing:
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
        top_nails_reach=observed(line.top_nails_reach),
        jig_bears_on=observed(line.jig_bears_on),
        headroom_in=observed(line.headroom_in),
        ceiling_finish=line.ceiling_finish,
    )


def _member(line: WallLine, name: str, company: Company) -> inputs.Member:
    treated = bool(line.sill_treated) if name == "sill" else False
    species, gravity = getattr(line, f"{name}_species"), getattr(line, f"{name}_specific_gravity")
    if species and gravity is not None:
        basis = getattr(line, f"{name}_basis")
        return inputs.Member(species=species, specific_gravity=gravity, basis=basis, treated=treated)
    year = line.house.year_built
    rows = [
        row
        for row in company.species_list
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
        basis=f"assumed, not observed: the lowest of the company's list for a house of {year or 'unknown age'}",
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
