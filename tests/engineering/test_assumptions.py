"""What was taken where nobody looked, or where less than the standard's least was entered, is printed."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engineering.assumptions import assumptions
from tests.engineering.varied import house


def _partitions(psf: float) -> list[str]:
    weights = replace(house().building.unit_weights, partitions_psf=psf)
    given = house(building={"unit_weights": weights})
    return [words for words in assumptions(given) if words.startswith("partitions")]


@pytest.mark.parametrize("psf", [0.0, 9.9])
def test_partitions_lighter_than_the_standard_asks_are_said(psf):
    """ASCE 7-16 12.7.2 item 2: actual weight, 10 psf of floor at least, where partitions are to be counted."""
    (words,) = _partitions(psf)
    assert words.startswith(f"partitions on the floor were taken as {psf:g} psf: ASCE 7 12.7.2 asks for 10 psf")


@pytest.mark.parametrize("psf", [10.0, 20.0])
def test_partitions_of_ten_psf_need_no_word(psf):
    assert _partitions(psf) == []
