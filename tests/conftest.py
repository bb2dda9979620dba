"""What every test gets: its own file storage, a fast password hasher, no lock-outs from an earlier test."""

from __future__ import annotations

import pytest

from tests import databases  # sets the environment before Django's settings are read
from tests.demo_company import demo_company, demo_server

__all__ = ["demo_company", "demo_server"]


def pytest_report_header() -> str:
    return f"database: {databases.KIND}"


@pytest.fixture(autouse=True)
def _own_files(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path / "files"


@pytest.fixture(autouse=True, scope="session")
def _fast_passwords():
    from django.conf import settings

    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
