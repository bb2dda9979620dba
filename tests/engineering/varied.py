"""Variations of the worked house for tests of one behaviour each."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from engineering.connector_values import ConnectorValues, LineContext
from engineering.evaluated import USE_SIDE_CONNECTION, USE_STRAP
from engineering.inputs import EvaluatedConnector, HouseInputs, WallLine
from engineering.load_path import contexts
from engineering.schedule import LineSchedule, Schedule, ScheduleItem
from engineering.seismic_demand import demand_inputs, house_demand
from tests.published.house_a import house_inputs


def house(*, level: str = "full", **changes: Any) -> HouseInputs:
    """The worked house; `hazard`, `criteria` or `building` as dicts of changed fields, others as new values."""
    given = house_inputs(level)
    for name, change in changes.items():
        value = replace(getattr(given, name), **change) if isinstance(change, dict) else change
        given = replace(given, **{name: value})
    return given


def with_line(given: HouseInputs, label: str, **changes: Any) -> HouseInputs:
    """The house with one wall line changed; `framing`, `foundation`, `methods` … as dicts of changed fields."""
    return replace(given, lines=tuple(changed(one, **changes) if one.label == label else one for one in given.lines))


def changed(line: WallLine, **changes: Any) -> WallLine:
    """A wall line with some fields changed."""
    values = {
        name: replace(getattr(line, name), **change) if isinstance(change, dict) else change
        for name, change in changes.items()
    }
    return replace(line, **values)


def line_of(given: HouseInputs, label: str) -> WallLine:
    """The wall line of this label."""
    return next(one for one in given.lines if one.label == label)


def prescriptive(given: HouseInputs, label: str) -> LineContext:
    """A line under the prescriptive chapter, which gives no forces of its own: with those of the house's own basis."""
    context = next(
        one for one in contexts(given, house_demand(demand_inputs(given)), ConnectorValues(given))
        if one.line.label == label
    )  # fmt: skip
    criteria = replace(given.criteria, legal_basis="appendix A3 prescriptive")
    return replace(context, inputs=replace(given, criteria=criteria))


def with_strap(given: HouseInputs, **changes: Any) -> HouseInputs:
    """The house with a strap across a plate joint in its catalogue, invented for the tests."""
    screw = next(one for one in given.catalogue.evaluated if one.key == "tie-down")
    strap = replace(screw, key="strap", name="strap, invented", kind="strap", use=USE_STRAP, value_lb=1200.0, **changes)
    return replace(given, catalogue=replace(given.catalogue, evaluated=(*given.catalogue.evaluated, strap)))


def edited(schedule: Schedule, label: str, role: str, *, of_panel: int | None = None, **changes: Any) -> Schedule:
    """A schedule with every row of a role on a line (or of one panel) changed; `count=0` takes the rows out."""

    def row(item: ScheduleItem) -> ScheduleItem | None:
        if item.role != role or of_panel not in (None, item.panel):
            return item
        if changes.get("count") == 0:
            return None
        places = (
            item.positions_in[: changes["count"]] if "count" in changes and item.positions_in else item.positions_in
        )
        return replace(item, **{"positions_in": places, **changes})

    def line(one: LineSchedule) -> LineSchedule:
        if one.label != label:
            return one
        return replace(one, items=tuple(kept for item in one.items if (kept := row(item)) is not None))

    return replace(schedule, lines=tuple(line(one) for one in schedule.lines))


SIDE = EvaluatedConnector(
    key="side",
    name="side connection, invented for the example",
    kind="side connection",
    report="EXAMPLE-5",
    issued="2024-01-01",
    expires="2027-12-31",
    use=USE_SIDE_CONNECTION,
    species=("any",),
    value_lb=980.0,
    value_basis="ASD seismic, C_D not applied",
    diameter_in=0.5,
    minimum_concrete_psi=2500.0,
)


def with_connector(given: HouseInputs, connector: EvaluatedConnector) -> HouseInputs:
    """The house with one more evaluated connector in its catalogue, or with this one in place of its namesake."""
    others = tuple(one for one in given.catalogue.evaluated if one.key != connector.key)
    return replace(given, catalogue=replace(given.catalogue, evaluated=(*others, connector)))


def with_side_connections(given: HouseInputs, label: str) -> HouseInputs:
    """The house with side connections chosen on one line, whose foundation has a sound face."""
    return with_line(
        with_connector(given, SIDE), label, methods={"side_connection": SIDE.key}, foundation={"face": "sound"}
    )
