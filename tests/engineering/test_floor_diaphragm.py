"""Link 0: recorded with its demand, accepted by name or waived by clause."""

from __future__ import annotations

import pytest

from engineering.house import assess
from tests.engineering.varied import house, with_line

CHAPTER = {"legal_basis": "appendix A3 engineered", "force_level": "reduced", "force_factor": 0.75}


def _link_0(given_house):
    return assess(given_house).line("A").link("0").check


def _unaccepted(*, basis: dict[str, str], **framing):
    return with_line(house(criteria=basis), "A", link_0_accepted_by="", framing=framing)


def test_it_is_recorded_with_both_forces_and_never_computed():
    check = _link_0(house())
    assert (check.status, check.ratio, check.capacity) == ("recorded", None, None)
    assert check.demand == check.step("demand_plf").value < check.step("demand_px_plf").value
    assert "accepted by the engineer of the example" in check.notes
    assert check.warnings == ()


def test_f_px_is_its_demand_where_the_engineer_says_so():
    check = _link_0(house(criteria={"diaphragm_force_governs": True}))
    assert check.demand == check.step("demand_px_plf").value


def test_its_steps_give_their_numbers():
    force = _link_0(house()).step("demand_plf")
    assert force.value == pytest.approx(force.inputs["V"] / force.inputs["L"])


def test_nobody_accepted_it_is_a_warning():
    check = _link_0(_unaccepted(basis={}))
    assert check.warnings == ("not accepted by the engineer yet",)


@pytest.mark.parametrize("edge", ["rim joist", "blocks between joists"])
def test_the_prescriptive_chapter_waives_it_where_a_rim_or_blocks_were_seen(edge):
    check = _link_0(_unaccepted(basis=CHAPTER, floor_edge=edge, joists="perpendicular"))
    assert check.warnings == ()
    assert check.clause == "IEBC 2021 A304.1.3"
    assert check.step("waived").source.clause == "A304.1.3"


@pytest.mark.parametrize(
    ("basis", "edge"),
    [(CHAPTER, "nothing"), (CHAPTER, "not observed"), ({"legal_basis": "voluntary lateral alteration"}, "rim joist")],
)
def test_it_is_not_waived_without_a_rim_nor_outside_the_chapter(basis, edge):
    check = _link_0(_unaccepted(basis=basis, floor_edge=edge))
    assert check.warnings == ("not accepted by the engineer yet",)
    assert check.clause == ""
