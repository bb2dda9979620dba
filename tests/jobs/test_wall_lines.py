"""Wall lines: rows along them, what the survey lacks, what the engineer accepts."""

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from jobs.errors import Refused, Stale
from jobs.models import WallLine
from jobs.services import wall_lines
from tests.factories import (
    DesignFactory,
    ExistingAnchorFactory,
    HouseFactory,
    JobFactory,
    NailFactory,
    UserFactory,
    WallLineFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def estimator():
    return UserFactory(roles=["estimator"])


def edit(line, by, version=1, children=None, **changes):
    return wall_lines.edit_wall_line(
        wall_line_id=line.pk, seen_version=version, changes=changes, children=children, by=by
    )


def test_a_line_is_made_with_its_rows(estimator):
    line = wall_lines.create_wall_line(
        house_id=HouseFactory().pk,
        by=estimator,
        label="A",
        start_x_ft=0,
        start_y_ft=0,
        end_x_ft=20,
        end_y_ft=0,
        children={
            "segments": [{"kind": "cripple wall", "from_in": 0, "to_in": 240, "stud_height_in": 30}],
            "sill_pieces": [{"from_in": 0, "to_in": 120}, {"from_in": 120, "to_in": 240}],
            "plate_joints": [{"at_in": 96}],
            "openings": [{"from_in": 30, "to_in": 46, "label": "vent"}],
            "as_found_nailing": [{"link": "1", "nail": NailFactory(), "spacing_in": 16, "toenail": True}],
            "dead_loads": [{"label": "wall above", "weight_plf": 120}],
        },
    )
    assert (line.length_in, line.sill_pieces.count(), line.house.events.count()) == (240, 2, 1)


def test_a_label_is_given_once_a_house(estimator):
    line = WallLineFactory(label="A")
    with pytest.raises(ValidationError, match="already exists"):
        wall_lines.create_wall_line(
            house_id=line.house_id, by=estimator, label="A", start_x_ft=0, start_y_ft=0, end_x_ft=9, end_y_ft=0
        )


@pytest.mark.parametrize(
    ("children", "why"),
    [
        ({"panels": [{"from_in": 0, "to_in": 48}, {"from_in": 40, "to_in": 96}]}, "overlap"),
        ({"panels": [{"from_in": 200, "to_in": 248}]}, "beyond the line"),
        ({"panels": [{"from_in": 48, "to_in": 48}]}, "ends after it starts"),
        ({"plate_joints": [{"at_in": 241}]}, "beyond the line"),
        ({"existing_anchors": [{"at_in": 250, "diameter_in": 0.5}]}, "beyond the line"),
        ({"segments": [{"kind": "tent", "from_in": 0, "to_in": 9, "stud_height_in": 9}]}, "not a valid choice"),
        ({"dead_loads": [{"label": "x", "weight_plf": 0}]}, "greater than 0"),
    ],
)
def test_rows_that_can_not_be_are_refused_and_the_old_ones_stay(estimator, children, why):
    line = WallLineFactory()
    with pytest.raises(ValidationError, match=why):
        edit(line, estimator, children=children, headroom_in=30.0)
    line.refresh_from_db()
    assert (line.version, line.headroom_in, line.panels.get().to_in) == (1, 40.0, 240)


@pytest.mark.parametrize("studs", [[16, 16], [32, 16], ["16"], "16", 16, [True], [float("nan")]])
def test_stud_centrelines_grow(estimator, studs):
    with pytest.raises(ValidationError, match="stud_centrelines_in"):
        edit(WallLineFactory(), estimator, stud_centrelines_in=studs)


def test_a_stale_edit_is_refused(estimator):
    line = WallLineFactory()
    edit(line, estimator, headroom_in=30.0)
    with pytest.raises(Stale):
        edit(line, estimator, children={"panels": []}, headroom_in=20.0)
    assert (WallLine.objects.get(pk=line.pk).headroom_in, line.panels.count()) == (30.0, 1)


@pytest.mark.parametrize("role", ["engineer", "installer"])
def test_lines_are_the_estimators_to_edit(role):
    with pytest.raises(PermissionDenied):
        edit(WallLineFactory(), UserFactory(roles=[role]), headroom_in=30.0)


def test_a_line_entered_by_mistake_goes_away_until_a_design_is_issued(estimator):
    line, other = WallLineFactory(), WallLineFactory()
    wall_lines.remove_wall_line(wall_line_id=line.pk, seen_version=1, by=estimator)
    assert not WallLine.objects.filter(pk=line.pk).exists()
    DesignFactory(job=JobFactory(house=other.house))
    with pytest.raises(Refused, match="stays in its survey"):
        wall_lines.remove_wall_line(wall_line_id=other.pk, seen_version=1, by=estimator)


# --- what is missing -----------------------------------------------------------------------------------------------
def test_a_surveyed_line_lacks_nothing():
    assert wall_lines.missing_facts(WallLineFactory()) == []


@pytest.mark.parametrize("name", [*wall_lines.FOUNDATION, *wall_lines.NEEDED])
def test_each_needed_fact_is_named_when_it_lacks(name):
    line = WallLineFactory()
    empty = {"stud_centrelines_in": []}.get(name, "" if isinstance(getattr(line, name), str) else None)
    setattr(line, name, empty)
    words = (wall_lines.FOUNDATION | wall_lines.NEEDED)[name]
    assert words in wall_lines.missing_facts(line)[0]


def test_what_may_be_not_observed_is_not_missing():
    line = WallLineFactory(headroom_in=None, jig_bears_on="", top_nails_reach="", plate_joints_observed=False)
    line.concrete_psi = line.crack_width_in = line.rim_specific_gravity = None
    assert wall_lines.missing_facts(line) == []


def test_segments_and_sill_pieces_cover_the_line_from_end_to_end():
    line = WallLineFactory()
    line.segments.update(to_in=200)
    line.sill_pieces.all().delete()
    assert [sentence.split(" ", 3)[3] for sentence in wall_lines.missing_facts(line)] == [
        "its segments do not cover it from end to end.",
        "has no sill pieces.",
    ]


def test_a_counted_plate_has_a_thickness():
    assert "thickness of a top plate" in wall_lines.missing_facts(WallLineFactory(upper_plate_in=None))[0]
    assert wall_lines.missing_facts(WallLineFactory(top_plate_count=1, upper_plate_in=None)) == []
    assert wall_lines.missing_facts(WallLineFactory(top_plate_count=0, lower_plate_in=None, upper_plate_in=None)) == []


# --- what the engineer accepts -------------------------------------------------------------------------------------
@pytest.fixture
def anchor():
    return ExistingAnchorFactory(at_in=24.0)


@pytest.fixture
def engineer(anchor):
    return JobFactory(house=anchor.wall_line.house, assigned_engineer=UserFactory(roles=["engineer"])).assigned_engineer


def accept(anchor, by, reason="tested, straight, 7 in deep"):
    return wall_lines.accept_anchor(anchor_id=anchor.pk, seen_version=1, reason=reason, by=by)


def test_an_anchor_is_accepted_with_a_reason_and_by_name(anchor, engineer, estimator):
    with pytest.raises(PermissionDenied):
        accept(anchor, estimator)
    with pytest.raises(Refused, match="Give the reason"):
        accept(anchor, engineer, reason=" ")
    row = accept(anchor, engineer)
    assert (row.accepted, row.accepted_by) == (True, engineer)


def test_an_anchor_that_nobody_saw_is_not_accepted(anchor, engineer):
    anchor.seen = False
    anchor.save()
    with pytest.raises(Refused, match="Nobody has seen"):
        accept(anchor, engineer)


def test_an_acceptance_stays_while_the_bolt_is_entered_as_it_was(anchor, engineer, estimator):
    accept(anchor, engineer)
    same = {"at_in": 24.0, "diameter_in": 0.5, "seen": True}
    line = edit(anchor.wall_line, estimator, children={"existing_anchors": [same, {"at_in": 48, "diameter_in": 0.5}]})
    assert [row.accepted for row in line.existing_anchors.all()] == [True, False]
    line = edit(line, estimator, version=2, children={"existing_anchors": [same | {"diameter_in": 0.625}]})
    assert [row.accepted for row in line.existing_anchors.all()] == [False]
    assert "acceptance of the existing anchor at 24 in lapsed" in line.house.events.last().note


def test_an_estimator_can_not_enter_an_acceptance(anchor, estimator):
    row = {"at_in": 48, "diameter_in": 0.5, "accepted": True, "accepted_by": estimator, "reason": "x"}
    with pytest.raises(Exception, match="no field 'accepted'"):
        edit(anchor.wall_line, estimator, children={"existing_anchors": [row]})


def test_a_foundation_is_accepted_and_lapses_when_its_facts_change(anchor, engineer, estimator):
    line = wall_lines.accept_foundation(
        wall_line_id=anchor.wall_line_id, seen_version=1, reason="seen on site", by=engineer
    )
    assert line.foundation_accepted_by == engineer
    line = edit(line, estimator, version=2, headroom_in=30.0)
    assert line.foundation_accepted_by == engineer
    line = edit(line, estimator, version=3, section_loss_percent=25.0)
    assert line.foundation_accepted_by is None
    assert WallLine.objects.get(pk=line.pk).foundation_acceptance_reason == ""
