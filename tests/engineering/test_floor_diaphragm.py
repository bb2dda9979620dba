"""Link 0: recorded with its demand, accepted by name or waived by clause."""

from __future__ import annotations

import pytest

from engineering.floor_diaphragm import check
from engineering.house import assess
from tests.engineering.varied import house, prescriptive, with_line

ENGINEERED = {"legal_basis": "appendix A3 engineered", "force_level": "reduced", "force_factor": 0.75}


def _link_0(given_house):
    return assess(given_house).line("A").link("0").check


def _unaccepted(*, basis: dict[str, str], **framing):
    return with_line(house(criteria=basis), "A", link_0_accepted_by="", framing=framing)


def test_it_is_recorded_with_both_forces_and_never_computed():
    link = _link_0(house())
    assert (link.status, link.ratio, link.capacity) == ("recorded", None, None)
    assert link.demand == link.step("demand_plf").value < link.step("demand_px_plf").value
    assert "accepted by the engineer of the example" in link.notes
    assert link.warnings == ()


def test_f_px_is_its_demand_where_the_engineer_says_so():
    link = _link_0(house(criteria={"diaphragm_force_governs": True}))
    assert link.demand == link.step("demand_px_plf").value


def test_its_steps_give_their_numbers():
    force = _link_0(house()).step("demand_plf")
    assert force.value == pytest.approx(force.inputs["V"] / force.inputs["L"])


def test_nobody_accepted_it_is_a_warning():
    link = _link_0(_unaccepted(basis={}))
    assert link.warnings == ("not accepted by the engineer yet",)


def _by_the_chapter(**framing):
    return check(prescriptive(_unaccepted(basis={}, **framing), "A")).check


@pytest.mark.parametrize("edge", ["rim joist", "blocks between joists"])
def test_the_prescriptive_chapter_waives_it_where_a_rim_or_blocks_were_seen(edge):
    link = _by_the_chapter(floor_edge=edge, joists="perpendicular")
    assert link.warnings == ()
    assert link.clause == "IEBC 2021 A304.1.3"
    assert link.step("waived").source.clause == "A304.1.3"


@pytest.mark.parametrize("edge", ["nothing", "not observed"])
def test_the_chapter_waives_nothing_without_a_rim(edge):
    link = _by_the_chapter(floor_edge=edge)
    assert link.warnings == ("not accepted by the engineer yet",)
    assert link.clause == ""


@pytest.mark.parametrize("basis", [ENGINEERED, {"legal_basis": "voluntary lateral alteration"}])
def test_no_basis_with_computed_forces_waives_it(basis):
    """A304 belongs to the prescriptive chapter alone: A3 engineered is computed under A301.3."""
    link = _link_0(_unaccepted(basis=basis, floor_edge="rim joist"))
    assert link.warnings == ("not accepted by the engineer yet",)
    assert link.clause == ""
