"""Photos as paper needs them: upright, no finer than print shows, and without what a camera adds (place, time)."""

from __future__ import annotations

import io

from PIL import Image, ImageOps, UnidentifiedImageError

LONGEST_PX = 1600  # 200 dots an inch over eight inches
QUALITY = 80
LARGEST_MEGAPIXELS = 150


def printable(data: bytes) -> bytes:
    """The photo as a JPEG for print. ValueError, with a reason in words, for what is no photo or too large a one."""
    try:
        photo = Image.open(io.BytesIO(data))
        megapixels = photo.width * photo.height / 1e6
        if megapixels > LARGEST_MEGAPIXELS:
            raise ValueError(f"it has {megapixels:.0f} megapixels, and {LARGEST_MEGAPIXELS} are the most")
        photo.draft("RGB", (LONGEST_PX, LONGEST_PX))  # a JPEG is decoded at a half, a quarter or an eighth: much faster
        photo = ImageOps.exif_transpose(photo).convert("RGB")
    except (UnidentifiedImageError, Image.DecompressionBombError, OSError) as why:
        raise ValueError(f"it can't be read as a picture ({why})") from why
    photo.thumbnail((LONGEST_PX, LONGEST_PX))
    out = io.BytesIO()
    photo.save(out, "JPEG", quality=QUALITY)
    return out.getvalue()
