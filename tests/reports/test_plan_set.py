"""The permit plan set: the right sheets, only what the job triggers, honest titles, one page each."""

from __future__ import annotations

import io
import re

import pikepdf
import pytest

import engineering.tolerances
from engineering import exchange
from engineering.as_built_results import Tolerance
from engineering.inputs import HouseInputs
from engineering.results import HouseResult
from reports.documents import figures, notes, plan_set, schedule_rows, tolerance_table
from reports.rendering import render_section
from tests.reports import snapshots


@pytest.fixture(scope="module")
def snapshot():
    return snapshots.snapshot()


@pytest.fixture(scope="module")
def sheets(snapshot):
    return {section.sheet: section for section in plan_set.sections(snapshot, None)}


def said(section):
    return " ".join(snapshots.texts(section.context))


def test_the_sheets_and_their_fixed_numbers(sheets):
    assert list(sheets) == [
        "G1.0",
        "S1.0",
        "S1.1",
        "S2.A",
        "S2.B",
        "S2.1",
        "S2.2",
        "S3.0",
        "S3.1",
        "S3.1-2",
        "S3.2",
        "S3.3",
        "S4.0",
    ]
    assert sheets["G1.0"].context["index"] == [[s.sheet, s.title] for s in sheets.values()]


def test_a_wall_line_keeps_its_sheet_when_another_is_left_out(snapshot):
    fewer = snapshots.snapshot()
    for place in (fewer["inputs"]["lines"], fewer["result"]["lines"], fewer["result"]["schedule"]["lines"]):
        place[:] = [line for line in place if line["label"] != "A"]
    assert [section.sheet for section in plan_set.sections(fewer, None)][3:6] == ["S2.B", "S2.1", "S2.2"]


def test_every_sheet_is_one_page_of_its_size(sheets):
    for section in (sheets[number] for number in ("G1.0", "S1.0", "S2.1", "S3.0", "S4.0")):
        with pikepdf.open(io.BytesIO(render_section(section))) as pdf:
            assert len(pdf.pages) == 1, section.sheet
            assert [float(edge) / 72 for edge in pdf.pages[0].mediabox] == pytest.approx([0, 0, 36, 24])


def test_drawings_fit_the_paper_unshrunk(sheets):
    for section in sheets.values():
        for name, text in section.drawings.items():
            width, height = (
                float(size) / 72 for size in re.search(r'width="([\d.]+)pt" height="([\d.]+)pt"', text).groups()
            )
            assert width <= section.page.body_width_in, (section.sheet, name)
            assert height <= section.page.body_height_in, (section.sheet, name)


def test_every_row_of_the_schedule_stands_on_its_line_and_on_the_schedule_sheet(snapshot, sheets):
    shown = sheets["S4.0"].context["rows"]
    assert len(shown) == sum(len(line["items"]) for line in snapshot["result"]["schedule"]["lines"])
    for label in schedule_rows.labels(snapshot):
        mine = [row for row in shown if row["line"] == label]
        assert sheets[f"S2.{label}"].context["rows"] == mine


def test_a_row_shows_its_own_panels_check(snapshot):
    rows = [row for row in schedule_rows.line_rows(snapshot, "A", ratios=True) if row["role"] == "Sill anchors, new"]
    link = next(link for link in schedule_rows.line_result(snapshot, "A")["links"] if link["link"] == "6a")
    assert [row["ratio"] for row in rows if "panel" in row["where"]] == [
        f"{part['ratio']:.2f}" for part in link["parts"]
    ]


def test_the_cover_lists_the_eleven_items_of_earthquake_design_data(sheets):
    rows = sheets["G1.0"].context["earthquake"]
    assert [label.split()[0] for label, _ in rows] == [str(number) for number in range(1, 12)]
    data = {label.split("  ")[1]: value for label, value in rows}
    assert data["Response modification R"] == "6.5"
    assert data["Design base shear V"] == "10,385 lb"  # our own hand calculation: 0.163077 × 63,680 lb
    assert data["SDS, SD1"] == "1.06 g, 0.6 g"


def test_requirements_point_only_to_sheets_and_details_that_exist(sheets):
    details = {
        f"{item['number']}/{sheet[:4]}"
        for sheet, section in sheets.items()
        if sheet.startswith("S3")
        for item in section.context["details"].values()
    }
    assert "1/S3.1" in details
    for row in sheets["G1.0"].context["requirements"]:
        for place in row["places"]:
            assert place["sheet"] in sheets or place["sheet"] == "", place
            if "/" in place["text"]:
                assert place["text"] in details


def test_the_code_is_printed_under_its_adopted_title(sheets):
    rows = dict(sheets["G1.0"].context["code"])
    assert rows["Adopted code"] == "Exampleton Building Code 2025, edition 2025"
    assert rows["Standards"] == "IEBC 2021, ASCE 7-16, NDS 2018 (ASD), SDPWS 2021"


def test_without_tie_downs_their_notes_detail_and_requirement_vanish(snapshot):
    bare = snapshots.without(snapshots.snapshot(), "tie-downs", "tie-down anchors")
    sections = {section.sheet: section for section in plan_set.sections(bare, None)}
    assert "Tie-down at a panel end" not in [item["title"] for item in sections["S3.3"].context["details"].values()]
    assert not any("Tie-down" in row["text"] for row in sections["G1.0"].context["requirements"])
    assert "Tie-downs" not in [group["title"] for group in sections["S4.0"].context["notes"]]
    assert not any("Tie-down" in row["item"] for row in sections["S4.0"].context["tolerances"])


def test_the_tolerance_table_says_each_of_engineerings_tolerances_with_its_limit(snapshot):
    rows = tolerance_table.table(snapshot)
    told = " ".join(row["inside"] for row in rows)
    inputs = exchange.loads(HouseInputs, snapshot["inputs"])
    for one in engineering.tolerances.tolerances(inputs, exchange.loads(HouseResult, snapshot["result"])):
        if one.limit is not None and one.unit == "in":
            assert figures.length(one.limit) in told, one
    screws = [row for row in rows if row["item"].startswith("Through-plate screw")]
    assert screws
    assert all("off in" in row["inside"] and "°" in row["inside"] for row in screws)
    assert len({row["item"] for row in rows}) == len(rows)


def test_every_tolerance_that_engineering_knows_has_its_words():
    known = {(one.role, one.key) for one in vars(engineering.tolerances).values() if isinstance(one, Tolerance)}
    known |= {(one.role, one.key) for one in engineering.tolerances.EDGE_NAILS}
    known |= {("side connections", key) for key in ("sill_end", "concrete_edge", "embedment")}
    assert known == set(tolerance_table.WORDS)


def test_notes_need_their_trigger(snapshot):
    every = " ".join(text for _, texts in notes.general(snapshot) for text in texts)
    assert "flat block" in every
    assert "gas pipe at the north end" in every
    bare = snapshots.without(snapshots.snapshot(), "block nails", "panel edge nails", "stitch nails", "floor to plate")
    fewer = " ".join(text for _, texts in notes.general(bare) for text in texts)
    for word in ("flat block", "Gun nails", "Stitch nails", "probe hole"):
        assert word not in fewer


def test_special_inspection_is_called_for_by_anchors_and_by_nails_at_4_in(snapshot):
    rows = notes.special_inspections(snapshot)
    assert [row["stage"] for row in rows] == ["B", "B", "E"]
    assert "lines 1, 2" in rows[-1]["what"]
    bare = snapshots.without(snapshots.snapshot(), "sill anchors", "tie-down anchors", "panel edge nails")
    assert notes.special_inspections(bare) == []


def test_an_open_link_makes_it_a_partial_strengthening_and_is_listed():
    words = "load path open at anchor in concrete: masonry"
    snapshot = snapshots.opened(snapshots.snapshot(remaining="Chimney not braced"), "B", "6b", words)
    cover = plan_set.sections(snapshot, None)[0]
    assert cover.context["title"] == "Partial strengthening"
    assert cover.context["open_links"] == [f"Wall line B: {words}"]
    assert cover.context["remaining"] == ["Chimney not braced"]
    assert "partial strengthening" in " ".join(cover.context["narrative"])


def test_a_line_over_capacity_is_said_on_the_cover():
    snapshot = snapshots.snapshot(snapshots.with_basement_wall(snapshots.house_inputs()))
    cover = plan_set.sections(snapshot, None)[0]
    assert cover.context["title"] == "Partial strengthening"
    assert any("Wall line 1: over capacity at tie-down" in text for text in cover.context["open_links"])
    assert not any("closes the path from floor to foundation" in text for text in cover.context["narrative"])


@pytest.mark.parametrize(
    ("more", "banner"),
    [
        ({"quantity_study": True}, "Quantity study, not engineering"),
        ({"legal_basis": "appendix A3 prescriptive"}, "Prescriptive, no engineering analysis"),
    ],
)
def test_no_ratio_is_printed_where_none_is_released(more, banner):
    snapshot = snapshots.snapshot(**more)
    for section in plan_set.sections(snapshot, None):
        assert section.context["banner"] == banner
        cells = set(snapshots.texts(section.context))
        drawn = set(re.findall(r">([^<]+)</text>", " ".join(section.drawings.values())))
        assert not snapshots.ratios(snapshot) & (cells | drawn), section.sheet
        assert "over" not in drawn


def test_a_house_without_any_connector_still_makes_a_set():
    bare = snapshots.without(
        snapshots.snapshot(),
        "floor to plate",
        "stitch nails",
        "splice nails each side",
        "panel edge nails",
        "block nails",
        "sill anchors",
        "tie-downs",
        "tie-down anchors",
    )
    for line in bare["result"]["lines"]:
        line |= {"through_plate": None, "options": []}
    for line in bare["inputs"]["lines"]:
        line["methods"]["alternatives"] = []
    assert [section.sheet for section in plan_set.sections(bare, None)][-3:] == ["S2.2", "S3.0", "S4.0"]
