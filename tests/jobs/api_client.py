"""A DRF client logged in as someone, for the tests of the API."""

from __future__ import annotations

from rest_framework.test import APIClient

from jobs.models import User
from tests.factories import UserFactory


def client_of(user: User) -> APIClient:
    client = APIClient(raise_request_exception=False)
    client.force_login(user)
    return client


def client_as(role: str) -> APIClient:
    return client_of(UserFactory(roles=[role]))
