"""The public page behind the code on every sheet: is this packet genuine, whose stamp is it, does it still stand?

It needs no account and says nothing about clients, prices or other jobs. A file brought here is compared, not kept.
"""

from __future__ import annotations

from typing import Any, Final

from django.conf import settings
from django.core.cache import cache
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_POST, require_safe

from jobs.models import Packet
from jobs.services import stamps
from reports.services import stamping

COMPARISONS: Final = 30
PER_SECONDS: Final = 600
FORM_BYTES: Final = 10_000  # what a form adds around its file


@require_safe
@never_cache
def verify(request: HttpRequest, token: str) -> HttpResponse:
    """The state of one packet, for whoever holds one of its sheets."""
    packet = _packet(token)
    if packet is None:
        return _unknown(request)
    return _page(request, packet)


# No session and nothing written, so there is no request to forge; and the check of the token would read the whole
# upload before its size has been looked at.
@csrf_exempt
@require_POST
@never_cache
def verify_compare(request: HttpRequest, token: str) -> HttpResponse:
    """Say which file of the packet an uploaded one is, or that it is none of them."""
    packet = _packet(token)
    if packet is None:
        return _unknown(request)
    if not _may_compare(request, token):
        problem = "Too many files were compared with this packet just now. Wait ten minutes and try again."
        answer = _page(request, packet, problem=problem, status=429)
        answer.headers["Retry-After"] = str(PER_SECONDS)
        return answer
    length = request.META.get("CONTENT_LENGTH") or "0"
    if not length.isdecimal() or int(length) > stamping.upload_limit_bytes() + FORM_BYTES:
        problem = f"The file is larger than {settings.STEMWALL_UPLOAD_LIMIT_MB} MB, so it is none of this packet's."
        return _page(request, packet, problem=problem, status=413)
    upload = request.FILES.get("file")
    if upload is None:
        return _page(request, packet, problem="Choose a PDF file first.", status=400)
    match = stamping.match_file(packet, upload.file)
    return _page(request, packet, compared=upload.name, match=match)


def _packet(token: str) -> Packet | None:
    packets = Packet.objects.select_related("design__job__house__jurisdiction", "withdrawn_by")
    return packets.filter(token=token).first()


def _may_compare(request: HttpRequest, token: str) -> bool:
    key = f"verify-compare:{token}:{request.META.get('REMOTE_ADDR', '')}"
    cache.add(key, 0, PER_SECONDS)
    try:
        return cache.incr(key) <= COMPARISONS
    except ValueError:  # it ran out between the two calls
        return True


def _page(request: HttpRequest, packet: Packet, *, status: int = 200, **more: Any) -> HttpResponse:
    rows = [_row(packet_file) for packet_file in packet.files.select_related("stamp__signer")]
    context = {
        "packet": packet,
        "house": packet.design.job.house,
        "currency": stamps.currency(packet),
        "damaged": [row for row in rows if row["stamp"] and not row["intact"]],
        "rows": rows,
        "limit_mb": settings.STEMWALL_UPLOAD_LIMIT_MB,
        **more,
    }
    answer = render(request, "reports/web/verify.html", context, status=status)
    return _private(answer)


def _row(packet_file: Any) -> dict[str, Any]:
    stamp = getattr(packet_file, "stamp", None)
    return {"file": packet_file, "stamp": stamp, "intact": stamp is not None and stamping.is_intact(stamp)}


def _unknown(request: HttpRequest) -> HttpResponse:
    return _private(render(request, "reports/web/verify_unknown.html", status=404))


def _private(answer: HttpResponse) -> HttpResponse:
    """The address is the secret: keep it out of search engines and of other sites' logs."""
    answer.headers["X-Robots-Tag"] = "noindex, nofollow"
    answer.headers["Referrer-Policy"] = "no-referrer"
    return answer
