"""Saving a row only if nobody changed it since it was read. Every edit goes through here."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite
from typing import Any

from django.core.exceptions import FieldDoesNotExist, ValidationError
from django.db import transaction
from django.db.models import F, Model

from jobs.errors import Stale
from jobs.models.base import Versioned


@dataclass(frozen=True, slots=True)
class Change:
    """What an edit changed, as the log prints it."""

    before: str
    after: str

    def __bool__(self) -> bool:
        return self.before != self.after


@transaction.atomic
def save_if_current(
    row: Versioned, *, seen_version: int, changes: Mapping[str, Any], allowed: frozenset[str] | None = None
) -> Change:
    """Write `changes` to the row with one UPDATE … WHERE version = seen_version, and count the version up.

    `allowed` names the fields that this act may write; another name is a FieldDoesNotExist, as is a field that the
    model lacks. ValidationError when a value or a combination breaks the model's rules; Stale, with the row as it
    stands, when the version is another. The given row holds the new values afterwards.
    """
    if row.version != seen_version:
        raise Stale(_now(row))
    for name in changes:
        field = row._meta.get_field(name)
        if (
            not field.concrete
            or field.primary_key
            or name == "version"
            or (allowed is not None and name not in allowed)
        ):
            raise FieldDoesNotExist(f"{row._meta.verbose_name} has no field {name!r} to edit here.")
    before = {name: getattr(row, name) for name in changes}
    for name, value in changes.items():
        setattr(row, name, value)
    _clean(row)  # also turns "12" into 12, so take the cleaned values
    after = {name: getattr(row, name) for name in changes}
    written = type(row)._base_manager.filter(pk=row.pk, version=seen_version).update(version=F("version") + 1, **after)
    if not written:
        raise Stale(_now(row))
    row.version = seen_version + 1
    changed = [name for name in changes if before[name] != after[name]]
    return Change(_said(changed, before), _said(changed, after))


def create(model: type[Model], facts: Mapping[str, Any], *, allowed: frozenset[str] | None = None) -> Any:
    """A new row that keeps the model's rules: ValidationError names each field that does not."""
    fields = {field.name for field in model._meta.fields}
    for name in facts:
        if name not in fields or (allowed is not None and name not in allowed):
            raise FieldDoesNotExist(f"{model._meta.verbose_name} has no field {name!r} to fill in here.")
    row = model(**facts)
    _clean(row)
    row.save()
    return row


def editable(model: type[Model], *without: str) -> frozenset[str]:
    """The names of a model's fields that a form may write, less those named."""
    return frozenset(field.name for field in model._meta.fields if field.editable and not field.primary_key) - {
        *without
    }


def refuse(**problems: str) -> None:
    """Raise a ValidationError with one sentence a field."""
    raise ValidationError({name: [problem] for name, problem in problems.items()})


def _clean(row: Model) -> None:
    """The model's own rules, and no number without end: a database keeps NaN as "not observed"."""
    for field in row._meta.fields:
        value = getattr(row, field.attname)
        if isinstance(value, float) and not isfinite(value):
            refuse(**{field.name: f"{field.verbose_name} must be a finite number."})
    row.full_clean()


def _now(row: Versioned) -> Versioned:
    return type(row)._base_manager.get(pk=row.pk)


def _said(names: list[str], values: Mapping[str, Any]) -> str:
    return "; ".join(f"{name} = {'not observed' if values[name] is None else values[name]}" for name in names)
