"""Jobs, criteria, designs, packets, stamps."""

from __future__ import annotations

import hashlib
import json

import factory
from django.utils import timezone

from jobs import models
from tests.factories.base import Factory
from tests.factories.catalogue import NailFactory
from tests.factories.houses import HouseFactory, WallLineFactory
from tests.factories.people import EnrolledCertificateFactory, UserFactory


class JobFactory(Factory):
    class Meta:
        model = models.Job

    number = factory.Sequence("T-{:04d}".format)
    house = factory.SubFactory(HouseFactory)
    title = "Brace and bolt"
    legal_basis = "voluntary lateral alteration"


class CriteriaSheetFactory(Factory):
    """A job's sheet; `job=None` makes a standing template, `confirmed_by=engineer` a confirmed one."""

    class Meta:
        model = models.CriteriaSheet

    job = factory.SubFactory(JobFactory)
    jurisdiction = factory.LazyAttribute(lambda sheet: sheet.job.house.jurisdiction)
    code_family = "2021"
    legal_basis = "voluntary lateral alteration"
    force_level = "reduced 75 %"
    force_factor = 0.75
    response_modification = 6.5
    importance = 1.0
    redundancy = None
    load_duration = 1.6
    maximum_connector_spacing_in = 72.0
    confirmed_on = factory.LazyAttribute(lambda sheet: timezone.localdate() if sheet.confirmed_by else None)
    confirmed_licence = factory.LazyAttribute(lambda sheet: "Civil engineer CA demo" if sheet.confirmed_by else "")
    confirmed_by = None


class TableSetAcceptanceFactory(Factory):
    class Meta:
        model = models.TableSetAcceptance

    code_family = "2021"
    engineer = factory.SubFactory(UserFactory, roles=["engineer"])
    licence = "Civil engineer CA demo"
    accepted_on = factory.LazyFunction(timezone.localdate)


class LineChoiceFactory(Factory):
    class Meta:
        model = models.LineChoice

    job = factory.SubFactory(JobFactory)
    wall_line = factory.LazyAttribute(lambda choice: WallLineFactory(house=choice.job.house))
    sheathing_grade = "Sheathing"
    sheathing_thickness = "15/32"
    sheathing_nail = factory.SubFactory(NailFactory)


def design_snapshot(
    *, open_links=(), remaining_deficiencies="", from_memory=(), code_family="2021", to_accept: tuple | None = ()
):
    """As much of a design's snapshot as the rules of jobs read; `open_links` on a line A.

    `to_accept` None: as it was before the result listed it.
    """
    return json.dumps(
        {
            "criteria": {"code_family": code_family, "remaining_deficiencies": remaining_deficiencies},
            "jurisdiction": {"name": "Sampleton", "state": "CA", "stamp_method": "digital", "stamp_required": True},
            "inputs": {"catalogue": {"nails": [], "lags": [], "evaluated": []}},
            "result": {
                "lines": [{"label": "A", "open_links": list(open_links)}],
                "from_memory": list(from_memory),
                **({} if to_accept is None else {"to_accept": list(to_accept)}),
            },
        },
        sort_keys=True,
    )


class DesignFactory(Factory):
    """An issued design with a connection schedule; `schedules=["A"]` names its wall lines."""

    class Meta:
        model = models.Design
        skip_postgeneration_save = True

    job = factory.SubFactory(JobFactory)
    revision = factory.LazyAttribute(lambda design: design.job.designs.count() + 1)
    snapshot = factory.LazyFunction(design_snapshot)
    inputs_sha256 = "1" * 64
    snapshot_sha256 = factory.LazyAttribute(lambda design: hashlib.sha256(design.snapshot.encode()).hexdigest())
    calculated_on = factory.LazyFunction(timezone.localdate)
    software_version = "0.1.0"
    issued_by = factory.SubFactory(UserFactory, roles=["estimator"])
    issued_at = factory.LazyFunction(timezone.now)
    quantity_study = False

    @factory.post_generation
    def schedules(self, create, labels, **kwargs):
        schedule = models.ConnectionSchedule.objects.create(design=self)
        for label in labels or ["A"]:
            ScheduleLineFactory(schedule=schedule, wall_line_label=label)


class ScheduleLineFactory(Factory):
    class Meta:
        model = models.ScheduleLine

    wall_line_label = "A"
    link = "1"
    role = "floor to plate"
    connector_key = "demo-screw"
    connector_name = "Demo screw ¼ × 6 in"
    count = 6
    spacing_in = 40.0
    positions_in = [20.0, 60.0, 100.0, 140.0, 180.0, 220.0]


class PacketFactory(Factory):
    """A packet whose two files are ready to be signed; `ready=False`: still being drawn."""

    class Meta:
        model = models.Packet
        skip_postgeneration_save = True

    design = factory.SubFactory(DesignFactory)
    number = factory.LazyAttribute(lambda packet: packet.design.packets.count() + 1)
    created_at = factory.LazyFunction(timezone.now)

    @factory.post_generation
    def ready(self, create, wanted, **kwargs):
        for order, kind in enumerate(("plan_set", "calculations"), start=1):
            names = {}
            if wanted is not False:
                names = {
                    "review_copy": f"review/{kind}.pdf",
                    "review_copy_sha256": "2" * 64,
                    "signing_copy": f"signing/{kind}.pdf",
                    "signing_copy_sha256": "3" * 64,
                }
            self.files.create(kind=kind, order=order, needs_stamp=True, **names)


class StampFactory(Factory):
    class Meta:
        model = models.Stamp

    packet_file = None  # a file of a PacketFactory
    certificate = factory.SubFactory(EnrolledCertificateFactory)
    signer = factory.LazyAttribute(lambda stamp: stamp.certificate.user)
    licence = "Civil engineer CA demo"
    signed_at = factory.LazyFunction(timezone.now)
    recorded_at = factory.LazyFunction(timezone.now)
    file_sha256 = "4" * 64
    design_sha256 = factory.LazyAttribute(lambda stamp: stamp.packet_file.packet.design.snapshot_sha256)


def stamp_packet(packet, **facts):
    """A stamp on every file of the packet that needs one."""
    return [StampFactory(packet_file=file, **facts) for file in packet.files.filter(needs_stamp=True)]


class ReviewCommentFactory(Factory):
    class Meta:
        model = models.ReviewComment

    job = factory.SubFactory(JobFactory)
    by = factory.SubFactory(UserFactory, roles=["engineer"])
    text = "Show the plate lap at grid 2."
    at = factory.LazyFunction(timezone.now)
