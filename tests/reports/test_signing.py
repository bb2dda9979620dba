"""A signing copy comes back signed and untouched, or it is refused with a sentence that names what is wrong."""

import asyncio
import os
import random
import re
import shutil
import subprocess
from datetime import UTC, datetime, timedelta
from io import BytesIO

import pikepdf
import pytest
from asn1crypto import cms
from django.template.loader import get_template
from pyhanko.sign.fields import SigFieldSpec, append_signature_field
from pyhanko.sign.signers import PdfTimeStamper
from pyhanko.sign.validation.dss import DocumentSecurityStore

from reports import demo_engineer
from reports.sections import PAGES
from reports.signing import (
    FIELD_NAME,
    STAMP_HEIGHT_IN,
    STAMP_INSET_IN,
    STAMP_WIDTH_IN,
    EnrolledKey,
    NotSignable,
    Verdict,
    check_upload,
    fingerprint,
    prepare_signing_copy,
    stamp_box_in,
)
from tests.reports.signed import (
    COPY,
    KEY,
    NOW,
    OTHER_KEY,
    STAMPED,
    added_note,
    added_page,
    append_to,
    bytes_of,
    document,
    page_swap,
    rsa_key,
    sign,
    signer_of,
    time_service,
)

ENROLLED = [EnrolledKey(KEY.certificate_pem)]


def check(upload: bytes, enrolled=ENROLLED, *, copy=COPY, at=None) -> Verdict:
    return check_upload(copy, upload, enrolled, at=at or datetime.now(UTC))


def assert_refused(upload: bytes, match: str, **how) -> None:
    verdict = check(upload, **how)
    assert not verdict.accepted
    assert len(verdict.reasons) == 1
    assert re.search(match, verdict.reasons[0]), verdict.reasons[0]


def signature_in(pdf: bytes) -> tuple[tuple[int, int], cms.ContentInfo]:
    """Where the hexadecimal digits of the signature stand, and what they say."""
    digits = re.search(rb"/Contents ?<([0-9a-fA-F]{400,})>", pdf)
    return digits.span(1), cms.ContentInfo.load(bytes.fromhex(digits[1].decode()))


# The signing copy


def test_the_signing_copy_is_the_same_bytes_each_time_with_one_empty_field():
    assert prepare_signing_copy(document("S1.0 wall lines", "S2.1 wall line A")) == COPY
    with pikepdf.open(BytesIO(COPY)) as pdf:
        [field] = pdf.Root.AcroForm.Fields
        assert pdf.Root.AcroForm.SigFlags == 3
        assert (field.FT, str(field.T)) == ("/Sig", FIELD_NAME)
        assert "/V" not in field
        assert field.objgen in [note.objgen for note in pdf.pages[0].Annots]


@pytest.mark.parametrize("page", PAGES.values(), ids=PAGES)
def test_the_stamp_space_is_lower_right_and_clear_of_the_title_strip(page):
    left, bottom, right, top = stamp_box_in(page)
    assert left > page.width_in / 2 - 1
    assert top < page.height_in / 2
    assert min(right - left, top - bottom) > 1.999, "a 2 in seal must fit"
    beside = right <= page.strip_x_in
    above = bottom >= page.strip_y_in + page.strip_height_in
    assert beside or above


@pytest.mark.parametrize("template", ["documents/calculations/criteria.html", "partials/_sheet_style.html"])
def test_the_frame_drawn_on_the_sheets_holds_the_field_and_its_caption(template):
    text = get_template(f"reports/{template}").template.source
    frame = r"\.seal \{ position: absolute; right: 0; bottom: 0; width: (\S+)in; height: (\S+)in"
    width, height = re.search(frame, text).groups()
    assert float(width) >= STAMP_WIDTH_IN + 2 * STAMP_INSET_IN
    assert float(height) >= STAMP_HEIGHT_IN + STAMP_INSET_IN + 0.15


def test_a_sheet_of_another_size_is_refused():
    pdf = pikepdf.new()
    pdf.add_blank_page(page_size=(792, 1224))
    out = BytesIO()
    pdf.save(out)
    with pytest.raises(NotSignable, match="11 × 17 in has no stamp space"):
        prepare_signing_copy(out.getvalue())


@pytest.mark.parametrize("pdf", [COPY, b"no PDF", b""], ids=["has a form", "text", "nothing"])
def test_a_document_that_cannot_be_signed_is_refused(pdf):
    with pytest.raises(NotSignable):
        prepare_signing_copy(pdf)


# What is accepted


def test_a_signed_copy_is_accepted_with_its_signer_and_time():
    verdict = check(STAMPED)
    assert verdict == Verdict(True, (), fingerprint(KEY.certificate_pem), verdict.signed_at)
    assert abs(verdict.signed_at - NOW) < timedelta(minutes=2)


def test_the_demo_tool_signs_beside_a_running_event_loop():
    async def walk() -> bytes:
        return demo_engineer.sign(COPY, KEY, licence="C 00000", day="25 Nov 2026")

    assert check(asyncio.run(walk())).accepted


def test_an_invisible_signature_is_accepted():
    assert check(sign(COPY)).accepted


def test_a_timestamp_inside_the_signature_is_accepted():
    assert check(sign(COPY, timestamper=time_service())).accepted


def test_an_rsa_certificate_is_accepted():
    key = rsa_key("Rosa Trial, PE")
    assert check(sign(COPY, signer_of(key)), [EnrolledKey(key.certificate_pem)]).accepted


def test_a_second_enrolled_certificate_is_accepted():
    assert check(sign(COPY, signer_of(OTHER_KEY)), [*ENROLLED, EnrolledKey(OTHER_KEY.certificate_pem)]).accepted


# Who signed


def test_another_certificate_is_refused():
    assert_refused(sign(COPY, signer_of(OTHER_KEY)), "not enrolled for this engineer")
    assert_refused(STAMPED, "not enrolled for this engineer", enrolled=[])


def test_the_enrolled_certificate_with_another_key_is_refused():
    impostor = signer_of(signing_key=signer_of(OTHER_KEY).signing_key)
    assert_refused(sign(COPY, impostor), "not made with the certificate's key")


def test_a_revoked_certificate_is_refused_from_that_time_on():
    revoked = [EnrolledKey(KEY.certificate_pem, revoked_at=NOW - timedelta(hours=1))]
    assert_refused(STAMPED, "was revoked on", enrolled=revoked)
    later = [EnrolledKey(KEY.certificate_pem, revoked_at=NOW + timedelta(days=1))]
    assert check(STAMPED, later).accepted


def test_a_certificate_outside_its_dates_is_refused():
    assert_refused(STAMPED, "expired on", at=NOW + timedelta(days=400))
    assert_refused(STAMPED, "not valid before", at=NOW - timedelta(days=31))


def test_a_timestamp_of_another_signature_is_refused():
    """The token stands outside what the engineer's key signed, so only its own imprint ties it to the signature."""
    first, second = (sign(COPY, timestamper=time_service()) for _ in range(2))
    (start, end), message = signature_in(first)
    message["content"]["signer_infos"][0]["unsigned_attrs"] = signature_in(second)[1]["content"]["signer_infos"][0][
        "unsigned_attrs"
    ]
    swapped = message.dump(force=True).hex().encode().ljust(end - start, b"0")
    assert_refused(first[:start] + swapped + first[end:], "timestamp inside the signature does not belong to it")


def test_a_signing_time_in_the_future_is_refused():
    assert_refused(STAMPED, "in the future", at=NOW - timedelta(days=1))


def test_a_weak_digest_is_refused():
    assert_refused(sign(COPY, md="sha1"), "algorithms")


# Which file


def test_the_unsigned_copy_is_refused():
    assert_refused(COPY, "still empty")


def test_the_response_for_another_file_is_refused():
    other = prepare_signing_copy(document("C-A calculations"))
    assert_refused(sign(other), "not the signing copy of this document")


def test_a_file_saved_anew_is_refused():
    out = BytesIO()
    with pikepdf.open(BytesIO(STAMPED)) as pdf:
        pdf.save(out)
    assert_refused(out.getvalue(), "not the signing copy of this document")


# What else changed


def test_every_sampled_byte_flip_is_refused():
    draw = random.Random(20)
    hole, _message = signature_in(STAMPED)
    # One bit of a hexadecimal digit's letter case says the same, so the hole is left to the tests below.
    signed = [place for place in range(len(STAMPED)) if not hole[0] <= place < hole[1]]
    for place in draw.sample(signed[: len(COPY)], 40) + draw.sample(signed[len(COPY) :], 80):
        flipped = bytearray(STAMPED)
        flipped[place] ^= 1 << draw.randrange(8)
        assert not check(bytes(flipped)).accepted, f"a flipped bit at {place} went unseen"


def test_every_sampled_change_inside_the_signature_is_refused():
    """In the certificate, the signed attributes, the signature value and the padding behind them.

    The envelope around these (version numbers, its list of digests) is signed by nobody and says nothing.
    """
    draw = random.Random(21)
    (start, end), message = signature_in(STAMPED)
    signer = message["content"]["signer_infos"][0]
    parts = [message["content"]["certificates"][0].chosen, signer["signed_attrs"], signer["signature"]]
    spans = [(message.dump().index(part.contents), len(part.contents)) for part in parts]
    spans.append((len(message.dump()), (end - start) // 2 - len(message.dump())))
    for first, length in spans:
        for place in draw.sample(range(start + 2 * first, start + 2 * (first + length)), 20):
            changed = bytearray(STAMPED)
            changed[place] = ord("1" if changed[place] != ord("1") else "2")
            assert not check(bytes(changed)).accepted, f"a changed digit at {place} went unseen"


@pytest.mark.parametrize("change", [page_swap, added_page, added_note])
def test_a_change_that_rides_along_with_the_signature_is_refused(change):
    assert_refused(sign(change()), "besides the signature was changed")


@pytest.mark.parametrize("change", [page_swap, added_page, added_note])
def test_a_change_without_a_signature_is_refused(change):
    assert_refused(bytes_of(change()), "still empty")


def test_a_note_added_after_signing_is_refused():
    assert_refused(bytes_of(added_note(STAMPED)), "does not cover the whole file")


@pytest.mark.parametrize("tail", [b"\n", b"%%EOF\n", b"anything"])
def test_bytes_added_after_signing_are_refused(tail):
    assert not check(STAMPED + tail).accepted


def test_a_stripped_signature_is_refused():
    pdf = append_to(STAMPED)
    field = pdf.root["/AcroForm"]["/Fields"][0]
    del field["/V"]
    pdf.update_container(field)
    assert_refused(bytes_of(pdf), "still empty")


def test_a_whole_other_document_behind_the_copy_is_refused():
    """Nothing in it refers to the copy, so there would be nothing to compare: the trap is that all else is in order."""
    other = prepare_signing_copy(document("a cheaper wall"))
    # Classic cross-reference table with offsets moved behind the copy.
    plain = BytesIO()
    with pikepdf.open(BytesIO(other)) as pdf:
        pdf.save(plain, object_stream_mode=pikepdf.ObjectStreamMode.disable, static_id=True)
    moved = re.sub(
        rb"(\d{10}) (\d{5}) n",
        lambda entry: b"%010d %s n" % (int(entry[1]) + len(COPY), entry[2]),
        plain.getvalue(),
    )
    moved = re.sub(rb"startxref\n(\d+)", lambda at: b"startxref\n%d" % (int(at[1]) + len(COPY)), moved)
    appended = COPY + moved
    with pikepdf.open(BytesIO(appended)) as pdf:
        assert len(pdf.pages) == 1, "readers must see the other document, or the test tests nothing"
    assert_refused(sign(appended), "does not build on it")


def test_a_second_signature_is_refused():
    pdf = append_to(STAMPED)
    append_signature_field(pdf, SigFieldSpec("Second"))
    assert_refused(sign(pdf, signer_of(OTHER_KEY), field="Second"), "2 signatures")


def test_a_signature_in_a_field_of_its_own_is_refused():
    pdf = append_to(COPY)
    append_signature_field(pdf, SigFieldSpec("Elsewhere"))
    assert_refused(sign(pdf, field="Elsewhere"), "prepared field")


def test_a_certified_file_is_refused():
    assert_refused(sign(COPY, certify=True), "ordinary signature instead of certifying")


def test_a_document_timestamp_after_the_signature_is_refused():
    out = BytesIO()
    PdfTimeStamper(time_service()).timestamp_pdf(append_to(STAMPED), "sha256", output=out)
    assert_refused(out.getvalue(), "document timestamp")


def test_a_validation_data_store_after_the_signature_is_refused():
    pdf = append_to(STAMPED)
    DocumentSecurityStore.supply_dss_in_writer(pdf, None, certs=[signer_of().signing_cert])
    assert_refused(bytes_of(pdf), "long-term validation")


# Hostile and broken files


@pytest.mark.parametrize(
    "upload",
    [
        b"",
        b"not a PDF",
        b"%PDF-1.7\n",
        COPY[:-100],
        COPY + b"\x00" * 5000,
        COPY + os.urandom(5000),
        COPY + STAMPED,
        STAMPED[:-50],
        STAMPED.replace(b"/ByteRange", b"/ByteRangf"),
        COPY + b"\nxref\n0 1\n0000000000 65535 f \ntrailer\n<</Size 1/Root 1 0 R/Prev 99999999>>\nstartxref\n9\n%%EOF",
        COPY + b"[" * 200_000,
    ],
    ids=range(11),
)
def test_a_broken_file_is_refused_and_raises_nothing(upload):
    verdict = check(upload)
    assert not verdict.accepted
    assert verdict.reasons


def test_more_than_a_signature_may_hold_is_refused():
    assert_refused(COPY + b" " * (9 * 1024 * 1024), r"adds 9\.4 MB")


# An independent witness


@pytest.fixture(scope="module")
def pdfsig(tmp_path_factory):
    """Poppler's validator, which shares no code with ours."""
    tool = shutil.which("pdfsig")
    if tool is None:
        (pytest.fail if os.environ.get("STEMWALL_ALL") else pytest.skip)("pdfsig (poppler-utils) is not installed")
    file = tmp_path_factory.mktemp("pdfsig") / "file.pdf"

    def say(pdf: bytes) -> str:
        file.write_bytes(pdf)
        return subprocess.run([tool, "-nocert", str(file)], capture_output=True, text=True, timeout=30).stdout

    return say


def test_the_witness_agrees_on_a_clean_file_and_on_a_byte_flip(pdfsig):
    clean = pdfsig(STAMPED)
    assert "Signature is Valid." in clean
    assert "Total document signed" in clean
    flipped = bytearray(STAMPED)
    flipped[STAMPED.index(b"/Annots")] ^= 1
    assert "Signature is Valid." not in pdfsig(bytes(flipped))
    assert not check(bytes(flipped)).accepted


def test_the_witness_alone_would_miss_a_page_swap(pdfsig):
    """Why the comparison with the unsigned base is there."""
    swapped = sign(page_swap())
    assert "Signature is Valid." in pdfsig(swapped)
    assert not check(swapped).accepted
