"""Addresses of the pages. One list a role, in the order of its work."""

from __future__ import annotations

from django.urls import path

from jobs.web import accounts

accounts_pages = [
    path("", accounts.home, name="home"),
    path("login/", accounts.log_in, name="login"),
    path("logout/", accounts.log_out, name="logout"),
]
engineer_pages: list = []
installer_pages: list = []

urlpatterns = [*accounts_pages, *engineer_pages, *installer_pages]
