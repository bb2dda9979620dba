"""Sections to one document: strips, links, bookmarks, the same bytes each time."""

from __future__ import annotations

import io
import re
import subprocess

import pikepdf
import pytest

from reports.merging import merge, page_count
from reports.rendering import NotRenderable, render_section
from reports.sections import PAGES, SHEET_SIZES, placing
from reports.signing import prepare_signing_copy, stamp_box_in
from tests.reports.papers import section, strip, text_of
from tests.servers import need

TWO_PAGES = '<p>first <a href="sheet:S3.0">S3.0</a></p><p class="new-page">second <a id="b" href="#b">b</a></p>'


DRAWN: dict[str, bytes] = {}


def _merge(sections, **more):
    names = [one.sha256("once") for one in sections]
    for name, one in zip(names, sections, strict=True):
        if name not in DRAWN:
            DRAWN[name] = render_section(one)
    size = more.pop("sheet_size", "24x36")
    files = [DRAWN[name] for name in names]
    return merge(title="T", sections=sections, files=files, strip=strip(**more), sheet_size=size)


@pytest.fixture(scope="module")
def three():
    return [
        section("cover", "S1.0", TWO_PAGES),
        section("line 1", "S2.1", "<p>line</p>", page_size="24x36"),
        section("details", "S3.0", '<p>details <a href="sheet:S1.0">S1.0</a></p>'),
    ]


def test_same_input_same_bytes(three):
    assert _merge(three) == _merge(three)


def test_every_page_bears_its_own_sheet_and_the_strip(three):
    pdf = _merge(three)
    assert page_count(pdf) == 4
    for page, sheet in enumerate(("S1.0", "S1.0", "S2.1", "S3.0"), start=1):
        text = text_of(pdf, page=page)
        assert sheet in text
        assert "0123456789ab" in text
        assert "Revision 3" in text
        assert "Preliminary, not for construction" in " ".join(text.split())


def test_pages_of_a_section_share_one_strip_under_one_name(three):
    pages = pikepdf.Pdf.open(io.BytesIO(_merge(three))).pages
    first, second, plan, _ = (page.Resources.XObject["/TitleStrip"].objgen for page in pages)
    assert first == second != plan


def test_the_body_can_not_move_the_strip(three):
    """Whatever transformation the body leaves, the strip is placed after it was restored."""
    pages = pikepdf.Pdf.open(io.BytesIO(_merge(three))).pages
    operators = [str(operator) for _, operator in pikepdf.parse_content_stream(pages[0])]
    assert operators[0] == "q"
    assert operators[-5:] == ["Q", "q", "cm", "Do", "Q"]


def test_links_lead_to_the_first_page_of_their_sheet(three):
    pdf = pikepdf.Pdf.open(io.BytesIO(_merge(three)))
    to_details = pdf.pages[0].Annots[0].Dest[0]
    to_cover = pdf.pages[3].Annots[0].Dest[0]
    assert to_details.objgen == pdf.pages[3].obj.objgen
    assert to_cover.objgen == pdf.pages[0].obj.objgen


def test_a_link_inside_a_section_still_works(three):
    pdf = pikepdf.Pdf.open(io.BytesIO(_merge(three)))
    names = pdf.Root.Names.Dests.Names
    assert str(names[0]) == "b"
    assert names[1].D[0].objgen == pdf.pages[1].obj.objgen


def test_an_unknown_sheet_fails_by_name():
    with pytest.raises(NotRenderable, match=r"sheet S9\.9"):
        _merge([section(body='<a href="sheet:S9.9">S9.9</a>')])


def test_one_bookmark_a_sheet_and_none_for_headings(three):
    heading = section("notes", "S4.0", "<h1>General</h1><h2>Nails</h2>")
    with pikepdf.Pdf.open(io.BytesIO(_merge([*three, heading]))).open_outline() as outline:
        assert [item.title for item in outline.root] == [
            "S1.0 Sheet cover",
            "S2.1 Sheet line 1",
            "S3.0 Sheet details",
            "S4.0 Sheet notes",
        ]
        assert all(not item.children for item in outline.root)


def test_two_texts_differ_only_in_the_strip(three):
    review = _merge(three)
    signing = _merge(three, status="Valid only with seal")
    assert review != signing
    assert "Valid only with seal" in " ".join(text_of(signing).split())
    assert "Preliminary, not" not in text_of(signing)


def test_a_document_carries_no_clock(three):
    pdf = pikepdf.Pdf.open(io.BytesIO(_merge(three)))
    assert set(pdf.docinfo.keys()) == {"/Title"}


def test_as_many_files_as_sections(three):
    with pytest.raises(ValueError, match="argument 2 is shorter"):
        merge(title="T", sections=three, files=[], strip=strip())


# --- paper of other sizes --------------------------------------------------------------------------------------------
@pytest.mark.parametrize("sheet_size", SHEET_SIZES)
def test_plan_sheets_lie_whole_on_the_paper_that_is_wanted(three, sheet_size):
    pdf = _merge(three, sheet_size=sheet_size)
    width_in, height_in = SHEET_SIZES[sheet_size]
    with pikepdf.Pdf.open(io.BytesIO(pdf)) as opened:
        sizes = [tuple(round(float(edge) / 72, 2) for edge in page.mediabox[2:]) for page in opened.pages]
    assert sizes == [(8.5, 11.0), (8.5, 11.0), (width_in, height_in), (8.5, 11.0)]
    done = subprocess.run(
        [need("pdftotext"), "-bbox", "-f", "3", "-l", "3", "-", "-"], input=pdf, capture_output=True, check=True
    )
    boxes = re.findall(r'xMin="(.*?)" yMin="(.*?)" xMax="(.*?)" yMax="(.*?)">(.*?)<', done.stdout.decode())
    place = placing(sheet_size)
    left, top = next((float(box[0]), float(box[1])) for box in boxes if box[4] == "line")
    assert left == pytest.approx(72 * (place.right_in + place.scale * PAGES["24x36"].left_in), abs=2)
    assert top >= 72 * (place.up_in + place.scale * PAGES["24x36"].top_in) - 2
    assert all(0 < float(box[0]) < float(box[2]) < width_in * 72 for box in boxes)


def test_links_are_where_their_words_are_on_smaller_paper():
    sheets = [
        section("cover", "S1.0", '<p style="padding-top: 2in"><a href="sheet:S1.0">here</a></p>', page_size="24x36"),
    ]
    full, small = _merge(sheets), _merge(sheets, sheet_size="11x17")
    place = placing("11x17")
    rects = [_last_rect(pdf) for pdf in (full, small)]
    assert rects[1][0] == pytest.approx(rects[0][0] * place.scale + place.right_in * 72, abs=0.1)
    assert rects[1][1] == pytest.approx(rects[0][1] * place.scale + place.up_in * 72, abs=0.1)


@pytest.mark.parametrize("sheet_size", SHEET_SIZES)
def test_the_engineer_s_field_lies_in_the_stamp_space_of_any_paper(sheet_size):
    pdf = prepare_signing_copy(_merge([section("cover", "S1.0", page_size="24x36")], sheet_size=sheet_size))
    rect = [edge / 72 for edge in _last_rect(pdf)]
    place = placing(sheet_size)
    expected = [edge * place.scale for edge in stamp_box_in(PAGES["24x36"])]
    assert rect[0] - place.right_in == pytest.approx(expected[0], abs=0.01)
    assert rect[3] - place.up_in == pytest.approx(expected[3], abs=0.01)


def _last_rect(pdf: bytes) -> list[float]:
    """Where the last annotation of the first page lies, in points."""
    with pikepdf.Pdf.open(io.BytesIO(pdf)) as opened:
        return [float(edge) for edge in opened.pages[0].Annots[-1].Rect]
