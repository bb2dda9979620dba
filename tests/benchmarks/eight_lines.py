"""How fast a house of eight wall lines is calculated, and whether ten thousand houses take as long each as one.

Run by hand: `.venv/bin/python -m tests.benchmarks.eight_lines [houses]`. Prints times and ratios, asserts nothing. One
core. Every house has another S_DS, so that all its demands, ratios and counts are new each time. "Held": the same
house with another S_DS, as a spreadsheet that is open recalculates it; what its survey and catalogue alone decide is
known. "New": a house that the process has not seen. "First" is the first house of a process.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from statistics import median
from time import perf_counter

from engineering.house import assess, check_chain, propose_schedule
from engineering.inputs import HouseInputs
from engineering.results import HouseResult
from tests.published.house_a import house_inputs

SPREADSHEET_MS = 4.7  # a spreadsheet held open in memory, recalculating a house of this size
RUNS = 100


def eight_lines(number: int = 0) -> HouseInputs:
    """The worked house with each of its lines once more, at the third points of its plan."""
    base = house_inputs("full")
    lines = {line.label: line for line in base.lines}
    inner = (
        replace(lines["A"], label="A2", start_ft=(0.0, 9.0), end_ft=(40.0, 9.0)),
        replace(lines["B"], label="B2", start_ft=(0.0, 19.0), end_ft=(40.0, 19.0)),
        replace(lines["1"], label="12", start_ft=(13.0, 0.0), end_ft=(13.0, 28.0)),
        replace(lines["2"], label="22", start_ft=(27.0, 0.0), end_ft=(27.0, 28.0)),
    )
    hazard = replace(base.hazard, s_ds_g=base.hazard.s_ds_g + 1e-6 * (number % 50_000))
    return replace(base, hazard=hazard, lines=(*base.lines, *inner))


def held(number: int, house: HouseInputs) -> HouseInputs:
    """The same house, its lines and its catalogue, with another S_DS."""
    return replace(house, hazard=replace(house.hazard, s_ds_g=house.hazard.s_ds_g + 1e-3 * number))


def milliseconds(calculate: Callable[[HouseInputs], object], houses: list[HouseInputs]) -> list[float]:
    """Time of each house. [ms]"""
    times = []
    for house in houses:
        start = perf_counter()
        calculate(house)
        times.append(1e3 * (perf_counter() - start))
    return times


def step_count(result: HouseResult) -> int:
    """All the steps that the result keeps."""
    checks = [result.demand, *result.fasteners]
    for line in result.lines:
        for link in (*line.links, *line.as_found):
            checks += [link.check, *link.parts]
    return sum(len(check.steps) for check in checks)


def main(many: int) -> None:
    """Print the table."""
    first = milliseconds(assess, [eight_lines()])[0]
    house, new = eight_lines(), [eight_lines(number) for number in range(RUNS)]
    schedule, same = propose_schedule(house), [held(number, house) for number in range(RUNS)]
    print(f"8 lines, {step_count(assess(house)):,} steps kept, medians of {RUNS} houses, one core")
    for what, times in (
        ("held: proposal and check", milliseconds(assess, same)),
        ("held: check of a schedule", milliseconds(lambda one: check_chain(one, schedule), same)),
        ("new: proposal and check", milliseconds(assess, new)),
        ("first of a process", [first]),
    ):
        print(f"  {what:26s}{median(times):6.2f} ms   {median(times) / SPREADSHEET_MS:5.2f} × the spreadsheet's 4.7 ms")
    if many:
        part, before = max(1, many // 10), 0.0
        for number in range(10):
            some = [eight_lines(number * part + at) for at in range(part)]
            total = sum(milliseconds(assess, some)) / part
            before = before or total
            print(
                f"  houses {number * part + 1:>6,} on     {total:6.2f} ms each  {total / before:5.2f} × the first tenth"
            )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 0)
