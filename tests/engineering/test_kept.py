"""What is kept of a house held in memory: the same result as of a house that is new, whatever was computed before."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engineering import exchange
from engineering.connector_values import ConnectorValues
from engineering.errors import OutOfRange
from engineering.house import assess, check_chain
from engineering.inputs import HouseInputs
from engineering.kept import HOUSES_KEPT, kept
from engineering.load_path import contexts
from engineering.seismic_demand import demand_inputs, house_demand
from tests.engineering.test_any_house import any_house
from tests.engineering.varied import house


def _told(given_house: HouseInputs) -> str:
    try:
        return exchange.canonical(assess(given_house))
    except OutOfRange as refusal:
        return str(refusal)


def _new(given_house: HouseInputs) -> HouseInputs:
    """The same house, none of it known: read anew."""
    return exchange.loads(HouseInputs, exchange.dumps(given_house))


def _stronger(given_house: HouseInputs, times: float) -> HouseInputs:
    hazard = given_house.hazard
    return replace(given_house, hazard=replace(hazard, s_ds_g=min(2.4, hazard.s_ds_g * times)))


@settings(deadline=None, max_examples=30)
@given(st.integers(0, 2**32), st.floats(1.0, 2.0))
def test_a_house_held_in_memory_gives_what_a_new_one_gives(seed: int, times: float):
    held = any_house(Random(seed))
    _told(held)
    changed = _stronger(held, times)
    assert _told(changed) == _told(_new(changed))
    assert _told(held) == _told(_new(held))


def test_a_schedule_edited_back_and_forth_gives_the_same_each_time():
    held = house()
    result = assess(held)
    fewer = replace(
        result.schedule,
        lines=tuple(replace(line, items=line.items[1:]) for line in result.schedule.lines),
    )
    first = exchange.canonical(check_chain(held, fewer))
    assert exchange.canonical(check_chain(held, result.schedule)) == exchange.canonical(result)
    assert exchange.canonical(check_chain(held, fewer)) == first == exchange.canonical(check_chain(_new(held), fewer))


def test_what_is_kept_may_not_ask_for_the_demand():
    given_house = house()
    values = ConnectorValues(given_house)
    context = contexts(given_house, house_demand(demand_inputs(given_house)), values)[0]
    with pytest.raises(AssertionError, match="demand_lb depends on the demand"):
        context.surveyed("a wrong thing", lambda bare: bare.demand.demand_lb)
    with pytest.raises(AttributeError, match="hazard"):
        context.surveyed("another", lambda bare: bare.inputs.hazard)


def test_a_kept_refusal_is_raised_each_time_with_its_field_value_and_what_is_allowed():
    given_house = house()
    context = contexts(given_house, house_demand(demand_inputs(given_house)), ConnectorValues(given_house))[0]

    def refuse(_):
        raise OutOfRange("plates_in", (), "must be two plates")

    for _ in range(2):
        with pytest.raises(OutOfRange, match="plates_in = \\(\\): must be two plates") as raised:
            context.surveyed("refused", refuse)
        assert (raised.value.field, raised.value.value) == ("plates_in", ())


def test_another_day_or_catalogue_shares_nothing_and_few_houses_are_held():
    held = house()
    assert kept(held) is kept(replace(held, hazard=replace(held.hazard, s_ds_g=1.2)))
    assert kept(held) is not kept(replace(held, calculation_date="2025-06-02"))
    assert kept(held) is not kept(replace(held, catalogue=replace(held.catalogue)))
    first = kept(held)
    for _ in range(HOUSES_KEPT):
        kept(house())
    assert kept(held) is not first
