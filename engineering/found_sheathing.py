"""Sheathing found on a wall: gypsum, boards, siding, plaster by the engineer's value. As found only, no new panel."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from typing import Final

from engineering import tables
from engineering.clauses import UNIT_SHEAR, convention
from engineering.connector_values import LineContext
from engineering.inputs import NEAR_FT, NOT_OBSERVED, FoundSheathing, Span
from engineering.link_checks import LINK_NAMES, open_link, weighed
from engineering.panel_shares import panel_height_ft
from engineering.results import Check, Step
from engineering.shear_panels import ASD_SEISMIC_DIVISOR, SDPWS_DIVISOR, SDPWS_SPECIFIC_GRAVITY
from engineering.sources import Source
from engineering.steps import step

TWO_FACES: Final = Source("AWC SDPWS", "2021", "4.3.3.3, dissimilar materials")
FOUND: Final = convention(10, "what was found counts once seen and accepted")
OWN_ASPECT: Final = 2.0  # of a material that has only the engineer's value ("common practice, no source")
NOTHING: Final = "no panel was found"


@dataclass(frozen=True, slots=True)
class Material:
    """A row of the table of other sheathing: nominal unit shear on one face, greatest height to length counted."""

    nominal_plf: float
    greatest_aspect: float
    source: Source


@dataclass(frozen=True, slots=True)
class Stretch:
    """A full-height stretch and what its sheathing carries there. [ft, lb/ft]"""

    span: Span
    allowable_plf: float
    steps: tuple[Step, ...]


@cache
def materials() -> dict[str, Material]:
    """The table's materials by name, for a choice on a form."""
    return {
        row["material"]: Material(
            float(row["v_n_plf"]),
            float(row["greatest_aspect"]),
            Source("AWC SDPWS", "2021", f"Table {row['table']}", read=row["read"]),
        )
        for row in tables.rows("sdpws-2021-other-sheathing")
    }


def check(context: LineContext) -> Check:
    """Link 4 as found: the line's shear against the sheathing that was found and accepted. [plf]

    v_allow = v_n/2.8·[1 − (0.5 − G), at most 1], or the engineer's own ASD value with its source; counted on stretches
    of full height between openings and steps, not above the material's h/b, where its bottom edge was seen to reach
    the sill. On two faces twice the weaker or the stronger alone, whichever is more: never a sum of dissimilar
    materials; layers not shown to lie on two faces count once, the better of them. Stretches share the shear by their
    strength. Open where nothing counts. SDPWS 2021 4.1.4, 4.3.3.3.
    """
    name, line = LINK_NAMES["4"], context.line
    if not line.found_sheathing:
        return open_link(name, None, NOTHING, unit="plf")
    counted, reasons = _counted(context)
    if not counted:
        return open_link(name, None, "; ".join(reasons), unit="plf")
    length_ft = sum(one.span.to_ft - one.span.from_ft for one in counted)
    capacity_lb = sum((one.span.to_ft - one.span.from_ft) * one.allowable_plf for one in counted)
    demand_lb = context.demand.demand_lb
    demand_plf, capacity_plf = demand_lb / length_ft, capacity_lb / length_ft
    lengths = {f"b_{number}": one.span.to_ft - one.span.from_ft for number, one in enumerate(counted, 1)}
    values = {f"v_{number}": one.allowable_plf for number, one in enumerate(counted, 1)}
    steps = (
        *(part for one in counted for part in one.steps),
        step("found_length_ft", "Σb", "full-height stretches that count", length_ft, "ft", FOUND, **lengths),
        step("unit_shear_plf", "v", "V/Σb", demand_plf, "plf", UNIT_SHEAR, V=demand_lb, Σb=length_ft),
        step("found_allow_plf", "v_allow", "Σ(v·b)/Σb", capacity_plf, "plf", FOUND, **values, Σb=length_ft),
    )
    return weighed(
        name, demand_plf, capacity_plf, unit="plf", clause=str(UNIT_SHEAR), steps=steps,
        notes=("overturning and drift of found sheathing are not computed", *reasons),
    )  # fmt: skip


def bottom_edge(context: LineContext) -> Check:
    """Link 5 as found: the bottom edge of the same sheathing, where it was seen to reach the sill. [plf]"""
    name, panel = LINK_NAMES["5"], check(context)
    if panel.demand is None or panel.capacity is None:
        return open_link(name, None, panel.notes[0], unit="plf")
    ratio = panel.ratio or 0.0
    steps = (step("edge_nail_ratio", "v/v_allow", "as link 4: bottom edge seen on the sill", ratio, "-", FOUND,
                  v=panel.demand, v_allow=panel.capacity),)  # fmt: skip
    return weighed(name, panel.demand, panel.capacity, unit="plf", clause=panel.clause, steps=steps)


def _counted(context: LineContext) -> tuple[tuple[Stretch, ...], tuple[str, ...]]:
    """Stretches that count, and why the others do not."""
    line, good, reasons = context.line, [], []
    for found in line.found_sheathing:
        if reason := _why_not(found):
            reasons.append(f"{found.material}: {reason}")
        else:
            good.append(found)
    counted = []
    for stretch in line.full_height_stretches:
        places = {stretch.from_ft, stretch.to_ft}
        places |= {at for one in good for at in (one.from_ft, one.to_ft) if stretch.from_ft < at < stretch.to_ft}
        for from_ft, to_ft in pairwise(sorted(places)):
            here = [one for one in good if one.from_ft < to_ft - NEAR_FT and from_ft + NEAR_FT < one.to_ft]
            span = Span(from_ft=from_ft, to_ft=to_ft)
            tall = [one for one in here if _aspect(context, span) > _greatest_aspect(one) + 1e-9]
            where = f"{from_ft:g} to {to_ft:g} ft"
            reasons += [f"{one.material}, {where}: h/b over {_greatest_aspect(one):g}" for one in tall]
            if kept := [one for one in here if one not in tall]:
                counted.append(_stretch(context, span, kept))
                reasons += _one_face(kept, where)
    return tuple(counted), tuple(dict.fromkeys(reasons))


def _why_not(found: FoundSheathing) -> str:
    """Why found sheathing carries nothing, or nothing where it does."""
    if not found.accepted:
        return "not accepted by the engineer"
    if found.bottom_edge != "on the sill":
        return f"bottom edge {found.bottom_edge}"
    known = found.allowable_plf is not None or found.material in materials()
    return "" if known else "no published value, and none of the engineer's own"


def _stretch(context: LineContext, span: Span, here: list[FoundSheathing]) -> Stretch:
    """One stretch: of two layers on one face the better, of two faces twice the weaker or the stronger.

    A layer whose face nobody saw may lie on either, over or under another: it never adds, it only counts if better.
    """
    best: dict[str, tuple[float, tuple[Step, ...]]] = {}
    for one in here:
        value = _face(context, one)
        if one.face not in best or value[0] > best[one.face][0]:
            best[one.face] = value
    unseen = best.pop(NOT_OBSERVED, (0.0, ()))
    faces = sorted(best.values(), key=lambda face: -face[0])
    if not faces or unseen[0] >= max(faces[0][0], 2 * faces[-1][0] if len(faces) > 1 else 0.0):
        return Stretch(span, *unseen)
    strong_plf, steps = faces[0]
    if len(faces) == 1:
        return Stretch(span, strong_plf, steps)
    weak_plf, of_weak = faces[1]
    both_plf = max(strong_plf, 2 * weak_plf)
    both = step("two_faces_plf", "v_allow", "greater of 2·v_weak and v_strong", both_plf, "plf", TWO_FACES,
                v_weak=weak_plf, v_strong=strong_plf)  # fmt: skip
    return Stretch(span, both_plf, (*steps, *of_weak, both))


def _one_face(here: list[FoundSheathing], where: str) -> list[str]:
    """Layers over one stretch that are not shown to lie on different faces, in words."""
    shown = {one.face for one in here}
    if len(here) < 2 or (len(here) == 2 and shown == {"inside", "outside"}):
        return []
    layers = " and ".join(one.material for one in here)
    return [f"{where}: {layers} are not shown to lie on different faces: of one face the better alone"]


def _face(context: LineContext, found: FoundSheathing) -> tuple[float, tuple[Step, ...]]:
    if found.allowable_plf is not None:
        source = Source(found.source, "", f"value accepted by the engineer: {found.reason}", "common practice")
        value = step("found_face_plf", "v", found.material, found.allowable_plf, "plf", source)
        return found.allowable_plf, (value,)
    row, framing = materials()[found.material], context.line.framing
    gravity = min(member.specific_gravity for member in (framing.sill, framing.studs, framing.plates))
    factor = min(1.0, 1 - (0.5 - gravity))
    allowable_plf = row.nominal_plf / ASD_SEISMIC_DIVISOR * factor
    return allowable_plf, (
        step("found_nominal_plf", "v_n", found.material, row.nominal_plf, "plf", row.source),
        step("found_gravity_factor", "C_G", "1 − (0.5 − G), at most 1", factor, "-", SDPWS_SPECIFIC_GRAVITY, G=gravity),
        step("found_face_plf", "v", "v_n/2.8·C_G", allowable_plf, "plf", SDPWS_DIVISOR,
             v_n=row.nominal_plf, C_G=factor),
    )  # fmt: skip


def _greatest_aspect(found: FoundSheathing) -> float:
    if found.allowable_plf is not None or found.material not in materials():
        return OWN_ASPECT
    return materials()[found.material].greatest_aspect


def _aspect(context: LineContext, span: Span) -> float:
    return panel_height_ft(context.line, span) / (span.to_ft - span.from_ft)
