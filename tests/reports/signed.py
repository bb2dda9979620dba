"""Signed files, whole and tampered with, for the tests of the stamp."""

from datetime import UTC, datetime, timedelta
from functools import cache
from io import BytesIO
from unittest.mock import patch

import pikepdf
from cryptography.hazmat.primitives.asymmetric import rsa
from pyhanko.pdf_utils import generic, writer
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign import timestamps
from pyhanko.sign.fields import SigSeedSubFilter
from pyhanko.sign.signers import PdfSignatureMetadata, PdfSigner, SimpleSigner

from jobs.models import EnrolledCertificate, Packet, PacketFile
from jobs.services import packets, people
from reports import demo_engineer, storage
from reports.demo_engineer import KEY_PASSWORD
from reports.sections import sha256_of
from reports.services.stamping import accept_signed_upload
from reports.signing import FIELD_NAME, prepare_signing_copy
from tests.factories import PacketFactory, UserFactory

NOW = datetime.now(UTC)
KEY = demo_engineer.make_key(name="Ada Trial, PE", valid_from=NOW - timedelta(days=30), days=365)
OTHER_KEY = demo_engineer.make_key(name="Bea Trial, PE", valid_from=NOW - timedelta(days=30), days=365)


def document(*texts: str) -> bytes:
    """A landscape plan set, one sheet a text."""
    pdf = pikepdf.new()
    for text in texts:
        sheet = pdf.add_blank_page(page_size=(2592, 1728))
        sheet.Contents = pdf.make_stream(f"BT /F1 40 Tf 100 1600 Td ({text}) Tj ET".encode())
        font = pikepdf.Dictionary(Type=pikepdf.Name.Font, Subtype=pikepdf.Name.Type1, BaseFont=pikepdf.Name.Helvetica)
        sheet.Resources = pikepdf.Dictionary(Font=pikepdf.Dictionary(F1=font))
    out = BytesIO()
    pdf.save(out, deterministic_id=True)
    return out.getvalue()


COPY = prepare_signing_copy(document("S1.0 wall lines", "S2.1 wall line A"))
STAMPED = demo_engineer.sign(COPY, KEY, licence="C 00000", day="25 Nov 2026")


def append_to(pdf: bytes) -> IncrementalPdfFileWriter:
    return IncrementalPdfFileWriter(BytesIO(pdf), strict=False)


def bytes_of(pdf: IncrementalPdfFileWriter) -> bytes:
    out = BytesIO()
    pdf.write(out)
    return out.getvalue()


def signer_of(key=KEY, **changed) -> SimpleSigner:
    simple = SimpleSigner.load_pkcs12_data(key.p12, other_certs=[], passphrase=KEY_PASSWORD)
    parts = {"signing_cert": simple.signing_cert, "signing_key": simple.signing_key} | changed
    return SimpleSigner(cert_registry=simple.cert_registry, **parts)


def sign(pdf, signer=None, *, field=FIELD_NAME, timestamper=None, md="sha256", **how) -> bytes:
    """Sign without a seal: bytes, or a writer that already holds the changes that ride along."""
    pdf = append_to(pdf) if isinstance(pdf, bytes) else pdf
    out = BytesIO()
    meta = PdfSignatureMetadata(field_name=field, md_algorithm=md, subfilter=SigSeedSubFilter.PADES, **how)
    PdfSigner(meta, signer or signer_of(), timestamper=timestamper).sign_pdf(pdf, output=out)
    return out.getvalue()


def rsa_key(name: str):
    with patch.object(demo_engineer.ec, "generate_private_key", lambda _curve: rsa.generate_private_key(65537, 2048)):
        return demo_engineer.make_key(name=name, valid_from=NOW - timedelta(days=30))


@cache
def time_service() -> timestamps.DummyTimeStamper:
    simple = signer_of(rsa_key("Time Trial"))
    return timestamps.DummyTimeStamper(tsa_cert=simple.signing_cert, tsa_key=simple.signing_key)


def page_swap() -> IncrementalPdfFileWriter:
    pdf = append_to(COPY)
    sheet = pdf.root["/Pages"]["/Kids"][1]
    sheet["/Contents"] = pdf.add_object(generic.StreamObject(stream_data=b"BT /F1 40 Tf 9 9 Td (other) Tj ET"))
    pdf.update_container(sheet)
    return pdf


def added_page() -> IncrementalPdfFileWriter:
    pdf = append_to(COPY)
    pdf.insert_page(
        writer.PageObject(contents=pdf.add_object(generic.StreamObject(stream_data=b"")), media_box=(0, 0, 9, 9))
    )
    return pdf


def added_note(base: bytes = COPY) -> IncrementalPdfFileWriter:
    pdf = append_to(base)
    sheet = pdf.root["/Pages"]["/Kids"][1]
    note = generic.DictionaryObject(
        {
            generic.pdf_name("/Type"): generic.pdf_name("/Annot"),
            generic.pdf_name("/Subtype"): generic.pdf_name("/FreeText"),
            generic.pdf_name("/Rect"): generic.ArrayObject(map(generic.NumberObject, (0, 0, 99, 99))),
            generic.pdf_name("/Contents"): generic.pdf_string("approved as noted"),
        }
    )
    sheet[generic.pdf_name("/Annots")] = generic.ArrayObject([pdf.add_object(note)])
    pdf.update_container(sheet)
    return pdf


def packet_with_files(design) -> Packet:
    """A packet whose two small files are stored as review and signing copies, its engineer's certificate enrolled."""
    packet = PacketFactory(design=design, ready=False)
    for file in packet.files.all():
        review = document(f"{file.kind} review copy")
        signing = prepare_signing_copy(document(f"{file.kind} {packet.token}"))
        names = {}
        for copy, data in (("review_copy", review), ("signing_copy", signing)):
            sha256 = sha256_of(data)
            storage.put(f"packets/{sha256}.pdf", data)
            names[copy] = (f"packets/{sha256}.pdf", sha256)
        packets.record_copies(packet_file_id=file.pk, document_sha256=sha256_of(review), **names)
    enrol(design.job.assigned_engineer)
    return packet


def enrol(user, key=KEY) -> EnrolledCertificate:
    return people.enrol_certificate(
        user_id=user.pk, certificate_pem=key.certificate_pem, by=UserFactory(roles=["office"])
    )


def signed_upload(file: PacketFile, signer=None) -> bytes:
    """What the engineer's tool makes of the file's signing copy."""
    return sign(storage.read(file.signing_copy), signer)


def stamp_all(packet: Packet) -> Packet:
    """Every file signed and taken in, by the real check."""
    for file in packet.files.all():
        accept_signed_upload(packet_file_id=file.pk, data=signed_upload(file), by=packet.design.job.assigned_engineer)
    return packet
