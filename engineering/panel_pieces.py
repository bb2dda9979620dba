"""The pieces of a panel: where they meet, what passes the access opening, nails round their edges. Not their shear."""

from __future__ import annotations

from itertools import pairwise
from math import ceil

from engineering.connector_values import LineContext
from engineering.errors import OutOfRange
from engineering.inputs import NOT_OBSERVED
from engineering.link_checks import NOT_ACCEPTED
from engineering.panel_shares import PanelSize, faces, sizes, widest_bay_in

SHEET_LONG_IN, SHEET_WIDE_IN = 96.0, 48.0
SMALL = "pieces smaller than 4 × 8 ft because of the access opening"
LEAST_STUD_IN = 1.5  # two panel edges on one stud, each with its nails 3/8 in from panel edge and stud edge
THIN = ("5/16", "3/8")  # under 7/16
FIELD_IN, CLOSE_FIELD_IN, CLOSE_STUDS_IN = 12.0, 6.0, 16.0


def joints_in(context: LineContext, panel: PanelSize) -> tuple[float, ...]:
    """Where the pieces of a panel meet, on studs, as long as sheet and access opening allow. [in from the zero end]

    OutOfRange where no stud is in reach for a joint.
    """
    return context.surveyed(("joints", panel.number), lambda bare: _joints_in(bare, panel))


def _joints_in(context: LineContext, panel: PanelSize) -> tuple[float, ...]:
    from_in, to_in = 12 * panel.span.from_ft, 12 * panel.span.to_ft
    longest_in = largest_piece_in(context, panel)
    studs_in = context.line.framing.stud_centrelines_in
    joints: list[float] = []
    at_in = from_in
    while to_in - at_in > longest_in + 1e-9:
        reach = [stud for stud in studs_in if at_in + 1e-9 < stud <= at_in + longest_in + 1e-9 and stud < to_in - 1e-9]
        if not reach:
            allowed = f"needs a stud within {longest_in:g} in of {at_in:g} in for a panel joint"
            raise OutOfRange(f"lines.{context.line.label}.framing.stud_centrelines_in", at_in, allowed)
        at_in = reach[-1]
        joints.append(at_in)
    return tuple(joints)


def largest_piece_in(context: LineContext, panel: PanelSize) -> float:
    """Longest piece along the wall that comes out of a sheet and in through the access opening. [in]

    A piece goes through flat, its shorter side along the opening's longer one; what a diagonal would gain is left
    out. Not observed: pieces of one sheet.
    """
    height_in, sheet_in = 12 * panel.height_ft, _sheet_in(panel)
    opening = context.inputs.access_opening_in
    if opening == NOT_OBSERVED or height_in <= max(opening) + 1e-9:
        return sheet_in
    return min(sheet_in, max(opening))


def _sheet_in(panel: PanelSize) -> float:
    """Along the wall: a sheet lies where its width is enough for the panel's height, else it stands. [in]"""
    return SHEET_LONG_IN if 12 * panel.height_ft <= SHEET_WIDE_IN else SHEET_WIDE_IN


def edge_nail_count(context: LineContext, panel: PanelSize, spacing_in: float) -> int:
    """Nails round the edges of all pieces of a panel, on one face."""
    return context.surveyed(
        ("edge nails", panel.number, spacing_in), lambda bare: _edge_nail_count(bare, panel, spacing_in)
    )


def _edge_nail_count(context: LineContext, panel: PanelSize, spacing_in: float) -> int:
    ends = (12 * panel.span.from_ft, *joints_in(context, panel), 12 * panel.span.to_ft)
    height_in = 12 * panel.height_ft
    return sum([ceil(2 * (b - a + height_in) / spacing_in - 1e-9) for a, b in pairwise(ends)])


def field_spacing_in(context: LineContext, panel: PanelSize) -> float:
    """Spacing of the nails at inner studs: 12 in, 6 in for panels under 7/16 unless the studs stand 16 in apart. [in]

    SDPWS 2021 4.3.7.1, which asks for 6 in at studs 24 in apart.
    """
    thin = any(face.thickness in THIN for face in faces(context.line))
    close = widest_bay_in(context, panel) <= CLOSE_STUDS_IN + 1e-9
    return CLOSE_FIELD_IN if thin and not close else FIELD_IN


def _cut_small(context: LineContext) -> bool:
    """Whether the access opening, not the sheet or the panels' own ends, makes pieces shorter than they could be."""
    return context.surveyed("cut small", _any_cut_small)


def _any_cut_small(context: LineContext) -> bool:
    for panel in sizes(context):
        longest_in = largest_piece_in(context, panel)
        if longest_in < _sheet_in(panel) - 1e-9 and 12 * panel.length_ft > longest_in + 1e-9:
            return True
    return False


def notes(context: LineContext) -> tuple[str, ...]:
    """What the pieces ask of the sheets' reader."""
    return context.surveyed("piece notes", _notes)


def _notes(context: LineContext) -> tuple[str, ...]:
    found = []
    if _cut_small(context):
        accepted = context.inputs.criteria.small_pieces_accepted_by.strip()
        found.append(f"{SMALL}: all edges blocked, " + (f"accepted by {accepted}" if accepted else "to be accepted"))
    if any(12 * panel.height_ft > SHEET_LONG_IN + 1e-9 for panel in sizes(context)):
        found.append("panels higher than 8 ft: a level joint, blocked, unless longer sheets are had")
    return tuple(found)


def unaccepted(context: LineContext) -> tuple[str, ...]:
    """Small pieces that the engineer has still to accept (convention 14)."""
    if context.inputs.criteria.small_pieces_accepted_by.strip() or not _cut_small(context):
        return ()
    return (f"{SMALL}: {NOT_ACCEPTED}",)


def warnings(context: LineContext, panel: PanelSize) -> tuple[str, ...]:
    """A joint on a stud too thin for the nails of two edges."""
    thickness_in = context.line.framing.stud_thickness_in
    if thickness_in >= LEAST_STUD_IN - 1e-9 or not joints_in(context, panel):
        return ()
    return (f"panel {panel.number}: joints need studs {LEAST_STUD_IN:g} in thick or more, {thickness_in:g} in found",)
