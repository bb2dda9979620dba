"""JSON bodies: what no database keeps and no answer can repeat is refused before anything reads it."""

from __future__ import annotations

import json
from collections.abc import Mapping
from math import isfinite
from typing import IO, Any

from rest_framework.exceptions import ParseError
from rest_framework.parsers import JSONParser

MAX_DEPTH = 50


class PlainJson(JSONParser):  # a JSONParser: the framework limits the size of such bodies alone
    """JSON without numbers that have no end, NUL characters, lone surrogates, or more than MAX_DEPTH levels."""

    media_type = "application/json"

    def parse(
        self, stream: IO[bytes], media_type: str | None = None, parser_context: Mapping[str, Any] | None = None
    ) -> Any:
        """ParseError, a 400, says what can't be used."""
        try:
            body = json.loads(stream.read().decode("utf-8-sig"))
        except RecursionError:
            raise ParseError(_TOO_DEEP) from None
        except ValueError as why:
            raise ParseError(f"The body must be JSON: {why}") from None
        _refuse_odd(body, depth=0)
        return body


_TOO_DEEP = f"The body is nested deeper than {MAX_DEPTH} levels."


def _refuse_odd(value: Any, *, depth: int) -> None:
    if depth > MAX_DEPTH:
        raise ParseError(_TOO_DEEP)
    if isinstance(value, float) and not isfinite(value):
        raise ParseError("A number in the body is not finite.")
    if isinstance(value, str) and ("\0" in value or any("\ud800" <= letter <= "\udfff" for letter in value)):
        raise ParseError("A text in the body holds a NUL character or half of a surrogate pair.")
    if isinstance(value, dict):
        for name, member in value.items():
            _refuse_odd(name, depth=depth)
            _refuse_odd(member, depth=depth + 1)
    elif isinstance(value, list):
        for item in value:
            _refuse_odd(item, depth=depth + 1)
