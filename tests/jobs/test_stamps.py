"""A stamp is written once, for good reasons, and what it rests on is compared again each time."""

import json
from datetime import date, datetime, time, timedelta

import pytest
import time_machine
from django.core.exceptions import PermissionDenied
from django.utils import timezone

from jobs.errors import Refused
from jobs.models import Connector, EngineerLicence, JobEvent, PacketFile, Stamp, StampMethod, TableSetAcceptance
from jobs.services import people, stamps
from jobs.services.designs import issue_design
from jobs.services.packets import record_packet
from tests.factories import (
    DesignFactory,
    EnrolledCertificateFactory,
    JobFactory,
    PacketFactory,
    StampFactory,
    UserFactory,
    design_snapshot,
    stamp_packet,
)
from tests.issued import issued_design

pytestmark = pytest.mark.django_db


@pytest.fixture
def packet():
    """Ready to be stamped."""
    return PacketFactory(design=issued_design())


@pytest.fixture
def stamped(packet):
    stamp_packet(packet, certificate=EnrolledCertificateFactory(user=packet.design.job.assigned_engineer))
    return packet


def plan_set(packet) -> PacketFile:
    return PacketFile.objects.select_related("packet__design__job").get(packet=packet, kind="plan_set")


def why_not(packet, by=None):
    by = by or packet.design.job.assigned_engineer
    return stamps.why_not(packet_file=plan_set(packet), by=by, on=timezone.localdate())


def record(packet, by=None) -> Stamp:
    by = by or packet.design.job.assigned_engineer
    return stamps.record(
        packet_file_id=plan_set(packet).pk,
        certificate=EnrolledCertificateFactory(user=by),
        signed_at=timezone.now(),
        stamped="stamps/abc.pdf",
        stamped_sha256="5" * 64,
        by=by,
    )


# What stands in the way


def test_nothing_stands_in_the_way_of_a_ready_packet(packet):
    assert why_not(packet) == []


@pytest.mark.parametrize("method", [StampMethod.IMAGE_OVER_SEAL, StampMethod.WET_SCAN])
def test_another_stamp_method_is_refused_by_name(method):
    [reason] = why_not(PacketFactory(design=issued_design(name="Sampleton", stamp_method=method)))
    assert reason == f'Sampleton wants "{method.label}"; only a digital signature can be taken here for now.'


def test_what_the_engineer_has_not_accepted_is_named(packet):
    snapshot = json.loads(packet.design.snapshot)
    snapshot["result"]["to_accept"] = ["line A, foundation", "line B, foundation"]
    packet.design = DesignFactory(job=packet.design.job, snapshot=json.dumps(snapshot))
    reasons = why_not(PacketFactory(design=packet.design))
    assert any("Not accepted by the engineer yet: line A, foundation; line B, foundation." in one for one in reasons)


def test_the_method_is_the_one_the_design_was_issued_under(packet):
    place = packet.design.job.house.jurisdiction
    place.stamp_method = StampMethod.WET_SCAN
    place.save()
    assert why_not(packet) == []


def test_an_expired_licence_is_refused(packet):
    EngineerLicence.objects.update(expires_on=timezone.localdate() - timedelta(days=1))
    [reason] = why_not(packet)
    assert reason.startswith("Ada Trial has no licence on record that is valid in CA on ")
    EngineerLicence.objects.update(expires_on=timezone.localdate())
    assert why_not(packet) == []


def test_a_licence_of_another_state_is_refused(packet):
    EngineerLicence.objects.update(state="OR")
    assert "valid in CA" in why_not(packet)[0]


def test_values_from_memory_need_the_table_set_accepted_by_this_engineer(packet):
    assert json.loads(packet.design.snapshot)["result"]["from_memory"], "or the test tests nothing"
    TableSetAcceptance.objects.all()._raw_delete("default")
    [reason] = why_not(packet)
    assert "has not accepted its table set" in reason


def test_open_links_must_be_listed_as_remaining_deficiencies():
    link = "load path open at tie-down"
    unlisted = DesignFactory(snapshot=design_snapshot(open_links=[link]))
    assert stamps.unlisted_open_links(unlisted) == [f"A: {link}"]
    listed = DesignFactory(snapshot=design_snapshot(open_links=[link], remaining_deficiencies=f"Known: a:  {link}."))
    assert stamps.unlisted_open_links(listed) == []


def test_a_file_that_is_not_ready_is_refused(packet):
    PacketFile.objects.update(signing_copy="", signing_copy_sha256="")
    assert why_not(packet) == ["The signing copy is not ready yet."]


def test_a_design_whose_inputs_changed_is_refused(packet):
    packet.design.job.house.wall_lines.update(rim_set_back_in=0.25)
    assert why_not(packet) == ["The survey, the criteria or the choices changed since the design was issued."]


def test_all_reasons_come_at_once(packet):
    EngineerLicence.objects.update(state="OR")
    PacketFile.objects.update(signing_copy="", signing_copy_sha256="")
    packet.design.job.house.wall_lines.update(rim_set_back_in=0.25)
    assert len(why_not(packet)) == 3


# The stamp


def test_a_stamp_keeps_who_with_which_licence_when_and_what(packet):
    engineer = packet.design.job.assigned_engineer
    stamp = record(packet)
    assert (stamp.signer, stamp.licence) == (engineer, "Civil engineer CA 0001")
    assert stamp.file_sha256 == plan_set(packet).stamped_sha256 == "5" * 64
    assert stamp.design_sha256 == packet.design.snapshot_sha256
    event = JobEvent.objects.get(what="packet.sign")
    assert (event.by, event.after) == (engineer, "plan set of packet 1, revision 1")


def test_a_second_stamp_on_the_same_file_is_refused(packet):
    record(packet)
    with pytest.raises(Refused, match="stamped already"):
        record(packet)


@pytest.mark.parametrize("role", ["office", "estimator", "engineer", "installer"])
def test_nobody_but_the_assigned_engineer_stamps_or_withdraws(packet, role):
    other = UserFactory(roles=[role])
    with pytest.raises(PermissionDenied):
        record(packet, by=other)
    with pytest.raises(PermissionDenied):
        stamps.withdraw(packet_id=packet.pk, reason="mine", by=other)


def test_a_refused_stamp_leaves_nothing_behind(packet):
    EngineerLicence.objects.update(state="OR")
    with pytest.raises(Refused):
        record(packet)
    assert not Stamp.objects.exists()
    assert not plan_set(packet).stamped


# Does it still stand?


def test_a_packet_is_stamped_when_every_file_that_needs_it_is(packet):
    assert stamps.currency(packet) == stamps.Currency("not stamped", ("Not stamped yet: plan set, calculations.",))
    record(packet)
    assert stamps.currency(packet).state == "not stamped"
    StampFactory(packet_file=packet.files.get(kind="calculations"))
    assert stamps.currency(packet) == stamps.Currency("current")


def test_a_changed_survey_supersedes(stamped):
    stamped.design.job.house.wall_lines.filter(label="A").update(sill_thickness_in=1.75)
    assert stamps.currency(stamped).state == "superseded"


def test_a_change_that_is_taken_back_supersedes_nothing(stamped):
    lines = stamped.design.job.house.wall_lines
    lines.update(sill_thickness_in=1.75)
    lines.update(sill_thickness_in=1.5)
    assert stamps.currency(stamped).state == "current"


def test_changed_criteria_supersede(stamped):
    sheet = stamped.design.job.criteria_sheet
    sheet.response_modification = 4.0
    sheet.save()
    assert stamps.currency(stamped).state == "superseded"


def test_a_survey_that_no_longer_computes_supersedes(stamped):
    stamped.design.job.house.wall_lines.update(sill_width_in=None)
    where = stamps.currency(stamped)
    assert where.state == "superseded"
    assert "no longer compute" in where.reasons[0]


def test_a_newer_stamped_revision_supersedes_and_an_unstamped_one_does_not(stamped):
    job = stamped.design.job
    newer = PacketFactory(design=issue_design(job_id=job.pk, by=job.assigned_engineer, seen_version=job.version))
    assert stamps.currency(stamped).state == "current"
    stamp_packet(newer)
    assert stamps.currency(stamped) == stamps.Currency(
        "superseded", ("Revision 2, packet 1, is stamped and replaces it.",)
    )
    assert stamps.currency(newer).state == "current"


def test_a_withdrawn_packet_is_superseded_whether_stamped_or_not(packet):
    engineer = packet.design.job.assigned_engineer
    with pytest.raises(Refused, match="Say why"):
        stamps.withdraw(packet_id=packet.pk, reason="  ", by=engineer)
    packet = stamps.withdraw(packet_id=packet.pk, reason="Wrong sheet size.", by=engineer)
    where = stamps.currency(packet)
    assert where.state == "superseded"
    assert where.reasons[0].startswith("Withdrawn by Ada Trial on ")
    assert where.reasons[0].endswith(": Wrong sheet size.")
    with pytest.raises(Refused, match="already"):
        stamps.withdraw(packet_id=packet.pk, reason="again", by=engineer)
    with pytest.raises(Refused, match="Withdrawn by"):
        record(packet)


def test_a_value_that_fell_flags(stamped):
    Connector.objects.filter(key="demo-anchor").update(value_lb=900.0)
    assert stamps.currency(stamped) == stamps.Currency(
        "flagged", ("Demo anchor ½ in: its value fell from 980 lb to 900 lb.",)
    )


def test_a_value_that_rose_flags_nothing(stamped):
    Connector.objects.filter(key="demo-anchor").update(value_lb=1000.0)
    assert stamps.currency(stamped).state == "current"


def test_another_basis_of_the_value_flags(stamped):
    Connector.objects.filter(key="demo-screw").update(value_basis="already 1.6")
    assert stamps.currency(stamped) == stamps.Currency(
        "flagged", ('Demo screw ¼ × 6 in: its value was "C_D 1.0" and is "already 1.6" now.',)
    )


def test_a_report_flags_from_the_day_after_it_expires(stamped):
    last_day = Connector.objects.get(key="demo-screw").expires_on
    Connector.objects.filter(basis="evaluated").exclude(key="demo-screw").update(expires_on=date.max)
    noon = datetime.combine(last_day, time(12), tzinfo=timezone.get_default_timezone())
    with time_machine.travel(noon, tick=False):
        assert stamps.currency(stamped).state == "current"
    with time_machine.travel(noon + timedelta(days=1), tick=False):
        [reason] = stamps.currency(stamped).reasons
    assert reason.startswith("Demo screw ¼ × 6 in: report DEMO-0001 expired on ")


def test_a_connector_taken_out_of_the_catalogue_flags(stamped):
    Connector.objects.filter(key="16d-common").update(active=False)
    assert stamps.currency(stamped).reasons == ("16d common 0.162 × 3½ in is no longer in the catalogue.",)


def test_a_nail_with_other_dimensions_flags(stamped):
    Connector.objects.filter(key="16d-common").update(diameter_in=0.148)
    assert stamps.currency(stamped).reasons == ("16d common 0.162 × 3½ in: the catalogue gives other dimensions now.",)


def test_a_revoked_certificate_flags(stamped):
    certificate = stamped.files.first().stamp.certificate
    people.revoke_certificate(certificate_id=certificate.pk, by=UserFactory(roles=["office"]))
    where = stamps.currency(stamped)
    assert where.state == "flagged"
    assert "certificate that signed it was revoked on" in where.reasons[0]


def test_another_job_changes_nothing(stamped):
    stamp_packet(PacketFactory(design=DesignFactory(job=JobFactory(), revision=9)))
    assert stamps.currency(stamped).state == "current"


def test_no_second_packet_is_made_beside_a_stamped_one(packet):
    stamp_packet(packet, certificate=EnrolledCertificateFactory(user=packet.design.job.assigned_engineer))
    by = UserFactory(roles=["estimator"])
    with pytest.raises(Refused, match="is stamped"):
        record_packet(design_id=packet.design_id, kinds=("plan_set", "calculations"), by=by)
    stamps.withdraw(packet_id=packet.pk, reason="A wrong panel", by=packet.design.job.assigned_engineer)
    assert record_packet(design_id=packet.design_id, kinds=("plan_set", "calculations"), by=by).number == 2
