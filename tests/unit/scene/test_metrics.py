"""Text metrics against the font file itself, read by another program (MuPDF's font engine)."""

import pymupdf
import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from app.scene import metrics
from app.scene.primitives import Style, Text
from app.writers.pdf_fonts import font_files
from tests.folding import each

LETTERS = [chr(code) for code in (*range(0x20, 0x7F), *range(0xA1, 0x17F)) if code != 0xAD] + list(
    "ΑΒΓΔΩαβγλμπωАБВЖЩЯабвжщя–—“”…−≤≥½¼¾⅛→←▲▼′″"
)
FONTS = dict(zip((False, True), (pymupdf.Font(fontfile=str(file)) for file in font_files()), strict=True))

lines = st.text(st.sampled_from(LETTERS), max_size=60)


def test_the_measured_font_is_the_one_with_greek_and_cyrillic() -> None:
    for font in FONTS.values():
        assert all(font.has_glyph(ord(letter)) for letter in LETTERS)


@given(text=lines, size=st.floats(1.0, 30.0), bold=st.booleans())
def test_width_is_that_of_the_font(text: str, size: float, bold: bool) -> None:
    # The widths are in whole thousandths of the em in both, so only the float sum differs.
    assert metrics.text_width(text, size, bold) == pytest.approx(
        FONTS[bold].text_length(text, fontsize=size), rel=1e-4, abs=1e-6
    )


@each("letter", LETTERS)
@each("bold", [False, True])
def test_every_letter_of_the_table_has_its_own_width(letter: str, bold: bool) -> None:
    assert metrics.knows(letter)
    assert metrics.text_width(letter, 1.0, bold) == pytest.approx(FONTS[bold].glyph_advance(ord(letter)), abs=1e-6)


def test_an_unknown_character_counts_as_wide_as_the_widest_that_may_stand_for_it() -> None:
    assert not metrics.knows("漢")
    for bold, font in FONTS.items():
        assert metrics.text_width("漢", 1.0, bold) >= max(font.glyph_advance(ord(c)) for c in "?Ø•-")


def test_figures_are_tabular() -> None:
    for bold in (False, True):
        assert len({metrics.text_width(figure, 10.0, bold) for figure in "0123456789"}) == 1


def test_heights_enclose_the_letters_of_the_font() -> None:
    # Accents on capitals are left out: they may touch the line above.
    for file in font_files():
        font = TTFont(file)
        em, names = font["head"].unitsPerEm, font.getBestCmap()
        for letter in "HxgjpqyldbřkůЖ0123456789,;Ω":
            outline = font["glyf"][names[ord(letter)]]
            assert outline.yMin / em >= -metrics.DESCENT, letter
            assert outline.yMax / em <= metrics.ASCENT, letter
        assert font["glyf"][names[ord("H")]].yMax / em == pytest.approx(metrics.CAP_HEIGHT, abs=0.01)


@given(text=lines, width=st.floats(0.5, 200.0))
def test_shortened_text_fits(text: str, width: float) -> None:
    short = metrics.shortened(text, width, 4.0)
    assert metrics.text_width(short, 4.0) <= width
    assert short == text or short == "" or short.endswith("…")
    size = metrics.fitting_size(text, width, 4.0)
    assert size <= 4.0
    assert metrics.text_width(text, size) <= width * (1 + 1e-9)


def test_text_box_turns_about_the_anchor() -> None:
    width = metrics.text_width("Datum", 4.0)
    upright = Text((10.0, 20.0), "Datum", 4.0, Style(), anchor="end", angle=90.0)
    xs, ys = zip(*metrics.text_box(upright), strict=True)
    # A quarter turn anticlockwise: the line runs up and ends at the anchor; its foot looks to the right.
    assert max(ys) == pytest.approx(20.0)
    assert min(ys) == pytest.approx(20.0 - width)
    assert max(xs) == pytest.approx(10.0 + metrics.DESCENT * 4.0)
    assert min(xs) == pytest.approx(10.0 - metrics.ASCENT * 4.0)
