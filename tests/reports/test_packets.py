"""A packet: both copies of each file, filled once, and what the crew's papers rest on."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from django.utils import timezone

from jobs.errors import Refused
from jobs.models import EnrolledCertificate, Jurisdiction, Packet, PacketFile, Stamp
from reports import merging, storage
from reports.models import Document
from reports.rendering import NotRenderable
from reports.sections import sha256_of
from reports.services.documents import render_here
from reports.services.packets import fill_packet, fillable, make_packet
from tests.reports.papers import text_of
from tests.reports.rows import a_design, a_job, a_user

pytestmark = pytest.mark.django_db


def test_a_packet_gets_both_copies_of_each_file(workers, ask):
    packet = ask(make_packet, design_id=a_design().pk)
    assert not packet.is_ready
    workers.work()
    packet = Packet.objects.get(pk=packet.pk)
    assert packet.is_ready
    for file, kind in zip(packet.files.all(), ("plan_set", "calculations"), strict=True):
        review, signing = storage.read(file.review_copy), storage.read(file.signing_copy)
        assert (sha256_of(review), sha256_of(signing)) == (file.review_copy_sha256, file.signing_copy_sha256)
        assert file.document_sha256 == Document.objects.get(kind=kind).file_sha256
        assert f"{kind}: first" in text_of(review)
        assert "Preliminary, not for construction" in _words(review)
        assert "Valid only with the engineer's seal" in _words(signing)
        assert "not for construction" not in _words(signing)
        assert b"/Sig" in signing
        assert b"/AcroForm" not in review


def test_a_packet_of_drawn_documents_is_filled_without_drawing(workers, ask, drawn):
    design = a_design()
    for kind in ("plan_set", "calculations"):
        render_here(ask(kind=kind, design_id=design.pk).pk)
    workers.messages.clear()
    drawn.clear()
    packet = ask(make_packet, design_id=design.pk)
    workers.work()
    assert Packet.objects.get(pk=packet.pk).is_ready
    assert drawn == []


def test_filling_a_packet_again_changes_nothing(workers, ask):
    packet = ask(make_packet, design_id=a_design().pk)
    workers.work()
    before = list(PacketFile.objects.values())
    assert fill_packet(packet.pk)
    assert list(PacketFile.objects.values()) == before
    assert fillable() == []


def test_a_packet_in_one_file_where_the_jurisdiction_wants_one(workers, ask):
    job = a_job()
    Jurisdiction.objects.update(one_file=True)
    packet = ask(make_packet, design_id=a_design(job=job).pk)
    workers.work()
    (file,) = packet.files.all()
    assert (file.kind, Packet.objects.get(pk=packet.pk).is_ready) == ("set", True)
    words = _words(storage.read(file.signing_copy))
    assert words.index("plan_set: first") < words.index("calculations: first")
    assert words.index("plan_set: third") < words.index("calculations: first")
    again = sorted(Document.objects.values_list("kind", "file_sha256"), reverse=True)
    assert file.document_sha256 == sha256_of("".join(sha256 for _, sha256 in again))


def test_one_file_waits_for_both_documents(workers, ask):
    job = a_job()
    Jurisdiction.objects.update(one_file=True)
    packet = ask(make_packet, design_id=a_design(job=job).pk)
    render_here(Document.objects.get(kind="plan_set").pk)
    assert fillable() == []
    assert not fill_packet(packet.pk)
    render_here(Document.objects.get(kind="calculations").pk)
    assert fillable() == [packet.pk]


@pytest.mark.parametrize("method", ["image over seal", "scan of a wet-signed set"])
def test_no_empty_field_where_it_is_not_signed_in_the_file(workers, ask, method):
    job = a_job()
    Jurisdiction.objects.update(stamp_method=method)
    job.house.jurisdiction.refresh_from_db()
    packet = ask(make_packet, design_id=a_design(job=job).pk)
    workers.work()
    signing = storage.read(packet.files.first().signing_copy)
    assert b"/AcroForm" not in signing
    assert "Valid only with the engineer's seal" in _words(signing)


def test_a_copy_that_can_not_be_made_says_why_and_is_left_alone(workers, ask, monkeypatch):
    packet = ask(make_packet, design_id=a_design().pk)
    workers.work(deliver=lambda name: 0 if name == "fill_packet" else 1)

    def _refuse(**facts):
        raise NotRenderable("The file would have 80 MB")

    monkeypatch.setattr(merging, "merge", _refuse)
    assert not fill_packet(packet.pk)
    assert set(packet.files.values_list("problem", flat=True)) == {"The file would have 80 MB"}
    assert fillable() == []


def test_the_sweep_finds_a_packet_that_nobody_filled(workers, ask):
    packet = ask(make_packet, design_id=a_design().pk)
    workers.work(deliver=lambda name: 0 if name == "fill_packet" else 1)
    assert fillable() == [packet.pk]


def test_no_signing_copy_where_no_stamp_is_wanted(workers, ask):
    packet = ask(make_packet, design_id=a_design(job=a_job(stamp_required=False)).pk)
    workers.work()
    assert {file.signing_copy for file in packet.files.all()} == {""}
    assert Packet.objects.get(pk=packet.pk).is_ready


def test_a_second_packet_has_its_own_number_and_code(workers, ask):
    design = a_design()
    first, second = (ask(make_packet, design_id=design.pk) for _ in range(2))
    workers.work()
    assert (first.number, second.number) == (1, 2)
    assert first.token != second.token
    copies = [packet.files.first().review_copy_sha256 for packet in (first, second)]
    assert copies[0] != copies[1]


def test_a_quantity_study_makes_no_packet(workers, ask):
    with pytest.raises(Refused, match="quantity study, not engineering"):
        ask(make_packet, design_id=a_design(quantity_study=True).pk)
    assert not Packet.objects.exists()
    assert not Document.objects.exists()


def test_papers_for_the_crew_rest_on_the_stamp(workers, ask):
    """Asked for before the stamp they are preliminary; after it they are another paper, which names the stamp."""
    design = a_design()
    before = render_here(ask(kind="inspection_checklist", design_id=design.pk).pk)
    packet = ask(make_packet, design_id=design.pk)
    workers.work()
    engineer = a_user("engineer", first_name="Rae", last_name="Example")
    _stamp(packet, engineer)
    after = render_here(ask(kind="inspection_checklist", design_id=design.pk).pk)
    assert after.pk != before.pk
    assert "Preliminary, not for construction" in _words(storage.read(before.file))
    said = _words(storage.read(after.file))
    assert "From revision 1, stamped 5 Nov 2026" in said
    assert "Packet 1, Rae Example, civil CA C 00000 (invented)" in said
    withdrawn = {"withdrawn_at": timezone.now(), "withdrawn_by": engineer, "withdrawn_reason": "wrong nail"}
    Packet.objects.filter(pk=packet.pk).update(**withdrawn)
    assert ask(kind="inspection_checklist", design_id=design.pk).pk == before.pk


def _stamp(packet, engineer):
    signed_at = datetime(2026, 11, 5, 20, tzinfo=UTC)
    certificate = EnrolledCertificate.objects.create(
        user=engineer, fingerprint_sha256="cd" * 32, not_after=signed_at, enrolled_at=signed_at
    )
    for file in packet.files.all():
        Stamp.objects.create(
            packet_file=file, signer=engineer, certificate=certificate, licence="civil CA C 00000 (invented)",
            signed_at=signed_at, recorded_at=signed_at, file_sha256="ef" * 32, design_sha256="ab" * 32,
        )  # fmt: skip


def _words(pdf):
    return " ".join(text_of(pdf).split())
