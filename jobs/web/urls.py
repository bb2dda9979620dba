"""Addresses of the pages. One list a role, in the order of its work."""

from __future__ import annotations

from django.urls import path

from jobs.web import accounts, engineer

accounts_pages = [
    path("", accounts.home, name="home"),
    path("login/", accounts.log_in, name="login"),
    path("logout/", accounts.log_out, name="logout"),
]
engineer_pages = [
    path("review/", engineer.review_list, name="review-list"),
    path("review/<int:pk>/", engineer.review, name="review"),
    path("review/<int:pk>/criteria/", engineer.criteria_confirm, name="criteria-confirm"),
    path("review/<int:pk>/criteria/start/", engineer.criteria_start, name="criteria-start"),
    path("review/<int:pk>/mode/", engineer.mode_name, name="mode-name"),
    path("review/<int:pk>/return/", engineer.review_return, name="review-return"),
    path("review/<int:pk>/stamped/", engineer.review_stamped, name="review-stamped"),
    path("review/<int:pk>/withdraw/", engineer.packet_withdraw, name="packet-withdraw"),
    path("tables/accept/", engineer.tables_accept, name="tables-accept"),
    path("anchors/<int:pk>/accept/", engineer.anchor_accept, name="anchor-accept"),
    path("wall-lines/<int:pk>/foundation/accept/", engineer.foundation_accept, name="foundation-accept"),
]
installer_pages: list = []

urlpatterns = [*accounts_pages, *engineer_pages, *installer_pages]
