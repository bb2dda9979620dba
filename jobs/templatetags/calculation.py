"""How formulas are printed on pages."""

from __future__ import annotations

import re

from django import template
from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

register = template.Library()

SUBSCRIPT = re.compile(r"(?<![^\W\d_])([^\W\d_]{1,2})_(h/b|\w+(?:,\w+)*)")


@register.filter
def formula(text: str) -> SafeString:
    """`Q_E` with its subscript; everything else as it stands."""
    return mark_safe(SUBSCRIPT.sub(_with_subscript, escape(text)))


def _with_subscript(match: re.Match[str]) -> str:
    return f"{match[1]}<sub>{match[2].replace('_', ' ')}</sub>"
