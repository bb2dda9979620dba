"""Bad input, from outside: each refused with field, value and what is allowed, or said and never counted."""

from __future__ import annotations

import copy
from functools import cache
from typing import Any

import pytest

from engineering import capacity, exchange
from engineering.exchange import Json
from engineering.house import assess
from tests.engineering.logged import as_scheduled
from tests.engineering.varied import house

Path = tuple[str | int, ...]

# Points on plan lie on any side of the origin; a sill may stand out beyond its concrete.
ON_EITHER_SIDE = {"floor_outline_ft", "roof_outline_ft", "point_weights.at_ft", "start_ft", "end_ft", "sill_edge_in"}
# A place at the zero end, or something that need not be there at all.
MAY_BE_ZERO = ON_EITHER_SIDE | {
    "partitions_psf", "flat_roof_snow_psf", "full_height_wall_ft", "from_ft", "plate_laps_ft", "lower_plate_laps_ft",
    "stud_centrelines_in", "rim_set_back_in", "section_loss_percent", "existing_anchors.at_ft", "washer_in",
    "sill_gap_in", "count", "positions_in", "across_in", "over_16th", "over_8th", "missed_framing",
}  # fmt: skip
# Left out: computed, all panels, or not stated by the report (and then never used).
MAY_BE_NULL = {
    "redundancy", "panel", "piece", "evaluated.length_in", "minimum_penetration_in", "minimum_edge_in", "pilot_in",
    "embedment_in", "minimum_concrete_psi",
}  # fmt: skip


@cache
def _questions() -> dict[str, Json]:
    given = house()
    return {
        "house": exchange.dumps(given),
        "as_built": exchange.dumps(as_scheduled(given, assess(given).schedule)),
    }


def _leaves(value: Json, path: Path = ()) -> list[tuple[Path, Json]]:
    if isinstance(value, dict):
        return [leaf for key, inner in value.items() for leaf in _leaves(inner, (*path, key))]
    if isinstance(value, list):
        return [leaf for index, inner in enumerate(value) for leaf in _leaves(inner, (*path, index))]
    return [(path, value)]


def _changed(kind: str, path: Path, value: Any) -> Json:
    question: Any = copy.deepcopy(_questions()[kind])
    inner = question
    for part in path[:-1]:
        inner = inner[part]
    inner[path[-1]] = value
    return question


def _name(path: Path) -> str:
    """Its keys without the numbers in lists: lines.panels.from_ft"""
    return ".".join(part for part in path if isinstance(part, str))


def _numbers(but: set[str]) -> list[Any]:
    """One path for each number of a house and of a log, whatever line or row it stands in, but those so named."""
    first: dict[tuple[str, str], Any] = {}
    for kind, question in _questions().items():
        for path, value in _leaves(question):
            name = _name(path)
            number = isinstance(value, int | float) and not isinstance(value, bool)
            left_out = any(f".{name}".endswith(f".{one}") for one in but)
            if number and not left_out and (kind == "house" or name.startswith("log.")):
                first.setdefault((kind, name), pytest.param(kind, path, value, id=f"{kind} {name}"))
    return list(first.values())


def _refusal(kind: str, question: Json) -> dict[str, Any]:
    answer, could = capacity.run(kind, question)
    assert not could, "was accepted"
    assert isinstance(answer, dict)
    error = answer["error"]
    assert isinstance(error, dict)
    assert set(error) == {"field", "value", "allowed"}
    assert error["field"]
    assert error["allowed"]
    return error


@pytest.mark.parametrize(("kind", "path", "value"), _numbers(but=ON_EITHER_SIDE))
def test_no_number_may_be_below_nothing(kind, path, value):
    error = _refusal(kind, _changed(kind, path, type(value)(-1000)))
    assert error["field"].split(".")[0] == path[0]
    assert error["value"] is not None


@pytest.mark.parametrize(("kind", "path", "value"), _numbers(but=MAY_BE_ZERO))
def test_no_size_may_be_zero(kind, path, value):
    _refusal(kind, _changed(kind, path, type(value)(0)))


@pytest.mark.parametrize(("kind", "path", "value"), _numbers(but=set()))
@pytest.mark.parametrize("other", ["", "three", True, [1.0], 1e12], ids=str)
def test_no_number_may_be_something_else_or_beyond_measure(kind, path, value, other):
    whole = isinstance(value, int) and isinstance(other, float)
    _refusal(kind, _changed(kind, path, int(other) if whole else other))


@pytest.mark.parametrize(("kind", "path", "value"), _numbers(but=MAY_BE_NULL))
def test_no_number_may_be_left_null(kind, path, value):
    _refusal(kind, _changed(kind, path, None))


BOW_TIE = [[0.0, 0.0], [40.0, 30.0], [40.0, 0.0], [0.0, 30.0]]
LINE_A: Path = ("lines", 0)


def _line(*path: str | int) -> Path:
    return (*LINE_A, *path)


@pytest.mark.parametrize(
    ("path", "value", "field", "allowed"),
    [
        # unknown
        (("criteria", "legal_basis"), "because", "criteria.legal_basis", "voluntary lateral alteration"),
        (("hazard", "seismic_design_category"), "G", "hazard.seismic_design_category", "'F'"),
        (_line("segments", 0, "kind"), "hallway", "lines.0.segments.0.kind", "cripple wall"),
        (_line("foundation", "material"), "straw", "lines.0.foundation.material", "masonry"),
        (_line("methods", "floor_to_plate"), "unheard of", "lines.A.methods", "must be one of"),
        (_line("methods", "sill_anchor"), "tie-down", "lines.A.methods", "must be a sill anchor"),
        (_line("sheathing", "thickness"), "1/2", "lines.0.sheathing.thickness", "15/32"),
        (("building", "story_above", 0, "line"), "Q", "building.story_above", "must name wall lines of this house"),
        # dates
        (("calculation_date",), "yesterday", "calculation_date", "ISO date"),
        (("catalogue", "evaluated", 0, "expires"), "2001-01-01", "catalogue.evaluated.0.expires", "date of issue"),
        # outlines
        (("building", "floor_outline_ft"), BOW_TIE, "building.floor_outline_ft", "neither crossing nor touching"),
        (("building", "roof_outline_ft"), BOW_TIE, "building.roof_outline_ft", "neither crossing nor touching"),
        (("building", "floor_outline_ft"), BOW_TIE[:2], "building.floor_outline_ft", "at least three corners"),
        (("building", "floor_outline_ft"), [*BOW_TIE, BOW_TIE[0]], "building.floor_outline_ft", "each given once"),
        # panels, sills, laps
        (_line("panels", -1, "to_ft"), 40.5, "lines.0.panels", "must end on the line, 40 ft long"),
        (_line("panels", 0, "to_ft"), 39.0, "lines.0.panels", "must be in order and not overlap"),
        (_line("panels", 0, "to_ft"), 0.3, "lines.0.panels", "longer than its end posts"),
        (_line("plate_laps_ft"), [55.0], "lines.0.plate_laps_ft", "must be from 0 to 40"),
        (_line("end_ft"), [40.0, 3.0], "lines.0.end_ft", "parallel to x or y"),
        # an empty name
        (_line("framing", "sill", "species"), " ", "lines.0.framing.sill.species", "must not be empty"),
        (("catalogue", "evaluated", 0, "report"), "", "catalogue.evaluated.0.report", "must not be empty"),
    ],
    ids=lambda one: ".".join(map(str, one)) if isinstance(one, tuple) else "",
)  # fmt: skip
def test_a_house_that_can_not_be_is_refused_by_its_path(path, value, field, allowed):
    error = _refusal("house", _changed("house", path, value))
    assert error["field"].startswith(field)
    assert allowed in error["allowed"]


def test_no_braced_line_in_a_direction():
    question = copy.deepcopy(_questions()["house"])
    question["lines"] = [line for line in question["lines"] if line["label"] in ("A", "B")]
    question["building"]["story_above"] = []
    assert "must be held by two lines along y" in _refusal("house", question)["allowed"]


def test_no_line_at_all():
    assert _refusal("house", _changed("house", ("lines",), []))["field"] == "lines"


def test_a_panel_over_three_and_a_half_to_one():
    question = copy.deepcopy(_questions()["house"])
    question["building"]["braced_wall_height_ft"] = 8.5
    question["lines"][0]["segments"][0]["stud_height_ft"] = 8.0
    question["lines"][0]["panels"][0] = {"from_ft": 0.0, "to_ft": 2.0, "label": ""}
    error = _refusal("house", question)
    assert error["field"] == "lines.A.panels"
    assert "over 3.5" in error["allowed"]


# --- refused by the connection: said in its link and never counted ----------------------------------------------------
def _screw(**change: Any) -> Json:
    question = copy.deepcopy(_questions()["house"])
    screw = next(one for one in question["catalogue"]["evaluated"] if one["kind"] == "through-plate screw")
    screw.update(change)
    for line in question["lines"]:
        line["methods"].update(floor_to_plate=screw["key"], alternatives=[])
    return question


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        ({"length_in": 4.0}, "length in: must be at least"),
        ({"minimum_edge_in": 3.0}, "in to each edge"),
        ({"issued": "2020-01-01", "expires": "2021-01-01"}, "expired on 2021-01-01"),
        ({"species": ["teak"]}, "teak"),
        ({"use": "hanging pictures"}, "hanging pictures"),
        ({"pilot_in": None}, "evaluation report"),
    ],
    ids=["screw too short", "edge distance impossible", "expired", "species", "use", "not stated"],
)
def test_a_screw_that_can_not_be_used_is_never_counted(change, reason):
    answer, could = capacity.run("house", _screw(**change))
    assert could
    for line in answer["lines"]:
        link = next(one for one in line["links"] if one["link"] == "1")
        assert link["check"]["status"] == "open"
        assert reason in link["check"]["notes"][0]
        assert not [one for one in line["options"] if one["link"] == "1" and one["feasible"]]
    assert not [row for line in answer["schedule"]["lines"] for row in line["items"] if row["role"] == "floor to plate"]
