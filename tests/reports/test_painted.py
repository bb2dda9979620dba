"""A drawing painted into the page looks as its SVG does, and its letters are the page's own."""

from __future__ import annotations

import io
import subprocess

import pikepdf
import pytest
from PIL import Image, ImageChops, ImageFilter

from reports.drawings import svg
from reports.drawings.sheet import ACCENT_GROUND, ADDED, EXISTING, HIDDEN, INK, NEW, Sheet
from reports.rendering import NotRenderable, render_section
from tests.reports.papers import section, text_of
from tests.servers import need

DOTS_AN_INCH = 100


def sheet() -> Sheet:
    """One of everything."""
    drawn = Sheet(scale=1 / 24, title="Everything", scale_name="1/2″ = 1′-0″")
    drawn.line(HIDDEN, (0, 0), (96, 10))
    drawn.polyline(NEW, [(0, 20), (30, 50), (60, 20)])
    drawn.polyline(ADDED, [(70, 20), (85, 50), (100, 20)], closed=True, fill=ACCENT_GROUND)
    drawn.rectangle(EXISTING, (0, 60), (20, 80), fill=INK, stroked=False)
    drawn.circle(NEW, (40, 70), 8)
    drawn.circle(ADDED, (64, 70), 8, fill=INK)
    drawn.arc(NEW, (90, 70), 10, 20, 290)
    drawn.arc(ADDED, (120, 70), 10, 300, 30)
    drawn.hatch_rectangle((110, 20), (130, 50))
    drawn.dimension((0, 0), (96, 0), -12)
    drawn.dimension((130, 20), (130, 50), 140, vertical=True)
    drawn.text((70, 90), "Wall line A, 12′-6 1/2″", anchor="middle", bold=True)
    drawn.text((10, 40), "turned", rotation_deg=90, halo=True)
    drawn.text((130, 100), "ends here", anchor="end", rotation_deg=-30)
    drawn.leader((40, 70), (60, 110), "a leader with a long text that is wrapped")
    drawn.scale_bar((0, -40))
    return drawn


def paper(drawing: str) -> bytes:
    return render_section(section(body='<img src="drawing:one"><b>Bold</b>', drawings={"one": drawing}))


def picture(pdf: bytes) -> Image.Image:
    command = [need("pdftoppm"), "-r", str(DOTS_AN_INCH), "-png", "-singlefile", "-"]
    done = subprocess.run(command, input=pdf, capture_output=True, check=True)
    return Image.open(io.BytesIO(done.stdout)).convert("L")


def test_it_looks_as_its_svg_does():
    drawing = svg.write(sheet())
    painted, read_back = picture(paper(drawing)), picture(paper("".join(drawing)))
    # Softened by a dot: edges may fall on either side of one, and kerning moves letters by less.
    soft = [image.filter(ImageFilter.BoxBlur(1)) for image in (painted, read_back)]
    difference = ImageChops.difference(*soft)
    assert difference.getextrema()[1] < 70
    blank = Image.new("L", painted.size, 255)
    assert ImageChops.difference(soft[0], blank).getextrema()[1] > 200  # there is something to see


def test_a_part_that_is_missing_would_be_seen():
    other = sheet()
    other.items = [item for item in other.items if getattr(item, "centre", None) != (90, 70)]
    other.line(HIDDEN, (0, 0), (96, 10))
    soft = [picture(paper(svg.write(drawn))).filter(ImageFilter.BoxBlur(1)) for drawn in (sheet(), other)]
    assert ImageChops.difference(*soft).getextrema()[1] > 70


def test_its_words_can_be_found_and_its_fonts_are_embedded_once():
    pdf = paper(svg.write(sheet()))
    assert {"Wall line A, 12′-6 1/2″", "turned", "Scale 1/2″ = 1′-0″ at full sheet size"} <= {
        line.strip() for line in text_of(pdf).replace("  ", "\n").splitlines()
    }
    with pikepdf.Pdf.open(io.BytesIO(pdf)) as opened:
        files = [item for item in opened.objects if isinstance(item, pikepdf.Stream) and "/Length1" in item]
    assert len(files) == 2


def test_the_same_drawing_gives_the_same_bytes():
    assert paper(svg.write(sheet())) == paper(svg.write(sheet()))


def test_a_letter_that_the_font_lacks_is_named():
    drawn = sheet()
    drawn.text((0, 0), "House of 陳")
    with pytest.raises(NotRenderable, match="no sign for '陳'"):
        paper(svg.write(drawn))
