"""The DXF of a drawing, read back: true sizes in inches, dimensions that say what they measure, the same bytes."""

from __future__ import annotations

import io
import itertools

import ezdxf
import pytest
from ezdxf.bbox import extents

from engineering.feet_inches import parse_inches
from reports.documents import plan_set, schedule_rows
from reports.drawings import dxf, mass_plan, wall_line
from reports.drawings.lettering import CAPITAL_EMS
from reports.drawings.sheet import DIMENSION, EXISTING, HIDDEN, PAPER, TEXT, Sheet
from tests.reports import snapshots
from tests.reports.test_drawings import all_drawings, elevation

SIXTEENTH = 1 / 16


@pytest.fixture(scope="module")
def snapshot():
    return snapshots.snapshot()


def read_back(*sheets):
    return ezdxf.read(io.StringIO(dxf.write(*sheets).decode()))


def dimensions(document, kind):
    return [entity for entity in document.modelspace().query("DIMENSION") if entity.dimtype == kind]


def measured_in(entity):
    """What a reader measures between a dimension's own points."""
    measure = entity.get_measurement()
    if isinstance(measure, float):
        return measure
    return abs(measure.x if entity.dxf.dimtype & 64 else measure.y)


def test_every_drawing_opens_clean_and_is_written_the_same_twice(snapshot):
    for name, drawing in all_drawings(snapshot).items():
        assert dxf.write(drawing.sheet) == dxf.write(drawing.sheet), name
        audit = read_back(drawing.sheet).audit()
        assert not audit.errors, name
        assert not audit.fixes, name


def test_the_file_is_in_inches_and_shows_feet_and_inches(snapshot):
    document = read_back(elevation(snapshot, "A").sheet)
    header = document.header
    assert document.dxfversion == "AC1024"
    assert (header["$INSUNITS"], header["$MEASUREMENT"], header["$LUNITS"], header["$DIMLFAC"]) == (1, 0, 4, 1.0)
    assert header["$LTSCALE"] == pytest.approx(1 / elevation(snapshot, "A").sheet.scale)


@pytest.mark.parametrize("label", ["A", "B", "1", "2"])
def test_a_wall_is_as_long_in_the_file_as_in_the_survey(snapshot, label):
    line = schedule_rows.line_inputs(snapshot, label)
    document = read_back(elevation(snapshot, label).sheet)
    length_in = wall_line.length_in(line)
    assert any(measured_in(entity) == pytest.approx(length_in) for entity in dimensions(document, 0))
    boxes = [extents([entity]) for entity in document.modelspace().query('LWPOLYLINE[layer=="EXISTING"]')]
    depth_in = line["framing"]["rim_depth_in"]
    assert any(box.size.x == pytest.approx(length_in) and box.size.y == pytest.approx(depth_in) for box in boxes)


def test_every_dimension_says_what_it_measures(snapshot):
    drawings = all_drawings(snapshot) | {"short": elevation(snapshot, "2")}
    seen = 0
    for name in ("elevation", "inside", "plan", "short"):
        document = read_back(drawings[name].sheet)
        for entity in itertools.chain(dimensions(document, 0), dimensions(document, 6)):
            assert parse_inches(entity.dxf.text) == pytest.approx(measured_in(entity), abs=SIXTEENTH / 2 + 1e-9), name
            seen += 1
    assert seen > 100


def test_every_scheduled_place_stands_at_its_own_distance_from_the_datum(snapshot):
    document = read_back(elevation(snapshot, "A", "inside").sheet)
    measured = [measured_in(entity) for entity in dimensions(document, 6)]
    for role in ("floor to plate", "sill anchors", "tie-downs"):
        for place in wall_line.positions_in(schedule_rows.line_schedule(snapshot, "A"), role):
            assert any(at == pytest.approx(place) for at in measured), (role, place)


def test_texts_print_at_their_paper_size_at_the_sheets_scale():
    for scale in (1.0, 1 / 48):
        sheet = Sheet(scale, "lettering")
        sheet.text((0, 0), "plate lap", size_pt=7.5)
        sheet.text((0, 9), "on a wall {5}", size_pt=10.0, halo=True)
        space = read_back(sheet).modelspace()
        plain = next(entity for entity in space.query("TEXT") if entity.dxf.text == "plate lap")
        assert plain.dxf.height * scale * 72 == pytest.approx(7.5 * CAPITAL_EMS)
        note = space.query("MTEXT").first
        assert note.dxf.char_height * scale * 72 == pytest.approx(10.0 * CAPITAL_EMS)
        assert note.plain_text() == "on a wall {5}"


def test_layers_have_plain_names_and_the_sheets_lines(snapshot):
    document = read_back(*(drawing.sheet for drawing in all_drawings(snapshot).values()))
    names = [layer.dxf.name for layer in document.layers]
    assert len(names) < 20
    assert not any(set(name) & set('<>/\\":;?*|=`,') for name in names)
    hidden = document.layers.get(dxf.layer_name(HIDDEN))
    assert hidden.dxf.linetype == "EXISTING HIDDEN"
    assert document.linetypes.get("EXISTING HIDDEN").simplified_line_pattern() == pytest.approx((4 / 72, 2.5 / 72))
    assert document.layers.get(dxf.layer_name(DIMENSION)).color == 7


def test_paper_hides_what_lies_under_it_and_hatching_stays_hatching(snapshot):
    sheet = Sheet(1 / 12, "hidden")
    sheet.hatch_rectangle((0, 0), (40, 10), spacing_pt=5.0, angle_deg=30.0)
    sheet.rectangle(EXISTING, (2, 2), (4, 4), fill=PAPER)
    sheet.circle(EXISTING, (10, 5), 1.0, fill=PAPER)
    space = read_back(sheet).modelspace()
    hatch = space.query("HATCH").first
    line = hatch.pattern.lines[0]
    assert line.angle == 30.0
    assert line.offset.magnitude == pytest.approx(5 / 72 * 12)
    assert len(space.query("WIPEOUT")) == 2


def test_drawings_of_one_file_stand_apart_each_at_true_size():
    def foot(scale):
        sheet = Sheet(scale, "a foot")
        sheet.rectangle(EXISTING, (-3, 0), (9, 12))
        sheet.line(HIDDEN, (-3, 6), (9, 6))
        return sheet

    space = read_back(foot(1 / 4), foot(1 / 48)).modelspace()
    first, second = (extents([entity]) for entity in space.query("LWPOLYLINE"))
    assert (first.extmin.x, first.size.x, second.size.x) == pytest.approx((-3.0, 12.0, 12.0))
    assert second.extmin.x > first.extmax.x
    # The line type of the smaller scale is stretched so that its dashes print alike.
    assert [line.dxf.ltscale for line in space.query("LINE")] == pytest.approx([1.0, 12.0])


def test_a_plan_of_masses_is_written_too(snapshot):
    direction, lines = mass_plan.directions(snapshot["inputs"])[0]
    plan = mass_plan.draw(
        snapshot["inputs"],
        snapshot["result"]["picture"],
        lines,
        direction=direction,
        paper_width_in=7.0,
        paper_height_in=5.0,
    )
    assert not read_back(plan.sheet).audit().errors


def test_a_sheets_file_holds_what_is_drawn_to_scale(snapshot):
    section = next(sheet for sheet in plan_set.sections(snapshot, None) if sheet.sheet == "S2.A")
    space = ezdxf.read(io.StringIO(dxf.write(*dxf.to_scale(section.drawings.values())).decode())).modelspace()
    titles = [entity.dxf.text for entity in space.query("TEXT") if "seen from" in entity.dxf.text]
    assert titles == ['Wall line A, south side, seen from outside. Scale 3/4" = 1\'-0"']
    assert not any("Load path" in entity.dxf.text for entity in space.query("TEXT"))
    with pytest.raises(ValueError, match="no drawing"):
        dxf.write(*dxf.to_scale([section.drawings["load-path"]]))


def test_nothing_is_refused():
    with pytest.raises(ValueError, match="no drawing"):
        dxf.write()
    with pytest.raises(ValueError, match="nothing is drawn"):
        dxf.write(Sheet(1.0, "empty"))
    sheet = Sheet(1.0, "a word")
    sheet.text((0, 0), "word", layer=TEXT)
    assert dxf.write(sheet)
