"""Edge distance, end distance and spacing of fasteners in wood, and what they leave of the value (NDS 12.5.1)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from engineering.dowel_bearing import main_angle_deg
from engineering.errors import OutOfRange
from engineering.inputs import DowelInputs, Placing
from engineering.results import Step
from engineering.sources import Source
from engineering.steps import step

NDS_END: Final = Source("AWC NDS", "2018", "Table 12.5.1A")
NDS_SPACING: Final = Source("AWC NDS", "2018", "Table 12.5.1B")
NDS_EDGE: Final = Source("AWC NDS", "2018", "Table 12.5.1C")
NDS_ROWS: Final = Source("AWC NDS", "2018", "Table 12.5.1D")
NDS_SLENDERNESS: Final = Source(
    "AWC NDS", "2018", "Table 12.5.1C, footnote as in the errata of July 2020",
    read="https://www.scribd.com/document/860834672/AWC-2015NDS-Updates-Errata",
)  # fmt: skip
NDS_GEOMETRY: Final = Source("AWC NDS", "2018", "12.5.1.2")

END_ALONG_D: Final = {
    ("compression", "softwood"): 4.0,
    ("compression", "hardwood"): 4.0,
    ("tension", "softwood"): 7.0,
    ("tension", "hardwood"): 5.0,
}
END_ACROSS_D: Final = 4.0
LEAST_FACTOR: Final = 0.5  # end distances below half of what the full value takes are not allowed
SPACING_FULL_D: Final = 4.0
SPACING_LEAST_D: Final = 3.0
EDGE_D: Final = 1.5
LOADED_EDGE_D: Final = 4.0
OUTER_ROWS_APART_IN: Final = 5.0
SLACK: Final = 1e-9

# Commentary C12.1.6.6, wood side, not prebored: a guide against splitting, no limit of the standard.
SPLITTING_D: Final = {"edge": 2.5, "end, tension": 15.0, "end, compression": 10.0, "along": 15.0, "across": 10.0}
SPLITTING_ROWS_D: Final = 5.0


@dataclass(frozen=True, slots=True)
class _Member:
    """One wood member of a connection with its placing; rules and steps say which."""

    name: str
    placing: Placing
    angle_deg: float
    other_along: bool  # the member it is joined to is of wood and loaded along its grain
    diameter_in: float
    slenderness: float

    @property
    def along(self) -> bool:
        return self.angle_deg < 90

    @property
    def across(self) -> bool:
        return self.angle_deg > 0


def placing_factor(inputs: DowelInputs, *, slenderness: float) -> tuple[Step, ...]:
    """C_Δ of a connection of fasteners of D ≥ 1/4 in, as its last step: the least over ends, spacings and members. [-]

    `slenderness` is l/D, the lesser of both members'. Load at an angle to the grain meets the rules along and across it
    both. OutOfRange, naming the distance and what it must be, for an end below half of the full distance, a spacing
    below 3 D, and edges and rows closer than their tables, which know no reduction. NDS 12.5.1, Tables 12.5.1A to D.
    """
    steps = [step("l_over_D", "l/D", "the lesser of lm/D and ls/D", slenderness, "-", NDS_SLENDERNESS)]
    found: dict[str, float] = {}
    for member in _members(inputs, slenderness):
        end, spacing = _end(member), _spacing(member)
        steps += [*end, *spacing, *_edges(member), *_rows(member)]
        found |= {one[-1].symbol: float(one[-1].value) for one in (end, spacing) if one}
    least = min(1.0, *found.values())
    steps.append(step("C_delta", "C_Δ", "the least, at most 1", least, "-", NDS_GEOMETRY, **found))
    return tuple(steps)


def splitting_warnings(inputs: DowelInputs) -> tuple[str, ...]:
    """Where fasteners under 1/4 in stand closer than the commentary's guide for holes not prebored. C12.1.6.6.

    No factor and no refusal: the standard asks only that the wood does not split.
    """
    warnings: list[str] = []
    for member in _members(inputs, slenderness=0.0):
        placing, d = member.placing, member.diameter_in
        direction = "along" if member.along else "across"
        asked: list[tuple[str, float | None, float]] = [
            ("edge distance", placing.edge_in, SPLITTING_D["edge"]),
            ("end distance", placing.end_in, SPLITTING_D[f"end, {placing.end_load}"]),
            ("spacing in a row", placing.spacing_in, SPLITTING_D[direction]),
            ("spacing between rows", placing.row_spacing_in, SPLITTING_ROWS_D),
        ]
        warnings += [
            f"{what} in the {member.name} member {value_in:g} in: below {times:g} D = {times * d:.2f} in, which keeps "
            "wood that is not prebored from splitting (NDS commentary C12.1.6.6)"
            for what, value_in, times in asked
            if value_in is not None and value_in < times * d - SLACK
        ]
    return tuple(warnings)


def _members(inputs: DowelInputs, slenderness: float) -> list[_Member]:
    main_deg, side_deg = main_angle_deg(inputs), inputs.side_angle_deg
    main_along = inputs.main_kind == "wood" and main_deg < 90
    side_along = inputs.side_kind == "wood" and side_deg < 90
    both = (
        ("main", inputs.main_placing, main_deg, side_along),
        ("side", inputs.side_placing, side_deg, main_along),
    )
    return [
        _Member(name, placing, angle_deg, other_along, inputs.diameter_in, slenderness)
        for name, placing, angle_deg, other_along in both
        if placing is not None
    ]


def _end(member: _Member) -> tuple[Step, ...]:
    placing, d, name = member.placing, member.diameter_in, member.name
    along = END_ALONG_D[placing.end_load, placing.wood] if member.along else 0.0
    times = max(along, END_ACROSS_D if member.across else 0.0)
    full_in = times * d
    factor = min(1.0, placing.end_in / full_in)
    if factor < LEAST_FACTOR - SLACK:
        allowed = f"must be at least {LEAST_FACTOR * full_in:g} in: {LEAST_FACTOR * times:g} D (NDS Table 12.5.1A)"
        raise OutOfRange(f"{name}_placing.end_in", placing.end_in, allowed)
    return (
        step(f"{name}_end_full_in", f"end, {name}", f"{times:g}·D for the full value", full_in, "in", NDS_END, D=d),
        step(f"{name}_C_end", f"C_Δ end, {name}", "end/end for the full value, at most 1", factor, "-", NDS_END,
             end=placing.end_in, full=full_in),
    )  # fmt: skip


def _spacing(member: _Member) -> tuple[Step, ...]:
    placing, d, name = member.placing, member.diameter_in, member.name
    if placing.spacing_in is None:
        return ()
    if placing.spacing_in < SPACING_LEAST_D * d - SLACK:
        allowed = f"must be at least {SPACING_LEAST_D * d:g} in: {SPACING_LEAST_D:g} D (NDS Table 12.5.1B)"
        raise OutOfRange(f"{name}_placing.spacing_in", placing.spacing_in, allowed)
    # Across the grain the row needs what the member it is joined to needs.
    times = SPACING_FULL_D if member.along or member.other_along else SPACING_LEAST_D
    factor = min(1.0, placing.spacing_in / (times * d))
    return (
        step(f"{name}_spacing_full_in", f"spacing, {name}", f"{times:g}·D for the full value", times * d, "in",
             NDS_SPACING, D=d),
        step(f"{name}_C_spacing", f"C_Δ spacing, {name}", "spacing/spacing for the full value, at most 1", factor, "-",
             NDS_SPACING, spacing=placing.spacing_in, full=times * d),
    )  # fmt: skip


def _edges(member: _Member) -> tuple[Step, ...]:
    placing, d, name = member.placing, member.diameter_in, member.name
    least_in, expression = EDGE_D * d, f"{EDGE_D:g}·D"
    if member.along and member.slenderness > 6 and placing.row_spacing_in is not None:
        least_in, expression = max(least_in, placing.row_spacing_in / 2), f"{EDGE_D:g}·D, or half the row spacing"
    _require(f"{name}_placing.edge_in", placing.edge_in, least_in, f"{expression} (NDS Table 12.5.1C)")
    steps = [step(f"{name}_edge_least_in", f"edge, {name}", expression, least_in, "in", NDS_EDGE, D=d)]
    if member.across:
        loaded_in = LOADED_EDGE_D * d
        rule = f"{LOADED_EDGE_D:g} D to the loaded edge (NDS Table 12.5.1C)"
        _require(f"{name}_placing.loaded_edge_in", placing.loaded_edge_in, loaded_in, rule)
        steps.append(
            step(f"{name}_loaded_edge_least_in", f"loaded edge, {name}", f"{LOADED_EDGE_D:g}·D", loaded_in, "in",
                 NDS_EDGE, D=d)
        )  # fmt: skip
    return tuple(steps)


def _rows(member: _Member) -> tuple[Step, ...]:
    placing, d, name = member.placing, member.diameter_in, member.name
    if placing.row_spacing_in is None:
        return ()
    least_in, expression, given = EDGE_D * d, f"{EDGE_D:g}·D", {"D": d}
    if member.across:
        length_in = member.slenderness * d
        if member.slenderness <= 2:
            least_in, expression = 2.5 * d, "2.5·D"
        elif member.slenderness < 6:
            least_in, expression, given = (5 * length_in + 10 * d) / 8, "(5·l + 10·D)/8", {"l": length_in, "D": d}
        else:
            least_in, expression = 5 * d, "5·D"
    _require(f"{name}_placing.row_spacing_in", placing.row_spacing_in, least_in, f"{expression} (NDS Table 12.5.1D)")
    apart_in = (placing.rows - 1) * placing.row_spacing_in
    if member.angle_deg == 0 and apart_in > OUTER_ROWS_APART_IN + SLACK:
        allowed = f"must keep the outer rows within {OUTER_ROWS_APART_IN:g} in: the wood shrinks (NDS 12.5.1.3)"
        raise OutOfRange(f"{name}_placing.row_spacing_in", placing.row_spacing_in, allowed)
    return (step(f"{name}_rows_least_in", f"rows, {name}", expression, least_in, "in", NDS_ROWS, **given),)


def _require(field: str, value: float | None, least_in: float, rule: str) -> None:
    if value is None or value < least_in - SLACK:
        raise OutOfRange(field, value, f"must be at least {least_in:g} in: {rule}")
