"""The unstored draft beside a form: the load path as the saved rows compute it, or what stands in the way."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from django.urls import reverse
from django.utils import timezone

from engineering.errors import OutOfRange
from engineering.results import HouseResult, LineResult, LinkResult
from jobs import assessment, policy
from jobs.errors import Refused
from jobs.models import OVER, House, Job, User, WallLine


@dataclass(frozen=True, slots=True)
class Obstacle:
    """One reason why nothing could be computed, and the page where it is put right."""

    sentence: str
    url: str
    place: str


@dataclass(frozen=True, slots=True)
class Draft:
    """What the present rows compute to, or the obstacles; never both."""

    result: HouseResult | None
    obstacles: tuple[Obstacle, ...] = ()


def draft_of(job: Job) -> Draft:
    """The job's draft as of today."""
    try:
        return Draft(assessment.draft(job, on=timezone.localdate()))
    except Refused as why:
        return Draft(None, tuple(_obstacle(job, reason, reason) for reason in why.reasons))
    except OutOfRange as why:
        value = f"{why.value:g}" if isinstance(why.value, float) else why.value
        sentence = f"{why.field.replace('_', ' ')}: {value} can't be used; it {why.allowed}."
        return Draft(None, (_obstacle(job, sentence, why.field),))


@dataclass(frozen=True, slots=True)
class LinkRow:
    """One link of the chain for the table: as found beside as designed."""

    link: str
    name: str
    as_found: str
    design: LinkResult


def draft_of_line(user: User, line: WallLine, job_pk: str | None) -> dict[str, Any]:
    """Template values for one line's load path in one job of its house; without a job, nothing can be computed."""
    jobs = list(Job.objects.visible_to(user).filter(house=line.house).exclude(stage__in=OVER).order_by("-pk"))
    job = next((job for job in jobs if str(job.pk) == job_pk), jobs[0] if jobs else None)
    if job is None or not policy.check(user, "design.draft", job):
        return {"jobs_of_house": jobs, "job": None}
    draft = draft_of(job)
    values: dict[str, Any] = {"jobs_of_house": jobs, "job": job, "obstacles": draft.obstacles}
    if draft.result is not None:
        result = draft.result.line(line.label)
        sheet = assessment.criteria_for(job)
        values |= {"line_result": result, "link_rows": link_rows(result), "study": not sheet.is_confirmed}
    return values


def link_rows(result: LineResult) -> list[LinkRow]:
    """The chain's rows in order, each with its status as found."""
    found = {link.link: link.check.status for link in result.as_found}
    return [LinkRow(link.link, link.name, found.get(link.link, ""), link) for link in result.links]


def _obstacle(job: Job, sentence: str, about: str) -> Obstacle:
    """Where the sentence, or the dotted field, points: the house, a wall line, or a line's choices."""
    house: House = job.house
    if label := re.match(r"(?:Wall line |lines\.)([^:. ]+)", about):
        line = house.wall_lines.filter(label=label[1]).first()
        if line is not None:
            if re.search(r"methods|choice|end post|rod from|compression from|shear panel table", sentence):
                return Obstacle(sentence, reverse("line-choice-edit", args=[job.pk, line.pk]), f"methods of {line}")
            return Obstacle(sentence, reverse("wall-line-edit", args=[line.pk]), str(line))
    if "criteria" in sentence:
        return Obstacle(sentence, reverse("job-detail", args=[job.pk]), "criteria of the job")
    return Obstacle(sentence, reverse("house-edit", args=[house.pk]), "house")
