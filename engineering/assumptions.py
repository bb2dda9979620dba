"""What the calculation took where nobody looked, in words for the sheets. Not the values."""

from __future__ import annotations

from engineering import scope_screen
from engineering.inputs import NOT_OBSERVED, Building, HouseInputs, WallLine

LEAST_PARTITIONS_PSF = 10.0


def assumptions(inputs: HouseInputs) -> tuple[str, ...]:
    """One sentence for each fact that was not observed, and what was taken instead."""
    found = []
    if inputs.access_opening_in == NOT_OBSERVED:
        found.append("access opening not observed: panel pieces drawn as whole sheets")
    if unseen := scope_screen.unseen(inputs.scope):
        found.append(f"scope screen, not observed: {', '.join(unseen)}: taken as absent")
    found += _partitions(inputs.building)
    for line in inputs.lines:
        found += [f"line {line.label}: {sentence}" for sentence in _of_line(line)]
    return tuple(found)


def _partitions(building: Building) -> list[str]:
    """Floors whose partitions are taken lighter than the standard's least where partitions are to be counted."""
    floors = {"floor": building.unit_weights.partitions_psf}
    floors |= {story.label: story.partitions_psf for story in building.upper_stories}
    return [
        f"partitions on the {label} were taken as {given:g} psf: ASCE 7 12.7.2 asks for {LEAST_PARTITIONS_PSF:g} psf "
        "of floor or more where partitions are to be counted"
        for label, given in floors.items()
        if given < LEAST_PARTITIONS_PSF
    ]


def _of_line(line: WallLine) -> list[str]:
    framing, foundation, found = line.framing, line.foundation, []
    for name in ("sill", "studs", "plates", "rim", "block"):
        member = getattr(framing, name)
        if member.basis.startswith("assumed"):
            found.append(f"{name} {member.species}, G = {member.specific_gravity:g}: {member.basis}")
    if len(framing.plates_in) == 2 and framing.top_nails_reach == NOT_OBSERVED:
        found.append("where the panel's top nails end was not observed: taken as the lower plate")
    if framing.floor_edge == NOT_OBSERVED:
        found.append(
            "what stands on the plates at the floor's edge was not observed: taken as a joist along the line, of the "
            "size measured"
        )
    if line.plate_laps_ft == NOT_OBSERVED:
        found.append("laps of the upper plate were not observed: no splice is counted")
    if line.lower_plate_laps_ft == NOT_OBSERVED and len(framing.plates_in) == 2:
        found.append("joints of the lower plate were not observed: no splice nails are counted")
    if framing.jig_bears_on == NOT_OBSERVED:
        found.append("what the jig bears on was not observed: no through-plate screw is counted")
    if framing.headroom_in == NOT_OBSERVED:
        found.append("headroom was not observed: no through-plate screw is counted")
    if foundation.section_loss_percent == NOT_OBSERVED and foundation.material == "concrete":
        found.append("section loss of the foundation was not observed: no anchor is counted in it")
    if foundation.concrete_psi == NOT_OBSERVED:
        found.append("concrete strength was not observed: no evaluated anchor is counted")
    if framing.moisture == NOT_OBSERVED:
        found.append("moisture of the framing was not observed: taken as 19 % or less")
    if framing.sill_gap_in == NOT_OBSERVED:
        found.append("gap under the sill was not observed: taken as none")
    if framing.sill_edge_in == NOT_OBSERVED and line.sill_pieces:
        found.append("the sill's distance from the concrete's edge was not observed: taken as flush with it")
    if any(anchor.accepted and anchor.edge_in == NOT_OBSERVED for anchor in line.existing_anchors):
        found.append("where an accepted bolt stands across the sill was not observed: its washer is taken to lie on it")
    if line.floor_sheathing == NOT_OBSERVED:
        found.append("floor sheathing was not observed")
    if any(anchor.accepted and anchor.embedment_in == NOT_OBSERVED for anchor in line.existing_anchors):
        found.append(
            "embedment of an accepted bolt was not observed: 6 in taken on the wood side, nothing in the concrete"
        )
    if not line.dead_loads:
        found.append("no dead load on this wall was shown: none resists overturning")
    return found
