"""The estimator's pages: clients, houses, wall lines with their load path, methods, designs."""

from __future__ import annotations

import json

import pytest
from django.test import Client as Browser
from django.urls import reverse

from jobs.models import Client, House, LineChoice, WallLine
from jobs.services import houses as house_service
from jobs.services import wall_lines as wall_line_service
from tests.factories import (
    ClientFactory,
    CompanyFactory,
    CriteriaSheetFactory,
    ExistingAnchorFactory,
    HouseFactory,
    JobFactory,
    JurisdictionFactory,
    NailFactory,
    UserFactory,
    WallLineFactory,
    WorkOrderFactory,
    surveyed_house,
)
from tests.issued import issued_design
from tests.jobs.pages import as_sent, logged_in

pytestmark = pytest.mark.django_db


def text(response):
    return response.content.decode()


@pytest.fixture
def estimator():
    return logged_in("estimator")


# --- clients -------------------------------------------------------------------------------------------------------
def test_a_new_client_is_kept(estimator):
    page = text(estimator.post(reverse("client-create"), {"name": "Kim Placeholder"}, follow=True))
    assert "<h1>Kim Placeholder</h1>" in page


def test_a_client_without_a_name_says_where_and_keeps_the_rest(estimator):
    response = estimator.post(reverse("client-create"), {"name": "", "phone": "555 0100"})
    assert response.status_code == 400
    assert '<a href="#id_name">Name</a>' in text(response)
    assert 'value="555 0100"' in text(response)


def test_a_client_is_found_by_the_houses_address(estimator):
    wanted = HouseFactory(address="77 Trial Lane").client
    HouseFactory(client=wanted, address="79 Trial Lane")
    ClientFactory()
    response = estimator.get(reverse("client-list"), {"q": "trial lane\x00"})
    assert [(client.pk, client.house_count) for client in response.context["page"]] == [(wanted.pk, 2)]


def test_a_stale_client_keeps_what_was_typed(estimator):
    client = ClientFactory(name="Before")
    address = reverse("client-edit", args=[client.pk])
    sent = as_sent(estimator.get(address))
    estimator.post(address, sent | {"name": "Theirs"})
    response = estimator.post(address, sent | {"name": "Mine"})
    assert response.status_code == 409
    assert 'value="Mine"' in text(response)
    assert '<td class="pre">Mine</td><td class="pre">Theirs</td>' in text(response)
    assert Client.objects.get().name == "Theirs"


@pytest.mark.parametrize("role", ["engineer", "installer"])
def test_clients_are_not_for_engineers_and_crews(role):
    client = ClientFactory()
    for address in (reverse("client-list"), reverse("client-detail", args=[client.pk]), reverse("client-create")):
        assert logged_in(role).get(address).status_code == 403


# --- houses --------------------------------------------------------------------------------------------------------
def test_a_house_can_be_opened_from_an_address_alone(estimator):
    client, jurisdiction = ClientFactory(), JurisdictionFactory()
    sent = as_sent(estimator.get(reverse("house-create"), {"client": client.pk})) | {
        "jurisdiction": jurisdiction.pk, "address": "1 Sample Street", "city": "Sampleton", "state": "CA",
        "postal_code": "00000",
    }  # fmt: skip
    response = estimator.post(reverse("house-create"), sent, follow=True)
    house = House.objects.get()
    assert house.client == client
    assert house.year_built is None
    assert "The survey still lacks" in text(response)
    assert "number of stories" in text(response)


def test_saving_the_survey_untouched_changes_nothing(estimator):
    house = surveyed_house()
    house.point_weights.create(label="chimney", x_ft=10, y_ft=5, weight_lb=1800)
    before = House.objects.filter(pk=house.pk).values().get()
    address = reverse("house-edit", args=[house.pk])
    assert estimator.post(address, as_sent(estimator.get(address))).status_code == 302
    after = House.objects.filter(pk=house.pk).values().get()
    assert after == before | {"version": before["version"] + 1}
    assert list(house.point_weights.values_list("label", "weight_lb")) == [("chimney", 1800)]
    assert not house.events.exists()


def test_survey_facts_are_read_from_tradesmens_text(estimator):
    house = HouseFactory()
    address = reverse("house-edit", args=[house.pk])
    sent = as_sent(estimator.get(address)) | {
        "braced_wall_height_in_0": "3 ft 1-1/2 in", "floor_outline_ft": "0, 0\n28', 0\n28, 20\n0, 20",
        "roof_outline_ft": "-2, -2\n30, -2\n30, 22\n-2, 22", "point_weights-0-label": "chimney",
        "point_weights-0-x_ft": "10", "point_weights-0-y_ft": "5", "point_weights-0-weight_lb": "1800",
    }  # fmt: skip
    assert estimator.post(address, sent).status_code == 302
    house.refresh_from_db()
    assert house.braced_wall_height_in == 37.5
    assert house.floor_outline_ft == [[0, 0], [28, 0], [28, 20], [0, 20]]
    assert house.point_weights.get().weight_lb == 1800
    assert "3&#x27;-1 1/2&quot; = 37 1/2 in" in text(estimator.get(address))


def test_the_scope_screen_wants_a_reason(estimator):
    house = HouseFactory()
    address = reverse("house-edit", args=[house.pk])
    sent = as_sent(estimator.get(address)) | {"scope-hillside-flag": "yes", "scope-hillside-reason": ""}
    response = estimator.post(address, sent)
    assert response.status_code == 400
    assert '<a href="#id_scope-hillside-reason">Reason</a>' in text(response)


def test_an_unanswered_scope_question_stays_unanswered_and_not_observed_is_an_answer(estimator):
    house = HouseFactory(scope_screen={})
    address = reverse("house-edit", args=[house.pk])
    sent = as_sent(estimator.get(address)) | {
        "scope-cantilever-flag": "not observed", "scope-cantilever-reason": "no access to the rear",
    }  # fmt: skip
    estimator.post(address, sent)
    house.refresh_from_db()
    assert house.scope_screen == {"cantilever": {"flag": None, "reason": "no access to the rear"}}


def test_a_bad_outline_stays_in_the_form(estimator):
    house = HouseFactory()
    address = reverse("house-edit", args=[house.pk])
    response = estimator.post(address, as_sent(estimator.get(address)) | {"floor_outline_ft": "0, 0\n28, 0"})
    assert response.status_code == 400
    assert "at least three corners" in text(response)
    assert "0, 0\n28, 0</textarea>" in text(response)


def test_a_stale_survey_shows_both_and_the_second_save_holds(estimator):
    house = HouseFactory()
    other = UserFactory(roles=["estimator"], first_name="Kay", last_name="Colleague")
    address = reverse("house-edit", args=[house.pk])
    sent = as_sent(estimator.get(address))
    house_service.edit_house(house_id=house.pk, seen_version=1, changes={"stories": 2}, by=other)
    response = estimator.post(address, sent | {"parcel_number": "12-34"})
    page = text(response)
    assert response.status_code == 409
    assert "Kay Colleague" in page
    assert "stories: 1 → 2" in page
    assert 'value="12-34"' in page
    assert estimator.post(address, as_sent(response)).status_code == 302
    house.refresh_from_db()
    assert (house.stories, house.parcel_number) == (1, "12-34")


def test_the_plan_is_drawn_with_its_lines(estimator):
    house = surveyed_house()
    page = text(estimator.get(reverse("house-detail", args=[house.pk])))
    assert '<polygon class="plan-floor" points="0,0 40,0 40,-30 0,-30"/>' in page
    assert page.count('class="plan-line"') == 4


def test_the_crew_sees_the_house_but_can_not_edit_it():
    order = WorkOrderFactory(design=issued_design())
    browser = Browser()
    browser.force_login(order.crew.lead)
    house = order.job.house
    page = text(browser.get(reverse("house-detail", args=[house.pk])))
    assert house.client.name not in page
    assert "Edit survey" not in page
    assert browser.get(reverse("house-edit", args=[house.pk])).status_code == 403
    assert browser.get(reverse("house-detail", args=[HouseFactory().pk])).status_code == 404


# --- wall lines ----------------------------------------------------------------------------------------------------
@pytest.fixture
def line():
    return WallLineFactory(label="A")


def test_saving_a_wall_line_untouched_changes_nothing(estimator, line):
    ExistingAnchorFactory(wall_line=line, accepted=True, accepted_by=UserFactory(roles=["engineer"]), reason="seen")
    line.as_found_nailing.create(link="1", nail=NailFactory(), spacing_in=16, toenail=True)
    line.dead_loads.create(label="floor", weight_plf=80)
    line.openings.create(from_in=10, to_in=26, label="vent")
    line.plate_joints.create(at_in=120)
    before = WallLine.objects.filter(pk=line.pk).values().get()
    address = reverse("wall-line-edit", args=[line.pk])
    assert estimator.post(address, as_sent(estimator.get(address))).status_code == 302
    assert WallLine.objects.filter(pk=line.pk).values().get() == before | {"version": before["version"] + 1}
    assert line.existing_anchors.get().accepted
    assert not line.house.events.exists()


def test_a_new_wall_line_with_rows(estimator):
    house = HouseFactory()
    address = reverse("wall-line-create", args=[house.pk])
    sent = as_sent(estimator.get(address)) | {
        "label": "A", "start_x_ft": "0", "start_y_ft": "0", "end_x_ft": "20", "end_y_ft": "0",
        "plate_width_in_0": '3 1/2"', "rest_not_observed": "on", "segments-0-kind": "cripple wall",
        "segments-0-from_in": '0"', "segments-0-to_in": "20'", "segments-0-stud_height_in": "2'-7 1/2\"",
        "segments-0-ground_slope_1": "on", "existing_anchors-0-at_in": "2'", "existing_anchors-0-diameter_in": '1/2"',
        "existing_anchors-0-embedment_in_1": "on", "existing_anchors-0-edge_in_0": '1 3/4"',
        "existing_anchors-0-end_in_1": "on", "existing_anchors-0-seen": "on", "existing_anchors-0-washer_in_1": "on",
        "existing_anchors-0-washer_thickness_in_1": "on", "plate_joints-0-plate": "lower", "plate_joints-0-at_in": "9'",
        "found_sheathing-0-material": "stucco", "found_sheathing-0-from_in": '0"', "found_sheathing-0-to_in": "20'",
        "found_sheathing-0-bottom_edge": "stops above the sill", "unseen_plates-0-from_in": "3'",
        "unseen_plates-0-to_in": "4'", "struts-0-end": "far", "struts-0-length_in": "6'", "struts-0-depth_in": '5 1/2"',
        "struts-0-thickness_in": '1 1/2"', "struts-0-tension_psi": "575", "struts-0-basis": "grade mark read",
        "struts-0-lap_in_1": "on",
    }  # fmt: skip
    assert estimator.post(address, sent).status_code == 302
    made = WallLine.objects.get()
    assert (made.plate_width_in, made.stud_depth_in, made.joists) == (3.5, None, "")
    assert made.segments.values("from_in", "to_in", "stud_height_in", "ground_slope").get() == {
        "from_in": 0, "to_in": 240, "stud_height_in": 31.5, "ground_slope": None,
    }  # fmt: skip
    anchor = made.existing_anchors.get()
    assert (anchor.diameter_in, anchor.embedment_in, anchor.edge_in, anchor.seen) == (0.5, None, 1.75, True)
    assert made.found_sheathing.get().bottom_edge == "stops above the sill"
    assert [(joint.plate, joint.at_in) for joint in made.plate_joints.all()] == [("lower", 108.0)]
    assert (made.unseen_plates.get().to_in, made.struts.get().length_in) == (48.0, 72.0)


def test_an_ambiguous_length_is_refused_at_its_field_and_nothing_is_lost(estimator, line):
    address = reverse("wall-line-edit", args=[line.pk])
    sent = as_sent(estimator.get(address)) | {"plate_width_in_0": "3 5", "notes": "seen from the hatch"}
    response = estimator.post(address, sent)
    page = text(response)
    assert response.status_code == 400
    assert '<a href="#id_plate_width_in_0">Upper plate, width</a>' in page
    assert 'value="3 5"' in page
    assert "seen from the hatch</textarea>" in page


def test_a_mistake_in_a_row_names_the_row(estimator, line):
    address = reverse("wall-line-edit", args=[line.pk])
    response = estimator.post(address, as_sent(estimator.get(address)) | {"panels-1-from_in": "1'"})
    assert response.status_code == 400
    assert '<a href="#id_panels-1-to_in">Panels, row 2: To</a>' in text(response)


def test_rows_that_overlap_are_refused_above_them(estimator, line):
    address = reverse("wall-line-edit", args=[line.pk])
    sent = as_sent(estimator.get(address)) | {"panels-1-from_in": "1'", "panels-1-to_in": "3'"}
    response = estimator.post(address, sent)
    assert response.status_code == 400
    assert '<a href="#panels-rows">Panels</a>: Two panels overlap' in text(response)
    assert line.panels.count() == 1


def test_a_row_is_removed_by_its_tick(estimator, line):
    line.openings.create(from_in=10, to_in=26, label="vent")
    address = reverse("wall-line-edit", args=[line.pk])
    estimator.post(address, as_sent(estimator.get(address)) | {"openings-0-DELETE": "on"})
    assert not line.openings.exists()


def test_a_species_wants_its_specific_gravity(estimator, line):
    address = reverse("wall-line-edit", args=[line.pk])
    response = estimator.post(address, as_sent(estimator.get(address)) | {"sill_specific_gravity": ""})
    assert response.status_code == 400
    assert "Give the specific gravity that goes with the species." in text(response)


def test_a_thickness_for_a_plate_that_is_not_there_is_refused(estimator, line):
    address = reverse("wall-line-edit", args=[line.pk])
    response = estimator.post(address, as_sent(estimator.get(address)) | {"top_plate_count": "1"})
    assert response.status_code == 400
    assert "Give a thickness for each top plate counted, and for no more." in text(response)


def test_a_stale_wall_line_loses_no_row(estimator, line):
    address = reverse("wall-line-edit", args=[line.pk])
    sent = as_sent(estimator.get(address)) | {
        "openings-0-label": "vent", "openings-0-from_in": "1'", "openings-0-to_in": "2'",
    }  # fmt: skip
    wall_line_service.edit_wall_line(wall_line_id=line.pk, seen_version=1, changes={"joists": "parallel"},
                                     by=UserFactory(roles=["estimator"]))  # fmt: skip
    response = estimator.post(address, sent)
    assert response.status_code == 409
    assert "joists: perpendicular → parallel" in text(response)
    assert estimator.post(address, as_sent(response)).status_code == 302
    assert line.openings.get().label == "vent"


def test_a_wall_line_entered_by_mistake_is_removed(estimator, line):
    estimator.post(reverse("wall-line-remove", args=[line.pk]), {"version": line.version})
    assert not WallLine.objects.exists()


def test_a_line_of_an_issued_design_stays(estimator):
    line = issued_design().job.house.wall_lines.first()
    response = estimator.post(reverse("wall-line-remove", args=[line.pk]), {"version": line.version}, follow=True)
    assert "stays in its survey" in text(response)


@pytest.mark.parametrize("role", ["engineer", "installer"])
def test_the_survey_is_not_for_engineers_and_crews_to_edit(role, line):
    assert logged_in(role).get(reverse("wall-line-edit", args=[line.pk])).status_code == 403
    assert logged_in(role).post(reverse("wall-line-edit", args=[line.pk]), {}).status_code == 403


# --- the load path beside the form ---------------------------------------------------------------------------------
def test_the_load_path_stands_beside_the_form_and_follows_a_save(estimator):
    design = issued_design()
    line = design.job.house.wall_lines.get(label="A")
    address = reverse("wall-line-edit", args=[line.pk])
    response = estimator.get(address)
    result = response.context["line_result"]
    assert text(response).count("<strong>6a</strong>") == 1
    assert f"{result.link('1').check.ratio:.2f}" in text(response)
    assert "Quantity study" not in text(response)

    sent = as_sent(response) | {"panels-0-to_in": "20'", "panels-0-from_in": "0 in"}
    after = estimator.post(address, sent, follow=True).context["line_result"]
    assert after.link("4").check.demand > result.link("4").check.demand


def test_the_drawing_is_vector_and_only_for_those_who_draft(estimator):
    design = issued_design()
    address = reverse("load-path-drawing", args=[design.job_id, "A"])
    answer = estimator.get(address)
    assert answer["Content-Type"] == "image/svg+xml"
    assert "Load path of wall line A" in text(answer)
    assert estimator.get(reverse("load-path-drawing", args=[design.job_id, "Z"])).status_code == 404
    assert logged_in("installer").get(address).status_code == 403
    assert logged_in("engineer").get(address).status_code == 404


def test_a_revision_shows_its_load_paths_as_it_was_issued(estimator):
    design = issued_design()
    page = text(estimator.get(reverse("design-detail", args=[design.pk])))
    address = reverse("design-load-path", args=[design.pk, "A"])
    assert f'src="{address}"' in page
    answer = estimator.get(address)
    assert answer["Content-Type"] == "image/svg+xml"
    assert "Load path of wall line A" in text(answer)
    assert estimator.get(reverse("design-load-path", args=[design.pk, "Z"])).status_code == 404


def test_without_confirmed_criteria_it_is_a_quantity_study(estimator):
    design = issued_design()
    sheet = design.job.criteria_sheet
    CriteriaSheetFactory(job=None, jurisdiction=design.job.house.jurisdiction)
    type(sheet).objects.filter(pk=sheet.pk).update(confirmed_by=None, confirmed_on=None, confirmed_licence="")
    line = design.job.house.wall_lines.get(label="A")
    assert "Quantity study, not engineering." in text(estimator.get(reverse("wall-line-edit", args=[line.pk])))


def test_what_is_missing_is_listed_with_where_to_put_it_right(estimator):
    CompanyFactory()
    house = surveyed_house(roof_psf=None)
    job = JobFactory(house=house)
    CriteriaSheetFactory(job=None, jurisdiction=house.jurisdiction)
    line = house.wall_lines.get(label="A")
    page = text(estimator.get(reverse("wall-line-edit", args=[line.pk])))
    assert "House: roof psf is missing." in page
    assert f'href="{reverse("house-edit", args=[house.pk])}"' in page
    assert f'href="{reverse("line-choice-edit", args=[job.pk, line.pk])}"' in page


def test_a_value_that_can_not_be_is_named_with_what_is_allowed(estimator):
    design = issued_design()
    house = design.job.house
    House.objects.filter(pk=house.pk).update(roof_outline_ft=[[0, 0], [10, 0], [10, 10], [0, 10]])
    page = text(estimator.get(reverse("wall-line-edit", args=[house.wall_lines.first().pk])))
    assert "Roof outline ft" in page
    assert "must cover the floor outline" in page


def test_without_a_job_nothing_is_computed(estimator, line):
    assert "Nothing is computed until the house has an open job" in text(
        estimator.get(reverse("wall-line-edit", args=[line.pk]))
    )


# --- methods and designs -------------------------------------------------------------------------------------------
def test_methods_are_chosen_and_saved_untouched(estimator):
    choice = LineChoice.objects.filter(job=issued_design().job).first()
    choice.alternatives.add(choice.floor_to_plate)
    address = reverse("line-choice-edit", args=[choice.job_id, choice.wall_line_id])
    assert estimator.post(address, as_sent(estimator.get(address))).status_code == 302
    after = LineChoice.objects.get(pk=choice.pk)
    assert (after.end_post_depth_in, after.tie_down_id) == (choice.end_post_depth_in, choice.tie_down_id)
    assert list(after.alternatives.all()) == [choice.floor_to_plate]


def test_stale_methods_show_both(estimator):
    choice = LineChoice.objects.filter(job=issued_design().job).first()
    address = reverse("line-choice-edit", args=[choice.job_id, choice.wall_line_id])
    sent = as_sent(estimator.get(address))
    estimator.post(address, sent | {"sheathing_thickness": "19/32"})
    response = estimator.post(address, sent | {"sheathing_thickness": "3/8"})
    assert response.status_code == 409
    assert '<td class="pre">3/8 in</td><td class="pre">19/32 in</td>' in text(response)


def test_a_line_of_another_house_has_no_methods_here(estimator, line):
    assert estimator.get(reverse("line-choice-edit", args=[JobFactory().pk, line.pk])).status_code == 404


def test_a_design_is_issued_and_shown_from_its_snapshot(estimator):
    design = issued_design()
    job = design.job
    page = text(estimator.post(reverse("design-issue", args=[job.pk]), {"version": job.version}, follow=True))
    assert "Revision 2 is issued: under the confirmed criteria." in page
    shown = text(estimator.get(reverse("design-detail", args=[design.pk])))
    assert "A newer one stands" in shown
    assert "Demo screw" in shown
    frozen = json.loads(design.snapshot)["result"]["lines"][0]
    assert f"{frozen['weakest_ratio']:.2f}" in shown


def test_an_incomplete_survey_issues_nothing_and_says_all_that_lacks(estimator):
    CompanyFactory()
    job = JobFactory(house=HouseFactory(roof_psf=None))
    CriteriaSheetFactory(job=None, jurisdiction=job.house.jurisdiction)
    response = estimator.post(reverse("design-issue", args=[job.pk]), {"version": job.version})
    assert response.status_code == 409
    assert "House: roof psf is missing." in text(response)
    assert "no wall line has been surveyed" in text(response)


def test_a_design_is_for_those_who_may_see_it():
    design = issued_design()
    address = reverse("design-detail", args=[design.pk])
    assert logged_in("engineer").get(address).status_code == 404
    assert logged_in("installer").get(address).status_code == 403
