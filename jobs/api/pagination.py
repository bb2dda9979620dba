"""Lists come in pages."""

from __future__ import annotations

from rest_framework.pagination import PageNumberPagination


class Pages(PageNumberPagination):
    """`?page=2&page_size=50`; a page holds at most 200 rows."""

    page_size = 50
    page_size_query_param = "page_size"
    max_page_size = 200
