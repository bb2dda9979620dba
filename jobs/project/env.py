"""Typed environment values. No variable set: local mode. STEMWALL_HOSTS set: company mode, where gaps stop us."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path
from secrets import token_urlsafe

import dj_database_url
from django.core.exceptions import ImproperlyConfigured

ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True, slots=True)
class Environment:
    company: bool
    hosts: list[str]
    url: str
    secret_key: str
    database: dict[str, object]
    redis_url: str
    s3_bucket: str
    var: Path
    root: Path = ROOT


def read(values: dict[str, str] | None = None) -> Environment:
    """The environment as this process sees it; ImproperlyConfigured names what company mode lacks."""
    values = dict(os.environ) if values is None else values
    var = Path(values.get("STEMWALL_VAR", ROOT / "var"))
    hosts = [host.strip() for host in values.get("STEMWALL_HOSTS", "").split(",") if host.strip()]
    company = bool(hosts)
    if company:
        needed = ("STEMWALL_SECRET_KEY", "STEMWALL_DATABASE_URL", "STEMWALL_REDIS_URL", "STEMWALL_URL")
        if missing := [name for name in needed if not values.get(name)]:
            raise ImproperlyConfigured(f"STEMWALL_HOSTS is set, so these must be set too: {', '.join(missing)}.")
    return Environment(
        company=company,
        hosts=hosts or ["127.0.0.1", "localhost"],
        url=values.get("STEMWALL_URL", "http://127.0.0.1:8000").rstrip("/"),
        secret_key=values["STEMWALL_SECRET_KEY"] if company else _local_key(var),
        database=_database(values.get("STEMWALL_DATABASE_URL", ""), var),
        redis_url=values.get("STEMWALL_REDIS_URL", ""),
        s3_bucket=values.get("STEMWALL_S3_BUCKET", ""),
        var=var,
    )


def _local_key(var: Path) -> str:
    """A key made once and kept beside the local database."""
    file = var / "secret-key"
    if not file.exists():
        var.mkdir(parents=True, exist_ok=True)
        file.write_text(token_urlsafe(50))
        file.chmod(0o600)
    return file.read_text().strip()


def _database(url: str, var: Path) -> dict[str, object]:
    if url:
        database = dict(dj_database_url.parse(url, conn_max_age=60, conn_health_checks=True))
    else:
        var.mkdir(parents=True, exist_ok=True)
        database = {"ENGINE": "django.db.backends.sqlite3", "NAME": var / "stemwall.sqlite3"}
    if str(database["ENGINE"]).endswith("sqlite3"):
        # IMMEDIATE: a write transaction waits for its turn instead of failing when it upgrades.
        database["OPTIONS"] = {
            "transaction_mode": "IMMEDIATE",
            "timeout": 20,
            "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=NORMAL;",
        }
    return database
