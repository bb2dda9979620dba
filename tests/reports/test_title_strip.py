"""What the strip says, and that its code can be scanned."""

from __future__ import annotations

import io
import re
import subprocess

import pytest
import segno
from PIL import Image

from reports.rendering import render_section
from reports.sections import PAGES
from reports.title_strip import preliminary_strip, signing_strip, stamped_strip, strip_pages
from tests.reports.papers import section, strip, text_of
from tests.servers import need

URL = "https://stemwall.example/verify/Zm9vYmFyYmF6cXV4Zm9vYmFyYmF6cXV4/"
SNAPSHOT = {
    "house": {"address": "12 Alder Street", "city": "Rivermouth", "state": "CA", "postal_code": "00000"},
    "job": {"number": "J-7", "title": "Cripple walls", "company": {"name": "Example Retrofit"}},
    "criteria": {"quantity_study": False},
}
DESIGN = {"revision": 3, "design_sha256": "ab" * 32}


def _pdf(title_strip, *, page_size: str) -> bytes:
    out = io.BytesIO()
    strip_pages(title_strip, [page_size]).save(out)
    return out.getvalue()


@pytest.mark.parametrize("page_size", PAGES)
def test_the_strip_fits_its_place(page_size):
    long = strip(
        project="J-2026-0117 Cripple walls, basement wall and tie-downs",
        address="12345 North Rivermouth Avenue, Rivermouth, CA 00000",
        owner="Two Owners With Rather Long Names, 12345 North Rivermouth Avenue, Apartment 7, Rivermouth, CA 00000",
        parcel="000-000-000-00",
        verify_url=URL,
    )
    pages = strip_pages(long, [page_size])
    page = PAGES[page_size]
    assert len(pages.pages) == 1
    width, height = (float(edge) / 72 for edge in pages.pages[0].mediabox[2:])
    assert (width, height) == pytest.approx((page.strip_width_in, page.strip_height_in))


@pytest.mark.parametrize("page_size", PAGES)
def test_long_names_never_push_a_strip_onto_the_next_sheet(page_size):
    long = strip(
        company="A Retrofit Company with a Name of Many Words, Bracing and Bolting",
        project="26-0001 Basement walls under a finished ceiling, with tie-downs",
        verify_url=URL,
    )
    pages = strip_pages(long, [page_size, *(size for size in PAGES if size != page_size)])
    out = io.BytesIO()
    pages.save(out)
    first, second, _ = text_of(out.getvalue()).split("\f")
    assert "Revision 3" in first
    assert "Revision 3" in second


@pytest.mark.parametrize("page_size", PAGES)
def test_the_sheet_fills_its_own_cell_of_the_strip(page_size):
    """On every page of the section, inside the strip's place and clear of what the strip itself says."""
    title = "Wall line 3, elevation and through-plate section in a long name"
    body = '<p>one</p><p class="new-page">two</p>'
    drawn = render_section(section(sheet="W-1.10", title=title, page_size=page_size, body=body))
    page = PAGES[page_size]
    for number in (1, 2):
        left, top, right, bottom = max(box for box in _words(drawn, number) if box[4] == "W-1.10" and box[1] > 90)[:4]
        assert page.strip_x_in * 72 <= left < right <= (page.strip_x_in + page.strip_width_in) * 72
        assert (page.height_in - page.strip_y_in - page.strip_height_in) * 72 <= top
        assert bottom <= (page.height_in - page.strip_y_in) * 72
    said = _words(_pdf(strip(verify_url=URL), page_size=page_size), 1)
    if page_size == "24x36":  # a column: what the strip says ends above the sheet's cell
        strip_top = (page.height_in - page.strip_y_in - page.strip_height_in) * 72
        assert strip_top + max(box[3] for box in said) < min(box[1] for box in _words(drawn, 1) if box[4] == "title")
    else:  # a row: it begins beside it
        assert min(box[0] for box in said) > right - page.strip_x_in * 72


def _words(pdf: bytes, page: int) -> list[tuple[float, float, float, float, str]]:
    """Left, top, right, bottom in points and the word, in reading order."""
    done = subprocess.run(
        [need("pdftotext"), "-bbox", "-f", str(page), "-l", str(page), "-", "-"], input=pdf, capture_output=True,
        check=True,
    )  # fmt: skip
    found = re.findall(r'<word xMin="(.*?)" yMin="(.*?)" xMax="(.*?)" yMax="(.*?)">(.*?)</word>', done.stdout.decode())
    return [(float(a), float(b), float(c), float(d), word) for a, b, c, d, word in found]


@pytest.mark.parametrize("page_size", PAGES)
def test_the_strip_stays_clear_of_the_body(page_size):
    page = PAGES[page_size]
    below = page.strip_y_in + page.strip_height_in <= page.bottom_in
    beside = page.strip_x_in >= page.width_in - page.right_in
    assert below or beside
    assert page.strip_x_in + page.strip_width_in <= page.width_in
    assert page.strip_y_in + page.strip_height_in <= page.height_in


@pytest.mark.parametrize("page_size", PAGES)
def test_the_code_on_paper_is_the_address_module_by_module(page_size):
    """Drawn at 600 dots an inch by another program, each module has the colour that the code's own matrix gives it."""
    done = subprocess.run(
        [need("pdftoppm"), "-r", "600", "-gray", "-"], input=_pdf(strip(verify_url=URL), page_size=page_size),
        capture_output=True, check=True,
    )  # fmt: skip
    picture = Image.open(io.BytesIO(done.stdout)).convert("L")
    matrix = [list(row) for row in segno.make(URL, error="m", micro=False).matrix]
    left, top, module = _code_place(picture, len(matrix), page_size)
    drawn = [
        [
            int(picture.getpixel((round(left + (x + 0.5) * module), round(top + (y + 0.5) * module))) < 128)
            for x in range(len(matrix))
        ]
        for y in range(len(matrix))
    ]
    assert drawn == matrix


def _code_place(picture: Image.Image, modules: int, page_size: str) -> tuple[float, float, float]:
    """Left, top and module size in pixels: the code's place in the strip, from its style sheet, less its quiet zone."""
    side_in = 0.58 if page_size == "letter" else 1.1
    module = side_in * 600 / (modules + 4)
    if page_size == "letter":
        box = (picture.width - 0.6 * 600, 0, picture.width, picture.height)
    else:
        box = (0.08 * 600, picture.height * 0.6, 1.3 * 600, picture.height)
    part = picture.crop(tuple(round(edge) for edge in box)).point(lambda value: 255 * (value < 128))
    # The finder pattern is the widest run of dark in the first rows that hold any of the code.
    for y in range(part.height):
        row = [part.getpixel((x, y)) for x in range(part.width)]
        first = next((x for x, value in enumerate(row) if value), None)
        dark = first is not None and all(row[first : first + round(6.5 * module)])
        if dark and len(row) > first + round(8 * module) and not row[first + round(7.5 * module)]:
            return box[0] + first, box[1] + y, module
    raise AssertionError("no code found")


def test_without_an_address_there_is_no_code():
    assert "Verify" not in text_of(_pdf(strip(), page_size="24x36"))
    assert "Verify" in text_of(_pdf(strip(verify_url=URL), page_size="24x36"))


def test_a_review_copy_is_preliminary():
    words = preliminary_strip(SNAPSHOT, **DESIGN)
    assert words.status == "Preliminary, not for construction"
    assert words.status_note == (
        "Preliminary until reviewed and stamped by a licensed design professional; "
        "local code and the building official govern."
    )
    assert (words.project, words.revision) == ("J-7 Cripple walls", "Revision 3")


def test_a_quantity_study_says_so():
    study = SNAPSHOT | {"criteria": {"quantity_study": True}}
    assert preliminary_strip(study, **DESIGN).status == "Quantity study, not engineering"


def test_a_signing_copy_is_true_before_and_after_it_is_signed():
    words = signing_strip(SNAPSHOT, **DESIGN, verify_url=URL)
    assert words.status == "Valid only with the engineer's seal, signature and date"
    assert "reliminary" not in words.status + words.status_note


def test_a_crew_paper_names_the_stamp_it_rests_on(settings):
    settings.STEMWALL_URL = "https://stemwall.example"
    stamp = {"packet": 2, "token": "tok", "by": "R. Example", "licence": "civil CA C 00000", "on": "2026-11-05"}
    words = stamped_strip(SNAPSHOT, **DESIGN, stamp=stamp)
    assert words.status == "From revision 3, stamped 5 Nov 2026"
    assert "Packet 2, R. Example, civil CA C 00000" in words.status_note
    assert words.verify_url == "https://stemwall.example/verify/tok/"
