"""Who may do what: one table from action to roles, the rules about a particular object beside it. No other place
decides; a page, an API route and a download all ask `check`."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.core.exceptions import PermissionDenied
from django.db.models import Model

from jobs.models import (
    Client,
    Company,
    Connector,
    Crew,
    CriteriaSheet,
    Design,
    EngineerLicence,
    EnrolledCertificate,
    FieldEvent,
    House,
    Inspection,
    Job,
    Jurisdiction,
    LineChoice,
    Packet,
    PacketFile,
    Role,
    User,
    WallLine,
    WorkOrder,
)

OFFICE, ESTIMATOR, ENGINEER, INSTALLER = Role.OFFICE, Role.ESTIMATOR, Role.ENGINEER, Role.INSTALLER
EVERYONE = frozenset(Role)
SALES = frozenset({OFFICE, ESTIMATOR})
PLANNERS = frozenset({OFFICE, ESTIMATOR, ENGINEER})

MAY: dict[str, frozenset[Role]] = {
    "admin.use": frozenset({OFFICE}),
    "people.manage": frozenset({OFFICE}),
    "catalogue.view": PLANNERS,
    "catalogue.edit": frozenset({OFFICE}),
    "jurisdiction.view": PLANNERS,
    "capacity.run": PLANNERS,
    "client.view": SALES,
    "client.edit": SALES,
    "house.view": EVERYONE,
    "house.edit": SALES,
    "house.name_mode": frozenset({ENGINEER}),
    "wall_line.view": EVERYONE,
    "wall_line.edit": SALES,
    "anchor.accept": frozenset({ENGINEER}),
    "sheathing.accept": frozenset({ENGINEER}),
    "nailing.accept": frozenset({ENGINEER}),
    "foundation.accept": frozenset({ENGINEER}),
    "job.view": EVERYONE,
    "job.create": SALES,
    "job.edit": SALES,
    "job.assign": frozenset({OFFICE}),
    "job.record_permit": frozenset({OFFICE}),
    "job.hold": frozenset({OFFICE}),
    "job.move.book_survey": SALES,
    "job.move.complete_survey": SALES,
    "job.move.set_criteria": PLANNERS,
    "job.move.design": PLANNERS,
    "job.move.propose": SALES,
    "job.move.sign_contract": SALES,
    "job.move.start_review": SALES,
    "job.move.stamp": frozenset({OFFICE, ENGINEER}),
    "job.move.submit": frozenset({OFFICE}),
    "job.move.record_permit": frozenset({OFFICE}),
    "job.move.release": frozenset({OFFICE}),
    "job.move.start_work": frozenset({OFFICE, INSTALLER}),
    "job.move.inspect": frozenset({OFFICE, INSTALLER}),
    "job.move.close": frozenset({OFFICE}),
    "job.move.lose": SALES,
    "job.move.cancel": frozenset({OFFICE}),
    "review.view": frozenset({ENGINEER}),
    "review.return": frozenset({ENGINEER}),
    "review.resolve": PLANNERS,
    "criteria.view": PLANNERS,
    "criteria.start": PLANNERS,
    "criteria.edit": frozenset({ENGINEER}),
    "criteria.edit_template": frozenset({ENGINEER}),
    "criteria.confirm": frozenset({ENGINEER}),
    "tables.accept": frozenset({ENGINEER}),
    "design.view": PLANNERS,
    "design.draft": PLANNERS,
    "design.issue": PLANNERS,
    "packet.view": EVERYONE,
    "packet.make": PLANNERS,
    "packet.sign": frozenset({ENGINEER}),
    "packet.withdraw": frozenset({ENGINEER}),
    "document.view": EVERYONE,
    "document.request": PLANNERS,
    "document.cancel": PLANNERS,
    "work_order.view": EVERYONE,
    "work_order.create": frozenset({OFFICE}),
    "work_order.log": frozenset({OFFICE, INSTALLER}),
    "work_order.acknowledge": frozenset({INSTALLER}),
    "work_order.tick": frozenset({INSTALLER}),
    "work_order.answer": frozenset({ENGINEER}),
    "inspection.view": EVERYONE,
    "inspection.record": frozenset({OFFICE, INSTALLER}),
    "as_built.view": PLANNERS,
    "test.accept": frozenset({ENGINEER}),
}


@dataclass(frozen=True, slots=True)
class Verdict:
    """Yes, or no with a reason that a person understands."""

    allowed: bool
    reason: str = ""

    def __bool__(self) -> bool:
        return self.allowed


YES = Verdict(True)


def check(user: Any, action: str, on: Model | None = None) -> Verdict:
    """Whether the user may do this, to this object. An unknown action or a kind of object without a rule is a bug:
    KeyError, never a quiet yes or no."""
    allowed = MAY[action]
    roles = getattr(user, "roles", frozenset())  # nobody logged in has none
    if not roles & allowed:
        return Verdict(False, f"This needs one of these roles: {', '.join(sorted(allowed))}.")
    return YES if on is None else _about(user, action, on)


def require(user: Any, action: str, on: Model | None = None) -> None:
    """Raise PermissionDenied with the verdict's reason unless `check` says yes."""
    if not (verdict := check(user, action, on)):
        raise PermissionDenied(verdict.reason)


# --- rules about one object ----------------------------------------------------------------------------------------
def _is_visible(user: User, on: Model) -> Verdict:
    seen = type(on).objects.visible_to(user).filter(pk=on.pk).exists()
    return YES if seen else Verdict(False, f"This {on._meta.verbose_name} is not one of yours.")


def _job_of(on: Model) -> Job | None:
    return JOB_OF[type(on)](on)


def _by_assigned_engineer(user: User, on: Model) -> Verdict:
    """The act is the engineer's of this very job."""
    job = _job_of(on)
    if job is not None and job.assigned_engineer_id == user.pk:
        return YES
    return Verdict(False, "Only the engineer assigned to this job may do this.")


def _by_engineer_of_the_house(user: User, on: Model) -> Verdict:
    house = on if isinstance(on, House) else on.house if isinstance(on, WallLine) else on.wall_line.house
    if house.jobs.filter(assigned_engineer=user).exists():
        return YES
    return Verdict(False, "Only an engineer assigned to a job of this house may do this.")


def _job_is_visible(user: User, on: Model) -> Verdict:
    job = _job_of(on)
    return YES if job is None else _is_visible(user, job)


def _by_the_crew(user: User, on: Model) -> Verdict:
    """Office may log for any crew; an installer for an own crew's work order."""
    return YES if Role.OFFICE in user.roles else _of_the_crew(user, on)


def _of_the_crew(user: User, on: WorkOrder) -> Verdict:
    return YES if on.crew.has(user) else Verdict(False, "This work order belongs to another crew.")


def _by_the_crew_lead(user: User, on: Model) -> Verdict:
    if on.crew.lead_id == user.pk:
        return YES
    return Verdict(False, "Only the lead of this work order's crew may tick a hold point.")


def _template_only(user: User, on: Model) -> Verdict:
    return YES if on.job_id is None else Verdict(False, "This sheet belongs to a job; it is not a standing template.")


def _document_is_visible(user: User, on: Model) -> Verdict:
    """A crew works from its work orders and the stamped plan set; the rest of a job's papers is not for it."""
    if user.roles & PLANNERS:
        if _job_is_visible(user, on):
            return YES
        if INSTALLER not in user.roles:
            return Verdict(False, "This paper belongs to a job that is not yours.")
    if isinstance(on, WorkOrder | Packet):
        return _is_visible(user, on)
    if isinstance(on, PacketFile):
        if on.kind == "calculations":
            return Verdict(False, "Crews use the plan set only.")
        return _is_visible(user, on.packet)
    return Verdict(False, "Crews see their work orders and the plan set only.")


JOB_OF: dict[type[Model], Callable[[Any], Job | None]] = {
    Job: lambda on: on,
    CriteriaSheet: lambda on: on.job,
    Design: lambda on: on.job,
    LineChoice: lambda on: on.job,
    Packet: lambda on: on.design.job,
    PacketFile: lambda on: on.packet.design.job,
    WorkOrder: lambda on: on.job,
    FieldEvent: lambda on: on.work_order.job,
    Inspection: lambda on: on.job,
}

OF_THE_COMPANY = (Company, Connector, Crew, EngineerLicence, EnrolledCertificate, Jurisdiction, User)

Rule = Callable[[User, Any], Verdict]
OBJECT_RULES: dict[str, Rule] = {
    "house.name_mode": _by_engineer_of_the_house,
    "anchor.accept": _by_engineer_of_the_house,
    "sheathing.accept": _by_engineer_of_the_house,
    "nailing.accept": _by_engineer_of_the_house,
    "foundation.accept": _by_engineer_of_the_house,
    "review.view": _by_assigned_engineer,
    "review.return": _by_assigned_engineer,
    "criteria.edit": _by_assigned_engineer,
    "criteria.confirm": _by_assigned_engineer,
    "criteria.edit_template": _template_only,
    "packet.sign": _by_assigned_engineer,
    "packet.withdraw": _by_assigned_engineer,
    "test.accept": _by_assigned_engineer,
    "packet.view": _document_is_visible,
    "document.view": _document_is_visible,
    "work_order.log": _by_the_crew,
    "work_order.acknowledge": _of_the_crew,
    "work_order.tick": _by_the_crew_lead,
    "work_order.answer": _by_assigned_engineer,
}


def _about(user: User, action: str, on: Model) -> Verdict:
    if rule := OBJECT_RULES.get(action):
        return rule(user, on)
    if isinstance(on, OF_THE_COMPANY):
        return YES
    if isinstance(on, House | WallLine | Client | Job | WorkOrder):
        return _is_visible(user, on)
    return _job_is_visible(user, on)
