"""What the benchmark's workers do besides the project's own tasks: bare WeasyPrint, and photo sheets."""

from __future__ import annotations

import json
import os
import resource
from dataclasses import replace
from pathlib import Path
from typing import Any

import weasyprint
from celery import shared_task
from django.template.loader import render_to_string

from reports.documents import registry
from reports.rendering import DocumentFetcher
from reports.sections import Section

VAR = Path(os.environ["STEMWALL_VAR"])
# Of the sample house: twelve drawings on twenty pages, plan sheets and text in their usual mixture.
TWENTY_PAGES = {
    "plan_set": ("plan", "line-A", "line-B", "line-1", "line-2", "schedule"),
    "calculations": ("demand", "fasteners"),
}
PHOTO_SHEETS, PHOTOS = 60, 80
built = registry.sections


def sections(kind: str, snapshot: dict[str, Any], subject: dict[str, Any] | None) -> list[Section]:
    """The sections that the benchmark's design asks for: all, those of twenty pages, or sheets of photos."""
    which = snapshot["benchmark"]
    if which == "photos":
        return photo_sheets() if kind == "plan_set" else []
    found = built(kind, snapshot, subject)
    if which == "all":
        return found
    # Without the detail sheet nothing may lead there.
    return [replace(one, context=one.context | {"details": []}) for one in found if one.name in TWENTY_PAGES[kind]]


def photo_sheets() -> list[Section]:
    """Letter sheets with their share of the stored photos and a paragraph each."""
    places = [[number for number in range(PHOTOS) if number % PHOTO_SHEETS == sheet] for sheet in range(PHOTO_SHEETS)]
    return [
        Section(
            name=f"photos-{sheet}",
            sheet=f"P{sheet}.0",
            title="Photos of the crawlspace",
            template="photos.html",
            context={"photos": [str(number) for number in numbers], "text": "Bay by bay, as found. " * 20},
            photos={str(number): f"photos/{number}.jpg" for number in numbers},
        )
        for sheet, numbers in enumerate(places)
    ]


def html_of(section: Section) -> str:
    """What both WeasyPrint and Chromium are given."""
    return render_to_string(section.template, {**section.context, "section": section})


@shared_task
def bare(html_file: str, drawings_file: str, done_file: str) -> None:
    """One section by WeasyPrint as it comes: its HTML and SVG pictures, nothing of ours but the fetcher."""
    drawings = json.loads(Path(drawings_file).read_text())
    fetcher = DocumentFetcher(drawings, {})
    pdf = weasyprint.HTML(string=Path(html_file).read_text(), url_fetcher=fetcher).write_pdf()
    Path(done_file).write_bytes(pdf)


@shared_task
def memory(done_file: str) -> None:
    """The most memory that this worker process ever had. [MB]"""
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    (Path(done_file).parent / f"memory-{os.getpid()}").write_text(str(peak_mb))


registry.sections = sections
