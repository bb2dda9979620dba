"""One house in one call: demand, a proposed schedule, and its check."""

from __future__ import annotations

from engineering.connector_values import ConnectorValues
from engineering.inputs import HouseInputs
from engineering.load_path import check_chain, checked, contexts
from engineering.proposal import propose_schedule, proposed
from engineering.results import HouseResult
from engineering.seismic_demand import demand_inputs, house_demand

__all__ = ["assess", "check_chain", "propose_schedule"]


def assess(inputs: HouseInputs) -> HouseResult:
    """The proposed schedule and its check: `check_chain(inputs, propose_schedule(inputs))`."""
    demand, values = house_demand(demand_inputs(inputs)), ConnectorValues(inputs)
    lines = contexts(inputs, demand, values)
    schedule = proposed(lines)
    values.asked.clear()  # so that the result lists the connectors of the check alone, as `check_chain` does
    return checked(inputs, demand, lines, values, schedule)
