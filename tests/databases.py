"""Which database the suite runs on. conftest.py imports this before anything reads Django's settings.

STEMWALL_TEST_DATABASE=postgresql starts a throw-away PostgreSQL in a temporary folder on a free port; otherwise
SQLite. Everything that the run writes (keys, files, broker) goes to a temporary folder too.
"""

from __future__ import annotations

import atexit
import os
import shutil
import tempfile
from pathlib import Path

import django

from tests.servers import ServerMissing, start_postgres

KIND = os.environ.get("STEMWALL_TEST_DATABASE", "sqlite")


def _prepare() -> None:
    if "STEMWALL_TEST_RUN" in os.environ:  # an xdist worker: its parent has prepared everything
        return
    folder = Path(tempfile.mkdtemp(prefix="stemwall-tests-"))
    folder.chmod(0o755)
    owner = os.getpid()
    os.environ["STEMWALL_TEST_RUN"] = str(folder)
    os.environ["STEMWALL_VAR"] = str(folder / "var")
    for name in ("STEMWALL_HOSTS", "STEMWALL_DATABASE_URL", "STEMWALL_REDIS_URL", "STEMWALL_S3_BUCKET"):
        os.environ.pop(name, None)
    if KIND == "postgresql":
        try:
            server = start_postgres(folder / "postgres")
        except ServerMissing as why:
            raise SystemExit(f"STEMWALL_TEST_DATABASE=postgresql: {why}") from why
        os.environ["STEMWALL_DATABASE_URL"] = server.url
        atexit.register(lambda: os.getpid() == owner and server.stop())
    elif KIND != "sqlite":
        raise SystemExit(f"STEMWALL_TEST_DATABASE={KIND}: sqlite or postgresql")
    atexit.register(lambda: os.getpid() == owner and shutil.rmtree(folder, ignore_errors=True))


_prepare()
os.environ["DJANGO_SETTINGS_MODULE"] = "jobs.project.settings"
django.setup()
