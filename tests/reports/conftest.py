"""Templates of the tests beside those of the apps."""

from __future__ import annotations

import pytest

from tests.reports.papers import TEMPLATES


@pytest.fixture(autouse=True)
def _test_templates(settings):
    settings.TEMPLATES = [{**settings.TEMPLATES[0], "DIRS": [TEMPLATES]}]
