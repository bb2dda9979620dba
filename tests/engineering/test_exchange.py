"""The JSON boundary and the questions asked through it."""

import json
from dataclasses import replace
from math import inf, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engineering import capacity, exchange
from engineering.as_built_inputs import AsBuiltInputs
from engineering.errors import OutOfRange
from engineering.fasteners import single_shear
from engineering.house import assess
from engineering.inputs import DowelInputs, HouseInputs, PanelInputs, ThroughPlateInputs, WithdrawalInputs
from engineering.results import Check, HouseResult, Step
from engineering.schedule import LineSchedule, Schedule, ScheduleItem
from engineering.shear_panels import panel_capacity
from engineering.units import unit_of
from tests.published.house_a import house_inputs

PANEL = {
    "sheathing": {
        "grade": "Sheathing",
        "thickness": "15/32",
        "nail": "8d",
        "nail_diameter_in": 0.131,
        "nail_length_in": 2.5,
        "finish": "hot-dip",
    },
    "edge_spacing_in": 6,
    "height_ft": 3,
    "length_ft": 8,
    "specific_gravity": 0.5,
    "unit_shear_plf": 200,
}
MEMBER = {"species": "Douglas Fir-Larch", "specific_gravity": 0.5, "basis": "grade mark read"}
DOWEL = {
    "fastener": "nail",
    "diameter_in": 0.148,
    "length_in": 3.25,
    "main_specific_gravity": 0.5,
    "main_thickness_in": 1.5,
    "side_specific_gravity": 0.5,
    "side_bearing_in": 1.5,
}
NAIL = {"fastener": "nail", "diameter_in": 0.148, "specific_gravity": 0.5, "thread_penetration_in": 2}
THROUGH_PLATE = {
    "screw": {
        "key": "screw",
        "name": "screw, invented",
        "kind": "through-plate screw",
        "report": "EXAMPLE-1",
        "issued": "2023-01-01",
        "expires": "2026-12-31",
        "use": "shear, from below through two plates into the narrow edge of a joist",
        "species": ["Douglas Fir-Larch"],
        "value_lb": 235,
        "value_basis": "C_D 1.0",
        "diameter_in": 0.242,
        "length_in": 6,
        "minimum_penetration_in": 2,
        "minimum_edge_in": 0.625,
        "pilot_in": 0.157,
    },
    "plates_in": [1.5, 1.5],
    "plate": MEMBER,
    "joist": MEMBER,
    "joist_thickness_in": 1.5,
    "joist_depth_in": 9.25,
    "set_back_in": 0,
    "jig_bears_on": "straight board sheathing",
    "headroom_in": 20,
    "bar_stock_in": [],
    "stitch_nail": None,
    "calculation_date": "2025-06-01",
}


def without(record, key):
    return {name: value for name, value in record.items() if name != key}


# --- reading --------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    "payload", [PANEL, json.dumps(PANEL), json.dumps(PANEL).encode()], ids=["dict", "str", "bytes"]
)
def test_reads_text_and_parsed_json(payload):
    assert exchange.loads(PanelInputs, payload).sheathing.nail == "8d"


@pytest.mark.parametrize(
    ("change", "field", "allowed"),
    [
        ({"hieght_ft": 3}, "hieght_ft", "known are sheathing, edge_spacing_in, height_ft"),
        ({"sheathing": {**PANEL["sheathing"], "brand": "x"}}, "sheathing.brand", "known are grade"),
        ({"sheathing": {**PANEL["sheathing"], "grade": "OSB"}}, "sheathing.grade", "'Structural I' or 'Sheathing'"),
        ({"sheathing": None}, "sheathing", "must be an object"),
        ({"height_ft": "3"}, "height_ft", "must be a number"),
        ({"height_ft": True}, "height_ft", "must be a number"),
        ({"height_ft": None}, "height_ft", "must be a number"),
        ({"height_ft": nan}, "height_ft", "must be a finite number"),
        ({"height_ft": inf}, "height_ft", "must be a finite number"),
        ({"height_ft": -3}, "height_ft", "must be from 0.1"),
        ({"edge_spacing_in": 5}, "edge_spacing_in", "6, 4, 3 or 2"),
        ({"sheathing": {**PANEL["sheathing"], "nail_length_in": 0}}, "sheathing.nail_length_in", "must be from"),
    ],
)
def test_refuses_with_path_and_what_is_allowed(change, field, allowed):
    with pytest.raises(OutOfRange) as problem:
        exchange.loads(PanelInputs, {**PANEL, **change})
    assert problem.value.field == field
    assert allowed in problem.value.allowed


def test_a_missing_key_is_named():
    with pytest.raises(OutOfRange, match="must be given") as problem:
        exchange.loads(PanelInputs, without(PANEL, "height_ft"))
    assert (problem.value.field, problem.value.value) == ("height_ft", None)


def test_a_misspelt_key_comes_before_the_missing_one():
    with pytest.raises(OutOfRange) as problem:
        exchange.loads(PanelInputs, {**without(PANEL, "height_ft"), "heigth_ft": 3})
    assert problem.value.field == "heigth_ft"


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"plates_in": [1.5, "a"]}, "plates_in.1"),
        ({"plates_in": [1.5, -1]}, "plates_in.1"),
        ({"headroom_in": "low"}, "headroom_in"),
        ({"screw": {**THROUGH_PLATE["screw"], "expires": "soon"}}, "screw.expires"),
        ({"screw": {**THROUGH_PLATE["screw"], "species": [1]}}, "screw.species.0"),
        ({"stitch_nail": {"key": "x"}}, "stitch_nail.name"),
    ],
)
def test_paths_run_through_lists_and_choices(change, field):
    with pytest.raises(OutOfRange) as problem:
        exchange.loads(ThroughPlateInputs, {**THROUGH_PLATE, **change})
    assert problem.value.field == field


@pytest.mark.parametrize("text", ["", "{", "[1,", "nope", b"\xff", "[" * 20_000, '{"height_ft": 1' + "0" * 5000 + "}"])
def test_what_is_no_json_is_refused(text):
    with pytest.raises(OutOfRange, match="must be JSON"):
        exchange.loads(PanelInputs, text)


@pytest.mark.parametrize("payload", [3, "3", [], "[]", "1e999", {1, 2}], ids=repr)
def test_what_is_no_object_is_refused(payload):
    with pytest.raises(OutOfRange, match="input"):
        exchange.loads(PanelInputs, payload)


def test_a_key_given_twice_is_refused():
    with pytest.raises(OutOfRange, match="once"):
        exchange.parse('{"height_ft": 3, "height_ft": 4}')


# --- writing --------------------------------------------------------------------------------------------------------
def test_a_check_comes_back_as_it_was():
    check = panel_capacity(exchange.loads(PanelInputs, PANEL))
    assert exchange.loads(Check, exchange.dumps(check)) == check
    assert exchange.loads(Check, exchange.canonical(check)) == check


def test_a_schedule_comes_back_as_it_was():
    item = ScheduleItem(link="1", role="floor to plate", connector="screw", count=2, positions_in=(24.0, 72.0))
    schedule = Schedule(lines=(LineSchedule(label="A", items=(item,)),))
    assert exchange.loads(Schedule, exchange.canonical(schedule)) == schedule


def test_canonical_text_is_one_text():
    assert exchange.canonical({"b": -0.0, "a": (1.5, True, None, "ρ")}) == '{"a":[1.5,true,null,"ρ"],"b":0.0}'


def test_whole_numbers_and_floats_of_equal_inputs_have_one_text():
    whole, floats = (exchange.loads(WithdrawalInputs, {**NAIL, "thread_penetration_in": p}) for p in (2, 2.0))
    made = WithdrawalInputs(fastener="nail", diameter_in=0.148, specific_gravity=0.5, thread_penetration_in=2)
    assert exchange.canonical(whole) == exchange.canonical(floats) == exchange.canonical(made)


def test_a_house_and_its_result_come_back_as_they_were():
    house = house_inputs()
    text = exchange.canonical(house)
    assert exchange.loads(HouseInputs, text) == house
    assert exchange.canonical(exchange.loads(HouseInputs, text)) == text
    result = assess(house)
    text = exchange.canonical(result)
    assert exchange.loads(HouseResult, text) == result
    assert exchange.canonical(exchange.loads(HouseResult, text)) == text


@pytest.mark.parametrize("number", [nan, inf, -inf])
def test_what_is_not_finite_is_never_written(number):
    with pytest.raises(OutOfRange, match="finite"):
        exchange.canonical({"a": [number]})


@given(st.dictionaries(st.text(), st.floats(allow_nan=False, allow_infinity=False) | st.integers() | st.text()))
def test_canonical_text_does_not_depend_on_order(record):
    turned = dict(reversed(record.items()))
    assert exchange.canonical(record) == exchange.canonical(turned)
    assert exchange.canonical(json.loads(exchange.canonical(record))) == exchange.canonical(record)


def test_what_stands_at_its_default_is_not_essential():
    given = house_inputs()
    flat = exchange.essential(given.criteria)
    assert "s_ds_cap" not in flat
    assert flat["force_factor"] == given.criteria.force_factor
    assert exchange.essential(replace(given.criteria, s_ds_cap=True))["s_ds_cap"] is True
    assert "scope" not in exchange.essential(given)


# --- schema ---------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    "kind", [DowelInputs, WithdrawalInputs, PanelInputs, ThroughPlateInputs, HouseInputs, AsBuiltInputs]
)
def test_every_number_in_a_schema_has_its_unit(kind):
    schema = exchange.schema(kind)
    assert schema["additionalProperties"] is False
    for part in (schema, *schema.get("$defs", {}).values()):
        for name, rule in part["properties"].items():
            if rule.get("type") in ("number", "integer"):
                assert rule["unit"] == unit_of(name)


def test_units_in_a_schema():
    properties = exchange.schema(ThroughPlateInputs)["properties"]
    assert properties["plates_in"]["unit"] == properties["headroom_in"]["unit"] == "in"
    assert properties["load_duration"]["unit"] == "-"
    assert "unit" not in properties["calculation_date"]


@pytest.mark.parametrize(
    ("name", "unit"),
    [("value_lb", "lb"), ("moment_ft_lb", "ft·lb"), ("W_lb_per_in", "lb/in"), ("s_ds_g", "g"), ("plates", "-")],
)
def test_unit_of_a_name(name, unit):
    assert unit_of(name) == unit


# --- questions ------------------------------------------------------------------------------------------------------
def test_one_question():
    answer, ok = capacity.run("dowel", json.dumps(DOWEL))
    assert ok
    assert answer == exchange.dumps(single_shear(exchange.loads(DowelInputs, DOWEL)))


def test_a_list_answers_each_item():
    answer, ok = capacity.run("panel", [PANEL, {**PANEL, "height_ft": "tall"}, PANEL])
    assert not ok
    assert [set(item) for item in answer] == [{"result"}, {"error"}, {"result"}]
    assert answer[1]["error"] == {"field": "height_ft", "value": "tall", "allowed": "must be a number"}


def test_one_wrong_question():
    answer, ok = capacity.run("withdrawal", {"fastener": "staple"})
    assert not ok
    assert answer["error"]["field"] == "fastener"


def test_a_value_that_json_can_not_say_is_told_as_text():
    answer, _ = capacity.run("panel", {**PANEL, "height_ft": nan})
    assert json.loads(json.dumps(answer, allow_nan=False))["error"]["value"] == "nan"


def test_every_kind_has_a_schema():
    kinds = "dowel, withdrawal, panel, demand, site, assembly, through_plate, house, as_built"
    assert ", ".join(capacity.KINDS) == kinds
    for kind in capacity.KINDS:
        assert capacity.schema(kind)["type"] == "object"


def test_an_unknown_kind_names_the_known():
    with pytest.raises(OutOfRange, match="dowel, withdrawal, panel"):
        capacity.run("beam", {})


def test_a_step_keeps_the_kind_of_its_value():
    for value in (True, 3, 3.0, "IV"):
        step = Step(
            key="k", symbol="k", expression="", inputs={"a": value}, value=value, unit="-", source=_source()
        )  # fmt: skip
        read = exchange.loads(Step, exchange.canonical(step)).value
        assert (read, type(read)) == (value, type(value))


def _source():
    return panel_capacity(exchange.loads(PanelInputs, PANEL)).steps[0].source
