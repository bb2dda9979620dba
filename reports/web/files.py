"""Files as answers: stored PDFs, never changed once named, so a browser may keep them; and what is made on asking."""

from __future__ import annotations

from csp.decorators import csp_exempt
from django.core.files.storage import default_storage
from django.http import FileResponse, HttpRequest, HttpResponse
from django.utils.cache import get_conditional_response
from django.utils.http import content_disposition_header


def pdf_response(request: HttpRequest, *, name: str, sha256: str, file_name: str, attachment: bool) -> HttpResponse:
    """The PDF under a name in default_storage, or 304 when the browser has it.

    Without the pages' content policy: it means nothing in a PDF and stops browsers' own viewers.
    """
    etag = f'"{sha256}"'
    headers = {"ETag": etag, "Cache-Control": "private, no-cache"}
    answer = get_conditional_response(request, etag=etag)
    if answer is None:
        answer = FileResponse(
            default_storage.open(name, "rb"),
            content_type="application/pdf",
            as_attachment=attachment,
            filename=file_name,
        )
    for header, value in headers.items():
        answer.headers[header] = value
    return answer


def made_response(data: bytes, *, content_type: str, file_name: str) -> HttpResponse:
    """A file that is made for this answer, to be kept by whoever asked and by nobody between."""
    return HttpResponse(
        data,
        content_type=content_type,
        headers={
            "Content-Disposition": content_disposition_header(True, file_name),
            "Cache-Control": "private, no-cache",
        },
    )


without_page_policy = csp_exempt()
