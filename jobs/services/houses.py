"""Houses: survey facts of the house as a whole, the scope screen, what the survey still lacks."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import isfinite
from typing import Any

from django.db import transaction
from django.db.models import Model

from jobs import policy
from jobs.errors import Refused
from jobs.models import (
    ENGINEER_MODE_ITEMS,
    SCOPE_ITEMS,
    Client,
    House,
    Jurisdiction,
    PointWeight,
    StoryAboveWall,
    UpperStory,
    User,
    WeightPart,
)
from jobs.services import log
from jobs.services.versions import create, editable, refuse, save_if_current

EDITABLE = editable(House)
CHILDREN: dict[str, type[Model]] = {
    "point_weights": PointWeight,
    "story_above": StoryAboveWall,
    "upper_stories": UpperStory,
    "weight_parts": WeightPart,
}
NEEDED = {  # what a calculation can't do without
    "year_built": "year built",
    "stories": "number of stories",
    "braced_wall_height_in": "height of the braced walls",
    "floor_depth_in": "depth of the floor",
    "story_wall_height_in": "height of the story's walls",
    "regular_in_plan": "whether the plan is regular",
    "roof_psf": "roof weight",
    "floor_psf": "floor weight",
    "partitions_psf": "partition weight",
    "story_wall_psf": "story wall weight",
    "braced_wall_psf": "braced wall weight",
    "flat_roof_snow_psf": "flat roof snow (0 where there is none)",
    "weights_source": "source of the weights",
    "s_1_g": "S_1",
    "t_l_s": "T_L",
    "hazard_source": "source of the hazard values",
    "hazard_date": "date of the hazard values",
    "seismic_design_category": "seismic design category",
    "floor_outline_ft": "floor outline",
    "roof_outline_ft": "roof outline",
}


@transaction.atomic
def create_house(*, by: User, client_id: int, jurisdiction_id: int, **facts: Any) -> House:
    """A house of a client; survey facts may follow later."""
    policy.require(by, "house.edit")
    client = Client.objects.get(pk=client_id)
    policy.require(by, "client.view", on=client)
    _check(facts)
    jurisdiction = Jurisdiction.objects.get(pk=jurisdiction_id)
    house = create(House, {"client": client, "jurisdiction": jurisdiction, **facts}, allowed=EDITABLE)
    log.record(by=by, what="house.edit", house=house, after=str(house))
    return house


@transaction.atomic
def edit_house(
    *,
    house_id: int,
    seen_version: int,
    changes: Mapping[str, Any],
    by: User,
    children: Mapping[str, Iterable[Mapping[str, Any]]] | None = None,
) -> House:
    """Change survey facts; each relation named in `children` (CHILDREN) is replaced as a whole.

    ValidationError for a value that can't be, Stale when someone else saved meanwhile. An engineer's named mode
    for a flagged scope item is kept only while that item's answer stays as it was.
    """
    house = House.objects.get(pk=house_id)
    policy.require(by, "house.edit", on=house)
    changes = dict(changes)
    if "scope_screen" in changes:
        changes["scope_screen"] = _with_kept_modes(changes["scope_screen"], house.scope_screen)
    _check(changes)
    change = save_if_current(house, seen_version=seen_version, changes=changes, allowed=EDITABLE)
    replaced = []
    for name, rows in (children or {}).items():
        model = CHILDREN[name]
        model.objects.filter(house=house).delete()
        for row in rows:
            if "floor_outline_ft" in row and (problem := _outline_problem(row["floor_outline_ft"])):
                refuse(**{name: problem})
            create(model, {"house": house, **row})
        replaced.append(str(model._meta.verbose_name_plural))
    if change or replaced:
        note = f"entered anew: {', '.join(replaced)}" if replaced else ""
        log.record(by=by, what="house.edit", house=house, before=change.before, after=change.after, note=note)
    return house


@transaction.atomic
def name_mode(*, house_id: int, item: str, mode: str, seen_version: int, by: User) -> House:
    """The engineer names the way in which a flagged hillside or open front is calculated."""
    house = House.objects.get(pk=house_id)
    policy.require(by, "house.name_mode", on=house)
    answer = house.scope_screen.get(item, {})
    if item not in ENGINEER_MODE_ITEMS or answer.get("flag") is not True:
        raise Refused(f"{SCOPE_ITEMS.get(item, item)} is not flagged on this house; there is no mode to name.")
    if not mode.strip():
        raise Refused("Name the mode: how this house is calculated in spite of the flag.")
    screen = house.scope_screen | {item: answer | {"mode": mode.strip(), "mode_by": by.display_name}}
    change = save_if_current(house, seen_version=seen_version, changes={"scope_screen": screen})
    log.record(by=by, what="house.name_mode", house=house, before=change.before, after=change.after)
    return house


def missing_facts(house: House) -> list[str]:
    """What the survey of the house as a whole still lacks, a sentence each."""
    lacking = [words for name, words in NEEDED.items() if getattr(house, name) in (None, "", [])]
    direct, mapped = (house.s_ds_g, house.s_d1_g), (house.s_s_g, house.site_class)
    if None in direct and (None in mapped or "" in mapped):
        lacking.append("S_DS and S_D1, or S_S and the site class")
    missing = [f"The house lacks: {', '.join(lacking)}."] if lacking else []
    unanswered = [words for item, words in SCOPE_ITEMS.items() if not _is_answered(house.scope_screen.get(item))]
    missing += [f"The scope screen has no answer with a reason for: {words}." for words in unanswered]
    for item in ENGINEER_MODE_ITEMS:
        answer = house.scope_screen.get(item)
        if not _is_answered(answer) or answer["flag"] is False:
            continue
        if answer["flag"] is None:
            missing.append(f"{SCOPE_ITEMS[item]}: look again; no line can be calculated before this is observed.")
        elif not answer.get("mode"):
            missing.append(f"{SCOPE_ITEMS[item]}: the engineer has not named the mode in which it is calculated.")
    return missing


def _is_answered(answer: Any) -> bool:
    """Yes, no or "not observed" (null), each with its reason."""
    return isinstance(answer, dict) and "flag" in answer and bool(answer.get("reason", "").strip())


def _with_kept_modes(new: Any, old: Mapping[str, Any]) -> Any:
    if not isinstance(new, dict):
        return new
    kept = {}
    for item, answer in new.items():
        plain = (
            {name: answer[name] for name in ("flag", "reason") if name in answer}
            if isinstance(answer, dict)
            else answer
        )
        before = old.get(item, {})
        same = isinstance(plain, dict) and all(plain.get(name) == before.get(name) for name in ("flag", "reason"))
        kept[item] = before if same and before else plain
    return kept


def _check(facts: Mapping[str, Any]) -> None:
    for name in ("floor_outline_ft", "roof_outline_ft"):
        if facts.get(name) and (problem := _outline_problem(facts[name])):
            refuse(**{name: problem})
    screen = facts.get("scope_screen")
    if screen is None:
        return
    if not isinstance(screen, dict) or any(item not in SCOPE_ITEMS for item in screen):
        refuse(scope_screen=f"The scope screen answers: {', '.join(SCOPE_ITEMS)}.")
    for item, answer in screen.items():
        if not isinstance(answer, dict) or answer.get("flag", "") not in (True, False, None):
            refuse(scope_screen=f"{SCOPE_ITEMS[item]}: answer yes, no or not observed, with the reason.")
        if not isinstance(answer.get("reason", ""), str):
            refuse(scope_screen=f"{SCOPE_ITEMS[item]}: the reason is text.")


def _outline_problem(outline: Any) -> str:
    """Why this is no outline; crossing sides are the calculation's to refuse."""
    if not isinstance(outline, list | tuple) or len(outline) < 3:
        return "An outline has at least three corners."
    for corner in outline:
        if not isinstance(corner, list | tuple) or len(corner) != 2:
            return "Each corner is a pair: x, y in feet."
        if not all(isinstance(at, int | float) and not isinstance(at, bool) and isfinite(at) for at in corner):
            return "Each corner is two numbers in feet."
    return ""
