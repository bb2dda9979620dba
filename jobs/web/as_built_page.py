"""A design as built, on pages: for office, estimator and engineer with its ratios, for the crew without. No write."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from engineering import wall_panels
from engineering.as_built_results import INSIDE, OUTSIDE, AsBuiltResult, PlannedTest, Shortfall, Uncounted
from engineering.field_counts import NOT_LOGGED
from engineering.tolerances import INSPECTED
from jobs import as_built, policy
from jobs.models import Design, Job, ProofMethod, WorkOrder
from jobs.services import field_work
from jobs.web.guards import needs
from jobs.web.tasks import ROLES, tape


@require_safe
@needs("as_built.view")
def job_as_built(request: HttpRequest, pk: int) -> HttpResponse:
    """Each line and link as found, as designed and as built; what is short, asked, to be tested, in the way."""
    job = get_object_or_404(Job.objects.visible_to(request.user).select_related("house"), pk=pk)
    policy.require(request.user, "as_built.view", on=job)
    context: dict[str, Any] = {
        "job": job,
        "house": job.house,
        "design": (design := as_built.design_built(job)),
        "may_review": policy.check(request.user, "review.view", on=job),
    }
    if design is not None:
        context |= _context(job, design)
    return render(request, "jobs/as_built.html", context)


def _context(job: Job, design: Design) -> dict[str, Any]:
    record = as_built.recheck(design)
    result = record.result
    context: dict[str, Any] = {
        "record": record,
        "open_shortfalls": field_work.open_shortfalls(job),
        "tests": design.accepted_tests.select_related("accepted_by"),
        "earlier": job.work_orders.exclude(design=design).filter(events__isnull=False).distinct().count(),
    }
    if result is None:
        return context | {"blocked": record.close_out_blocked_by}
    names = names_of(design)
    untouched = [line.label for line in result.standing if not line.items]
    context |= {
        "result": result,
        "untouched": untouched,
        "blocked": _blocked(record, result, untouched),
        "questions": [one for one in result.decisions if one.ruling == OUTSIDE and one.tolerance != INSPECTED.key],
        "logged_only": [one for one in result.decisions if one.ruling == INSIDE],
        "shortfalls": [missing_row(one, names) for one in result.shortfalls if one.line not in untouched],
        "uncounted": [(one, where(one)) for one in result.uncounted if one.line not in untouched],
        "plan": [(one, where(one)) for one in result.test_plan],
    }
    return context


def _blocked(record: as_built.Record, result: AsBuiltResult, untouched: list[str]) -> list[str]:
    """What close-out waits for, a sentence a line."""
    if not record.close_out_blocked_by:
        return []
    said = [f"Nothing is logged yet on {', '.join(untouched)}."] if untouched else []
    for line in result.lines:
        if line.label in untouched:
            continue
        if line.shortfall:
            said.append(f"Line {line.label} is {line.as_built_status} as built.")
        waiting = [f"{one.count} {one.role}" for one in result.uncounted
                   if one.line == line.label and one.reason == NOT_LOGGED]  # fmt: skip
        if waiting:
            said.append(f"Line {line.label}, not logged as installed: {', '.join(waiting)}.")
        if any(test.line == line.label for test in result.test_plan):
            said.append(f"Line {line.label} has work without an inspection: see the test plan.")
    return said + [f"Left out of the recheck: {one}" for one in record.unread]


def tests_to_accept(job: Job) -> dict[str, Any]:
    """For the review page: the design that is built, and each planned test by a name that its form sends back."""
    design = as_built.design_built(job)
    if design is None or not as_built.is_begun(design):
        return {"plan": []}
    result = as_built.recheck(design).result
    plan = [(name_of(one), one, where(one), _usual(one)) for one in result.test_plan] if result else []
    return {"design_built": design, "plan": plan, "methods": ProofMethod.values}


def _usual(test: PlannedTest) -> str:
    return ProofMethod.EXPOSED if test.role == wall_panels.ROLE else ProofMethod.PULL


def name_of(test: PlannedTest) -> str:
    """All that a planned test is about, so that a form speaks of what its reader saw."""
    places = ",".join(f"{at_in:g}" for at_in in test.positions_in)
    return f"{test.line}; {test.role}; {test.panel}; {test.piece}; {test.count}; {places}"


@dataclass(frozen=True, slots=True)
class Missing:
    """What a line still lacks, in the crew's words: how many more of what, and where."""

    line: str
    link: str
    words: str


def still_missing(order: WorkOrder) -> list[Missing]:
    """What the lines of an order lack by what was logged otherwise than drawn, besides what is still to be done."""
    if not as_built.is_begun(order.design):
        return []
    record = as_built.recheck_rest_as_drawn(order.design)
    if record.result is None:
        return [Missing(label, "", record.problem) for label in order.wall_line_labels]
    names = names_of(order.design)
    mine = [one for one in record.result.shortfalls if one.line in order.wall_line_labels]
    return [missing_row(one, names) for one in mine]


def missing_row(short: Shortfall, names: dict[str, str]) -> Missing:
    """One shortfall in words."""
    if not short.more:
        return Missing(short.line, short.link, f"link {short.link}: stop, the engineer decides.")
    what = f"{ROLES.get(short.role, short.role)}, {names.get(short.connector, short.connector)}"
    do = "more" if short.remedy == "install" else "to test or inspect"
    at = f", {place}" if (place := where(short)) else ""
    rest = "" if short.closes else " That is not all: the engineer decides."
    return Missing(short.line, short.link, f"{short.more} {do}: {what}{at}.{rest}")


def where(one: Shortfall | Uncounted | PlannedTest) -> str:
    """Panel, sill piece and places as the tape reads them."""
    parts = [f"{name} {number}" for name, number in (("panel", one.panel), ("sill piece", one.piece)) if number]
    if one.positions_in:
        parts.append(f"at {', '.join(map(tape, one.positions_in))}")
    return ", ".join(parts)


def names_of(design: Design) -> dict[str, str]:
    """The scheduled connectors' names, by catalogue key."""
    return dict(design.connection_schedule.lines.values_list("connector_key", "connector_name"))
