"""The title strip: what belongs to the document and not to a section. Placed when the sections are merged."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import pikepdf
import segno
from django.conf import settings
from django.template.loader import render_to_string

from reports.rendering import NotRenderable, html_to_pdf
from reports.sections import PAGES, PageSize

SAFETY = (
    "Preliminary until reviewed and stamped by a licensed design professional; "
    "local code and the building official govern."
)
PRELIMINARY = "Preliminary, not for construction"
QUANTITY_STUDY = "Quantity study, not engineering"
FOR_STAMP = "Valid only with the engineer's seal, signature and date"
FOR_STAMP_NOTE = (
    "Scan the code to see whether this stamp is genuine and current. Local code and the building official govern."
)
CREW_NOTE = "Scan the code before you start: work only from a set that is current."


@dataclass(frozen=True, slots=True)
class TitleStrip:
    """One text for every sheet of a document. `verify_url` "" leaves out the code: nothing to verify yet."""

    company: str
    project: str
    address: str
    revision: str
    design_sha256: str
    status: str
    status_note: str
    verify_url: str = ""
    owner: str = ""  # with the mailing address; the crew's papers have none
    parcel: str = ""


def preliminary_strip(
    snapshot: dict[str, Any], *, revision: int, design_sha256: str, verify_url: str = ""
) -> TitleStrip:
    """What every copy says that no engineer has stamped; a quantity study says that it is one."""
    study = snapshot["criteria"]["quantity_study"]
    return _strip(
        snapshot,
        revision=revision,
        design_sha256=design_sha256,
        status=QUANTITY_STUDY if study else PRELIMINARY,
        status_note=SAFETY,
        verify_url=verify_url,
        **_property(snapshot),
    )


def signing_strip(snapshot: dict[str, Any], *, revision: int, design_sha256: str, verify_url: str) -> TitleStrip:
    """What the copy says that the engineer signs, so that it is still true when it is signed."""
    return _strip(
        snapshot,
        revision=revision,
        design_sha256=design_sha256,
        status=FOR_STAMP,
        status_note=FOR_STAMP_NOTE,
        verify_url=verify_url,
        **_property(snapshot),
    )


def stamped_strip(snapshot: dict[str, Any], *, revision: int, design_sha256: str, stamp: dict[str, Any]) -> TitleStrip:
    """What a paper for the crew says: the stamp that it rests on."""
    return _strip(
        snapshot,
        revision=revision,
        design_sha256=design_sha256,
        status=f"From revision {revision}, stamped {_day(stamp['on'])}",
        status_note=f"Packet {stamp['packet']}, {stamp['by']}, {stamp['licence']}. {CREW_NOTE}",
        verify_url=verification_url(stamp["token"]),
    )


def verification_url(token: str) -> str:
    """The public address that the code on a sheet leads to."""
    return f"{settings.STEMWALL_URL}/verify/{token}/"


def _strip(snapshot: dict[str, Any], *, revision: int, **texts: str) -> TitleStrip:
    house, job = snapshot["house"], snapshot["job"]
    return TitleStrip(
        company=job["company"]["name"],
        project=f"{job['number']} {job['title']}",
        address=f"{house['address']}, {house['city']}, {house['state']} {house['postal_code']}",
        revision=f"Revision {revision}",
        **texts,
    )


def _property(snapshot: dict[str, Any]) -> dict[str, str]:
    """What a permit counter looks for in a title block besides the site."""
    house = snapshot["house"]
    owner = ", ".join(filter(None, (house.get("client_name"), house.get("client_address"))))
    return {"owner": owner, "parcel": house.get("parcel_number", "")}


def _day(iso: str) -> str:
    day = date.fromisoformat(iso)
    return f"{day.day} {day:%b %Y}"


def strip_pages(strip: TitleStrip, page_sizes: Sequence[PageSize]) -> pikepdf.Pdf:
    """A PDF with one page a page size, in the order given: the strip that all sheets of that size share.

    The cell for number and title of the sheet is left blank: they are the section's own.
    """
    html = render_to_string(
        "reports/title_strip/strips.html",
        {
            "strip": strip,
            "hash_start": strip.design_sha256[:12],
            "pages": [(page_size, PAGES[page_size]) for page_size in page_sizes],
        },
    )
    drawings = {"verify": _code(strip.verify_url)} if strip.verify_url else {}
    pages = pikepdf.Pdf.open(io.BytesIO(html_to_pdf(html, drawings, what="title strip")))
    if len(pages.pages) != len(page_sizes):  # one that flowed over would put the next one on the wrong sheets
        raise NotRenderable(f"title strip: {len(pages.pages)} strips came out for {len(page_sizes)} page sizes")
    return pages


def _code(url: str) -> str:
    """The QR code of an address as an SVG of one path, with its quiet zone."""
    return segno.make(url, error="m", micro=False).svg_inline(scale=1, border=2, dark="#1f2a33", omitsize=True)
