"""From rows to engineering inputs. Not a strength formula.

Everything missing is collected and refused in one go, so that the surveyor is sent back once.
"""

from __future__ import annotations

import datetime
from typing import Any

from engineering import inputs, site_coefficients
from engineering.inputs import NOT_OBSERVED
from jobs import connector_inputs, line_inputs
from jobs.errors import Refused
from jobs.models import (
    ENGINEER_MODE_ITEMS,
    SCOPE_ITEMS,
    CodeFamily,
    Company,
    CriteriaSheet,
    House,
    Job,
)

SCOPE_FIELDS = {item: item for item in SCOPE_ITEMS} | {"foundation": "masonry_or_partial_foundation"}


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
    facts = line_inputs.Facts()
    where = "House"
    for field in ("floor_outline_ft", "roof_outline_ft", "braced_wall_height_in", "floor_depth_in",
                  "story_wall_height_in", "roof_psf", "floor_psf", "partitions_psf", "story_wall_psf",
                  "braced_wall_psf", "s_1_g", "t_l_s", "hazard_source",
                  "seismic_design_category"):  # fmt: skip
        facts.need(surveyed, field, where)
    lines = list(surveyed.wall_lines.order_by("label"))
    if not lines:
        facts.missing.append("House: no wall line has been surveyed.")
    choices = {choice.wall_line_id: choice for choice in job.line_choices.all()}
    line_inputs.need_line_facts(facts, lines, choices)
    mapped = _mapped(surveyed, sheet)
    for field in () if mapped else ("s_ds_g", "s_d1_g"):
        facts.need(surveyed, field, where)
    facts.refuse_if_missing()
    return inputs.HouseInputs(
        calculation_date=on.isoformat(),
        hazard=_hazard(surveyed, sheet, mapped),
        criteria=inputs.Criteria(
            code_family=sheet.code_family, legal_basis=sheet.legal_basis, force_level=sheet.force_level,
            force_factor=sheet.force_factor, response_modification=sheet.response_modification,
            importance=sheet.importance, redundancy=sheet.redundancy, regular_in_plan=bool(surveyed.regular_in_plan),
            load_duration=sheet.load_duration, maximum_connector_spacing_in=sheet.maximum_connector_spacing_in,
            risk_category=sheet.risk_category, system=sheet.system,
            system_accepted_by=_confirmed_name(sheet) if sheet.accepts_r_for_panels else "",
            s_ds_cap=sheet.s_ds_cap, regular_in_height=bool(surveyed.regular_in_height), diaphragm=sheet.diaphragm,
            diaphragm_force_governs=sheet.diaphragm_force_governs, mode=_mode(surveyed),
            small_pieces_accepted_by=_confirmed_name(sheet) if sheet.small_pieces_accepted else "",
        ),
        building=_building(surveyed),
        lines=tuple(line_inputs.wall_line(line, choices[line.pk], sheet, company) for line in lines),
        catalogue=connector_inputs.catalogue(
            line_inputs.connectors(lines, choices), bar_stock_in=company.bar_stock_in
        ),
        access_opening_in=(
            NOT_OBSERVED
            if surveyed.access_opening_width_in is None
            else (surveyed.access_opening_width_in, surveyed.access_opening_height_in)
        ),
        scope=_scope(surveyed),
    )  # fmt: skip


def _mapped(surveyed: House, sheet: CriteriaSheet) -> inputs.MappedMotion | None:
    """Mapped motion, where it was entered and the code family has site coefficients for it."""
    if sheet.code_family != CodeFamily.FAMILY_2021 or surveyed.s_s_g is None or not surveyed.site_class:
        return None
    if surveyed.s_1_g is None:
        return None
    return inputs.MappedMotion(
        s_s_g=surveyed.s_s_g, s_1_g=surveyed.s_1_g, site_class=surveyed.site_class,
        shear_wave_measured=bool(surveyed.shear_wave_measured),
    )  # fmt: skip


def _hazard(surveyed: House, sheet: CriteriaSheet, mapped: inputs.MappedMotion | None) -> inputs.Hazard:
    """The hazard as entered; S_DS and S_D1 that were left out follow from the mapped motion."""
    s_ds_g, s_d1_g = surveyed.s_ds_g, surveyed.s_d1_g
    if mapped and None in (s_ds_g, s_d1_g):
        spectrum = site_coefficients.spectrum(mapped, risk_category=sheet.risk_category, code_family=sheet.code_family)
        s_ds_g, s_d1_g = spectrum.s_ds_g, spectrum.s_d1_g
    return inputs.Hazard(
        s_ds_g=s_ds_g, s_d1_g=s_d1_g, s_1_g=surveyed.s_1_g, t_l_s=surveyed.t_l_s, source=surveyed.hazard_source,
        seismic_design_category=surveyed.seismic_design_category, site_class=line_inputs.observed(surveyed.site_class),
        mapped=mapped,
    )  # fmt: skip


def _confirmed_name(sheet: CriteriaSheet) -> str:
    return sheet.confirmed_by.display_name if sheet.is_confirmed else ""


def _mode(surveyed: House) -> str:
    """The modes that the engineer named; empty while one that is needed is not named."""
    flagged = [
        answer for item in ENGINEER_MODE_ITEMS if (answer := surveyed.scope_screen.get(item, {})).get("flag") is True
    ]
    modes = [answer.get("mode", "") for answer in flagged]
    return "; ".join(modes) if all(modes) else ""


def _scope(surveyed: House) -> inputs.ScopeScreen:
    return inputs.ScopeScreen(
        **{field: _scope_answer(surveyed.scope_screen.get(item, {})) for item, field in SCOPE_FIELDS.items()}
    )


def _scope_answer(answer: dict[str, Any]) -> inputs.ScopeAnswer:
    said: dict[Any, Any] = {True: "yes", False: "no"}
    return inputs.ScopeAnswer(answer=said.get(answer.get("flag"), NOT_OBSERVED), reason=answer.get("reason", ""))


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
            source=surveyed.weights_source or "as given", assemblies=_assemblies(surveyed),
            flat_roof_snow_psf=surveyed.flat_roof_snow_psf or 0.0,
        ),
        point_weights=tuple(
            inputs.PointWeight(label=weight.label, at_ft=(weight.x_ft, weight.y_ft), weight_lb=weight.weight_lb,
                               by_level_lb=tuple(float(share) for share in weight.by_level_lb))
            for weight in surveyed.point_weights.all()
        ),
        story_above=tuple(
            inputs.StoryAbove(
                line=wall.line_label, full_height_wall_ft=wall.full_height_wall_ft, story=wall.story
            )
            for wall in surveyed.story_above.all()
        ),
        upper_stories=tuple(
            inputs.Story(
                label=story.label, floor_outline_ft=_outline(story.floor_outline_ft),
                floor_depth_ft=story.floor_depth_in / 12, wall_height_ft=story.wall_height_in / 12,
                floor_psf=story.floor_psf, partitions_psf=story.partitions_psf, wall_psf=story.wall_psf,
            )
            for story in surveyed.upper_stories.all()
        ),
    )  # fmt: skip


def _assemblies(surveyed: House) -> tuple[inputs.Assembly, ...]:
    parts: dict[Any, list[inputs.AssemblyPart]] = {}
    for row in surveyed.weight_parts.all():
        part = inputs.AssemblyPart(name=row.name, weight_psf=row.weight_psf, note=row.note, times=row.times)
        parts.setdefault(row.use, []).append(part)
    return tuple(inputs.Assembly(use=use, parts=tuple(found)) for use, found in parts.items())


def _outline(points: list[list[float]]) -> tuple[inputs.Point, ...]:
    return tuple((float(x), float(y)) for x, y in points)
