"""What one wall line must carry. Not how it follows from the house."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class DiaphragmPart:
    """ASD force that one rectangle of the floor brings to the line along its own edge. [lb, ft from the zero end]"""

    from_ft: float
    to_ft: float
    demand_lb: float


@dataclass(frozen=True, slots=True)
class LineDemand:
    """What a wall line must carry at the force level. `parts` add up to `demand_lb`, `diaphragm_parts` to the other.

    `diaphragm_demand_lb` is the ASD line force by F_px. `moment_above_ft_lb` is the ASD moment of the levels above
    about the top of the braced wall, left out of its overturning. `vertical_asd` is 0.7·E_v/D: the share of the dead
    load that the vertical effect adds or takes away, not reduced with the level.
    """

    label: str
    length_ft: float
    demand_lb: float
    parts: tuple[DiaphragmPart, ...]
    diaphragm_demand_lb: float
    diaphragm_parts: tuple[DiaphragmPart, ...]
    moment_above_ft_lb: float
    vertical_asd: float
