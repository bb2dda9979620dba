"""Sections → one PDF: title strips, links between sheets, one bookmark a sheet. Same input, same bytes."""

from __future__ import annotations

import io

import pikepdf
from pikepdf import Array, Dictionary, Name, OutlineItem, String

from reports.rendering import NotRenderable
from reports.sections import FULL_SIZE, Placing, Section, placing
from reports.title_strip import TitleStrip, strip_pages

STRIP = Name.TitleStrip
POINTS_PER_IN = 72
SHEET_LINK = "sheet:"


def merge(
    *, title: str, sections: list[Section], files: list[bytes], strip: TitleStrip, sheet_size: str = FULL_SIZE
) -> bytes:
    """The document as PDF bytes, from its sections and their PDFs in the same order; plan sheets on `sheet_size`.

    NotRenderable when a link names a sheet that the document does not have.
    """
    merged = pikepdf.Pdf.new()
    page_sizes = sorted({section.page_size for section in sections})
    strips = strip_pages(strip, page_sizes)
    forms = {
        page_size: merged.copy_foreign(page.as_form_xobject())
        for page_size, page in zip(page_sizes, strips.pages, strict=True)
    }
    first_page: dict[str, int] = {}
    outline: list[OutlineItem] = []
    sources = [pikepdf.Pdf.open(io.BytesIO(file)) for file in files]  # copied pages read from them until the save
    for section, source in zip(sections, sources, strict=True):
        start = len(merged.pages)
        merged.add_pages_from(source, outlines="ignore")
        if section.sheet:
            first_page[section.sheet] = start
        outline.append(OutlineItem(f"{section.sheet} {section.title}".strip(), start))
        _place(merged, range(start, len(merged.pages)), forms[section.page_size], section)
        if section.page_size == FULL_SIZE and sheet_size != FULL_SIZE:
            for number in range(start, len(merged.pages)):
                _resize(merged, merged.pages[number], placing(sheet_size))
    _rewrite_sheet_links(merged, first_page)
    with merged.open_outline() as bookmarks:
        bookmarks.root.extend(outline)
    merged.docinfo[Name.Title] = String(title)
    merged.Root.ViewerPreferences = Dictionary(DisplayDocTitle=True)
    merged.Root.Lang = String("en-US")
    out = io.BytesIO()
    merged.save(out, deterministic_id=True, min_version="1.7")
    return out.getvalue()


def page_count(pdf: bytes) -> int:
    """How many pages a PDF has."""
    return len(pikepdf.Pdf.open(io.BytesIO(pdf)).pages)


def _place(merged: pikepdf.Pdf, pages: range, form: pikepdf.Object, section: Section) -> None:
    """Draw one strip on every page of a section, under one fixed name in the pages' shared resources."""
    x, y = section.page.strip_x_in * POINTS_PER_IN, section.page.strip_y_in * POINTS_PER_IN
    # The body may leave its own transformation behind, so it is fenced.
    before = merged.make_stream(b"q\n")
    after = merged.make_stream(b"\nQ q 1 0 0 1 %.4f %.4f cm %s Do Q\n" % (x, y, str(STRIP).encode()))
    for number in pages:
        page = merged.pages[number]
        if Name.XObject not in page.Resources:
            page.Resources.XObject = Dictionary()
        page.Resources.XObject[STRIP] = form
        page.contents_add(before, prepend=True)
        page.contents_add(after)


def _resize(merged: pikepdf.Pdf, page: pikepdf.Page, place: Placing) -> None:
    """Reduce or enlarge a sheet as a whole, with its links."""
    right, up = place.right_in * POINTS_PER_IN, place.up_in * POINTS_PER_IN
    matrix = b"q %.5f 0 0 %.5f %.4f %.4f cm\n" % (place.scale, place.scale, right, up)
    page.contents_add(merged.make_stream(matrix), prepend=True)
    page.contents_add(merged.make_stream(b"\nQ\n"))
    box = Array([0, 0, round(place.width_in * POINTS_PER_IN, 4), round(place.height_in * POINTS_PER_IN, 4)])
    for name in ("/MediaBox", "/CropBox", "/TrimBox", "/BleedBox", "/ArtBox"):
        if name in page:
            page[name] = box
    for annotation in page.get("/Annots", Array()):
        edges = [float(edge) * place.scale for edge in annotation.Rect]
        annotation.Rect = Array([round(edge + shift, 4) for edge, shift in zip(edges, (right, up) * 2, strict=True)])


def _rewrite_sheet_links(merged: pikepdf.Pdf, first_page: dict[str, int]) -> None:
    for page in merged.pages:
        for annotation in page.get("/Annots", Array()):
            action = annotation.get("/A")
            target = str(action.get("/URI", "")) if action is not None else ""
            if not target.startswith(SHEET_LINK):
                continue
            sheet = target.removeprefix(SHEET_LINK)
            if sheet not in first_page:
                raise NotRenderable(f"A link leads to sheet {sheet}, which this document does not have.")
            del annotation["/A"]
            annotation.Dest = Array([merged.pages[first_page[sheet]].obj, Name.Fit])
