"""The demo: its command, and its story on awkward days."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
import time_machine
from django.conf import settings as project_settings
from django.core.management import CommandError, call_command
from django.utils import timezone

from jobs.models import Design, Job, Packet, Stamp, User, WorkOrder
from jobs.services.stamps import currency
from reports.demo import people, story
from reports.documents import registry
from reports.models import Document, State
from reports.services import documents, packets
from reports.services.stamping import check_stamp
from tests.factories import CompanyFactory, UserFactory
from tests.reports.papers import section


class TestTheCommand:
    def test_it_starts_over_and_prints_a_password_for_each_role_once(self, demo_company):
        assert "Emptied the demo's database" in demo_company.output
        assert len(demo_company.passwords) == 4
        assert "leftover" not in demo_company.output
        assert demo_company.output.count(": valid, ") == 2
        again = demo_company.manage("demo", "--once")
        assert again.returncode == 0, again.stderr
        assert "26-" not in again.stderr
        assert not any(password in again.stdout for password in demo_company.passwords.values())
        assert again.stdout.count(": valid, ") >= 2  # an engineer may have stamped more since
        assert "NOT VALID" not in again.stdout

    def test_every_file_that_it_names_is_there(self, demo_company):
        named = [line.rpartition(", ")[2] for line in demo_company.output.splitlines() if line.endswith(".pdf")]
        assert len(named) == 9
        for path in named:
            assert (demo_company.var / "files").as_posix() in path
            with open(path, "rb") as file:
                assert file.read(5) == b"%PDF-"

    def test_it_has_no_place_on_a_companys_server(self, demo_company):
        company = {
            "STEMWALL_HOSTS": "stemwall.example", "STEMWALL_SECRET_KEY": "x" * 60, "STEMWALL_REDIS_URL": "redis://x",
            "STEMWALL_DATABASE_URL": demo_company.environment.get("STEMWALL_DATABASE_URL", "sqlite:///:memory:"),
        }  # fmt: skip
        refused = demo_company.manage("demo", "--once", "--reset", **company)
        assert refused.returncode == 1
        assert "not a place for a demo" in refused.stderr


@pytest.mark.django_db
@pytest.mark.parametrize("words", [["--once"], ["--once", "--reset"]])
@pytest.mark.parametrize("own_data", ["a user", "a company"])
def test_a_database_that_is_not_a_demo_is_neither_loaded_nor_reset(words, own_data):
    row = UserFactory() if own_data == "a user" else CompanyFactory()
    with pytest.raises(CommandError, match="company's own data"):
        call_command("demo", *words)
    row.refresh_from_db()
    assert User.objects.count() == (own_data == "a user")


@pytest.fixture
def told(settings, tmp_path, monkeypatch, db):
    """The story on a given day, its papers a small sheet each, drawn here."""
    monkeypatch.setattr(registry, "sections", lambda kind, snapshot, subject: [section()])
    settings.ENV = replace(project_settings.ENV, var=tmp_path)
    documents._sections.cache_clear()

    def drawn() -> None:
        for document in Document.objects.filter(state=State.QUEUED):
            documents.render_here(document.pk)
        for packet_id in packets.fillable():
            packets.fill_packet(packet_id)

    def tell() -> tuple[date, list[Job], people.People]:
        today = timezone.localdate()
        crowd = people.make(today)
        return today, story.tell(crowd, today, drawn), crowd

    return tell


DAYS = {
    "a leap day": datetime(2028, 2, 29, 20, tzinfo=UTC),
    "the last evening of a year": datetime(2027, 1, 1, 7, 30, tzinfo=UTC),  # 31 Dec, 23:30 in Los Angeles
}


@pytest.mark.parametrize("moment", DAYS.values(), ids=DAYS.keys())
def test_the_story_holds_on_any_day(told, moment):
    with time_machine.travel(moment, tick=True):
        today, jobs, crowd = told()
        assert [job.stage for job in jobs] == ["in progress", "in review", "surveyed"]
        assert not Document.objects.exclude(state=State.READY).exists()
        complete, waiting, surveyed = jobs
        assert complete.number.startswith(f"{today:%y}-")
        assert complete.contract_signed_on < complete.cancellation_ends_on < complete.permit_applied_on
        assert complete.permit_applied_on < complete.permit_issued_on <= today
        assert [order.day for order in WorkOrder.objects.order_by("number")] == [today, today + timedelta(days=1)]
        assert waiting.waiting_for_due > today
        assert not surveyed.designs.exists()
        assert Stamp.objects.count() == 2
        assert all(check_stamp(stamp).accepted for stamp in Stamp.objects.all())
        assert currency(Packet.objects.get(design__job=complete)).state == "current"
        assert currency(Packet.objects.get(design__job=waiting)).state == "not stamped"
        assert len(set(crowd.passwords.values())) == 4


def test_the_complete_house_keeps_its_ceiling_and_shows_what_the_other_way_would_open(told):
    told()
    result = json.loads(Design.objects.order_by("pk").first().snapshot)["result"]
    for line in result["lines"]:
        assert line["status"] == "ok", line["label"]
        ways = {option["method"]: option for option in line["options"] if option["link"] == "1"}
        assert ways["through-plate screws"]["feasible"]
        assert not ways["through-plate screws"]["opens_ceiling"]
        assert ways["framing angles"]["feasible"]
        assert ways["framing angles"]["opens_ceiling"]
    stitched = {row["label"] for row in result["schedule"]["lines"]
                if any(item["role"] == "stitch nails" for item in row["items"])}  # fmt: skip
    assert stitched == {"1", "2"}  # the walls whose end joist lies flush with the plates
