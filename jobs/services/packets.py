"""Packets: the ordered files for a permit. What they are is kept here; the files themselves are made elsewhere."""

from __future__ import annotations

from collections.abc import Sequence

from django.db import transaction
from django.db.models import Max
from django.utils import timezone

from jobs import policy
from jobs.errors import Refused
from jobs.models import Design, Job, Packet, PacketFile, User
from jobs.services import log


@transaction.atomic
def record_packet(*, design_id: int, kinds: Sequence[str], by: User) -> Packet:
    """A new packet of a design with one empty file a kind, in this order.

    PermissionDenied; Refused for a quantity study, which is not engineering, and beside a stamped packet.
    """
    design = Design.objects.select_related("job__house__jurisdiction").get(pk=design_id)
    policy.require(by, "packet.make", on=design)
    Job.objects.select_for_update().get(pk=design.job_id)  # two packets made at once would take one number
    if design.quantity_study:
        raise Refused(
            f"Revision {design.revision} is a quantity study, not engineering. "
            "Have the engineer confirm the criteria sheet and issue the design again."
        )
    if any(packet.is_stamped for packet in design.packets.filter(withdrawn_at__isnull=True)):
        raise Refused(
            f"Revision {design.revision} is stamped. The engineer withdraws that packet before another is made of it."
        )
    last = Packet.objects.filter(design=design).aggregate(last=Max("number"))["last"] or 0
    packet = Packet.objects.create(design=design, number=last + 1, created_at=timezone.now())
    needs_stamp = design.job.house.jurisdiction.stamp_required
    for order, kind in enumerate(kinds, start=1):
        PacketFile.objects.create(packet=packet, kind=kind, order=order, needs_stamp=needs_stamp)
    log.record(by=by, what="packet.make", job=design.job, after=f"packet {packet.number} of revision {design.revision}")
    return packet


def record_problem(*, packet_file_id: int, problem: str) -> bool:
    """Keep why a packet file's copies can't be made; another packet is another try."""
    return bool(PacketFile.objects.filter(pk=packet_file_id, review_copy="").update(problem=problem))


def record_copies(
    *, packet_file_id: int, document_sha256: str, review_copy: tuple[str, str], signing_copy: tuple[str, str]
) -> bool:
    """Name the copies of a packet file, each as (name, SHA-256); ("", "") for no signing copy. The first call wins."""
    unfilled = PacketFile.objects.filter(pk=packet_file_id, review_copy="")
    return bool(
        unfilled.update(
            document_sha256=document_sha256,
            review_copy=review_copy[0],
            review_copy_sha256=review_copy[1],
            signing_copy=signing_copy[0],
            signing_copy_sha256=signing_copy[1],
        )
    )
