"""Whatever is logged: less built is never stronger, and what is asked for closes what is short."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from engineering.as_built import recheck
from engineering.as_built_inputs import AsBuiltInputs, LogEntry
from engineering.as_built_results import AsBuiltResult
from engineering.house import assess, check_chain
from engineering.inputs import HouseInputs, Nail
from engineering.results import LineResult
from tests.engineering.logged import SPLICE, as_scheduled, entry, made_good, with_log
from tests.engineering.varied import house, with_line

HOUSES = ("as worked", "reduced", "wide sill", "angles", "tall", "two laps")
ANY = st.randoms(use_true_random=False)
EXAMPLES = settings(max_examples=25, deadline=None)


@cache
def _given(name: str) -> AsBuiltInputs:
    building = {"braced_wall_height_ft": 4.5} if name == "tall" else {}
    given_house: HouseInputs = house(level="r75" if name == "reduced" else "full", building=building)
    for line in given_house.lines:
        if name == "wide sill":
            given_house = with_line(given_house, line.label, framing={"sill_width_in": 5.5})
        if name == "angles":
            given_house = with_line(given_house, line.label, methods={"floor_to_plate": "angle"})
        if name == "two laps":
            laps_ft = (*line.plate_laps_ft, line.length_ft - 5.0)
            given_house = with_line(given_house, line.label, plate_laps_ft=laps_ft)
        if name == "tall":
            segments = tuple(replace(one, stud_height_ft=one.stud_height_ft + 1.5) for one in line.segments)
            given_house = with_line(given_house, line.label, segments=segments)
    return as_scheduled(given_house, assess(given_house).schedule)


def _missing(random: Random, given_log: AsBuiltInputs) -> dict[str, list[LogEntry]]:
    """Some of each row missed, split or not at all."""
    found: dict[str, list[LogEntry]] = {}
    for line in given_log.schedule.lines:
        for item in line.items:
            kind = random.choice(("missed", "split", "none"))
            if kind == "none":
                continue
            if item.positions_in and item.role != SPLICE:
                places = tuple(at for at in item.positions_in if random.random() < 0.4)
                if places:
                    found.setdefault(line.label, []).append(entry(item, kind, positions_in=places))
            else:
                found.setdefault(line.label, []).append(entry(item, kind, count=random.randint(1, item.count)))
    return found


def _with(given_log: AsBuiltInputs, entries: dict[str, list[LogEntry]]) -> AsBuiltInputs:
    for label, more in entries.items():
        given_log = with_log(given_log, label, *more)
    return given_log


def _parts(line: LineResult) -> dict[tuple[str, str], float]:
    """Capacity over demand by link and part: what governs a part may change from one bay to the whole panel."""
    return {
        (link.link, part.name): (part.capacity or 0.0) / (part.demand or 1.0)
        for link in line.links
        for part in (link.parts or (link.check,))
    }


def _no_stronger(before: AsBuiltResult, after: AsBuiltResult) -> None:
    for one, other in zip(before.built.lines, after.built.lines, strict=True):
        was, now = _parts(one), _parts(other)
        for key, strength in now.items():
            if key in was:
                assert strength <= was[key] * (1 + 1e-9), (one.label, key)


@EXAMPLES
@given(name=st.sampled_from(HOUSES), random=ANY)
def test_removing_an_installed_connector_never_raises_a_capacity(name, random):
    entries = _missing(random, _given(name))
    some = {label: more[: len(more) // 2] for label, more in entries.items()}
    _no_stronger(recheck(_with(_given(name), some)), recheck(_with(_given(name), entries)))


@EXAMPLES
@given(name=st.sampled_from(HOUSES))
def test_a_log_equal_to_the_schedule_gives_the_designs_own_result(name):
    given_log = _given(name)
    assert recheck(given_log).built == check_chain(given_log.house, given_log.schedule)


@EXAMPLES
@given(name=st.sampled_from(HOUSES), random=ANY)
def test_what_is_asked_for_closes_what_is_short(name, random):
    given_log = _with(_given(name), _missing(random, _given(name)))
    result = recheck(given_log)
    assert any(line.shortfall for line in result.lines) == bool(result.shortfalls)
    again = recheck(made_good(given_log, result.shortfalls))
    unclosed = {(one.line, one.link) for one in result.shortfalls if not one.closes}
    for line in again.lines:
        for link in line.links:
            if any(label == line.label for label, _ in unclosed):
                continue
            if link.as_designed.status == "ok":
                assert link.as_built.status == "ok", (line.label, link.link, result.shortfalls)


@EXAMPLES
@given(
    name=st.sampled_from(HOUSES),
    thin=st.sampled_from([0.099, 0.113, 0.12, 0.131]),
    thinner=st.floats(0.09, 1.0),
    part=st.floats(0.1, 1.0),
)
def test_a_thinner_nail_never_raises_a_capacity(name, thin, thinner, part):
    def nailed(diameter_in: float) -> AsBuiltResult:
        given_log = _given(name)
        nail = Nail(
            key="logged", name="as measured", kind="box", diameter_in=diameter_in, length_in=2.5, finish="hot-dip"
        )
        for line in given_log.schedule.lines:
            for item in line.rows("panel edge nails"):
                more = entry(item, "substituted", count=max(1, int(part * item.count)), substitute="logged", nail=nail)
                given_log = with_log(given_log, line.label, more)
        return recheck(given_log)

    _no_stronger(nailed(thin), nailed(max(0.09, thin * thinner)))
    _no_stronger(recheck(_given(name)), nailed(thin))
