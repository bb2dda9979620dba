"""`manage.py capacity`: one question or many, and what it says to bad input."""

from __future__ import annotations

import io
import json
import sys

import pytest
from django.core.management import call_command

from engineering import capacity

NAIL = {
    "fastener": "nail",
    "diameter_in": 0.148,
    "length_in": 3.25,
    "main_specific_gravity": 0.5,
    "main_thickness_in": 1.5,
    "side_specific_gravity": 0.5,
    "side_bearing_in": 1.5,
}


@pytest.fixture
def ask(monkeypatch, capsys):
    def run(kind: str, text: str) -> tuple[int, object, str]:
        monkeypatch.setattr(sys, "stdin", io.StringIO(text))
        status = 0
        try:
            call_command("capacity", kind)
        except SystemExit as stopped:
            status = int(stopped.code or 0)
        out, err = capsys.readouterr()
        return status, json.loads(out), err

    return run


def test_one_question_gets_its_check_with_steps(ask):
    status, answer, _ = ask("dowel", json.dumps(NAIL))
    assert status == 0
    # 117.59 lb in mode IV, times 1.6 (NDS 2018 equations, our own hand calculation)
    assert answer["capacity"] == pytest.approx(188.15, abs=0.01)
    assert {"Z_IV_lb", "mode", "Zp_lb"} <= {step["key"] for step in answer["steps"]}


def test_in_a_list_each_item_has_its_own_answer_and_one_bad_item_fails_the_call(ask):
    status, answer, err = ask("dowel", json.dumps([NAIL, NAIL | {"diameter_in": -1}, NAIL | {"colour": "red"}]))
    assert status == 2
    assert answer[0]["result"]["capacity"] == pytest.approx(188.15, abs=0.01)
    assert answer[1]["error"]["field"] == "diameter_in"
    assert answer[1]["error"]["value"] == -1
    assert answer[2]["error"]["field"] == "colour"
    assert "item 1: diameter_in = -1" in err
    assert "item 2: colour" in err


@pytest.mark.parametrize("text", ["", "nope", "{", '{"diameter_in": NaN}', "3", '"text"'])
def test_what_is_no_question_is_refused_with_status_2(ask, text):
    status, answer, err = ask("dowel", text)
    assert status == 2
    assert set(answer["error"]) == {"field", "value", "allowed"}
    assert answer["error"]["allowed"] in err


@pytest.mark.parametrize("kind", sorted(capacity.KINDS))
def test_the_schema_of_each_kind_names_units_and_refuses_other_keys(capsys, kind):
    call_command("capacity", kind, "--schema")
    schema = json.loads(capsys.readouterr().out)
    assert schema["additionalProperties"] is False
    assert '"unit"' in json.dumps(schema)
