"""Rows for tests, as small as they can be. Everything in them is invented."""

from __future__ import annotations

import hashlib
import json
from datetime import date, timedelta
from uuid import uuid4

import factory
from django.contrib.auth.models import Group
from django.utils import timezone
from factory.django import DjangoModelFactory

from jobs import models

PASSWORD = "long enough for a test"


class Factory(DjangoModelFactory):
    class Meta:
        abstract = True
        skip_postgeneration_save = True


# --- people --------------------------------------------------------------------------------------------------------
class UserFactory(Factory):
    """A user; `roles=["office"]` puts them into the groups."""

    class Meta:
        model = models.User
        skip_postgeneration_save = True

    username = factory.Sequence("person{}".format)
    first_name = "Robin"
    last_name = factory.Sequence("Example{}".format)
    password = factory.django.Password(PASSWORD)

    @factory.post_generation
    def roles(self, create, names, **kwargs):
        self.groups.set(Group.objects.filter(name__in=names or []))


class EngineerLicenceFactory(Factory):
    class Meta:
        model = models.EngineerLicence

    user = factory.SubFactory(UserFactory, roles=["engineer"])
    state = "CA"
    number = factory.Sequence("demo {}".format)
    discipline = "Civil engineer"
    expires_on = factory.LazyFunction(lambda: timezone.localdate() + timedelta(days=365))


class EnrolledCertificateFactory(Factory):
    class Meta:
        model = models.EnrolledCertificate

    user = factory.SubFactory(UserFactory, roles=["engineer"])
    certificate_pem = "-----BEGIN CERTIFICATE-----"
    fingerprint_sha256 = factory.Sequence(lambda n: hashlib.sha256(str(n).encode()).hexdigest())
    subject = "CN=demo, not a licence"
    not_after = factory.LazyFunction(lambda: timezone.now() + timedelta(days=365))
    enrolled_at = factory.LazyFunction(timezone.now)


class CrewFactory(Factory):
    """A crew; `members=[user]` adds to the lead."""

    class Meta:
        model = models.Crew
        skip_postgeneration_save = True

    name = factory.Sequence("Crew {}".format)
    lead = factory.SubFactory(UserFactory, roles=["installer"])

    @factory.post_generation
    def members(self, create, users, **kwargs):
        self.members.set(users or [])


# --- clients, houses, wall lines -----------------------------------------------------------------------------------
class CompanyFactory(Factory):
    class Meta:
        model = models.Company
        django_get_or_create = ("id",)

    id = 1
    name = "Example Retrofit"
    address = "1 Example Way"
    phone = "555 0100"
    email = "office@example.com"
    contractor_licence = "invented"
    bar_stock_in = [1.0, 1.25, 1.5, 1.75, 2.0]
    species_list = [{"species": "Hem-Fir", "specific_gravity": 0.43, "built_from": None, "built_to": None}]


class ClientFactory(Factory):
    class Meta:
        model = models.Client

    name = factory.Sequence("Client {}".format)
    phone = "555 0101"


class JurisdictionFactory(Factory):
    class Meta:
        model = models.Jurisdiction

    name = factory.Sequence("Sampleton {}".format)
    state = "CA"
    code_title = "Sampleton Existing Building Code"
    code_family = "2021"
    edition = "2022"


class HouseFactory(Factory):
    """A house with the facts of the survey; the scope screen flags nothing."""

    class Meta:
        model = models.House

    client = factory.SubFactory(ClientFactory)
    jurisdiction = factory.SubFactory(JurisdictionFactory)
    address = factory.Sequence("{} Sample Street".format)
    city = "Sampleton"
    state = "CA"
    postal_code = "00000"
    year_built = 1948
    stories = 1
    dwelling_units = 1
    floor_outline_ft = [[0, 0], [40, 0], [40, 30], [0, 30]]
    roof_outline_ft = [[-2, -2], [42, -2], [42, 32], [-2, 32]]
    braced_wall_height_in = 36.0
    floor_depth_in = 10.0
    story_wall_height_in = 96.0
    regular_in_plan = True
    roof_psf = 15.0
    floor_psf = 10.0
    partitions_psf = 10.0
    story_wall_psf = 15.0
    braced_wall_psf = 15.0
    weights_source = "invented for tests"
    s_ds_g = 1.0
    s_d1_g = 0.6
    s_1_g = 0.6
    t_l_s = 8.0
    hazard_source = "invented for tests"
    hazard_date = date(2026, 1, 15)
    seismic_design_category = "D"
    floor_sheathing = "1x6 diagonal boards"
    framing_kind = "platform"
    scope_screen = factory.LazyFunction(
        lambda: {item: {"flag": False, "reason": "looked, none"} for item in models.SCOPE_ITEMS}
    )


class WallLineFactory(Factory):
    """A surveyed wall line of 20 ft with one segment, one sill piece and one panel over its whole length."""

    class Meta:
        model = models.WallLine
        skip_postgeneration_save = True

    house = factory.SubFactory(HouseFactory)
    label = factory.Sequence("L{}".format)
    start_x_ft = 0.0
    start_y_ft = 0.0
    end_x_ft = 20.0
    end_y_ft = 0.0
    sill_species = "Douglas Fir-Larch"
    sill_specific_gravity = 0.5
    sill_basis = "grade mark read"
    sill_treated = False
    studs_species = "Douglas Fir-Larch"
    studs_specific_gravity = 0.5
    studs_basis = "grade mark read"
    plates_species = "Douglas Fir-Larch"
    plates_specific_gravity = 0.5
    plates_basis = "grade mark read"
    rim_species = "Douglas Fir-Larch"
    rim_specific_gravity = 0.5
    rim_basis = "grade mark read"
    block_species = "Douglas Fir-Larch"
    block_specific_gravity = 0.5
    block_basis = "new, ordered by species"
    top_plate_count = 2
    lower_plate_in = 1.5
    upper_plate_in = 1.5
    plate_joints_observed = True
    plate_width_in = 3.5
    top_nails_reach = "lower plate"
    stud_depth_in = 3.5
    stud_thickness_in = 1.5
    stud_centrelines_in = factory.LazyAttribute(
        lambda line: [
            0.75,
            *(16.0 * n for n in range(1, int(_length_in(line) // 16) + 1) if 16 * n < _length_in(line) - 2),
            _length_in(line) - 0.75,
        ]
    )
    sill_thickness_in = 1.5
    sill_width_in = 3.5
    sill_edge_in = 1.0
    sill_bearing_psi = 625.0
    rim_thickness_in = 1.5
    rim_depth_in = 9.25
    rim_set_back_in = 0.0
    joists = "perpendicular"
    jig_bears_on = "underside of the lower plate"
    headroom_in = 40.0
    foundation_material = "concrete"
    foundation_continuous = True
    concrete_psi = 2500.0
    concrete_basis = "assumed by the engineer"
    foundation_condition = "sound, hairline cracks"
    crack_width_in = 0.0
    section_loss_percent = 0.0

    @factory.post_generation
    def rows(self, create, wanted, **kwargs):
        if wanted is False:
            return
        length_in = _length_in(self)
        self.segments.create(kind="cripple wall", from_in=0, to_in=length_in, stud_height_in=31.5)
        self.sill_pieces.create(from_in=0, to_in=length_in)
        self.panels.create(from_in=0, to_in=length_in)


def _length_in(line):
    return 12.0 * abs((line.end_x_ft - line.start_x_ft) + (line.end_y_ft - line.start_y_ft))


def surveyed_house(**facts):
    """A house of 40 × 30 ft with its four wall lines A and B along x, 1 and 2 along y."""
    house = HouseFactory(**facts)
    for label, start, end in (
        ("A", (0, 0), (40, 0)),
        ("B", (0, 30), (40, 30)),
        ("1", (0, 0), (0, 30)),
        ("2", (40, 0), (40, 30)),
    ):
        WallLineFactory(
            house=house, label=label, start_x_ft=start[0], start_y_ft=start[1], end_x_ft=end[0], end_y_ft=end[1]
        )
        house.story_above.create(line_label=label, full_height_wall_ft=16)
    return house


class ExistingAnchorFactory(Factory):
    class Meta:
        model = models.ExistingAnchor

    wall_line = factory.SubFactory(WallLineFactory)
    at_in = 24.0
    diameter_in = 0.5
    seen = True


# --- catalogue -----------------------------------------------------------------------------------------------------
class NailFactory(Factory):
    """8d common unless told otherwise."""

    class Meta:
        model = models.Connector
        django_get_or_create = ("key",)

    key = "8d-common"
    name = "8d common 0.131 × 2½ in"
    kind = "nail"
    basis = "computed"
    finish = "hot-dip"
    nail_kind = "common"
    diameter_in = 0.131
    length_in = 2.5


class EvaluatedFactory(Factory):
    """A through-plate screw unless told otherwise; its value is invented."""

    class Meta:
        model = models.Connector
        django_get_or_create = ("key",)

    key = "demo-screw"
    name = "Demo screw ¼ × 6 in"
    kind = "through-plate screw"
    basis = "evaluated"
    finish = "hot-dip"
    diameter_in = 0.25
    length_in = 6.0
    value_lb = 250.0
    value_basis = "C_D 1.0"
    report = "DEMO-0001"
    maker = "invented"
    model = "invented"
    issued_on = date(2024, 1, 1)
    expires_on = factory.LazyFunction(lambda: timezone.localdate() + timedelta(days=365))
    use = "lateral, through plates into side grain"
    species = ["Douglas Fir-Larch"]
    minimum_penetration_in = 2.0
    minimum_edge_in = 0.625
    pilot_in = 0.156
    invented = True


# --- jobs, criteria, designs ---------------------------------------------------------------------------------------
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
    links_1_and_3 = "story shear"
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


def design_snapshot(*, open_links=(), remaining_deficiencies="", from_memory=(), code_family="2021"):
    """As much of a design's snapshot as the rules of jobs read; `open_links` on a line A."""
    return json.dumps(
        {
            "criteria": {"code_family": code_family, "remaining_deficiencies": remaining_deficiencies},
            "jurisdiction": {"name": "Sampleton", "state": "CA", "stamp_method": "digital", "stamp_required": True},
            "inputs": {"catalogue": {"nails": [], "lags": [], "evaluated": []}},
            "result": {
                "lines": [{"label": "A", "open_links": list(open_links)}],
                "from_memory": list(from_memory),
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


# --- field work ----------------------------------------------------------------------------------------------------
class WorkOrderFactory(Factory):
    """A crew's order for line A; `acknowledged=True`: the cautions are."""

    class Meta:
        model = models.WorkOrder

    class Params:
        acknowledged = factory.Trait(
            cautions_acknowledged_by=factory.LazyAttribute(lambda order: order.crew.lead),
            cautions_acknowledged_at=factory.LazyFunction(timezone.now),
        )

    design = factory.SubFactory(DesignFactory)
    job = factory.LazyAttribute(lambda order: order.design.job)
    number = factory.LazyAttribute(lambda order: order.job.work_orders.count() + 1)
    crew = factory.SubFactory(CrewFactory)
    day = factory.LazyFunction(timezone.localdate)
    wall_line_labels = ["A"]


class FieldEventFactory(Factory):
    class Meta:
        model = models.FieldEvent

    id = factory.LazyFunction(uuid4)
    work_order = factory.SubFactory(WorkOrderFactory)
    wall_line_label = "A"
    kind = "installed"
    by = factory.LazyAttribute(lambda event: event.work_order.crew.lead)
    at_client = factory.LazyFunction(timezone.now)
    received_at = factory.LazyFunction(timezone.now)


class InspectionFactory(Factory):
    """A visit; its items are InspectionItemFactory's."""

    class Meta:
        model = models.Inspection

    job = factory.SubFactory(JobFactory)
    stage = "final"
    day = factory.LazyFunction(timezone.localdate)
    inspector = "Sampleton building inspector"
    result = "pass"
    recorded_by = factory.SubFactory(UserFactory, roles=["office"])


class InspectionItemFactory(Factory):
    class Meta:
        model = models.InspectionItem

    inspection = factory.SubFactory(InspectionFactory)
    wall_line_label = "A"
    text = "plate washers 3 × 3 × ¼ in"
    result = "pass"
