"""Light-frame seismic force-resisting systems: R, Ω0, C_d, height limits, and the importance factor. Not the shear."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Final

from engineering.clauses import asce
from engineering.errors import OutOfRange
from engineering.inputs import CodeFamily, Criteria
from engineering.results import Step
from engineering.sources import Source
from engineering.steps import step
from engineering.tables import rows

OTHER_MATERIALS: Final = "bearing wall, other materials"  # what an older story is braced by, at the least
NOT_PERMITTED: Final = "NP"
NO_LIMIT: Final = "NL"
CATEGORIES: Final = "BCDEF"  # that the table has a column for
IMPORTANCE: Final = {"I": 1.0, "II": 1.0, "III": 1.25, "IV": 1.5}


@dataclass(frozen=True, slots=True)
class StructuralSystem:
    """A row of ASCE 7 Table 12.2-1. `height_limit_ft` by category: feet, NL (no limit) or NP (not permitted)."""

    name: str
    row: str  # of the 7-16 table
    response_modification: float
    overstrength: float
    deflection_amplification: float
    height_limit_ft: dict[str, float | str]
    read_r: str
    read: str


def names() -> tuple[str, ...]:
    """The light-frame systems of the table, as the criteria sheet names them."""
    return tuple(_table())


def system(name: str) -> StructuralSystem:
    """The row of this name; OutOfRange with the names there are. ASCE 7 Table 12.2-1, light-frame rows."""
    table = _table()
    if name not in table:
        raise OutOfRange("criteria.system", name, f"must be one of: {'; '.join(table)}")
    return table[name]


def require_system(criteria: Criteria, *, category: str, height_ft: float) -> tuple[Step, ...]:
    """R, Ω0, C_d, the height limit and I_e of the criteria's system, as steps.

    `category` is the seismic design category, `height_ft` the height h_n above the base. Raises OutOfRange where R is
    not the row's, where the row is not permitted in the category or not to this height, and where I_e is not the risk
    category's. ASCE 7 12.2.1, Table 12.2-1; 11.5.1, Table 1.5-2.
    """
    row, importance = system(criteria.system), IMPORTANCE[criteria.risk_category]
    if criteria.response_modification != row.response_modification:
        allowed = f"must be {row.response_modification:g}, the R of: {row.name}"
        raise OutOfRange("criteria.response_modification", criteria.response_modification, allowed)
    if criteria.importance != importance:
        allowed = f"must be {importance:g} in risk category {criteria.risk_category}"
        raise OutOfRange("criteria.importance", criteria.importance, allowed)
    limit_ft = row.height_limit_ft.get(category, NO_LIMIT)  # SDC A asks for no system of the table
    if limit_ft == NOT_PERMITTED:
        allowed = f"must be a system permitted in seismic design category {category}"
        raise OutOfRange("criteria.system", criteria.system, allowed)
    if not isinstance(limit_ft, str) and height_ft > limit_ft:
        allowed = f"must not exceed {limit_ft:g} ft in seismic design category {category} for: {row.name}"
        raise OutOfRange("building.height_ft", height_ft, allowed)
    return _steps(criteria, row, category, limit_ft)


def _steps(criteria: Criteria, row: StructuralSystem, category: str, limit_ft: float | str) -> tuple[Step, ...]:
    named, by_r = {"system": row.name}, _source(criteria.code_family, row.row, row.read_r)
    by_row = _source(criteria.code_family, row.row, row.read)
    by_importance = asce(criteria.code_family, "Table 1.5-2")
    unit = "-" if isinstance(limit_ft, str) else "ft"
    return (
        step("R", "R", "of the system", row.response_modification, "-", by_r, **named),
        step("omega_0", "Ω_0", "of the system", row.overstrength, "-", by_row, **named),
        step("C_d", "C_d", "of the system", row.deflection_amplification, "-", by_row, **named),
        step("height_limit", "h_n limit", "of the system in SDC", limit_ft, unit, by_row, **named, SDC=category),
        step("Ie", "I_e", "of the risk category", criteria.importance, "-", by_importance, risk=criteria.risk_category),
    )


@cache
def _source(family: CodeFamily, row: str, read: str) -> Source:
    return asce(family, f"Table 12.2-1 {row}" if family == "2021" else "Table 12.2-1", read)


@cache
def _table() -> dict[str, StructuralSystem]:
    return {
        row["system"]: StructuralSystem(
            name=row["system"],
            row=row["row_7_16"],
            response_modification=float(row["r"]),
            overstrength=float(row["omega_0"]),
            deflection_amplification=float(row["c_d"]),
            height_limit_ft={letter: _limit(row[letter]) for letter in CATEGORIES},
            read_r=row["read_r"],
            read=row["read"],
        )
        for row in rows("asce-7-12.2-1")
    }


def _limit(cell: str) -> float | str:
    return cell if cell in (NO_LIMIT, NOT_PERMITTED) else float(cell)
