"""What an entry of the crew's log says, from its payload to what engineering takes. Not who may write one.

`payload` of an entry about the schedule names its row as scheduled, `role`, `connector` (catalogue key), `panel`,
`piece`, and what of it: `positions_in` (the scheduled places) or, for a row without places, `count`. `moved`:
`moved_to_in`, a new place for each. `substituted`: `substitute`, a catalogue key of the design, or `nail` {diameter_in,
length_in, kind, finish} as measured; neither: what stands there is not known and counts as nothing. `added`: places of
its own, `substitute` or `nail` where it is not the row's connector. `across_in`: off its line, across the wall.
`nail_count`: a NailTally. `panel_built`: `panel`, `from_in`, `to_in`. Other members (text, task …) are for people.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from engineering import collectors, exchange
from engineering.as_built_inputs import BuiltPanel, LogEntry, NailTally
from engineering.errors import OutOfRange
from engineering.inputs import Catalogue, EvaluatedConnector, LagScrew, Nail
from engineering.schedule import Schedule
from jobs.models import FieldEvent, FieldEventKind

Connector = Nail | LagScrew | EvaluatedConnector
Entry = LogEntry | NailTally | BuiltPanel
OF_ROWS = frozenset(
    {
        FieldEventKind.INSTALLED,
        FieldEventKind.MISSED,
        FieldEventKind.MOVED,
        FieldEventKind.SUBSTITUTED,
        FieldEventKind.SPLIT,
        FieldEventKind.ADDED,
    }
)
KINDS = OF_ROWS | {FieldEventKind.NAIL_COUNT, FieldEventKind.PANEL_BUILT}
ABOUT_A_ROW = ("role", "connector", "count", "panel", "piece", "positions_in", "across_in", "substitute", "nail")
TALLY = ("panel", "total", "flush", "over_16th", "over_8th", "missed_framing")
PANEL = ("panel", "from_in", "to_in")


def read(kind: str, payload: Mapping[str, Any]) -> Entry | None:
    """The entry that a payload holds; None for a note, a hold point, or words about the wall as a whole.

    OutOfRange names the member that can't be, and what is allowed.
    """
    if kind == FieldEventKind.NAIL_COUNT:
        return exchange.loads(NailTally, {name: payload[name] for name in TALLY if name in payload})
    if kind == FieldEventKind.PANEL_BUILT:
        return _panel(payload)
    if kind not in OF_ROWS or (kind != FieldEventKind.ADDED and payload.get("role") is None):
        return None
    facts = {name: payload[name] for name in ABOUT_A_ROW if payload.get(name) is not None}
    places = facts.get("positions_in", [])
    if isinstance(places, list) and places and not _by_number(facts):
        facts.setdefault("count", len(places))
    if (new := payload.get("moved_to_in")) is not None:
        facts["moved_to_in"] = new if isinstance(new, list) else [new]  # one number: from before a list was asked
    if (nail := facts.pop("nail", None)) is not None:
        facts["nail"] = _measured(nail)
        facts["substitute"] = facts["nail"]["key"]
    unknown = kind == FieldEventKind.SUBSTITUTED and not facts.get("substitute")
    return exchange.loads(LogEntry, {"kind": str(FieldEventKind.MISSED if unknown else kind), **facts})


def row_of(event: FieldEvent) -> tuple[str, Any, Any, Any]:
    """Line, role, panel and piece that an entry is about; words about a wall may hold anything in their places."""
    said = [event.payload.get(name) for name in ("role", "panel", "piece")]
    return (event.wall_line_label, *(one if isinstance(one, str | int) else None for one in said))


def unidentified(kind: str, payload: Mapping[str, Any]) -> bool:
    """Whether something else stands there that nobody named so that it could be counted."""
    known = payload.get("substitute") or payload.get("nail")
    return kind == FieldEventKind.SUBSTITUTED and payload.get("role") is not None and not known


def check(entry: Entry, label: str, schedule: Schedule, catalogue: Catalogue) -> None:
    """OutOfRange unless the design has what the entry speaks of: its line, panel, connectors."""
    line = next((one for one in schedule.lines if one.label == label), None)
    if line is None:
        raise OutOfRange("wall_line_label", label, "must be a wall line of the schedule")
    if not isinstance(entry, LogEntry):
        panels = sorted({row.panel for row in line.items if row.panel is not None})
        if entry.panel not in panels:
            raise OutOfRange("panel", entry.panel, f"must be one of this line's panels, {panels}")
        return
    _require_known("connector", entry.connector, entry.role, schedule, catalogue)
    if entry.nail is None:
        _require_known("substitute", entry.substitute, entry.role, schedule, catalogue)
    elif "nail" not in {kind_of(one) for one in could_stand(entry.role, schedule, catalogue)}:
        raise OutOfRange("nail", entry.substitute, f"must not stand for {entry.role}, which are no nails")


def find(key: str, catalogue: Catalogue) -> Connector | None:
    """The connector of a design's catalogue with this key."""
    return next((one for one in (*catalogue.nails, *catalogue.lags, *catalogue.evaluated) if one.key == key), None)


def could_stand(role: str, schedule: Schedule, catalogue: Catalogue) -> list[Connector]:
    """The design's connectors of the kinds that it schedules for a role, by name."""
    kinds = {kind_of(find(key, catalogue)) for key in _scheduled(role, schedule)}
    known = (*catalogue.nails, *catalogue.lags, *catalogue.evaluated)
    return sorted((one for one in known if kind_of(one) in kinds), key=lambda one: one.name)


def kind_of(connector: Connector | None) -> str:
    """What sort of thing a connector is; nails of every kind are one."""
    if isinstance(connector, EvaluatedConnector):
        return connector.kind
    return "nail" if isinstance(connector, Nail) else "lag screw" if connector else ""


def _scheduled(role: str, schedule: Schedule) -> Iterable[str]:
    return {item.connector for line in schedule.lines for item in line.items if item.role == role}


def _require_known(name: str, key: str, role: str, schedule: Schedule, catalogue: Catalogue) -> None:
    known = [one.key for one in could_stand(role, schedule, catalogue)]
    if key and key not in known:
        what = f"must be one of this design's for {role}: {', '.join(known) or 'it has none'}"
        raise OutOfRange(name, key, f"{what}; for anything else write what it is and ask the engineer")


def _panel(payload: Mapping[str, Any]) -> BuiltPanel:
    facts = {name: payload[name] for name in PANEL if name in payload}
    for name in ("from_in", "to_in"):
        if not isinstance(facts.get(name), int | float) or isinstance(facts[name], bool):
            raise OutOfRange(name, facts.get(name), "must be a number of inches from the zero end")
        facts[name.replace("_in", "_ft")] = facts.pop(name) / 12
    return exchange.loads(BuiltPanel, facts)


def _measured(nail: Any) -> dict[str, Any]:
    """A nail that was measured on site, named by its measures."""
    if not isinstance(nail, Mapping):
        raise OutOfRange("nail", nail, "must give diameter_in, length_in, kind and finish")
    facts = {name: nail.get(name) for name in ("diameter_in", "length_in", "kind", "finish")}
    name = "{diameter_in} × {length_in} in {kind} {finish}, as measured".format_map(facts)
    return {"key": name, "name": name, **facts}


def _by_number(facts: Mapping[str, Any]) -> bool:
    """As field_log.by_number, of what was said."""
    return not facts.get("positions_in") or facts.get("role") in collectors.ROLES
