"""`manage.py first_user`: the office account of a new installation."""

from __future__ import annotations

import io
import sys

import pytest
from django.core.management import CommandError, call_command

from jobs.models import User
from tests.factories import UserFactory

pytestmark = pytest.mark.django_db


def make(monkeypatch, password: str) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO(f"{password}\n"))
    call_command("first_user", "olga")


def test_it_makes_an_office_user_who_can_log_in(monkeypatch, client):
    make(monkeypatch, "joist plate sill bolt")
    assert User.objects.get(username="olga").roles == {"office"}
    answer = client.post("/login/", {"username": "olga", "password": "joist plate sill bolt"})
    assert answer.status_code == 302


@pytest.mark.parametrize("password", ["", "short", "password1234"])
def test_a_weak_password_is_refused_with_the_reason(monkeypatch, password):
    with pytest.raises(CommandError, match="password"):
        make(monkeypatch, password)
    assert not User.objects.exists()


def test_there_is_only_one_first_user(monkeypatch):
    UserFactory()
    with pytest.raises(CommandError, match="users already"):
        make(monkeypatch, "joist plate sill bolt")
