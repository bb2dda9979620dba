"""The demo as a person gets it: `manage.py demo --once` in a folder and database of its own, then its web server."""

from __future__ import annotations

import fcntl
import json
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from uuid import uuid4

import psycopg
import pytest

from tests import databases
from tests.servers import answers, free_port, wait_until

ROOT = Path(__file__).resolve().parents[1]


@dataclass(frozen=True, slots=True)
class DemoCompany:
    environment: dict[str, str]
    url: str
    output: str
    passwords: dict[str, str]

    @property
    def var(self) -> Path:
        return Path(self.environment["STEMWALL_VAR"])

    def manage(self, *words: str, **more: str) -> subprocess.CompletedProcess[str]:
        """`manage.py` with these words, as a process of its own."""
        return subprocess.run(
            [sys.executable, "manage.py", *words],
            cwd=ROOT,
            env=self.environment | more,
            capture_output=True,
            text=True,
            timeout=400,
            check=False,
        )


def own_environment(folder: Path, url: str) -> dict[str, str]:
    """Local mode in `folder`, on a database of its own beside the suite's."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith("STEMWALL_")}
    environment = kept | {"STEMWALL_VAR": str(folder), "STEMWALL_URL": url}
    if databases.KIND == "postgresql":
        server = os.environ["STEMWALL_DATABASE_URL"].rpartition("/")[0]
        name = f"demo_{uuid4().hex[:8]}"
        with psycopg.connect(f"{server}/postgres", autocommit=True) as connection:
            connection.execute(f'CREATE DATABASE "{name}"')
        environment["STEMWALL_DATABASE_URL"] = f"{server}/{name}"
    return environment


@pytest.fixture(scope="session")
def demo_company(tmp_path_factory: pytest.TempPathFactory) -> DemoCompany:
    """A demo made over the rest of an earlier, half-made one; made once a run, whoever of the workers comes first."""
    shared = Path(os.environ["STEMWALL_TEST_RUN"])
    made = shared / "demo.json"
    with (shared / "demo.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not made.exists():
            company = _made(shared / "demo")
            made.write_text(json.dumps(asdict(company)))
    return DemoCompany(**json.loads(made.read_text()))


def _made(folder: Path) -> DemoCompany:
    url = f"http://127.0.0.1:{free_port()}"
    company = DemoCompany(own_environment(folder, url), url, "", {})
    assert company.manage("migrate", "--verbosity", "0").returncode == 0
    leftover = (
        "from jobs.models import Company, User; User.objects.create(username='leftover');"
        "Company.objects.create(id=1, name='Half made', address='-', phone='-', email='a@b.example',"
        " contractor_licence='-', demo=True)"
    )
    assert company.manage("shell", "-c", leftover).returncode == 0
    done = company.manage("demo", "--once", "--reset")
    assert done.returncode == 0, done.stdout + done.stderr
    found = re.findall(r"^  (\w+)\s+(\S+)\s+(?:office|estimator|engineer|installer): ", done.stdout, re.MULTILINE)
    return replace(company, output=done.stdout, passwords=dict(found))


@pytest.fixture(scope="session")
def demo_server(demo_company: DemoCompany) -> Iterator[DemoCompany]:
    """The demo behind the web server that the demo itself uses, on a port of this worker's own."""
    port = free_port()
    url = f"http://127.0.0.1:{port}"
    company = replace(demo_company, url=url, environment=demo_company.environment | {"STEMWALL_URL": url})
    process = subprocess.Popen(
        [sys.executable, "-m", "gunicorn", "jobs.project.wsgi", "--bind", f"127.0.0.1:{port}", "--workers", "2"],
        cwd=ROOT,
        env=company.environment,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        wait_until(lambda: answers(port), seconds=30, what="the demo's web server")
        yield company
    finally:
        process.terminate()
        process.wait(15)
