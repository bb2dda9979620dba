"""Whoever holds a sheet learns whether its stamp is genuine and current, and nothing else."""

from datetime import timedelta

import pytest
from django.core.cache import cache
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from jobs.models import Connector, Stamp
from jobs.services import stamps
from reports import storage
from reports.title_strip import verification_url
from tests.factories import DesignFactory, PacketFactory
from tests.issued import issued_design
from tests.reports.signed import packet_with_files, sign, stamp_all

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _no_earlier_comparisons():
    cache.clear()


@pytest.fixture
def packet():
    return packet_with_files(issued_design())


@pytest.fixture
def stamped(packet):
    return stamp_all(packet)


def page(client, packet, status=200) -> str:
    answer = client.get(reverse("verify", args=[packet.token]))
    assert answer.status_code == status
    return answer.content.decode()


def compare(client, packet, data: bytes, name="file.pdf"):
    return client.post(
        reverse("verify-compare", args=[packet.token]), {"file": SimpleUploadedFile(name, data, "application/pdf")}
    )


def said(client, packet, data: bytes) -> str:
    answer = compare(client, packet, data)
    assert answer.status_code == 200
    return answer.content.decode()


def test_the_code_on_the_sheets_leads_to_the_page(packet, settings):
    assert verification_url(packet.token) == settings.STEMWALL_URL + reverse("verify", args=[packet.token])


def test_a_current_packet_says_by_whom_with_which_licence_and_when(client, stamped):
    text = page(client, stamped)
    assert "The stamp is genuine and current" in text
    assert "Ada Trial, licence Civil engineer CA 0001" in text
    assert stamps.day_text(timezone.localdate()) in text
    for stamp in Stamp.objects.all():
        assert stamp.file_sha256 in text.replace("<wbr>", "")
    assert stamped.design.snapshot_sha256[:12] in text


def test_an_unstamped_packet_is_not_for_construction(client, packet):
    text = page(client, packet)
    assert "preliminary, not for construction" in text
    assert "Not stamped yet: plan set, calculations." in text


def test_a_flagged_packet_gives_its_reasons(client, stamped):
    Connector.objects.filter(key="demo-screw").update(
        issued_on=timezone.localdate() - timedelta(days=9), expires_on=timezone.localdate() - timedelta(days=1)
    )
    text = page(client, stamped)
    assert "the engineer decides whether it stands" in text
    assert "report DEMO-0001 expired on" in text


def test_a_withdrawn_packet_says_do_not_build(client, stamped):
    engineer = stamped.design.job.assigned_engineer
    stamps.withdraw(packet_id=stamped.pk, reason="Wrong soil report.", by=engineer)
    text = page(client, stamped)
    assert "Do not build from this packet" in text
    assert "Wrong soil report." in text


def test_a_stored_file_that_changed_is_not_vouched_for(client, stamped, settings):
    (settings.MEDIA_ROOT / stamped.files.get(kind="plan_set").stamped).write_bytes(b"other")
    text = page(client, stamped)
    assert "cannot vouch" in text
    assert "genuine and current:" not in text


def test_the_page_names_no_client_and_no_other_job(client, stamped):
    other = PacketFactory(design=DesignFactory())
    text = page(client, stamped)
    owner = stamped.design.job.house.client
    for secret in (owner.name, owner.phone, stamped.design.job.title, other.token, other.design.job.number):
        assert secret not in text


def test_an_unknown_address_is_a_404_that_explains(client, db):
    answer = client.get(reverse("verify", args=["nothing-here"]))
    assert answer.status_code == 404
    assert "No packet has this address" in answer.content.decode()
    assert client.post(reverse("verify-compare", args=["nothing-here"])).status_code == 404


def test_the_address_stays_out_of_caches_search_engines_and_other_logs(client, packet):
    headers = client.get(reverse("verify", args=[packet.token])).headers
    assert "no-store" in headers["Cache-Control"]
    assert headers["X-Robots-Tag"] == "noindex, nofollow"
    assert headers["Referrer-Policy"] == "no-referrer"


# Comparing a file


def test_each_copy_is_told_apart(client, stamped):
    for file in stamped.files.all():
        kind = file.get_kind_display()
        assert f"This is the stamped original of the {kind}, byte for byte." in said(
            client, stamped, storage.read(file.stamped)
        )
        assert "It carries no stamp." in said(client, stamped, storage.read(file.signing_copy))
        assert f"This is the review copy of the {kind}" in said(client, stamped, storage.read(file.review_copy))


def test_a_changed_file_is_none_of_the_packets(client, stamped):
    data = bytearray(storage.read(stamped.files.first().stamped))
    data[100] ^= 1
    assert "none of this packet" in said(client, stamped, bytes(data))
    assert "none of this packet" in said(client, stamped, b"no PDF at all")
    assert "none of this packet" in said(client, stamped, sign(storage.read(stamped.files.first().signing_copy)))


def test_an_addition_after_the_stamp_is_told_from_a_forgery(client, stamped):
    data = storage.read(stamped.files.first().stamped) + b"\n% city stamp"
    text = said(client, stamped, data)
    assert "something was added after it was signed" in text
    assert "byte for byte." not in text.split("compare", 1)[1].split("<form", 1)[0]


def test_a_compared_file_is_not_kept(client, packet, settings):
    before = sorted(settings.MEDIA_ROOT.rglob("*"))
    said(client, packet, b"%PDF-1.7 somebody's file" * 300_000)  # large enough to pass through a temporary file
    assert sorted(settings.MEDIA_ROOT.rglob("*")) == before


def test_the_name_of_the_file_is_shown_as_text(client, packet):
    text = compare(client, packet, b"x", name="<b>x</b>.pdf").content.decode()
    assert "<b>" not in text


def test_no_file_and_a_file_over_the_limit_are_refused(client, packet, settings):
    address = reverse("verify-compare", args=[packet.token])
    assert client.post(address).status_code == 400
    settings.STEMWALL_UPLOAD_LIMIT_MB = 0
    assert compare(client, packet, b"x" * 20_000).status_code == 413


def test_comparisons_are_limited(client, packet):
    for _ in range(30):
        assert compare(client, packet, b"x").status_code == 200
    answer = compare(client, packet, b"x")
    assert answer.status_code == 429
    assert answer.headers["Retry-After"] == "600"
    assert page(client, packet), "looking stays open"


def test_comparing_needs_no_cookie(packet):
    assert compare(Client(enforce_csrf_checks=True), packet, b"x").status_code == 200
