"""Where two engineers could differ: the fourteen conventions as they are applied, and what this job chose of them."""

from __future__ import annotations

from typing import Any, Final

from reports.documents import figures

CONVENTIONS: Final[tuple[tuple[str, str], ...]] = (
    (
        "Mass",
        "Weights act where they are: roof over the roof's outline, floor and partitions over the floor's, walls along "
        "their edges, a point weight wholly in the strip that holds it. The floor is cut into rectangles at its "
        "re-entrant corners; each spans between the lines that bound it, strips end half-way. A rectangle's force "
        "enters the line along that rectangle's own edge.",
    ),
    ("Weight", "What stands above mid-height of the braced wall counts; openings are not taken off."),
    (
        "Cap, R, redundancy",
        "The cap of S_DS at 1.0 is off unless its conditions hold and the engineer turns it on. R of new panels under "
        "older stories asks for a legal basis that allows it and the engineer's acceptance. ρ is computed from its "
        "conditions; where they can't be shown it is 1.3 in categories D to F.",
    ),
    ("Reduced forces", "A reduced level acts on the horizontal effect only."),
    (
        "Panels",
        "Height from the bottom of the sill to the top of the upper plate. Height over length up to 2 is not reduced; "
        "above, up to 3.5, the 2b/h rule, and panels share the shear in proportion to their capacity.",
    ),
    (
        "Rounding",
        "Wood's bearing strength to the nearest 50 psi as printed; lateral values are not rounded before the factors; "
        "counts are rounded up.",
    ),
    (
        "Nails",
        "They bear on their whole penetration p from ten diameters up, else on p less one diameter, and p stops at the "
        "member's far face. A lag through two plates into the joist: the upper plate is the side member, root "
        "diameter where the shear plane is in the thread, p less half the tip. Toenails not above 150 plf in "
        "categories D to F, by the demand per foot where they stand, not the line's average.",
    ),
    (
        "Through-plate screws",
        "Out of plumb over the screw's whole length, with and without 1/16 in of placing error; no credit for the "
        "screw in the plane between the plates.",
    ),
    (
        "Story shear or diaphragm force",
        "Links 1 and 3 are computed for the story shear and beside it for the diaphragm force F_px with its least "
        "value and the quarter more at re-entrant corners (ρ = 1 on the diaphragm's own part; walls parallel to the "
        "force included; the quarter on all lines of the level). Connectors stand evenly over the line. Splice nails "
        "are besides the stitch nails.",
    ),
    (
        "Anchors",
        "Counted by panel on its own sill piece: each panel's anchors carry that panel's share, and a bolt outside "
        "counts only through a sill piece checked as a drag member. A panel across a sill joint is shared by length. "
        "Old bolts count zero until they are accepted, and zero in the concrete until the light-frame conditions are "
        "shown. The tie-down's anchor is compared with a value that holds what the concrete standard asks.",
    ),
    (
        "Overturning",
        "About the panel's end, arm to the tie-down's rod; 0.6 D − 0.14 S_DS D of the dead load that the survey shows "
        "on that wall and no other. The moment from the stories above is left out and printed.",
    ),
    (
        "Rigid diaphragm",
        "k = 1000·G_a·b/h summed over a line's panels; torsion that relieves a line is not used; A_x as the standard "
        "says.",
    ),
    (
        "Group action, treated wood",
        "Group action for splices, straps and tie-down bolts, not for sill bolts and rows from floor to plate. "
        "Fasteners into treated sills are hot-dip or stainless.",
    ),
    (
        "Joints, pieces, weakest link",
        "3x framing at a joint by the nominal unit shear that is required there. Pieces smaller than 4 × 8 ft because "
        "of the access opening: all edges blocked, and the engineer's acceptance. The weakest link has the highest "
        "ratio, at a tie the earlier; a link with nothing in it is open and the line has no ratio.",
    ),
)


def rows(snapshot: dict[str, Any]) -> list[dict[str, str]]:
    """Number, title and words of each, and what the criteria sheet of this job chose where it leaves a choice."""
    chosen = _chosen(snapshot)
    return [
        {"number": str(number), "title": title, "text": text, "chosen": chosen.get(number, "")}
        for number, (title, text) in enumerate(CONVENTIONS, start=1)
    ]


def _chosen(snapshot: dict[str, Any]) -> dict[int, str]:
    criteria, demand = snapshot["inputs"]["criteria"], snapshot["result"]["demand"]
    values = {step["key"]: step["value"] for step in demand["steps"]}
    accepted = criteria["system_accepted_by"]
    redundancy = "given" if criteria["redundancy"] is not None else "from its conditions"
    force = "the diaphragm force F_px" if criteria["diaphragm_force_governs"] else "the story shear"
    pieces = sorted(
        line["label"]
        for line in snapshot["result"]["lines"]
        for link in line["links"]
        if any("pieces smaller than 4 × 8 ft" in note for note in link["check"]["notes"])
    )
    return {
        3: f"cap {'on' if criteria['s_ds_cap'] else 'off'}; R = {criteria['response_modification']:g}, "
        f"{f'accepted by {accepted}' if accepted else 'not accepted under older stories'}; "
        f"ρ = {values['rho']:g}, {redundancy}",
        4: f"{criteria['force_level']}, factor {criteria['force_factor']:g}",
        8: "no credit between the plates",
        9: f"{force} governs; connectors not more than "
        f"{figures.length(criteria['maximum_connector_spacing_in'])} apart",
        10: f"at least {criteria['anchors_per_panel']} a panel and {criteria['anchors_per_piece']} a piece, one in a "
        f"piece under {figures.length(criteria['one_anchor_under_in'])}",
        11: "the moment from above is left out",
        12: f"{criteria['diaphragm']} diaphragm",
        14: f"pieces smaller than 4 × 8 ft on lines {', '.join(pieces)}"
        if pieces
        else "no piece smaller than 4 × 8 ft",
    }
