"""Make the office account of a new installation; everybody else is added in the browser."""

from __future__ import annotations

import sys
from getpass import getpass
from typing import Any

from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError, CommandParser

from jobs.errors import Refused
from jobs.services import people


class Command(BaseCommand):
    help = "Make the first user, who has the role office. The password is asked for, or read from standard input."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("username")

    def handle(self, *, username: str, **options: Any) -> None:
        password = getpass("Password (12 characters or more): ") if sys.stdin.isatty() else sys.stdin.readline()
        try:
            user = people.create_first_user(username=username, password=password.rstrip("\n"))
        except Refused as why:
            raise CommandError(str(why)) from why
        except ValidationError as why:
            raise CommandError(" ".join(why.messages)) from why
        self.stdout.write(f"{user.username} has the role office and can log in.")
