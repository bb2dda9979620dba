"""Pages of permit packets: the copies of each file, the state of the stamp, the engineer's upload."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.clickjacking import xframe_options_sameorigin
from django.views.decorators.http import require_POST, require_safe

from jobs import policy
from jobs.errors import Refused
from jobs.models import Design, Packet, PacketFile
from jobs.services.stamps import currency
from reports.models import State
from reports.services.packets import documents_of, make_packet
from reports.services.stamping import accept_signed_upload
from reports.title_strip import verification_url
from reports.web.files import pdf_response, without_page_policy

# Each copy of a file: its field, and what one must be allowed to do to have it.
COPIES = {
    "review": ("review_copy", "design.view"),
    "signing": ("signing_copy", "packet.sign"),
    "stamped": ("stamped", "packet.view"),
}


@require_POST
@login_required
def packet_make(request: HttpRequest) -> HttpResponse:
    """Make a packet of a design and show how far its files are."""
    text = request.POST.get("design", "")
    if not text.isdecimal() or len(text) > 18:
        raise Http404("No such design.")
    design = get_object_or_404(Design.objects.visible_to(request.user), pk=int(text))
    try:
        packet = make_packet(design_id=design.pk, by=request.user)
    except Refused as why:
        for reason in why.reasons:
            messages.error(request, reason)
        return redirect("document-list", design.job_id)
    return redirect("packet-detail", packet.pk)


@require_safe
@login_required
def packet_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """Every file of a packet with the copies that this user may open, and the state of the stamp."""
    return _page(request, _visible_packet(request, pk))


@require_safe
@login_required
@without_page_policy
@xframe_options_sameorigin
def packet_file_review(request: HttpRequest, pk: int) -> HttpResponse:
    """The review copy, to be read in the page."""
    return copy_response(request, _visible_file(request, pk), "review", attachment=False)


@require_safe
@login_required
@without_page_policy
def packet_file_signing_copy(request: HttpRequest, pk: int) -> HttpResponse:
    """The copy for the engineer to sign, with an empty field where that is done in the file."""
    return copy_response(request, _visible_file(request, pk), "signing", attachment=True)


@require_safe
@login_required
@without_page_policy
def packet_file_stamped(request: HttpRequest, pk: int) -> HttpResponse:
    """The stamped original, exactly as the engineer signed it."""
    return copy_response(request, _visible_file(request, pk), "stamped", attachment=False)


@require_POST
@login_required
def packet_file_upload(request: HttpRequest, pk: int) -> HttpResponse:
    """Take the signed file back from the engineer; what is wrong with it is said in full and nothing is kept."""
    file = _visible_file(request, pk)
    policy.require(request.user, "packet.sign", on=file)
    upload = request.FILES.get("file")
    limit_mb = settings.STEMWALL_UPLOAD_LIMIT_MB
    try:
        if upload is None:
            raise Refused("Choose the signed PDF first.")
        if upload.size > limit_mb * 1024 * 1024:
            raise Refused(f"The file is larger than {limit_mb} MB, the most this server takes.")
        accept_signed_upload(packet_file_id=file.pk, data=upload.read(), by=request.user)
    except Refused as why:
        return _page(request, file.packet, refused_file=file.pk, reasons=why.reasons, status=409)
    messages.success(request, f"Stamp recorded for the {file.get_kind_display()}.")
    return redirect("packet-detail", file.packet_id)


def _page(
    request: HttpRequest, packet: Packet, *, refused_file: int = 0, reasons: tuple[str, ...] = (), status: int = 200
) -> HttpResponse:
    rows = [_row(request, file, reasons if file.pk == refused_file else ()) for file in packet.files.all()]
    return render(
        request,
        "reports/web/packet_detail.html",
        {
            "packet": packet,
            "job": packet.design.job,
            "currency": currency(packet),
            "verify_url": verification_url(packet.token),
            "rows": rows,
            "reasons": reasons,
            # The page asks again by itself, but never under the hands of someone who is choosing a file.
            "waiting": any(row["waiting"] for row in rows) and not any(row["may_sign"] for row in rows),
            "sees_design": bool(policy.check(request.user, "design.view", on=packet.design)),
        },
        status=status,
    )


def _row(request: HttpRequest, file: PacketFile, reasons: tuple[str, ...]) -> dict[str, Any]:
    ended = [one for one in documents_of(file) if one.state in (State.FAILED, State.CANCELLED)]
    failed = bool(ended or file.problem)
    return {
        "file": file,
        "ended": ended,
        "stamp": getattr(file, "stamp", None),
        "waiting": not file.review_copy and not failed,
        "failed": failed,
        "may_review": bool(file.review_copy and policy.check(request.user, "design.view", on=file.packet.design)),
        "may_sign": bool(file.signing_copy and not file.stamped and policy.check(request.user, "packet.sign", on=file)),
        "may_open_stamped": bool(file.stamped and policy.check(request.user, "packet.view", on=file)),
        "reasons": reasons,
    }


def copy_response(request: HttpRequest, file: PacketFile, copy: str, *, attachment: bool) -> HttpResponse:
    """One of a packet file's copies, for those who may have it; 404 before it is made."""
    if copy not in COPIES:
        raise Http404("There is no such copy.")
    which, action = COPIES[copy]
    design = file.packet.design
    policy.require(request.user, action, on=design if action == "design.view" else file)
    name, sha256 = getattr(file, which), getattr(file, f"{which}_sha256")
    if not name:
        raise Http404("This copy has not been made.")
    words = [design.job.number, f"r{design.revision}", file.kind, which]
    file_name = "-".join(word.replace("_", "-") for word in words) + ".pdf"
    return pdf_response(request, name=name, sha256=sha256, file_name=file_name, attachment=attachment)


def _visible_packet(request: HttpRequest, pk: int) -> Packet:
    policy.require(request.user, "packet.view")
    packets = Packet.objects.visible_to(request.user).select_related("design__job__house")
    return get_object_or_404(packets, pk=pk)


def _visible_file(request: HttpRequest, pk: int) -> PacketFile:
    policy.require(request.user, "packet.view")
    files = PacketFile.objects.filter(packet__in=Packet.objects.visible_to(request.user))
    return get_object_or_404(files.select_related("packet__design__job__house"), pk=pk)
