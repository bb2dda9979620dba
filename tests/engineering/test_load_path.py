"""The chain with schedules as they stand: open links, shortfalls, substitutions, and who is the weakest."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engineering.errors import OutOfRange
from engineering.house import assess, check_chain, propose_schedule
from engineering.results import HouseResult, LineResult
from engineering.schedule import LineSchedule, Schedule, ScheduleItem
from engineering.seismic_demand import demand_inputs
from tests.engineering.varied import edited, house, line_of, with_line


def _rechecked(label: str, role: str, **changes) -> LineResult:
    given_house = house()
    return check_chain(given_house, edited(assess(given_house).schedule, label, role, **changes)).line(label)


def test_proposing_and_checking_is_assessing():
    given_house = house()
    result = assess(given_house)
    assert check_chain(given_house, result.schedule) == result


def test_every_link_is_there_in_order():
    for line in assess(house()).lines:
        assert [link.link for link in line.links] == ["0", "1", "2", "3", "4", "5", "6a", "6b", "7a", "7b", "8"]


def test_fewer_screws_are_over_and_say_how_many_more():
    line = _rechecked("A", "floor to plate", count=8)
    check = line.link("1").check
    assert (line.status, line.weakest_link) == ("over", "1")
    assert check.ratio == pytest.approx(3463.4277 / (8 * 376))
    assert "2 more through-plate screws needed" in check.warnings


def test_fewer_screws_leave_a_gap_that_is_told():
    line = _rechecked("A", "floor to plate", count=8)
    assert any("no screw from 360 to 480 in" in warning for warning in line.warnings)


def test_more_screws_never_raise_the_ratio():
    ratios = [
        _rechecked("A", "floor to plate", count=count, positions_in=()).link("1").check.ratio for count in range(5, 20)
    ]
    assert ratios == sorted(ratios, reverse=True)


def test_without_stitch_nails_the_path_is_open_and_has_no_ratio():
    line = _rechecked("A", "stitch nails", count=0)
    assert (line.status, line.weakest_link, line.weakest_ratio) == ("open", "2", None)
    assert line.open_links == ("load path open at upper to lower plate",)


def test_missing_stitch_nails_are_over_and_counted():
    check = _rechecked("A", "stitch nails", count=15).link("2").check
    assert check.status == "over"
    assert check.warnings[0] == "4 more stitch nails needed"  # 19 by demand
    assert check.notes == ("5 fewer than beside each connector",)  # 2 beside each of 10


def test_top_nails_in_the_upper_plate_take_the_link_out_of_the_chain():
    reached = with_line(house(), "A", framing={"top_nails_reach": "upper plate"})
    result = assess(reached)
    assert result.line("A").link("2").check.status == "not in the chain"
    assert result.schedule.line("A").rows("stitch nails") == ()


def test_top_nails_not_observed_count_as_the_lower_plate_and_say_so():
    result = assess(with_line(house(), "B", framing={"top_nails_reach": "not observed"}))
    assert result.line("B").link("2").check.status == "ok"
    assert any("taken as the lower plate" in sentence for sentence in result.assumptions)


def test_one_top_plate_has_nothing_to_stitch():
    one = with_line(house(), "A", framing={"plates_in": (1.5,)}, plate_laps_ft=())
    line = assess(one).line("A")
    assert line.link("2").check.status == "not in the chain"
    assert line.link("4").check.step("aspect_ratio_max").value == pytest.approx((31.5 + 1.5 + 1.5) / 12 / 8)


@pytest.mark.parametrize(
    ("framing", "reason"),
    [
        ({"jig_bears_on": "not observed"}, "jig bears on"),
        ({"headroom_in": 10.0}, "headroom"),
        ({"rim_thickness_in": 1.0}, "edge"),
    ],
)
def test_a_screw_that_can_not_be_set_leaves_the_link_open_with_the_reason(framing, reason):
    line = assess(with_line(house(), "A", framing=framing)).line("A")
    assert line.status == "open"
    assert line.through_plate is None
    assert line.open_links[0].startswith("load path open at floor to top plate: through-plate screws can't be used")
    assert reason in line.open_links[0]


def test_an_expired_report_is_never_used():
    late = replace(house(), calculation_date="2027-01-01")
    line = assess(late).line("A")
    assert "expired on 2026-12-31" in line.open_links[0]
    assert not next(one for one in line.options if one.connector == "screw").feasible


def test_a_species_outside_the_report_is_refused():
    other = replace(line_of(house(), "A").framing.rim, species="Hem-Fir", specific_gravity=0.43)
    line = assess(with_line(house(), "A", framing={"rim": other})).line("A")
    assert "species" in line.open_links[0]


def test_pinned_toenails_above_150_plf_are_infeasible():
    # Line 2 reduced to its panels' zone carries 135.9 plf; with ρ = 1.3 it is over.
    line = assess(with_line(house(criteria={"redundancy": 1.3}), "2", methods={"floor_to_plate": "toenail"})).line("2")
    assert "over the 150 plf" in line.open_links[0]
    # In SDC C, with S_DS under 0.5 and a house so much heavier that the shear is no less.
    weights = house().building.unit_weights
    heavy = replace(weights, roof_psf=4 * weights.roof_psf, floor_psf=4 * weights.floor_psf)
    slight = {"s_ds_g": 0.49, "seismic_design_category": "C"}
    mild = house(criteria={"redundancy": 1.3}, hazard=slight, building={"unit_weights": heavy})
    mild_line = assess(with_line(mild, "2", methods={"floor_to_plate": "toenail"})).line("2")
    assert mild_line.demand_lb > line.demand_lb
    assert mild_line.link("1").check.status == "ok"


def test_a_substituted_connector_counts_at_its_own_value():
    line = _rechecked("A", "floor to plate", connector="angle", count=8, positions_in=())
    assert line.link("1").check.ratio == pytest.approx(3463.4277 / (8 * 480))
    assert line.through_plate is None


def test_mixed_connectors_count_at_the_least_value():
    given_house = house()
    schedule = assess(given_house).schedule
    line = schedule.line("A")
    angle = ScheduleItem(link="1", role="floor to plate", connector="angle", count=2)
    mixed = replace(schedule, lines=(replace(line, items=(*line.items, angle)), *schedule.lines[1:]))
    assert check_chain(given_house, mixed).line("A").link("1").check.capacity == pytest.approx(12 * 376)


def test_a_panel_without_nailing_opens_panel_and_sill():
    line = _rechecked("A", "panel edge nails", count=0)
    assert [link.link for link in line.links if link.check.status == "open"] == ["4", "5"]


def test_wider_nailing_is_over_and_says_what_it_takes():
    check = _rechecked("2", "panel edge nails", spacing_in=6.0).link("4").check
    assert check.status == "over"
    assert any(warning.startswith("2.60 ft more panel needed") for warning in check.warnings)


def test_odd_nail_spacing_counts_as_the_next_wider_row_of_the_table():
    assert _rechecked("A", "panel edge nails", spacing_in=5.0).link("4").check.ratio == pytest.approx(0.83027, rel=1e-4)
    assert _rechecked("A", "panel edge nails", spacing_in=7.0).link("4").check.status == "open"


def test_another_nail_than_the_sheathings_is_not_the_same_panel():
    line = _rechecked("A", "panel edge nails", connector="stitch")
    assert line.link("4").check.status == "open"
    assert "0.131 × 2.5 in" in line.link("4").check.notes[0]


def test_a_wide_sill_without_block_nails_is_open():
    line = _rechecked("1", "block nails", count=0)
    assert line.open_links[0].startswith("load path open at panel to sill: panel 1: sill wider than the studs")


def test_missing_block_nails_count_in_the_poorest_bay():
    check = _rechecked("1", "block nails", count=14).link("5").check
    assert check.step("block_nails_per_bay").value == 2
    assert check.status == "over"
    assert "1 more block nails in each bay needed of panel 1" in check.warnings


def test_a_block_that_can_not_hold_its_nails_is_open():
    check = _rechecked("1", "block nails", count=55).link("5").check
    assert check.status == "open"
    assert "a block holds 10 nails at 15 diameters in 2 rows, not 11" in check.notes[0]


def test_bright_nails_in_a_treated_sill_are_refused():
    check = _rechecked("1", "block nails", connector="stitch").link("5").check
    assert check.status == "open"
    assert "treated" in check.notes[0]


def test_at_a_tie_the_earlier_link_is_the_weakest():
    given_house = house()
    schedule = edited(assess(given_house).schedule, "A", "floor to plate", count=12, positions_in=())
    schedule = edited(schedule, "A", "stitch nails", count=30, positions_in=())
    schedule = edited(schedule, "A", "splice nails each side", count=8, positions_in=(96.0,))
    schedule = edited(schedule, "A", "sill anchors", count=5, positions_in=())
    line = check_chain(given_house, schedule).line("A")
    assert line.link("4").check.ratio == line.link("5").check.ratio == line.weakest_ratio
    assert line.weakest_link == "4"


def test_a_line_missing_from_the_schedule_has_nothing_in_it():
    result = check_chain(house(), Schedule(lines=()))
    assert {line.status for line in result.lines} == {"open"}
    assert result.line("A").open_links[0] == "load path open at floor to top plate"


def test_links_0_and_8_wait_for_the_engineer():
    line = assess(with_line(house(), "A", link_0_accepted_by="", foundation={"accepted_by": ""})).line("A")
    assert line.link("0").check.warnings == ("not accepted by the engineer yet",)
    assert line.link("8").check.warnings == ("not accepted by the engineer yet",)
    assert line.status == "ok"


@pytest.mark.parametrize(
    ("field", "item"),
    [
        ("role", ScheduleItem(link="1", role="glue", connector="screw", count=1)),
        ("connector", ScheduleItem(link="1", role="floor to plate", connector="unheard of", count=1)),
        ("count", ScheduleItem(link="1", role="floor to plate", connector="screw", count=-1)),
        ("count", ScheduleItem(link="1", role="floor to plate", connector="screw", count=3, positions_in=(5.0,))),
        ("panel", ScheduleItem(link="4", role="panel edge nails", connector="sheathing", count=9, panel=3)),
        ("piece", ScheduleItem(link="6a", role="sill anchors", connector="anchor 0.5", count=1, panel=1, piece=9)),
    ],
)
def test_a_row_that_can_not_be_is_refused(field, item):
    schedule = Schedule(lines=(LineSchedule(label="A", items=(item,)),))
    with pytest.raises(OutOfRange) as refused:
        check_chain(house(), schedule)
    assert refused.value.field.endswith(field)


def test_an_unknown_line_is_refused():
    with pytest.raises(OutOfRange, match="must be among A, B, 1, 2"):
        check_chain(house(), Schedule(lines=(LineSchedule(label="Z", items=()),)))


def test_sources_from_memory_are_listed_once_and_read_ones_are_not():
    result = assess(house())
    assert "AWC SDPWS 2021 4.1.4" in result.from_memory
    assert list(result.from_memory) == sorted(set(result.from_memory))
    assert not any(source.startswith("ASCE 7-16 12.8") for source in result.from_memory)
    newer = assess(house(criteria={"code_family": "2024"}))
    assert "ASCE 7-22 12.8-2" in newer.from_memory
    assert any("NDS 2018" in warning for warning in newer.warnings)


def test_what_was_assumed_is_said_in_words():
    unseen = with_line(
        house(), "A", plate_laps_ft="not observed", floor_sheathing="not observed",
        foundation={"section_loss_percent": "not observed", "concrete_psi": "not observed"},
    )  # fmt: skip
    guessed = replace(line_of(unseen, "A").framing.studs, basis="assumed: lowest of the company's list for 1928")
    said = " | ".join(assess(with_line(unseen, "A", framing={"studs": guessed})).assumptions)
    for words in ("studs Douglas Fir-Larch, G = 0.5: assumed", "laps of the upper plate", "floor sheathing",
                  "section loss", "concrete strength"):  # fmt: skip
        assert words in said


def test_the_chain_as_found_counts_only_what_is_there():
    line = assess(house()).line("A")
    status = {link.link: link.check.status for link in line.as_found}
    assert status == {
        "1": "ok", "2": "open", "3": "not in the chain", "4": "open", "5": "open", "6a": "over", "6b": "over",
        "7a": "not in the chain", "7b": "not in the chain",
    }  # fmt: skip
    assert line.as_found_status == "open"


def test_toenails_as_found_are_never_credited_above_150_plf():
    nailing = replace(line_of(house(), "A").as_found[0], spacing_in=6.0)
    found = assess(with_line(house(), "A", as_found=(nailing,))).line("A").as_found[0].check
    assert found.capacity == pytest.approx(6000.0)


def test_a_softer_wood_never_makes_a_line_stronger():
    def ratios(result: HouseResult) -> list[float | None]:
        return [link.check.ratio for link in result.line("A").links]

    given_house = house()
    soft = {"specific_gravity": 0.42}
    framing = line_of(given_house, "A").framing
    changed = {name: replace(getattr(framing, name), **soft) for name in ("sill", "studs", "plates", "rim", "block")}
    schedule = assess(given_house).schedule
    base = ratios(check_chain(given_house, schedule))
    softer = ratios(check_chain(with_line(given_house, "A", framing=changed), schedule))
    assert all(b >= a for a, b in zip(base, softer, strict=True) if a is not None and b is not None)
    assert softer[4] > base[4]  # panel


def test_a_connector_off_the_line_or_given_twice_is_refused():
    given_house = house()
    schedule = assess(given_house).schedule
    row = schedule.line("1").rows("floor to plate")[0]
    off = (*row.positions_in[:-1], 12 * 28.0 + 60)
    with pytest.raises(OutOfRange, match="must be on the line"):
        check_chain(given_house, edited(schedule, "1", "floor to plate", positions_in=off))
    twice = (row.positions_in[0], *row.positions_in[:-1])
    with pytest.raises(OutOfRange, match="must be given once among the floor to plate"):
        check_chain(given_house, edited(schedule, "1", "floor to plate", positions_in=twice))


def test_enough_screws_at_one_end_are_not_enough_for_the_line():
    given_house = house()
    schedule = assess(given_house).schedule
    row = schedule.line("1").rows("floor to plate")[0]
    crowded = tuple(10 + 3.0 * place for place in range(row.count))
    line = check_chain(given_house, edited(schedule, "1", "floor to plate", positions_in=crowded)).line("1")
    assert (line.status, line.link("1").check.status) == ("over", "over")
    assert line.link("1").check.ratio < 1
    assert any("more than the maximum spacing" in warning for warning in line.warnings)


def test_a_row_stands_under_the_link_of_its_role():
    given_house = house()
    schedule = edited(assess(given_house).schedule, "1", "floor to plate", link="7a")
    with pytest.raises(OutOfRange, match="must be 1 for floor to plate"):
        check_chain(given_house, schedule)


@pytest.mark.parametrize("question", [assess, propose_schedule, demand_inputs])
def test_braced_walls_lower_than_the_panels_on_them_are_refused(question):
    """Weight, redundancy and period would come out too low: the house is refused, not warned of."""
    with pytest.raises(OutOfRange, match=r"with panels, 3.00 ft \(line A, panel from 0 to 8 ft") as refused:
        question(house(building={"braced_wall_height_ft": 2.74}))
    assert (refused.value.field, refused.value.value) == ("building.braced_wall_height_ft", 2.74)


@pytest.mark.parametrize("height_ft", [2.75, 3.0, 4.0])
def test_braced_walls_within_a_quarter_foot_or_higher_are_taken(height_ft):
    assert assess(house(building={"braced_wall_height_ft": height_ft})).lines
