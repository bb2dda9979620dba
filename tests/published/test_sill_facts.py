"""Sill anchorage facts of codes, guides and the trade, each with where it was read."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engineering.anchor_credit import light_frame_shown
from engineering.fasteners import sill_bolt
from engineering.footings import NEAR_END_IN, end_factor
from engineering.inputs import ExistingAnchor, Member
from engineering.plate_washers import SIDE_IN, SLOT_LONG_IN, SLOT_OVER_IN, THICKNESS_IN
from engineering.side_connections import DRILL_HEADROOM_IN
from engineering.wide_sill import nails_in_a_row
from tests.engineering.varied import house, line_of

LINE = line_of(house(), "A")
BOLT = ExistingAnchor(
    at_ft=4.0, diameter_in=0.625, embedment_in=7.0, edge_in=1.75, end_in=9.375, accepted=True, reason="tight"
)


def test_the_plate_washer_is_3_by_3_by_0_229_with_a_slot():
    """IBC 2006 2305.3.11, read at http://seaint.blogspot.com/2008/01/fw-3x3-square-sill-plate-washers.html."""
    assert (SIDE_IN, THICKNESS_IN, SLOT_OVER_IN, SLOT_LONG_IN) == (3.0, 0.229, 0.1875, 1.75)


def test_the_least_bolt_that_shows_all_light_frame_conditions():
    """5/8 in, 7 in embedded, 1-3/4 in from the edge, 15 diameters from the end: IBC 1905.1.8, from memory."""
    assert light_frame_shown(LINE, BOLT) == (True, "all shown")
    for field in ("embedment_in", "edge_in", "end_in"):
        assert not light_frame_shown(LINE, replace(BOLT, **{field: getattr(BOLT, field) - 0.01}))[0]


@pytest.mark.parametrize(("end_in", "factor"), [(3.5, 1.0), (1.75, 0.5), (1.7, 0.0), (2.625, 0.75)])
def test_end_distance_along_the_grain_of_a_half_inch_bolt(end_in, factor):
    """7 D full value, 3.5 D half, nothing nearer: NDS 2018 Table 12.5.1A, softwood in tension, from memory."""
    assert end_factor(LINE, end_in / 12, 0.5) == pytest.approx(factor)


def test_new_bolts_stand_within_a_foot_of_the_end_of_a_sill_piece():
    """IRC R403.1.6 as AWC answers on it (awc.org/faqs, read): not over 12 in, not under 7 diameters."""
    assert NEAR_END_IN == 12.0
    assert end_factor(LINE, 7 * 0.5 / 12, 0.5) == 1.0


def test_a_rotary_hammer_needs_about_18_in():
    """Structural engineers' guide page, undated: http://www.johnmartin.com/earthquakes/eqresid/eqwood_0240.htm."""
    assert DRILL_HEADROOM_IN == 18.0


def test_a_half_inch_bolt_in_a_2x_douglas_fir_sill_carries_about_1040_lb():
    """Common practice, no source: 650 lb of the table at 1.6. Ours is not rounded before the factor: 1 037 lb."""
    sill = Member(species="Douglas Fir-Larch", specific_gravity=0.5, basis="grade mark read", treated=True)
    assert sill_bolt(0.5, sill, 1.5, 7.0, load_duration=1.6).capacity == pytest.approx(1040, abs=5)


def test_a_14_in_block_holds_five_10d_nails_in_a_row():
    """By hand: 14.5 in between studs, 15·0.148 = 2.22 in apart (NDS commentary C12.1.6.6, from memory)."""
    assert nails_in_a_row(14.5, 0.148) == 5
