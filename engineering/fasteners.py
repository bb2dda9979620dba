"""The fasteners of this trade where they are used: nails, toenails, a lag screw from below, a sill bolt (NDS 12)."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from engineering.adjustments import Moisture
from engineering.dowels import single_shear
from engineering.errors import OutOfRange
from engineering.finishes import require_finish
from engineering.inputs import DowelInputs, LagScrew, Member, Nail
from engineering.results import Check

SILL_BOLT_EMBEDMENT_IN: Final = 6.0


def nail_two_member(
    nail: Nail,
    side: Member,
    side_in: float,
    main: Member,
    main_in: float,
    *,
    load_duration: float,
    moisture: Moisture = "dry",
) -> Check:
    """Z' of a nail driven straight through `side` (thickness `side_in`) into `main` (`main_in` thick). [lb]

    OutOfRange where it does not go 6 D into the main member, or a bright nail meets treated wood.
    """
    require_finish("nail.finish", nail.finish, side, main)
    check = single_shear(
        DowelInputs(
            fastener="nail",
            diameter_in=nail.diameter_in,
            length_in=nail.length_in,
            main_specific_gravity=main.specific_gravity,
            main_thickness_in=main_in,
            side_specific_gravity=side.specific_gravity,
            side_bearing_in=side_in,
            load_duration=load_duration,
            moisture=moisture,
        )
    )
    return replace(check, name=f"{nail.name}, single shear")


def toenail(
    nail: Nail, side: Member, main: Member, main_in: float, *, load_duration: float, moisture: Moisture = "dry"
) -> Check:
    """Z' of a toenail through the end of `side` into `main` (`main_in` thick), C_tn = 0.83. [lb]

    Started L/3 from the end at 30°: l_s = L/3, p = L·cos 30° − L/3. OutOfRange below 6 D, or bright in treated wood.
    """
    require_finish("nail.finish", nail.finish, side, main)
    check = single_shear(
        DowelInputs(
            fastener="nail",
            diameter_in=nail.diameter_in,
            length_in=nail.length_in,
            main_specific_gravity=main.specific_gravity,
            main_thickness_in=main_in,
            side_specific_gravity=side.specific_gravity,
            toenail=True,
            load_duration=load_duration,
            moisture=moisture,
        )
    )
    return replace(check, name=f"{nail.name}, toenail")


def lag_through_plates(
    lag: LagScrew,
    plates_in: tuple[float, ...],
    plate: Member,
    joist: Member,
    *,
    load_duration: float,
    moisture: Moisture = "dry",
) -> Check:
    """Z' of a lag screw from below through the top plates (lower first) into the joist, along the grain. [lb]

    The side member is the upper plate alone. The root diameter counts where the shear plane between plate and joist
    cuts the thread.
    """
    if not plates_in:
        raise OutOfRange("plates_in", plates_in, "needs at least one plate thickness")
    require_finish("lag.finish", lag.finish, plate, joist)
    above_head_in = sum(plates_in) + lag.washer_in
    check = single_shear(
        DowelInputs(
            fastener="lag screw",
            diameter_in=lag.diameter_in,
            root_diameter_in=lag.root_diameter_in,
            length_in=lag.length_in,
            tip_in=lag.tip_in,
            thread_in=lag.thread_in,
            thread_in_shear_plane=above_head_in >= lag.length_in - lag.thread_in,
            main_specific_gravity=joist.specific_gravity,
            penetration_in=lag.length_in - above_head_in,
            side_specific_gravity=plate.specific_gravity,
            side_bearing_in=plates_in[-1],
            load_duration=load_duration,
            moisture=moisture,
        )
    )
    return replace(check, name=f"{lag.name}, through the plates into the joist")


def sill_bolt(
    diameter_in: float,
    sill: Member,
    sill_in: float,
    embedment_in: float,
    *,
    load_duration: float,
    moisture: Moisture = "dry",
    gap_in: float = 0.0,
) -> Check:
    """Z' of an anchor bolt on its wood side: sill to concrete, along the grain of the sill. [lb]

    Concrete bears 7 500 psi over no more than 6 in of embedment, as NDS Table 12E is made. `gap_in` under the sill
    (air, shims) bends the bolt (AWC TR 12). The concrete side is not in it (link 6b), nor group action (convention 13).
    """
    check = single_shear(
        DowelInputs(
            fastener="bolt",
            diameter_in=diameter_in,
            main_kind="concrete",
            penetration_in=min(embedment_in, SILL_BOLT_EMBEDMENT_IN),
            side_specific_gravity=sill.specific_gravity,
            side_bearing_in=sill_in,
            gap_in=gap_in,
            load_duration=load_duration,
            moisture=moisture,
        )
    )
    short = f"embedded {embedment_in:g} in, NDS Table 12E is made for {SILL_BOLT_EMBEDMENT_IN:g} in"
    return replace(
        check,
        name=f"{diameter_in:g} in anchor bolt, sill side",
        warnings=(short,) if embedment_in < SILL_BOLT_EMBEDMENT_IN else (),
    )
