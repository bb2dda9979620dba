"""The demand's section: its steps under the headings that an engineer looks for, and which mass goes to which line."""

from __future__ import annotations

from typing import Any, Final

from reports.documents import figures
from reports.drawings import mass_plan

PLAN_WIDTH_IN, PLAN_HEIGHT_IN = 7.1, 4.15  # both directions on one letter page

# What the steps of a heading are called by; a step that fits none stays under the heading before it.
GROUPS: Final[tuple[tuple[str, tuple[str, ...]], ...]] = (
    ("Structural system", ("R", "omega_0", "C_d", "height_limit", "Ie")),
    ("Site coefficients", ("Fa", "Fv", "SMS", "SM1", "SDS_g", "SD1", "SDC", "Ts_s", "long_period")),
    ("Weight", ("floor_area", "roof_area", "perimeter", "snow", "part_", "weight_psf")),
    ("Levels and period", ("level_", "hn_ft")),
    ("Redundancy", ("rho",)),
    ("Vertical seismic effect and base shear", ("Ev", "SDS_used", "Cs")),
    ("Diaphragm force at the floor", ("px_", "re_entrant", "diaphragm_factor")),
    ("Distribution to the wall lines", ("wall_line_mass", "cut_", "rigid_")),
)
OF_LEVELS: Final[tuple[tuple[str, tuple[str, ...]], ...]] = (
    ("Vertical distribution", ("_C_vx", "_story_share")),
    ("Forces at the levels", ("_force_lb",)),
)


def headed(check: dict[str, Any], rows: list[dict[str, Any]], labels: list[str]) -> list[dict[str, Any]]:
    """The printed rows of the demand, each with the heading that begins there or none."""
    before = ""
    for step, row in zip(check["steps"], rows, strict=True):
        now = _heading(step["key"], labels) or before
        row["heading"] = now if now != before else ""
        before = now
    return rows


def _heading(key: str, labels: list[str]) -> str:
    for label in labels:
        if is_about(key, label):
            return f"Wall line {label}"
    if key == "k":
        return OF_LEVELS[0][0]
    of_levels = (title for title, ends in OF_LEVELS if key.startswith("level_") and key.endswith(ends))
    return next(of_levels, next((title for title, starts in GROUPS if key.startswith(starts)), ""))


def is_about(key: str, label: str) -> bool:
    """Whether a step of the demand is one line's: its strip, its F_px value, its demand, the moment above it."""
    return key in (f"demand_{label}_lb", f"moment_above_{label}_ft_lb") or key.startswith(
        (f"strip_{label}_", f"px_{label}_")
    )


def plans(snapshot: dict[str, Any]) -> dict[str, str]:
    """The drawing of each direction by its name; none for a direction of which no piece of mass is known."""
    picture, found = snapshot["result"]["picture"], {}
    carried = {share["line"] for share in picture}
    for name, lines in mass_plan.directions(snapshot["inputs"]):
        if carried & {line["label"] for line in lines}:
            found[name] = mass_plan.draw(
                snapshot["inputs"], picture, lines, direction=name,
                paper_width_in=PLAN_WIDTH_IN, paper_height_in=PLAN_HEIGHT_IN,
            )  # fmt: skip
    return found


def shares(snapshot: dict[str, Any]) -> dict[str, Any]:
    """The picture in figures: a row a line, a column a level, and each direction's sum, which is the weight."""
    picture = snapshot["result"]["picture"]
    levels = list(dict.fromkeys(share["level"] for share in picture))
    rows = []
    for name, lines in mass_plan.directions(snapshot["inputs"]):
        labels = [line["label"] for line in lines]
        rows += [_row(f"line {label}", name, levels, picture, {label}) for label in labels]
        rows.append(_row("together", name, levels, picture, set(labels)))
    return {"levels": levels, "rows": rows if picture else []}


def _row(
    name: str, direction: str, levels: list[str], picture: list[dict[str, Any]], labels: set[str]
) -> dict[str, Any]:
    own = [share for share in picture if share["line"] in labels]
    by_level = [sum(share["weight_lb"] for share in own if share["level"] == level) for level in levels]
    cells = [figures.amount(weight_lb) for weight_lb in (*by_level, sum(by_level))]
    return {"name": name, "direction": direction, "cells": cells, "whole": name == "together"}
