"""The dataclass of what a calculation gives back. Inputs stay frozen dataclasses."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeVar, dataclass_transform

T = TypeVar("T")


@dataclass_transform(frozen_default=True, kw_only_default=True)
def record(made: type[T]) -> type[T]:
    """A keyword-only dataclass with slots that the type checker holds frozen.

    Frozen at run time as well it would take three times as long to make, a sixth of a house's whole calculation.
    """
    return dataclass(slots=True, kw_only=True, unsafe_hash=True)(made)
