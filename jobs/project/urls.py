"""Root addresses: each app brings its own."""

from django.contrib import admin
from django.urls import include, path

urlpatterns = [
    path("admin/", admin.site.urls),
    path("api/", include("jobs.api.urls")),
    path("api/", include("reports.api.urls")),
    path("", include("reports.web.urls")),
    path("", include("jobs.web.urls")),
]
