"""Whatever house comes: a result or a refusal, and taking parts out never makes a line better."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from engineering.errors import OutOfRange
from engineering.house import assess, check_chain
from engineering.inputs import ExistingAnchor, HouseInputs, Span
from engineering.schedule import Schedule
from tests.engineering.varied import house, with_line

FRAMINGS = (
    {"top_nails_reach": "not observed"},
    {"headroom_in": "not observed"},
    {"plates_in": (1.5,)},
    {"sill_width_in": 5.5},
    {"rim_thickness_in": 2.0},
    {"sill_thickness_in": 2.0},
)
FOUNDATIONS = ({}, {"material": "masonry"}, {"concrete_psi": "not observed"}, {"section_loss_percent": "not observed"})
METHODS = ({}, {"floor_to_plate": "angle"}, {"floor_to_plate": "toenail"}, {"floor_to_plate": ""}, {"tie_down": ""})


def _panels(random: Random, length_ft: float) -> tuple[Span, ...]:
    ends = sorted(round(random.uniform(0, length_ft), 2) for _ in range(2 * random.randint(0, 3)))
    pairs = zip(ends[::2], ends[1::2], strict=True)
    return tuple(Span(from_ft=a, to_ft=b) for a, b in pairs if b - a > 1.5)


def _anchor(random: Random, length_ft: float) -> ExistingAnchor:
    return ExistingAnchor(
        at_ft=round(random.uniform(0, length_ft), 2),
        diameter_in=random.choice((0.5, 0.625, 0.75)),
        embedment_in=random.choice((8.0, 5.0, "not observed")),
        edge_in=1.75,
        end_in=20.0,
        accepted=random.random() < 0.6,
        reason="as drawn by lot",
    )


def any_house(random: Random) -> HouseInputs:
    """The worked house with everything drawn by lot that a survey may find otherwise."""
    s_ds_g = random.uniform(0.1, 2.0)
    letters = "DE" if s_ds_g >= 0.5 else "CDE" if s_ds_g >= 0.33 else "BCDE"  # not below ASCE 7 Table 11.6-1
    given_house = house(
        level=random.choice(("full", "r75")),
        hazard={"s_ds_g": s_ds_g, "seismic_design_category": random.choice(letters)},
    )
    for line in given_house.lines:
        length_ft = line.length_ft
        given_house = with_line(
            given_house,
            line.label,
            panels=_panels(random, length_ft),
            openings=(),
            existing_anchors=tuple(_anchor(random, length_ft) for _ in range(random.randint(0, 4))),
            plate_laps_ft=random.choice(("not observed", (), (3.0, round(random.uniform(4, length_ft), 1)))),
            framing=random.choice(FRAMINGS),
            foundation=random.choice(FOUNDATIONS),
            methods=random.choice(METHODS),
        )
    return given_house


def _thinned(random: Random, schedule: Schedule) -> Schedule:
    """Some connectors of each row taken out, some rows altogether.

    Not the anchors beside blocks on a wide sill: without them a block has room for more nails.
    """

    def kept(item, line):
        if item.role == "sill anchors" and line.rows("block nails"):
            return item
        count = random.randint(0, item.count)
        places = item.positions_in if item.role == "splice nails each side" else item.positions_in[:count]
        return replace(item, count=count, positions_in=places) if count else None

    return replace(
        schedule,
        lines=tuple(
            replace(line, items=tuple(row for item in line.items if (row := kept(item, line))))
            for line in schedule.lines
        ),
    )


@settings(max_examples=25, deadline=None)
@given(random=st.randoms(use_true_random=False))
def test_taking_parts_out_never_makes_a_line_better(random):
    try:
        given_house = any_house(random)
        before = assess(given_house)
    except OutOfRange:
        return
    after = check_chain(given_house, _thinned(random, before.schedule))
    for one, other in zip(before.lines, after.lines, strict=True):
        assert not (one.status == "open" and other.status != "open")
        for link, thinner in zip(one.links, other.links, strict=True):
            if link.check.ratio is not None and thinner.check.ratio is not None:
                assert thinner.check.ratio >= link.check.ratio - 1e-9
            if thinner.check.status == "over":
                assert thinner.check.warnings, thinner.link
    assert check_chain(given_house, before.schedule) == before
