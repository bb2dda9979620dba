"""How a design stands, in words that every paper repeats: its title, whether ratios are shown, what stays open."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

PRESCRIPTIVE = "appendix A3 prescriptive"
SAFETY = (
    "Preliminary until reviewed and stamped by a licensed design professional; "
    "local code and the building official govern."
)
STUDY_TITLE = "Quantity study, not engineering"
PRESCRIPTIVE_TITLE = "Prescriptive, no engineering analysis"
PARTIAL_TITLE = "Partial strengthening"
TITLE = "Seismic strengthening"


@dataclass(frozen=True, slots=True)
class Standing:
    """`title` heads the papers; `banner` is empty for an engineered design; `shows_ratios` False hides all of them."""

    title: str
    banner: str
    shows_ratios: bool
    open_links: tuple[str, ...]
    over: tuple[str, ...]
    remaining: tuple[str, ...]


def of(snapshot: dict[str, Any]) -> Standing:
    """How the design of this snapshot stands."""
    criteria = snapshot["criteria"]
    opened = tuple(
        f"Wall line {line['label']}: {words}" for line in snapshot["result"]["lines"] for words in line["open_links"]
    )
    over = tuple(
        f"Wall line {line['label']}: over capacity at {link['name']} ({link['check']['ratio']:.2f})"
        for line in snapshot["result"]["lines"]
        for link in line["links"]
        if link["check"]["status"] == "over"
    )
    remaining = tuple(text.strip() for text in criteria["remaining_deficiencies"].splitlines() if text.strip())
    study = criteria["quantity_study"]
    prescriptive = criteria["legal_basis"] == PRESCRIPTIVE
    banner = STUDY_TITLE if study else PRESCRIPTIVE_TITLE if prescriptive else ""
    title = PARTIAL_TITLE if opened or (over and not study and not prescriptive) else TITLE
    return Standing(
        title=f"{title}. {STUDY_TITLE}" if study else title,
        banner=banner,
        shows_ratios=not banner,
        open_links=opened,
        over=() if study or prescriptive else over,
        remaining=remaining,
    )


def link_status(check: dict[str, Any]) -> str:
    """A link's status as said where no ratios are shown: "over" would be a finding."""
    return "closed" if check["status"] in ("ok", "over") else str(check["status"])
