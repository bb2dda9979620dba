"""The local broker: kombu's files, but whole from the moment that another process can see them.

Kombu creates a message under its own name and writes it afterwards, so that a worker may take it while it is empty; and
it takes messages by way of the temporary folder, where a move to another disk is a copy.
"""

from __future__ import annotations

import os
import time
from contextlib import suppress
from pathlib import Path
from queue import Empty
from typing import Any
from uuid import uuid4

from kombu.transport import filesystem
from kombu.utils.json import dumps, loads


class Channel(filesystem.Channel):
    """Messages appear and are taken by a rename inside their folder: once, and complete."""

    def _put(self, queue: str, payload: Any, **_: Any) -> None:
        folder = Path(self.data_folder_out)
        unseen = _written(folder, dumps(payload))
        unseen.rename(folder / f"{time.time_ns():020}_{uuid4()}.{queue}.msg")

    def _get(self, queue: str) -> Any:
        folder = Path(self.data_folder_in)
        for name in sorted(os.listdir(folder)):
            if name.partition(".")[2] != f"{queue}.msg":
                continue
            mine = folder / f"taken.{uuid4()}"
            try:
                (folder / name).rename(mine)
            except FileNotFoundError:  # another worker was faster
                continue
            text = mine.read_text(encoding="utf-8")
            mine.unlink()
            return loads(text)
        raise Empty

    def _queue_bind(self, exchange: str, *args: Any) -> None:
        """Kombu changes a table under a lock but makes it in place; so it finds an empty one made."""
        table = self._exchange_file(exchange)
        if not table.exists():
            self.control_folder.mkdir(exist_ok=True)
            unseen = _written(self.control_folder, "[]")
            with suppress(OSError):  # made meanwhile with a queue in it, or no links here: as kombu does
                os.link(unseen, table)
            unseen.unlink()
        super()._queue_bind(exchange, *args)


def _written(folder: Path, text: str) -> Path:
    """A new file of a name that no channel reads."""
    unseen = folder / f"unseen.{uuid4()}"
    unseen.write_text(text, encoding="utf-8")
    return unseen


class Transport(filesystem.Transport):
    Channel = Channel
