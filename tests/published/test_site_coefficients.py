"""F_a and F_v against the cells of ASCE 7-16 with Supplement 1; each row of the fixture says how it is known."""

from __future__ import annotations

import pytest

from engineering.errors import OutOfRange
from engineering.inputs import MappedMotion
from engineering.site_coefficients import design_spectrum, spectrum
from tests.published.printed import rows

STUDY = "see 11.4.8"
OLD = "ASCE 7-05/7-10"
CELLS = rows("site_coefficients.csv")
F_A = [cell for cell in CELLS if cell["edition_table"] == "ASCE 7-16 Table 11.4-1"]
# Supplement 1 takes the place of the original table's row E.
F_V = [
    cell
    for cell in CELLS
    if cell["edition_table"].startswith(("ASCE 7-16 original Table 11.4-2", "ASCE 7-16 Supplement 1"))
    and (cell["site_class"] != "E" or "Supplement" in cell["edition_table"])
]
# Where the other coefficient's table has values for every class, so that one cell can be asked at a time.
CALM_S_S_G, CALM_S_1_G = 0.25, 0.1


def name(cell):
    known = "from memory" if cell["source_key"] == "MEM" else "read"
    return f"{cell['coefficient']} {cell['site_class']} at {cell['S_g']}, {known}"


def at(site_class, *, s_s=CALM_S_S_G, s_1=CALM_S_1_G):
    motion = MappedMotion(s_s_g=s_s, s_1_g=s_1, site_class=site_class, shear_wave_measured=True)
    return design_spectrum(motion, risk_category="II", code_family="2021")


@pytest.mark.parametrize("cell", [cell for cell in F_A if cell["value"] != STUDY], ids=name)
def test_f_a_is_the_printed_cell(cell):
    check = at(cell["site_class"], s_s=float(cell["S_g"]))
    assert check.step("Fa").value == float(cell["value"])


@pytest.mark.parametrize("cell", [cell for cell in F_V if cell["value"] != STUDY], ids=name)
def test_f_v_is_the_printed_cell(cell):
    check = at(cell["site_class"], s_1=float(cell["S_g"]))
    assert check.step("Fv").value == float(cell["value"])


@pytest.mark.parametrize("cell", [cell for cell in F_A + F_V if cell["value"] == STUDY], ids=name)
def test_a_cell_that_asks_for_a_study_is_refused(cell):
    field = "s_s" if cell["coefficient"] == "Fa" else "s_1"
    with pytest.raises(OutOfRange, match=r"11\.4\.8 asks for a site-specific study"):
        at(cell["site_class"], **{field: float(cell["S_g"])})


def test_there_are_as_many_cells_as_the_tables_have():
    assert (len(F_A), len(F_V)) == (6 * 6, 6 * 6)


@pytest.mark.parametrize(
    "cell",
    [c for c in CELLS if c["edition_table"].startswith(OLD) and (c["coefficient"], c["site_class"]) == ("Fa", "D")],
    ids=name,
)
def test_row_d_of_f_a_is_that_of_the_older_edition(cell):
    """A second witness: 7-16 kept this row, and the older table was read."""
    assert at("D", s_s=float(cell["S_g"])).step("Fa").value == float(cell["value"])


@pytest.mark.parametrize(
    ("s_ds", "s_d1", "letter"),
    [  # ASCE 7-16 Tables 11.6-1 and 11.6-2, as on a public permit record of a house (read)
        *((0.166, 0.01, "A"), (0.167, 0.01, "B"), (0.329, 0.01, "B"), (0.33, 0.01, "C"), (0.499, 0.01, "C")),
        *(
            (0.5, 0.01, "D"),
            (0.1, 0.066, "A"),
            (0.1, 0.067, "B"),
            (0.1, 0.133, "C"),
            (0.1, 0.199, "C"),
            (0.1, 0.2, "D"),
        ),
    ],
)
def test_the_category_is_the_more_severe_of_both_tables(s_ds, s_d1, letter):
    # Class B without a measurement has F_a = F_v = 1.0: two thirds of what is mapped.
    motion = MappedMotion(s_s_g=1.5 * s_ds, s_1_g=1.5 * s_d1, site_class="B")
    assert spectrum(motion, risk_category="II", code_family="2021").seismic_design_category == letter
