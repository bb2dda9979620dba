"""The calculations: every step of the result, its numbers substituted, its clause, nothing typed."""

from __future__ import annotations

import re
from html import unescape

import pytest
from django.template.loader import render_to_string

from reports.documents import calculations, figures
from reports.rendering import NotRenderable, render_section
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


def test_every_step_stands_on_its_sheet_with_its_value(snapshot, sections):
    """Demand, scope, basis, values, links, parts, old bolts, as found: nothing that was computed is left out."""
    pages = {sheet: as_text(section) for sheet, section in sections.items()}
    result = snapshot["result"]
    found = {"C-D": [result["demand"]], "C-F": result["fasteners"], "C-A": [result["scope"], result["basis"]]}
    for line in result["lines"]:
        checks = [part for link in (*line["links"], *line["as_found"]) for part in (link["check"], *link["parts"])]
        checks += [line["ledger"]["check"], *line["ledger"]["bolts"]] if line["ledger"] else []
        found[f"C-L.{line['label']}"] = checks + ([line["through_plate"]] if line["through_plate"] else [])
    for sheet, checks in found.items():
        for check in checks:
            for step in check["steps"]:
                row = calculations.step_row(step)
                symbol = "".join(base + under for base, under in row["symbol"])
                assert symbol in pages[sheet], (sheet, check["name"], step["key"])
                assert row["value"] in pages[sheet], (sheet, check["name"], step["key"])
            for text in (*check["notes"], *check["warnings"]):
                assert text in pages[sheet], (sheet, check["name"], text)


def test_a_step_reads_symbol_expression_numbers_value_clause():
    row = calculations.step_row(
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
