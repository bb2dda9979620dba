"""Worked house A, our own hand calculation (worked_house_a.json), as inputs: a small adapter."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from engineering import evaluated as evaluated_values
from engineering import inputs as e

PUBLISHED = Path(__file__).parents[2] / "fixtures/published/worked_house_a.json"
WORKED: dict[str, Any] = json.loads(PUBLISHED.read_text())
GIVEN = WORKED["inputs"]
# The worked house does not say where the plates lap; it checks the splice at the largest drag. One lap stands there.
LAPS_FT = {"A": (8.0,), "B": (7.0,), "1": (6.0,), "2": (6.0,)}
HEADROOM_IN = 30.0  # not given either: what a crew can work in


def house_inputs(level: str = "full", anchor_in: float = 0.5) -> e.HouseInputs:
    """House A at one force level ("full", "r75"), with the ½ or ⅝ in anchor as the chosen one."""
    return e.HouseInputs(
        calculation_date=GIVEN["code_basis"]["calculation_date"],
        hazard=e.Hazard(
            s_ds_g=GIVEN["hazard"]["SDS_g"],
            s_d1_g=GIVEN["hazard"]["SD1_g"],
            s_1_g=GIVEN["hazard"]["S1_g"],
            t_l_s=GIVEN["hazard"]["TL_s"],
            source="invented for the example",
            seismic_design_category="D",
        ),
        criteria=e.Criteria(
            code_family="2021",
            legal_basis="voluntary lateral alteration",
            force_level=level,
            force_factor=GIVEN["force_levels"][level],
            response_modification=GIVEN["system"]["R"],
            importance=GIVEN["system"]["Ie"],
            redundancy=None,
            regular_in_plan=True,
            load_duration=GIVEN["fasteners"]["C_D"],
            maximum_connector_spacing_in=GIVEN["design_rules"]["max_connector_spacing_in"],
            anchors_per_panel=GIVEN["design_rules"]["min_anchors_per_panel"],
            anchors_per_piece=GIVEN["design_rules"]["min_anchors_per_sill_piece"],
            one_anchor_under_in=GIVEN["design_rules"]["one_anchor_in_pieces_under_in"],
        ),
        building=building(),
        lines=tuple(wall_line(label, given, anchor_in) for label, given in GIVEN["lines"].items()),
        catalogue=catalogue(),
        access_opening_in=tuple(GIVEN["access"]["opening_in"]),
    )


def building() -> e.Building:
    geometry, weights = GIVEN["geometry"], GIVEN["unit_weights"]
    return e.Building(
        floor_outline_ft=tuple((float(x), float(y)) for x, y in geometry["floor_outline_ft"]),
        roof_outline_ft=tuple((float(x), float(y)) for x, y in geometry["roof_outline_ft"]),
        braced_wall_height_ft=geometry["cripple_wall_height_ft"],
        floor_depth_ft=geometry["floor_depth_ft"],
        story_wall_height_ft=geometry["story_wall_height_ft"],
        unit_weights=e.UnitWeights(
            roof_psf=weights["roof_and_ceiling_psf"],
            floor_psf=weights["floor_psf"],
            partitions_psf=weights["partition_allowance_psf"],
            story_wall_psf=weights["exterior_wall_psf"],
            braced_wall_psf=weights["cripple_wall_psf"],
            source="a published design guide's table of dead loads",
        ),
        point_weights=tuple(
            e.PointWeight(
                label=one["id"],
                at_ft=(one["x_ft"], one["y_ft"]),
                weight_lb=one["weight_lb"],
                by_level_lb=(one["at_level_lb"]["floor"], one["at_level_lb"]["roof"]),
            )
            for one in GIVEN["point_weights"]
        ),
        story_above=tuple(
            e.StoryAbove(line=label, full_height_wall_ft=length)
            for label, length in GIVEN["story_above"]["full_height_wall_ft"].items()
        ),
    )


def catalogue() -> e.Catalogue:
    fasteners, evaluated = GIVEN["fasteners"], GIVEN["catalogue"]
    lag, screw = fasteners["lag"], evaluated["through_plate_screw"]
    stitch, block, toenail = fasteners["stitch_and_splice_nail"], fasteners["sill_block_nail"], fasteners["toenail"]
    return e.Catalogue(
        nails=(
            _nail("stitch", "12d common 0.148 × 3¼ in", stitch["D_in"], stitch["L_in"], "bright"),
            _nail("block", "10d common 0.148 × 3 in", block["D_in"], block["L_in"], "hot-dip"),
            _nail("toenail", "16d common 0.162 × 3½ in", toenail["D_in"], toenail["L_in"], "bright"),
            _nail("sheathing", "8d common 0.131 × 2½ in", 0.131, 2.5, "hot-dip"),
        ),
        lags=(
            e.LagScrew(
                key="lag",
                name=lag["name"],
                diameter_in=lag["D_in"],
                root_diameter_in=lag["D_r_in"],
                length_in=lag["L_in"],
                thread_in=lag["thread_T_in"],
                tip_in=lag["tip_E_in"],
                finish="hot-dip",
            ),
        ),
        evaluated=(
            _evaluated(
                "screw",
                "through-plate screw",
                evaluated_values.USE_THROUGH_PLATES,
                screw["reference_lb"],
                "C_D 1.0",
                report="EXAMPLE-1",
                issued="2023-01-01",
                expires="2026-12-31",
                species=tuple(screw["species"]),
                diameter_in=screw["D_in"],
                length_in=screw["L_in"],
                minimum_penetration_in=screw["min_penetration_in"],
                minimum_edge_in=screw["min_edge_distance_in"],
                pilot_in=screw["pilot_in"],
                washer_in=screw["washer_in"],
            ),
            _evaluated(
                "angle",
                "framing angle",
                evaluated_values.USE_FRAMING_ANGLE,
                evaluated["framing_angle"]["allowable_lb"],
                "already 1.6",
                species=("Douglas Fir-Larch",),
                diameter_in=0.148,
            ),
            _evaluated(
                "tie-down",
                "tie-down",
                evaluated_values.USE_TIE_DOWN,
                evaluated["tie_down"]["allowable_lb"],
                "already 1.6",
                species=("any",),  # the worked house names none
            ),
            *(
                _evaluated(
                    f"anchor {diameter}",
                    "sill anchor",
                    evaluated_values.USE_SILL_ANCHOR,
                    value_lb,
                    "ASD seismic, C_D not applied",
                    diameter_in=float(diameter),
                    embedment_in=evaluated["new_anchor_shear"]["embedment_in"],
                    minimum_concrete_psi=evaluated["new_anchor_shear"]["min_fc_psi"],
                )
                for diameter, value_lb in evaluated["new_anchor_shear"]["allowable_lb_by_d_in"].items()
            ),
            _evaluated(
                "tie-down anchor",
                "tie-down anchor",
                evaluated_values.USE_TIE_DOWN_ANCHOR,
                evaluated["tie_down_anchor"]["allowable_lb"],
                "ASD seismic, C_D not applied",
                diameter_in=evaluated["tie_down_anchor"]["rod_d_in"],
                embedment_in=8.0,
                minimum_concrete_psi=evaluated["tie_down_anchor"]["min_fc_psi"],
            ),
        ),
        bar_stock_in=(),
    )


def wall_line(label: str, given: dict[str, Any], anchor_in: float) -> e.WallLine:
    along, coord, length = given["dir"], given["coord_ft"], given["length_ft"]
    framing = GIVEN["framing"]
    members = {
        name: e.Member(species=m["species"], specific_gravity=m["G"], basis=m["basis"], treated=m["treated"])
        for name, m in framing["members"].items()
    }
    plates_in = tuple(framing["top_plates_in"])
    stud_ft = (12 * GIVEN["geometry"]["cripple_wall_height_ft"] - sum(plates_in) - framing["sill_thickness_in"]) / 12
    stud_depth_in = framing["plate_width_in"]
    as_found = WORKED["inputs"]["as_found_line_A"]["floor_to_top_plate"] if label == "A" else None
    return e.WallLine(
        label=label,
        start_ft=(0.0, coord) if along == "x" else (coord, 0.0),
        end_ft=(length, coord) if along == "x" else (coord, length),
        segments=tuple(
            e.Segment(kind=s["kind"], from_ft=s["from_ft"], to_ft=s["to_ft"], stud_height_ft=stud_ft)
            for s in given["segments"]
        ),
        panels=_spans(given["panels_ft"]),
        sill_pieces=_spans(given["sill_pieces_ft"]),
        plate_laps_ft=LAPS_FT[label],
        lower_plate_laps_ft=(),  # in one piece
        openings=tuple(
            e.Span(from_ft=o["from_ft"], to_ft=o["to_ft"], label=o["what"]) for o in given.get("openings", [])
        ),
        framing=e.Framing(
            **members,
            plates_in=plates_in,
            plate_width_in=framing["plate_width_in"],
            stud_depth_in=stud_depth_in,
            stud_thickness_in=1.5,
            stud_centrelines_in=tuple(
                framing["stud_spacing_in"] * n for n in range(int(12 * length / framing["stud_spacing_in"]) + 1)
            ),
            sill_thickness_in=framing["sill_thickness_in"],
            sill_width_in=5.5 if given["sill_wider_than_studs"] else stud_depth_in,
            sill_bearing_psi=framing["Fc_perp_sill_psi"],
            rim_thickness_in=framing["rim_or_end_joist_thickness_in"],
            rim_depth_in=framing["rim_or_end_joist_depth_in"],
            rim_set_back_in=framing["rim_set_back_in"],
            joists="parallel" if given["joists"].startswith("parallel") else "perpendicular",
            floor_edge="end joist" if given["joists"].startswith("parallel") else "rim joist",
            top_nails_reach=given["panel_top_nails_end_in"],
            jig_bears_on=framing["jig_bears_on"],
            headroom_in=HEADROOM_IN,
            ceiling_finish="plaster",
        ),
        foundation=e.Foundation(
            material="concrete",
            concrete_psi=GIVEN["concrete"]["fc_psi"],
            concrete_basis=GIVEN["concrete"]["basis"],
            condition=GIVEN["concrete"]["condition"],
            section_loss_percent=0.0,
            accepted_by="the engineer of the example",
        ),
        sheathing=e.Sheathing(
            grade="Sheathing",
            thickness="15/32",
            nail="8d",
            nail_diameter_in=0.131,
            nail_length_in=2.5,
            finish="hot-dip",
        ),
        end_post=e.EndPost(
            width_in=GIVEN["end_posts"]["width_along_wall_in"],
            depth_in=GIVEN["end_posts"]["depth_in"],
            rod_from_end_in=GIVEN["end_posts"]["tie_down_rod_from_panel_end_in"],
            compression_from_end_in=GIVEN["end_posts"]["compression_centroid_from_panel_end_in"],
        ),
        existing_anchors=tuple(
            e.ExistingAnchor(
                at_ft=a["pos_ft"],
                diameter_in=a["d_in"],
                embedment_in=a["embedment_in"],
                edge_in=a["edge_in"],
                end_in=a["end_in"],
                accepted=a["accepted"],
                reason=a["why"],
            )
            for a in given["existing_anchors"]
        ),
        as_found=(
            e.AsFoundNailing(
                link="1",
                nail=_nail("8d", "8d common 0.131 × 2½ in", as_found["D_in"], as_found["L_in"], "bright"),
                spacing_in=as_found["spacing_in"],
                toenail=True,
            ),
        )
        if as_found
        else (),
        dead_loads=tuple(e.DeadLoad(label=name, weight_plf=plf) for name, plf in given["dead_load_items_plf"]),
        floor_sheathing=given["link0"]["floor_sheathing"],
        link_0_accepted_by="the engineer of the example",
        methods=e.LinkMethods(
            floor_to_plate="screw",
            alternatives=("angle", "toenail", "lag"),
            stitch_nail="stitch",
            splice_nail="stitch",
            block_nail="block",
            sill_anchor=f"anchor {anchor_in:g}",
            tie_down="tie-down",
            tie_down_anchor="tie-down anchor",
        ),
    )


def _spans(given: list[list[float]]) -> tuple[e.Span, ...]:
    return tuple(e.Span(from_ft=float(a), to_ft=float(b)) for a, b in given)


def _nail(key: str, name: str, diameter_in: float, length_in: float, finish: str) -> e.Nail:
    return e.Nail(key=key, name=name, kind="common", diameter_in=diameter_in, length_in=length_in, finish=finish)


def _evaluated(key: str, kind: str, use: str, value_lb: float, basis: str, **more: Any) -> e.EvaluatedConnector:
    return e.EvaluatedConnector(
        **{
            "key": key,
            "name": f"{key}, invented for the example",
            "kind": kind,
            "report": "EXAMPLE-4",
            "issued": "2024-01-01",
            "expires": "2027-12-31",
            "use": use,
            "species": (),
            "value_lb": value_lb,
            "value_basis": basis,
            "diameter_in": 0.625,
            **more,
        }
    )
