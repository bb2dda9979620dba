"""Pages of documents: ask for one, watch it being drawn, read it."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.clickjacking import xframe_options_sameorigin
from django.views.decorators.http import require_POST, require_safe

from jobs import policy
from jobs.errors import Refused
from jobs.models import Design, Job, Packet, WorkOrder
from jobs.services.stamps import currency
from reports.documents import registry
from reports.models import UNDER_WAY, Document, Kind, State
from reports.services.documents import cancel_document, request_document
from reports.web.files import pdf_response, without_page_policy


@require_safe
@login_required
def document_list(request: HttpRequest, job_id: int) -> HttpResponse:
    """All papers of a job, by design, with what this user may ask for."""
    policy.require(request.user, "document.view")
    job = get_object_or_404(Job.objects.visible_to(request.user).select_related("house"), pk=job_id)
    documents = Document.objects.visible_to(request.user).filter(design__job=job).select_related("design")
    packets = Packet.objects.visible_to(request.user).filter(design__job=job).select_related("design")
    may_request = bool(policy.check(request.user, "document.request", on=job))
    orders = WorkOrder.objects.visible_to(request.user).filter(job=job).select_related("crew")
    return render(
        request,
        "reports/web/document_list.html",
        {
            "job": job,
            "designs": Design.objects.visible_to(request.user).filter(job=job).order_by("-revision"),
            "documents": documents,
            "packets": [{"packet": packet, "currency": currency(packet)} for packet in packets],
            "kinds": [kind for kind in Kind if not registry.KINDS[kind].of_work_order],
            "orders": orders,
            "may_request": may_request,
            "may_make_packet": bool(policy.check(request.user, "packet.make", on=job)),
        },
    )


@require_POST
@login_required
def document_request(request: HttpRequest) -> HttpResponse:
    """Ask for a document (`kind`, `design`, and `subject` for a work order), then show how far it is."""
    design = get_object_or_404(Design.objects.visible_to(request.user), pk=_number(request, "design"))
    kind = request.POST.get("kind", "")
    if kind not in Kind.values:
        raise Http404(f"No document of the kind “{kind}”.")
    subject = None
    if registry.KINDS[Kind(kind)].of_work_order:
        orders = WorkOrder.objects.visible_to(request.user).filter(design=design)
        subject = get_object_or_404(orders, pk=_number(request, "subject")).pk
    document = request_document(kind=kind, design_id=design.pk, subject_id=subject, by=request.user)
    return redirect("document-detail", document.pk)


@require_safe
@login_required
def document_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """The document in the page once it is ready; before that, how far it is."""
    document = visible_document(request, pk)
    return render(
        request,
        "reports/web/document_detail.html",
        {
            "document": document,
            "under_way": document.state in UNDER_WAY,
            "may_request": bool(policy.check(request.user, "document.request", on=document.design)),
            "may_cancel": bool(policy.check(request.user, "document.cancel", on=document.design)),
        },
    )


@require_POST
@login_required
def document_cancel(request: HttpRequest, pk: int) -> HttpResponse:
    """Stop drawing a document."""
    document = visible_document(request, pk)
    try:
        cancel_document(document_id=document.pk, by=request.user)
    except Refused as why:
        for reason in why.reasons:
            messages.error(request, reason)
    return redirect("document-detail", document.pk)


@require_safe
@login_required
def document_status(request: HttpRequest, pk: int) -> HttpResponse:
    """State and progress as JSON, for the page that waits."""
    document = visible_document(request, pk)
    answer = JsonResponse(
        {
            "state": document.state,
            "sections_done": document.sections_done,
            "sections_total": document.sections_total,
            "finished": document.state not in UNDER_WAY,
        }
    )
    answer.headers["Cache-Control"] = "no-store"
    return answer


@require_safe
@login_required
@without_page_policy
@xframe_options_sameorigin
def document_inline(request: HttpRequest, pk: int) -> HttpResponse:
    """The PDF to be read in the page."""
    return _file(request, pk, attachment=False)


@require_safe
@login_required
@without_page_policy
def document_download(request: HttpRequest, pk: int) -> HttpResponse:
    """The PDF to be kept."""
    return _file(request, pk, attachment=True)


def _file(request: HttpRequest, pk: int, *, attachment: bool) -> HttpResponse:
    document = visible_document(request, pk)
    if document.state != State.READY:
        raise Http404("This document is not ready.")
    return pdf_response(
        request,
        name=document.file,
        sha256=document.file_sha256,
        file_name=document.file_name,
        attachment=attachment,
    )


def visible_document(request: HttpRequest, pk: int) -> Document:
    """The document, or 404 when it is not this user's to see."""
    policy.require(request.user, "document.view")
    documents = Document.objects.visible_to(request.user).select_related("design__job__house")
    return get_object_or_404(documents, pk=pk)


def _number(request: HttpRequest, name: str) -> int:
    text = request.POST.get(name, "")
    if not text.isdecimal() or len(text) > 18:
        raise Http404(f"“{name}” is not the number of a row.")
    return int(text)
