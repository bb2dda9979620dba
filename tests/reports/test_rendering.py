"""One section to PDF: only what is ours, all of it, the same bytes each time."""

from __future__ import annotations

import gc
import io

import pikepdf
import pytest
from fontTools.ttLib import TTFont

from reports import rendering
from reports.rendering import ASSETS, NotRenderable, fingerprint, html_to_pdf, render_section
from tests.reports.papers import SQUARE, section, text_of


def test_a_section_gives_the_same_bytes_each_time():
    one = section(body='<h1>½ ″ × ≤ √ ρ ☐</h1><img src="drawing:plan">', drawings={"plan": SQUARE})
    assert render_section(one) == render_section(one)


def test_text_can_be_read_back_with_its_signs():
    text = text_of(render_section(section(body="<p>12′-6 ½″ × 4 ≤ √ρ ☐ ¼ ¾ ⅛ ≥ θ</p>")))
    assert "12′-6 ½″ × 4 ≤ √ρ ☐ ¼ ¾ ⅛ ≥ θ" in text


def test_only_the_shipped_family_is_used_and_embedded():
    drawing = SQUARE.replace("</svg>", '<text y="9" font-family="Stemwall Sans">3½</text></svg>')
    pdf = pikepdf.Pdf.open(
        io.BytesIO(render_section(section(body='<b>b</b><i>i</i><img src="drawing:a">', drawings={"a": drawing})))
    )
    fonts = [font for font in pdf.objects if isinstance(font, pikepdf.Dictionary) and font.get("/Type") == "/Font"]
    names = {str(font.BaseFont) for font in fonts}
    assert len(names) >= 3
    assert all("Stemwall-Sans" in name for name in names)


@pytest.mark.parametrize("file", sorted((ASSETS / "fonts").glob("*.ttf")), ids=lambda file: file.stem)
def test_shipped_fonts_have_the_trade_signs_and_tabular_figures(file):
    font = TTFont(file)
    glyphs = font.getBestCmap()
    assert [sign for sign in "½¼¾⅛⅜⅝⅞″′×≤≥√ρθ°±☐☒·–−²³" if ord(sign) not in glyphs] == []
    assert len({font["hmtx"][glyphs[ord(digit)]][0] for digit in "0123456789"}) == 1


@pytest.mark.parametrize(
    ("body", "said"),
    [
        ('<img src="drawing:elevation">', "drawing:elevation"),
        ('<img src="https://example.org/a.png">', "https://example.org/a.png"),
        ('<img src="file:///etc/hostname">', "file:///etc/hostname"),
        ('<img src="asset:../../settings.py">', "asset:../../settings.py"),
        ('<img src="asset:nothing.ttf">', "asset:nothing.ttf"),
        ('<link rel="stylesheet" href="http://example.org/a.css">', "http://example.org/a.css"),
        ('<img src="picture.png">', "picture.png"),
        ('<img src="drawing:broken">', "drawing:broken"),
        ('<a href="#nowhere">see</a>', "#nowhere"),
        ('<img src="photo:stairs">', "photo:stairs"),
        ("<style>@font-face { font-family: Fancy; src: url(asset:fonts/fancy.ttf) }</style>", "asset:fonts/fancy.ttf"),
        ('<p style="font-family: monospace">x</p>', "font “"),
        ("<p>陳</p>", "no sign for '陳'"),
    ],
)
def test_what_is_missing_stops_the_page_by_name(body, said):
    with pytest.raises(NotRenderable, match=r"^Sheet S1.0, Sheet elevations: ") as caught:
        render_section(section("elevations", body=body, drawings={"broken": "<svg"}))
    assert said in str(caught.value)


def test_the_network_is_never_asked(monkeypatch):
    opened = []
    monkeypatch.setattr("socket.socket.connect", lambda *args: opened.append(args))
    with pytest.raises(NotRenderable):
        html_to_pdf('<img src="http://127.0.0.1:9/a.png">', {}, what="page")
    assert opened == []


def test_garbage_collection_is_on_again_even_after_a_failure():
    with pytest.raises(NotRenderable):
        html_to_pdf('<img src="drawing:none">', {}, what="page")
    assert gc.isenabled()


def test_a_section_is_named_by_all_its_inputs_and_by_the_renderer():
    one = section(drawings={"plan": SQUARE})
    others = [
        section(drawings={"plan": SQUARE + " "}),
        section(body="<p>Cover.</p>", drawings={"plan": SQUARE}),
        section(sheet="S1.1", drawings={"plan": SQUARE}),
        section(page_size="24x36", drawings={"plan": SQUARE}),
    ]
    names = {each.sha256("renderer") for each in [one, *others]} | {one.sha256("another renderer")}
    assert len(names) == 6
    assert section(drawings={"plan": SQUARE}).sha256("renderer") == one.sha256("renderer")


def test_numbers_that_are_not_numbers_have_no_name():
    with pytest.raises(ValueError, match="not JSON compliant"):
        section(context={"body": float("nan")}).sha256("renderer")


def test_the_fingerprint_follows_the_templates(monkeypatch, tmp_path):
    before = fingerprint.__wrapped__()
    (tmp_path / "documents").mkdir()
    (tmp_path / "base.html").write_text("other")
    monkeypatch.setattr(rendering, "TEMPLATES", tmp_path)
    assert fingerprint.__wrapped__() != before


@pytest.mark.parametrize(("page_size", "size_in"), [("letter", (8.5, 11.0)), ("24x36", (36.0, 24.0))])
def test_plan_sheets_and_letter_pages_have_their_sizes(page_size, size_in):
    pdf = pikepdf.Pdf.open(io.BytesIO(render_section(section(page_size=page_size))))
    width, height = (float(edge) / 72 for edge in pdf.pages[0].mediabox[2:])
    assert (width, height) == pytest.approx(size_in)
