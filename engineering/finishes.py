"""Which finish a fastener must have where it meets treated wood. One rule for every nail, screw and connector."""

from __future__ import annotations

from engineering.errors import OutOfRange
from engineering.inputs import Member


def require_finish(field: str, finish: str, *members: Member) -> None:
    """Raise OutOfRange for a bright fastener in treated wood: hot-dip or stainless (convention 13, IBC 2304.10.6)."""
    if finish == "bright" and any(member.treated for member in members):
        raise OutOfRange(field, finish, "must be hot-dip or stainless in treated wood")
