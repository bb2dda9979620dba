"""Where each evaluated connector sits on a wall line, for the limits of its report. Not the limits, not its value.

A place along the wall (to the ends of wood and concrete, to the next one) is asked where the places are.
"""

from __future__ import annotations

from engineering.evaluated import Fact, Seat
from engineering.inputs import NOT_OBSERVED, EvaluatedConnector, MemberFace, NotObserved, WallLine
from engineering.plate_washers import sill_edge_in

FLUSH_IN = 1 / 16  # what counts as one plane ("common practice, no source")


def sill_anchor(line: WallLine) -> Seat:
    """An anchor down through the sill; how far from the concrete's edges is asked by its place across the sill."""
    return Seat(
        faces=("wide face",),
        member=Fact("sill_thickness_in", line.framing.sill_thickness_in),
        concrete=Fact("foundation.depth_in", line.foundation.depth_in),
    )


def side_connection(line: WallLine, connector: EvaluatedConnector) -> Seat:
    """A plate on the concrete's face, screwed to the sill's edge, or to its top where the report covers that alone.

    Its anchors keep their edge distance at best in the middle of the face's height.
    """
    face: MemberFace = "narrow face"
    if "narrow face" not in connector.member_faces and "wide face" in connector.member_faces:
        face = "wide face"
    return Seat(
        faces=(face,),
        member=Fact("sill_thickness_in", line.framing.sill_thickness_in),
        edge=_half("foundation.depth_in", line.foundation.depth_in),
        concrete=Fact("foundation.width_in", line.foundation.width_in),
        gaps=(
            Fact("side_set_back_in", line.framing.side_set_back_in),
            Fact("sill_gap_in", line.framing.sill_gap_in),
        ),
    )


def tie_down(line: WallLine, stud_height_ft: float) -> Seat:
    """On the face of the end post that looks along the wall, in its middle; a post as high as the lowest studs."""
    post = line.end_post
    return Seat(
        faces=("wide face" if post.depth_in >= post.width_in else "narrow face",),
        member=Fact("end_post.width_in", post.width_in),
        edge=_half("end_post.depth_in", post.depth_in),
        end=_half("stud_height_in", 12 * stud_height_ft),
    )


def tie_down_anchor(line: WallLine) -> Seat:
    """A rod in the concrete under the middle of the end post, which stands flush with the sill's outer face."""
    return Seat(
        edge=concrete_edge(line, line.end_post.depth_in / 2),
        concrete=Fact("foundation.depth_in", line.foundation.depth_in),
    )


def concrete_edge(line: WallLine, across_in: float) -> Fact:
    """From a place across the sill to the nearer long edge of the concrete; not observed where either is not. [in]"""
    framing, width_in = line.framing, line.foundation.width_in
    if framing.sill_edge_in == NOT_OBSERVED:
        return Fact("sill_edge_in", NOT_OBSERVED)
    if width_in == NOT_OBSERVED:
        return Fact("foundation.width_in", NOT_OBSERVED)
    outer_in = sill_edge_in(line) + across_in
    return Fact("concrete_edge_in", min(outer_in, width_in - outer_in))


def framing_angle(line: WallLine) -> Seat:
    """On the inner face of joist or block and on what lies below: the plate's top, or its edge where they are flush."""
    framing = line.framing
    width_in = framing.sill_width_in if not framing.plates_in else framing.plate_width_in
    below_in = framing.plates_in[-1] if framing.plates_in else framing.sill_thickness_in
    free_in = width_in - framing.rim_set_back_in - framing.rim_thickness_in
    on_top = free_in > FLUSH_IN
    lower = Fact("plate_width_in", free_in) if on_top else Fact("plates_in", below_in)
    face_in = min(lower, Fact("rim_depth_in", framing.rim_depth_in), key=lambda fact: fact.value)
    behind_in = Fact("plates_in", below_in) if on_top else Fact("plate_width_in", width_in)
    return Seat(
        faces=("wide face", "wide face" if on_top else "narrow face"),
        member=min(
            behind_in, Fact("rim_thickness_in", framing.rim_thickness_in), key=lambda fact: fact.value
        ),
        edge=_half(*face_in),
    )  # fmt: skip


def face_plate(line: WallLine) -> Seat:
    """On the outer faces of joist and top plates, which lie in one plane."""
    framing = line.framing
    sides = (Fact("rim_thickness_in", framing.rim_thickness_in), Fact("plate_width_in", framing.plate_width_in))
    faces = (Fact("rim_depth_in", framing.rim_depth_in), Fact("plates_in", framing.plates_in[-1]))
    return Seat(
        faces=("wide face", "narrow face"),
        member=min(sides, key=lambda fact: fact.value),
        edge=_half(*min(faces, key=lambda fact: fact.value)),
    )


def plate_strap(line: WallLine) -> Seat:
    """On the edge of the top plates across their joint; on the sill's where the joists bear on it."""
    framing = line.framing
    if not framing.plates_in:
        return Seat(("narrow face",), Fact("sill_width_in", framing.sill_width_in),
                    _half("sill_thickness_in", framing.sill_thickness_in))  # fmt: skip
    return Seat(("narrow face",), Fact("plate_width_in", framing.plate_width_in),
                _half("plates_in", min(framing.plates_in)))  # fmt: skip


def _half(field: str, value: float | NotObserved) -> Fact:
    """The edge distance in the middle of a face, as the most that it has."""
    return Fact(field, value if value == NOT_OBSERVED else value / 2)
