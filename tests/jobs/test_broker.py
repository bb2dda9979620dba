"""The local broker on a real folder: each message is read once, whole, in the order of sending."""

from __future__ import annotations

import time
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from queue import Empty

import pytest
from django.conf import settings
from kombu import Connection
from kombu.transport import filesystem

from jobs.project import broker

LARGE = "x" * 300_000
EACH = 40


def connection(folder: Path, transport: object = broker.Transport) -> Connection:
    where = {"data_folder_in": str(folder), "data_folder_out": str(folder), "control_folder": str(folder / "control")}
    return Connection("filesystem://localhost", transport=transport, transport_options=where)


def send(folder: Path, sender: int) -> None:
    with connection(folder) as link:
        for number in range(EACH):
            link.default_channel._put("papers", {"of": [sender, number], "body": LARGE})


def take(folder: Path, wanted: int) -> list[list[int]]:
    """What one reader gets until nothing came for a second."""
    got: list[list[int]] = []
    with connection(folder) as link:
        last = time.monotonic()
        while len(got) < wanted and time.monotonic() - last < 1:
            try:
                message = link.default_channel._get("papers")
            except Empty:
                continue
            assert message["body"] == LARGE
            got.append(message["of"])
            last = time.monotonic()
    return got


class Looking:
    """A message that looks into the folder while it is being written."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.seen: int | None = None

    def __json__(self) -> str:
        self.seen = sum(1 for name in self.folder.iterdir() if name.name.endswith(".papers.msg"))
        return "looked"


def test_nobody_sees_a_message_before_it_is_whole(tmp_path):
    looking = Looking(tmp_path)
    with connection(tmp_path) as link:
        link.default_channel._put("papers", looking)
        assert (looking.seen, link.default_channel._size("papers")) == (0, 1)


def test_kombu_itself_still_shows_messages_half_written(tmp_path):
    """The day that this fails our own channel may go."""
    looking = Looking(tmp_path)
    with connection(tmp_path, filesystem.Transport) as link:
        link.default_channel._put("papers", looking)
    assert looking.seen == 1


def test_several_readers_get_each_message_once_while_several_write(tmp_path):
    with ProcessPoolExecutor(4, mp_context=get_context("spawn")) as pool:
        readers = [pool.submit(take, tmp_path, 2 * EACH) for _ in range(2)]
        writers = [pool.submit(send, tmp_path, sender) for sender in range(2)]
        for writer in writers:
            writer.result(timeout=60)
        got = [one for reader in readers for one in reader.result(timeout=60)]
    assert sorted(got) == [[sender, number] for sender in range(2) for number in range(EACH)]
    assert not [file for file in tmp_path.iterdir() if file.is_file()]


def test_messages_come_in_the_order_of_sending_and_to_their_own_queue(tmp_path):
    with connection(tmp_path) as link:
        channel = link.default_channel
        for number in range(12):
            channel._put("papers", number)
        channel._put("papers.other", "not theirs")
        assert [channel._get("papers") for _ in range(12)] == list(range(12))
        with pytest.raises(Empty):
            channel._get("papers")
        assert channel._purge("papers.other") == 1


def test_two_processes_that_bind_first_leave_both_queues_in_the_table(tmp_path):
    with connection(tmp_path) as link, connection(tmp_path) as other:
        link.default_channel._queue_bind("control", "", "", "one")
        other.default_channel._queue_bind("control", "", "", "two")
        assert {row.queue for row in link.default_channel.get_table("control")} == {"one", "two"}
    assert [file.name for file in (tmp_path / "control").iterdir()] == ["control.exchange"]


def test_local_mode_runs_on_it():
    if settings.CELERY_BROKER_URL.startswith("filesystem:"):
        assert f"{broker.__name__}:Transport" == settings.CELERY_BROKER_TRANSPORT
