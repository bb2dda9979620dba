"""Jobs: opening one, its people, the dated facts that the office enters, holds."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from datetime import date
from typing import Any

from django.core.files.base import ContentFile
from django.db import IntegrityError, transaction
from django.utils import timezone

from jobs import policy
from jobs.errors import Refused
from jobs.models import OVER, Hold, House, Job, Role, User
from jobs.services import log
from jobs.services.versions import create, save_if_current

SALES_FACTS = frozenset(
    {
        "title",
        "legal_basis",
        "estimator",
        "survey_on",
        "proposed_on",
        "contract_signed_on",
        "cancellation_ends_on",
        "programme",
        "waiting_for_who",
        "waiting_for_what",
        "waiting_for_due",
    }
)
OFFICE_FACTS = frozenset(
    {
        "permit_applied_on",
        "permit_number",
        "permit_issued_on",
        "programme_approved_on",
        "prescriptive_accepted_on",
    }
)
HAPPENED = {  # days on which something happened; they can't lie ahead
    "contract_signed_on": "The contract",
    "proposed_on": "The proposal",
    "permit_applied_on": "The permit application",
    "permit_issued_on": "The permit",
    "programme_approved_on": "The programme's approval",
    "prescriptive_accepted_on": "The acceptance of the prescriptive set",
}
NUMBER_TRIES = 5


@transaction.atomic
def create_job(
    *, house_id: int, title: str, legal_basis: str, by: User, estimator: User | None = None, programme: str = ""
) -> Job:
    """Open a job at "inquiry" under the next free number of the year."""
    house = House.objects.get(pk=house_id)
    policy.require(by, "job.create", on=house)
    _refuse_wrong_people(estimator=estimator)
    facts = {
        "house": house,
        "title": title,
        "legal_basis": legal_basis,
        "estimator": estimator,
        "programme": programme,
    }
    for _ in range(NUMBER_TRIES):
        try:
            with transaction.atomic():
                job = create(Job, {"number": _next_number(), **facts})
            break
        except IntegrityError:  # another job took the number at the same moment
            continue
    else:
        raise Refused("No free job number was found; try again.")
    log.record(by=by, what="job.create", job=job, house=house, after=str(job))
    return job


def _next_number() -> str:
    year = f"{timezone.localdate():%y}-"
    taken = [int(number.removeprefix(year)) for number in _numbers(year)]
    return f"{year}{max(taken, default=0) + 1:04d}"


def _numbers(year: str) -> list[str]:
    numbers = Job.objects.filter(number__startswith=year).values_list("number", flat=True)
    return [number for number in numbers if number.removeprefix(year).isdigit()]


@transaction.atomic
def edit_job(*, job_id: int, seen_version: int, changes: Mapping[str, Any], by: User) -> Job:
    """Change a job's facts; those of permit and programme are the office's.

    Refused for a day that lies ahead, a closed job, or a change of what the permit froze; Stale as everywhere.
    """
    job = Job.objects.select_related("house").get(pk=job_id)
    policy.require(by, "job.edit", on=job)
    if OFFICE_FACTS & changes.keys():
        policy.require(by, "job.record_permit", on=job)
    reasons = _not_over(job)
    today = timezone.localdate()
    reasons += [
        f"{words} is dated {changes[name]:%d %b %Y}, which lies ahead."
        for name, words in HAPPENED.items()
        if isinstance(changes.get(name), date) and changes[name] > today
    ]
    if job.permit_applied_on and changes.get("legal_basis", job.legal_basis) != job.legal_basis:
        reasons.append("The legal basis is frozen: the permit was applied for.")
    if reasons:
        raise Refused(*reasons)
    _refuse_wrong_people(estimator=changes.get("estimator"))
    change = save_if_current(job, seen_version=seen_version, changes=changes, allowed=SALES_FACTS | OFFICE_FACTS)
    if change:
        log.record(by=by, what="job.edit", job=job, before=change.before, after=change.after)
    return job


@transaction.atomic
def assign_engineer(*, job_id: int, engineer_id: int, seen_version: int, by: User) -> Job:
    """Give the job to a licensed engineer, who sees it from then on."""
    job = Job.objects.get(pk=job_id)
    policy.require(by, "job.assign", on=job)
    engineer = User.objects.get(pk=engineer_id)
    reasons = _not_over(job)
    if Role.ENGINEER not in engineer.roles:
        reasons.append(f"{engineer.display_name} is not an engineer.")
    if reasons:
        raise Refused(*reasons)
    change = save_if_current(job, seen_version=seen_version, changes={"assigned_engineer": engineer})
    if change:
        log.record(by=by, what="job.assign", job=job, before=change.before, after=change.after)
    return job


@transaction.atomic
def upload_city_set(*, job_id: int, seen_version: int, name: str, data: bytes, by: User) -> Job:
    """Keep the set that the building department approved, with its hash. Refused for what is not a PDF."""
    job = Job.objects.get(pk=job_id)
    policy.require(by, "job.record_permit", on=job)
    reasons = _not_over(job)
    if not data.startswith(b"%PDF-"):
        reasons.append(f"{name} is not a PDF file.")
    if reasons:
        raise Refused(*reasons)
    sha256 = hashlib.sha256(data).hexdigest()
    stored = job.city_set.field.storage.save(f"city_sets/{sha256}.pdf", ContentFile(data))
    changes = {"city_set": stored, "city_set_sha256": sha256, "city_set_uploaded_on": timezone.localdate()}
    change = save_if_current(job, seen_version=seen_version, changes=changes)
    log.record(by=by, what="job.city_set", job=job, before=change.before, after=change.after, note=name)
    return job


@transaction.atomic
def hold(*, job_id: int, reason: str, by: User) -> Hold:
    """Put a job on hold from today, with the reason. Refused when it is on hold already."""
    job = Job.objects.select_for_update().get(pk=job_id)
    policy.require(by, "job.hold", on=job)
    reasons = _not_over(job)
    if not reason.strip():
        reasons.append("Give the reason for the hold.")
    if job.current_hold:
        reasons.append(f"The job is on hold already, since {job.current_hold.since:%d %b %Y}.")
    if reasons:
        raise Refused(*reasons)
    held = Hold.objects.create(job=job, reason=reason.strip(), since=timezone.localdate())
    log.record(by=by, what="job.hold", job=job, after="on hold", note=held.reason)
    return held


@transaction.atomic
def lift_hold(*, job_id: int, by: User, note: str = "") -> Hold:
    """End the hold today. Refused when the job is not on hold."""
    job = Job.objects.select_for_update().get(pk=job_id)
    policy.require(by, "job.hold", on=job)
    held = job.current_hold
    if held is None:
        raise Refused("The job is not on hold.")
    held.until = timezone.localdate()
    held.save(update_fields=["until"])
    log.record(by=by, what="job.hold", job=job, before="on hold", after="lifted", note=note)
    return held


def _not_over(job: Job) -> list[str]:
    return [f"The job is {job.get_stage_display().lower()}; it can't be changed any more."] if job.stage in OVER else []


def _refuse_wrong_people(*, estimator: User | None) -> None:
    if estimator is not None and not estimator.roles & {Role.ESTIMATOR, Role.OFFICE}:
        raise Refused(f"{estimator.display_name} is not an estimator.")
