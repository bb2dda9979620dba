"""The dowels that several tests start from: one nail, one lag screw, one bolt in wood and one in concrete."""

from __future__ import annotations

from engineering.inputs import DowelInputs, LagScrew, Member

FIR = Member(species="Douglas Fir-Larch", specific_gravity=0.5, basis="grade mark read")
LAG = LagScrew(
    key="lag",
    name="1/4 × 6 in lag screw",
    diameter_in=0.25,
    root_diameter_in=0.173,
    length_in=6,
    thread_in=3.5,
    tip_in=0.15625,
    finish="hot-dip",
)
NAIL = DowelInputs(
    fastener="nail",
    diameter_in=0.148,
    length_in=3,
    main_specific_gravity=0.5,
    side_specific_gravity=0.5,
    side_bearing_in=1.0,
)
BOLT = DowelInputs(
    fastener="bolt",
    diameter_in=0.5,
    main_specific_gravity=0.5,
    main_thickness_in=3.5,
    side_specific_gravity=0.5,
    side_bearing_in=1.5,
)
SILL_BOLT = DowelInputs(
    fastener="bolt",
    diameter_in=0.5,
    main_kind="concrete",
    penetration_in=6,
    side_specific_gravity=0.5,
    side_bearing_in=1.5,
)
