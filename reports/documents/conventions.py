"""Where two engineers could differ: how this program reads it, printed with every calculation."""

from __future__ import annotations

CONVENTIONS = (
    (
        "Mass",
        "Weights act where they are: roof over its outline, floor and partitions over theirs, walls along their "
        "edges, a point weight in the strip that holds it. Strips end half-way between the lines that bound them.",
    ),
    ("Height", "What stands above mid-height of the braced wall counts; openings are not taken off."),
    (
        "Force level",
        "A reduced level acts on the horizontal effect only. The cap on short-period acceleration is not used "
        "unless the criteria say so. Redundancy follows from the bays where they can be shown, else "
        "1.3.",
    ),
    (
        "Panels",
        "Height from the bottom of the sill to the top of the upper plate; the ratio of height to length is that "
        "of the whole panel. Above 2 the 2b/h rule applies and shear is shared in proportion.",
    ),
    (
        "Nails",
        "Bearing to the whole penetration from ten diameters up, else the penetration less one diameter; never "
        "past the member's far face. Wood bearing strength to 50 psi as printed; lateral values are not rounded "
        "before factors.",
    ),
    ("Toenails", "Not above 150 plf in categories D to F, by the demand per foot where they stand."),
    ("Through-plate screws", "Out of plumb over the whole length; no credit between the plates."),
    (
        "Floor to plate, collector",
        "Checked for what the criteria name; connectors even over the line. Splice nails are besides the stitch nails.",
    ),
    (
        "Anchors",
        "Panel by panel, each on its own sill piece; at least two a panel and two a piece. Existing bolts count only "
        "when accepted, and in concrete only when the light-frame conditions are shown.",
    ),
    (
        "Overturning",
        "About the panel's end, arm to the rod; only dead load that the survey shows on that wall, 0.6 − 0.14 "
        "S_DS of it. The moment from the stories above is left out and printed.",
    ),
    ("Group action", "For splices, straps and tie-down bolts; not for sill bolts and rows from floor to plate."),
    (
        "Weakest link",
        "The highest ratio; at a tie the earlier link. A link with nothing in it is open and the line has no ratio.",
    ),
    ("Counts", "Rounded up to whole fasteners."),
)
