"""The company, clients, jurisdictions, houses as surveyed."""

from __future__ import annotations

from datetime import date

import factory

from jobs import models
from tests.factories.base import Factory


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
    flat_roof_snow_psf = 0.0
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
    lower_plate_joints_observed = True
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
    foundation_width_in = 8.0
    foundation_depth_in = 18.0
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


class FoundSheathingFactory(Factory):
    class Meta:
        model = models.FoundSheathing

    wall_line = factory.SubFactory(WallLineFactory)
    material = "stucco"
    from_in = 0.0
    to_in = 240.0
