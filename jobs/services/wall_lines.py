"""Wall lines: what the survey found in them, what it still lacks, what the engineer accepts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import pairwise
from math import isfinite
from typing import Any

from django.db import transaction
from django.db.models import Model

from jobs import policy
from jobs.errors import Refused
from jobs.models import (
    AsFoundNailing,
    Connector,
    DeadLoad,
    Design,
    ExistingAnchor,
    FoundSheathing,
    House,
    Opening,
    Panel,
    PlateJoint,
    Segment,
    SillPiece,
    Strut,
    UnseenPlate,
    User,
    WallLine,
)
from jobs.services import log
from jobs.services.versions import create, editable, refuse, save_if_current

EDITABLE = editable(WallLine, "house")
CHILDREN: dict[str, type[Model]] = {
    "segments": Segment,
    "panels": Panel,
    "sill_pieces": SillPiece,
    "plate_joints": PlateJoint,
    "existing_anchors": ExistingAnchor,
    "openings": Opening,
    "as_found_nailing": AsFoundNailing,
    "dead_loads": DeadLoad,
    "found_sheathing": FoundSheathing,
    "unseen_plates": UnseenPlate,
    "struts": Strut,
}
# Rows that an engineer accepts, and what tells them apart.
ACCEPTED = {"existing_anchors": "at_in", "found_sheathing": "from_in", "as_found_nailing": "link"}
SPANS = ("segments", "panels", "sill_pieces", "openings", "unseen_plates")
NEEDED = {  # facts without a "not observed" that a calculation could take
    "sill_thickness_in": "sill thickness",
    "sill_width_in": "sill width",
    "sill_bearing_psi": "sill bearing strength",
    "stud_depth_in": "stud depth",
    "stud_thickness_in": "stud thickness",
    "stud_centrelines_in": "stud centrelines",
    "plate_width_in": "top plate width",
    "top_plate_count": "number of top plates",
    "rim_thickness_in": "rim or end joist thickness",
    "rim_depth_in": "rim or end joist depth",
    "rim_set_back_in": "set-back of the rim from the plates' outer edge",
    "joists": "direction of the joists",
    "sill_treated": "whether the sill is treated",
}
FOUNDATION = {
    "foundation_material": "material",
    "foundation_continuous": "continuity",
    "foundation_condition": "condition",
    "section_loss_percent": "section loss",
    "concrete_basis": "concrete strength's basis",
}
WITHIN_IN = 1 / 16  # what a tape reads

Rows = Mapping[str, Iterable[Mapping[str, Any]]]


@transaction.atomic
def create_wall_line(*, house_id: int, by: User, children: Rows | None = None, **facts: Any) -> WallLine:
    """A wall line with its rows (`children`: name of a relation in CHILDREN → rows)."""
    house = House.objects.get(pk=house_id)
    policy.require(by, "wall_line.edit", on=house)
    _check(facts)
    line = create(WallLine, {"house": house, **facts}, allowed=EDITABLE | {"house"})
    _replace(line, children or {})
    log.record(by=by, what="wall_line.edit", house=house, after=f"{line} added")
    return line


@transaction.atomic
def edit_wall_line(
    *, wall_line_id: int, seen_version: int, changes: Mapping[str, Any], by: User, children: Rows | None = None
) -> WallLine:
    """Change a wall line; each relation named in `children` is replaced as a whole.

    ValidationError for what can't be, Stale when someone else saved meanwhile. An existing anchor whose facts
    change loses the engineer's acceptance; a changed foundation loses its own.
    """
    line = WallLine.objects.select_related("house").get(pk=wall_line_id)
    policy.require(by, "wall_line.edit", on=line)
    _check(changes)
    foundation_before = _foundation(line)
    change = save_if_current(line, seen_version=seen_version, changes=changes, allowed=EDITABLE)
    notes = _replace(line, children or {})
    if line.foundation_accepted_by_id and _foundation(line) != foundation_before:
        WallLine.objects.filter(pk=line.pk).update(foundation_accepted_by=None, foundation_acceptance_reason="")
        line.foundation_accepted_by, line.foundation_acceptance_reason = None, ""
        notes.append("the foundation's acceptance lapsed")
    if change or notes:
        log.record(
            by=by,
            what="wall_line.edit",
            house=line.house,
            before=f"{line}: {change.before}",
            after=f"{line}: {change.after}",
            note="; ".join(notes),
        )
    return line


@transaction.atomic
def remove_wall_line(*, wall_line_id: int, seen_version: int, by: User) -> None:
    """Take away a line that was entered by mistake. Refused once a design of the house was issued."""
    line = WallLine.objects.select_related("house").get(pk=wall_line_id)
    policy.require(by, "wall_line.edit", on=line)
    if Design.objects.filter(job__house=line.house).exists():
        raise Refused(f"A design of this house was issued; {line} stays in its survey.")
    save_if_current(line, seen_version=seen_version, changes={})
    log.record(by=by, what="wall_line.edit", house=line.house, before=str(line), after="removed")
    line.delete()


@transaction.atomic
def accept_anchor(*, anchor_id: int, seen_version: int, reason: str, by: User) -> ExistingAnchor:
    """The engineer lets an existing bolt count, with the reason. Refused for one that nobody has seen."""
    anchor = ExistingAnchor.objects.select_related("wall_line__house").get(pk=anchor_id)
    policy.require(by, "anchor.accept", on=anchor)
    reasons = [] if reason.strip() else ["Give the reason for accepting this anchor."]
    if not anchor.seen:
        reasons.append("Nobody has seen this anchor.")
    if reasons:
        raise Refused(*reasons)
    changes = {"accepted": True, "accepted_by": by, "reason": reason.strip()}
    save_if_current(anchor, seen_version=seen_version, changes=changes)
    line = anchor.wall_line
    log.record(by=by, what="anchor.accept", house=line.house, after=f"{line}: {anchor} accepted", note=reason)
    return anchor


@transaction.atomic
def accept_sheathing(*, sheathing_id: int, seen_version: int, reason: str, by: User) -> FoundSheathing:
    """The engineer lets sheathing that was found count as found, with the reason."""
    sheathing = FoundSheathing.objects.select_related("wall_line__house").get(pk=sheathing_id)
    policy.require(by, "sheathing.accept", on=sheathing)
    if not reason.strip():
        raise Refused("Give the reason for accepting this sheathing.")
    changes = {"accepted": True, "accepted_by": by, "reason": reason.strip()}
    save_if_current(sheathing, seen_version=seen_version, changes=changes)
    line = sheathing.wall_line
    log.record(by=by, what="sheathing.accept", house=line.house, after=f"{line}: {sheathing} accepted", note=reason)
    return sheathing


@transaction.atomic
def accept_nailing(
    *,
    wall_line_id: int,
    link: str,
    nail: Connector,
    spacing_in: float,
    toenail: bool,
    edition: str,
    reason: str,
    by: User,
) -> AsFoundNailing:
    """The engineer takes the nailing of the code of the year built for one link of a line that nobody could see.

    One act, with the edition and the reason. Refused where nails of that link were seen, or taken already.
    """
    line = WallLine.objects.select_related("house").get(pk=wall_line_id)
    policy.require(by, "nailing.accept", on=line)
    reasons = [] if edition.strip() else ["Name the edition of the code that the nailing is taken from."]
    if not reason.strip():
        reasons.append("Give the reason for taking this nailing.")
    if line.as_found_nailing.filter(link=link).exists():
        reasons.append(f"{line} has nails of link {link} on record already.")
    if reasons:
        raise Refused(*reasons)
    facts = {"wall_line": line, "link": link, "nail": nail, "spacing_in": spacing_in, "toenail": toenail}
    row = create(AsFoundNailing, facts | {"edition": edition.strip(), "reason": reason.strip(), "accepted_by": by})
    log.record(by=by, what="nailing.accept", house=line.house, after=f"{line}: {row}, {row.edition}", note=reason)
    return row


@transaction.atomic
def accept_foundation(*, wall_line_id: int, seen_version: int, reason: str, by: User) -> WallLine:
    """The engineer accepts what the foundation is given to carry, with the reason."""
    line = WallLine.objects.select_related("house").get(pk=wall_line_id)
    policy.require(by, "foundation.accept", on=line)
    if not reason.strip():
        raise Refused("Give the reason for accepting this foundation.")
    changes = {"foundation_accepted_by": by, "foundation_acceptance_reason": reason.strip()}
    save_if_current(line, seen_version=seen_version, changes=changes)
    log.record(by=by, what="foundation.accept", house=line.house, after=f"{line}: foundation accepted", note=reason)
    return line


def missing_facts(line: WallLine) -> list[str]:
    """What the survey of this line still lacks, a sentence each, foundation facts first."""
    missing = []
    if lacking := _lacking(line, FOUNDATION):
        missing.append(f"{line}: the foundation lacks its {', '.join(lacking)}.")
    if lacking := _lacking(line, NEEDED):
        missing.append(f"{line} lacks: {', '.join(lacking)}.")
    thicknesses = (line.lower_plate_in, line.upper_plate_in)[: line.top_plate_count or 0]
    if None in thicknesses:
        missing.append(f"{line} lacks the thickness of a top plate.")
    for name in ("segments", "sill_pieces"):
        rows = list(getattr(line, name).all())
        words = CHILDREN[name]._meta.verbose_name_plural
        if not rows:
            missing.append(f"{line} has no {words}.")
        elif not _covers(line, rows):
            missing.append(f"{line}: its {words} do not cover it from end to end.")
    return missing


def _lacking(line: WallLine, needed: Mapping[str, str]) -> list[str]:
    return [words for name, words in needed.items() if getattr(line, name) in (None, "", [])]


def _covers(line: WallLine, rows: list[Any]) -> bool:
    at_in = 0.0
    for row in rows:
        if abs(row.from_in - at_in) > WITHIN_IN:
            return False
        at_in = row.to_in
    return abs(at_in - line.length_in) <= WITHIN_IN


def _foundation(line: WallLine) -> tuple[Any, ...]:
    return tuple(getattr(line, name) for name in (*FOUNDATION, "concrete_psi", "crack_width_in"))


def _check(facts: Mapping[str, Any]) -> None:
    studs = facts.get("stud_centrelines_in") or []
    right = isinstance(studs, list | tuple) and all(
        isinstance(at, int | float) and not isinstance(at, bool) and isfinite(at) for at in studs
    )
    if not right or any(one >= next_one for one, next_one in pairwise(studs)):
        refuse(stud_centrelines_in="Stud centrelines are distances in inches, each greater than the one before.")


def _replace(line: WallLine, children: Rows) -> list[str]:
    """Write each named relation anew; returns what the log should say."""
    notes = []
    for name, rows in children.items():
        rows = [dict(row) for row in rows]
        if name in ACCEPTED:
            notes += _replace_accepted(line, name, rows)
        else:
            CHILDREN[name].objects.filter(wall_line=line).delete()
            for row in rows:
                create(CHILDREN[name], {"wall_line": line, **row})
        notes.append(f"{name.replace('_', ' ')} entered anew ({len(rows)})")
        _check_places(line, name)
    return notes


def _replace_accepted(line: WallLine, name: str, rows: list[dict[str, Any]]) -> list[str]:
    """Keep a row that is entered again just as it was, and with it the engineer's acceptance."""
    model, place = CHILDREN[name], ACCEPTED[name]
    allowed = editable(model, "wall_line")
    notes, new = [], list(rows)
    for found in getattr(line, name).all():
        here = [row for row in new if row.get(place) == getattr(found, place)]
        same = next((row for row in here if all(getattr(found, f) == getattr(model(**row), f) for f in allowed)), None)
        if same is not None:
            new.remove(same)
            continue
        if found.accepted:
            notes.append(f"the acceptance of the {found} lapsed")
        found.delete()
    for row in new:
        create(model, {"wall_line": line, **row}, allowed=allowed | {"wall_line"})
    return notes


def _check_places(line: WallLine, name: str) -> None:
    """Rows lie on the line and, where they are stretches, do not overlap."""
    words = CHILDREN[name]._meta.verbose_name_plural
    end_in = line.length_in + WITHIN_IN
    if name in SPANS:
        at_in = 0.0
        for row in getattr(line, name).all():
            if row.from_in < at_in - WITHIN_IN:
                refuse(**{name: f"Two {words} overlap at {row.from_in:g} in."})
            if row.to_in > end_in:
                refuse(**{name: f"{row} ends beyond the line, which is {line.length_in:g} in long."})
            at_in = row.to_in
    elif name in ("plate_joints", "existing_anchors"):
        for row in getattr(line, name).all():
            if row.at_in > end_in:
                refuse(**{name: f"{row} lies beyond the line, which is {line.length_in:g} in long."})
