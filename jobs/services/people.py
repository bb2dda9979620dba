"""Users and their roles, licences, certificates, crews."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from django.contrib.auth.models import Group
from django.contrib.auth.password_validation import validate_password
from django.db import transaction
from django.utils import timezone

from jobs import policy
from jobs.errors import Refused
from jobs.models import Crew, EngineerLicence, EnrolledCertificate, Role, User
from jobs.services import log
from jobs.services.versions import create, save_if_current


def make_role_groups(**kwargs: Any) -> None:
    """Make the role groups that are missing; runs after each migrate (a flush empties them)."""
    for role in Role:
        Group.objects.using(kwargs.get("using", "default")).get_or_create(name=role.value)


@transaction.atomic
def create_first_user(*, username: str, password: str, first_name: str = "", last_name: str = "") -> User:
    """The office account of a new installation. Refused once there is any user."""
    if User.objects.exists():
        raise Refused("There are users already; an office user adds the next one.")
    user = _new_user(username, password, first_name=first_name, last_name=last_name)
    user.groups.set(Group.objects.filter(name=Role.OFFICE))
    log.record(by=user, what="people.manage", subject=f"user {username}", after=Role.OFFICE)
    return user


@transaction.atomic
def create_user(
    *,
    username: str,
    password: str,
    roles: Iterable[str],
    by: User,
    first_name: str = "",
    last_name: str = "",
    email: str = "",
) -> User:
    """A new user with these roles. ValidationError for a weak password or a taken name; Refused as `set_roles`."""
    policy.require(by, "people.manage")
    user = _new_user(username, password, first_name=first_name, last_name=last_name, email=email)
    return set_roles(user_id=user.pk, roles=roles, by=by)


def _new_user(username: str, password: str, **facts: str) -> User:
    user = User(username=username, **facts)
    validate_password(password, user)
    user.set_password(password)
    user.full_clean()
    user.save()
    return user


@transaction.atomic
def set_roles(*, user_id: int, roles: Iterable[str], by: User) -> User:
    """Give a user exactly these roles. Refused for none, for engineer beside another, and for the last office user."""
    policy.require(by, "people.manage")
    user = User.objects.select_for_update().get(pk=user_id)
    wanted = frozenset(Role(role) for role in roles)
    if reasons := reasons_against_roles(user, wanted):
        raise Refused(*reasons)
    before = user.roles
    user.groups.set(Group.objects.filter(name__in=wanted))
    user = User.objects.get(pk=user_id)  # roles are read once an instance
    log.record(
        by=by,
        what="people.manage",
        subject=f"user {user.username}",
        before=", ".join(sorted(before)),
        after=", ".join(sorted(wanted)),
    )
    return user


def reasons_against_roles(user: User, wanted: frozenset[str]) -> list[str]:
    """Why the user must not hold exactly these roles; empty when nothing stands against it."""
    reasons = []
    if not wanted:
        reasons.append("A user needs at least one role; switch off an account that is no longer used.")
    if Role.ENGINEER in wanted and len(wanted) > 1:
        reasons.append("The engineer stands alone: outside the company, with no second role.")
    if Role.ENGINEER not in wanted and user.pk and user.assigned_jobs.exists():
        reasons.append("This engineer is assigned to jobs; assign another engineer to them first.")
    if Role.OFFICE not in wanted and is_last_office_user(user):
        reasons.append("This is the last office user; give another user that role first.")
    return reasons


def is_last_office_user(user: User) -> bool:
    """Whether nobody but this user could still use the admin."""
    others = User.objects.filter(groups__name=Role.OFFICE, is_active=True).exclude(pk=user.pk)
    return user.pk is not None and not others.exists()


@transaction.atomic
def add_licence(
    *, user_id: int, state: str, number: str, discipline: str, expires_on: date, by: User
) -> EngineerLicence:
    """Record an engineer's licence as the state prints it."""
    policy.require(by, "people.manage")
    user = _engineer(user_id)
    facts = {"user": user, "state": state, "number": number, "discipline": discipline, "expires_on": expires_on}
    licence = create(EngineerLicence, facts)
    log.record(by=by, what="people.manage", subject=f"user {user.username}", after=f"licence {licence}")
    return licence


def current_licence(*, user: User, state: str, on: date) -> EngineerLicence | None:
    """The user's licence in this state that is good on that day, the one that lasts longest; None without one."""
    return user.licences.filter(state=state, expires_on__gte=on).order_by("-expires_on").first()


def read_certificate(certificate_pem: str) -> x509.Certificate:
    """The certificate in this PEM text. Refused when it can't be read, has run out or is enrolled already."""
    try:
        certificate = x509.load_pem_x509_certificate(certificate_pem.encode())
    except ValueError as why:
        raise Refused("This is not a certificate in PEM form.") from why
    if certificate.not_valid_after_utc <= timezone.now():
        raise Refused(f"This certificate ran out on {certificate.not_valid_after_utc:%d %b %Y}.")
    if EnrolledCertificate.objects.filter(fingerprint_sha256=certificate.fingerprint(hashes.SHA256()).hex()).exists():
        raise Refused("This certificate is enrolled already.")
    return certificate


@transaction.atomic
def enrol_certificate(*, user_id: int, certificate_pem: str, by: User) -> EnrolledCertificate:
    """Pin the certificate that an engineer signs with. Refused as `read_certificate`, or for another role."""
    policy.require(by, "people.manage")
    user = _engineer(user_id)
    certificate = read_certificate(certificate_pem)
    row = EnrolledCertificate.objects.create(
        user=user,
        certificate_pem=certificate_pem,
        fingerprint_sha256=certificate.fingerprint(hashes.SHA256()).hex(),
        subject=certificate.subject.rfc4514_string()[:300],
        not_after=certificate.not_valid_after_utc,
        enrolled_at=timezone.now(),
    )
    after = f"certificate {row.fingerprint_sha256}"
    log.record(by=by, what="people.manage", subject=f"user {user.username}", after=after)
    return row


@transaction.atomic
def revoke_certificate(*, certificate_id: int, by: User) -> EnrolledCertificate:
    """From now on nothing signed with this certificate is accepted; earlier stamps stand."""
    policy.require(by, "people.manage")
    row = EnrolledCertificate.objects.select_for_update().get(pk=certificate_id)
    if row.revoked_at is None:
        row.revoked_at = timezone.now()
        row.save(update_fields=["revoked_at"])
        what = f"certificate {row.fingerprint_sha256} revoked"
        log.record(by=by, what="people.manage", subject=f"user {row.user.username}", after=what)
    return row


@transaction.atomic
def create_crew(*, name: str, lead_id: int, member_ids: Iterable[int], by: User) -> Crew:
    """A crew of installers with its lead."""
    policy.require(by, "people.manage")
    members = list(member_ids)
    _refuse_other_than_installers([lead_id, *members])
    crew = create(Crew, {"name": name, "lead": User.objects.get(pk=lead_id)})
    crew.members.set(members)
    log.record(by=by, what="people.manage", subject=f"crew {name}", after=_crew_said(crew))
    return crew


@transaction.atomic
def edit_crew(*, crew_id: int, seen_version: int, name: str, lead_id: int, member_ids: Iterable[int], by: User) -> Crew:
    """Change a crew's name, lead and members. Stale when someone else did meanwhile."""
    policy.require(by, "people.manage")
    members = list(member_ids)
    _refuse_other_than_installers([lead_id, *members])
    crew = Crew.objects.get(pk=crew_id)
    before = _crew_said(crew)
    save_if_current(crew, seen_version=seen_version, changes={"name": name, "lead": User.objects.get(pk=lead_id)})
    crew.members.set(members)
    log.record(by=by, what="people.manage", subject=f"crew {name}", before=before, after=_crew_said(crew))
    return crew


def _crew_said(crew: Crew) -> str:
    members = ", ".join(sorted(member.username for member in crew.members.all()))
    return f"{crew.name}: lead {crew.lead.username}; {members}"


def _engineer(user_id: int) -> User:
    user = User.objects.get(pk=user_id)
    if Role.ENGINEER not in user.roles:
        raise Refused(f"{user.display_name} is not an engineer.")
    return user


def _refuse_other_than_installers(user_ids: Iterable[int]) -> None:
    others = [user for user in User.objects.filter(pk__in=list(user_ids)) if Role.INSTALLER not in user.roles]
    if others:
        raise Refused(*(f"{user.display_name} is not an installer." for user in others))
