"""One wall line's rows as engineering takes them. Not a strength formula, not the house.

A fact that the rows do not hold is "not observed"; what no calculation can do without is collected by Facts.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from engineering import inputs
from engineering.errors import OutOfRange
from engineering.inputs import NOT_OBSERVED
from engineering.wall_line_inputs import ACCEPTED
from jobs import connector_inputs
from jobs.errors import Refused
from jobs.models import BARE, AsFoundNailing, Company, Connector, CriteriaSheet, LineChoice, PlateOf, Strut, WallLine
from jobs.models.wall_lines import MEMBERS

SHEATHING_NAILS = {(0.113, 2.0): "6d", (0.131, 2.5): "8d", (0.148, 3.0): "10d"}
METHODS = {
    "floor_to_plate": "floor to top plate",
    "stitch_nail": "stitch nail",
    "splice_nail": "splice nail",
    "block_nail": "sill block nail",
    "sill_anchor": "sill anchor",
    "tie_down": "tie-down",
    "tie_down_anchor": "tie-down anchor",
}
OPTIONAL_METHODS = ("blocking_nail", "side_connection", "strut_splice")  # only some lines need them


class Facts:
    """Reads required values and remembers every one that is missing."""

    def __init__(self) -> None:
        self.missing: list[str] = []

    def need(self, row: Any, field: str, where: str, *, what: str = "") -> Any:
        value = getattr(row, field)
        if value in (None, "", []):
            self.missing.append(f"{where}: {what or field.removesuffix('_in').replace('_', ' ')} is missing.")
        return value

    def refuse_if_missing(self) -> None:
        if self.missing:
            raise Refused(*self.missing)


def observed(value: Any) -> Any:
    """The value, or "not observed" where the row holds none."""
    return NOT_OBSERVED if value in (None, "") else value


def need_line_facts(facts: Facts, lines: list[WallLine], choices: dict[int, LineChoice]) -> None:
    for line in lines:
        where = str(line)
        for field in ("top_plate_count", "plate_width_in", "stud_depth_in", "stud_thickness_in", "stud_centrelines_in",
                      "sill_thickness_in", "sill_width_in", "sill_bearing_psi", "rim_thickness_in", "rim_depth_in",
                      "rim_set_back_in", "joists", "foundation_material"):  # fmt: skip
            facts.need(line, field, where)
        for field in ("lower_plate_in", "upper_plate_in")[: line.top_plate_count or 0]:
            facts.need(line, field, where)
        if not line.segments.exists():
            facts.missing.append(f"{where}: no segment of the wall has been measured.")
        choice = choices.get(line.pk)
        if choice is None:
            facts.missing.append(f"{where}: no methods have been chosen for this job.")
            continue
        for field, what in METHODS.items():
            facts.need(choice, field, where, what=f"the choice of {what}")
        for field in ("end_post_width_in", "end_post_depth_in", "rod_from_end_in", "compression_from_end_in"):
            facts.need(choice, field, where)


def wall_line(line: WallLine, choice: LineChoice, sheet: CriteriaSheet, company: Company) -> inputs.WallLine:
    """The line; a value that can't be is refused under the line's label, so that a page can lead there."""
    try:
        return _wall_line(line, choice, sheet, company)
    except OutOfRange as problem:
        raise OutOfRange(f"lines.{line.label}.{problem.field}", problem.value, problem.allowed) from problem


def _wall_line(line: WallLine, choice: LineChoice, sheet: CriteriaSheet, company: Company) -> inputs.WallLine:
    return inputs.WallLine(
        label=line.label,
        start_ft=(line.start_x_ft, line.start_y_ft),
        end_ft=(line.end_x_ft, line.end_y_ft),
        segments=tuple(
            inputs.Segment(kind=part.kind, from_ft=part.from_in / 12, to_ft=part.to_in / 12,
                           stud_height_ft=part.stud_height_in / 12, far_stud_height_ft=_feet(part.far_stud_height_in),
                           ground_slope=observed(part.ground_slope))
            for part in line.segments.all()
        ),
        panels=_spans(line.panels.all()),
        sill_pieces=_spans(line.sill_pieces.all()),
        plate_laps_ft=(
            _laps(line, PlateOf.UPPER) if line.plate_joints_observed else NOT_OBSERVED
        ),
        openings=_spans(line.openings.all()),
        framing=_framing(line, company),
        foundation=inputs.Foundation(
            material=line.foundation_material,
            concrete_psi=observed(line.concrete_psi),
            concrete_basis=line.concrete_basis,
            condition=observed(line.foundation_condition),
            section_loss_percent=observed(line.section_loss_percent),
            crack_in=observed(line.crack_width_in),
            face=observed(line.foundation_face),
            width_in=observed(line.foundation_width_in),
            depth_in=observed(line.foundation_depth_in),
            accepted_by=line.foundation_accepted_by.display_name if line.foundation_accepted_by else "",
        ),
        sheathing=_sheathing(line, choice.sheathing_grade, choice.sheathing_thickness, choice.sheathing_nail,
                             choice.sheathing_panel),
        end_post=inputs.EndPost(
            width_in=choice.end_post_width_in, depth_in=choice.end_post_depth_in,
            rod_from_end_in=choice.rod_from_end_in, compression_from_end_in=choice.compression_from_end_in,
            member=_end_post_member(choice), modulus_psi=choice.end_post_modulus_psi,
        ),
        existing_anchors=tuple(
            inputs.ExistingAnchor(
                at_ft=anchor.at_in / 12, diameter_in=anchor.diameter_in, embedment_in=observed(anchor.embedment_in),
                edge_in=observed(anchor.edge_in), end_in=observed(anchor.end_in), accepted=anchor.accepted,
                reason=anchor.reason, washer_in=observed(anchor.washer_in),
                washer_thickness_in=observed(anchor.washer_thickness_in),
            )
            for anchor in line.existing_anchors.all()
        ),
        as_found=tuple(
            inputs.AsFoundNailing(link=found.link, nail=connector_inputs.nail(found.nail), spacing_in=found.spacing_in,
                                  toenail=found.toenail, **_accepted_nailing(found))
            for found in line.as_found_nailing.select_related("nail")
        ),
        dead_loads=tuple(
            inputs.DeadLoad(label=load.label, weight_plf=load.weight_plf) for load in line.dead_loads.all()
        ),
        floor_sheathing=observed(line.link_0_floor_sheathing),
        link_0_accepted_by=sheet.confirmed_by.display_name if sheet.is_confirmed and sheet.link_0_accepted else "",
        methods=inputs.LinkMethods(
            **{field: getattr(choice, field).key for field in METHODS},
            alternatives=tuple(choice.alternatives.order_by("key").values_list("key", flat=True)),
            wide_sill=choice.wide_sill,
            floor_to_plate_by=choice.floor_to_plate_by,
            open_outside=choice.open_outside,
            **{field: _key(getattr(choice, field)) for field in OPTIONAL_METHODS},
        ),
        other_face=_other_face(line, choice),
        edge_spacing_in=choice.edge_spacing_in,
        found_sheathing=tuple(
            inputs.FoundSheathing(
                material=found.material, from_ft=found.from_in / 12, to_ft=found.to_in / 12,
                bottom_edge=observed(found.bottom_edge), accepted=found.accepted, reason=found.reason,
                allowable_plf=found.allowable_plf, source=found.source,
            )
            for found in line.found_sheathing.all()
        ),
        lower_plate_laps_ft=_laps(line, PlateOf.LOWER) if line.lower_plate_joints_observed else NOT_OBSERVED,
        plates_unseen=_spans(line.unseen_plates.all()),
        struts=tuple(
            inputs.Strut(end=strut.end, length_ft=strut.length_in / 12, thickness_in=strut.thickness_in,
                         depth_in=strut.depth_in, tension_psi=strut.tension_psi, basis=strut.basis,
                         lap_in=observed(strut.lap_in), member=_strut_member(strut))
            for strut in line.struts.all()
        ),
    )  # fmt: skip


def _feet(length_in: float | None) -> float | None:
    return None if length_in is None else length_in / 12


def _accepted_nailing(found: AsFoundNailing) -> dict[str, str]:
    """What stands behind nails that nobody saw: the edition that the engineer takes, by name and reason."""
    if found.accepted_by is None:
        return {}
    return {
        "basis": f"{ACCEPTED}{found.edition}",
        "reason": found.reason,
        "accepted_by": found.accepted_by.display_name,
    }


def _end_post_member(choice: LineChoice) -> inputs.Member | None:
    if not choice.end_post_species:
        return None
    return inputs.Member(
        species=choice.end_post_species, specific_gravity=choice.end_post_specific_gravity,
        basis="new lumber as ordered",
    )  # fmt: skip


def _strut_member(strut: Strut) -> inputs.Member | inputs.NotObserved:
    if not strut.species:
        return NOT_OBSERVED
    return inputs.Member(species=strut.species, specific_gravity=strut.specific_gravity, basis=strut.basis)


def _key(connector: Connector | None) -> str:
    return connector.key if connector else ""


def _laps(line: WallLine, plate: PlateOf) -> tuple[float, ...]:
    return tuple(joint.at_in / 12 for joint in line.plate_joints.all() if joint.plate == plate)


def _spans(rows: Iterable[Any]) -> tuple[inputs.Span, ...]:
    return tuple(
        inputs.Span(from_ft=row.from_in / 12, to_ft=row.to_in / 12, label=getattr(row, "label", "")) for row in rows
    )


def _framing(line: WallLine, company: Company) -> inputs.Framing:
    members = {name: _member(line, name, company) for name in MEMBERS}
    return inputs.Framing(
        **members,
        plates_in=(line.lower_plate_in, line.upper_plate_in)[: line.top_plate_count],
        plate_width_in=line.plate_width_in,
        lower_plate_width_in=line.lower_plate_width_in,
        plate_tension_psi=observed(line.plate_tension_psi),
        stud_depth_in=line.stud_depth_in,
        stud_thickness_in=line.stud_thickness_in,
        stud_centrelines_in=tuple(float(at) for at in line.stud_centrelines_in),
        sill_thickness_in=line.sill_thickness_in,
        sill_width_in=line.sill_width_in,
        sill_bearing_psi=line.sill_bearing_psi,
        rim_thickness_in=line.rim_thickness_in,
        rim_depth_in=line.rim_depth_in,
        rim_set_back_in=line.rim_set_back_in,
        joists=line.joists,
        top_nails_reach=observed(line.top_nails_reach),
        jig_bears_on=observed(line.jig_bears_on),
        headroom_in=observed(line.headroom_in),
        ceiling_finish=line.ceiling_finish,
        floor_edge=observed(line.floor_edge),
        joist_spacing_in=observed(line.joist_spacing_in),
        outside_finish="" if line.outside_finish == BARE else observed(line.outside_finish),
        moisture=observed(line.moisture),
        sill_edge_in=observed(line.sill_edge_in),
        sill_gap_in=observed(line.sill_gap_in),
        side_set_back_in=observed(line.side_set_back_in),
    )


def _member(line: WallLine, name: str, company: Company) -> inputs.Member:
    treated = bool(line.sill_treated) if name == "sill" else False
    species, gravity = getattr(line, f"{name}_species"), getattr(line, f"{name}_specific_gravity")
    if species and gravity is not None:
        basis = getattr(line, f"{name}_basis")
        return inputs.Member(species=species, specific_gravity=gravity, basis=basis, treated=treated)
    year = line.house.year_built
    rows = [
        row
        for row in company.species_list
        if year is None or (row["built_from"] or 0) <= year <= (row["built_to"] or 9999)
    ]
    if not rows:
        raise Refused(
            f"{line}: the species of the {name} was not observed, and the company's species list has none for a house "
            f"of {year or 'unknown age'}."
        )
    lowest = min(rows, key=lambda row: row["specific_gravity"])
    return inputs.Member(
        species=lowest["species"],
        specific_gravity=lowest["specific_gravity"],
        basis=f"assumed, not observed: the lowest of the company's list for a house of {year or 'unknown age'}",
        treated=treated,
    )


def _sheathing(line: WallLine, grade: str, thickness: str, nail: Connector, panel: str) -> inputs.Sheathing:
    penny = SHEATHING_NAILS.get((nail.diameter_in, nail.length_in))
    if penny is None:
        raise Refused(
            f"{line}: {nail} is not a nail of the shear panel table; 6d (0.113 × 2 in), 8d (0.131 × 2½ in) and "
            "10d (0.148 × 3 in) are."
        )
    return inputs.Sheathing(
        grade=grade, thickness=thickness, nail=penny, panel=observed(panel),
        nail_diameter_in=nail.diameter_in, nail_length_in=nail.length_in, finish=nail.finish,
    )  # fmt: skip


def _other_face(line: WallLine, choice: LineChoice) -> inputs.Sheathing | None:
    if choice.other_face_nail is None:
        return None
    return _sheathing(
        line, choice.other_face_grade, choice.other_face_thickness, choice.other_face_nail, choice.sheathing_panel
    )


def connectors(lines: list[WallLine], choices: dict[int, LineChoice]) -> Iterable[Connector]:
    for line in lines:
        choice = choices[line.pk]
        yield choice.sheathing_nail
        yield from (getattr(choice, field) for field in METHODS)
        yield from filter(None, (getattr(choice, field) for field in (*OPTIONAL_METHODS, "other_face_nail")))
        yield from choice.alternatives.all()
        yield from (found.nail for found in line.as_found_nailing.select_related("nail"))
