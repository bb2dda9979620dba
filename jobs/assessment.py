"""What the present rows come to, and the snapshot that an issued design keeps of it. Not a strength formula."""

from __future__ import annotations

import datetime
import hashlib
from collections.abc import Iterable
from typing import Any

from engineering import exchange, house, inputs
from engineering.inputs import NOT_OBSERVED
from engineering.results import HouseResult
from jobs.line_inputs import observed
from jobs.models import CriteriaSheet, House, Job, TableSetAcceptance, WallLine
from jobs.survey_inputs import criteria_for, house_inputs, the_company

SNAPSHOT_FORMAT = 1


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
                "company": _fields(the_company(), ("name", "address", "phone", "contractor_licence")),
                "estimator": job.estimator.display_name if job.estimator else "",
                "permit_applied_on": _iso(job.permit_applied_on),
            },
            # Not among the facts that are hashed: engineering's input holds it, and only where it is given.
            "criteria": {**_criteria_facts(sheet), "small_pieces_accepted": sheet.small_pieces_accepted},
            "table_set": _table_set(sheet),
            "lines": {line.label: _line_facts(line) for line in surveyed.wall_lines.order_by("label")},
            "inputs": exchange.dumps(made_from),
            "result": exchange.dumps(result),
        }
    )
    return text, _inputs_sha256(job, made_from, sheet), result


def _inputs_sha256(job: Job, made_from: inputs.HouseInputs, sheet: CriteriaSheet) -> str:
    design_inputs = exchange.essential(made_from)
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


def _house_facts(surveyed: House) -> dict[str, Any]:
    width_in, height_in = surveyed.access_opening_width_in, surveyed.access_opening_height_in
    return {
        **_fields(surveyed, ("address", "city", "state", "postal_code", "parcel_number", "legal_description", "zoning",
                             "occupancy_group", "construction_type", "year_built", "stories", "dwelling_units",
                             "scope_screen", "weights_source", "hazard_source")),
        "hazard_date": _iso(surveyed.hazard_date),
        "client_name": surveyed.client.name,
        "client_address": surveyed.client.mailing_address,
        "client_phone": surveyed.client.phone,
        "floor_sheathing": observed(surveyed.floor_sheathing),
        "framing_kind": observed(surveyed.framing_kind),
        "access_opening_in": NOT_OBSERVED if width_in is None else [width_in, height_in],
        "water_heater_strapped": observed(surveyed.water_heater_strapped),
        "lead_test": _test(surveyed.lead_test_on, surveyed.lead_test_result),
        "asbestos_test": _test(surveyed.asbestos_test_on, surveyed.asbestos_test_result),
    }  # fmt: skip


def _test(day: datetime.date | None, found: str) -> str:
    return f"{day.day} {day:%b %Y}: {found}" if day else "not tested"


def _criteria_facts(sheet: CriteriaSheet) -> dict[str, Any]:
    confirmed = sheet.is_confirmed
    return {
        **_fields(sheet, ("code_family", "legal_basis", "force_level", "force_factor", "response_modification",
                          "importance", "redundancy", "load_duration", "maximum_connector_spacing_in",
                          "risk_category", "system", "s_ds_cap",
                          "diaphragm", "diaphragm_force_governs", "accepts_r_for_panels", "link_0_accepted",
                          "remaining_deficiencies", "method", "notes")),
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
        "foundation_condition": observed(line.foundation_condition),
        "foundation_continuous": observed(line.foundation_continuous),
        "crack_width_in": observed(line.crack_width_in),
        "sill_edge_in": observed(line.sill_edge_in),
    }
