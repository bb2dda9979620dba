"""Root addresses: each app brings its own."""

from django.contrib import admin
from django.urls import include, path, re_path

from jobs.api.errors import unknown_address

urlpatterns = [
    path("admin/", admin.site.urls),
    path("api/", include("jobs.api.urls")),
    path("api/", include("reports.api.urls")),
    re_path(r"^api/", unknown_address, name="api-unknown"),
    path("", include("reports.web.urls")),
    path("", include("jobs.web.urls")),
]

handler500 = "jobs.api.errors.server_error"
