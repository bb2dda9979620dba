"""What the engineer's pages show, gathered from rows and the frozen snapshot. No rule, no write."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from typing import Any

from django.db.models import QuerySet
from django.utils import timezone

from jobs import policy
from jobs.models import (
    ENGINEER_MODE_ITEMS,
    OVER,
    SCOPE_ITEMS,
    CodeFamily,
    CriteriaSheet,
    Design,
    EngineerLicence,
    ExistingAnchor,
    FoundSheathing,
    Job,
    Packet,
    Stage,
    TableSetAcceptance,
    User,
    WallLine,
)
from jobs.services import stage_guards
from jobs.services.stages import EDGES, reasons_against
from jobs.services.stamps import currency
from jobs.web.as_built_page import tests_to_accept
from jobs.web.calculation import result_rows
from jobs.web.criteria_form import sheet_rows
from jobs.web.nailing_form import NailingForm


@dataclass(frozen=True, slots=True)
class Waiting:
    """One job of the engineer's list and what it wants of them."""

    job: Job
    asks: list[str] = field(default_factory=list)


def review_list(user: User) -> list[Waiting]:
    """The engineer's own jobs, those that wait for them first."""
    jobs = Job.objects.filter(assigned_engineer=user).exclude(stage__in=OVER).select_related("house__jurisdiction")
    rows = [Waiting(job, asks_of_engineer(job, user)) for job in jobs]
    return sorted(rows, key=lambda row: (row.job.stage != Stage.IN_REVIEW, not row.asks, row.job.number))


def asks_of_engineer(job: Job, user: User) -> list[str]:
    """What only the engineer can do on this job now, a phrase each."""
    asks = []
    sheet = CriteriaSheet.objects.filter(job=job).first()
    if sheet is not None and not sheet.is_confirmed:
        asks.append("criteria sheet to confirm")
    family = sheet.code_family if sheet else job.house.jurisdiction.code_family
    if not TableSetAcceptance.objects.filter(engineer=user, code_family=family).exists():
        asks.append(f"{family} table set to accept")
    if job.stage == Stage.IN_REVIEW:
        packet = latest_packet(job)
        unstamped = packet.files.filter(needs_stamp=True, stamp__isnull=True).count() if packet else 0
        if unstamped:
            asks.append(f"{unstamped} file{'s' if unstamped > 1 else ''} to review and stamp")
    return asks


def latest_packet(job: Job) -> Packet | None:
    """The packet that the job's moves ask about; where all were withdrawn, the newest of them."""
    return stage_guards.latest_packet(job) or packets_of(job).first()


def packets_of(job: Job) -> QuerySet[Packet]:
    """Every packet of the job, newest first."""
    return Packet.objects.filter(design__job=job).select_related("design").order_by("-design__revision", "-number")


@dataclass(frozen=True, slots=True)
class TableSet:
    family: str
    label: str
    acceptance: TableSetAcceptance | None


def table_sets(user: User) -> list[TableSet]:
    """Each code family with this engineer's acceptance, if given."""
    given = {row.code_family: row for row in TableSetAcceptance.objects.filter(engineer=user)}
    return [TableSet(value, label, given.get(value)) for value, label in CodeFamily.choices]


def licences(user: User) -> list[EngineerLicence]:
    """The engineer's licences that have not run out."""
    return list(EngineerLicence.objects.filter(user=user, expires_on__gte=timezone.localdate()))


def page_of(job: Job, user: User, typed: Any = None) -> dict[str, Any]:
    """Everything on the review page; `typed` is what a refused act was sent with."""
    sheet = CriteriaSheet.objects.filter(job=job).select_related("confirmed_by").first()
    design = job.designs.order_by("-revision").first()
    family = sheet.code_family if sheet else job.house.jurisdiction.code_family
    return {
        "job": job,
        "house": job.house,
        "sheet": sheet,
        "sheet_rows": sheet_rows(sheet) if sheet else [],
        "may_start_sheet": sheet is None and bool(policy.check(user, "criteria.start", on=job)),
        "table_set": next(row for row in table_sets(user) if row.family == family),
        "licences": licences(user),
        "design": design,
        "comments": job.review_comments.select_related("by", "design"),
        "may_return": (job.stage, Stage.DESIGNED) in EDGES,
        "against_stamped": reasons_against(job, Stage.STAMPED) if job.stage == Stage.IN_REVIEW else None,
        "anchors": ExistingAnchor.objects.filter(wall_line__house=job.house)
        .select_related("wall_line", "accepted_by")
        .order_by("wall_line__label", "at_in"),
        "sheathing": FoundSheathing.objects.filter(wall_line__house=job.house)
        .select_related("wall_line", "accepted_by")
        .order_by("wall_line__label", "from_in"),
        "nailing": nailing_forms(job, typed),
        "lines": WallLine.objects.filter(house=job.house).select_related("foundation_accepted_by").order_by("label"),
        "scope": scope_rows(job),
        "built": tests_to_accept(job),
        **_packet_of(job),
        **(_design_of(design) if design else {}),
    }


def nailing_forms(job: Job, typed: Any) -> list[dict[str, Any]]:
    """Each wall line's nails on record, and the form to take the nailing of the code of the year built."""
    rows = []
    for line in WallLine.objects.filter(house=job.house).order_by("label"):
        data = typed if typed and typed.get("nailing") == str(line.pk) else None
        form = NailingForm(data, auto_id=f"nailing-{line.pk}-%s", label_suffix="")
        rows.append({"line": line, "found": line.as_found_nailing.select_related("nail", "accepted_by"), "form": form})
    return rows


def scope_rows(job: Job) -> list[dict[str, Any]]:
    """The scope screen's flagged and unobserved items."""
    rows = []
    for item, words in SCOPE_ITEMS.items():
        answer = job.house.scope_screen.get(item, {})
        if answer.get("flag") is not False:
            asks = item in ENGINEER_MODE_ITEMS and answer.get("flag") is True
            rows.append({"item": item, "words": words, "answered": bool(answer), "may_name_mode": asks, **answer})
    return rows


def _packet_of(job: Job) -> dict[str, Any]:
    packet = latest_packet(job)
    if packet is None:
        return {"packet": None}
    files = list(packet.files.select_related("stamp__signer"))
    return {
        "packet": packet,
        "files": files,
        "currency": currency(packet),
        "may_withdraw": packet.withdrawn_at is None,
        "other_packets": packets_of(job).exclude(pk=packet.pk),
    }


def _design_of(design: Design) -> dict[str, Any]:
    snapshot = json.loads(design.snapshot)
    result = snapshot["result"]
    open_links = [(line["label"], words) for line in result["lines"] for words in line["open_links"]]
    return {"snapshot": snapshot, "result": result_rows(result), "open_links": open_links}
