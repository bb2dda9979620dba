"""The through-plate screw in section, true to this job's sizes, with the jig that finds the joist's middle.

Sizes that were computed are read from the screw's set-up; nothing is computed again here.
"""

from __future__ import annotations

from typing import Any

from reports.drawings import svg
from reports.drawings import wall_section as section
from reports.drawings.callouts import Note, callouts
from reports.drawings.sheet import (
    ACCENT,
    ADDED,
    ADDED_TEXT,
    EXISTING,
    HIDDEN,
    JOINT,
    PAPER,
    QUIET_TEXT,
    Layer,
    Point,
    Sheet,
    length_text,
)

PILOT = Layer("pilot hole", ACCENT, 0.6, (3.0, 1.5))
STUD_SHOWN_IN, BAR_SHOWN_IN, BOARD_IN, INSIDE_IN = 5.0, 3.0, 0.75, 3.0
PILOT_SHOWN_IN, THREAD_PITCH_IN = 0.5, 0.12


def step_values(check: dict[str, Any]) -> dict[str, Any]:
    """The values of a check's steps by key."""
    return {step["key"]: step["value"] for step in check["steps"]}


def draw(
    *,
    framing: dict[str, Any],
    set_up: dict[str, Any],
    screw: dict[str, Any],
    stitch_nail: dict[str, Any] | None,
    title: str,
    paper_width_in: float,
    paper_height_in: float,
) -> svg.Svg:
    """`set_up`: the screw's computed set-up by step key; `screw`, `stitch_nail`: their catalogue records.

    No stitch nail where the plates need none.
    """

    def fill(sheet: Sheet) -> None:
        drawing = _Section(sheet, framing, set_up, screw, stitch_nail)
        drawing.framing_parts()
        drawing.jig()
        drawing.fasteners()
        drawing.dimensions()
        drawing.notes()

    return svg.write_fitting(
        fill, title=title, paper_width_in=paper_width_in, paper_height_in=paper_height_in, zoom=section.ZOOM
    )


class _Section:
    """The section at its levels: 0 is the top of the upper plate."""

    def __init__(
        self,
        sheet: Sheet,
        framing: dict[str, Any],
        set_up: dict[str, Any],
        screw: dict[str, Any],
        stitch_nail: dict[str, Any] | None,
    ) -> None:
        self.sheet, self.framing, self.set_up, self.screw, self.nail = sheet, framing, set_up, screw, stitch_nail
        self.base, self.depth = section.plates_base_in(framing), framing["rim_depth_in"]
        self.low = self.base - STUD_SHOWN_IN
        self.outer, self.inner = section.floor_at(framing)
        self.width = framing["plate_width_in"]
        self.inside = max(self.width, self.inner) + INSIDE_IN
        self.target, self.tip = set_up["target_from_plate_edge_in"], set_up["penetration_in"]
        self.bar = set_up["jig_bar_diameter_in"]
        self.axis = self.bar / 2  # where the bar holds the drill

    def framing_parts(self) -> None:
        sheet, framing = self.sheet, self.framing
        section.corner(sheet, framing, self.low, self.inside)
        sheet.rectangle(EXISTING, (-BOARD_IN, self.low), (0, self.depth), fill=PAPER)
        if framing["ceiling_finish"]:
            sheet.rectangle(EXISTING, (self.width, -0.75), (self.inside, 0.0), fill=PAPER)

    def jig(self) -> None:
        sheet = self.sheet
        low = self.base - BAR_SHOWN_IN
        hole = self.set_up["jig_hole_in"] / 2
        sheet.rectangle(JOINT, (0.0, low), (self.bar, self.base), fill=PAPER)
        for x in (self.axis - hole, self.axis + hole):
            sheet.line(PILOT, (x, low - PILOT_SHOWN_IN), (x, self.base))
        sheet.line(
            section.CENTRE,
            (self.target, low - PILOT_SHOWN_IN),
            (self.target, self.depth + section.FLOOR_IN + sheet.pt(12)),
        )

    def fasteners(self) -> None:
        sheet, half = self.sheet, self.screw["diameter_in"] / 2
        x, tip = self.axis, self.tip
        for side in (-1, 1):
            edge = self.target + side * self.set_up["placing_tolerance_in"]
            sheet.line(HIDDEN, (edge, 0.0), (edge, self.depth))
        body = ((x - half, self.base), (x - half, tip - 2 * half), (x, tip), (x + half, tip - 2 * half))
        sheet.polyline(ADDED, (*body, (x + half, self.base)), closed=True, fill=PAPER)
        level = tip - 2 * half
        while level > max(0.1, tip - self.screw["length_in"]):
            sheet.line(ADDED, (x - half * 1.25, level - 0.05), (x + half * 1.25, level + 0.03))
            level -= THREAD_PITCH_IN
        sheet.rectangle(ADDED, (x - 2 * half, self.base - half), (x + 2 * half, self.base), fill=ACCENT)
        if self.nail:
            at = self.stitch_at
            section.nail(sheet, at, (at[0], at[1] + self.nail["length_in"]))

    @property
    def stitch_at(self) -> Point:
        """Where the head of a stitch nail stands under the lower plate."""
        return self.width - 1.0, self.base

    def dimensions(self) -> None:
        sheet, framing = self.sheet, self.framing
        top, tier = self.depth + section.FLOOR_IN, sheet.pt(20)
        if self.outer:
            sheet.dimension((0, 0), (self.outer, 0), top + tier)
        sheet.dimension((self.outer, top), (self.inner, top), top + 2 * tier)
        left = -BOARD_IN - sheet.pt(16)
        for low, high, _ in section.plate_levels(framing):
            sheet.dimension((-BOARD_IN, low), (-BOARD_IN, high), left, vertical=True)
        sheet.dimension((-BOARD_IN, 0), (-BOARD_IN, self.tip), left, vertical=True)
        sheet.dimension((-BOARD_IN, 0), (-BOARD_IN, self.depth), left - tier, vertical=True)
        drilled = self.base + self.set_up["drilled_depth_in"]
        sheet.dimension((-BOARD_IN, self.base), (-BOARD_IN, drilled), left - 2 * tier, vertical=True)
        bar_low = self.base - BAR_SHOWN_IN
        sheet.dimension((0, bar_low), (self.bar, bar_low), bar_low - PILOT_SHOWN_IN - sheet.pt(10))
        sheet.dimension((0, self.low), (self.target, self.low), self.low - tier)
        sheet.dimension((0, self.low), (self.width, self.low), self.low - 2 * tier)
        sheet.scale_bar((-BOARD_IN, self.low - sheet.pt(82)))

    def notes(self) -> None:
        sheet, framing, set_up, screw = self.sheet, self.framing, self.set_up, self.screw
        tolerance = length_text(set_up["placing_tolerance_in"])
        notes = [
            Note((self.inner, self.depth * 0.9), self._edge_words(), QUIET_TEXT),
            Note(
                (self.target + set_up["placing_tolerance_in"], self.depth * 0.72),
                f"target line in the joist's middle, {length_text(self.target)} from the plates' outer edge; screw "
                f"within {tolerance} of it across the joist: "
                f"{length_text(set_up['edge_distance_in'])} to the nearer face, at least "
                f"{length_text(screw['minimum_edge_in'])} left",
            ),
            Note(
                (self.axis + screw["diameter_in"] / 2, self.tip * 0.6),
                f"{screw['name']}, report {screw['report']}: {length_text(self.tip)} into the joist, at least "
                f"{length_text(screw['minimum_penetration_in'])}",
                ADDED_TEXT,
            ),
            Note((self.width, self.base / 2), f"top plates, {section.plate_sizes(framing)}", QUIET_TEXT),
            Note((framing["stud_depth_in"], self.base - 4.7), "stud beyond", QUIET_TEXT),
            Note(
                (self.bar, self.base - 1.6),
                f"drilling jig: round bar {length_text(self.bar)}, centred hole {set_up['jig_hole_in']:.3f} in, "
                f"held against the {framing['jig_bears_on']}",
            ),
            Note(
                (self.axis + set_up["jig_hole_in"] / 2, self.base - BAR_SHOWN_IN - 0.3),
                f"pilot hole {set_up['jig_hole_in']:.3f} in, at most {length_text(set_up['max_off_in'])} out of plumb "
                f"in {length_text(set_up['drilled_depth_in'])}",
            ),
        ]
        if framing["ceiling_finish"]:
            notes.append(Note((self.width + 1.5, -0.4), f"{framing['ceiling_finish']}: stays", QUIET_TEXT))
        if self.nail:
            count = set_up["stitch_nails_per_screw"]
            at = (self.stitch_at[0], self.stitch_at[1] + 0.4)
            text = f"stitch nails {self.nail['name']}, {count:.0f} beside each screw, from below"
            notes.append(Note(at, text, ADDED_TEXT))
        callouts(sheet, notes, x_in=self.inside + sheet.pt(18))

    def _edge_words(self) -> str:
        back = f"set back {length_text(self.outer)} from" if self.outer else "flush with"
        return f"{section.edge_name(self.framing)}, {back} the plates' outer edge"
