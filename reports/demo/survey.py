"""Invented surveys from fixtures/, entered through the services. Lengths there read as a tradesman writes them."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from django.conf import settings

from engineering.feet_inches import parse_inches
from jobs.models import Connector, House, Jurisdiction, User
from jobs.services import catalogue, clients, houses, wall_lines

FIXTURES = Path(settings.ENV.root) / "fixtures"
CHILDREN = ("panels", "sill_pieces", "existing_anchors", "openings", "as_found_nailing", "dead_loads")


@dataclass(frozen=True, slots=True)
class Survey:
    """A house as entered, with what only the engineer or the estimator adds later."""

    house: House
    accepted_anchors: dict[str, dict[float, str]]  # line label → place in inches → the engineer's reason
    choices: dict[str, Any]


def read(name: str) -> dict[str, Any]:
    """One file of fixtures/ as plain JSON."""
    return json.loads((FIXTURES / name).read_text())


def load_catalogue(*, by: User, today: date) -> None:
    """The starter catalogue; its dates are offsets from `today`."""
    for row in read("catalogue.json")["connectors"]:
        facts = dict(row)
        if facts["basis"] == "evaluated":
            facts["issued_on"] = today - timedelta(days=facts.pop("issued_days_ago"))
            facts["expires_on"] = today + timedelta(days=facts.pop("expires_in_days"))
        catalogue.create_connector(by=by, **facts)


def load_jurisdictions(*, by: User) -> None:
    for row in read("jurisdictions.json")["jurisdictions"]:
        clients.create_jurisdiction(by=by, **row)


def load_house(name: str, *, by: User, today: date) -> Survey:
    """Enter a client, their house and its wall lines."""
    data = read(f"houses/{name}.json")
    client = clients.create_client(by=by, **data["client"])
    facts = _lengths(_dates(data["house"], today))
    jurisdiction = Jurisdiction.objects.get(name=facts.pop("jurisdiction"))
    house = houses.create_house(by=by, client_id=client.pk, jurisdiction_id=jurisdiction.pk, **facts)
    houses.edit_house(
        house_id=house.pk,
        seen_version=house.version,
        changes={},
        by=by,
        children={
            "point_weights": data["point_weights"],
            "story_above": [
                {"line_label": label, "full_height_wall_ft": length} for label, length in data["story_above"].items()
            ],
        },
    )
    accepted = {}
    for row in data["wall_lines"]:
        accepted[row["label"]] = _load_line(house, data, row, by)
    house.refresh_from_db()
    return Survey(house, accepted, _lengths(data["choices"]))


def _load_line(house: House, data: dict[str, Any], row: dict[str, Any], by: User) -> dict[float, str]:
    facts = _lengths(data["wall_line_defaults"] | row)
    children = {name: facts.pop(name) for name in CHILDREN}
    studs = facts["stud_centrelines_in"]
    every_in, to_in = parse_inches(studs["every"]), parse_inches(studs["to"])
    facts["stud_centrelines_in"] = [every_in * count for count in range(int(to_in // every_in) + 1)]
    joints = facts.pop("plate_joints")
    facts["plate_joints_observed"] = joints != "not observed"
    children["plate_joints"] = joints if facts["plate_joints_observed"] else []
    facts["lower_plate_joints_observed"] = any(joint.get("plate") == "lower" for joint in children["plate_joints"])
    children["segments"] = [
        {
            "kind": data["segment_kind"],
            "from_in": 0.0,
            "to_in": 12 * (abs(facts["end_x_ft"] - facts["start_x_ft"]) + abs(facts["end_y_ft"] - facts["start_y_ft"])),
            "stud_height_in": parse_inches(data["stud_height_in"]),
            "ground_slope": 0.0,
            "floor_level": facts["level"],
        }
    ]
    for nailing in children["as_found_nailing"]:
        nailing["nail"] = Connector.objects.get(key=nailing["nail"])
    reasons = {anchor["at_in"]: reason for anchor in children["existing_anchors"] if (reason := anchor.pop("accept"))}
    wall_lines.create_wall_line(house_id=house.pk, by=by, children=children, **facts)
    return reasons


def _lengths(value: Any) -> Any:
    """Text under a name that ends in `_in` is a length; everything else stays."""
    if isinstance(value, list):
        return [_lengths(item) for item in value]
    if not isinstance(value, dict):
        return value
    return {
        name: parse_inches(item) if name.endswith("_in") and isinstance(item, str) else _lengths(item)
        for name, item in value.items()
    }


def _dates(facts: dict[str, Any], today: date) -> dict[str, Any]:
    """`lead_test_days_ago` 150 becomes `lead_test_on`, `hazard_days_ago` becomes `hazard_date`."""
    dated = {}
    for name, value in facts.items():
        if name.endswith("_days_ago"):
            stem = name.removesuffix("_days_ago")
            dated["hazard_date" if stem == "hazard" else f"{stem}_on"] = today - timedelta(days=value)
        else:
            dated[name] = value
    return dated
