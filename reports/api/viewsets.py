"""Documents: list, detail, request, file; and making a packet. Rules are the services'."""

from __future__ import annotations

import json
from typing import Any

from django.http import FileResponse, Http404, HttpResponseBase
from django.shortcuts import get_object_or_404
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema
from rest_framework.decorators import action
from rest_framework.renderers import BaseRenderer, JSONRenderer
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from jobs.api.serializers.designs import PacketSerializer
from jobs.api.viewsets.base import SeenViewSet
from jobs.models import Design, WorkOrder
from reports.api.serializers import DocumentSerializer, MakePacketInput, RequestDocumentInput
from reports.models import Document, State
from reports.services.documents import cancel_document, request_document
from reports.services.packets import make_packet
from reports.web.files import pdf_response


class PdfRenderer(BaseRenderer):
    """Lets a caller ask for application/pdf; an error is still told as JSON."""

    media_type = "application/pdf"
    format = "pdf"
    charset = None
    render_style = "binary"

    def render(self, data: Any, accepted_media_type: str | None = None, renderer_context: Any = None) -> bytes:
        return data if isinstance(data, bytes) else json.dumps(data).encode()


class DocumentViewSet(SeenViewSet):
    queryset = Document.objects.select_related("design__job", "requested_by")
    serializer_class = DocumentSerializer
    needs = {
        "list": "document.view",
        "retrieve": "document.view",
        "create": "document.request",
        "file": "document.view",
        "cancel": "document.cancel",
    }
    filterset_fields = ["kind", "design", "design__job", "subject_id", "state"]

    @extend_schema(request=RequestDocumentInput, responses={202: DocumentSerializer})
    def create(self, request: Request) -> Response:
        """Ask for a document. The answer says how far it is; read it again until its state is "ready"."""
        wish = RequestDocumentInput(data=request.data)
        wish.is_valid(raise_exception=True)
        kind, subject = wish.validated_data["kind"], wish.validated_data["subject"]
        design = get_object_or_404(Design.objects.visible_to(request.user), pk=wish.validated_data["design"])
        if subject is not None:
            orders = WorkOrder.objects.visible_to(request.user).filter(design=design)
            subject = get_object_or_404(orders, pk=subject).pk
        document = request_document(kind=kind, design_id=design.pk, subject_id=subject, by=request.user)
        return Response(DocumentSerializer(document).data, status=202)

    @extend_schema(request=None, responses={200: DocumentSerializer})
    @action(detail=True, methods=["post"])
    def cancel(self, request: Request, pk: str | None = None) -> Response:
        """Stop drawing the document; 409 when it has ended already."""
        document = cancel_document(document_id=self.get_object().pk, by=request.user)
        return Response(DocumentSerializer(document).data)

    @extend_schema(responses={(200, "application/pdf"): OpenApiTypes.BINARY})
    @action(detail=True, renderer_classes=[PdfRenderer, JSONRenderer])
    def file(self, request: Request, pk: str | None = None) -> HttpResponseBase | FileResponse:
        """The PDF; 404 until the document is ready."""
        document = self.get_object()
        if document.state != State.READY:
            raise Http404
        return pdf_response(
            request,
            name=document.file,
            sha256=document.file_sha256,
            file_name=document.file_name,
            attachment=True,
        )


class MakePacketView(APIView):
    needs = {"post": "packet.make"}

    @extend_schema(request=MakePacketInput, responses={201: PacketSerializer}, operation_id="packets_make")
    def post(self, request: Request) -> Response:
        """A permit packet of a design: plan set and calculations, each as review copy and signing copy."""
        wish = MakePacketInput(data=request.data)
        wish.is_valid(raise_exception=True)
        design = get_object_or_404(Design.objects.visible_to(request.user), pk=wish.validated_data["design"])
        packet = make_packet(design_id=design.pk, by=request.user)
        return Response(PacketSerializer(packet).data, status=201)
