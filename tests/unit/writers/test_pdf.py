"""PDF files as PyMuPDF and pikepdf read them."""

import io

import numpy as np
import pikepdf
import pymupdf
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.errors import WriterError
from app.scene import metrics, palette
from app.scene.primitives import (
    Arc,
    ArcTo,
    Circle,
    CubicTo,
    Group,
    Line,
    LineTo,
    Path,
    Scene,
    Style,
    Text,
)
from app.writers import pdf, pdf_pen
from app.writers.pdf_fonts import font_files
from tests.long_run import examples
from tests.reading.measure import POINT, fit_circle, nearest, pdf_circles, pdf_curves, pdf_lines
from tests.unit.writers.scenes import INK, scene


def open_pdf(data: bytes) -> pikepdf.Pdf:
    return pikepdf.open(io.BytesIO(data))


# ISO 216 and ASME Y14.1 sizes in points: mm / 25.4 · 72, and 72 points to each inch.
PAPERS = {
    "A4": ((210.0, 297.0), (595.2756, 841.8898)),
    "A3": ((297.0, 420.0), (841.8898, 1190.5512)),
    "Letter": ((215.9, 279.4), (612.0, 792.0)),
    "Legal": ((215.9, 355.6), (612.0, 1008.0)),
    "Tabloid": ((279.4, 431.8), (792.0, 1224.0)),
}


@pytest.mark.parametrize("name", PAPERS)
def test_a_page_is_the_paper_to_the_point(name: str) -> None:
    size, points = PAPERS[name]
    with open_pdf(pdf.write([scene(size=size)])) as file:
        page = file.pages[0]
        for box in (page.obj.MediaBox, page.obj.CropBox):
            assert [float(value) for value in box] == pytest.approx([0.0, 0.0, *points], abs=1e-3)
        assert "/UserUnit" not in page.obj
        assert int(page.obj.get("/Rotate", 0)) == 0


def test_every_page_has_its_own_size() -> None:
    with open_pdf(pdf.write([scene(size=(100.0, 50.0)), scene(size=(254.0, 127.0))])) as file:
        sizes = [[float(v) * POINT for v in page.obj.MediaBox][2:] for page in file.pages]
    assert sizes[0] == pytest.approx([100.0, 50.0], abs=1e-4)
    assert sizes[1] == pytest.approx([254.0, 127.0], abs=1e-4)


def test_the_viewer_is_asked_not_to_scale() -> None:
    # ISO 32000-1, table 150, viewer preferences.
    with open_pdf(pdf.write([scene()])) as file:
        preferences = file.Root.ViewerPreferences
        assert preferences.PrintScaling == pikepdf.Name("/None")
        assert bool(preferences.PickTrayByPDFSize) is False
        assert preferences.Duplex == pikepdf.Name.Simplex


def test_title_and_subject_are_in_the_file_and_the_date_is_fixed() -> None:
    data = pdf.write([scene(title="Křídlo Ω", note="top face, mm")])
    with open_pdf(data) as file:
        assert str(file.docinfo["/Title"]) == "Křídlo Ω"
        assert str(file.docinfo["/Subject"]) == "top face, mm"
        assert str(file.docinfo["/CreationDate"]).startswith("D:20000101000000")
    with open_pdf(pdf.write([scene(title="one")], title="Two", subject="Three")) as file:
        assert (str(file.docinfo["/Title"]), str(file.docinfo["/Subject"])) == ("Two", "Three")


def test_the_same_pages_give_the_same_bytes_whatever_was_written_before() -> None:
    pages = [scene(Text((9.0, 9.0), "Ω", 4.0, palette.TEXT), Circle((50.0, 50.0), 5.0, palette.RAIL), title="Deck")]
    first = pdf.write(pages)
    pdf.write([scene(Text((9.0, 9.0), "other letters Ж", 4.0, palette.TEXT, bold=True))])
    assert pdf.write(pages) == first


@examples(25)
@given(
    centre=st.tuples(st.floats(20.0, 190.0), st.floats(20.0, 270.0)),
    diameter=st.floats(1.0, 200.0),
    shift=st.tuples(st.floats(-15.0, 15.0), st.floats(-15.0, 15.0)),
)
def test_circles_are_where_they_were_drawn(
    centre: tuple[float, float], diameter: float, shift: tuple[float, float]
) -> None:
    page = Scene(-5.0, 7.0, 205.0, 304.0, (Group((Circle(centre, diameter / 2, INK),), shift=shift),))
    x, y = centre[0] + shift[0] + 5.0, centre[1] + shift[1] - 7.0
    found = nearest(pdf_circles(pdf.write([page])), x, y, diameter)
    assert (found.x, found.y, found.diameter) == pytest.approx((x, y, diameter), abs=0.001)
    assert found.spread < 0.001
    assert found.width == pytest.approx(INK.width, abs=0.001)


def test_lines_arcs_and_curves_are_drawn_to_scale() -> None:
    steps = (LineTo((50.0, 20.0)), ArcTo((60.0, 30.0), (50.0, 30.0), 90.0), CubicTo((60, 40), (50, 50), (40, 50)))
    page = scene(Path((20.0, 20.0), steps, INK, closed=True), Arc((100.0, 100.0), 25.0, 30.0, 120.0, INK))
    lines = pdf_lines(pdf.write([page]))
    assert any(line == pytest.approx((20.0, 20.0, 50.0, 20.0), abs=1e-3) for line in lines)
    with pymupdf.open(stream=pdf.write([page])) as document:
        outline, arc = document[0].get_drawings()
        # The closing line runs from where the curve ended back to the start.
        assert any(line == pytest.approx((40.0, 50.0, 20.0, 20.0), abs=1e-3) for line in lines)
        assert {item[0] for item in outline["items"]} == {"l", "c"}
        assert {item[0] for item in arc["items"]} == {"c"}
    # An arc from 30° to 150° about (100, 100): between r·cos 30° each side, and from r/2 up to r.
    points = pdf_curves(pdf.write([page]))[-1]
    half = 25.0 * np.sqrt(3) / 2
    assert tuple(points.min(axis=0)) == pytest.approx((100 - half, 112.5), abs=2e-3)
    assert tuple(points.max(axis=0)) == pytest.approx((100 + half, 125.0), abs=2e-3)
    circle = fit_circle(points)
    assert (circle.x, circle.y, circle.diameter) == pytest.approx((100.0, 100.0, 50.0), abs=2e-3)


def test_style_reaches_the_page_and_does_not_leak_into_the_next_item() -> None:
    pale = Style(stroke="#ff0000", width=0.7, dash=(3.0, 1.0), fill="#00ff00", opacity=0.25)
    data = pdf.write([scene(Circle((50.0, 50.0), 20.0, pale), Circle((150.0, 50.0), 20.0, INK))])
    with pymupdf.open(stream=data) as document:
        first, second = document[0].get_drawings()
        assert first["color"] == pytest.approx((1.0, 0.0, 0.0))
        assert first["fill"] == pytest.approx((0.0, 1.0, 0.0))
        assert first["width"] * POINT == pytest.approx(0.7, abs=1e-4)
        assert first["stroke_opacity"] == pytest.approx(0.25)
        assert first["fill_opacity"] == pytest.approx(0.25)
        dashes = [float(v) * POINT for v in first["dashes"].split("]")[0].strip("[ ").split()]
        assert dashes == pytest.approx([3.0, 1.0], abs=1e-4)
        assert second["fill"] is None
        assert second["stroke_opacity"] == pytest.approx(1.0)
        assert second["dashes"] == "[] 0"
        assert second["width"] * POINT == pytest.approx(INK.width, abs=1e-4)


def test_what_several_pages_have_in_common_is_drawn_on_each_of_them_alike() -> None:
    """A group of all pages, after pale ink or not, in a window elsewhere: its lines and words are where they belong."""
    pale = Circle((50.0, 50.0), 5.0, Style(stroke="#ff0000", opacity=0.25))
    same = Group((Line((10.0, 20.0), (40.0, 20.0), INK), Text((10.0, 25.0), "Same", 5.0, palette.TEXT)))
    other = Scene(-5.0, -5.0, 95.0, 95.0, (same,))
    pages = [scene(same), scene(pale, same), scene(same, pale), other, scene(same)]
    with pymupdf.open(stream=pdf.write(pages)) as document:
        for number, page in enumerate(document):
            drawn = next(d for d in page.get_drawings() if d["items"][0][0] == "l")
            ends = [v * POINT for v in (*drawn["items"][0][1], *drawn["items"][0][2])]
            off, height = 5.0 if number == 3 else 0.0, page.rect.height * POINT
            assert ends == pytest.approx([10 + off, height - 20 - off, 40 + off, height - 20 - off], abs=1e-3)
            assert drawn["stroke_opacity"] == pytest.approx(1.0)
            assert page.get_text().strip() == "Same"
            assert page.get_text("words")[0][0] * POINT == pytest.approx(10 + off, abs=0.05)


def test_a_group_that_stands_on_every_page_is_worked_out_once(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    made: list[Circle] = []
    circle = pdf_pen.PdfPen._circle

    def counted(pen: pdf_pen.PdfPen, item: Circle) -> None:
        made.append(item)
        circle(pen, item)

    monkeypatch.setattr(pdf_pen.PdfPen, "_circle", counted)
    same = Group((Circle((50.0, 50.0), 5.0, INK),))
    pdf.write([scene(same, Circle((20.0, 20.0), float(k + 1), INK)) for k in range(4)])
    assert [item.radius for item in made] == [5.0, 1.0, 2.0, 3.0, 4.0]


def test_nothing_is_drawn_outside_a_clip() -> None:
    black = Style(stroke=None, fill="#000000")
    square = Path((0.0, 0.0), tuple(LineTo(p) for p in ((99.0, 0.0), (99.0, 99.0), (0.0, 99.0))), black, True)
    inner = Group((square,), clip=(10.0, 10.0, 30.0, 30.0), shift=(20.0, 0.0))
    data = pdf.write([scene(inner, Circle((90.0, 90.0), 4.0, black), size=(100.0, 100.0))])
    with pymupdf.open(stream=data) as document:
        pixels = document[0].get_pixmap(dpi=254, colorspace=pymupdf.csGRAY)  # ten pixels to the mm
    image = np.frombuffer(pixels.samples, np.uint8).reshape(pixels.height, pixels.width)
    dark = np.argwhere(image[200:] < 128)  # below the circle, which is outside the clip and must show
    # The clip moves with its group: x from 30 to 50, y from 10 to 30.
    assert (dark[:, 1].min() / 10, (dark[:, 1].max() + 1) / 10) == pytest.approx((30.0, 50.0), abs=0.15)
    assert (80 - (dark[:, 0].max() + 1) / 10, 80 - dark[:, 0].min() / 10) == pytest.approx((10.0, 30.0), abs=0.15)
    assert image[100, 900] < 128


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize("words", ["Křídlo Ünïcode Ω Ж", "⌀ 28 × 9.5 ±0.1 ½ ″", "Łódź ŐŰ ğış αβγ Привет"])
def test_words_of_many_scripts_print_with_an_embedded_font(words: str, bold: bool) -> None:
    data = pdf.write([scene(Text((20.0, 200.0), words, 6.0, palette.TEXT, bold=bold))])
    with pymupdf.open(stream=data) as document:
        page = document[0]
        assert page.get_text().strip() == words.replace("⌀", "Ø")
        for xref, extension, kind, *_ in page.get_fonts():
            if kind != "Type1":  # the library names a standard font that no text uses
                assert extension == "ttf"
                assert document.extract_font(xref)[3], "the font is not embedded"
        spans = [span for block in page.get_text("dict")["blocks"] for line in block["lines"] for span in line["spans"]]
        width = (max(span["bbox"][2] for span in spans) - min(span["bbox"][0] for span in spans)) * POINT
        assert all("SourceSansPro" in span["font"] for span in spans)
    # The estimate that labels are placed with is the width on paper, within 3 %.
    assert width == pytest.approx(metrics.text_width(words.replace("⌀", "Ø"), 6.0, bold), rel=0.03)


@pytest.mark.parametrize(
    "words",
    [
        "漢字 plan",
        "nul \x00 bell \x07",
        "lone \ud800 half",
        "\u202e turned",
        "🙂",
        "\ufffe",
        "a\nb",
        "e\u0301",
        "ﬁt",
        "",
    ],
)
def test_a_letter_that_the_font_lacks_is_replaced_and_nothing_breaks(words: str) -> None:
    data = pdf.write([scene(Text((20.0, 200.0), words, 6.0, palette.TEXT), title=words, note=words)])
    with pymupdf.open(stream=data) as document:
        printed = document[0].get_text().strip()
    expected = {"漢字 plan": "?? plan", "🙂": "?", "e\u0301": "é", "a\nb": "a b", "": ""}
    if words in expected:
        assert printed == expected[words]
    with open_pdf(data) as file:
        assert len(file.pages) == 1


@examples(25)
@given(words=st.text(st.characters(codec=None), max_size=30))
def test_any_words_can_be_written(words: str) -> None:
    with open_pdf(pdf.write([scene(Text((20.0, 200.0), words, 6.0, palette.TEXT), title=words)])) as file:
        assert len(file.pages) == 1


@pytest.mark.parametrize(
    ("anchor", "angle", "box"),
    # The line of text covers from (x − w, y) leftwards, or upwards when turned by a quarter.
    [("start", 0.0, (0.0, 1.0, 0.0, 0.0)), ("middle", 0.0, (-0.5, 0.5, 0.0, 0.0)), ("end", 0.0, (-1.0, 0.0, 0.0, 0.0)),
     ("start", 90.0, (0.0, 0.0, 0.0, 1.0)), ("end", 90.0, (0.0, 0.0, -1.0, 0.0))],
)  # fmt: skip
def test_text_runs_from_its_anchor(anchor: str, angle: float, box: tuple[float, float, float, float]) -> None:
    text = Text((100.0, 150.0), "HHHHHHHHHH", 5.0, palette.TEXT, anchor=anchor, angle=angle)  # type: ignore[arg-type]
    with pymupdf.open(stream=pdf.write([scene(text)])) as document:
        pixels = document[0].get_pixmap(dpi=254, colorspace=pymupdf.csGRAY)
    image = np.frombuffer(pixels.samples, np.uint8).reshape(pixels.height, pixels.width)
    rows, columns = np.nonzero(image < 128)
    width = metrics.text_width(text.text, 5.0)
    left, right, low, high = (part * width for part in box)
    cap = metrics.CAP_HEIGHT * 5.0
    if angle:
        # Turned by a quarter, the letters stand to the left of their baseline.
        found = (297 - rows.max() / 10, 297 - rows.min() / 10)
        assert found == pytest.approx((150 + low, 150 + high), abs=0.6)
        assert (columns.min() / 10, columns.max() / 10) == pytest.approx((100 - cap, 100), abs=0.25)
    else:
        assert (columns.min() / 10, columns.max() / 10) == pytest.approx((100 + left, 100 + right), abs=0.6)
        assert (297 - rows.max() / 10, 297 - rows.min() / 10) == pytest.approx((150, 150 + cap), abs=0.25)


def test_pages_compressed_together_are_those_compressed_one_by_one(monkeypatch: pytest.MonkeyPatch) -> None:
    pages = [scene(Text((10.0, 10.0 * k), f"row {k}", 4.0, INK)) for k in range(1, 6)]
    alone = pdf.write(pages)
    monkeypatch.setattr(pdf, "_WORTH", 0)
    assert pdf.write(pages) == alone


def test_no_page_is_an_error() -> None:
    with pytest.raises(WriterError, match="at least one"):
        pdf.write([])


def test_a_number_that_cannot_be_drawn_is_refused() -> None:
    with pytest.raises(WriterError, match="cannot be drawn"):
        pdf.write([scene(Line((0.0, 0.0), (float("nan"), 0.0), INK))])


def test_without_the_font_package_the_library_font_stands_in(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("app.writers.pdf_fonts.find_spec", lambda _: None)
    files = font_files()
    assert [file.name for file in files] == ["Vera.ttf", "VeraBd.ttf"]
    assert all(file.is_file() for file in files)
