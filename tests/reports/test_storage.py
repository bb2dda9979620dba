"""Files named by their content: whole or absent, and the first one stays."""

from __future__ import annotations

from pathlib import Path

import pytest
from django.core.files.storage import default_storage

from reports import storage

NAME = "sections/ab.pdf"


@pytest.fixture(params=["local files", "object store"])
def where(request, settings):
    if request.param == "object store":  # has no paths, like a bucket
        memory = {"BACKEND": "django.core.files.storage.InMemoryStorage"}
        settings.STORAGES = {**settings.STORAGES, "default": memory}


@pytest.mark.usefixtures("where")
def test_what_is_put_can_be_read():
    assert not storage.exists(NAME)
    storage.put(NAME, b"one")
    assert storage.exists(NAME)
    assert storage.read(NAME) == b"one"


@pytest.mark.usefixtures("where")
def test_the_first_one_stays():
    storage.put(NAME, b"one")
    storage.put(NAME, b"two")
    assert storage.read(NAME) == b"one"


@pytest.mark.usefixtures("where")
def test_two_who_store_at_once_leave_one_file(monkeypatch):
    """Both saw that the name was free: one name, one file, no stray copy."""
    storage.put(NAME, b"same")
    real, answers = default_storage.exists, iter([False])
    monkeypatch.setattr(default_storage._wrapped, "exists", lambda name: next(answers, real(name)))
    storage.put(NAME, b"same")
    assert default_storage.listdir("sections")[1] == ["ab.pdf"]
    assert storage.read(NAME) == b"same"


def test_a_write_that_breaks_off_leaves_nothing(monkeypatch):
    def _full(self, data):
        Path.open(self, "wb").close()
        raise OSError("disk full")

    monkeypatch.setattr(Path, "write_bytes", _full)
    with pytest.raises(OSError, match="disk full"):
        storage.put(NAME, b"one")
    assert not storage.exists(NAME)
    assert default_storage.listdir("sections") == ([], [])
