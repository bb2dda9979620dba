"""The admin under our own site. (Here, because jobs/apps.py may hold one app configuration only.)"""

from django.contrib.admin.apps import AdminConfig


class OfficeAdminConfig(AdminConfig):
    default_site = "jobs.admin_site.OfficeAdminSite"
