"""Engineering from the command line: JSON on standard input, JSON on standard output."""

from __future__ import annotations

import json
import sys
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from engineering import capacity
from engineering.errors import OutOfRange


class Command(BaseCommand):
    help = "Compute one capacity question (an object) or many (a list) from standard input."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("kind", choices=sorted(capacity.KINDS))
        parser.add_argument("--schema", action="store_true", help="print the JSON Schema of the input and stop")

    def handle(self, *, kind: str, schema: bool, **options: Any) -> None:
        if schema:
            self._print(capacity.schema(kind))
            return
        try:
            answer, ok = capacity.run(kind, sys.stdin.read())
        except OutOfRange as problem:
            answer, ok = capacity.error_of(problem), False
        self._print(answer)
        if not ok:
            for line in _errors(answer):
                self.stderr.write(line)
            sys.exit(2)

    def _print(self, value: Any) -> None:
        self.stdout.write(json.dumps(value, ensure_ascii=False, allow_nan=False, indent=2))


def _errors(answer: Any) -> list[str]:
    """Each error in a line: which item of a list, field, value, what is allowed."""
    items = answer if isinstance(answer, list) else [answer]
    return [
        f"{f'item {number}: ' if items is answer else ''}{error['field']} = {error['value']!r}: {error['allowed']}"
        for number, item in enumerate(items)
        if (error := item.get("error"))
    ]
