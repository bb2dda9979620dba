"""Templates of the tests beside those of the apps."""

from __future__ import annotations

import pytest

from reports import rendering
from reports.services.documents import request_document
from tests.reports.papers import TEMPLATES
from tests.reports.rows import Workers, a_user


@pytest.fixture(autouse=True)
def _test_templates(settings):
    settings.TEMPLATES = [{**settings.TEMPLATES[0], "DIRS": [TEMPLATES]}]


@pytest.fixture
def workers(monkeypatch):
    return Workers(monkeypatch)


@pytest.fixture
def ask(django_capture_on_commit_callbacks):
    """Request a document (or make a packet) and let what waits for the commit happen."""

    def _ask(service=request_document, **wish):
        wish.setdefault("by", a_user("estimator"))
        with django_capture_on_commit_callbacks(execute=True):
            return service(**wish)

    return _ask


@pytest.fixture
def drawn(monkeypatch):
    """The names of the sections that are really drawn."""
    names = []
    real = rendering.render_section
    monkeypatch.setattr(rendering, "render_section", lambda section: names.append(section.name) or real(section))
    return names
