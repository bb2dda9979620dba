"""Lengths as tradesmen write them, to inches and back. Exact inside, floats outside."""

from __future__ import annotations

import re
from fractions import Fraction
from math import floor, isfinite
from typing import Final
from unicodedata import decomposition, normalize

from engineering.errors import OutOfRange

ALLOWED: Final = (
    "write feet and inches with their marks, such as 12'-6 1/2\", 12 ft 6-1/2 in, 6.5\" or 12'; "
    "inches under 12 after feet, fractions below 1"
)
SIXTEENTHS: Final = 16
LONGEST_TEXT: Final = 40

_MIXED = r"[0-9]+(?:\s+|-)[0-9]+/[0-9]+"
_PLAIN = r"[0-9]+/[0-9]+|[0-9]+(?:\.[0-9]+)?|\.[0-9]+"
_FEET = rf"(?P<feet>{_MIXED}|{_PLAIN})\s*(?:'|(?:ft|feet|foot)(?![a-z])\.?)"
_INCH_MARK = r"(?:\"|(?:inches|inch|in)(?![a-z])\.?)"
_LENGTH = re.compile(
    rf"(?P<sign>-)?(?:{_FEET}(?:\s*-?\s*(?P<inches>{_MIXED}|{_PLAIN})\s*{_INCH_MARK}?)?"
    rf"|(?P<only_inches>{_MIXED}|{_PLAIN})\s*{_INCH_MARK}"
    rf"|(?P<bare>{_MIXED}|[0-9]+/[0-9]+))"
)
_MARKS = str.maketrans(dict.fromkeys("′’‘ʹ´`", "'") | dict.fromkeys("″”“ʺ", '"') | dict.fromkeys("‐‑‒–—−", "-"))


def parse_inches(text: str) -> float:
    """Inches from a length as written: `12'-6 1/2"`, `12 ft 6-1/2 in`, `6.5"`, `150.5 in`, `12'`, `6 1/2`.

    A fraction without a mark is inches; a whole or decimal number without one is refused, as are 12 inches or more
    after feet, parts of a foot before inches, fractions of 1 or more, a zero denominator and a sign anywhere but in
    front. OutOfRange with field "length".
    """
    match = _LENGTH.fullmatch(_plain(text)) if isinstance(text, str) and len(text) <= LONGEST_TEXT else None
    if match is None:
        raise OutOfRange("length", text, ALLOWED)
    if match["feet"] is None:
        inches = _number(match["only_inches"] or match["bare"], text)
    else:
        feet, rest = _number(match["feet"], text), Fraction(0)
        if match["inches"] is not None:
            rest = _number(match["inches"], text)
            if rest >= 12 or feet.denominator != 1 or "." in match["feet"]:
                raise OutOfRange("length", text, ALLOWED)
        inches = feet * 12 + rest
    return float(-inches if match["sign"] and inches else inches)


def format_feet_inches(length_in: float) -> str:
    """A length in inches as feet and inches to the nearest 1/16, such as `12'-6 1/2"`."""
    sign, sixteenths = _sixteenths(length_in)
    feet, rest = divmod(sixteenths, 12 * SIXTEENTHS)
    return f"{sign}{feet}'-{_inches(rest)}"


def format_inches(length_in: float) -> str:
    """A length in inches to the nearest 1/16, such as `6 1/2"`."""
    sign, sixteenths = _sixteenths(length_in)
    return f"{sign}{_inches(sixteenths)}"


def _plain(text: str) -> str:
    """The text in plain characters: ½ as 1/2 apart from its whole number, one kind of mark, dash and space."""
    spaced = "".join(f" {normalize('NFKC', c)} " if decomposition(c).startswith("<fraction>") else c for c in text)
    plain = spaced.translate(_MARKS).replace("⁄", "/").replace("''", '"')
    # "6- 1/2", from "6-½", and "6 - 1/2" are 6 1/2; the dash between feet and inches stands after a mark.
    return re.sub(r"(?<=[0-9])(?:- | - )(?=[0-9]+/)", "-", " ".join(plain.split())).casefold()


def _number(written: str, text: str) -> Fraction:
    """The value of a whole, decimal, mixed or simple fraction."""
    *whole, last = re.split(r"[\s-]+", written)
    if "/" not in last:
        return Fraction(last)
    over, under = (int(part) for part in last.split("/"))
    if under == 0 or over >= under:
        raise OutOfRange("length", text, ALLOWED)
    return Fraction(over, under) + sum(int(part) for part in whole)


def _sixteenths(length_in: float) -> tuple[str, int]:
    if not isfinite(length_in):
        raise OutOfRange("length", length_in, "must be a finite number of inches")
    count = floor(abs(Fraction(length_in)) * SIXTEENTHS + Fraction(1, 2))
    return ("-" if length_in < 0 and count else ""), count


def _inches(sixteenths: int) -> str:
    whole, part = divmod(sixteenths, SIXTEENTHS)
    if not part:
        return f'{whole}"'
    fraction = Fraction(part, SIXTEENTHS)
    written = f"{fraction.numerator}/{fraction.denominator}"
    return f'{whole} {written}"' if whole else f'{written}"'
