"""Small sections and a title strip for the tests of the pipeline, and what can be read back from a PDF."""

from __future__ import annotations

import subprocess
from pathlib import Path
from typing import Any

from reports.sections import Section
from reports.title_strip import PRELIMINARY, SAFETY, TitleStrip
from tests.servers import need

TEMPLATES = Path(__file__).parent / "templates"
SQUARE = '<svg xmlns="http://www.w3.org/2000/svg" width="40" height="40"><rect width="40" height="40"/></svg>'


def section(name: str = "cover", sheet: str = "S1.0", body: str = "<p>Cover</p>", **more: Any) -> Section:
    facts = {"title": f"Sheet {name}", "template": "page.html", "context": {"body": body}} | more
    return Section(name=name, sheet=sheet, **facts)


def strip(**more: str) -> TitleStrip:
    facts = {
        "company": "Example Retrofit",
        "project": "J-7 Cripple walls",
        "address": "12 Alder Street, Rivermouth",
        "revision": "Revision 3",
        "design_sha256": "0123456789abcdef" * 4,
        "status": PRELIMINARY,
        "status_note": SAFETY,
    } | more
    return TitleStrip(**facts)


def text_of(pdf: bytes, *, page: int | None = None, raw: bool = False) -> str:
    """The text of a PDF (or of one page, from 1) as another program reads it: as laid out, or `raw` as written."""
    pages = [] if page is None else ["-f", str(page), "-l", str(page)]
    way = "-raw" if raw else "-layout"
    done = subprocess.run([need("pdftotext"), *pages, way, "-", "-"], input=pdf, capture_output=True, check=True)
    return done.stdout.decode()
