"""On what legal footing a house is computed: the force levels it allows, and what the engineer must accept.

Which clause lets a house be strengthened for less than the forces of a new one. Not the forces themselves.
"""

from __future__ import annotations

from functools import cache
from typing import Final

from engineering.clauses import asce, convention
from engineering.errors import OutOfRange
from engineering.inputs import CodeFamily, Criteria, LegalBasis
from engineering.link_checks import NOT_ACCEPTED
from engineering.results import Check, Step
from engineering.sources import Source
from engineering.steps import step
from engineering.structural_systems import OTHER_MATERIALS, system

FULL: Final = 1.0
REDUCED: Final = 0.75

ENGINEERED: Final[tuple[LegalBasis, ...]] = (
    "appendix A3 engineered",
    "voluntary lateral alteration",
    "local mandate",
)
# Why a basis gives no forces to compute with, and what gives the schedule instead.
INSTEAD: Final[dict[LegalBasis, str]] = {
    "appendix A3 prescriptive": "its tables give anchors and panels without forces: take the schedule from them",
    "jurisdiction standard plan": "the plan set gives its own schedule: fill in its data sheet, sketch and quantities",
}
LEVELS: Final[dict[LegalBasis, str]] = {
    "appendix A3 engineered": "0.75, its reduced level, or 1",
    "voluntary lateral alteration": "above 0 and up to 1, the target stated in force_level",
    "local mandate": "from 0.75 to 1, as the ordinance says in force_level",
}


def check(criteria: Criteria) -> Check:
    """The legal basis with its force level and clause, and the R of new panels under older stories.

    Recorded where nothing is left to accept; open where R, higher than that of older bracing, is not yet accepted by
    the engineer under this basis. Raises OutOfRange as `force_source` does. IEBC 304.3, 503.13, Appendix A3 A301.3;
    ASCE 7 12.2.3.1.
    """
    source, family = force_source(criteria), criteria.code_family
    notes, accepted = [f"force level: {criteria.force_level}"], criteria.system_accepted_by.strip()
    if criteria.legal_basis == "local mandate":
        notes.append("the ordinance is for the engineer to name: its force level, and whether it allows this R")
    least = system(OTHER_MATERIALS).response_modification
    needs_acceptance = criteria.response_modification > least
    if needs_acceptance:
        what = f"R = {criteria.response_modification:g} for new panels under older stories"
        notes.append(f"{what}: accepted by {accepted}" if accepted else f"{what}: {NOT_ACCEPTED}")
    steps = (
        step("basis", "legal basis", "as chosen", criteria.legal_basis, "-", _basis_source(criteria)),
        step(
            "force_factor", "level", "on the horizontal effect only, by basis", criteria.force_factor, "-", source,
            basis=criteria.legal_basis,
        ),
        _acceptance(criteria, least, accepted, family),
    )  # fmt: skip
    return Check(
        name="legal basis",
        status="open" if needs_acceptance and not accepted else "recorded",
        unit="-",
        clause=str(source),
        steps=steps,
        notes=tuple(notes),
        warnings=_warnings(criteria),
    )


def force_source(criteria: Criteria) -> Source:
    """The clause by which the legal basis allows this force level.

    Raises OutOfRange for a basis without engineered forces, and for a force factor or an unnamed level that the basis
    does not allow: A3 engineered its reduced level (0.75) or full forces, a voluntary alteration any stated target,
    a local mandate what its ordinance says, not below the reduced level. IEBC 304.3.1, 304.3.2, 503.13, A301.3.
    """
    basis, factor = criteria.legal_basis, criteria.force_factor
    if basis in INSTEAD:
        allowed = f"must be one of: {'; '.join(ENGINEERED)}. Here {INSTEAD[basis]}"
        raise OutOfRange("criteria.legal_basis", basis, allowed)
    if not criteria.force_level.strip():
        raise OutOfRange("criteria.force_level", criteria.force_level, f"must name the force level under: {basis}")
    fits = {
        "appendix A3 engineered": factor in (REDUCED, FULL),
        "voluntary lateral alteration": 0 < factor <= FULL,
        "local mandate": REDUCED <= factor <= FULL,
    }
    if not fits[basis]:
        raise OutOfRange("criteria.force_factor", factor, f"must be {LEVELS[basis]} under: {basis}")
    if basis == "local mandate":
        return _local(criteria.force_level)
    return _clause(criteria.code_family, basis, factor)


@cache
def _clause(family: CodeFamily, basis: LegalBasis, factor: float) -> Source:
    """Reduced by 304.3.2 or by A3's own clause, full by 304.3.1, any other target by the voluntary alteration's."""
    if factor == FULL:
        return _iebc(family, "304.3.1")
    if basis == "appendix A3 engineered":
        return _iebc(family, "Appendix A3 A301.3")
    return _iebc(family, "304.3.2 item 1" if factor == REDUCED else "503.13")


@cache
def _local(force_level: str) -> Source:
    return Source("Local ordinance", "", force_level)


@cache
def _iebc(family: CodeFamily, clause: str) -> Source:
    return Source("IEBC", family, clause)


def _basis_source(criteria: Criteria) -> Source:
    if criteria.legal_basis == "local mandate":
        return _local(criteria.force_level)
    engineered = criteria.legal_basis == "appendix A3 engineered"
    return _iebc(criteria.code_family, "Appendix A3 A301.3" if engineered else "503.13")


def _acceptance(criteria: Criteria, least: float, accepted: str, family: CodeFamily) -> Step:
    if criteria.response_modification <= least:
        expression, source = "not higher than that of older bracing", asce(family, "12.2.3.1")
    else:
        expression, source = "new panels under older stories, accepted by the engineer", convention(3, "R")
    return step(
        "R_under_older_stories", "R", expression, criteria.response_modification, "-", source,
        R_older=least, accepted=accepted or "not yet",
    )  # fmt: skip


def _warnings(criteria: Criteria) -> tuple[str, ...]:
    warnings = []
    if criteria.force_level.strip().lower().startswith("full") and criteria.force_factor != FULL:
        warnings.append(
            f"the force level is named {criteria.force_level}, its factor is {criteria.force_factor:g}: make them agree"
        )
    if criteria.force_factor < REDUCED:
        warnings.append(f"the target, {criteria.force_factor:g}, is below the reduced forces of IEBC 304.3.2 (0.75)")
    return tuple(warnings)
