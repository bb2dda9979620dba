"""Each published requirement of the papers stands in one table with the test that holds it, or with its reason.

The keys are those of a collection of requirements of building departments, boards and agencies on permit papers,
inspections, seals, cautions, contracts and closeout; X, R and W number its lists without keys of their own.
"""

from __future__ import annotations

import ast
import io
import subprocess
from collections import Counter
from functools import cache
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pikepdf
import pytest

from reports.documents import plan_set
from reports.merging import merge
from reports.rendering import render_section
from reports.sections import PAGES
from reports.title_strip import preliminary_strip, strip_pages
from tests.reports import snapshots
from tests.reports.papers import text_of
from tests.reports.requirements import MET, NOT_APPLICABLE, OPEN, requirements
from tests.reports.test_required_words import SAID
from tests.servers import need

ROOT = Path(__file__).parent.parent.parent
NUMBERED = {
    "P": [*range(1, 8), *range(10, 16), *range(20, 27), *range(30, 35), *range(40, 49), *range(50, 55), *range(60, 72)],
    "I": [*range(1, 7), *range(10, 33), *range(40, 44)],
    "S": range(1, 12),
    "C": [*range(1, 13), *range(30, 38)],
    "T": range(1, 27),
    "X": range(1, 7),
    "R": range(1, 9),
}
LETTERED = {f"I-{stage}" for stage in "ABCDEFG"}
CREW = {"W-4.1", "W-4.2", "W-4.3", "W-4.4", "W-4.5", "W-4.5b", "W-4.6", "W-4.7", "W-4.8", "W-6-head", "W-6-access",
        "W-6-scope", "W-6-layout", "W-6-materials", "W-6-deviations", "W-6-sign"}  # fmt: skip


def test_every_requirement_stands_in_the_table_once():
    asked = {f"{letter}-{number:02d}" for letter, numbers in NUMBERED.items() for number in numbers} | LETTERED | CREW
    listed = Counter(one.key for one in requirements())
    assert listed == Counter(asked)


@cache
def _tests_of(path: str) -> set[str]:
    tree = ast.parse((ROOT / path).read_text(encoding="utf-8"))
    return {node.name for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)}


@pytest.mark.parametrize("one", requirements(), ids=lambda one: one.key)
def test_what_is_met_is_held_by_a_test_that_exists_and_the_rest_has_its_reason(one):
    assert one.verdict in (MET, NOT_APPLICABLE, OPEN)
    assert one.asks
    if one.verdict != MET:
        assert len(one.how) > 5
        return
    path, _, name = one.how.partition("::")
    name, _, parameter = name.partition("[")
    assert name in _tests_of(path), one.how
    if parameter:
        assert parameter.rstrip("]") in SAID


@pytest.fixture(scope="module")
def merged() -> bytes:
    snapshot = snapshots.snapshot()
    sections = plan_set.sections(snapshot, None)
    strip = preliminary_strip(snapshot, revision=1, design_sha256="ab" * 32)
    files = [render_section(one) for one in sections]
    return merge(title="Plan set", sections=sections, files=files, strip=strip, sheet_size="24x36")


def test_a_set_is_open_to_the_reviewers_stamp(merged):
    with pikepdf.open(io.BytesIO(merged)) as pdf:
        assert not pdf.is_encrypted
        assert pdf.pdf_version >= "1.7"
        with pdf.open_outline() as outline:
            titles = [item.title.split()[0] for item in outline.root]
        assert len(titles) == len(set(titles)) == len(pdf.pages)


def test_plan_sheets_are_drawn_not_scanned(merged):
    with pikepdf.open(io.BytesIO(merged)) as pdf:
        assert "/OCProperties" not in pdf.Root  # one layer
        for page in pdf.pages:
            kinds = {str(part.Subtype) for part in page.Resources.get("/XObject", {}).values()}
            assert "/Image" not in kinds
    for number in range(1, 4):
        assert len(text_of(merged, page=number)) > 1000


def test_each_plan_has_its_scale_bar_and_north():
    snapshot = snapshots.snapshot()
    plans = [one for one in plan_set.sections(snapshot, None) if one.sheet in ("G1.0", "S1.0", "S1.1")]
    assert len(plans) == 3
    for one in plans:
        assert one.page_size == "24x36"
        words = text_of(render_section(one), raw=True).split("\n")
        assert "N" in words, one.sheet
        assert any(line.startswith("Scale") for line in words), one.sheet


def test_the_approval_space_is_at_one_place(merged):
    words = "Approval stamp of the building department: leave clear"
    with pikepdf.open(io.BytesIO(merged)) as pdf:
        count = len(pdf.pages)
    places = {number: _place_of(merged, words.split()[0:2], number) for number in range(1, count + 1)}
    assert len(set(places.values())) == 1, places


def _place_of(pdf: bytes, words: list[str], page: int) -> tuple[float, float]:
    """Where two words that follow each other stand on a page, to a tenth of an inch."""
    command = [need("pdftotext"), "-f", str(page), "-l", str(page), "-bbox", "-", "-"]
    done = subprocess.run(command, input=pdf, capture_output=True, check=True)
    found = [
        (one.text, one.get("xMin"), one.get("yMin"))
        for one in ElementTree.fromstring(done.stdout).iter()
        if one.tag.endswith("word")
    ]
    for (text, x, y), (following, *_) in pairwise(found):
        if [text, following] == words:
            return round(float(x) / 72, 1), round(float(y) / 72, 1)
    raise AssertionError(f"page {page}: no place for the approval stamp")


def test_the_title_block_names_owner_site_and_parcel():
    strip = preliminary_strip(snapshots.snapshot(), revision=1, design_sha256="ab" * 32)
    out = io.BytesIO()
    strip_pages(strip, [next(iter(size for size in PAGES if PAGES[size].strip_is_upright))]).save(out)
    text = " ".join(text_of(out.getvalue(), raw=True).split())
    for words in ("Sample Owner", "14 Sample Street, Exampleton CA", "000-000-014"):
        assert words in text
