"""Sections to one document: strips, links, bookmarks, the same bytes each time."""

from __future__ import annotations

import io

import pikepdf
import pytest

from reports.merging import merge, page_count
from reports.rendering import NotRenderable, render_section
from tests.reports.papers import section, strip, text_of

TWO_PAGES = '<p>first <a href="sheet:S3.0">S3.0</a></p><p class="new-page">second <a id="b" href="#b">b</a></p>'


DRAWN: dict[str, bytes] = {}


def _merge(sections, **more):
    names = [one.sha256("once") for one in sections]
    for name, one in zip(names, sections, strict=True):
        if name not in DRAWN:
            DRAWN[name] = render_section(one)
    return merge(title="T", sections=sections, files=[DRAWN[name] for name in names], strip=strip(**more))


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
