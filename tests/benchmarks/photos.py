"""Invented photos of twelve megapixels for the benchmark."""

from __future__ import annotations

import io
import random

from PIL import Image


def crawlspace(number: int) -> bytes:
    """A JPEG that looks as unquiet as a photo does to whoever decodes it."""
    noise = random.Random(number).randbytes(3 * 500 * 375)
    out = io.BytesIO()
    Image.frombytes("RGB", (500, 375), noise).resize((4000, 3000)).save(out, "JPEG", quality=85)
    return out.getvalue()
