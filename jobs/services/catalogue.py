"""The connector catalogue."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db import transaction

from jobs import policy
from jobs.models import Connector, User
from jobs.services import log
from jobs.services.versions import create, editable, save_if_current

EDITABLE = editable(Connector, "key")  # issued designs quote the key


@transaction.atomic
def create_connector(*, by: User, **facts: Any) -> Connector:
    """A new connector. ValidationError when a computed one lacks geometry or an evaluated one its report."""
    policy.require(by, "catalogue.edit")
    connector = create(Connector, facts, allowed=editable(Connector))
    log.record(by=by, what="catalogue.edit", subject=f"connector {connector.key}", after=connector.name)
    return connector


@transaction.atomic
def edit_connector(*, connector_id: int, seen_version: int, changes: Mapping[str, Any], by: User) -> Connector:
    """Change a connector; its key stays. Stale when someone else did meanwhile. Issued designs keep their values."""
    policy.require(by, "catalogue.edit")
    connector = Connector.objects.get(pk=connector_id)
    change = save_if_current(connector, seen_version=seen_version, changes=changes, allowed=EDITABLE)
    if change:
        subject = f"connector {connector.key}"
        log.record(by=by, what="catalogue.edit", subject=subject, before=change.before, after=change.after)
    return connector
