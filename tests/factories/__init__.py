"""Rows for tests, as small as they can be. Everything in them is invented."""

from tests.factories.base import PASSWORD
from tests.factories.catalogue import EvaluatedFactory, NailFactory
from tests.factories.field_work import (
    AcceptedTestFactory,
    FieldEventFactory,
    HoldPointFactory,
    InspectionFactory,
    InspectionItemFactory,
    WorkOrderFactory,
)
from tests.factories.houses import (
    ClientFactory,
    CompanyFactory,
    ExistingAnchorFactory,
    FoundSheathingFactory,
    HouseFactory,
    JurisdictionFactory,
    WallLineFactory,
    surveyed_house,
)
from tests.factories.jobs import (
    CriteriaSheetFactory,
    DesignFactory,
    JobFactory,
    LineChoiceFactory,
    PacketFactory,
    ReviewCommentFactory,
    ScheduleLineFactory,
    StampFactory,
    TableSetAcceptanceFactory,
    design_snapshot,
    stamp_packet,
)
from tests.factories.people import CrewFactory, EngineerLicenceFactory, EnrolledCertificateFactory, UserFactory

__all__ = [
    "PASSWORD",
    "AcceptedTestFactory",
    "ClientFactory",
    "CompanyFactory",
    "CrewFactory",
    "CriteriaSheetFactory",
    "DesignFactory",
    "EngineerLicenceFactory",
    "EnrolledCertificateFactory",
    "EvaluatedFactory",
    "ExistingAnchorFactory",
    "FieldEventFactory",
    "FoundSheathingFactory",
    "HoldPointFactory",
    "HouseFactory",
    "InspectionFactory",
    "InspectionItemFactory",
    "JobFactory",
    "JurisdictionFactory",
    "LineChoiceFactory",
    "NailFactory",
    "PacketFactory",
    "ReviewCommentFactory",
    "ScheduleLineFactory",
    "StampFactory",
    "TableSetAcceptanceFactory",
    "UserFactory",
    "WallLineFactory",
    "WorkOrderFactory",
    "design_snapshot",
    "stamp_packet",
    "surveyed_house",
]
