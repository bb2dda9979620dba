"""What is taken along besides PDFs, read back by other programs: DXF by its own reader, CSV by a plain one."""

from __future__ import annotations

import csv
import io
import json
import re
import zipfile
from dataclasses import dataclass

import ezdxf
import pytest
from django.urls import reverse
from django.utils import timezone
from ezdxf.bbox import extents

from jobs.models import ScheduleLine
from reports.documents import schedule_rows
from reports.drawings import load_path, wall_line
from reports.models import Document
from reports.sections import canonical
from reports.services import documents, downloads
from tests.factories import DesignFactory, UserFactory
from tests.reports import snapshots

pytestmark = pytest.mark.django_db


@pytest.fixture
def design():
    return DesignFactory(snapshot=canonical(snapshots.snapshot()))


@pytest.fixture
def plan_set(design):
    now, text = timezone.now(), documents.snapshot_of("plan_set", design, None)
    return Document.objects.create(
        kind="plan_set", design=design, snapshot=text, inputs_sha256="1" * 64, requested_by=design.issued_by,
        requested_at=now, hinted_at=now, state="ready", file="documents/x.pdf", file_sha256="2" * 64, pages=9,
    )  # fmt: skip


@pytest.fixture
def office(client):
    client.force_login(UserFactory(roles=["office"]))
    return client


def opened(data: bytes):
    return ezdxf.read(io.StringIO(data.decode()))


# --- DXF -------------------------------------------------------------------------------------------------------------
def test_the_archive_has_a_clean_file_of_every_sheet_with_drawings(plan_set):
    with zipfile.ZipFile(io.BytesIO(downloads.all_dxf(plan_set))) as archive:
        names = archive.namelist()
        audits = [opened(archive.read(name)).audit() for name in names]
    assert {"S1.0.dxf", "S2.A.dxf", "S2.1.dxf", "S3.0.dxf"} <= set(names)
    assert [error for audit in audits for error in audit.errors] == []


def test_a_sheet_s_file_is_as_long_as_the_wall(plan_set):
    """What stands there already spans the wall, in inches."""
    model = opened(downloads.sheet_dxf(plan_set, "S2.A")).modelspace()
    walls = [entity for entity in model if entity.dxf.layer == "EXISTING"]
    line = schedule_rows.line_inputs(json.loads(plan_set.design.snapshot), "A")
    assert extents(walls).size.x == pytest.approx(wall_line.length_in(line), abs=1 / 16)


def test_diagrams_without_a_scale_stay_out(plan_set):
    titles = [sheet.title for sheets in downloads.sheets_to_scale(plan_set).values() for sheet in sheets]
    assert any("seen from outside" in title for title in titles)
    diagrams = [load_path.draw(line).sheet.title for line in json.loads(plan_set.design.snapshot)["result"]["lines"]]
    assert not {*diagrams, "Legend"} & set(titles)


def test_the_same_document_gives_the_same_archive(plan_set):
    assert downloads.all_dxf(plan_set) == downloads.all_dxf(plan_set)


def test_the_page_lists_each_sheet_and_its_file_comes(office, plan_set):
    page = office.get(reverse("document-drawings", args=[plan_set.pk])).content.decode()
    url = reverse("document-dxf", args=[plan_set.pk, "S2.A"])
    assert url in page
    answer = office.get(url)
    assert answer.headers["Content-Type"] == "image/vnd.dxf"
    assert re.fullmatch(r'attachment; filename=".*-plan-set-S2\.A\.dxf"', answer.headers["Content-Disposition"])
    assert not opened(answer.content).audit().errors


def test_a_sheet_without_drawings_has_no_file(office, plan_set):
    assert office.get(reverse("document-dxf", args=[plan_set.pk, "S4.0"])).status_code == 404


def test_the_api_gives_one_sheet_or_all(office, plan_set):
    url = reverse("api-document-dxf", args=[plan_set.pk])
    assert office.get(url, {"sheet": "S2.A"}).content == downloads.sheet_dxf(plan_set, "S2.A")
    assert zipfile.is_zipfile(io.BytesIO(office.get(url).content))
    assert office.get(url, {"sheet": "S4.0"}).status_code == 404


# --- CSV -------------------------------------------------------------------------------------------------------------
@dataclass
class Table:
    raw: bytes

    @property
    def rows(self) -> list[dict[str, str]]:
        reader = csv.DictReader(io.StringIO(self.raw.decode("utf-8-sig"), newline=""), strict=True)
        return [row for row in reader if row["Wall line"] == "B"]


def scheduled(design, **more) -> Table:
    schedule = design.connection_schedule
    facts = {
        "wall_line_label": "B", "link": "1", "role": "floor to plate", "connector_key": "k", "connector_name": "Screw",
        "count": 12, "spacing_in": 16.5, "positions_in": [4.5, 21.0, 150.25], "demand": 3463.4, "capacity": 3700.0,
        "unit": "lb", "ratio": 0.93605, "governing": "wood", "note": "",
    } | more  # fmt: skip
    ScheduleLine.objects.create(schedule=schedule, **facts)
    return Table(downloads.schedule_csv(design))


def test_a_row_of_the_schedule_reads_back(design):
    (row,) = scheduled(design).rows
    assert (row["Wall line"], row["Use"], row["Count"], row["Spacing, in"]) == ("B", "floor to plate", "12", "16.5")
    assert (row["Demand"], row["Capacity"], row["Unit"], row["Ratio"]) == ("3463.4", "3700", "lb", "0.9361")
    assert row["Places from the zero end, in"] == "4.5; 21; 150.25"
    assert row["Places from the zero end"].endswith("12'-6 1/4\"")


@pytest.mark.parametrize("text", ['=HYPERLINK("http://x")', "+1", "-1", "@SUM(A1)", "\t=1", "＝1"])
def test_no_text_is_taken_for_a_formula(design, text):
    (row,) = scheduled(design, note=text, connector_name=text).rows
    assert (row["Note"], row["Connector"]) == (f"'{text}", f"'{text}")


def test_commas_quotes_and_line_ends_stay_in_their_cell(design):
    table = scheduled(design, note='two 5/8″ rods, "as found"\r\nsee S3.0')
    assert table.rows[0]["Note"] == 'two 5/8″ rods, "as found"\r\nsee S3.0'
    assert table.raw.startswith(b"\xef\xbb\xbf")
    assert table.raw.endswith(b"\r\n")
    assert b"\n" not in table.raw.replace(b"\r\n", b"")


@pytest.mark.parametrize("changes", [{"quantity_study": True}, {"legal_basis": "appendix A3 prescriptive"}])
def test_no_ratios_where_the_papers_show_none(changes):
    snapshot = snapshots.snapshot()
    snapshot = {**snapshot, "criteria": {**snapshot["criteria"], **changes}}
    design = DesignFactory(snapshot=canonical(snapshot))
    (row,) = scheduled(design).rows
    assert not {"Demand", "Capacity", "Ratio"} & set(row)
    assert row["Count"] == "12"


@pytest.mark.parametrize("route", ["schedule-csv", "api-schedule-csv"])
def test_the_schedule_comes_as_a_file(office, design, route):
    table = scheduled(design)
    answer = office.get(reverse(route, args=[design.pk]))
    assert answer.content == table.raw
    assert answer.headers["Content-Type"].startswith("text/csv")
    assert answer.headers["Content-Disposition"].endswith('-schedule.csv"')
