"""The engineer's pages: what waits, what a job's design rests on, and the acts that only the engineer has."""

from __future__ import annotations

import json

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from jobs.models import CriteriaSheet, Job, JobEvent, ReviewComment, TableSetAcceptance
from jobs.templatetags.calculation import formula
from jobs.web.calculation import number, substituted
from tests.factories import (
    CriteriaSheetFactory,
    DesignFactory,
    EngineerLicenceFactory,
    ExistingAnchorFactory,
    FoundSheathingFactory,
    JobFactory,
    JurisdictionFactory,
    NailFactory,
    PacketFactory,
    UserFactory,
    WallLineFactory,
    stamp_packet,
)
from tests.issued import issued_design
from tests.jobs.pages import as_sent, logged_in

pytestmark = pytest.mark.django_db


def engineer_of(job: Job) -> Client:
    client = Client()
    client.force_login(job.assigned_engineer)
    return client


@pytest.fixture
def job():
    licence = EngineerLicenceFactory()
    return JobFactory(assigned_engineer=licence.user, stage="in review")


@pytest.fixture
def sheet(job):
    return CriteriaSheetFactory(job=job)


def page(client, name, *args):
    return client.get(reverse(name, args=args))


# --- what waits ------------------------------------------------------------------------------------------------------
def test_the_list_holds_the_own_jobs_with_what_they_ask_for(job, sheet):
    PacketFactory(design=DesignFactory(job=job))
    other = JobFactory(assigned_engineer=UserFactory(roles=["engineer"]))
    html = page(engineer_of(job), "review-list").content.decode()
    assert job.number in html
    assert other.number not in html
    for ask in ("criteria sheet to confirm", "2021 table set to accept", "2 files to review and stamp"):
        assert ask in html


def test_a_job_that_waits_stands_before_one_that_does_not(job, sheet):
    idle = JobFactory(number="A-0000", assigned_engineer=job.assigned_engineer, stage="submitted")
    html = page(engineer_of(job), "review-list").content.decode()
    assert html.index(job.number) < html.index(idle.number)


def test_nothing_of_the_clients_money_or_phone_is_on_the_page():
    design = issued_design()
    html = page(engineer_of(design.job), "review", design.job_id).content.decode()
    assert design.job.house.client.phone not in html
    assert "$" not in html


# --- what the page says ----------------------------------------------------------------------------------------------
def test_every_step_of_the_frozen_result_is_on_the_page():
    design = issued_design()
    html = page(engineer_of(design.job), "review", design.job_id).content.decode()
    result = json.loads(design.snapshot)["result"]
    checks = [result["scope"], result["basis"], result["demand"], *result["fasteners"]]
    for line in result["lines"]:
        for link in (*line["links"], *line["as_found"]):
            checks += [link["check"], *link["parts"]]
        checks += [line["ledger"]["check"], *line["ledger"]["bolts"]] if line["ledger"] else []
        checks += [line["through_plate"]] if line["through_plate"] else []
    steps = [step for check in checks for step in check["steps"]]
    assert len(steps) > 100
    assert html.count('class="clause"') >= len(steps)
    for step in steps[:40]:
        assert formula(step["symbol"]) in html
        assert number(step["value"]) in html
    for source in result["from_memory"]:
        assert source in html


def test_open_links_and_assumptions_are_listed():
    design = issued_design()
    result = json.loads(design.snapshot)["result"]
    html = page(engineer_of(design.job), "review", design.job_id).content.decode()
    for line in result["lines"]:
        for words in line["open_links"]:
            assert words in html
    for words in result["assumptions"]:
        assert words.replace("'", "&#x27;") in html


def test_a_quantity_study_says_so():
    design = issued_design()
    study = DesignFactory(job=design.job, snapshot=design.snapshot, quantity_study=True)
    html = page(engineer_of(design.job), "review", study.job_id).content.decode()
    assert "Quantity study, not engineering" in html


def test_the_packet_is_shown_inline_with_its_signing_copies():
    design = issued_design()
    packet = PacketFactory(design=design)
    html = page(engineer_of(design.job), "review", design.job_id).content.decode()
    for file in packet.files.all():
        assert reverse("packet-file-signing-copy", args=[file.pk]) in html
        assert reverse("packet-file-upload", args=[file.pk]) in html
    first = packet.files.first()
    assert f'<iframe class="paper" src="{reverse("packet-file-review", args=[first.pk])}' in html
    second = packet.files.last()
    html = engineer_of(design.job).get(reverse("review", args=[design.job_id]), {"file": second.pk}).content.decode()
    assert f'<iframe class="paper" src="{reverse("packet-file-review", args=[second.pk])}' in html


def test_a_page_has_no_script_and_no_inline_style():
    design = issued_design()
    html = page(engineer_of(design.job), "review", design.job_id).content.decode()
    assert "<script" not in html
    assert " style=" not in html


# --- the criteria sheet ----------------------------------------------------------------------------------------------
def confirm(client, sheet, **changes):
    url = reverse("criteria-confirm", args=[sheet.job_id])
    return client.post(url, as_sent(client.get(url)) | {"act": "confirm"} | changes)


def test_the_sheet_is_confirmed_with_name_date_and_licence(job, sheet):
    answer = confirm(engineer_of(job), sheet)
    assert answer.url == reverse("review", args=[job.pk])
    sheet.refresh_from_db()
    assert sheet.confirmed_by == job.assigned_engineer
    assert sheet.confirmed_on == timezone.localdate()
    assert sheet.confirmed_licence == str(job.assigned_engineer.licences.get())


def test_every_number_can_be_changed_and_confirmed_in_one_act(job, sheet):
    changes = {
        "force_level": "full",
        "force_factor": "1.0",
        "response_modification": "6",
        "importance": "1.25",
        "redundancy": "1.3",
        "load_duration": "1.6",
        "maximum_connector_spacing_in": "4'-6\"",
        "risk_category": "II",
        "system": "bearing wall, wood structural panels",
        "diaphragm": "flexible",
        "diaphragm_force_governs": "on",
        "small_pieces_accepted": "on",
    }
    confirm(engineer_of(job), sheet, **changes)
    sheet.refresh_from_db()
    assert (sheet.force_factor, sheet.redundancy, sheet.maximum_connector_spacing_in) == (1.0, 1.3, 54.0)
    assert sheet.small_pieces_accepted
    assert sheet.is_confirmed


def test_saving_without_confirming_takes_the_confirmation_away(job, sheet):
    client = engineer_of(job)
    confirm(client, sheet)
    confirm(client, sheet, act="save", force_factor="0.8")
    sheet.refresh_from_db()
    assert (sheet.force_factor, sheet.is_confirmed) == (0.8, False)


def test_a_stale_sheet_shows_what_stands_there_and_what_was_typed(job, sheet):
    client = engineer_of(job)
    url = reverse("criteria-confirm", args=[job.pk])
    typed = as_sent(client.get(url)) | {"act": "confirm", "force_factor": "0.9"}
    confirm(client, sheet, act="save", force_factor="0.5")
    answer = client.post(url, typed)
    html = answer.content.decode()
    assert answer.status_code == 409
    assert 'value="0.9"' in html
    assert "0.5" in html
    assert CriteriaSheet.objects.get().force_factor == 0.5
    again = client.post(url, as_sent(answer) | {"act": "confirm"})
    assert again.status_code == 302
    assert CriteriaSheet.objects.get().force_factor == 0.9


def test_a_bad_number_is_named_and_nothing_typed_is_lost(job, sheet):
    answer = confirm(engineer_of(job), sheet, force_factor="much", notes="a note worth keeping")
    html = answer.content.decode()
    assert answer.status_code == 400
    assert 'href="#id_force_factor"' in html
    assert "a note worth keeping" in html
    assert not CriteriaSheet.objects.get().is_confirmed


def test_without_a_licence_nothing_is_confirmed_and_the_change_is_undone(job, sheet):
    job.assigned_engineer.licences.all().delete()
    answer = confirm(engineer_of(job), sheet, force_factor="0.9")
    assert answer.status_code == 409
    assert "licence" in answer.content.decode()
    sheet.refresh_from_db()
    assert (sheet.force_factor, sheet.is_confirmed) == (0.75, False)


def test_a_job_without_a_sheet_gets_a_copy_of_the_template(job):
    CriteriaSheetFactory(job=None, jurisdiction=job.house.jurisdiction)
    client = engineer_of(job)
    client.post(reverse("criteria-start", args=[job.pk]))
    assert CriteriaSheet.objects.get(job=job).force_factor == 0.75
    assert page(client, "criteria-confirm", job.pk).status_code == 200


def test_without_a_template_the_refusal_says_what_is_missing(job):
    answer = engineer_of(job).post(reverse("criteria-start", args=[job.pk]))
    assert answer.status_code == 409
    assert "no standing criteria template" in answer.content.decode()


# --- other acts ------------------------------------------------------------------------------------------------------
def test_a_table_set_is_accepted_once_under_a_licence(job):
    licence = job.assigned_engineer.licences.get()
    client = engineer_of(job)
    for _ in range(2):
        client.post(reverse("tables-accept"), {"code_family": "2021", "licence": licence.pk})
    assert TableSetAcceptance.objects.get().licence == str(licence)


def test_anothers_licence_does_not_do(job):
    answer = engineer_of(job).post(
        reverse("tables-accept"), {"code_family": "2021", "licence": EngineerLicenceFactory().pk}, follow=True
    )
    assert "Choose one of your licences" in answer.content.decode()
    assert not TableSetAcceptance.objects.exists()


def test_an_anchor_is_accepted_with_a_reason_and_not_without(job):
    anchor = ExistingAnchorFactory(wall_line=WallLineFactory(house=job.house))
    client, url = engineer_of(job), reverse("anchor-accept", args=[anchor.pk])
    refused = client.post(url, {"job": job.pk, "version": 1, "reason": " "})
    assert refused.status_code == 409
    assert "Give the reason" in refused.content.decode()
    client.post(url, {"job": job.pk, "version": 1, "reason": "hook seen, nut tight"})
    anchor.refresh_from_db()
    assert (anchor.accepted, anchor.reason) == (True, "hook seen, nut tight")


def test_found_sheathing_is_accepted_with_a_reason_and_not_without(job):
    sheathing = FoundSheathingFactory(wall_line=WallLineFactory(house=job.house))
    client, url = engineer_of(job), reverse("sheathing-accept", args=[sheathing.pk])
    refused = client.post(url, {"job": job.pk, "version": 1, "reason": " "})
    assert refused.status_code == 409
    assert "Give the reason" in refused.content.decode()
    client.post(url, {"job": job.pk, "version": 1, "reason": "edge seen on the sill"})
    sheathing.refresh_from_db()
    assert (sheathing.accepted, sheathing.reason) == (True, "edge seen on the sill")


def test_nailing_of_the_year_built_is_taken_once_by_edition_and_reason(job):
    line, nail = WallLineFactory(house=job.house), NailFactory()
    client, url = engineer_of(job), reverse("nailing-accept", args=[line.pk])
    sent = {"job": job.pk, "nailing": line.pk, "link": "1", "nail": nail.pk, "spacing_in": "16 in", "toenail": "yes"}
    refused = client.post(url, sent | {"edition": "1937 code", "reason": ""})
    assert refused.status_code == 409
    assert "Give the reason for taking this nailing." in refused.content.decode()
    assert 'value="1937 code"' in refused.content.decode()
    whole = sent | {"edition": "1937 code", "reason": "ceiling closed, no sign of change"}
    assert client.post(url, whole).status_code == 302
    taken = line.as_found_nailing.get()
    assert (taken.edition, taken.accepted_by, taken.spacing_in) == ("1937 code", job.assigned_engineer, 16.0)
    assert "on record already" in client.post(url, whole).content.decode()


def test_a_foundation_is_accepted_with_a_reason(job):
    line = WallLineFactory(house=job.house)
    engineer_of(job).post(
        reverse("foundation-accept", args=[line.pk]), {"job": job.pk, "version": 1, "reason": "cores taken"}
    )
    line.refresh_from_db()
    assert line.foundation_accepted_by == job.assigned_engineer


def test_a_refused_act_keeps_what_was_typed(job):
    anchor = ExistingAnchorFactory(wall_line=WallLineFactory(house=job.house), seen=False)
    answer = engineer_of(job).post(
        reverse("anchor-accept", args=[anchor.pk]),
        {"job": job.pk, "anchor": anchor.pk, "version": 1, "reason": "a reason worth keeping"},
    )
    assert answer.status_code == 409
    assert 'value="a reason worth keeping"' in answer.content.decode()


def test_the_mode_of_a_flagged_hillside_is_named(job):
    house = job.house
    house.scope_screen = {**house.scope_screen, "hillside": {"flag": True, "reason": "falls 1 in 2"}}
    house.save()
    client = engineer_of(job)
    assert "Name the mode" in page(client, "review", job.pk).content.decode()
    client.post(reverse("mode-name", args=[job.pk]), {"item": "hillside", "mode": "downhill walls rigid", "version": 1})
    house.refresh_from_db()
    assert house.scope_screen["hillside"]["mode"] == "downhill walls rigid"


def test_a_job_is_returned_with_a_comment(job):
    url, client = reverse("review-return", args=[job.pk]), engineer_of(job)
    assert client.post(url, {"seen_stage": "in review", "comment": ""}).status_code == 409
    client.post(url, {"seen_stage": "in review", "comment": "Show the plate lap."})
    job.refresh_from_db()
    assert (job.stage, ReviewComment.objects.get().text) == ("designed", "Show the plate lap.")
    assert JobEvent.objects.filter(job=job, what="review.return").exists()


def test_a_stamped_packet_moves_the_job_on():
    design = issued_design()
    job = design.job
    Job.objects.filter(pk=job.pk).update(stage="in review")
    packet = PacketFactory(design=design)
    client, url = engineer_of(job), reverse("review-stamped", args=[job.pk])
    refused = client.post(url, {"seen_stage": "in review"})
    assert refused.status_code == 409
    assert "Not stamped yet" in refused.content.decode()
    stamp_packet(packet)
    assert url in page(client, "review", job.pk).content.decode()
    client.post(url, {"seen_stage": "in review"})
    job.refresh_from_db()
    assert job.stage == "stamped"


def test_an_open_link_that_nobody_listed_stands_in_the_way_and_is_named():
    issued = issued_design()
    snapshot = json.loads(issued.snapshot)
    snapshot["result"]["lines"][0]["open_links"] = ["load path open at upper to lower plate"]
    design = DesignFactory(job=issued.job, snapshot=json.dumps(snapshot))
    Job.objects.filter(pk=design.job_id).update(stage="in review")
    stamp_packet(PacketFactory(design=design))
    client, url = engineer_of(issued.job), reverse("review-stamped", args=[design.job_id])
    html = page(client, "review", design.job_id).content.decode()
    assert "Before the job counts as stamped" in html
    assert "must list these open links as remaining deficiencies: " in html
    assert f"<li><b>{snapshot['result']['lines'][0]['label']}</b>: load path open at upper to lower plate</li>" in html
    assert url not in html
    assert client.post(url, {"seen_stage": "in review"}).status_code == 409


def test_a_packet_is_withdrawn_for_a_reason(job):
    packet = PacketFactory(design=DesignFactory(job=job, snapshot=issued_design().snapshot))
    client, url = engineer_of(job), reverse("packet-withdraw", args=[job.pk])
    assert client.post(url, {"packet": packet.pk, "reason": ""}).status_code == 409
    client.post(url, {"packet": packet.pk, "reason": "A beam was found."})
    packet.refresh_from_db()
    assert packet.withdrawn_reason == "A beam was found."


def test_the_page_names_the_jobs_other_packets():
    design = issued_design()
    first, second = PacketFactory(design=design), PacketFactory(design=design)
    html = page(engineer_of(design.job), "review", design.job_id).content.decode()
    assert f"packet {second.number} of revision 1</a></div>" in html
    assert reverse("packet-detail", args=[first.pk]) in html


def test_a_packet_of_another_job_is_not_withdrawn_here(job):
    other = PacketFactory(design=DesignFactory())
    answer = engineer_of(job).post(reverse("packet-withdraw", args=[job.pk]), {"packet": other.pk, "reason": "x"})
    assert answer.status_code == 404


def test_an_act_on_a_house_needs_a_job_of_the_engineers(job):
    anchor = ExistingAnchorFactory(wall_line=WallLineFactory(house=job.house))
    stranger = EngineerLicenceFactory().user
    client = Client()
    client.force_login(stranger)
    answer = client.post(reverse("anchor-accept", args=[anchor.pk]), {"job": job.pk, "version": 1, "reason": "x"})
    assert answer.status_code == 404


def test_an_estimator_has_no_review_page(job):
    assert page(logged_in("estimator"), "review", job.pk).status_code == 403


def test_a_standing_template_has_no_page_here(job):
    CriteriaSheetFactory(job=None, jurisdiction=JurisdictionFactory())
    assert page(engineer_of(job), "criteria-confirm", job.pk).status_code == 404


# --- how a step is printed -------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("expression", "inputs", "printed"),
    [
        ("0.7·ρ·Q_E", {"ρ": 1.3, "Q_E": 1000.0}, "0.7·1.3·1,000"),
        ("D²/Rd", {"D": 0.242, "Rd": 2.2}, "0.242²/2.2"),
        ("T − C", {"T": -2.5, "C": 1}, "(-2.5) − 1"),
        ("h + floor depth", {"h": 8.0, "floor_depth": 0.75}, "8 + 0.75"),
        ("sum", {"W_roof": 10.0, "W_story_walls": 20.0}, "W_roof = 10, W_story_walls = 20"),
        ("W·C_s", {"W": 2.0, "C_s": 0.5, "T_L": 8.0}, "2·0.5, T_L = 8"),
        ("area of the outline", {}, ""),
    ],
)
def test_numbers_take_the_place_of_symbols(expression, inputs, printed):
    assert substituted(expression, inputs) == printed


def test_a_symbol_is_not_found_inside_another():
    assert substituted("Fem/Fes", {"Fem": 4650.0, "F": 1.0, "Fes": 4650.0}) == "4,650/4,650, F = 1"


def test_formulas_have_subscripts_and_no_markup_of_others():
    assert formula("Q_E,A·C_D") == "Q<sub>E,A</sub>·C<sub>D</sub>"
    assert formula("<b>") == "&lt;b&gt;"
