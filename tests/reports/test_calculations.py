"""The calculations: every step of the result, its numbers substituted, its clause, nothing typed."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from html import unescape

import pytest
from django.template.loader import render_to_string

from engineering import capacity
from reports.documents import calculations, figures, printed_checks
from reports.rendering import NotRenderable, render_section
from tests.published import house_a
from tests.reports import snapshots


def as_text(section):
    """A section as it is read: its page without the tags."""
    page = render_to_string(section.template, section.context)
    return unescape(re.sub(r"<[^>]+>", "", page))


@pytest.fixture(scope="module")
def snapshot():
    return snapshots.snapshot()


@pytest.fixture(scope="module")
def sections(snapshot):
    return {section.sheet: section for section in calculations.sections(snapshot, None)}


def test_the_sections(sections):
    assert list(sections) == ["C-A", "C-D", "C-F", "C-L.A", "C-L.B", "C-L.1", "C-L.2", "C-S"]
    assert [number for number, _ in sections["C-A"].context["sheets"]] == list(sections)


def test_every_step_of_the_result_is_printed(snapshot, sections):
    assert len(sections["C-D"].context["check"]["steps"]) == len(snapshot["result"]["demand"]["steps"])
    shown = sections["C-F"].context["checks"]
    assert [len(check["steps"]) for check in shown] == [
        len(check["steps"]) for check in snapshot["result"]["fasteners"]
    ]
    for line in snapshot["result"]["lines"]:
        links = sections[f"C-L.{line['label']}"].context["links"]
        assert [len(link["check"]["steps"]) for link in links] == [
            len(link["check"]["steps"]) for link in line["links"]
        ]
        assert [len(link["table"]["parts"]) if link["table"] else 0 for link in links] == [
            len(link["parts"]) for link in line["links"]
        ]


def steps_within(value):
    """Every step anywhere in a piece of the result, however deep: none can be forgotten here."""
    if isinstance(value, dict):
        if {"symbol", "expression", "source"} <= set(value):
            yield value
        else:
            for inner in value.values():
                yield from steps_within(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from steps_within(inner)


def printed_rows(section):
    """The first cell and the whole text of each table row of a section's page."""
    page = render_to_string(section.template, section.context)
    for row in re.findall(r"<tr[^>]*>(.*?)</tr>", page, re.DOTALL):
        cells = [unescape(re.sub(r"<[^>]+>", "", cell)) for cell in re.findall(r"<td[^>]*>(.*?)</td>", row, re.DOTALL)]
        if cells:
            yield cells[0], " ".join(cells)


@pytest.fixture(scope="module", params=["sample", "worked house"])
def any_snapshot(request):
    return snapshots.snapshot(None if request.param == "sample" else house_a.house_inputs("full"))


def test_every_step_stands_on_its_sheet_with_its_value(any_snapshot):
    """Scope, basis, demand, values, links, parts, old bolts, set-up, as found: nothing computed is left out."""
    printed = {section.sheet: set(printed_rows(section)) for section in calculations.sections(any_snapshot, None)}
    result = any_snapshot["result"]
    found = {"C-A": [result["scope"], result["basis"]], "C-D": result["demand"], "C-F": result["fasteners"]}
    found |= {f"C-L.{line['label']}": line for line in result["lines"]}
    assert sum(len(list(steps_within(part))) for part in found.values()) == len(list(steps_within(result))) > 500
    for sheet, part in found.items():
        for step in steps_within(part):
            row = printed_checks.step_row(step)
            symbol = "".join(base + under for base, under in row["symbol"])
            assert any(first == symbol and row["value"] in whole for first, whole in printed[sheet]), (sheet, step)


def test_a_steps_clause_and_numbers_stand_in_its_row(any_snapshot):
    pages = {section.sheet: list(printed_rows(section)) for section in calculations.sections(any_snapshot, None)}
    for sheet, check in (("C-D", any_snapshot["result"]["demand"]), ("C-F", any_snapshot["result"]["fasteners"])):
        for step in steps_within(check):
            row = printed_checks.step_row(step)
            numbers = "".join(base + under for base, under in row["numbers"])
            assert any(numbers in whole and row["clause"] in whole for _, whole in pages[sheet]), (sheet, step)


def test_every_note_and_warning_stands_on_its_sheet(any_snapshot):
    pages = {section.sheet: as_text(section) for section in calculations.sections(any_snapshot, None)}
    result = any_snapshot["result"]
    found = {"C-A": [result["scope"], result["basis"]], "C-D": [result["demand"]], "C-F": result["fasteners"]}
    for line in result["lines"]:
        checks = [part for link in (*line["links"], *line["as_found"]) for part in (link["check"], *link["parts"])]
        checks += [line["ledger"]["check"], *line["ledger"]["bolts"]] if line["ledger"] else []
        found[f"C-L.{line['label']}"] = checks
        for option in line["options"]:
            assert option["reason"] in pages[f"C-L.{line['label']}"]
    for sheet, checks in found.items():
        for check in checks:
            for text in (*check["notes"], *check["warnings"]):
                assert text in pages[sheet], (sheet, check["name"], text)


def test_the_fourteen_conventions_say_what_this_job_chose(snapshot):
    section = calculations.sections(snapshot, None)[0]
    rows = section.context["conventions"]
    assert [row["number"] for row in rows] == [str(number) for number in range(1, 15)]
    chosen = {row["number"]: row["chosen"] for row in rows}
    assert chosen["9"].startswith("the story shear governs")
    assert "flexible" in chosen["12"]
    given = snapshots.house_inputs()
    other = replace(given, criteria=replace(given.criteria, diaphragm_force_governs=True, force_level="reduced 75 %",
                                            force_factor=0.75))  # fmt: skip
    rows = calculations.sections(snapshots.snapshot(other), None)[0].context["conventions"]
    chosen = {row["number"]: row["chosen"] for row in rows}
    assert chosen["9"].startswith("the diaphragm force F_px governs")
    assert chosen["4"] == "reduced 75 %, factor 0.75"


def test_scope_and_legal_basis_come_before_everything_else(sections):
    text = as_text(sections["C-A"])
    order = ("Scope screen", "Legal basis", "Widest connector spacing", "Earthquake design data", "Assumptions")
    places = [text.rindex(word) for word in order]
    assert places == sorted(places)


def test_the_result_printed_is_what_the_capacity_command_answers(any_snapshot):
    """One structure: the snapshot's inputs asked from outside give the snapshot's result."""
    answered, all_of_them = capacity.run("house", json.dumps(any_snapshot["inputs"]))
    assert all_of_them
    assert answered == any_snapshot["result"]


def test_one_of_a_thing_is_not_written_in_the_plural():
    assert figures.with_unit(1, "bolts") == "1 bolt"
    assert figures.with_unit(2, "bolts") == "2 bolts"
    assert figures.with_unit(1.0, "s") == "1 s"
    assert figures.with_unit(0.5, "-") == "0.5"


def test_a_value_as_given_by_the_company_says_so_and_is_none_from_memory():
    source = {"publication": "unit weights", "edition": "", "clause": "", "read": "as given by the company"}
    step = {"symbol": "p", "expression": "", "inputs": {}, "value": 10.0, "unit": "psf", "source": source}
    assert printed_checks.step_row(step)["clause"] == "unit weights as given by the company"


def test_a_step_reads_symbol_expression_numbers_value_clause():
    row = printed_checks.step_row(
        {
            "key": "V_lb",
            "symbol": "V_b",
            "expression": "C_s·W",
            "inputs": {"C_s": 0.163077, "W": 63680.0},
            "value": 10384.74,
            "unit": "lb",
            "source": {"publication": "ASCE", "edition": "7-16", "clause": "12.8-1", "read": "from memory"},
        }
    )
    assert row == {
        "symbol": [["V", "b"]],
        "expression": [["C", "s"], ["·W", ""]],
        "numbers": [["0.163·63,680", ""]],
        "value": "10,385 lb",
        "clause": "ASCE 7-16 12.8-1 †",
    }


@pytest.mark.parametrize(
    ("expression", "inputs", "written"),
    [
        ("n·Z'", {"n": 6, "Z": 188.15}, "6·188.2"),
        ("set-back + joist/2", {"set_back": 0.0, "joist": 1.5}, "0 + 1.5/2"),
        (
            "D²/Rd · √(2·Fem/(1 + Re))",
            {"D": 0.148, "Rd": 2.2, "Fem": 4650.0, "Re": 1.0},
            "0.148²/2.2 · √(2·4,650/(1 + 1))",
        ),
        ("V_n/2.8", {"V": 1.0, "V_n": 730.0}, "730/2.8, V = 1"),
        ("sum of the strips", {"A": 1.0, "B": 2.0}, "A = 1, B = 2"),
        ("nearest in stock", {}, ""),
    ],
)
def test_numbers_take_the_place_of_whole_symbols_only(expression, inputs, written):
    assert figures.substituted(expression, inputs) == written


@pytest.mark.parametrize(
    ("text", "pieces"),
    [
        ("S_DS/(R/I_e)", [["S", "DS"], ["/(R/I", "e"], [")", ""]]),
        ("max(0.044·S_DS·I_e, 0.01)", [["max(0.044·S", "DS"], ["·I", "e"], [", 0.01)", ""]]),
        ("Q_E,A/V", [["Q", "E,A"], ["/V", ""]]),
        ("v_n/2.8·C_h/b", [["v", "n"], ["/2.8·C", "h/b"]]),
        ("F_c⊥", [["F", "c⊥"]]),
    ],
)
def test_a_subscript_ends_where_the_symbol_does(text, pieces):
    assert figures.subscripted(text) == pieces


@pytest.mark.parametrize(
    ("value", "written"),
    [
        (63680.0, "63,680"),
        (3463.43, "3,463.4"),
        (188.15, "188.2"),
        (17.5, "17.5"),
        (0.9211, "0.921"),
        (0.04664, "0.0466"),
        (-989.6, "−989.6"),
        (-4.5e-13, "0"),
        (True, "yes"),
        (12, "12"),
        ("IV", "IV"),
    ],
)
def test_numbers_are_written_with_about_four_figures(value, written):
    assert figures.number(value) == written


def test_dates_and_lengths():
    assert figures.day("2026-11-25") == "25 Nov 2026"
    assert figures.day(None) == "–"
    assert figures.length(150.5) == "12′-6\N{NO-BREAK SPACE}1/2″"
    assert figures.length(0.75) == "3/4″"


def test_the_summary_has_each_links_ratio(snapshot, sections):
    context = sections["C-S"].context
    for row, line in zip(context["rows"], snapshot["result"]["lines"], strict=True):
        for cell, link in zip(row["cells"], line["links"], strict=True):
            if link["check"]["ratio"] is not None:
                assert cell == f"{link['check']['ratio']:.2f}"


def test_sources_from_memory_are_listed_and_who_accepted_them(snapshot, sections):
    context = sections["C-A"].context
    assert context["from_memory"] == snapshot["result"]["from_memory"]
    assert context["accepted"].startswith("Accepted by R. Example, PE")
    unaccepted = snapshot | {"table_set": None}
    assert "Not yet accepted" in calculations.sections(unaccepted, None)[0].context["accepted"]


@pytest.mark.parametrize("more", [{"quantity_study": True}, {"legal_basis": "appendix A3 prescriptive"}])
def test_no_calculations_where_no_ratio_may_be_shown(more):
    with pytest.raises(NotRenderable, match="no calculations"):
        calculations.sections(snapshots.snapshot(**more), None)


def test_a_wall_lines_section_renders(sections):
    assert render_section(sections["C-L.1"]).startswith(b"%PDF")
    assert render_section(sections["C-A"]).startswith(b"%PDF")
