"""Engineering from the command line: JSON on standard input, JSON on standard output."""

from __future__ import annotations

import json
import sys
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from engineering import capacity, exchange
from engineering.errors import OutOfRange


class Command(BaseCommand):
    help = "Compute one capacity question (an object) or many (a list) from standard input."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("kind", choices=sorted(capacity.KINDS))
        parser.add_argument("--schema", action="store_true", help="print the JSON Schema of the input and stop")

    def handle(self, *, kind: str, schema: bool, **options: Any) -> None:
        if schema:
            self._print(exchange.schema(capacity.KINDS[kind][0]))
            return
        try:
            payload = json.load(sys.stdin)
        except ValueError as why:
            error = OutOfRange("standard input", str(why), "must be JSON: an object or a list of objects")
            self._print(capacity.error_of(error))
            sys.exit(2)
        answer, ok = capacity.run(kind, payload)
        self._print(answer)
        if not ok:
            sys.exit(2)

    def _print(self, value: Any) -> None:
        self.stdout.write(json.dumps(value, ensure_ascii=False, allow_nan=False, indent=2))
