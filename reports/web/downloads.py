"""Downloads besides PDFs: a sheet's drawings as DXF, all of them as one archive, the connection schedule as CSV."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from jobs import policy
from jobs.models import Design
from reports.models import Document
from reports.services import downloads
from reports.web.documents import visible_document
from reports.web.files import made_response

DXF, ZIP, CSV = "image/vnd.dxf", "application/zip", "text/csv; charset=utf-8; header=present"


@require_safe
@login_required
def document_drawings(request: HttpRequest, pk: int) -> HttpResponse:
    """The sheets that have drawings to scale, each to be taken along."""
    document = visible_document(request, pk)
    context = {"document": document, "sheets": downloads.sheets_to_scale(document)}
    return render(request, "reports/web/document_drawings.html", context)


@require_safe
@login_required
def document_dxf(request: HttpRequest, pk: int, sheet: str) -> HttpResponse:
    """One sheet's drawings."""
    return dxf_response(visible_document(request, pk), sheet)


@require_safe
@login_required
def document_dxf_all(request: HttpRequest, pk: int) -> HttpResponse:
    """The drawings of all sheets."""
    return dxf_archive_response(visible_document(request, pk))


@require_safe
@login_required
def schedule_csv(request: HttpRequest, pk: int) -> HttpResponse:
    """The connection schedule of a design."""
    policy.require(request.user, "design.view")
    return csv_response(get_object_or_404(Design.objects.visible_to(request.user).select_related("job"), pk=pk))


def dxf_response(document: Document, sheet: str) -> HttpResponse:
    """The drawings of a sheet, or 404 when it has none to scale."""
    try:
        data = downloads.sheet_dxf(document, sheet)
    except KeyError as why:
        raise Http404("This sheet has no drawing to scale.") from why
    return made_response(data, content_type=DXF, file_name=f"{document.file_stem}-{sheet}.dxf")


def dxf_archive_response(document: Document) -> HttpResponse:
    """The drawings of all sheets in one archive."""
    data = downloads.all_dxf(document)
    return made_response(data, content_type=ZIP, file_name=f"{document.file_stem}-dxf.zip")


def csv_response(design: Design) -> HttpResponse:
    """The connection schedule as a file."""
    name = f"{design.job.number}-r{design.revision}-schedule.csv"
    return made_response(downloads.schedule_csv(design), content_type=CSV, file_name=name)
