"""An invented house as a design snapshot, for the tests of papers and drawings. No row of it comes from a database."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import lru_cache

from engineering import exchange
from engineering.evaluated import (
    USE_FRAMING_ANGLE,
    USE_SILL_ANCHOR,
    USE_THROUGH_PLATES,
    USE_TIE_DOWN,
    USE_TIE_DOWN_ANCHOR,
)
from engineering.house import assess
from engineering.inputs import (
    NOT_OBSERVED,
    AsFoundNailing,
    Building,
    Catalogue,
    Criteria,
    DeadLoad,
    EndPost,
    EvaluatedConnector,
    ExistingAnchor,
    Foundation,
    Framing,
    Hazard,
    HouseInputs,
    LagScrew,
    LinkMethods,
    Member,
    Nail,
    PointWeight,
    Segment,
    Sheathing,
    Span,
    StoryAbove,
    UnitWeights,
    WallLine,
)

FIR = "Douglas Fir-Larch"
MARKED = "grade mark read"
VOLUNTARY = "voluntary lateral alteration"


def _evaluated(key: str, name: str, kind: str, use: str, value_lb: float, **more: object) -> EvaluatedConnector:
    facts = {
        "report": "EXAMPLE-1", "issued": "2026-01-01", "expires": "2028-12-31", "species": (FIR,),
        "value_basis": "already 1.6", "diameter_in": 0.25,
    } | more  # fmt: skip
    return EvaluatedConnector(key=key, name=name, kind=kind, use=use, value_lb=value_lb, **facts)


NAILS = (
    Nail(key="12d", name="12d common 0.148 × 3 1/4 in", kind="common", diameter_in=0.148, length_in=3.25,
         finish="bright"),
    Nail(key="10d-hdg", name="10d common 0.148 × 3 in hot-dip", kind="common", diameter_in=0.148, length_in=3.0,
         finish="hot-dip"),
    Nail(key="16d", name="16d common 0.162 × 3 1/2 in", kind="common", diameter_in=0.162, length_in=3.5,
         finish="bright"),
    Nail(key="8d", name="8d common 0.131 × 2 1/2 in", kind="common", diameter_in=0.131, length_in=2.5,
         finish="bright"),
    Nail(key="8d-hdg", name="8d common 0.131 × 2 1/2 in hot-dip", kind="common", diameter_in=0.131, length_in=2.5,
         finish="hot-dip"),
)  # fmt: skip
LAGS = (
    LagScrew(key="lag-1/4", name="1/4 × 6 in lag screw", diameter_in=0.25, root_diameter_in=0.173, length_in=6.0,
             thread_in=3.5, tip_in=0.15625, finish="hot-dip"),
)  # fmt: skip
EVALUATED = (
    _evaluated("screw", "through-plate screw 0.242 × 6 in (invented)", "through-plate screw", USE_THROUGH_PLATES,
               235.0,
               value_basis="C_D 1.0", diameter_in=0.242, length_in=6.0, minimum_penetration_in=2.0,
               minimum_edge_in=0.625, pilot_in=0.157),
    _evaluated("angle", "framing angle, 12 nails (invented)", "framing angle", USE_FRAMING_ANGLE, 480.0,
               report="EXAMPLE-2"),
    _evaluated("anchor", "1/2 in sill anchor, 4 in embedment (invented)", "sill anchor", USE_SILL_ANCHOR, 980.0,
               report="EXAMPLE-4", species=(), value_basis="ASD seismic, C_D not applied", diameter_in=0.5,
               length_in=7.0, embedment_in=4.0, minimum_edge_in=1.75, washer_in=0.229, minimum_concrete_psi=2500.0),
    _evaluated("tie-down", "end-post tie-down (invented)", "tie-down", USE_TIE_DOWN, 1800.0, report="EXAMPLE-3",
               diameter_in=0.625),
    _evaluated("tie-down anchor", "5/8 in tie-down anchor, 10 in embedment (invented)", "tie-down anchor",
               USE_TIE_DOWN_ANCHOR, 900.0, report="EXAMPLE-4", species=(), diameter_in=0.625, embedment_in=10.0,
               value_basis="ASD seismic, C_D not applied", minimum_concrete_psi=2500.0),
)  # fmt: skip


def _member(basis: str = MARKED, *, treated: bool = False) -> Member:
    return Member(species=FIR, specific_gravity=0.5, basis=basis, treated=treated)


def _studs(length_ft: float, panels: tuple[tuple[float, float], ...]) -> tuple[float, ...]:
    """Every 16 in and a post in from each panel end."""
    regular = [16.0 * index for index in range(1, int(length_ft * 12 / 16) + 1) if 16.0 * index < length_ft * 12 - 1.5]
    ends = [point for low, high in panels for point in (low * 12 + 1.5, high * 12 - 1.5)]
    kept = [stud for stud in regular if all(abs(stud - end) > 1.5 for end in ends)]
    return tuple(sorted(kept + ends))


def _anchor(at_ft: float, *, accepted: bool, edge_in: float = 1.75) -> ExistingAnchor:
    return ExistingAnchor(
        at_ft=at_ft, diameter_in=0.5, embedment_in=8.0 if accepted else NOT_OBSERVED, edge_in=edge_in,
        end_in=48.0, accepted=accepted, reason="hook seen, tight" if accepted else "nut missing",
    )  # fmt: skip


def _line(
    label: str, start: tuple[float, float], end: tuple[float, float], *, panels: tuple[tuple[float, float], ...],
    pieces: tuple[tuple[float, float], ...], joists: str, reach: str, wide_sill: bool, kind: str = "cripple wall",
    stud_ft: float = 2.625, anchors: tuple[ExistingAnchor, ...] = (), openings: tuple[Span, ...] = (),
    roof_plf: float = 225.0, ceiling: str = "",
) -> WallLine:  # fmt: skip
    length_ft = abs(end[0] - start[0]) + abs(end[1] - start[1])
    return WallLine(
        label=label, start_ft=start, end_ft=end,
        segments=(Segment(kind=kind, from_ft=0.0, to_ft=length_ft, stud_height_ft=stud_ft),),
        panels=tuple(Span(from_ft=low, to_ft=high) for low, high in panels),
        sill_pieces=tuple(Span(from_ft=low, to_ft=high) for low, high in pieces),
        plate_laps_ft=(length_ft / 2 - 1,), lower_plate_laps_ft=(length_ft / 2 + 3,), openings=openings,
        framing=Framing(
            sill=_member(treated=True), studs=_member(), plates=_member(), rim=_member(),
            block=_member("new lumber as ordered"), plates_in=(1.5, 1.5), plate_width_in=3.5, stud_depth_in=3.5,
            stud_thickness_in=1.5, stud_centrelines_in=_studs(length_ft, panels), sill_thickness_in=1.5,
            sill_width_in=5.5 if wide_sill else 3.5, sill_bearing_psi=625.0, rim_thickness_in=1.5, rim_depth_in=9.25,
            rim_set_back_in=0.0, joists=joists, top_nails_reach=reach, jig_bears_on="straight board sheathing",
            headroom_in=60.0, ceiling_finish=ceiling, sill_edge_in=0.0,
        ),
        foundation=Foundation(
            material="concrete", concrete_psi=2500.0, concrete_basis="two cores", condition="sound",
            section_loss_percent=0.0, accepted_by="R. Example, PE", width_in=8.0,
        ),
        sheathing=Sheathing(grade="Sheathing", thickness="15/32", nail="8d", nail_diameter_in=0.131,
                            nail_length_in=2.5, finish="hot-dip"),
        end_post=EndPost(width_in=3.0, depth_in=3.5, rod_from_end_in=4.5, compression_from_end_in=1.5),
        existing_anchors=anchors,
        as_found=(AsFoundNailing(link="1", nail=NAILS[3], spacing_in=16.0, toenail=True),),
        dead_loads=(DeadLoad(label="roof", weight_plf=roof_plf), DeadLoad(label="story wall", weight_plf=120.0)),
        floor_sheathing="1x6 boards laid diagonally", link_0_accepted_by="R. Example, PE",
        methods=LinkMethods(
            floor_to_plate="screw", alternatives=("angle", "16d", "lag-1/4"), stitch_nail="12d", splice_nail="12d",
            block_nail="10d-hdg", sill_anchor="anchor", tie_down="tie-down", tie_down_anchor="tie-down anchor",
        ),
    )  # fmt: skip


def house_inputs() -> HouseInputs:
    """Four wall lines under one story; line 1 is a basement wall under a finished ceiling."""
    return HouseInputs(
        calculation_date="2026-11-02",
        hazard=Hazard(s_ds_g=1.06, s_d1_g=0.6, s_1_g=0.5, t_l_s=8.0, source="given, invented for the sample",
                      seismic_design_category="D"),
        criteria=Criteria(
            code_family="2021", legal_basis=VOLUNTARY, force_level="full", force_factor=1.0,
            response_modification=6.5, importance=1.0, redundancy=None, regular_in_plan=True, load_duration=1.6,
            maximum_connector_spacing_in=72.0,
        ),
        building=Building(
            floor_outline_ft=((0.0, 0.0), (40.0, 0.0), (40.0, 28.0), (0.0, 28.0)),
            roof_outline_ft=((-1.0, -1.0), (41.0, -1.0), (41.0, 29.0), (-1.0, 29.0)),
            braced_wall_height_ft=3.0, floor_depth_ft=10 / 12, story_wall_height_ft=8.0,
            unit_weights=UnitWeights(roof_psf=15.0, floor_psf=10.0, partitions_psf=10.0, story_wall_psf=15.0,
                                     braced_wall_psf=15.0),
            point_weights=(PointWeight(label="chimney", at_ft=(38.0, 20.0), weight_lb=3000.0),),
            story_above=tuple(StoryAbove(line=line, full_height_wall_ft=feet)
                              for line, feet in (("A", 20.0), ("B", 22.0), ("1", 14.0), ("2", 14.0))),
        ),
        lines=(
            _line("A", (0.0, 0.0), (40.0, 0.0), panels=((0.0, 8.0), (32.0, 40.0)),
                  pieces=((0.0, 14.0), (14.0, 26.0), (26.0, 40.0)), joists="perpendicular", reach="lower plate",
                  wide_sill=False,
                  anchors=(_anchor(4.0, accepted=True), _anchor(12.0, accepted=False), _anchor(20.0, accepted=True),
                           _anchor(28.0, accepted=False), _anchor(36.0, accepted=True, edge_in=1.5))),
            _line("B", (0.0, 28.0), (40.0, 28.0), panels=((0.0, 7.0), (17.0, 23.0), (33.0, 40.0)),
                  pieces=((0.0, 16.0), (16.0, 28.0), (28.0, 40.0)), joists="perpendicular", reach="upper plate",
                  wide_sill=False, anchors=(_anchor(10.0, accepted=False), _anchor(30.0, accepted=False)),
                  openings=(Span(from_ft=25.0, to_ft=28.0, label="crawlspace access 24 × 18 in"),)),
            _line("1", (0.0, 0.0), (0.0, 28.0), panels=((0.0, 6.0), (22.0, 28.0)), pieces=((0.0, 12.0), (12.0, 28.0)),
                  joists="parallel", reach="lower plate", wide_sill=True, roof_plf=80.0,
                  anchors=(_anchor(3.0, accepted=True), _anchor(10.0, accepted=True), _anchor(19.0, accepted=False)),
                  ceiling="plaster ceiling, finished room"),
            _line("2", (40.0, 0.0), (40.0, 28.0), panels=((0.0, 6.0), (20.0, 26.0)),
                  pieces=((0.0, 14.0), (14.0, 26.0), (26.0, 28.0)), joists="parallel", reach="lower plate",
                  wide_sill=True, roof_plf=80.0),
        ),
        catalogue=Catalogue(nails=NAILS, lags=LAGS, evaluated=EVALUATED, bar_stock_in=(1.0, 1.5, 2.0)),
        access_opening_in=(24.0, 18.0),
    )  # fmt: skip


def with_basement_wall(inputs: HouseInputs) -> HouseInputs:
    """The same house with line 1 on a full-height basement wall, and braced walls taken as high as that one."""
    tall = tuple(
        replace(line, segments=(replace(line.segments[0], kind="basement or garage wall", stud_height_ft=7.5),))
        if line.label == "1" else line
        for line in inputs.lines
    )  # fmt: skip
    return replace(inputs, lines=tall, building=replace(inputs.building, braced_wall_height_ft=8.0))


@lru_cache(maxsize=4)
def _assessed(inputs: HouseInputs) -> str:
    return json.dumps({"inputs": exchange.dumps(inputs), "result": exchange.dumps(assess(inputs))})


def snapshot(
    inputs: HouseInputs | None = None,
    *,
    quantity_study: bool = False,
    remaining: str = "",
    legal_basis: str = VOLUNTARY,
) -> dict:
    """The design snapshot as the papers read it, a fresh copy at each call; of the sample house if none is given."""
    computed = json.loads(_assessed(inputs or house_inputs()))
    confirmed = {"confirmed_by": "R. Example, PE", "confirmed_on": "2026-10-28", "licence": "Civil C 00000 (invented)"}
    return {
        "format": 1,
        "house": {
            "address": "14 Sample Street", "city": "Exampleton", "state": "CA", "postal_code": "00000",
            "parcel_number": "000-000-014", "legal_description": "Lot 7, Block 3, Tract 000", "zoning": "R1",
            "occupancy_group": "R-3", "construction_type": "V-B", "year_built": 1948, "stories": 1, "dwelling_units": 1,
            "client_name": "Sample Owner", "client_address": "14 Sample Street, Exampleton CA",
            "client_phone": "000-555-0100", "floor_sheathing": "1x6 boards laid diagonally",
            "framing_kind": "platform", "access_opening_in": [24.0, 18.0], "weights_source": "surveyed take-off",
            "lead_test": "not tested", "asbestos_test": "not tested", "hazard_source": "given, invented",
            "hazard_date": "2026-10-01", "water_heater_strapped": "not observed",
            "scope_screen": {"hillside": {"flag": False, "reason": "ground level within 6 in"},
                             "tall veneer": {"flag": None, "reason": "not observed"}},
        },
        "jurisdiction": {
            "name": "City of Exampleton (invented)", "state": "CA", "code_title": "Exampleton Building Code 2025",
            "code_family": "2021", "edition": "2025", "stamp_required": True, "stamp_method": "digital",
            "sheet_size": "24x36",
        },
        "job": {"number": "J-0001", "title": "Seismic strengthening", "legal_basis": legal_basis,
                "permit_applied_on": None,
                "company": {"name": "Sample Retrofit Co. (invented)", "address": "1 Sample Road",
                            "phone": "000-555-0199", "contractor_licence": "C 000000 (invented)"},
                "estimator": "E. Sample"},
        "criteria": {
            "code_family": "2021", "legal_basis": legal_basis, "force_level": "full",
            "force_factor": 1.0, "response_modification": 6.5, "importance": 1.0, "redundancy": None,
            "load_duration": 1.6, "maximum_connector_spacing_in": 72.0, "diaphragm_force_governs": False,
            "accepts_r_for_panels": True, "link_0_accepted": True, "method": "equivalent lateral force",
            "notes": "", "remaining_deficiencies": remaining, "quantity_study": quantity_study,
        } | (dict.fromkeys(confirmed) if quantity_study else confirmed),
        "table_set": {"accepted_by": "R. Example, PE", "licence": "Civil C 00000 (invented)",
                      "accepted_on": "2026-10-28"},
        "lines": {
            label: {"obstructions": "", "utilities": "gas pipe at the north end" if label == "2" else "",
                    "inside_finish": "", "ceiling_finish": "plaster ceiling" if label == "1" else "", "notes": "",
                    "level": "crawlspace", "sill_gap": "", "foundation_condition": "sound, cracks under 1/16 in",
                    "foundation_continuous": True, "crack_width_in": 0.03, "sill_edge_in": 1.0}
            for label in ("A", "B", "1", "2")
        },
        **computed,
    }  # fmt: skip


def without(snapshot: dict, *roles: str) -> dict:
    """The snapshot with these roles taken out of every line's schedule."""
    for line in snapshot["result"]["schedule"]["lines"]:
        line["items"] = [item for item in line["items"] if item["role"] not in roles]
    return snapshot


def opened(snapshot: dict, label: str, link: str, words: str) -> dict:
    """The snapshot with one link of one line left open."""
    line = next(line for line in snapshot["result"]["lines"] if line["label"] == label)
    check = next(item["check"] for item in line["links"] if item["link"] == link)
    check |= {"status": "open", "ratio": None, "capacity": None}
    line |= {"status": "open", "open_links": [words], "weakest_link": link, "weakest_ratio": None}
    return snapshot


def ratios(snapshot: dict) -> set[str]:
    """Every link's ratio as it would be printed."""
    return {
        f"{link['check']['ratio']:.2f}"
        for line in snapshot["result"]["lines"]
        for link in line["links"]
        if link["check"]["ratio"] is not None
    }


def texts(value: object) -> list[str]:
    """Every text in a section's context, however deep."""
    if isinstance(value, str):
        return [value]
    if isinstance(value, dict):
        return [text for item in value.values() for text in texts(item)]
    if isinstance(value, list | tuple):
        return [text for item in value for text in texts(item)]
    return []


def subject(*, lines: tuple[str, ...] = ("A", "1")) -> dict:
    """What a work order adds to the design."""
    return {
        "number": "WO-0001",
        "day": "2026-11-25",
        "crew": "Crew one",
        "lead": "L. Sample",
        "members": ["M. Sample", "N. Sample"],
        "permit": {"number": "B-0001", "issued_on": "2026-11-20"},
        "city_set": {"sha256": "ab" * 32, "uploaded_on": "2026-11-21"},
        "inspections": [],
        "wall_lines": list(lines),
    }
