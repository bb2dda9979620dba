"""The stamp as a jobs fact: who stamped which file when, and whether what was stamped still stands.

The file's bytes are checked elsewhere, before `record` is called.
"""

from __future__ import annotations

import datetime
import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

from django.db import transaction
from django.utils import timezone

from engineering.errors import OutOfRange
from jobs import as_built, assessment, policy
from jobs.errors import Refused
from jobs.models import (
    Connector,
    ConnectorBasis,
    Design,
    EnrolledCertificate,
    Packet,
    PacketFile,
    Stamp,
    StampMethod,
    TableSetAcceptance,
    User,
)
from jobs.services import log, people


@dataclass(frozen=True, slots=True)
class Currency:
    """Where a packet stands, and why it is not simply current."""

    state: Literal["not stamped", "current", "flagged", "superseded"]
    reasons: tuple[str, ...] = ()


# --- before the stamp ------------------------------------------------------------------------------------------------
def why_not(*, packet_file: PacketFile, by: User, on: datetime.date) -> list[str]:
    """Everything that stands between this engineer and a stamp on this file, as sentences; empty: go ahead."""
    packet = packet_file.packet
    design = packet.design
    snapshot = json.loads(design.snapshot)
    place = snapshot["jurisdiction"]
    reasons = []
    if not packet_file.needs_stamp:
        reasons.append(f"The {packet_file.get_kind_display()} needs no stamp in {place['name']}.")
    elif not packet_file.signing_copy:
        reasons.append("The signing copy is not ready yet.")
    if Stamp.objects.filter(packet_file=packet_file).exists():
        reasons.append(
            f"The {packet_file.get_kind_display()} of this packet is stamped already; a stamp stays as it is."
        )
    if place["stamp_method"] != StampMethod.DIGITAL:
        method = StampMethod(place["stamp_method"]).label
        reasons.append(f'{place["name"]} wants "{method}"; only a digital signature can be taken here for now.')
    if design.quantity_study:
        reasons.append("This design is a quantity study, not engineering: its criteria were not confirmed.")
    if people.current_licence(user=by, state=place["state"], on=on) is None:
        reasons.append(
            f"{by.display_name} has no licence on record that is valid in {place['state']} on {day_text(on)}."
        )
    if snapshot["result"]["from_memory"] and not _tables_accepted(by, snapshot["criteria"]["code_family"]):
        family = snapshot["criteria"]["code_family"]
        reasons.append(
            f"Values of the {family} code family come from memory, and {by.display_name} has not accepted its table "
            "set. Accept it on the review page first."
        )
    if unlisted := unlisted_open_links(design):
        reasons.append(
            f"The criteria sheet must list these open links as remaining deficiencies: {'; '.join(unlisted)}."
        )
    if left := left_to_accept(design):
        reasons.append(f"Not accepted by the engineer yet: {'; '.join(left)}. Accept, then issue a new design.")
    reasons += _superseded(packet)
    return reasons


def unlisted_open_links(design: Design) -> list[str]:
    """The design's open links, "A: load path open at …", that its criteria do not list as remaining deficiencies."""
    snapshot = json.loads(design.snapshot)
    listed = _plain(snapshot["criteria"]["remaining_deficiencies"])
    links = [f"{line['label']}: {link}" for line in snapshot["result"]["lines"] for link in line["open_links"]]
    return [link for link in links if _plain(link) not in listed]


def left_to_accept(design: Design) -> list[str]:
    """What the engineer had still to accept when the design was issued; older snapshots do not list it."""
    left: list[str] = json.loads(design.snapshot)["result"].get("to_accept", [])
    return left


def _plain(text: str) -> str:
    return " ".join(text.lower().split())


def _tables_accepted(engineer: User, code_family: str) -> bool:
    return TableSetAcceptance.objects.filter(engineer=engineer, code_family=code_family).exists()


# --- the stamp -------------------------------------------------------------------------------------------------------
@transaction.atomic
def record(
    *,
    packet_file_id: int,
    certificate: EnrolledCertificate,
    signed_at: datetime.datetime,
    stamped: str,
    stamped_sha256: str,
    by: User,
) -> Stamp:
    """Write down a checked stamp. `stamped` names the frozen file in default_storage.

    PermissionDenied; Refused with every reason of `why_not`, which is asked again under the lock.
    """
    packet_file = (
        PacketFile.objects.select_for_update(of=("self",)).select_related("packet__design__job").get(pk=packet_file_id)
    )
    policy.require(by, "packet.sign", on=packet_file)
    now = timezone.now()
    today = timezone.localdate(now)
    if reasons := why_not(packet_file=packet_file, by=by, on=today):
        raise Refused(*reasons)
    packet = packet_file.packet
    state = json.loads(packet.design.snapshot)["jurisdiction"]["state"]
    licence = people.current_licence(user=by, state=state, on=today)
    packet_file.stamped, packet_file.stamped_sha256 = stamped, stamped_sha256
    packet_file.save(update_fields=["stamped", "stamped_sha256"])
    stamp = Stamp.objects.create(
        packet_file=packet_file,
        signer=by,
        certificate=certificate,
        licence=str(licence),
        signed_at=signed_at,
        recorded_at=now,
        file_sha256=stamped_sha256,
        design_sha256=packet.design.snapshot_sha256,
    )
    log.record(
        by=by,
        what="packet.sign",
        job=packet.design.job,
        after=f"{packet_file.get_kind_display()} of packet {packet.number}, revision {packet.design.revision}",
        note=f"SHA-256 {stamped_sha256}",
    )
    return stamp


@transaction.atomic
def withdraw(*, packet_id: int, reason: str, by: User) -> Packet:
    """The engineer takes a packet back, stamped or not: it is superseded from now on, and stays on file.

    PermissionDenied; Refused without a reason or when it was withdrawn before.
    """
    packet = Packet.objects.select_for_update(of=("self",)).select_related("design__job").get(pk=packet_id)
    policy.require(by, "packet.withdraw", on=packet)
    if not reason.strip():
        raise Refused("Say why the packet is withdrawn; whoever holds a copy will read it.")
    if packet.withdrawn_at is not None:
        raise Refused(f"This packet was withdrawn on {day_text(packet.withdrawn_at)} already.")
    packet.withdrawn_at, packet.withdrawn_by, packet.withdrawn_reason = timezone.now(), by, reason.strip()
    packet.save(update_fields=["withdrawn_at", "withdrawn_by", "withdrawn_reason"])
    log.record(
        by=by,
        what="packet.withdraw",
        job=packet.design.job,
        after=f"packet {packet.number} of revision {packet.design.revision}",
        note=packet.withdrawn_reason,
    )
    return packet


# --- does it still stand? --------------------------------------------------------------------------------------------
def currency(packet: Packet) -> Currency:
    """Where the packet stands today: computed from the hashes it relied on, stored nowhere.

    Superseded: its inputs changed, a newer one is stamped, it was withdrawn, or what the crew logged otherwise than
    drawn takes a line over. Flagged: a value that it used fell, a report expired, the signing certificate was revoked,
    what was logged can't be computed; the engineer decides.
    """
    stamped = packet.is_stamped
    built = as_built.recheck_rest_as_drawn(packet.design) if as_built.is_begun(packet.design) else None
    gone = [*_superseded(packet), *_short_as_built(built)] if stamped or packet.withdrawn_at is not None else []
    if gone:
        return Currency("superseded", tuple(gone))
    if not stamped:
        return Currency("not stamped", (_unstamped(packet),))
    if reasons := [*_fallen_values(packet.design), *_revoked(packet), *_not_computed(built)]:
        return Currency("flagged", tuple(reasons))
    return Currency("current")


def _unstamped(packet: Packet) -> str:
    waiting = packet.files.filter(needs_stamp=True, stamp__isnull=True)
    if waiting:
        return f"Not stamped yet: {', '.join(file.get_kind_display() for file in waiting)}."
    return "No file of this packet needs a stamp."


def _superseded(packet: Packet) -> list[str]:
    reasons = []
    design = packet.design
    if packet.withdrawn_at is not None:
        who = packet.withdrawn_by.display_name
        reasons.append(f"Withdrawn by {who} on {day_text(packet.withdrawn_at)}: {packet.withdrawn_reason}")
    newer = Packet.objects.filter(design__job=design.job, withdrawn_at__isnull=True).exclude(pk=packet.pk)
    for other in newer.select_related("design"):
        if (other.design.revision, other.number) > (design.revision, packet.number) and other.is_stamped:
            reasons.append(f"Revision {other.design.revision}, packet {other.number}, is stamped and replaces it.")
    try:
        present = assessment.inputs_sha256(design.job, on=timezone.localdate())
    except (Refused, OutOfRange):
        reasons.append("The survey or the criteria changed since the design was issued, and no longer compute.")
    else:
        if present != design.inputs_sha256:
            reasons.append("The survey, the criteria or the choices changed since the design was issued.")
    return reasons


def _short_as_built(built: as_built.Record | None) -> Iterator[str]:
    """The lines that fall short of the design as built, each with what would make it good."""
    if built is None or built.result is None:
        return
    for line in built.result.lines:
        if line.shortfall:
            short = [one for one in built.result.shortfalls if one.line == line.label]
            more = [one.text.removeprefix(f"line {line.label}, ") for one in short if one.more]
            decide = [] if len(more) == len(short) else ["the engineer decides"]
            yield f"As built, wall line {line.label} is {line.as_built_status}: {'; '.join(more + decide)}."


def _not_computed(built: as_built.Record | None) -> Iterator[str]:
    if built is not None:
        yield from filter(None, (built.problem, *(f"Left out of the recheck: {one}" for one in built.unread)))


def _fallen_values(design: Design) -> Iterator[str]:
    """What the catalogue says today about the connectors that the schedule uses, where it says less than then."""
    catalogue = json.loads(design.snapshot)["inputs"]["catalogue"]
    used = set(design.connection_schedule.lines.values_list("connector_key", flat=True))
    rows = {row.key: row for row in Connector.objects.filter(key__in=used)}
    today = timezone.localdate()
    for then in [*catalogue["nails"], *catalogue["lags"], *catalogue["evaluated"]]:
        if then["key"] not in used:
            continue
        now = rows.get(then["key"])
        if now is None or not now.active:
            yield f"{then['name']} is no longer in the catalogue."
        elif now.basis == ConnectorBasis.EVALUATED:
            yield from _fallen_report(then, now, today)
        elif any(getattr(now, field) != then[field] for field in then if field.endswith("_in")):
            yield f"{then['name']}: the catalogue gives other dimensions now."


def _fallen_report(then: dict[str, Any], now: Connector, today: datetime.date) -> Iterator[str]:
    if now.expires_on < today:
        yield f"{then['name']}: report {now.report} expired on {day_text(now.expires_on)}."
    if now.value_basis != then["value_basis"]:
        yield f'{then["name"]}: its value was "{then["value_basis"]}" and is "{now.value_basis}" now.'
    elif now.value_lb < then["value_lb"]:
        yield f"{then['name']}: its value fell from {then['value_lb']:g} lb to {now.value_lb:g} lb."


def _revoked(packet: Packet) -> Iterator[str]:
    stamps = Stamp.objects.filter(packet_file__packet=packet, certificate__revoked_at__isnull=False)
    for when in sorted({stamp.certificate.revoked_at for stamp in stamps.select_related("certificate")}):
        yield f"The certificate that signed it was revoked on {day_text(when)}."


def day_text(when: datetime.date | datetime.datetime) -> str:
    """A day as papers print it: 25 Nov 2026."""
    if isinstance(when, datetime.datetime):
        when = timezone.localdate(when)
    return f"{when.day} {when:%b %Y}"
