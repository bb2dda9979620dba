"""Clients, the company's own row, jurisdictions."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db import transaction

from jobs import policy
from jobs.models import Client, Company, Jurisdiction, User
from jobs.services import log
from jobs.services.versions import create, editable, save_if_current


@transaction.atomic
def create_client(*, by: User, **facts: Any) -> Client:
    """A new client. ValidationError names the fields that can't be."""
    policy.require(by, "client.edit")
    client = create(Client, facts, allowed=editable(Client))
    log.record(by=by, what="client.edit", subject=f"client {client.pk}", after=client.name)
    return client


@transaction.atomic
def edit_client(*, client_id: int, seen_version: int, changes: Mapping[str, Any], by: User) -> Client:
    """Change a client. Stale when someone else did meanwhile."""
    client = Client.objects.get(pk=client_id)
    policy.require(by, "client.edit", on=client)
    change = save_if_current(client, seen_version=seen_version, changes=changes, allowed=editable(Client))
    if change:
        subject = f"client {client.pk}"
        log.record(by=by, what="client.edit", subject=subject, before=change.before, after=change.after)
    return client


@transaction.atomic
def set_company(*, by: User, seen_version: int | None = None, **facts: Any) -> Company:
    """Write the one row about the company; the first time `seen_version` is None."""
    policy.require(by, "admin.use")
    company = Company.objects.filter(pk=1).first()
    if company is None:
        company = create(Company, {"id": 1, **facts})
        log.record(by=by, what="admin.use", subject="company", after=company.name)
        return company
    change = save_if_current(company, seen_version=seen_version or 0, changes=facts, allowed=editable(Company))
    if change:
        log.record(by=by, what="admin.use", subject="company", before=change.before, after=change.after)
    return company


@transaction.atomic
def create_jurisdiction(*, by: User, **facts: Any) -> Jurisdiction:
    """A new building department."""
    policy.require(by, "admin.use")
    jurisdiction = create(Jurisdiction, facts, allowed=editable(Jurisdiction))
    log.record(by=by, what="admin.use", subject=f"jurisdiction {jurisdiction}", after=jurisdiction.code_title)
    return jurisdiction


@transaction.atomic
def edit_jurisdiction(*, jurisdiction_id: int, seen_version: int, changes: Mapping[str, Any], by: User) -> Jurisdiction:
    """Change a building department's record. Stale when someone else did meanwhile."""
    policy.require(by, "admin.use")
    row = Jurisdiction.objects.get(pk=jurisdiction_id)
    change = save_if_current(row, seen_version=seen_version, changes=changes, allowed=editable(Jurisdiction))
    if change:
        subject = f"jurisdiction {row}"
        log.record(by=by, what="admin.use", subject=subject, before=change.before, after=change.after)
    return row
