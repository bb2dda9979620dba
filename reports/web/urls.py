"""Addresses of the pages about papers."""

from __future__ import annotations

from django.urls import path

from reports.web import documents, downloads, drawings, packets, verification

document_pages = [
    path("jobs/<int:job_id>/documents/", documents.document_list, name="document-list"),
    path("documents/request/", documents.document_request, name="document-request"),
    path("documents/<int:pk>/", documents.document_detail, name="document-detail"),
    path("documents/<int:pk>/status/", documents.document_status, name="document-status"),
    path("documents/<int:pk>/cancel/", documents.document_cancel, name="document-cancel"),
    path("documents/<int:pk>/inline/", documents.document_inline, name="document-inline"),
    path("documents/<int:pk>/download/", documents.document_download, name="document-download"),
]
download_pages = [
    path("documents/<int:pk>/drawings/", downloads.document_drawings, name="document-drawings"),
    path("documents/<int:pk>/drawings/all.zip", downloads.document_dxf_all, name="document-dxf-all"),
    path("documents/<int:pk>/drawings/<str:sheet>.dxf", downloads.document_dxf, name="document-dxf"),
    path("designs/<int:pk>/schedule.csv", downloads.schedule_csv, name="schedule-csv"),
]
packet_pages = [
    path("packets/make/", packets.packet_make, name="packet-make"),
    path("packets/<int:pk>/", packets.packet_detail, name="packet-detail"),
    path("packet-files/<int:pk>/review/", packets.packet_file_review, name="packet-file-review"),
    path("packet-files/<int:pk>/signing-copy/", packets.packet_file_signing_copy, name="packet-file-signing-copy"),
    path("packet-files/<int:pk>/stamped/", packets.packet_file_stamped, name="packet-file-stamped"),
    path("packet-files/<int:pk>/upload/", packets.packet_file_upload, name="packet-file-upload"),
]
drawing_pages = [
    path("jobs/<int:pk>/load-path/<path:label>.svg", drawings.load_path_drawing, name="load-path-drawing"),
    path("designs/<int:pk>/load-path/<path:label>.svg", drawings.design_load_path, name="design-load-path"),
]
# Public: whoever holds a sheet holds the token.
verification_pages = [
    path("verify/<str:token>/", verification.verify, name="verify"),
    path("verify/<str:token>/compare/", verification.verify_compare, name="verify-compare"),
]

urlpatterns = [*document_pages, *download_pages, *packet_pages, *drawing_pages, *verification_pages]
