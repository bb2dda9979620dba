"""What rows have in common: a version where they can be edited, a lock where they can not."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NoReturn

from django.db import models
from django.db.models import Q

from jobs.errors import NeverChanged


class Versioned(models.Model):
    """An editable row. `services.versions.save_if_current` is the only writer of `version`."""

    version = models.PositiveIntegerField(default=1, editable=False)

    class Meta:
        abstract = True


class FrozenQuerySet(models.QuerySet):
    """Adds rows and reads them; refuses to change or delete any."""

    def update(self, **kwargs: Any) -> NoReturn:
        raise NeverChanged(f"{self.model.__name__} rows are written once; update() is refused.")

    def delete(self) -> NoReturn:
        raise NeverChanged(f"{self.model.__name__} rows are kept for good; delete() is refused.")

    def bulk_create(self, objs: Iterable[models.Model], *args: Any, **kwargs: Any) -> list[models.Model]:
        if kwargs.get("update_conflicts"):
            raise NeverChanged(f"{self.model.__name__} rows are written once; update_conflicts is refused.")
        return super().bulk_create(objs, *args, **kwargs)


class Frozen(models.Model):
    """A row that is written once: issued designs, stamps, log entries, field events."""

    objects = FrozenQuerySet.as_manager()

    class Meta:
        abstract = True
        base_manager_name = "objects"

    def save(self, **kwargs: Any) -> None:
        if not self._state.adding:
            raise NeverChanged(f"{type(self).__name__} {self.pk} is written once; save() is refused.")
        super().save(**(kwargs | {"force_insert": True}))

    def delete(self, **kwargs: Any) -> NoReturn:
        raise NeverChanged(f"{type(self).__name__} {self.pk} is kept for good; delete() is refused.")


def positive(table: str, *fields: str) -> list[models.CheckConstraint]:
    """One named check a field: above zero. NULL (not observed) passes."""
    return [
        models.CheckConstraint(
            name=f"{table}_{field}_above_zero",
            condition=Q(**{f"{field}__gt": 0}),
            violation_error_message=f"{field.replace('_', ' ')} must be greater than 0.",
        )
        for field in fields
    ]


def not_negative(table: str, *fields: str) -> list[models.CheckConstraint]:
    """One named check a field: zero or more. NULL (not observed) passes."""
    return [
        models.CheckConstraint(
            name=f"{table}_{field}_not_negative",
            condition=Q(**{f"{field}__gte": 0}),
            violation_error_message=f"{field.replace('_', ' ')} must not be negative.",
        )
        for field in fields
    ]


def span(table: str) -> list[models.CheckConstraint]:
    """A stretch along a wall line starts at or after its zero end and has a length."""
    return [
        models.CheckConstraint(
            name=f"{table}_from_not_negative",
            condition=Q(from_in__gte=0),
            violation_error_message="A stretch starts at or after the zero end of its wall line.",
        ),
        models.CheckConstraint(
            name=f"{table}_to_after_from",
            condition=Q(to_in__gt=models.F("from_in")),
            violation_error_message="A stretch ends after it starts.",
        ),
    ]


def known(table: str, field: str, choices: type[models.TextChoices], *, blank: bool = False) -> models.CheckConstraint:
    """The field holds one of its choices (or nothing, where `blank`)."""
    values = [*choices.values, *([""] if blank else [])]
    return models.CheckConstraint(name=f"{table}_{field}_known", condition=Q(**{f"{field}__in": values}))
