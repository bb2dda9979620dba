"""The engineer's own signing tool, played for the demo and the tests with a throw-away key.

In a company this happens on the engineer's computer: the server never holds a key or the picture of a seal.
"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from datetime import datetime, timedelta
from html import escape
from io import BytesIO
from pathlib import Path
from tempfile import NamedTemporaryFile

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import BestAvailableEncryption, Encoding, pkcs12
from cryptography.x509.oid import NameOID
from django.contrib.staticfiles import finders
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.pdf_utils.layout import AxisAlignment, InnerScaling, Margins, SimpleBoxLayoutRule
from pyhanko.sign.fields import SigSeedSubFilter
from pyhanko.sign.signers import PdfSignatureMetadata, PdfSigner, SimpleSigner
from pyhanko.stamp import StaticStampStyle
from weasyprint import HTML

from reports.signing import FIELD_NAME, STAMP_HEIGHT_IN, STAMP_WIDTH_IN

FONT = "reports/fonts/DejaVuSansCondensed.ttf"
KEY_PASSWORD = b"throw-away"  # opens a key that signs nothing outside a demo


@dataclass(frozen=True, slots=True)
class ThrowAwayKey:
    """A PKCS #12 file's bytes with the certificate that goes with it, as PEM text."""

    p12: bytes
    certificate_pem: str
    name: str

    @classmethod
    def load(cls, p12: bytes) -> ThrowAwayKey:
        certificate = pkcs12.load_pkcs12(p12, KEY_PASSWORD).cert
        if certificate is None:
            raise ValueError("The key file holds no certificate.")
        name = certificate.certificate.subject.get_attributes_for_oid(NameOID.COMMON_NAME)[0].value
        return cls(p12, certificate.certificate.public_bytes(Encoding.PEM).decode(), str(name))


def load_or_make_key(file: Path, *, name: str, now: datetime) -> ThrowAwayKey:
    """The key kept in a file, made on first use and valid from the day before."""
    if not file.exists():
        file.parent.mkdir(parents=True, exist_ok=True)
        file.touch(mode=0o600)
        file.write_bytes(make_key(name=name, valid_from=now - timedelta(days=1)).p12)
    return ThrowAwayKey.load(file.read_bytes())


def make_key(*, name: str, valid_from: datetime, days: int = 825) -> ThrowAwayKey:
    """A fresh elliptic-curve key and its self-signed certificate, which says that it is no licence."""
    key = ec.generate_private_key(ec.SECP256R1())
    subject = x509.Name(
        [
            x509.NameAttribute(NameOID.COMMON_NAME, name),
            x509.NameAttribute(NameOID.ORGANIZATIONAL_UNIT_NAME, "demo, not a licence"),
        ]
    )
    certificate = (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(valid_from)
        .not_valid_after(valid_from + timedelta(days=days))
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(
            x509.KeyUsage(
                digital_signature=True,
                content_commitment=True,
                key_encipherment=False,
                data_encipherment=False,
                key_agreement=False,
                key_cert_sign=False,
                crl_sign=False,
                encipher_only=False,
                decipher_only=False,
            ),
            critical=True,
        )
        .sign(key, hashes.SHA256())
    )
    p12 = pkcs12.serialize_key_and_certificates(
        name.encode(), key, certificate, None, BestAvailableEncryption(KEY_PASSWORD)
    )
    return ThrowAwayKey(p12, certificate.public_bytes(Encoding.PEM).decode(), name)


def sign(signing_copy: bytes, key: ThrowAwayKey, *, licence: str, day: str) -> bytes:
    """The signing copy with a PAdES baseline (B-B) signature and a visible seal in its prepared field.

    `licence` and `day` are printed as they stand, the day where a date would be written by hand.
    """
    # The signer starts an event loop; a thread of its own lets a caller have one running, as a browser test does.
    with ThreadPoolExecutor(max_workers=1) as thread:
        return thread.submit(_sign, signing_copy, key, draw_seal(name=key.name, licence=licence, day=day)).result()


def _sign(signing_copy: bytes, key: ThrowAwayKey, seal: bytes) -> bytes:
    with NamedTemporaryFile(suffix=".pdf") as file:
        file.write(seal)
        file.flush()
        whole_box = SimpleBoxLayoutRule(
            x_align=AxisAlignment.ALIGN_MID,
            y_align=AxisAlignment.ALIGN_MID,
            margins=Margins.uniform(0),
            inner_content_scaling=InnerScaling.STRETCH_TO_FIT,
        )
        style = StaticStampStyle.from_pdf_file(file.name, border_width=0, background_layout=whole_box)
        signer = PdfSigner(
            PdfSignatureMetadata(field_name=FIELD_NAME, md_algorithm="sha256", subfilter=SigSeedSubFilter.PADES),
            signer=SimpleSigner.load_pkcs12_data(key.p12, other_certs=[], passphrase=KEY_PASSWORD),
            stamp_style=style,
        )
        out = BytesIO()
        signer.sign_pdf(IncrementalPdfFileWriter(BytesIO(signing_copy), strict=False), output=out)
    return out.getvalue()


def draw_seal(*, name: str, licence: str, day: str) -> bytes:
    """A one-page PDF of the stamp box's size: a round text seal 2 in across, with signature and date beside it."""
    font = finders.find(FONT)
    if font is None:
        raise FileNotFoundError(f"The shipped font is missing: {FONT}")
    page = _SEAL.format(
        font=Path(str(font)).as_uri(),
        width=STAMP_WIDTH_IN,
        height=STAMP_HEIGHT_IN,
        name=escape(name),
        licence=escape(licence),
        day=escape(day),
    )
    return HTML(string=page).write_pdf()


_SEAL = """
<style>
@font-face {{ font-family: seal; src: url({font}) }}
@page {{ size: {width}in {height}in; margin: 0 }}
body {{ margin: 0; font: 7pt/1.25 seal; color: #1f2a33 }}
svg {{ position: absolute; left: 0; top: 0; width: 2in; height: 2in }}
div {{ position: absolute; left: 2.06in; width: .92in; bottom: .2in }}
p {{ margin: 0; border-bottom: .5pt solid #1f2a33; font-size: 8pt; overflow-wrap: anywhere }}
small {{ display: block; font-size: 6pt; margin: 1pt 0 7pt }}
</style>
<svg viewBox="0 0 144 144" font-family="seal" text-anchor="middle" fill="#1f2a33">
<circle cx="72" cy="72" r="71" fill="none" stroke="#1f2a33" stroke-width="1.5"/>
<circle cx="72" cy="72" r="54" fill="none" stroke="#1f2a33" stroke-width=".75"/>
<text x="72" y="57" font-size="9">{name}</text>
<text x="72" y="73" font-size="8">{licence}</text>
<text x="72" y="91" font-size="8">DEMO, NOT A LICENCE</text>
<text x="72" y="13" font-size="6">STEMWALL DEMO</text>
<text x="72" y="137" font-size="6">INVENTED</text>
</svg>
<div><p>{name}</p><small>digitally signed</small><p>{day}</p><small>date</small></div>
"""
