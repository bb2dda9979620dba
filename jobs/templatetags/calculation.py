"""How formulas are printed on pages."""

from __future__ import annotations

import re

from django import template
from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

register = template.Library()

SUBSCRIPT = re.compile(r"(?<=\w)_([A-Za-z0-9,]+)")


@register.filter
def formula(text: str) -> SafeString:
    """`Q_E` with its subscript; everything else as it stands."""
    return mark_safe(SUBSCRIPT.sub(r"<sub>\1</sub>", escape(text)))
