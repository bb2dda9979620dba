"""One dowel-type fastener in single shear: bearing, bending yield, penetration, adjusted lateral value (NDS 12)."""

from __future__ import annotations

from dataclasses import replace
from math import cos, floor, radians, sin
from typing import Final, Literal

from engineering import tables
from engineering.adjustments import NDS_LOAD_DURATION, NDS_TOENAIL, TOENAIL_LATERAL
from engineering.errors import OutOfRange, require_positive, require_within
from engineering.inputs import DowelInputs, LagScrew, Member, Nail
from engineering.results import Check, Step
from engineering.sources import Source
from engineering.steps import step
from engineering.yield_modes import LARGE_DIAMETER_IN, reduction_terms, yield_modes

Fastener = Literal["nail", "wood screw", "lag screw", "bolt"]

NDS_BEARING: Final = Source("AWC NDS", "2018", "Table 12.3.3")
NDS_BEARING_ANGLE: Final = Source("AWC NDS", "2018", "12.3.4")
CONCRETE_BEARING: Final = Source(
    "AWC NDS", "2018", "Table 12E", read="https://web.mst.edu/jthomas/classes/5260/concept/13/03/index.html"
)
STEEL_BEARING: Final = Source("AWC NDS", "2018", "12.3.3 (steel: as entered)")
NDS_BENDING_YIELD: Final = Source("AWC NDS", "2018", "Appendix I, Table I1")
NDS_LAG_SIZES: Final = Source("AWC NDS", "2018", "Appendix L, Table L2")
NDS_SCREW_SIZES: Final = Source("AWC NDS", "2018", "Appendix L, Table L3")
NDS_DIAMETER: Final = Source("AWC NDS", "2018", "12.3.7")
NDS_BEARING_LENGTH: Final = Source("AWC NDS", "2018", "12.3.5")
NDS_TOENAIL_GEOMETRY: Final = Source("AWC NDS", "2018", "12.1.5.4")
NDS_PENETRATION: Final = Source(
    "AWC NDS", "2018", "12.1", read="http://www.awc.org/wood-design/2006/05/does-penetration-depth-factor-cd-apply.html"
)
NDS_LATERAL: Final = Source("AWC NDS", "2018", "12.3.1")

CONCRETE_BEARING_PSI: Final = 7500.0
SILL_BOLT_EMBEDMENT_IN: Final = 6.0
TOENAIL_ANGLE_DEG: Final = 30.0
TIP_DIAMETERS: Final = 2.0  # tip of a nail or wood screw


def single_shear(inputs: DowelInputs) -> Check:
    """Adjusted lateral value Z' of one fastener in single shear, with every step. Capacity in lb.

    Z' = Z · C_D · C_tn, Z the least of six yield modes, not rounded. Wood bearing strength is taken to the nearest
    50 psi as printed. Needs 6 D of penetration with the tip for nails and wood screws, 4 D without it for lag screws.
    A nail's bearing length is p for p ≥ 10 D, else p − D; a lag screw's is p − E/2; p stops at the far face of the
    main member. Raises OutOfRange for anything outside. NDS 12.1, 12.3.
    """
    diameter_in = inputs.diameter_in
    steps: list[Step] = []
    side_in, penetration_in = _reach(inputs, steps)
    main_length_in = _main_bearing_length_in(inputs, penetration_in, steps)
    yield_diameter_in = _yield_diameter(inputs, penetration_in, steps)
    main_psi = _bearing(
        "main",
        "Fem",
        inputs.main_kind,
        inputs.main_specific_gravity,
        inputs.main_bearing_psi,
        inputs.main_angle_deg,
        diameter_in,
        steps,
    )
    side_psi = _bearing(
        "side",
        "Fes",
        inputs.side_kind,
        inputs.side_specific_gravity,
        inputs.side_bearing_psi,
        inputs.side_angle_deg,
        diameter_in,
        steps,
    )
    yield_psi = _bending_yield_psi(inputs, steps)
    steps.append(step("lm_in", "lm", "bearing length in the main member", main_length_in, "in", NDS_BEARING_LENGTH))
    steps.append(step("ls_in", "ls", "bearing length in the side member", side_in, "in", NDS_BEARING_LENGTH))
    rd_1, rd_2, rd_3, reduction_steps = reduction_terms(
        nominal_diameter_in=diameter_in,
        diameter_in=yield_diameter_in,
        angle_deg=max(inputs.main_angle_deg, inputs.side_angle_deg),
    )
    z_lb, mode_steps = yield_modes(
        diameter_in=yield_diameter_in,
        main_length_in=main_length_in,
        side_length_in=side_in,
        main_bearing_psi=main_psi,
        side_bearing_psi=side_psi,
        bending_yield_psi=yield_psi,
        reduction_i=rd_1,
        reduction_ii=rd_2,
        reduction_iii_iv=rd_3,
    )
    steps += [*reduction_steps, *mode_steps]
    steps.append(step("C_D", "C_D", "load duration", inputs.load_duration, "-", NDS_LOAD_DURATION))
    adjusted_lb, expression = z_lb * inputs.load_duration, "Z·C_D"
    factors = {"Z": z_lb, "C_D": inputs.load_duration}
    if inputs.toenail:
        adjusted_lb, expression = adjusted_lb * TOENAIL_LATERAL, "Z·C_D·C_tn"
        factors["C_tn"] = TOENAIL_LATERAL
        steps.append(step("C_tn", "C_tn", "toenail, lateral", TOENAIL_LATERAL, "-", NDS_TOENAIL))
    steps.append(step("Zp_lb", "Z′", expression, adjusted_lb, "lb", NDS_LATERAL, **factors))
    return Check(
        name=f"{'toenail' if inputs.toenail else inputs.fastener} {diameter_in:g} in, single shear",
        status="recorded",
        capacity=adjusted_lb,
        unit="lb",
        clause=str(NDS_LATERAL),
        steps=tuple(steps),
    )


def nail_two_member(
    nail: Nail, side: Member, side_in: float, main: Member, main_in: float, *, load_duration: float
) -> Check:
    """Z' of a nail driven straight through `side` (thickness `side_in`) into `main` (`main_in` thick). [lb]

    OutOfRange where it does not go 6 D into the main member, or a bright nail meets treated wood.
    """
    _refuse_bright_in_treated(nail, side, main)
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
        )
    )
    return replace(check, name=f"{nail.name}, single shear")


def toenail(nail: Nail, side: Member, main: Member, main_in: float, *, load_duration: float) -> Check:
    """Z' of a toenail through the end of `side` into `main` (`main_in` thick), C_tn = 0.83. [lb]

    Started L/3 from the end at 30°: l_s = L/3, p = L·cos 30° − L/3. OutOfRange below 6 D, or bright in treated wood.
    """
    _refuse_bright_in_treated(nail, side, main)
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
        )
    )
    return replace(check, name=f"{nail.name}, toenail")


def lag_through_plates(
    lag: LagScrew, plates_in: tuple[float, ...], plate: Member, joist: Member, *, load_duration: float
) -> Check:
    """Z' of a lag screw from below through the top plates (lower first) into the joist, along the grain. [lb]

    The side member is the upper plate alone. The root diameter counts where the shear plane between plate and joist
    cuts the thread.
    """
    if not plates_in:
        raise OutOfRange("plates_in", plates_in, "needs at least one plate thickness")
    if lag.finish == "bright" and (plate.treated or joist.treated):
        raise OutOfRange("lag.finish", lag.finish, "must be hot-dip or stainless in treated wood")
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
        )
    )
    return replace(check, name=f"{lag.name}, through the plates into the joist")


def sill_bolt(diameter_in: float, sill: Member, sill_in: float, embedment_in: float, *, load_duration: float) -> Check:
    """Z' of an anchor bolt on its wood side: sill to concrete, along the grain of the sill. [lb]

    Concrete bears 7 500 psi over no more than 6 in of embedment, as NDS Table 12E is made. The concrete side is not
    in it (link 6b).
    """
    check = single_shear(
        DowelInputs(
            fastener="bolt",
            diameter_in=diameter_in,
            main_kind="concrete",
            penetration_in=min(embedment_in, SILL_BOLT_EMBEDMENT_IN),
            side_specific_gravity=sill.specific_gravity,
            side_bearing_in=sill_in,
            load_duration=load_duration,
        )
    )
    short = f"embedded {embedment_in:g} in, NDS Table 12E is made for {SILL_BOLT_EMBEDMENT_IN:g} in"
    return replace(
        check,
        name=f"{diameter_in:g} in anchor bolt, sill side",
        warnings=(short,) if embedment_in < SILL_BOLT_EMBEDMENT_IN else (),
    )


def wood_bearing_psi(*, specific_gravity: float, diameter_in: float, angle_deg: float = 0.0) -> float:
    """Dowel bearing strength F_e of wood at an angle of load to grain, nominal diameter. [psi]

    Under 1/4 in 16 600 G^1.84 at any angle; else 11 200 G along and 6 100 G^1.45/√D across the grain, each to the
    nearest 50 psi as printed, between them Hankinson's formula. G 0.31 to 0.73, D > 0. NDS Table 12.3.3, 12.3.4.
    """
    require_within("specific_gravity", specific_gravity, 0.31, 0.73)
    require_positive(diameter_in=diameter_in)
    require_within("angle_deg", angle_deg, 0, 90)
    if diameter_in < LARGE_DIAMETER_IN:
        return _nearest_50(16600 * specific_gravity**1.84)
    along = _nearest_50(11200 * specific_gravity)
    across = _nearest_50(6100 * specific_gravity**1.45 / diameter_in**0.5)
    if angle_deg in (0, 90):
        return across if angle_deg else along
    sine, cosine = sin(radians(angle_deg)), cos(radians(angle_deg))
    return along * across / (along * sine**2 + across * cosine**2)


def _nearest_50(value_psi: float) -> float:
    return 50.0 * floor(value_psi / 50 + 0.5)


def _refuse_bright_in_treated(nail: Nail, *members: Member) -> None:
    if nail.finish == "bright" and any(member.treated for member in members):
        raise OutOfRange("nail.finish", nail.finish, "must be hot-dip or stainless in treated wood")


def _reach(inputs: DowelInputs, steps: list[Step]) -> tuple[float, float]:
    """Bearing length in the side member and penetration p into the main member, its tip included."""
    length_in, limit_in = inputs.length_in, inputs.main_thickness_in
    if inputs.toenail:
        assert length_in is not None  # DowelInputs refuses a toenail without its length
        side_in = length_in / 3
        reach_in = length_in * cos(radians(TOENAIL_ANGLE_DEG)) - side_in
        expression, source = "L·cos 30° − L/3", NDS_TOENAIL_GEOMETRY
        values = {"L": length_in}
    else:
        assert inputs.side_bearing_in is not None
        side_in, values, source = inputs.side_bearing_in, {}, NDS_BEARING_LENGTH
        if inputs.penetration_in is not None:
            reach_in, expression = inputs.penetration_in, "into the main member, as given"
        elif length_in is not None:
            reach_in, expression, values = length_in - side_in, "L − ls", {"L": length_in, "ls": side_in}
        else:
            assert limit_in is not None  # a bolt through both members
            reach_in, expression = limit_in, "through the main member"
    if limit_in is not None and limit_in < reach_in:
        values = {**values, "reach": reach_in, "thickness": limit_in}
        reach_in, expression = limit_in, f"{expression}, not beyond the far face"
    if inputs.fastener != "bolt":
        key = "penetration_incl_tip_in" if inputs.fastener == "lag screw" else "penetration_in"
        steps.append(step(key, "p", expression, reach_in, "in", source, **values))
    return side_in, reach_in


def _main_bearing_length_in(inputs: DowelInputs, penetration_in: float, steps: list[Step]) -> float:
    diameter_in, nds = inputs.diameter_in, NDS_PENETRATION
    if inputs.fastener == "bolt":
        return penetration_in
    if inputs.fastener == "lag screw":
        tip_in = inputs.tip_in if inputs.tip_in is not None else _sizes(inputs, "tip_in")
        clear_in, least_in = penetration_in - tip_in, 4 * diameter_in
        steps.append(
            step("penetration_excl_tip_in", "p − E", "p − E", clear_in, "in", NDS_LAG_SIZES, p=penetration_in, E=tip_in)
        )
        steps.append(step("min_penetration_4D_in", "p min", "4·D", least_in, "in", nds, D=diameter_in))
        if clear_in < least_in - 1e-9:
            raise OutOfRange(
                "penetration_in", penetration_in, f"must be at least {least_in + tip_in:g} in: 4 D and the tip"
            )
        return penetration_in - tip_in / 2
    ratio = penetration_in / diameter_in
    steps.append(step("penetration_over_D", "p/D", "p/D", ratio, "-", nds, p=penetration_in, D=diameter_in))
    if ratio < 6 - 1e-9:
        raise OutOfRange("penetration_in", penetration_in, f"must be at least {6 * diameter_in:g} in: 6 D")
    return penetration_in if ratio >= 10 - 1e-9 else penetration_in - TIP_DIAMETERS * diameter_in / 2


def _yield_diameter(inputs: DowelInputs, penetration_in: float, steps: list[Step]) -> float:
    """D of the yield equations: the root where the thread counts (12.3.7)."""
    diameter_in, expression, source = inputs.diameter_in, "full diameter", NDS_DIAMETER
    values = {"D": diameter_in}
    if inputs.fastener in ("lag screw", "wood screw"):
        if inputs.thread_in is not None and inputs.length_in is not None:
            steps.append(
                step(
                    "shank_in",
                    "S",
                    "L − T",
                    inputs.length_in - inputs.thread_in,
                    "in",
                    NDS_LAG_SIZES,
                    L=inputs.length_in,
                    T=inputs.thread_in,
                )
            )
        root_in = inputs.root_diameter_in or _sizes(inputs, "root_diameter_in")
        assert inputs.thread_in_shear_plane or inputs.thread_in is not None
        if inputs.thread_in_shear_plane:
            diameter_in, expression = root_in, "root diameter: the shear plane cuts the thread"
        elif inputs.thread_in is not None and inputs.thread_in > penetration_in / 4 + 1e-9:
            diameter_in = root_in
            expression = "root diameter: more than a quarter of the bearing in the main member is thread"
        values = {"D": inputs.diameter_in, "Dr": root_in}
        source = NDS_LAG_SIZES if inputs.fastener == "lag screw" else NDS_SCREW_SIZES
    steps.append(step("D_used_in", "D", expression, diameter_in, "in", source, **values))
    return diameter_in


def _bearing(
    member: str,
    symbol: str,
    kind: str,
    specific_gravity: float | None,
    bearing_psi: float | None,
    angle_deg: float,
    diameter_in: float,
    steps: list[Step],
) -> float:
    key = f"{symbol}_psi"
    if kind == "concrete":
        value = CONCRETE_BEARING_PSI
        steps.append(step(key, symbol, "concrete", value, "psi", CONCRETE_BEARING))
        return value
    if kind == "steel":
        assert bearing_psi is not None
        steps.append(step(key, symbol, "steel, as entered", bearing_psi, "psi", STEEL_BEARING))
        return bearing_psi
    assert specific_gravity is not None
    try:
        value = wood_bearing_psi(specific_gravity=specific_gravity, diameter_in=diameter_in, angle_deg=angle_deg)
    except OutOfRange as problem:
        raise OutOfRange(f"{member}_{problem.field}", problem.value, problem.allowed) from None
    if diameter_in < LARGE_DIAMETER_IN:
        expression, values = "16 600·G^1.84, to 50 psi", {"G": specific_gravity}
    elif angle_deg == 0:
        expression, values = "11 200·G, to 50 psi", {"G": specific_gravity}
    elif angle_deg == 90:
        expression, values = "6 100·G^1.45/√D, to 50 psi", {"G": specific_gravity, "D": diameter_in}
    else:
        expression = "Fe∥·Fe⊥ / (Fe∥·sin²θ + Fe⊥·cos²θ)"
        values = {"G": specific_gravity, "D": diameter_in, "θ": angle_deg}
    source = NDS_BEARING if angle_deg in (0, 90) else NDS_BEARING_ANGLE
    steps.append(step(key, symbol, expression, value, "psi", source, **values))
    return value


def _sizes(inputs: DowelInputs, column: str) -> float:
    """A standard size of a lag or wood screw by its diameter (NDS Appendix L)."""
    name = "nds-2018-L2-lag-screws" if inputs.fastener == "lag screw" else "nds-2018-L3-wood-screws"
    listed = {float(row["diameter_in"]): float(row[column]) for row in tables.rows(name)}
    if inputs.diameter_in not in listed:
        sizes = ", ".join(f"{size:g}" for size in listed)
        raise OutOfRange(
            "diameter_in",
            inputs.diameter_in,
            f"give {column}, or one of the standard diameters {sizes} in (NDS Appendix L)",
        )
    return listed[inputs.diameter_in]


def _bending_yield_psi(inputs: DowelInputs, steps: list[Step]) -> float:
    value, expression, source = inputs.bending_yield_psi, "as entered", NDS_BENDING_YIELD
    if value is None:
        value, expression = listed_bending_yield_psi(inputs.fastener, inputs.diameter_in), "by kind and diameter"
    steps.append(step("Fyb_psi", "Fyb", expression, value, "psi", source, D=inputs.diameter_in))
    return value


def listed_bending_yield_psi(fastener: Fastener, diameter_in: float) -> float:
    """Bending yield strength F_yb by kind and nominal diameter, low-carbon steel. [psi] NDS Table I1."""
    kind = "nail" if fastener == "wood screw" else fastener
    bands = [row for row in tables.rows("nds-2018-I1-bending-yield") if row["kind"] == kind]
    low, high = float(bands[0]["above_in"]), float(bands[-1]["to_in"])
    if not low <= diameter_in <= high:
        raise OutOfRange(
            "diameter_in", diameter_in, f"must be from {low:g} to {high:g} in for a {fastener} of listed strength"
        )
    return next(float(band["bending_yield_psi"]) for band in bands if diameter_in <= float(band["to_in"]))
