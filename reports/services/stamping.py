"""Taking a signed file in, checking it again later, telling whose file a stranger holds. The key stays outside."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import timedelta
from typing import BinaryIO, Literal

from django.conf import settings
from django.utils import timezone

from jobs import policy
from jobs.errors import Refused
from jobs.models import EnrolledCertificate, Packet, PacketFile, Stamp, User
from jobs.services import stamps
from reports import storage
from reports.sections import sha256_of
from reports.signing import EnrolledKey, Verdict, check_upload

# How far a computer's clock may be behind; a file cannot have been signed before its packet existed.
CLOCK_BEHIND = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Match:
    """Which file of a packet somebody holds: its kind in words, which of its copies, and if more was added to it."""

    kind: str
    copy: Literal["stamped original", "signing copy", "review copy"]
    added_to: bool = False


def accept_signed_upload(*, packet_file_id: int, data: bytes, by: User) -> Stamp:
    """Take the engineer's signed file, freeze it and record the stamp.

    PermissionDenied for anyone but the assigned engineer; Refused with every sentence of what stands in the way: the
    jurisdiction's method, licence, tables from memory, or what the check of the file found.
    """
    packet_file = PacketFile.objects.select_related("packet__design__job").get(pk=packet_file_id)
    policy.require(by, "packet.sign", on=packet_file)
    now = timezone.now()
    if reasons := stamps.why_not(packet_file=packet_file, by=by, on=timezone.localdate(now)):
        raise Refused(*reasons)
    if len(data) > upload_limit_bytes():
        raise Refused(f"The file is larger than {settings.STEMWALL_UPLOAD_LIMIT_MB} MB.")
    certificates = list(EnrolledCertificate.objects.filter(user=by))
    if not certificates:
        raise Refused(f"No certificate of {by.display_name} is enrolled; the office enrols it.")
    signing_copy = storage.read(packet_file.signing_copy)
    if sha256_of(signing_copy) != packet_file.signing_copy_sha256:
        raise Refused("The stored signing copy is damaged: its hash is not the recorded one. Make a new packet.")
    verdict = check_upload(signing_copy, data, [_key(row) for row in certificates], at=now)
    if not verdict.accepted:
        raise Refused(*verdict.reasons)
    if verdict.signed_at is None or verdict.signed_at < packet_file.packet.created_at - CLOCK_BEHIND:
        raise Refused("The signing time lies before the packet was made: check the clock of the computer that signs.")
    sha256 = sha256_of(data)
    name = f"stamps/{sha256}.pdf"
    storage.put(name, data)  # named by its content: without its row, after a refusal under the lock, it is nobody's
    return stamps.record(
        packet_file_id=packet_file.pk,
        certificate=next(row for row in certificates if row.fingerprint_sha256 == verdict.signer_sha256),
        signed_at=verdict.signed_at,
        stamped=name,
        stamped_sha256=sha256,
        by=by,
    )


def check_stamp(stamp: Stamp) -> Verdict:
    """The whole check of a stored stamp again, as of the time when it was recorded."""
    packet_file = stamp.packet_file
    if not is_intact(stamp):
        return Verdict(False, ("The stored file is not the one that was stamped: its hash is not the recorded one.",))
    return check_upload(
        storage.read(packet_file.signing_copy),
        storage.read(packet_file.stamped),
        [_key(stamp.certificate)],
        at=stamp.recorded_at,
    )


def is_intact(stamp: Stamp) -> bool:
    """Whether the stored bytes are still those that were stamped."""
    try:
        return sha256_of(storage.read(stamp.packet_file.stamped)) == stamp.file_sha256
    except FileNotFoundError:
        return False


def match_file(packet: Packet, file: BinaryIO) -> Match | None:
    """The file of this packet that somebody holds; None when it is none of them. Nothing is kept."""
    sha256 = hashlib.file_digest(file, "sha256").hexdigest()
    packet_files = list(packet.files.all())
    for packet_file in packet_files:
        copies: dict[Literal["stamped original", "signing copy", "review copy"], str] = {
            "stamped original": packet_file.stamped_sha256,
            "signing copy": packet_file.signing_copy_sha256,
            "review copy": packet_file.review_copy_sha256,
        }
        for copy, known_sha256 in copies.items():
            if sha256 == known_sha256:
                return Match(packet_file.get_kind_display(), copy)
    # A stamp or a note that a city put on top is the usual case; it must not read as a forgery, nor as the original.
    for packet_file in packet_files:
        if packet_file.stamped:
            stamped = storage.read(packet_file.stamped)
            file.seek(0)
            if file.read(len(stamped)) == stamped:
                return Match(packet_file.get_kind_display(), "stamped original", added_to=True)
    return None


def upload_limit_bytes() -> int:
    """The largest file that is taken in."""
    return int(settings.STEMWALL_UPLOAD_LIMIT_MB) * 1024 * 1024


def _key(row: EnrolledCertificate) -> EnrolledKey:
    return EnrolledKey(row.certificate_pem, row.revoked_at)
