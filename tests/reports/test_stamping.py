"""The engineer's upload is taken in whole or refused in full; the demo's tool signs what is taken in."""

from datetime import timedelta

import pytest
import time_machine
from django.core.exceptions import PermissionDenied
from django.core.management import CommandError, call_command
from django.utils import timezone

from jobs.errors import Refused
from jobs.models import Company, EnrolledCertificate, JobEvent, PacketFile, Stamp
from jobs.services import people, stamps
from reports import storage
from reports.demo_engineer import load_or_make_key
from reports.sections import sha256_of
from reports.services import stamping
from reports.signing import fingerprint
from tests.factories import UserFactory
from tests.issued import issued_design
from tests.reports.signed import (
    KEY,
    OTHER_KEY,
    enrol,
    packet_with_files,
    signed_upload,
    signer_of,
    stamp_all,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def packet():
    return packet_with_files(issued_design())


@pytest.fixture
def engineer(packet):
    return packet.design.job.assigned_engineer


@pytest.fixture
def plan_set(packet) -> PacketFile:
    return packet.files.get(kind="plan_set")


def accept(file, data, by) -> Stamp:
    return stamping.accept_signed_upload(packet_file_id=file.pk, data=data, by=by)


# Taking it in


def test_an_accepted_file_is_frozen_byte_for_byte_under_its_hash(packet, plan_set, engineer):
    data = signed_upload(plan_set)
    stamp = accept(plan_set, data, engineer)
    plan_set.refresh_from_db()
    assert plan_set.stamped == f"stamps/{sha256_of(data)}.pdf"
    assert storage.read(plan_set.stamped) == data
    assert (stamp.file_sha256, stamp.signer) == (sha256_of(data), engineer)
    assert stamp.certificate.fingerprint_sha256 == fingerprint(KEY.certificate_pem)
    assert abs(stamp.signed_at - timezone.now()) < timedelta(minutes=1)
    assert stamps.currency(packet).state == "not stamped", "the calculations still wait"


def test_a_packet_with_every_file_stamped_is_current_and_each_stamp_verifies(packet):
    stamp_all(packet)
    assert stamps.currency(packet) == stamps.Currency("current")
    for stamp in Stamp.objects.all():
        assert stamping.check_stamp(stamp).accepted
    assert JobEvent.objects.filter(what="packet.sign").count() == 2


def test_the_file_of_another_place_in_the_packet_is_refused(packet, plan_set, engineer):
    calculations = packet.files.get(kind="calculations")
    with pytest.raises(Refused, match="not the signing copy of this document"):
        accept(plan_set, signed_upload(calculations), engineer)


def test_the_same_file_of_another_packet_is_refused(packet, plan_set, engineer):
    EnrolledCertificate.objects.all().delete()
    other = packet_with_files(packet.design)
    with pytest.raises(Refused, match="not the signing copy of this document"):
        accept(plan_set, signed_upload(other.files.get(kind="plan_set")), engineer)


def test_a_certificate_of_another_engineer_is_refused(plan_set, engineer):
    enrol(UserFactory(roles=["engineer"]), OTHER_KEY)
    with pytest.raises(Refused, match="not enrolled for this engineer"):
        accept(plan_set, signed_upload(plan_set, signer_of(OTHER_KEY)), engineer)


def test_no_certificate_at_all_is_said_so(plan_set, engineer):
    EnrolledCertificate.objects.all().delete()
    with pytest.raises(Refused, match="No certificate of Ada Trial is enrolled"):
        accept(plan_set, signed_upload(plan_set), engineer)


def test_a_revoked_certificate_signs_no_more_and_earlier_stamps_still_verify(packet, plan_set, engineer):
    stamp = accept(plan_set, signed_upload(plan_set), engineer)
    people.revoke_certificate(certificate_id=stamp.certificate_id, by=UserFactory(roles=["office"]))
    stamp = Stamp.objects.get()
    assert stamping.check_stamp(stamp).accepted
    calculations = packet.files.get(kind="calculations")
    with pytest.raises(Refused, match="was revoked on"):
        accept(calculations, signed_upload(calculations), engineer)


@pytest.mark.parametrize("role", ["office", "estimator", "engineer", "installer"])
def test_nobody_but_the_assigned_engineer_uploads(plan_set, role):
    with pytest.raises(PermissionDenied):
        accept(plan_set, signed_upload(plan_set), UserFactory(roles=[role]))


def test_what_stands_in_the_way_is_said_before_the_file_is_looked_at():
    packet = packet_with_files(issued_design(stamp_method="image over seal"))
    with pytest.raises(Refused, match="image over seal"):
        accept(packet.files.first(), b"anything", packet.design.job.assigned_engineer)


def test_a_file_over_the_limit_is_refused(plan_set, engineer, settings):
    settings.STEMWALL_UPLOAD_LIMIT_MB = 0
    with pytest.raises(Refused, match="larger than 0 MB"):
        accept(plan_set, signed_upload(plan_set), engineer)


def test_a_clock_that_runs_behind_is_refused(packet, plan_set, engineer):
    with time_machine.travel(packet.created_at - timedelta(days=3)):
        early = signed_upload(plan_set)
    with pytest.raises(Refused, match="lies before the packet was made"):
        accept(plan_set, early, engineer)


def test_a_damaged_signing_copy_is_refused(plan_set, engineer):
    data = signed_upload(plan_set)
    PacketFile.objects.filter(pk=plan_set.pk).update(signing_copy_sha256="6" * 64)
    with pytest.raises(Refused, match="stored signing copy is damaged"):
        accept(plan_set, data, engineer)


def test_a_refused_file_is_not_kept(plan_set, engineer, settings):
    with pytest.raises(Refused):
        accept(plan_set, signed_upload(plan_set) + b" ", engineer)
    assert not (settings.MEDIA_ROOT / "stamps").exists()
    assert not Stamp.objects.exists()


# Looking again


def test_a_stored_file_that_changed_is_seen(plan_set, engineer, settings):
    stamp = accept(plan_set, signed_upload(plan_set), engineer)
    plan_set.refresh_from_db()
    (settings.MEDIA_ROOT / plan_set.stamped).write_bytes(b"other")
    stamp = Stamp.objects.get(pk=stamp.pk)
    assert not stamping.is_intact(stamp)
    assert "not the one that was stamped" in stamping.check_stamp(stamp).reasons[0]
    (settings.MEDIA_ROOT / plan_set.stamped).unlink()
    assert not stamping.is_intact(stamp)


# The demo's engineer


def test_the_demo_tool_signs_what_the_server_takes_in(plan_set, engineer, tmp_path):
    EnrolledCertificate.objects.all().delete()
    Company.objects.update(demo=True)
    office = UserFactory(roles=["office"])
    key, copy, signed = tmp_path / "key.p12", tmp_path / "copy.pdf", tmp_path / "signed.pdf"
    copy.write_bytes(storage.read(plan_set.signing_copy))
    call_command("sign_demo", copy, signed, key=key, enrol=engineer.username, by=office.username, licence="CA 0001")
    stamp = accept(plan_set, signed.read_bytes(), engineer)
    assert stamp.certificate.subject == "OU=demo\\, not a licence,CN=Demo Engineer\\, PE"
    assert key.stat().st_mode & 0o077 == 0
    assert load_or_make_key(key, name="ignored", now=timezone.now()).name == "Demo Engineer, PE"


def test_the_demo_key_is_enrolled_in_demo_databases_only(engineer, tmp_path):
    with pytest.raises(CommandError, match="not a demo database"):
        call_command("sign_demo", key=tmp_path / "key.p12", enrol=engineer.username, by="anyone")


def test_the_demo_tool_says_what_it_needs(tmp_path):
    with pytest.raises(CommandError, match="Name a signing copy"):
        call_command("sign_demo", key=tmp_path / "key.p12")
    with pytest.raises(CommandError, match="There is no file"):
        call_command("sign_demo", tmp_path / "none.pdf", tmp_path / "out.pdf", key=tmp_path / "key.p12")
