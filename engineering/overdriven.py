"""Nails sunk below a panel's face: one count a panel gives accept, so many more, or stop and ask."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from engineering.as_built_inputs import NailTally
from engineering.link_checks import count_for
from engineering.results import Step
from engineering.sources import Source
from engineering.steps import step

Outcome = Literal["accept", "add nails", "stop and ask"]

TOLERATED_SHARE: Final = 0.2
SUNK_PER_ADDED: Final = 2
STOP_SPACING_IN: Final = 4.0
# The counts are an industry bulletin's, from memory: the engineer confirms them with the edition's table set.
SUNK_NAILS: Final = Source("APA", "TT-012", "overdriven fasteners")
CLOSE_NAILS: Final = Source(
    "APA", "TT-012", "4 in or closer", "http://evstudio.com/effect-of-overdriven-fasteners-on-shear-wall-capacity/"
)
NO_FRAMING: Final = Source("AWC SDPWS", "2021", "4.3.7.1")


@dataclass(frozen=True, slots=True)
class SunkNails:
    """What one count gives: the outcome, the nails that don't hold, those to add, and how it came."""

    outcome: Outcome
    lost: int
    add: int
    steps: tuple[Step, ...]

    @property
    def text(self) -> str:
        """In the crew's words."""
        if self.outcome == "add nails":
            return f"add {self.add} edge nails and count again"
        return {"accept": "accepted", "stop and ask": "stop and ask the engineer"}[self.outcome]


def judge(tally: NailTally, spacing_in: float, scheduled: int) -> SunkNails:
    """Accept, add nails, or stop and ask, for a panel with `scheduled` edge nails at `spacing_in`. [in]

    Up to 20 % of the nails sunk more than 1/16 in, none more than 1/8 in: all hold. Beyond, one is lost for two sunk.
    A nail that missed the framing is lost. What is lost is added, less what was driven besides the schedule. Stop at
    4 in or closer whatever is sunk or missed, and where the nails to add would bring the mean spacing to 4 in or
    closer. More sunk nails never give a milder outcome.
    """
    sunk = tally.over_16th + tally.over_8th
    share = sunk / tally.total
    tolerated = share <= TOLERATED_SHARE + 1e-9 and not tally.over_8th
    lost = tally.missed_framing + (0 if tolerated else count_for(sunk / SUNK_PER_ADDED))
    add = max(0, lost - max(0, tally.total - scheduled))
    mean_in = spacing_in * scheduled / (tally.total + add)
    outcome: Outcome = "add nails" if add else "accept"
    close = spacing_in <= STOP_SPACING_IN + 1e-9
    if (close and sunk + tally.missed_framing) or (add and mean_in <= STOP_SPACING_IN + 1e-9):
        outcome = "stop and ask"
    counts: dict[str, float] = {"n_1/16": tally.over_16th, "n_1/8": tally.over_8th}
    steps = (
        step("sunk_share", "p", "(n_1/16 + n_1/8)/n", share, "-", SUNK_NAILS, **counts, n=tally.total),
        step("tolerated", "tolerated", "p not over 0.2, n_1/8 = 0", tolerated, "-", SUNK_NAILS, p=share, **counts),
        step("missed_framing", "n_m", "nails without framing behind", tally.missed_framing, "nails", NO_FRAMING),
        step("lost", "n_lost", "n_m" if tolerated else "n_m + (n_1/16 + n_1/8)/2, rounded up", lost, "nails",
             SUNK_NAILS, n_m=tally.missed_framing, **counts),
        step("add", "n_add", "n_lost − (n − n_s), not below 0, n not below n_s", add, "nails", SUNK_NAILS,
             n_lost=lost, n=tally.total, n_s=scheduled),
        step("mean_spacing_in", "s_mean", "s·n_s/(n + n_add); stop at 4 in or closer", mean_in, "in", CLOSE_NAILS,
             s=spacing_in, n_s=scheduled, n=tally.total, n_add=add),
    )  # fmt: skip
    return SunkNails(outcome, lost, add, steps)
