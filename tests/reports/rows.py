"""Rows for the tests of papers: a job with an issued design, people, a work order, and a stand-in for the workers."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from itertools import count
from typing import Any

from django.contrib.auth.models import Group
from django.utils import timezone

from jobs.models import Client, Crew, Design, House, Job, Jurisdiction, LegalBasis, User, WorkOrder
from reports import hint, tasks
from reports.documents import registry
from reports.sections import Section, canonical, sha256_of
from reports.services import documents
from tests.reports.papers import section

NUMBERS = count(1)


def a_user(role: str, **more: Any) -> User:
    user = User.objects.create(username=f"{role}-{next(NUMBERS)}", **more)
    user.groups.add(Group.objects.get_or_create(name=role)[0])
    return user


def a_job(*, engineer: User | None = None, stamp_required: bool = True) -> Job:
    number = next(NUMBERS)
    place = Jurisdiction.objects.create(
        name=f"Rivermouth {number}", state="CA", code_title="Example code", code_family="2021", edition="2022",
        stamp_required=stamp_required,
    )  # fmt: skip
    house = House.objects.create(
        client=Client.objects.create(name="A. Example"), jurisdiction=place, address="12 Alder Street",
        city="Rivermouth", state="CA", postal_code="00000",
    )  # fmt: skip
    return Job.objects.create(
        number=f"J-{number}", house=house, title="Cripple walls", legal_basis=LegalBasis.VOLUNTARY,
        assigned_engineer=engineer,
    )  # fmt: skip


def a_design(*, job: Job | None = None, revision: int = 1, quantity_study: bool = False, **more: Any) -> Design:
    """An issued design whose snapshot holds what the title strip needs, and `notes`, which the sections print."""
    job = job or a_job()
    text = canonical(
        {
            "format": 1,
            "house": {"address": "12 Alder Street", "city": "Rivermouth", "state": "CA", "postal_code": "00000"},
            "job": {"number": job.number, "title": job.title, "company": {"name": "Example Retrofit"}},
            "jurisdiction": {
                "stamp_required": job.house.jurisdiction.stamp_required,
                "stamp_method": job.house.jurisdiction.stamp_method,
                "sheet_size": job.house.jurisdiction.sheet_size,
            },
            "criteria": {"quantity_study": quantity_study},
            "notes": more.get("notes", ["first", "second", "third"]),
        }
    )
    return Design.objects.create(
        job=job, revision=revision, snapshot=text, inputs_sha256="11" * 32, snapshot_sha256=sha256_of(text),
        calculated_on=date(2026, 11, 2), software_version="0.1.0", issued_by=a_user("estimator"),
        issued_at=timezone.now(), quantity_study=quantity_study,
    )  # fmt: skip


def a_work_order(design: Design, *, lead: User | None = None) -> WorkOrder:
    crew = Crew.objects.create(name=f"Crew {next(NUMBERS)}", lead=lead or a_user("installer"))
    return WorkOrder.objects.create(
        job=design.job, design=design, number=next(NUMBERS), crew=crew, day=date(2026, 11, 25), wall_line_labels=["1"]
    )


def sections_of_notes(kind: str, snapshot: dict[str, Any], subject: dict[str, Any] | None) -> list[Section]:
    """A section for each note of the snapshot."""
    about = f" for {subject['number']} on {subject['day']}" if subject else ""
    return [
        section(f"note {number}", f"N{number}.0", f"<p>{kind}: {note}{about}</p>")
        for number, note in enumerate(snapshot["notes"], start=1)
    ]


class Workers:
    """The messages that were sent, and workers who do what they say when told to."""

    def __init__(self, monkeypatch: Any) -> None:
        self.messages: list[tuple[str, tuple[Any, ...]]] = []
        monkeypatch.setattr(hint, "_send", lambda task, *args: self.messages.append((task, args)))
        monkeypatch.setattr(registry, "sections", sections_of_notes)
        documents._sections.cache_clear()

    def sent(self, name: str) -> list[tuple[Any, ...]]:
        return [args for task, args in self.messages if task == f"reports.tasks.{name}"]

    def work(self, *, deliver: Callable[[str], int] = lambda name: 1) -> None:
        """Do everything that was sent and what that sends; `deliver` says how often a message arrives."""
        while self.messages:
            task, args = self.messages.pop(0)
            name = task.rpartition(".")[2]
            for _ in range(deliver(name)):
                getattr(tasks, name)(*args)
