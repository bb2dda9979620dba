"""Files named by their content in default_storage: present means complete, and the first one stored wins."""

from __future__ import annotations

import os
from pathlib import Path
from uuid import uuid4

from django.core.files.base import ContentFile
from django.core.files.storage import FileSystemStorage, default_storage


def put(name: str, data: bytes) -> None:
    """Store bytes under a name, whole or not at all. A name that is taken stays as it is."""
    if default_storage.exists(name):
        return
    if not isinstance(default_storage, FileSystemStorage):  # an object store: one upload appears whole
        saved = default_storage.save(name, ContentFile(data))
        if saved != name:  # someone stored it meanwhile, and this copy got another name
            default_storage.delete(saved)
        return
    path = Path(default_storage.path(name))
    # A local file appears under its name only when it is complete, even if this process dies half-way.
    path.parent.mkdir(parents=True, exist_ok=True)
    partial = path.with_name(f"{path.name}.{uuid4().hex}.partial")
    try:
        partial.write_bytes(data)
        os.replace(partial, path)
    finally:
        partial.unlink(missing_ok=True)


def read(name: str) -> bytes:
    """The bytes under a name; FileNotFoundError when there are none."""
    with default_storage.open(name, "rb") as file:
        return bytes(file.read())


def exists(name: str) -> bool:
    """Whether a complete file has this name."""
    return default_storage.exists(name)
