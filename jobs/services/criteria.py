"""Criteria sheets: the standing template, a job's own sheet, the engineer's confirmation; accepted table sets."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db import transaction
from django.utils import timezone

from jobs import policy
from jobs.errors import Refused, Stale
from jobs.models import CriteriaSheet, EngineerLicence, Job, Jurisdiction, TableSetAcceptance, User
from jobs.services import log
from jobs.services.people import current_licence
from jobs.services.versions import create, editable, save_if_current

EDITABLE = editable(CriteriaSheet, "job", "jurisdiction")
UNCONFIRMED = {"confirmed_by": None, "confirmed_on": None, "confirmed_licence": ""}


@transaction.atomic
def save_template(
    *, jurisdiction_id: int, code_family: str, by: User, seen_version: int | None = None, **facts: Any
) -> CriteriaSheet:
    """Write the standing template of a jurisdiction and family; `seen_version` None: for the first time.

    An engineer's act. Jobs that have their own sheet keep it.
    """
    policy.require(by, "criteria.edit_template")
    jurisdiction = Jurisdiction.objects.get(pk=jurisdiction_id)
    sheet = CriteriaSheet.objects.filter(job=None, jurisdiction=jurisdiction, code_family=code_family).first()
    if sheet is None:
        sheet = create(
            CriteriaSheet,
            {"jurisdiction": jurisdiction, "code_family": code_family, **facts},
            allowed=EDITABLE | {"jurisdiction"},
        )
        before, after = "", "made"
    elif seen_version is None:
        raise Stale(sheet)
    else:
        change = save_if_current(sheet, seen_version=seen_version, changes=facts, allowed=EDITABLE - {"code_family"})
        before, after = change.before, change.after
    if before != after:
        log.record(by=by, what="criteria.edit_template", subject=str(sheet)[:160], before=before, after=after)
    return sheet


@transaction.atomic
def start_sheet(*, job_id: int, by: User) -> CriteriaSheet:
    """The job's own sheet, copied from the standing template of its jurisdiction's adopted family.

    Refused when there is no template or the job has its sheet already. A copy decides nothing: until the engineer
    confirms it, a design is a quantity study.
    """
    job = Job.objects.select_related("house__jurisdiction").get(pk=job_id)
    policy.require(by, "criteria.start", on=job)
    jurisdiction = job.house.jurisdiction
    template = CriteriaSheet.objects.filter(
        job=None, jurisdiction=jurisdiction, code_family=jurisdiction.code_family
    ).first()
    if template is None:
        raise Refused(f"{jurisdiction} has no standing criteria template for the {jurisdiction.code_family} family.")
    if CriteriaSheet.objects.filter(job=job).exists():
        raise Refused("This job has its criteria sheet already.")
    copied = {name: getattr(template, name) for name in EDITABLE}
    sheet = create(CriteriaSheet, {"job": job, "jurisdiction": jurisdiction, **copied})
    log.record(by=by, what="criteria.start", job=job, after=f"copied from {template}")
    return sheet


@transaction.atomic
def edit_sheet(*, sheet_id: int, seen_version: int, changes: Mapping[str, Any], by: User) -> CriteriaSheet:
    """The assigned engineer changes the job's sheet. A change takes the confirmation away.

    Refused for another code family once the permit was applied for.
    """
    sheet = CriteriaSheet.objects.select_related("job").get(pk=sheet_id)
    policy.require(by, "criteria.edit", on=sheet)
    frozen = sheet.job.permit_applied_on
    if frozen and changes.get("code_family", sheet.code_family) != sheet.code_family:
        raise Refused(f"The code family is frozen: the permit was applied for on {frozen:%d %b %Y}.")
    change = save_if_current(
        sheet, seen_version=seen_version, changes={**UNCONFIRMED, **changes}, allowed=EDITABLE | UNCONFIRMED.keys()
    )
    if change:
        log.record(by=by, what="criteria.edit", job=sheet.job, before=change.before, after=change.after)
    return sheet


@transaction.atomic
def confirm_sheet(*, sheet_id: int, seen_version: int, by: User) -> CriteriaSheet:
    """The assigned engineer confirms the sheet as it stands, named and dated, under a licence of the house's state."""
    sheet = CriteriaSheet.objects.select_related("job__house").get(pk=sheet_id)
    policy.require(by, "criteria.confirm", on=sheet)
    reasons = []
    job, today = sheet.job, timezone.localdate()
    if job is None:
        raise Refused("A standing template is not confirmed; confirm the sheet of a job.")
    licence = current_licence(user=by, state=job.house.state, on=today)
    if licence is None:
        reasons.append(f"No licence of yours for {job.house.state} is on record and in force.")
    if sheet.legal_basis != job.legal_basis:
        reasons.append(
            f"The sheet's legal basis is {sheet.get_legal_basis_display()}, "
            f"the job's {job.get_legal_basis_display()}: make them agree."
        )
    if reasons:
        raise Refused(*reasons)
    changes = {"confirmed_by": by, "confirmed_on": today, "confirmed_licence": str(licence)}
    change = save_if_current(sheet, seen_version=seen_version, changes=changes)
    log.record(by=by, what="criteria.confirm", job=job, before=change.before, after=change.after)
    return sheet


@transaction.atomic
def accept_tables(*, code_family: str, licence_id: int, by: User) -> TableSetAcceptance:
    """An engineer accepts an edition's printed tables under one of their own licences, once."""
    policy.require(by, "tables.accept")
    licence = EngineerLicence.objects.get(pk=licence_id)
    reasons = []
    if licence.user_id != by.pk:
        reasons.append("Accept the tables under a licence of your own.")
    if licence.expires_on < timezone.localdate():
        reasons.append(f"The licence {licence} ran out on {licence.expires_on:%d %b %Y}.")
    if TableSetAcceptance.objects.filter(code_family=code_family, engineer=by).exists():
        reasons.append(f"You have accepted the {code_family} tables already.")
    if reasons:
        raise Refused(*reasons)
    row = create(
        TableSetAcceptance,
        {"code_family": code_family, "engineer": by, "licence": str(licence), "accepted_on": timezone.localdate()},
    )
    log.record(by=by, what="tables.accept", subject=f"{code_family} tables", after=str(row)[:300])
    return row
