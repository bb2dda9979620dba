"""Photos on paper: upright, small enough, without the camera's own remarks; what is none is named."""

from __future__ import annotations

import io

import pikepdf
import pytest
from PIL import Image

from reports import pictures, storage
from reports.rendering import NotRenderable, render_section
from tests.reports.papers import section

TURNED, TAKEN_AT = 0x0112, 0x8825


def photo(width: int = 4000, height: int = 3000, **options) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (width, height), "#8a7f70").save(out, "JPEG", **options)
    return out.getvalue()


def printed(**more) -> Image.Image:
    return Image.open(io.BytesIO(pictures.printable(photo(**more))))


def test_a_photo_is_no_finer_than_print_shows():
    assert printed().size == (1600, 1200)
    assert printed(width=800, height=600).size == (800, 600)


def test_a_photo_stands_upright_and_says_nothing_of_its_place():
    exif = Image.Exif()
    exif[TURNED] = 6
    exif.get_ifd(TAKEN_AT)[1] = "N"
    picture = printed(exif=exif)
    assert picture.size == (1200, 1600)
    assert dict(picture.getexif()) == {}


@pytest.fixture
def shows():
    """A section that shows the photo of one stored file."""

    def _shows(data: bytes | None):
        if data is not None:
            storage.put("photos/one.jpg", data)
        return section(body='<img src="photo:bay-3">', photos={"bay-3": "photos/one.jpg"})

    return _shows


def test_a_stored_photo_is_printed_once_and_the_same_each_time(shows):
    paper = render_section(shows(photo()))
    with pikepdf.Pdf.open(io.BytesIO(paper)) as pdf:
        images = pdf.pages[0].get_images().values()
        assert [(int(image.Width), int(image.Height)) for image in images] == [(1600, 1200)]
    assert render_section(shows(None)) == paper


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (None, "the photo “bay-3” is no longer in the storage"),
        (b"GIF89a", "the photo “bay-3” can't be printed: it can't be read as a picture"),
        (photo()[:20_000], "the photo “bay-3” can't be printed"),
    ],
)
def test_a_photo_that_can_not_be_printed_is_named(shows, data, said):
    with pytest.raises(NotRenderable, match=r"^Sheet S1.0, ") as caught:
        render_section(shows(data))
    assert said in str(caught.value)


def test_a_photo_of_too_many_pixels_is_refused(monkeypatch):
    monkeypatch.setattr(pictures, "LARGEST_MEGAPIXELS", 1)
    with pytest.raises(ValueError, match="it has 12 megapixels, and 1 are the most"):
        pictures.printable(photo())
