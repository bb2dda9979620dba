"""A wall line's load path as a chain, as found beside as designed. Sized in points: the same on a page and a sheet.

A link that holds is a drawn line with its ratio and a thin bar to 1.00; over 1.00 the bar breaks its frame. An open
link is a dashed gap with the word. Status is a word with a mark, never a colour alone.
"""

from __future__ import annotations

from typing import Any

from reports.drawings import svg
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


def draw(line_result: dict[str, Any], *, ratios: bool = True) -> str:
    """The chain 0 to 8 of one wall line as SVG, from the line's result as JSON. `ratios` off: status words only."""
    sheet = Sheet(1 / 72.0, f"Load path of wall line {line_result['label']}")
    found = {link["link"]: link["check"] for link in line_result["as_found"]}
    links = line_result["links"]
    _heading(sheet, line_result, ratios=ratios)
    for index, link in enumerate(links):
        y = -(index + 1) * ROW_PT
        sheet.text((NAME_X, y), link["link"], bold=True, size_pt=8.5)
        _name(sheet, y, _capital(link["name"]))
        for x, check in zip(COLUMNS, (found.get(link["link"]), link["check"]), strict=True):
            _chain(sheet, x, y, check, last=index == len(links) - 1)
            _state(sheet, x + 16, y, check, ratios=ratios)
        if index < len(links) - 1:
            for left, right in (
                (NAME_X, COLUMNS[0] - 12),
                (COLUMNS[0] + 12, COLUMNS[1] - 12),
                (COLUMNS[1] + 12, WIDTH_PT),
            ):
                sheet.line(RULES, (left, y - ROW_PT / 2), (right, y - ROW_PT / 2))
    _verdict(sheet, -(len(links) + 1) * ROW_PT, line_result, ratios=ratios)
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


def _chain(sheet: Sheet, x: float, y: float, check: dict[str, Any] | None, *, last: bool) -> None:
    """One link of the chain: a stroke that holds, a dashed gap where nothing does; its mark in the middle."""
    top, low = y + ROW_PT / 2, y - ROW_PT / 2
    status = "not in the chain" if check is None else check["status"]
    if status == "open":
        for start, end in ((top, top - 5), (low + 5, low)):
            sheet.line(NEW, (x, start), (x, end))
            tip = end if start == top else start
            sheet.line(NEW, (x - 4, tip), (x + 4, tip))
        sheet.line(OPEN, (x, top - 5), (x, low + 5))
    else:
        sheet.line(EXISTING if status == "not in the chain" else NEW, (x, top), (x, low))
    if status in ("ok", "over"):
        sheet.rectangle(DIMENSION, (x - 3, y - 3), (x + 3, y + 3), fill=INK)
    elif status in ("recorded", "not observed"):
        sheet.circle(DIMENSION, (x, y), 3.2, fill=PAPER)
    if last:
        sheet.line(NEW, (x - 9, low), (x + 9, low))
        for step in (-8.0, -2.0, 4.0):
            sheet.line(DIMENSION, (x + step + 4, low), (x + step, low - 5))


def _state(sheet: Sheet, x: float, y: float, check: dict[str, Any] | None, *, ratios: bool) -> None:
    if check is None:
        return
    status, ratio = check["status"], check["ratio"]
    if ratios and ratio is not None:
        sheet.text((x + 22, y), f"{ratio:.2f}", size_pt=9.5, anchor="end", bold=status == "over")
        _bar(sheet, x + 30, y, ratio)
        if status == "over":
            sheet.text((x + 30 + BAR_PT * BAR_LIMIT + 6, y), "over", size_pt=8.5, bold=True)
        return
    # Without released ratios a link is open, closed or not observed; "over" would be a finding.
    word = "closed" if status in ("ok", "over") else status
    sheet.text(
        (x, y),
        word,
        size_pt=8.5,
        bold=status in ("open", "over"),
        layer=QUIET_TEXT if status in ("recorded", "not in the chain") else DIMENSION,
    )
    if status == "recorded" and check["demand"] is not None and ratios:
        width = text_width_pt(word, 8.5)
        sheet.text((x + width + 5, y), f"{check['demand']:,.0f} {check['unit']}", layer=QUIET_TEXT, size_pt=8.5)


def _bar(sheet: Sheet, x: float, y: float, ratio: float) -> None:
    end = x + BAR_PT * min(ratio, BAR_LIMIT)
    sheet.rectangle(DIMENSION, (x, y - 3.5), (x + BAR_PT, y + 3.5), fill=PAPER)
    sheet.rectangle(DIMENSION, (x, y - 1.5), (end, y + 1.5), fill=INK if ratio > 1 else QUIET, stroked=False)
    if ratio > 1:
        # The frame's end is broken where the bar runs through it.
        sheet.rectangle(DIMENSION, (x + BAR_PT - 1.5, y - 2.2), (end, y + 2.2), fill=INK, stroked=False)


def _verdict(sheet: Sheet, y: float, line_result: dict[str, Any], *, ratios: bool) -> None:
    for index, row in enumerate(wrapped(verdict(line_result, ratios=ratios), WIDTH_PT * 0.9, 8.5)):
        sheet.text((0.0, y - 2 - index * 11), row, bold=True, size_pt=8.5)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
