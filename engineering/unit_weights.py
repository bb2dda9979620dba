"""Unit weights of roofs, floors and walls from their layers, and snow that counts as seismic weight. Not areas."""

from __future__ import annotations

from functools import cache
from typing import Final

from engineering.clauses import SEISMIC_WEIGHT_READ, asce
from engineering.errors import OutOfRange, require_within
from engineering.inputs import Assembly, AssemblyPart, CodeFamily, UnitWeights
from engineering.results import Check, Step
from engineering.sources import Source
from engineering.steps import step
from engineering.tables import rows

AGREES_WITHIN_PSF: Final = 1e-6
FIELDS: Final = {
    "roof": "roof_psf",
    "floor": "floor_psf",
    "partitions": "partitions_psf",
    "story wall": "story_wall_psf",
    "braced wall": "braced_wall_psf",
}
# Flat roof snow above which a share of it is seismic weight; the 7-22 pair, for strength-level snow, is from memory.
SNOW_ABOVE_PSF: Final[dict[CodeFamily, float]] = {"2021": 30.0, "2024": 45.0}
SNOW_SHARE: Final[dict[CodeFamily, float]] = {"2021": 0.20, "2024": 0.15}
BY_THE_COMPANY: Final = "as given by the company"
SUM: Final = Source("Statics", "", "", "common practice")


def assembly_weight(assembly: Assembly) -> Check:
    """Unit weight of one assembly, part by part; the check's capacity is the sum. [psf]

    A part without a note is a row of the table of unit weights at the row's value; a part with a note is the
    company's own and is printed with it. Raises OutOfRange for no parts, a name that is no row, another value than
    the row's, and the same part twice.
    """
    if not assembly.parts:
        raise OutOfRange("parts", (), "must be at least one part")
    names = [part.name for part in assembly.parts]
    if twice := sorted({name for name in names if names.count(name) > 1}):
        raise OutOfRange("parts", twice, "each part must be given once, with how many times it is there")
    steps, total_psf = [], 0.0
    for number, part in enumerate(assembly.parts):
        part_psf = part.times * part.weight_psf
        total_psf += part_psf
        source = _source(number, part)
        steps.append(
            step(f"part_{number + 1}_psf", part.name, "n·p", part_psf, "psf", source, n=part.times, p=part.weight_psf)
        )
    shares = {one.symbol: float(one.value) for one in steps}
    steps.append(step("weight_psf", f"p, {assembly.use}", "sum of the parts", total_psf, "psf", SUM, **shares))
    return Check(
        name=f"unit weight, {assembly.use}",
        status="recorded",
        capacity=total_psf,
        unit="psf",
        clause="unit weights",
        steps=tuple(steps),
        notes=tuple(f"{part.name}: the company's own value, {part.note}" for part in assembly.parts if part.note),
    )


def require_assemblies(weights: UnitWeights) -> tuple[Step, ...]:
    """The steps of every assembly given; none where the unit weights are given whole.

    Raises OutOfRange where an assembly's parts don't add up to the unit weight of its use, and for a use twice.
    """
    uses = [assembly.use for assembly in weights.assemblies]
    if twice := sorted({use for use in uses if uses.count(use) > 1}):
        raise OutOfRange("unit_weights.assemblies", twice, "each use must be given once")
    steps: list[Step] = []
    for number, assembly in enumerate(weights.assemblies):
        where = f"unit_weights.assemblies.{number}"
        try:
            check = assembly_weight(assembly)
        except OutOfRange as problem:
            raise OutOfRange(f"{where}.{problem.field}", problem.value, problem.allowed) from problem
        field, total_psf = FIELDS[assembly.use], float(check.steps[-1].value)
        given_psf = getattr(weights, field)
        if abs(given_psf - total_psf) > AGREES_WITHIN_PSF:
            allowed = f"must be {total_psf:g} psf, the sum of its assembly's parts"
            raise OutOfRange(f"unit_weights.{field}", given_psf, allowed)
        prefix = assembly.use.replace(" ", "_")
        steps += [_renamed(f"{prefix}_{one.key}", one) for one in check.steps]
    return tuple(steps)


def snow_weight(weights: UnitWeights, *, roof_sf: float, code_family: CodeFamily) -> tuple[float, tuple[Step, ...]]:
    """Snow that counts as seismic weight on this area of roof [lb], with its step; none up to the limit.

    A fifth of the flat roof snow load where it is over 30 psf, whatever the slope (ASCE 7-16 12.7.2); 15 % where it is
    over 45 psf (ASCE 7-22, from memory). `roof_sf` ≥ 0, else OutOfRange.
    """
    require_within("roof_sf", roof_sf, 0.0, float("inf"))
    snow_psf, above_psf = weights.flat_roof_snow_psf, SNOW_ABOVE_PSF[code_family]
    if snow_psf <= above_psf:
        return 0.0, ()
    share = SNOW_SHARE[code_family]
    snow_lb = share * snow_psf * roof_sf
    source, expression = asce(code_family, "12.7.2", SEISMIC_WEIGHT_READ), f"share·p_f·A_roof, p_f > {above_psf:g} psf"
    by_share = step(
        "snow_lb", "W_snow", expression, snow_lb, "lb", source, share=share, p_f=snow_psf, A_roof=roof_sf
    )  # fmt: skip
    return snow_lb, (by_share,)


def part_names() -> tuple[str, ...]:
    """The rows of the table of unit weights, in its order."""
    return tuple(_table())


def _source(number: int, part: AssemblyPart) -> Source:
    if part.note:
        return Source(part.note, "", "", BY_THE_COMPANY)
    where = f"parts.{number}"
    if part.name not in _table():
        allowed = "must be a row of the table of unit weights, or have a note that says where its weight comes from"
        raise OutOfRange(f"{where}.name", part.name, allowed)
    weight_psf, source = _table()[part.name]
    if part.weight_psf != weight_psf:
        allowed = f"must be {weight_psf:g} psf, the table's, or have a note that says where it comes from"
        raise OutOfRange(f"{where}.weight_psf", part.weight_psf, allowed)
    return source


def _renamed(key: str, one: Step) -> Step:
    return step(key, one.symbol, one.expression, one.value, one.unit, one.source, **one.inputs)


@cache
def _table() -> dict[str, tuple[float, Source]]:
    return {
        row["part"]: (float(row["weight_psf"]), Source(row["where"], "", row["group"], row["read"]))
        for row in rows("unit-weights-dead-loads")
    }
