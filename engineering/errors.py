"""The one error that engineering raises for a value it can't use."""

from __future__ import annotations


class OutOfRange(ValueError):
    """A value outside what a formula, table or catalogue record allows.

    `field` is the dotted path of the input, `value` what was given, `allowed` what would be accepted.
    """

    def __init__(self, field: str, value: object, allowed: str) -> None:
        self.field = field
        self.value = value
        self.allowed = allowed
        super().__init__(f"{field} = {value!r}: {allowed}")

    def __reduce__(self) -> tuple[type[OutOfRange], tuple[str, object, str]]:
        return (type(self), (self.field, self.value, self.allowed))


def require_positive(**values: float) -> None:
    """Raise OutOfRange for the first value that is not a finite number above zero."""
    for field, value in values.items():
        if not 0 < value < float("inf"):
            raise OutOfRange(field, value, "must be a number greater than 0")


def require_within(field: str, value: float, low: float, high: float) -> None:
    """Raise OutOfRange unless low <= value <= high."""
    if not low <= value <= high:
        raise OutOfRange(field, value, f"must be from {low:g} to {high:g}")
