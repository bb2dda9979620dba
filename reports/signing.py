"""The stamp as bytes: a signing copy with one empty field, and the check of what the engineer sends back.

Bytes in, bytes or a verdict out: no database, no clock, no network, no rendering. The key never comes near this code.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from hashlib import sha256
from io import BytesIO

import pikepdf
from asn1crypto import core, pem, x509
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.diff_analysis import (
    DEFAULT_DIFF_POLICY,
    DiffResult,
    ModificationLevel,
)
from pyhanko.sign.fields import enumerate_sig_fields
from pyhanko.sign.validation import KeyUsageConstraints, validate_pdf_signature
from pyhanko.sign.validation.pdf_embedded import EmbeddedPdfSignature
from pyhanko_certvalidator import ValidationContext

from reports.sections import FULL_SIZE, PAGES, SHEET_SIZES, PageBox, placing

FIELD_NAME = "EngineerStamp"
POINTS_PER_INCH = 72

# Room for a 2 in seal, which one board asks for as the least and another as the most, with a signature beside it.
# The sheets draw a frame around it, with its caption above.
STAMP_WIDTH_IN = 3.0
STAMP_HEIGHT_IN = 2.0
STAMP_INSET_IN = 0.05

# What a signature may add to a file: certificates, a timestamp and the picture of a seal.
MAX_SIGNATURE_BYTES = 8 * 1024 * 1024
CLOCK_TOLERANCE = timedelta(minutes=10)


@dataclass(frozen=True, slots=True)
class EnrolledKey:
    """A certificate that an engineer enrolled, as PEM text, and when it was revoked."""

    certificate_pem: str
    revoked_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Verdict:
    """What the check of an upload found; `reasons` holds one sentence for each thing that is wrong."""

    accepted: bool
    reasons: tuple[str, ...] = ()
    signer_sha256: str = ""
    signed_at: datetime | None = None


class NotSignable(ValueError):
    """A PDF that cannot become a signing copy."""


class _Wrong(Exception):
    """One thing that is wrong with an upload, as a sentence for the engineer."""


def fingerprint(certificate_pem: str) -> str:
    """SHA-256 of a certificate's DER bytes, lower-case hex; ValueError when the text holds no certificate."""
    return sha256(_certificate(certificate_pem).dump()).hexdigest()


def stamp_box_in(page: PageBox) -> tuple[float, float, float, float]:
    """The stamp space of a sheet, in inches from its lower left corner: left, bottom, right, top.

    The lower right corner of the body, where a reviewer looks for a seal, clear of the title strip.
    """
    right = page.width_in - page.right_in - STAMP_INSET_IN
    bottom = page.bottom_in + STAMP_INSET_IN
    return right - STAMP_WIDTH_IN, bottom, right, bottom + STAMP_HEIGHT_IN


def prepare_signing_copy(pdf: bytes) -> bytes:
    """The same document with one empty signature field in the stamp space of its first sheet.

    The same input gives the same bytes, so the copy can be made again and compared. NotSignable when the document
    already has a form, is encrypted, cannot be read or starts with a sheet of a size that is not ours.
    """
    try:
        document = pikepdf.open(BytesIO(pdf))
    except pikepdf.PdfError as why:
        raise NotSignable(f"The document is not a PDF that can be signed: {why}") from why
    with document:
        if "/AcroForm" in document.Root:
            raise NotSignable("The document already has a form; a signing copy holds one empty field and no other.")
        if document.is_encrypted:
            raise NotSignable("The document is encrypted; a signing copy must open without a password.")
        sheet = document.pages[0]
        box_in = _field_in(sheet)
        field = document.make_indirect(
            pikepdf.Dictionary(
                Type=pikepdf.Name.Annot,
                Subtype=pikepdf.Name.Widget,
                FT=pikepdf.Name.Sig,
                T=pikepdf.String(FIELD_NAME),
                F=132,  # printed, and locked in its place
                Rect=pikepdf.Array([round(edge * POINTS_PER_INCH, 2) for edge in box_in]),
                P=sheet.obj,
            )
        )
        sheet.obj.Annots = pikepdf.Array([*sheet.obj.get("/Annots", []), field])
        # SigFlags 3: signatures exist, and the file may only be appended to.
        document.Root.AcroForm = pikepdf.Dictionary(Fields=pikepdf.Array([field]), SigFlags=3)
        out = BytesIO()
        document.save(out, deterministic_id=True, min_version="1.7")
    return out.getvalue()


def _field_in(sheet: pikepdf.Page) -> tuple[float, ...]:
    """The stamp space of a sheet on any paper that a set is put on."""
    left, bottom, right, top = (float(edge) / POINTS_PER_INCH for edge in sheet.mediabox)
    width_in, height_in = right - left, top - bottom

    def is_of(size_in: tuple[float, float]) -> bool:
        return abs(width_in - size_in[0]) < 0.01 and abs(height_in - size_in[1]) < 0.01

    letter = PAGES["letter"]
    if is_of((letter.width_in, letter.height_in)):
        return stamp_box_in(letter)
    for name, size_in in SHEET_SIZES.items():
        if is_of(size_in):
            place = placing(name)
            shifts = (place.right_in, place.up_in) * 2
            edges = stamp_box_in(PAGES[FULL_SIZE])
            return tuple(edge * place.scale + shift for edge, shift in zip(edges, shifts, strict=True))
    raise NotSignable(f"A sheet of {width_in:g} × {height_in:g} in has no stamp space.")


def check_upload(signing_copy: bytes, upload: bytes, keys: Sequence[EnrolledKey], *, at: datetime) -> Verdict:
    """Is this upload that signing copy, plus one valid signature by an enrolled certificate, and nothing else?

    `at` is the time of the upload: a certificate must be valid, and not revoked, both then and when it signed.
    Never raises for what an upload contains: a hostile or broken file is a refusal with its sentence.
    """
    try:
        _check_prefix(signing_copy, upload)
        reader, signature, base_revision = _read(signing_copy, upload)
        _check_coverage(signature, upload)
        signer_sha256 = sha256(signature.signer_cert.dump()).hexdigest()
        signed_at = _signing_time(signature)
        certificate = _pinned_certificate(keys, signer_sha256, at=at, signed_at=signed_at)
        _check_cryptography(signature, certificate, at=at)
        _check_difference(reader, base_revision)
    except _Wrong as why:
        return Verdict(False, (str(why),))
    except Exception as why:
        # Whatever a hostile file makes the parsers raise, the engineer gets a sentence and the server goes on.
        return Verdict(False, (f"The file could not be read as a signed PDF ({type(why).__name__}).",))
    return Verdict(True, signer_sha256=signer_sha256, signed_at=signed_at)


def _check_prefix(signing_copy: bytes, upload: bytes) -> None:
    if upload == signing_copy:
        raise _Wrong("This is the signing copy itself: its signature field is still empty.")
    if not upload.startswith(signing_copy):
        raise _Wrong(
            "This file is not the signing copy of this document with a signature added to it: the bytes before the "
            "signature differ. Download the signing copy again and sign that file, without printing, flattening or "
            "saving it anew first."
        )
    added = len(upload) - len(signing_copy)
    if added > MAX_SIGNATURE_BYTES:
        raise _Wrong(
            f"The signature adds {added / 1e6:.1f} MB to the file; at most {MAX_SIGNATURE_BYTES / 1e6:.1f} MB is taken."
        )


def _read(signing_copy: bytes, upload: bytes) -> tuple[PdfFileReader, EmbeddedPdfSignature, int]:
    """The upload's reader, its one signature, and the number of the revision that is the signing copy."""
    base = PdfFileReader(BytesIO(signing_copy), strict=False)
    reader = PdfFileReader(BytesIO(upload), strict=False)
    if reader.encrypted:
        raise _Wrong("The file is encrypted; a reader must be able to open it without a password.")
    base_revision = base.xrefs.total_revisions - 1
    # Without this, a whole other document appended to the signing copy would have nothing to be compared with.
    grows_from_the_copy = reader.xrefs.total_revisions > base.xrefs.total_revisions and all(
        reader.xrefs.get_startxref_for_revision(number) == base.xrefs.get_startxref_for_revision(number)
        for number in range(base.xrefs.total_revisions)
    )
    if not grows_from_the_copy or reader.xrefs.hybrid_xrefs_present:
        raise _Wrong("What was appended to the signing copy does not build on it; sign the downloaded file itself.")
    if "/DSS" in reader.root:
        raise _Wrong(
            "The file carries a validation data store (DSS, for long-term validation), which is not accepted yet: "
            "sign at the basic level; a timestamp inside the signature is fine."
        )
    if reader.embedded_timestamp_signatures:
        raise _Wrong(
            "The file carries a document timestamp after the signature, which is not accepted yet: a timestamp inside "
            "the signature is fine."
        )
    if "/Perms" in reader.root:
        raise _Wrong(
            "The file is certified, which is not accepted yet: sign it with the tool's ordinary signature instead of "
            "certifying it."
        )
    signatures = reader.embedded_regular_signatures
    if not signatures:
        raise _Wrong("The file was changed, but its signature field is still empty.")
    if len(signatures) > 1:
        raise _Wrong(f"The file carries {len(signatures)} signatures; exactly one, in its own field, is accepted.")
    names = [name for name, _value, _field in enumerate_sig_fields(reader)]
    if names != [FIELD_NAME]:
        raise _Wrong("The file has a signature field besides the one that was prepared; sign in the prepared field.")
    return reader, signatures[0], base_revision


def _check_coverage(signature: EmbeddedPdfSignature, upload: bytes) -> None:
    """The signed bytes are the whole file but the hole that holds the signature, and the hole holds nothing else."""
    ranges = [int(number) for number in signature.byte_range]
    whole = len(ranges) == 4 and ranges[0] == 0 and 0 < ranges[1] < ranges[2] and sum(ranges[2:]) == len(upload)
    if not whole:
        raise _Wrong("The signature does not cover the whole file: something was added or changed after signing.")
    hole = upload[ranges[1] : ranges[2]]
    content = signature.pkcs7_content
    if hole[:1] != b"<" or hole[-1:] != b">" or bytes.fromhex(hole[1:-1].decode("ascii")) != content:
        raise _Wrong("The space left unsigned holds something besides the signature.")
    message = core.Any.load(content).dump()
    if content[len(message) :].strip(b"\x00"):
        raise _Wrong("The space behind the signature holds bytes that nobody signed.")


def _signing_time(signature: EmbeddedPdfSignature) -> datetime:
    signed_at = signature.self_reported_timestamp
    if signed_at is None or signed_at.tzinfo is None:
        raise _Wrong("The signature carries no signing time with its time zone.")
    return signed_at


def _pinned_certificate(
    keys: Sequence[EnrolledKey], signer_sha256: str, *, at: datetime, signed_at: datetime
) -> x509.Certificate:
    for key in keys:
        if fingerprint(key.certificate_pem) == signer_sha256:
            break
    else:
        raise _Wrong(
            f"The file is signed with a certificate that is not enrolled for this engineer (SHA-256 {signer_sha256})."
        )
    certificate = _certificate(key.certificate_pem)
    if key.revoked_at is not None and key.revoked_at <= at:
        raise _Wrong(f"The certificate was revoked on {_day(key.revoked_at)}.")
    if at > certificate.not_valid_after:
        raise _Wrong(f"The certificate expired on {_day(certificate.not_valid_after)}.")
    if at < certificate.not_valid_before:
        raise _Wrong(f"The certificate is not valid before {_day(certificate.not_valid_before)}.")
    if signed_at > at + CLOCK_TOLERANCE:
        raise _Wrong(f"The signing time, {signed_at.isoformat()}, lies in the future: check that computer's clock.")
    if signed_at < certificate.not_valid_before:
        raise _Wrong(f"The signing time, {signed_at.isoformat()}, lies before the certificate's first day.")
    return certificate


def _check_cryptography(signature: EmbeddedPdfSignature, certificate: x509.Certificate, *, at: datetime) -> None:
    # The enrolled certificate is its own trust anchor: who issued it was looked at when it was enrolled.
    status = validate_pdf_signature(
        signature,
        ValidationContext(trust_roots=[certificate], allow_fetching=False, moment=at),
        key_usage_settings=KeyUsageConstraints(
            key_usage={"digital_signature", "non_repudiation"}, match_all_key_usages=False
        ),
        skip_diff=True,
    )
    if not status.intact:
        raise _Wrong("The file's bytes are not those that were signed.")
    if not status.valid:
        raise _Wrong("The signature is not valid: it was not made with the certificate's key.")
    if not status.trusted:
        raise _Wrong("The certificate may not be used for this signature (its key usage or its algorithms forbid it).")
    for timestamp in (status.timestamp_validity, status.content_timestamp_validity):
        # Who runs the time service is not judged; a timestamp over other bytes is.
        if timestamp is not None and not (timestamp.intact and timestamp.valid):
            raise _Wrong("The timestamp inside the signature does not belong to it.")


def _check_difference(reader: PdfFileReader, base_revision: int) -> None:
    """A signature covers whatever came along with it, so what came along is compared with the unsigned base."""
    found = DEFAULT_DIFF_POLICY.review_file(reader, base_revision)
    if (
        not isinstance(found, DiffResult)
        or found.modification_level > ModificationLevel.FORM_FILLING
        or not found.changed_form_fields <= {FIELD_NAME}
    ):
        raise _Wrong("Something besides the signature was changed: a page, a note or the file's structure.")


def _certificate(certificate_pem: str) -> x509.Certificate:
    kind, _headers, der = pem.unarmor(certificate_pem.encode("ascii"))
    if kind != "CERTIFICATE":
        raise ValueError(f"This is a {kind.lower()}, not a certificate.")
    certificate = x509.Certificate.load(der)
    if not isinstance(certificate.native, dict):
        raise ValueError("The certificate is empty.")
    return certificate


def _day(moment: datetime) -> str:
    return f"{moment.day} {moment:%b %Y}"
