"""The engineer's pages: what waits, and everything about one job in one place to judge and to sign."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from jobs import policy
from jobs.errors import Refused, Stale
from jobs.models import CodeFamily, CriteriaSheet, ExistingAnchor, FoundSheathing, Job, JobEvent, Stage, WallLine
from jobs.services import accepted_tests, criteria, houses, stages, wall_lines
from jobs.services import stamps as stamp_service
from jobs.web import review as gather
from jobs.web.as_built_page import tests_to_accept
from jobs.web.criteria_form import CriteriaForm
from jobs.web.forms import add_refusal, error_lines
from jobs.web.guards import Meanwhile, meanwhile, needs, seen_version, typed
from jobs.web.nailing_form import NailingForm


@require_safe
@needs("review.view")
def review_list(request: HttpRequest) -> HttpResponse:
    """The jobs assigned to this engineer, those that wait for them first."""
    return render(
        request,
        "jobs/review_list.html",
        {
            "rows": gather.review_list(request.user),
            "table_sets": gather.table_sets(request.user),
            "licences": gather.licences(request.user),
        },
    )


@require_safe
@needs("review.view")
def review(request: HttpRequest, pk: int) -> HttpResponse:
    """One job: criteria, checks with their steps, what is open or assumed, the packet, the stamp."""
    return _page(request, _job(request, pk))


@require_http_methods(["GET", "HEAD", "POST"])
@needs("review.view")
def criteria_confirm(request: HttpRequest, pk: int) -> HttpResponse:
    """The criteria sheet as a form; saved, or saved and confirmed under the engineer's licence."""
    job = _job(request, pk)
    sheet = get_object_or_404(CriteriaSheet, job=job)
    policy.require(request.user, "criteria.edit", on=sheet)
    if request.method != "POST":
        return _criteria_page(request, job, sheet, CriteriaForm(sheet=sheet))
    form = CriteriaForm(request.POST, sheet=sheet)
    if not form.is_valid():
        return _criteria_page(request, job, sheet, form, status=400)
    confirming = request.POST.get("act") == "confirm"
    try:
        _save_sheet(form, sheet, request, confirming=confirming)
    except Stale as why:
        sheet.refresh_from_db()
        log = JobEvent.objects.filter(job=job, what__startswith="criteria.")
        told = meanwhile(why, form, log, seen=seen_version(request))
        form.data = form.data.copy()
        form.data["version"] = str(sheet.version)
        return _criteria_page(request, job, sheet, form, told=told, status=409)
    except Refused as why:
        sheet.refresh_from_db()
        return _criteria_page(request, job, sheet, form, reasons=why.reasons, status=409)
    except ValidationError as error:
        add_refusal(form, error)
        return _criteria_page(request, job, sheet, form, status=400)
    messages.success(request, "Criteria sheet confirmed." if confirming else "Criteria sheet saved, not confirmed.")
    return redirect("review", job.pk)


@transaction.atomic
def _save_sheet(form: CriteriaForm, sheet: CriteriaSheet, request: HttpRequest, *, confirming: bool) -> None:
    seen_version = form.cleaned_data["version"]
    if changes := form.changed_facts(sheet):
        seen_version = criteria.edit_sheet(
            sheet_id=sheet.pk, seen_version=seen_version, changes=changes, by=request.user
        ).version
    if confirming:
        criteria.confirm_sheet(sheet_id=sheet.pk, seen_version=seen_version, by=request.user)
    elif not changes and seen_version != sheet.version:
        raise Stale(sheet)


@require_POST
@needs("review.view")
def criteria_start(request: HttpRequest, pk: int) -> HttpResponse:
    """Give the job its own sheet, copied from the standing template."""
    job = _job(request, pk)
    return _do(
        request,
        job,
        lambda: criteria.start_sheet(job_id=job.pk, by=request.user),
        "The job has its own criteria sheet now; it is not confirmed.",
    )


@require_POST
@needs("tables.accept")
def tables_accept(request: HttpRequest) -> HttpResponse:
    """Accept an edition's printed tables under a licence, once."""
    family = request.POST.get("code_family", "")
    if family not in CodeFamily.values:
        raise Http404(f"No code family {family!r}.")
    licence = next((row for row in gather.licences(request.user) if str(row.pk) == request.POST.get("licence")), None)
    try:
        if licence is None:
            raise Refused("Choose one of your licences that is in force.")
        criteria.accept_tables(code_family=family, licence_id=licence.pk, by=request.user)
    except Refused as why:
        for reason in why.reasons:
            messages.error(request, reason)
    else:
        messages.success(request, f"{family} table set accepted under {licence}.")
    return _back(request)


@require_POST
@needs("anchor.accept")
def anchor_accept(request: HttpRequest, pk: int) -> HttpResponse:
    """Let one existing bolt count, with the reason."""
    anchor = get_object_or_404(ExistingAnchor.objects.select_related("wall_line__house"), pk=pk)
    job = _job_of_house(request, anchor.wall_line.house_id)
    return _do(
        request,
        job,
        lambda: wall_lines.accept_anchor(
            anchor_id=anchor.pk,
            seen_version=seen_version(request),
            reason=request.POST.get("reason", ""),
            by=request.user,
        ),
        f"Accepted: {anchor} of {anchor.wall_line}.",
    )


@require_POST
@needs("sheathing.accept")
def sheathing_accept(request: HttpRequest, pk: int) -> HttpResponse:
    """Let sheathing that was found count as found, with the reason."""
    sheathing = get_object_or_404(FoundSheathing.objects.select_related("wall_line__house"), pk=pk)
    job = _job_of_house(request, sheathing.wall_line.house_id)
    return _do(
        request,
        job,
        lambda: wall_lines.accept_sheathing(
            sheathing_id=sheathing.pk,
            seen_version=seen_version(request),
            reason=request.POST.get("reason", ""),
            by=request.user,
        ),
        f"Accepted: {sheathing} of {sheathing.wall_line}.",
    )


@require_POST
@needs("nailing.accept")
def nailing_accept(request: HttpRequest, pk: int) -> HttpResponse:
    """Take the nailing of the code of the year built for a link of one line, with edition and reason."""
    line = get_object_or_404(WallLine.objects.visible_to(request.user), pk=pk)
    job = _job_of_house(request, line.house_id)
    form = NailingForm(request.POST)

    def act() -> None:
        if not form.is_valid():
            raise Refused(*(f"{form.fields[name].label}: {said[0]}" for name, said in form.errors.items()))
        wall_lines.accept_nailing(wall_line_id=line.pk, by=request.user, **form.cleaned_data)

    return _do(request, job, act, f"Taken: the nailing of {line}.")


@require_POST
@needs("foundation.accept")
def foundation_accept(request: HttpRequest, pk: int) -> HttpResponse:
    """Accept what one line's foundation is given to carry, with the reason."""
    line = get_object_or_404(WallLine.objects.visible_to(request.user), pk=pk)
    job = _job_of_house(request, line.house_id)
    return _do(
        request,
        job,
        lambda: wall_lines.accept_foundation(
            wall_line_id=line.pk,
            seen_version=seen_version(request),
            reason=request.POST.get("reason", ""),
            by=request.user,
        ),
        f"Accepted: the foundation under {line}.",
    )


@require_POST
@needs("test.accept")
def test_accept(request: HttpRequest, pk: int) -> HttpResponse:
    """Let a test stand for an inspection that was not held, with what was measured and the reason."""
    job = _job(request, pk)

    def act() -> None:
        waiting = tests_to_accept(job)
        named = typed(request.POST, "test")
        planned = next((test for name, test, *_ in waiting["plan"] if name == named), None)
        if planned is None:
            raise Refused("The test plan changed meanwhile: look at it again.")
        accepted_tests.accept_test(
            design_id=waiting["design_built"].pk,
            wall_line_label=planned.line,
            role=planned.role,
            panel=planned.panel,
            piece=planned.piece,
            positions_in=planned.positions_in,
            method=request.POST.get("method", ""),
            value=typed(request.POST, "value")[:120],
            reason=typed(request.POST, "reason")[:300],
            by=request.user,
        )

    return _do(request, job, act, "The test is accepted.")


@require_POST
@needs("review.view")
def mode_name(request: HttpRequest, pk: int) -> HttpResponse:
    """Name the way in which a flagged hillside or open front is calculated."""
    job = _job(request, pk)
    return _do(
        request,
        job,
        lambda: houses.name_mode(
            house_id=job.house_id,
            item=request.POST.get("item", ""),
            mode=request.POST.get("mode", ""),
            seen_version=seen_version(request),
            by=request.user,
        ),
        "Mode named.",
    )


@require_POST
@needs("review.view")
def review_return(request: HttpRequest, pk: int) -> HttpResponse:
    """Send the job back to "designed" with a comment."""
    job = _job(request, pk)
    return _do(
        request,
        job,
        lambda: stages.return_job(
            job_id=job.pk,
            text=request.POST.get("comment", ""),
            seen_stage=request.POST.get("seen_stage", ""),
            by=request.user,
        ),
        "Returned with your comment.",
    )  # fmt: skip


@require_POST
@needs("review.view")
def review_stamped(request: HttpRequest, pk: int) -> HttpResponse:
    """Move the job on once every file of its packet bears the stamp."""
    job = _job(request, pk)
    return _do(
        request,
        job,
        lambda: stages.move_job(
            job_id=job.pk, to=Stage.STAMPED, seen_stage=request.POST.get("seen_stage", ""), by=request.user
        ),
        "The job is stamped.",
    )


@require_POST
@needs("review.view")
def packet_withdraw(request: HttpRequest, pk: int) -> HttpResponse:
    """Take the engineer's stamp off a packet, with the reason; it is superseded from then on."""
    job = _job(request, pk)
    named = request.POST.get("packet", "")
    packet = get_object_or_404(gather.packets_of(job), pk=int(named) if named.isdecimal() and len(named) < 19 else 0)
    return _do(
        request,
        job,
        lambda: stamp_service.withdraw(packet_id=packet.pk, reason=request.POST.get("reason", ""), by=request.user),
        "Packet withdrawn.",
    )


def _job(request: HttpRequest, pk: int) -> Job:
    jobs = Job.objects.visible_to(request.user).select_related("house__jurisdiction", "assigned_engineer")
    job = get_object_or_404(jobs, pk=pk)
    policy.require(request.user, "review.view", on=job)
    return job


def _job_of_house(request: HttpRequest, house_id: int) -> Job:
    """The engineer's job of this house that the form came from."""
    jobs = Job.objects.filter(assigned_engineer=request.user, house_id=house_id)
    named = request.POST.get("job", "")
    return get_object_or_404(jobs, pk=int(named) if named.isdecimal() and len(named) < 19 else 0)


def _do(request: HttpRequest, job: Job, act: Callable[[], object], done: str) -> HttpResponse:
    """Run one act; a refusal shows the page again with its reasons and what was typed."""
    try:
        act()
    except Refused as why:
        return _page(request, _job(request, job.pk), reasons=why.reasons, typed=request.POST, status=409)
    messages.success(request, done)
    return redirect("review", job.pk)


def _back(request: HttpRequest) -> HttpResponse:
    named = request.POST.get("job", "")
    if named.isdecimal() and len(named) < 19:
        return redirect("review", _job(request, int(named)).pk)
    return redirect("review-list")


def _page(
    request: HttpRequest, job: Job, *, reasons: tuple[str, ...] = (), typed: Any = None, status: int = 200
) -> HttpResponse:
    context = gather.page_of(job, request.user, typed)
    shown = request.GET.get("file", "")
    files = context.get("files", [])
    context["shown_file"] = next((file for file in files if str(file.pk) == shown), files[0] if files else None)
    return render(request, "jobs/review.html", {**context, "reasons": reasons, "typed": typed or {}}, status=status)


def _criteria_page(
    request: HttpRequest,
    job: Job,
    sheet: CriteriaSheet,
    form: CriteriaForm,
    *,
    reasons: tuple[str, ...] = (),
    told: Meanwhile | None = None,
    status: int = 200,
) -> HttpResponse:
    return render(
        request,
        "jobs/criteria_sheet.html",
        {
            "job": job,
            "sheet": sheet,
            "form": form,
            "errors": error_lines(form) if form.is_bound else [],
            "reasons": reasons,
            "meanwhile": told,
            "licences": gather.licences(request.user),
        },
        status=status,
    )
