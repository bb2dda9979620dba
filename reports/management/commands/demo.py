"""One command from a fresh clone to a retrofit company at work. Everything in it is invented."""

from __future__ import annotations

import shutil
import time
from typing import Any
from urllib.parse import urlsplit

from django.conf import settings
from django.core.files.storage import default_storage
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import connection, transaction
from django.utils import timezone

from jobs.models import Company, Job, Packet, Stamp, User
from jobs.services.stamps import currency
from reports.demo import people, servers, story
from reports.models import Document, State
from reports.services.stamping import check_stamp
from reports.title_strip import verification_url


class Command(BaseCommand):
    help = "Load an invented company with three jobs, draw and stamp its papers, then serve it until Ctrl-C."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--once", action="store_true", help="stop before serving; exit 0 only if all is well")
        parser.add_argument("--reset", action="store_true", help="start over; only a demo database is emptied")

    def handle(self, *, once: bool, reset: bool, **options: Any) -> None:
        if settings.ENV.company:
            raise CommandError("STEMWALL_HOSTS is set: this is a company's server, not a place for a demo.")
        is_demo = self._is_demo()  # asked first: a company's database is not even migrated
        call_command("migrate", verbosity=0)
        if reset and is_demo:
            self._empty()
            is_demo = False
        with servers.running(servers.WORKER) as (worker,):
            if not is_demo:
                self._load(worker)
            servers.wait_until_drawn(worker)
            self._report()
            if not once:
                self._serve(worker)

    def _is_demo(self) -> bool:
        """Whether a demo was loaded here; CommandError where somebody's own data lies."""
        if Company._meta.db_table not in connection.introspection.table_names():
            return False
        if Company.objects.filter(demo=True).exists():
            return True
        if User.objects.exists() or Company.objects.exists():
            raise CommandError("This database holds a company's own data; a demo neither loads nor resets it.")
        return False

    def _empty(self) -> None:
        call_command("flush", interactive=False, verbosity=0)
        folder = default_storage.path("")
        shutil.rmtree(folder, ignore_errors=True)
        self.stdout.write("Emptied the demo's database and files.")

    def _load(self, worker: Any) -> None:
        today = timezone.localdate()
        started = time.monotonic()
        self.stdout.write("Loading an invented company with three jobs …")
        try:
            with transaction.atomic():
                crowd = people.make(today)
            story.tell(crowd, today, lambda: servers.wait_until_drawn(worker))
        except BaseException:
            self.stderr.write("The demo was left half made; `demo --reset` starts over.")
            raise
        self.stdout.write(f"Made in {time.monotonic() - started:.0f} s. Log in (passwords are shown this once):")
        for user in User.objects.order_by("pk"):
            roles = ", ".join(sorted(user.roles))
            self.stdout.write(f"  {user.username:8} {crowd.passwords[user.username]}   {roles}: {user.display_name}")

    def _report(self) -> None:
        """Say what is there; CommandError unless every document is ready and every stamp verifies."""
        problems = []
        for job in Job.objects.order_by("number"):
            self.stdout.write(f"\n{job}\n  {job.house}; stage: {job.get_stage_display().lower()}")
            for document in Document.objects.filter(design__job=job).order_by("pk"):
                self.stdout.write(f"  {document.get_kind_display()}: {document.pages} pages, {_place(document.file)}")
                if document.state != State.READY:
                    problems.append(f"{document.get_kind_display()} of {job.number} is {document.state}.")
            for packet in Packet.objects.filter(design__job=job):
                self.stdout.write(f"  {packet}: {currency(packet).state}; {verification_url(packet.token)}")
        for stamp in Stamp.objects.select_related("packet_file"):
            verdict = check_stamp(stamp)
            self.stdout.write(
                f"  {stamp}: {'valid' if verdict.accepted else 'NOT VALID'}, {_place(stamp.packet_file.stamped)}"
            )
            problems += [] if verdict.accepted else list(verdict.reasons)
        if not Stamp.objects.exists():
            problems.append("Nothing is stamped.")
        if problems:
            raise CommandError(" ".join(problems))

    def _serve(self, worker: Any) -> None:
        place = urlsplit(settings.STEMWALL_URL)
        address = f"{place.hostname}:{place.port or 80}"
        with servers.running(servers.web(address)) as (web,):
            self.stdout.write(f"\nServing {settings.STEMWALL_URL} until Ctrl-C; logs in {settings.ENV.var / 'log'}.")
            try:
                while worker.poll() is None and web.poll() is None:
                    time.sleep(0.5)
            except KeyboardInterrupt:
                self.stdout.write("Stopped.")
                return
            raise CommandError(f"A server stopped by itself; see {settings.ENV.var / 'log'}.")


def _place(name: str) -> str:
    return default_storage.path(name) if name else "-"
