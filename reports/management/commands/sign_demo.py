"""Play the engineer's signing tool with a throw-away key: sign a signing copy, or enrol the key's certificate."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from jobs.errors import Refused
from jobs.models import Company, User
from jobs.services import people
from jobs.services.stamps import day_text
from reports import demo_engineer


class Command(BaseCommand):
    help = (
        "Sign a signing copy as the demo's engineer: sign_demo IN.pdf OUT.pdf. The key is made on first use and is no "
        "licence. With --enrol, pin its certificate to an engineer of a demo database."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("signing_copy", nargs="?", type=Path, metavar="IN.pdf")
        parser.add_argument("signed", nargs="?", type=Path, metavar="OUT.pdf")
        parser.add_argument("--key", type=Path, default=settings.ENV.var / "demo-engineer.p12", metavar="FILE.p12")
        parser.add_argument("--name", default="Demo Engineer, PE", help="whose name a new key carries")
        parser.add_argument("--licence", default="no licence", help="what the seal prints under the name")
        parser.add_argument("--enrol", metavar="USERNAME", help="the engineer to enrol the certificate for")
        parser.add_argument("--by", metavar="USERNAME", help="the office user who enrols it")

    def handle(self, *, signing_copy: Path | None, signed: Path | None, key: Path, **options: Any) -> None:
        if not options["enrol"] and (signing_copy is None or signed is None):
            raise CommandError("Name a signing copy and the file to write, or use --enrol.")
        throw_away = demo_engineer.load_or_make_key(key, name=options["name"], now=timezone.now())
        if options["enrol"]:
            self._enrol(throw_away, options["enrol"], options["by"])
        if signing_copy is not None and signed is not None:
            if not signing_copy.is_file():
                raise CommandError(f"There is no file {signing_copy}.")
            day = day_text(timezone.localdate())
            signed.write_bytes(
                demo_engineer.sign(signing_copy.read_bytes(), throw_away, licence=options["licence"], day=day)
            )
            self.stdout.write(f"Signed as {throw_away.name}: {signed}")

    def _enrol(self, key: demo_engineer.ThrowAwayKey, username: str, office: str | None) -> None:
        if not Company.objects.filter(demo=True).exists():
            raise CommandError("This is not a demo database; a throw-away certificate is enrolled nowhere else.")
        try:
            engineer, by = User.objects.get(username=username), User.objects.get(username=office or "")
        except User.DoesNotExist as why:
            raise CommandError("--enrol names an engineer and --by an office user who enrols for them.") from why
        try:
            row = people.enrol_certificate(user_id=engineer.pk, certificate_pem=key.certificate_pem, by=by)
        except Refused as why:
            raise CommandError(str(why)) from why
        self.stdout.write(f"Enrolled for {engineer.display_name}: {row.subject}, SHA-256 {row.fingerprint_sha256}")
