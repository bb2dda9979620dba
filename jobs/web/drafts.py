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
from jobs.models import OVER, Job, User, WallLine
from jobs.web.house_forms import HouseForm


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


def draft_of(job: Job, line: WallLine) -> Draft:
    """The job's draft as of today, seen from one of its house's lines."""
    try:
        return Draft(assessment.draft(job, on=timezone.localdate()))
    except Refused as why:
        return Draft(None, tuple(_obstacle(job, reason, reason, line) for reason in why.reasons))
    except OutOfRange as why:
        return Draft(None, (_obstacle(job, out_of_range_sentence(why), why.field, line),))


def out_of_range_sentence(why: OutOfRange) -> str:
    """Field, value and what is allowed, in plain words."""
    value = f"{why.value:g}" if isinstance(why.value, float) else why.value
    return f"{why.field.replace('_', ' ').capitalize()}: {value} can't be used: {why.allowed}."


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
    draft = draft_of(job, line)
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


METHODS = re.compile(
    r"methods|the choice of|end post|rod from|compression from|shear panel table|^Connector|^Use|expired|finish|covers"
)
OF_THE_HOUSE = ("building", "hazard", "access opening", "lines", *HouseForm.base_fields)


def _obstacle(job: Job, sentence: str, about: str, line: WallLine) -> Obstacle:
    """Where a sentence, or a dotted field, points: the house, the criteria, a wall line, or a line's methods.

    A field that names no line may be any line's; the one that the user looks at is offered.
    """
    if label := re.match(r"(?:Wall line |lines\.)([^:. ]+)", about):
        line = job.house.wall_lines.filter(label=label[1]).first() or line
    elif about.startswith("House") or about.split(".")[0] in OF_THE_HOUSE:
        return Obstacle(sentence, reverse("house-edit", args=[job.house_id]), "house")
    elif "company's" in about:
        return Obstacle(sentence, reverse("admin:index"), "the company's records, kept by the office")
    elif "criteria" in about:
        return Obstacle(sentence, reverse("job-detail", args=[job.pk]), "criteria of the job")
    if METHODS.search(sentence):
        return Obstacle(
            sentence, reverse("line-choice-edit", args=[job.pk, line.pk]), f"methods of wall line {line.label}"
        )
    return Obstacle(sentence, reverse("wall-line-edit", args=[line.pk]), f"wall line {line.label}")
