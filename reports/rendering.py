"""Template + section → PDF bytes. Not the database, not the network: photos come from the storage."""

from __future__ import annotations

import gc
import logging
from collections.abc import Iterator
from contextlib import contextmanager
from functools import lru_cache
from importlib.metadata import version
from pathlib import Path

import weasyprint
from django.template.loader import render_to_string
from PIL import ImageFile
from weasyprint.text.ffi import pango
from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

from reports import pictures, storage
from reports.drawings.lettering import FAMILY
from reports.drawings.painted import PaintedDrawing
from reports.drawings.svg import Svg
from reports.sections import Section, sha256_of

ImageFile.LOAD_TRUNCATED_IMAGES = False  # WeasyPrint sets it: half a photo would pass for a whole one
HERE = Path(__file__).parent
ASSETS = HERE / "static/reports"
TEMPLATES = HERE / "templates/reports"
NO_SIGN = ".notdef glyph rendered"
MIME_TYPES = {".css": "text/css", ".ttf": "font/ttf"}


class NotRenderable(Exception):
    """A section can't be drawn, for a reason that a person can act on."""


class DocumentFetcher(URLFetcher):
    """Serves asset: (shipped style and fonts), drawing: and photo: (of this section); all else stops the rendering.

    WeasyPrint would drop a missing picture and go on, so a miss is fatal here.
    """

    def __init__(self, drawings: dict[str, str], photos: dict[str, str]) -> None:
        super().__init__()
        self.drawings = drawings
        self.photos = photos

    def fetch(self, url: str, headers: dict[str, str] | None = None) -> URLFetcherResponse:
        scheme, _, name = url.partition(":")
        if scheme == "drawing" and name in self.drawings:
            return URLFetcherResponse(url, self.drawings[name], {"Content-Type": "image/svg+xml"})
        if scheme == "photo" and name in self.photos:
            return URLFetcherResponse(url, self._photo(name), {"Content-Type": "image/jpeg"})
        if scheme == "asset":
            file = (ASSETS / name).resolve()
            if file.is_relative_to(ASSETS) and file.is_file():
                return URLFetcherResponse(url, file.read_bytes(), {"Content-Type": MIME_TYPES[file.suffix]})
        raise FatalURLFetchingError(f"nothing to show for “{url}”")

    def _photo(self, name: str) -> bytes:
        try:
            return pictures.printable(storage.read(self.photos[name]))
        except FileNotFoundError as why:
            raise FatalURLFetchingError(f"the photo “{name}” is no longer in the storage") from why
        except ValueError as why:
            raise FatalURLFetchingError(f"the photo “{name}” can't be printed: {why}") from why


def render_section(section: Section) -> bytes:
    """The section as a PDF, byte for byte the same for the same input on one machine.

    NotRenderable names what is missing or broken.
    """
    html = render_to_string(section.template, {**section.context, "section": section})
    return html_to_pdf(html, section.drawings, section.photos, what=section.label)


def html_to_pdf(html: str, drawings: dict[str, str], photos: dict[str, str] | None = None, *, what: str) -> bytes:
    """HTML that may use asset:, drawing: and photo: addresses → PDF bytes. `what` names it in an error."""
    with _complaints() as complaints, _no_garbage_collection():
        try:
            fetcher = DocumentFetcher(drawings, photos or {})
            # Those that still have their display list need not be read back from SVG.
            painted = {f"drawing:{k}": PaintedDrawing(d.sheet) for k, d in drawings.items() if isinstance(d, Svg)}
            document = weasyprint.HTML(string=html, url_fetcher=fetcher).render(cache=painted)
            pdf = document.write_pdf()
        except FatalURLFetchingError as why:  # a BaseException: nothing else would catch it
            raise NotRenderable(f"{what}: {why}") from why
        # One that is installed here may be missing or different elsewhere.
        foreign = {font.family for font in document.fonts.values()} - {FAMILY}
        complaints += [f"the font “{family}” is not one that is shipped" for family in sorted(foreign)]
    if complaints:
        raise NotRenderable(f"{what}: {'; '.join(complaints)}")
    assert isinstance(pdf, bytes)
    return pdf


@contextmanager
def _no_garbage_collection() -> Iterator[None]:
    """Layout makes many long-lived objects and collecting among them is slow, so collect after.

    All that a rendering leaves behind is still in the youngest generation then: older objects need no look.
    """
    gc.disable()
    try:
        yield
    finally:
        gc.enable()
        gc.collect(0)


class _Collector(logging.Handler):
    def __init__(self, into: list[str]) -> None:
        super().__init__(logging.WARNING)
        self.into = into

    def emit(self, record: logging.LogRecord) -> None:
        if record.levelno >= logging.ERROR:
            self.into.append(record.getMessage())
        elif record.msg.startswith(NO_SIGN):  # a box would be printed in its place
            self.into.append(f"the shipped font has no sign for {record.args[0]!r}: write it another way")


@contextmanager
def _complaints() -> Iterator[list[str]]:
    """What the renderer only logs (a broken picture, a link to nowhere) while it makes an incomplete page."""
    found: list[str] = []
    handler = _Collector(found)
    logger = logging.getLogger("weasyprint")
    logger.addHandler(handler)
    try:
        yield found
    finally:
        logger.removeHandler(handler)


@lru_cache(maxsize=1)
def fingerprint() -> str:
    """A hash of all that makes a PDF besides the section: templates, style, fonts, libraries, this code."""
    libraries = [
        f"{name} {version(name)}" for name in ("django", "weasyprint", "pydyf", "tinycss2", "tinyhtml5", "pillow")
    ]
    libraries.append(f"pango {pango.pango_version()}")
    files = sorted(
        file
        for folder in (TEMPLATES / "documents", TEMPLATES / "partials", ASSETS / "fonts")
        for file in folder.rglob("*")
        if file.is_file()
    )
    files += [TEMPLATES / "base.html", ASSETS / "print.css", HERE / "pictures.py", Path(__file__)]
    files += [HERE / "drawings" / name for name in ("lettering.py", "parts.py", "painted.py", "svg.py")]
    return sha256_of("\n".join([*libraries, *(f"{file.name} {sha256_of(file.read_bytes())}" for file in files)]))
