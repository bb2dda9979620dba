"""Proposes a connection schedule: the fewest connectors of the chosen methods that close each link."""

from __future__ import annotations

from engineering import (
    anchor_layout,
    collectors,
    panel_to_sill,
    plate_connectors,
    stitch_nailing,
    tie_downs,
    wall_panels,
)
from engineering.connector_values import ConnectorValues, LineContext
from engineering.inputs import HouseInputs
from engineering.load_path import contexts
from engineering.schedule import LineSchedule, Schedule
from engineering.seismic_demand import demand_inputs, house_demand


def propose_schedule(inputs: HouseInputs) -> Schedule:
    """Rows for every wall line by the line's chosen methods, with counts and places.

    A method that can't be used here leaves no row, so its link stays open; a shear beyond the closest nailing gets
    that nailing. Raises OutOfRange where places can't be found, naming the rule that failed, and as
    `seismic_demand.demand` does.
    """
    return proposed(contexts(inputs, house_demand(demand_inputs(inputs)), ConnectorValues(inputs)))


def proposed(lines: tuple[LineContext, ...]) -> Schedule:
    """The same as `propose_schedule` where demand and values are already there."""
    return Schedule(lines=tuple(_line(context) for context in lines))


def _line(context: LineContext) -> LineSchedule:
    floor = plate_connectors.proposed_rows(context)
    method = plate_connectors.row_method(context, floor[0]) if floor else None
    return LineSchedule(
        label=context.line.label,
        items=(
            *floor,
            *stitch_nailing.proposed_rows(context, floor, method),
            *collectors.proposed_rows(context),
            *wall_panels.proposed_rows(context),
            *panel_to_sill.proposed_rows(context),
            *anchor_layout.proposed_rows(context),
            *tie_downs.proposed_rows(context),
        ),
    )
