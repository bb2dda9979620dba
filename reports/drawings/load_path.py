"""A wall line's load path as a chain, as found beside as designed. Sized in points: the same on a page and a sheet.

A link that holds is a drawn line with its ratio and a thin bar to 1.00; over 1.00 the bar breaks its frame. An open
link is a dashed gap with the word. Status is a word with a mark, never a colour alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from reports.drawings import svg
from reports.drawings.callouts import Mark, draw_mark
from reports.drawings.sheet import (
    DIMENSION,
    EXISTING,
    INK,
    NEW,
    OPEN,
    PAPER,
    QUIET,
    QUIET_TEXT,
    RULES,
    Sheet,
    text_width_pt,
    wrapped,
)

ROW_PT = 27.0
NAME_X, COLUMNS = 0.0, (270.0, 440.0)
BAR_PT, BAR_LIMIT = 64.0, 1.3
WIDTH_PT = 600.0

MARKS: dict[str, Mark] = {"ok": "square", "over": "square", "open": "gap", "recorded": "ring", "not observed": "ring"}
NOT_COMPUTED = "not computed"


@dataclass(frozen=True, slots=True)
class LinkState:
    """One link as found or as designed: its status, the words and the mark that say it, its ratio where shown."""

    link: str
    name: str
    status: str
    words: str
    mark: Mark
    ratio: float | None


def states(line_result: dict[str, Any], *, ratios: bool) -> tuple[list[LinkState], list[LinkState]]:
    """Each link of a line as found and as designed, in order. Without ratios only open, closed or not observed."""
    found = {link["link"]: link["check"] for link in line_result["as_found"]}
    links = line_result["links"]
    return (
        [_link_state(link, found.get(link["link"]), ratios=ratios) for link in links],
        [_link_state(link, link["check"], ratios=ratios) for link in links],
    )


def _link_state(link: dict[str, Any], check: dict[str, Any] | None, *, ratios: bool) -> LinkState:
    if check is None:
        return LinkState(link["link"], link["name"], NOT_COMPUTED, NOT_COMPUTED, "", None)
    status, ratio = check["status"], check["ratio"] if ratios else None
    if ratio is not None:
        words = f"{ratio:.2f}, over" if status == "over" else f"{ratio:.2f}"
    else:
        # Without released ratios "over" would be a finding.
        words = "closed" if status in ("ok", "over") else status
    shown = "closed" if words == "closed" else status
    return LinkState(link["link"], link["name"], shown, words, MARKS.get(status, ""), ratio)


def draw(line_result: dict[str, Any], *, ratios: bool = True) -> str:
    """The chain 0 to 8 of one wall line as SVG, from the line's result as JSON. `ratios` off: status words only."""
    sheet = Sheet(1 / 72.0, f"Load path of wall line {line_result['label']}")
    found, designed = states(line_result, ratios=ratios)
    _heading(sheet, line_result, ratios=ratios)
    demands = [_demand(link["check"]) if ratios else "" for link in line_result["links"]]
    for index, (before, after, demand) in enumerate(zip(found, designed, demands, strict=True)):
        y, last = -(index + 1) * ROW_PT, index == len(designed) - 1
        sheet.text((NAME_X, y), after.link, bold=True, size_pt=8.5)
        _name(sheet, y, _capital(after.name))
        for x, state, noted in ((COLUMNS[0], before, ""), (COLUMNS[1], after, demand)):
            _chain(sheet, x, y, state, last=last)
            _state(sheet, x + 16, y, state, noted)
        if not last:
            for left, right in (
                (NAME_X, COLUMNS[0] - 12),
                (COLUMNS[0] + 12, COLUMNS[1] - 12),
                (COLUMNS[1] + 12, WIDTH_PT),
            ):
                sheet.line(RULES, (left, y - ROW_PT / 2), (right, y - ROW_PT / 2))
    _verdict(sheet, -(len(designed) + 1) * ROW_PT, line_result, ratios=ratios)
    return svg.write(sheet)


def verdict(line_result: dict[str, Any], *, ratios: bool = True) -> str:
    """One sentence on the line as designed: where it is open, or its weakest link."""
    if line_result["open_links"]:
        return _capital("; ".join(line_result["open_links"])) + "."
    if line_result["weakest_link"] is None or not ratios:
        return "Every link is closed; whether it is strong enough is not said here."
    link = next(link for link in line_result["links"] if link["link"] == line_result["weakest_link"])
    word = "over" if line_result["status"] == "over" else "weakest link"
    return f"{_capital(word)}: {link['link']}, {link['name']}, {line_result['weakest_ratio']:.2f}."


def _heading(sheet: Sheet, line_result: dict[str, Any], *, ratios: bool) -> None:
    y = 0.0
    sheet.text((NAME_X, y), f"Wall line {line_result['label']}", bold=True, size_pt=9.5)
    tail = ", demand / capacity" if ratios else ""
    for x, word in zip(COLUMNS, ("As found", "As designed"), strict=True):
        sheet.text((x - 6, y), word + tail, bold=True, size_pt=8.5)
    sheet.line(DIMENSION, (0.0, y - 10), (WIDTH_PT, y - 10))


def _name(sheet: Sheet, y: float, name: str) -> None:
    """The link's name, on two lines where one is too long."""
    room = COLUMNS[0] - NAME_X - 40
    if text_width_pt(name, 8.5) <= room:
        sheet.text((NAME_X + 20, y), name, size_pt=8.5)
        return
    words = name.split(" ")
    first = words[: max(n for n in range(1, len(words)) if text_width_pt(" ".join(words[:n]), 8.5) <= room)]
    sheet.text((NAME_X + 20, y + 5), " ".join(first), size_pt=8.5)
    sheet.text((NAME_X + 20, y - 5), " ".join(words[len(first) :]), size_pt=8.5)


def _chain(sheet: Sheet, x: float, y: float, state: LinkState, *, last: bool) -> None:
    """One link of the chain: a stroke that holds, a dashed gap where nothing does; its mark in the middle."""
    top, low = y + ROW_PT / 2, y - ROW_PT / 2
    if state.status == "open":
        for start, end in ((top, top - 5), (low + 5, low)):
            sheet.line(NEW, (x, start), (x, end))
            tip = end if start == top else start
            sheet.line(NEW, (x - 4, tip), (x + 4, tip))
        sheet.line(OPEN, (x, top - 5), (x, low + 5))
    else:
        sheet.line(NEW if state.mark else EXISTING, (x, top), (x, low))
    if state.mark in ("square", "ring"):
        draw_mark(sheet, (x, y), state.mark)
    if last:
        sheet.line(NEW, (x - 9, low), (x + 9, low))
        for step in (-8.0, -2.0, 4.0):
            sheet.line(DIMENSION, (x + step + 4, low), (x + step, low - 5))


def _state(sheet: Sheet, x: float, y: float, state: LinkState, noted: str) -> None:
    """The ratio with its bar, or the word; beside a link that is recorded what it has to carry."""
    if state.ratio is not None:
        over = state.status == "over"
        sheet.text((x + 22, y), f"{state.ratio:.2f}", size_pt=9.5, anchor="end", bold=over)
        _bar(sheet, x + 30, y, state.ratio)
        if over:
            sheet.text((x + 30 + BAR_PT * BAR_LIMIT + 6, y), "over", size_pt=8.5, bold=True)
        return
    quiet = state.status in ("recorded", "not in the chain", NOT_COMPUTED)
    layer = QUIET_TEXT if quiet else DIMENSION
    sheet.text((x, y), state.words, size_pt=8.5, bold=state.status == "open", layer=layer)
    if noted:
        sheet.text((x + text_width_pt(state.words, 8.5) + 5, y), noted, layer=QUIET_TEXT, size_pt=8.5)


def _demand(check: dict[str, Any]) -> str:
    if check["status"] != "recorded" or check["demand"] is None:
        return ""
    return f"{check['demand']:,.0f} {check['unit']}"


def _bar(sheet: Sheet, x: float, y: float, ratio: float) -> None:
    end = x + BAR_PT * min(ratio, BAR_LIMIT)
    sheet.rectangle(DIMENSION, (x, y - 3.5), (x + BAR_PT, y + 3.5), fill=PAPER)
    sheet.rectangle(DIMENSION, (x, y - 1.5), (end, y + 1.5), fill=INK if ratio > 1 else QUIET, stroked=False)
    if ratio > 1:
        # The frame's end is broken where the bar runs through it.
        sheet.rectangle(DIMENSION, (x + BAR_PT - 1.5, y - 2.2), (end, y + 2.2), fill=INK, stroked=False)


def _verdict(sheet: Sheet, y: float, line_result: dict[str, Any], *, ratios: bool) -> None:
    for index, row in enumerate(wrapped(verdict(line_result, ratios=ratios), WIDTH_PT * 0.88, 8.5)):
        sheet.text((0.0, y - 2 - index * 11), row, bold=True, size_pt=8.5)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
