"""Documents: list, detail, request, file; and making a packet. Rules are the services'."""

from __future__ import annotations

import json
from typing import Any

from django.http import FileResponse, Http404, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework.decorators import action
from rest_framework.renderers import BaseRenderer, JSONRenderer
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from jobs.api.serializers.designs import PacketSerializer
from jobs.api.viewsets.base import SeenViewSet
from jobs.models import Design, Packet, PacketFile, WorkOrder
from reports.api.serializers import DocumentSerializer, MakePacketInput, RequestDocumentInput
from reports.models import Document, State
from reports.services.documents import cancel_document, request_document
from reports.services.packets import make_packet
from reports.web.downloads import DXF, ZIP, csv_response, dxf_archive_response, dxf_response
from reports.web.files import pdf_response
from reports.web.packets import copy_response


class FileRenderer(BaseRenderer):
    """Lets a caller ask for a file by its type; an error is still told as JSON."""

    charset = None
    render_style = "binary"

    def render(self, data: Any, accepted_media_type: str | None = None, renderer_context: Any = None) -> bytes:
        return data if isinstance(data, bytes) else json.dumps(data).encode()


class PdfRenderer(FileRenderer):
    media_type = "application/pdf"
    format = "pdf"


class DxfRenderer(FileRenderer):
    media_type = DXF
    format = "dxf"


class ZipRenderer(FileRenderer):
    media_type = ZIP
    format = "zip"


class CsvRenderer(FileRenderer):
    media_type = "text/csv"
    format = "csv"


class DocumentViewSet(SeenViewSet):
    queryset = Document.objects.select_related("design__job", "requested_by")
    serializer_class = DocumentSerializer
    needs = {
        "list": "document.view",
        "retrieve": "document.view",
        "create": "document.request",
        "file": "document.view",
        "cancel": "document.cancel",
        "dxf": "document.view",
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

    @extend_schema(
        parameters=[OpenApiParameter("sheet", str, description="A sheet's number; without it, a zip of all sheets.")],
        responses={(200, DXF): OpenApiTypes.BINARY, (200, ZIP): OpenApiTypes.BINARY},
    )
    @action(detail=True, renderer_classes=[DxfRenderer, ZipRenderer, JSONRenderer])
    def dxf(self, request: Request, pk: str | None = None) -> HttpResponse:
        """The drawings to scale: of one sheet, or of all of them as an archive. 404 for a sheet without any."""
        document = self.get_object()
        sheet = request.query_params.get("sheet")
        return dxf_response(document, sheet) if sheet else dxf_archive_response(document)


class ScheduleCsvView(APIView):
    needs = {"get": "design.view"}
    renderer_classes = [CsvRenderer, JSONRenderer]

    @extend_schema(responses={(200, "text/csv"): OpenApiTypes.STR}, operation_id="designs_schedule_csv")
    def get(self, request: Request, pk: int) -> HttpResponse:
        """The connection schedule of a design, by RFC 4180."""
        designs = Design.objects.visible_to(request.user).select_related("job")
        return csv_response(get_object_or_404(designs, pk=pk))


class PacketCopyView(APIView):
    needs = {"get": "packet.view"}
    renderer_classes = [PdfRenderer, JSONRenderer]

    @extend_schema(responses={(200, "application/pdf"): OpenApiTypes.BINARY}, operation_id="packet_files_copy")
    def get(self, request: Request, pk: int, copy: str) -> HttpResponseBase | FileResponse:
        """The review copy, the signing copy or the stamped original of a file of a packet; 404 until it is there."""
        files = PacketFile.objects.filter(packet__in=Packet.objects.visible_to(request.user))
        file = get_object_or_404(files.select_related("packet__design__job"), pk=pk)
        return copy_response(request, file, copy, attachment=True)


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
