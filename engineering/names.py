"""What wall lines and panels are called in sentences, as on the papers. Not links or roles."""

from __future__ import annotations


def line_name(label: str) -> str:
    """A wall line by its label."""
    return f"wall line {label}"


def panel_name(label: str, number: int) -> str:
    """A panel by its line and its number from the zero end."""
    return f"panel {label}·{number}"


def place_name(label: str, panel: int | None, piece: int | None) -> str:
    """Where on a line a row is, most exactly: its panel, its sill piece, else the line."""
    parts = [panel_name(label, panel)] if panel else []
    parts += [f"sill piece {piece}"] if piece else []
    return ", ".join(parts if panel else [line_name(label), *parts])
