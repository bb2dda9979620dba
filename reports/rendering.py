"""Template + section → PDF bytes. Not the database, not the network."""

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
from weasyprint.text.ffi import pango
from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

from reports.sections import Section, sha256_of

HERE = Path(__file__).parent
ASSETS = HERE / "static/reports"
TEMPLATES = HERE / "templates/reports"
MIME_TYPES = {".css": "text/css", ".ttf": "font/ttf"}


class NotRenderable(Exception):
    """A section can't be drawn, for a reason that a person can act on."""


class DocumentFetcher(URLFetcher):
    """Serves asset: (shipped style and fonts) and drawing: (of this section); everything else stops the rendering.

    WeasyPrint would drop a missing picture and go on, so a miss is fatal here.
    """

    def __init__(self, drawings: dict[str, str]) -> None:
        super().__init__()
        self.drawings = drawings

    def fetch(self, url: str, headers: dict[str, str] | None = None) -> URLFetcherResponse:
        scheme, _, name = url.partition(":")
        if scheme == "drawing" and name in self.drawings:
            return URLFetcherResponse(url, self.drawings[name], {"Content-Type": "image/svg+xml"})
        if scheme == "asset":
            file = (ASSETS / name).resolve()
            if file.is_relative_to(ASSETS) and file.is_file():
                return URLFetcherResponse(url, file.read_bytes(), {"Content-Type": MIME_TYPES[file.suffix]})
        raise FatalURLFetchingError(f"nothing to show for “{url}”")


def render_section(section: Section) -> bytes:
    """The section as a PDF, byte for byte the same for the same input on one machine.

    NotRenderable names what is missing or broken.
    """
    html = render_to_string(section.template, {**section.context, "section": section})
    return html_to_pdf(html, section.drawings, what=section.name)


def html_to_pdf(html: str, drawings: dict[str, str], *, what: str) -> bytes:
    """HTML that may use asset: and drawing: addresses → PDF bytes. `what` names it in an error."""
    with _complaints() as complaints, _no_garbage_collection():
        try:
            pdf = weasyprint.HTML(string=html, url_fetcher=DocumentFetcher(drawings)).write_pdf()
        except FatalURLFetchingError as why:  # a BaseException: nothing else would catch it
            raise NotRenderable(f"{what}: {why}") from why
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
        super().__init__(logging.ERROR)
        self.into = into

    def emit(self, record: logging.LogRecord) -> None:
        self.into.append(record.getMessage())


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
    libraries = [f"{name} {version(name)}" for name in ("django", "weasyprint", "pydyf", "tinycss2", "tinyhtml5")]
    libraries.append(f"pango {pango.pango_version()}")
    files = sorted(
        file
        for folder in (TEMPLATES / "documents", TEMPLATES / "partials", ASSETS / "fonts")
        for file in folder.rglob("*")
        if file.is_file()
    )
    files += [TEMPLATES / "base.html", ASSETS / "print.css", Path(__file__)]
    return sha256_of("\n".join([*libraries, *(f"{file.name} {sha256_of(file.read_bytes())}" for file in files)]))
