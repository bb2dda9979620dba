"""A section: the unit that is rendered, stored and reused. Its file is named by the hash of all that it is made of."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass, field, fields
from typing import Any, Literal

PageSize = Literal["letter", "24x36"]


@dataclass(frozen=True, slots=True)
class PageBox:
    """A page in inches: its size, the margins of the body, and the place of the title strip (from the lower left)."""

    width_in: float
    height_in: float
    top_in: float
    right_in: float
    bottom_in: float
    left_in: float
    strip_x_in: float
    strip_y_in: float
    strip_width_in: float
    strip_height_in: float

    @property
    def strip_is_upright(self) -> bool:
        return self.strip_height_in > self.strip_width_in

    @property
    def body_width_in(self) -> float:
        return self.width_in - self.left_in - self.right_in

    @property
    def body_height_in(self) -> float:
        return self.height_in - self.top_in - self.bottom_in


PAGES: dict[str, PageBox] = {
    # The strip lies along the bottom edge; the running header stands in the top margin.
    "letter": PageBox(8.5, 11.0, 0.8, 0.6, 1.05, 0.75, 0.75, 0.3, 7.15, 0.6),
    # The strip is a column along the right edge, inside a half-inch border; the left edge is wider for binding.
    "24x36": PageBox(36.0, 24.0, 0.5, 2.2, 0.5, 1.0, 33.9, 0.5, 1.6, 23.0),
}


FULL_SIZE = "24x36"
SHEET_SIZES: dict[str, tuple[float, float]] = {
    FULL_SIZE: (36.0, 24.0),
    "30x42": (42.0, 30.0),
    "22x34": (34.0, 22.0),
    "18x24": (24.0, 18.0),
    "11x17": (17.0, 11.0),
}


@dataclass(frozen=True, slots=True)
class Placing:
    """How a full-size sheet lies on paper of another size: reduced or enlarged as a whole, in the middle."""

    width_in: float
    height_in: float
    scale: float
    right_in: float
    up_in: float


def placing(sheet_size: str) -> Placing:
    """Where a sheet laid out at 24 × 36 in lies on this paper. KeyError for a size that is not ours."""
    page, (width_in, height_in) = PAGES[FULL_SIZE], SHEET_SIZES[sheet_size]
    scale = min(width_in / page.width_in, height_in / page.height_in)
    right_in, up_in = (width_in - scale * page.width_in) / 2, (height_in - scale * page.height_in) / 2
    return Placing(width_in, height_in, scale, right_in, up_in)


@dataclass(frozen=True, slots=True)
class Section:
    """One sheet or run of pages of a document.

    `name` is unique in its document; `sheet` is the fixed sheet number ("S2.1", "C-A.3", or "" for none); `template`
    extends reports/base.html; `context` is plain JSON with every figure already rounded and worded; `drawings` are SVG
    texts that the template shows with src="drawing:<name>"; `photos` are files of the storage, each named by its
    content, that it shows with src="photo:<name>". Nothing here may belong to the document as a whole
    (revision, hash, status): that is the title strip's, placed when sections are merged.
    """

    name: str
    sheet: str
    title: str
    template: str
    context: dict[str, Any]
    drawings: dict[str, str] = field(default_factory=dict)
    photos: dict[str, str] = field(default_factory=dict)
    page_size: PageSize = "letter"

    @property
    def page(self) -> PageBox:
        return PAGES[self.page_size]

    @property
    def label(self) -> str:
        """How a person finds it in the set."""
        return f"Sheet {self.sheet}, {self.title}" if self.sheet else self.title

    @property
    def work(self) -> int:
        """About how long it takes to draw, beside other sections: a letter of text takes ten times one of a drawing."""
        return 10 * len(canonical(self.context)) + sum(len(drawing) for drawing in self.drawings.values())

    def sha256(self, renderer: str) -> str:
        """The name of this section's file, given the fingerprint of the renderer. ValueError for NaN or infinity."""
        return sha256_of(
            canonical({"renderer": renderer, "section": {f.name: getattr(self, f.name) for f in fields(self)}})
        )


def canonical(value: Any) -> str:
    """JSON text that is the same for equal values: sorted keys, no spaces, no NaN."""
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


def sha256_of(content: str | bytes) -> str:
    """Hex SHA-256 of text (as UTF-8) or bytes."""
    return hashlib.sha256(content.encode() if isinstance(content, str) else content).hexdigest()
