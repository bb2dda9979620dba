"""Throw-away servers for the tests, each in a temporary folder on a free loopback port."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest


class ServerMissing(RuntimeError):
    """The program is not on this machine."""


@dataclass(frozen=True, slots=True)
class Server:
    url: str
    process: subprocess.Popen[bytes]

    def stop(self) -> None:
        self.process.terminate()
        try:
            self.process.wait(10)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait(10)


def need(program: str) -> str:
    """The path of a program that a test needs; without it the test skips, or fails under STEMWALL_ALL=1."""
    if path := find(program):
        return path
    reason = f"{program} is not installed; ./.ci/setup --tests brings it"
    if os.environ.get("STEMWALL_ALL") == "1":
        pytest.fail(reason)
    pytest.skip(reason)


def find(program: str) -> str | None:
    if path := shutil.which(program):
        return path
    found = sorted(Path("/usr/lib/postgresql").glob(f"*/bin/{program}"))
    return str(found[-1]) if found else None


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def wait_until(ready: Callable[[], bool], *, seconds: float, what: str) -> None:
    """Poll until ready, or fail saying what never came."""
    end = time.monotonic() + seconds
    while not ready():
        if time.monotonic() > end:
            raise TimeoutError(f"{what} did not come up in {seconds:g} s")
        time.sleep(0.05)


def answers(port: int) -> bool:
    with socket.socket() as probe:
        probe.settimeout(0.5)
        return probe.connect_ex(("127.0.0.1", port)) == 0


def start_postgres(folder: Path) -> Server:
    """PostgreSQL with everything unsafe for speed. It refuses root, so root runs it as the user postgres."""
    initdb, postgres = find("initdb"), find("postgres")
    if not initdb or not postgres:
        raise ServerMissing("PostgreSQL is not installed; ./.ci/setup --tests brings it")
    folder.mkdir(parents=True)
    as_user: list[str] = []
    if os.getuid() == 0:
        shutil.chown(folder, "postgres")
        as_user = ["setpriv", "--reuid=postgres", "--regid=postgres", "--clear-groups"]
    data, port = folder / "data", free_port()
    subprocess.run(
        [*as_user, initdb, "-D", str(data), "-U", "stemwall", "-A", "trust", "-E", "UTF8", "--no-sync"],
        check=True,
        capture_output=True,
        cwd=folder,
    )
    options = {
        "listen_addresses": "127.0.0.1",
        "port": port,
        "unix_socket_directories": folder,
        "fsync": "off",
        "synchronous_commit": "off",
        "full_page_writes": "off",
    }
    flags = [part for name, value in options.items() for part in ("-c", f"{name}={value}")]
    process = subprocess.Popen(
        [*as_user, postgres, "-D", str(data), *flags],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        cwd=folder,
    )
    wait_until(lambda: answers(port), seconds=30, what="PostgreSQL")
    return Server(f"postgres://stemwall@127.0.0.1:{port}/postgres", process)


def start_redis(folder: Path) -> Server:
    """Redis with its append-only file, as a company runs it."""
    program = need("redis-server")
    folder.mkdir(parents=True, exist_ok=True)
    port = free_port()
    process = subprocess.Popen(
        [program, "--port", str(port), "--bind", "127.0.0.1", "--dir", str(folder), "--appendonly", "yes"],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    wait_until(lambda: answers(port), seconds=20, what="Redis")
    return Server(f"redis://127.0.0.1:{port}/0", process)
