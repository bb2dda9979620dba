"""The office's pages: the dated list of jobs, the job with its moves, dated facts, holds, and who works on it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.db.models import Exists, OuterRef, Q, QuerySet, Subquery
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from engineering.errors import OutOfRange
from jobs import policy
from jobs.errors import Refused, Stale
from jobs.models import OVER, CriteriaSheet, Hold, House, Job, JobEvent, Packet, ReviewComment, Role, Stage, User
from jobs.services import criteria, designs, stages
from jobs.services import jobs as job_service
from jobs.services.stamps import currency
from jobs.web.drafts import out_of_range_sentence
from jobs.web.forms import (
    AssignForm,
    CitySetForm,
    HoldForm,
    JobForm,
    NewJobForm,
    add_refusal,
    error_lines,
)
from jobs.web.guards import meanwhile, needs, seen_version, typed

A_PAGE = 25
OPEN = "open"  # the filter for jobs that are not over
LOG_SHOWN = 8
MOVED = Q(what__startswith="job.move.") | Q(what__in=("job.create", "review.return"))  # it has its stage since then
form_page = require_http_methods(["GET", "HEAD", "POST"])


# --- the list --------------------------------------------------------------------------------------------------------
@require_safe
@needs("job.view")
def job_list(request: HttpRequest) -> HttpResponse:
    """Jobs with stage, what each waits for and since when; `q` searches, `stage` filters, both in the address."""
    asked, stage = typed(request.GET, "q"), request.GET.get("stage", OPEN)
    found = _searched(Job.objects.visible_to(request.user), asked, policy.check(request.user, "client.view"))
    if stage == OPEN:
        found = found.exclude(stage__in=OVER)
    elif stage in Stage:
        found = found.filter(stage=stage)
    found = found.annotate(
        since=Subquery(JobEvent.objects.filter(MOVED, job=OuterRef("pk")).order_by("-at", "-pk").values("at")[:1]),
        on_hold=Exists(Hold.objects.filter(job=OuterRef("pk"), until__isnull=True)),
    ).select_related("house__client")
    page = Paginator(found.order_by("-number"), A_PAGE).get_page(request.GET.get("page"))
    context = {
        "page": page, "asked": asked, "stage": stage, "stages": Stage.choices,
        "may_create": policy.check(request.user, "job.create"),
        "may_see_clients": policy.check(request.user, "client.view"),
    }  # fmt: skip
    return render(request, "jobs/job_list.html", context)


def _searched(jobs: QuerySet[Job], asked: str, with_clients: Any) -> QuerySet[Job]:
    """Each word is found in number, title, address, or, for those who may see clients, the client's name."""
    for word in asked.split():
        hit = (
            Q(number__icontains=word)
            | Q(title__icontains=word)
            | Q(house__address__icontains=word)
            | Q(house__city__icontains=word)
            | Q(permit_number__icontains=word)
        )
        jobs = jobs.filter(hit | Q(house__client__name__icontains=word) if with_clients else hit)
    return jobs


# --- one job ---------------------------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Move:
    """A move that this user may make: where to, and every reason against it now."""

    to: Stage
    reasons: list[str]
    needs_note: bool


@require_safe
@needs("job.view")
def job_detail(request: HttpRequest, pk: int) -> HttpResponse:
    return _job_page(request, _visible_job(request, pk))


def _visible_job(request: HttpRequest, pk: int) -> Job:
    jobs = Job.objects.visible_to(request.user).select_related(
        "house__client", "house__jurisdiction", "assigned_engineer", "estimator"
    )
    return get_object_or_404(jobs, pk=pk)


def _job_page(request: HttpRequest, job: Job, *, refused: tuple[str, ...] = (), refusal: str = "") -> HttpResponse:
    """The job's page; after a refused act the same page with all its reasons, 409."""
    user = request.user
    may = {name: policy.check(user, action, job) for name, action in JOB_ACTS.items()}
    may["criteria"] = policy.check(user, "criteria.view")
    may["design"] = policy.check(user, "design.view")
    order = stages.IN_ORDER
    events = list(job.events.select_related("by").order_by("-at", "-pk")) if may["edit"] else []
    context: dict[str, Any] = {
        "job": job, "house": job.house, "may": may, "may_see_client": policy.check(user, "client.view"),
        "stations": [_station(stage, job, order) for stage in order],
        "on_way": [move for move in _moves(user, job) if move.to not in (Stage.LOST, Stage.CANCELLED)],
        "ways_out": [move for move in _moves(user, job) if move.to in (Stage.LOST, Stage.CANCELLED)],
        "since": job.events.filter(MOVED).order_by("-at", "-pk").first(),
        "hold": job.current_hold, "hold_form": HoldForm(label_suffix=""),
        "assign_form": AssignForm(initial={"engineer": job.assigned_engineer_id}, label_suffix=""),
        "city_set_form": CitySetForm(label_suffix=""),
        "events": events[:LOG_SHOWN], "older_events": events[LOG_SHOWN:],
        "comments": job.review_comments.select_related("by", "design"),
        "work_orders": job.work_orders.visible_to(user).select_related("crew", "design"),
        "inspections": job.inspections.order_by("-day", "-pk"),
        "refused": refused, "refusal": refusal,
    }  # fmt: skip
    if may["criteria"]:
        context["sheet"] = CriteriaSheet.objects.filter(job=job).select_related("confirmed_by").first()
    if may["design"]:
        context["designs"] = job.designs.select_related("issued_by").order_by("-revision")
        context["lines"] = _lines_with_choices(job)
        packets = Packet.objects.visible_to(user).filter(design__job=job).select_related("design")
        context["packets"] = [(packet, currency(packet)) for packet in packets.order_by("-created_at")]
    return render(request, "jobs/job_detail.html", context, status=409 if refused else 200)


JOB_ACTS = {
    "edit": "job.edit",
    "assign": "job.assign",
    "hold": "job.hold",
    "permit": "job.move.record_permit",
    "start_criteria": "criteria.start",
    "draft": "design.draft",
    "issue": "design.issue",
    "resolve": "review.resolve",
    "papers": "document.view",
    "book": "work_order.create",
    "inspect": "inspection.record",
    "review": "review.view",
    "as_built": "as_built.view",
}


def _moves(user: User, job: Job) -> list[Move]:
    """A move back to review is the engineer's own page; a note is asked when the move is made."""
    return [
        Move(to, stages.reasons_against(job, to, note="asked with the move"), edge.needs_note)
        for to, edge in stages.moves_for(user, job)
        if edge.action != "review.return"
    ]


def _station(stage: Stage, job: Job, order: list[Stage]) -> dict[str, str]:
    """One stage of the line across the page: past, now or ahead; a lost job has no place on it."""
    if job.stage not in order:
        return {"label": stage.label.lower(), "state": "ahead"}
    at, now = order.index(stage), order.index(Stage(job.stage))
    return {"label": stage.label.lower(), "state": "now" if at == now else "past" if at < now else "ahead"}


def _lines_with_choices(job: Job) -> list[dict[str, Any]]:
    choices = {
        choice.wall_line_id: choice for choice in job.line_choices.select_related("floor_to_plate", "sheathing_nail")
    }
    return [{"line": line, "choice": choices.get(line.pk)} for line in job.house.wall_lines.order_by("label")]


# --- acts on a job ---------------------------------------------------------------------------------------------------
def act(action: str, refusal: str) -> Callable[[Callable[..., str]], Callable[..., HttpResponse]]:
    """A POST on a job that answers with the job's page: the message of what was done, or every reason why not."""

    def make(do: Callable[..., str]) -> Callable[..., HttpResponse]:
        @require_POST
        @needs(action)
        def view(request: HttpRequest, pk: int) -> HttpResponse:
            job = _visible_job(request, pk)
            try:
                messages.success(request, do(request, job))
            except Refused as why:
                return _job_page(request, _visible_job(request, pk), refused=why.reasons, refusal=refusal)
            except OutOfRange as why:
                reasons = (out_of_range_sentence(why),)
                return _job_page(request, _visible_job(request, pk), refused=reasons, refusal=refusal)
            return redirect("job-detail", pk)

        view.__name__, view.__doc__ = do.__name__, do.__doc__
        return view

    return make


@act("job.view", "The job stays where it is")
def job_move(request: HttpRequest, job: Job) -> str:
    """Move the job to another stage; the edge's own action is asked by the service."""
    to = request.POST.get("to", "")
    if to not in Stage:
        raise Http404(f"There is no stage “{to}”.")
    moved = stages.move_job(
        job_id=job.pk,
        to=to,
        by=request.user,
        seen_stage=request.POST.get("seen_stage", ""),
        note=typed(request.POST, "note"),
    )
    return f"{moved.number} is now: {moved.get_stage_display().lower()}."


@act("job.hold", "Not put on hold")
def job_hold(request: HttpRequest, job: Job) -> str:
    job_service.hold(job_id=job.pk, reason=typed(request.POST, "reason"), by=request.user)
    return "On hold from today."


@act("job.hold", "The hold stays")
def job_hold_lift(request: HttpRequest, job: Job) -> str:
    job_service.lift_hold(job_id=job.pk, by=request.user)
    return "The hold is lifted."


@act("job.assign", "Nobody was assigned")
def job_assign(request: HttpRequest, job: Job) -> str:
    """Give the job to an engineer."""
    form = AssignForm(request.POST)
    if not form.is_valid():
        raise Refused("Choose an engineer.")
    engineer = form.cleaned_data["engineer"]
    job_service.assign_engineer(
        job_id=job.pk, engineer_id=engineer.pk, seen_version=seen_version(request), by=request.user
    )
    return f"{engineer.display_name} is the engineer of this job."


@act("job.move.record_permit", "The city-approved set was not kept")
def job_city_set(request: HttpRequest, job: Job) -> str:
    """Keep the city-approved set."""
    form = CitySetForm(request.POST, request.FILES)
    if not form.is_valid():
        raise Refused("Choose the PDF file of the city-approved set.")
    file = form.cleaned_data["city_set"]
    job_service.upload_city_set(
        job_id=job.pk, seen_version=seen_version(request), name=file.name, data=file.read(), by=request.user
    )
    return "The city-approved set is kept with its hash."


@act("criteria.start", "No criteria sheet was started")
def criteria_start(request: HttpRequest, job: Job) -> str:
    criteria.start_sheet(job_id=job.pk, by=request.user)
    return "The criteria sheet is copied from the standing template. It decides nothing until the engineer confirms it."


@act("design.issue", "No design was issued")
def design_issue(request: HttpRequest, job: Job) -> str:
    """Freeze the draft as the next revision."""
    design = designs.issue_design(
        job_id=job.pk, by=request.user, seen_version=seen_version(request), note=typed(request.POST, "note")[:300]
    )
    kind = "a quantity study, not engineering" if design.quantity_study else "under the confirmed criteria"
    return f"Revision {design.revision} is issued: {kind}."


@act("review.resolve", "The comment stays open")
def comment_resolve(request: HttpRequest, job: Job) -> str:
    """Mark one of the engineer's comments as dealt with."""
    asked = request.POST.get("comment", "")
    comment = get_object_or_404(ReviewComment, job=job, pk=int(asked) if asked.isdecimal() else 0)
    stages.resolve_comment(comment_id=comment.pk, by=request.user, note=typed(request.POST, "note"))
    return "The comment is marked as dealt with."


@require_safe
@needs("document.view")
def city_set_file(request: HttpRequest, pk: int) -> HttpResponse:
    """The city-approved set as it was uploaded."""
    job = _visible_job(request, pk)
    policy.require(request.user, "document.view", job)
    if not job.city_set:
        raise Http404("No city-approved set was uploaded.")
    return FileResponse(job.city_set.open("rb"), filename=f"{job.number} city-approved set.pdf", as_attachment=True)


# --- opening and editing ---------------------------------------------------------------------------------------------
@form_page
@needs("job.create")
def job_create(request: HttpRequest) -> HttpResponse:
    data = request.POST if request.method == "POST" else None
    houses = House.objects.visible_to(request.user)
    form = NewJobForm(data, houses=houses, initial={"house": request.GET.get("house"), "estimator": _self(request)})
    if data is not None and form.is_valid():
        facts = form.cleaned_data
        try:
            job = job_service.create_job(house_id=facts.pop("house").pk, by=request.user, **facts)
            messages.success(request, f"Job {job.number} is open.")
            return redirect("job-detail", job.pk)
        except ValidationError as why:
            add_refusal(form, why)
        except Refused as why:
            form.add_error(None, list(why.reasons))
    return _form_page(request, "jobs/job_create.html", {"form": form, "title": "New job"})


@form_page
@needs("job.edit")
def job_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Facts of the job and the days on which things happened; permit and programme for the office."""
    job = _visible_job(request, pk)
    data = request.POST if request.method == "POST" else None
    office = bool(policy.check(request.user, "job.move.record_permit", job))
    form = JobForm.for_row(job, data, office=office)
    context: dict[str, Any] = {"form": form, "job": job, "version": job.version, "title": f"{job.number}, facts"}
    if data is not None and form.is_valid():
        try:
            job_service.edit_job(
                job_id=pk, seen_version=seen_version(request), changes=form.cleaned_data, by=request.user
            )
            messages.success(request, "Saved.")
            return redirect("job-detail", pk)
        except ValidationError as why:
            add_refusal(form, why)
        except Stale as why:
            edits = job.events.filter(what__startswith="job.")
            context |= {
                "meanwhile": meanwhile(why, form, edits, seen=seen_version(request)),
                "version": why.current.version,
            }
        except Refused as why:
            form.add_error(None, list(why.reasons))
    return _form_page(request, "jobs/job_form.html", context)


def _self(request: HttpRequest) -> int | None:
    return request.user.pk if Role.ESTIMATOR in request.user.roles else None


def _form_page(request: HttpRequest, template: str, context: dict[str, Any]) -> HttpResponse:
    posted = request.method == "POST"
    context["errors"] = error_lines(context["form"]) if posted else []
    status = 409 if "meanwhile" in context else 400 if posted else 200
    return render(request, template, context, status=status)
