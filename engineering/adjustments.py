"""Adjustment factors for connections (NDS chapters 2 and 11). Not who chooses them."""

from __future__ import annotations

from typing import Final

from engineering.errors import OutOfRange
from engineering.sources import Source

NDS_LOAD_DURATION: Final = Source("AWC NDS", "2018", "Table 2.3.2")
NDS_TOENAIL: Final = Source("AWC NDS", "2018", "11.5.4")

# Permanent, ten-year live, snow, seven-day construction, wind or earthquake. Impact (2.0) is not for connections.
LOAD_DURATIONS: Final = (0.9, 1.0, 1.15, 1.25, 1.6)
TOENAIL_LATERAL: Final = 0.83
TOENAIL_WITHDRAWAL: Final = 0.67


def require_load_duration(load_duration: float) -> None:
    """Raise OutOfRange unless `load_duration` is a factor C_D that NDS Table 2.3.2 gives for connections."""
    if load_duration not in LOAD_DURATIONS:
        allowed = ", ".join(f"{value:g}" for value in LOAD_DURATIONS)
        raise OutOfRange("load_duration", load_duration, f"must be one of {allowed} (NDS Table 2.3.2, connections)")
