"""A rigid floor: shares of the story shear by stiffness and torsion, as the engineer's option. Not the stiffness.

Convention 12: torsion that relieves a line is not used, so no line carries less than its direct share; 5 % accidental
eccentricity both ways, A_x from 1 to 3.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

from engineering.clauses import STATICS, asce, convention
from engineering.errors import OutOfRange
from engineering.inputs import CodeFamily, DemandLine, Point
from engineering.results import Step
from engineering.steps import step
from engineering.tributary import AXES, Axis, axis_of

ACCIDENTAL: Final = 0.05
IRREGULAR_FROM: Final = 1.2
EXTREME_FROM: Final = 1.4
GREATEST_A_X: Final = 3.0
LEAST_ARM_FT: Final = 0.1  # below it nothing resists torsion
AMPLIFIED_CATEGORIES: Final = ("C", "D", "E", "F")
NO_RELIEF: Final = convention(12, "rigid diaphragm")

Torsion = Literal["", "1a", "1b"]


@dataclass(frozen=True, slots=True)
class Stiff:
    """A wall line in a rigid floor: its stiffness and its place across its own direction. [kip/in, ft]"""

    label: str
    axis: Axis
    at_ft: float
    stiffness_kip_per_in: float


@dataclass(frozen=True, slots=True)
class RigidShares:
    """Each line's share of the story shear (they add up to 1 or more), and the torsional irregularity if any."""

    shares: dict[str, float]
    irregularity: Torsion
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class _Direction:
    """The floor under a force along `axis`, at eccentricities of it from the centre of rigidity. [ft]"""

    axis: Axis
    lines: tuple[Stiff, ...]
    stiffness: float  # of the lines along the force
    centres: dict[Axis, float]  # of rigidity, across the lines of each axis
    polar: float
    edges: tuple[float, float]  # of the plan, across the force

    def displaced(self, eccentricity_ft: float, at_ft: float) -> float:
        """Displacement along the force, for a force of 1 kip. [in]"""
        return 1 / self.stiffness + eccentricity_ft / self.polar * (at_ft - self.centres[self.axis])

    def share(self, line: Stiff, eccentricity_ft: float) -> float:
        """Part of the force in a line: direct and torsional along it, torsional alone across it."""
        if line.axis == self.axis:
            return line.stiffness_kip_per_in * self.displaced(eccentricity_ft, line.at_ft)
        arm_ft = line.at_ft - self.centres[line.axis]
        return abs(line.stiffness_kip_per_in * eccentricity_ft * arm_ft / self.polar)

    def edge_displacements(self, eccentricity_ft: float) -> tuple[float, float]:
        """Largest and average displacement of the plan's two edges. [in/kip]"""
        low, high = (self.displaced(eccentricity_ft, edge) for edge in self.edges)
        return max(abs(low), abs(high)), (low + high) / 2


def stiff_lines(lines: Sequence[DemandLine]) -> tuple[Stiff, ...]:
    """The lines as a rigid floor asks for them; OutOfRange for one whose stiffness is not known."""
    found = []
    for line in lines:
        where = f"lines.{line.label}.stiffness_kip_per_in"
        if line.stiffness_kip_per_in is None:
            raise OutOfRange(where, None, "must be given for a rigid diaphragm: pin the panels' edge nailing")
        if line.stiffness_kip_per_in <= 0:
            allowed = "must be above 0: a rigid diaphragm leaves nothing to a line without panels"
            raise OutOfRange(where, line.stiffness_kip_per_in, allowed)
        axis = axis_of(line)
        found.append(Stiff(line.label, axis, line.start_ft[1 if axis == "x" else 0], line.stiffness_kip_per_in))
    return tuple(found)


def rigid_shares(
    lines: Sequence[Stiff],
    *,
    mass_centre_ft: Point,
    low_ft: Point,
    high_ft: Point,
    category: str,
    family: CodeFamily,
) -> RigidShares:
    """Each line's share of a story shear through the centre of mass, both directions, 5 % either way.

    `low_ft` and `high_ft` are the plan's corners. A share is the largest of the direct one and of both with torsion;
    force across a line counts by its torsion. Raises OutOfRange where no line stands in a direction or nothing
    resists torsion. ASCE 7 12.8.4.
    """
    lines = tuple(lines)
    centres: dict[Axis, float] = {}
    stiffness: dict[Axis, float] = {}
    for axis in AXES:
        own = [line for line in lines if line.axis == axis]
        stiffness[axis] = sum(line.stiffness_kip_per_in for line in own)
        if stiffness[axis] <= 0:
            allowed = f"must hold a line with stiffness along {axis} for a rigid diaphragm"
            raise OutOfRange("lines", [line.label for line in own], allowed)
        centres[axis] = sum(line.stiffness_kip_per_in * line.at_ft for line in own) / stiffness[axis]
    polar = sum(line.stiffness_kip_per_in * (line.at_ft - centres[line.axis]) ** 2 for line in lines)
    if polar < LEAST_ARM_FT**2 * sum(stiffness.values()):
        raise OutOfRange("lines", [line.label for line in lines], "must resist torsion: two lines apart in a direction")
    steps = _centre_steps(lines, stiffness, centres, polar)
    shares = {line.label: line.stiffness_kip_per_in / stiffness[line.axis] for line in lines}
    worst: Torsion = ""
    parts: dict[str, dict[str, float]] = {line.label: {"direct": shares[line.label]} for line in lines}
    for axis in AXES:
        across = 1 if axis == "x" else 0
        edges = (low_ft[across], high_ft[across])
        direction = _Direction(axis, lines, stiffness[axis], centres, polar, edges)
        direction_steps, eccentricities, found = _eccentricities(direction, mass_centre_ft[across], category, family)
        steps += direction_steps
        worst = max(worst, found)
        for line in lines:
            for name, eccentricity_ft in zip(("−", "+"), eccentricities, strict=True):
                part = direction.share(line, eccentricity_ft)
                parts[line.label][f"{axis}{name}"] = part
                shares[line.label] = max(shares[line.label], part)
    steps += [
        step(f"rigid_share_{line.label}", f"V_{line.label}/V", "max(direct, x−, x+, y−, y+)", shares[line.label], "-",
             NO_RELIEF, **parts[line.label])
        for line in lines
    ]  # fmt: skip
    return RigidShares(shares, worst, tuple(steps))


def _centre_steps(
    lines: tuple[Stiff, ...], stiffness: dict[Axis, float], centres: dict[Axis, float], polar: float
) -> list[Step]:
    steps = [
        step(f"rigid_k_{line.label}", f"k_{line.label}", "stiffness of the line's panels", line.stiffness_kip_per_in,
             "kip/in", NO_RELIEF)
        for line in lines
    ]  # fmt: skip
    for along, name in ((AXES[1], "x"), (AXES[0], "y")):
        k = {f"k·{name} {one.label}": one.stiffness_kip_per_in * one.at_ft for one in lines if one.axis == along}
        steps.append(
            step(f"rigid_{name}_R_ft", f"{name}_R", f"Σk·{name}/Σk", centres[along], "ft", STATICS,
                 Σk=stiffness[along], **k)
        )  # fmt: skip
    turned = {f"k·d² {one.label}": one.stiffness_kip_per_in * (one.at_ft - centres[one.axis]) ** 2 for one in lines}
    return [*steps, step("rigid_J", "J", "Σk·d²", polar, "kip·ft²/in", STATICS, **turned)]


def _eccentricities(
    direction: _Direction, mass_at_ft: float, category: str, family: CodeFamily
) -> tuple[list[Step], tuple[float, float], Torsion]:
    """Both eccentricities to design for, and what the displacements at the edges say. [ft]"""
    axis, across = direction.axis, "y" if direction.axis == "x" else "x"
    size_ft = direction.edges[1] - direction.edges[0]
    centre_ft = direction.centres[axis]
    actual_ft, accidental_ft = mass_at_ft - centre_ft, ACCIDENTAL * size_ft
    trial = [direction.edge_displacements(actual_ft + sign * accidental_ft) for sign in (-1, 1)]
    largest, average = max(trial, key=lambda one: one[0] / one[1] if one[1] > 0 else float("inf"))
    torsion: Torsion = "1b" if largest > EXTREME_FROM * average else "1a" if largest > IRREGULAR_FROM * average else ""
    amplifier, rule = 1.0, "1: no torsional irregularity, or SDC A or B"
    if torsion and category in AMPLIFIED_CATEGORIES:
        amplifier, rule = GREATEST_A_X, "(δ_max/(1.2·δ_avg))², from 1 to 3"
        if average > 0:
            amplifier = min((largest / (IRREGULAR_FROM * average)) ** 2, GREATEST_A_X)
    found = f"type {torsion}" if torsion else "none"
    key, table = f"rigid_{axis}", asce(family, "Table 12.3-1 type 1")
    steps = [
        step(f"{key}_CM_ft", f"{across}_CM", "Σw·d/Σw of the mass", mass_at_ft, "ft", STATICS),
        step(f"{key}_e_ft", f"e, force along {axis}", f"{across}_CM − {across}_R", actual_ft, "ft", STATICS,
             **{f"{across}_CM": mass_at_ft, f"{across}_R": centre_ft}),
        step(f"{key}_accidental_ft", "e_acc", "0.05·L across the force", accidental_ft, "ft",
             asce(family, "12.8.4.2"), L=size_ft),
        step(f"{key}_largest", "δ_max", "at the plan's edges, for 1 kip, A_x = 1", largest, "in", STATICS),
        step(f"{key}_average", "δ_avg", "at the plan's edges, for 1 kip, A_x = 1", average, "in", STATICS),
        step(f"{key}_irregularity", "torsional irregularity", "1a above 1.2·δ_avg, 1b above 1.4·δ_avg", found, "-",
             table, δ_max=largest, δ_avg=average),
        step(f"{key}_A_x", "A_x", rule, amplifier, "-",
             asce(family, "12.8.4.3"), δ_max=largest, δ_avg=average, SDC=category),
    ]  # fmt: skip
    return steps, (actual_ft - amplifier * accidental_ft, actual_ft + amplifier * accidental_ft), torsion
