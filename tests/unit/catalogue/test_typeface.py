"""Letters as outlines: against the font library's own pens, and against MuPDF's font engine."""

from __future__ import annotations

from functools import cache
from io import BytesIO

import pymupdf
import pytest
from fontTools.pens.areaPen import AreaPen
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont
from shapely.geometry import Polygon

from app.catalogue.signs import SIGNS, sign_contours
from app.catalogue.typeface import letters_lacking, typeface
from app.errors import CatalogueError
from app.geometry.contours import box_of
from app.writers.pdf_fonts import font_files

FOLDER = font_files()[0].parent
FILES = {False: "SourceSansPro-Semibold.ttf", True: "SourceSansPro-Regular.ttf"}
LETTERS = "AHOQgjpxy8&@ÄßéøŁŵΔΩЖЩ½€"  # plain and put together, with insides, Greek and Cyrillic


@cache
def font(light: bool) -> TTFont:
    return TTFont(BytesIO((FOLDER / FILES[light]).read_bytes()))


def unit(light: bool) -> float:
    """Height of the H."""
    glyphs = font(light).getGlyphSet()
    pen = BoundsPen(glyphs)
    glyphs["H"].draw(pen)
    return float(pen.bounds[3])


@pytest.mark.parametrize("light", [False, True])
def test_outlines_are_those_of_the_font(light: bool) -> None:
    """Bounds, areas and widths by fontTools' own pens, to a millionth of the height."""
    face, glyphs, names = typeface(light=light), font(light).getGlyphSet(), font(light).getBestCmap()
    high = unit(light)
    for letter in LETTERS:
        bounds, area, drawn = BoundsPen(glyphs), AreaPen(glyphs), glyphs[names[ord(letter)]]
        drawn.draw(bounds)
        drawn.draw(area)
        glyph = face.glyph(letter)
        assert box_of(glyph.contours) == pytest.approx([v / high for v in bounds.bounds], abs=1e-6), letter
        assert sum(c.area for c in glyph.contours) == pytest.approx(area.value / high**2, abs=1e-6), letter
        assert glyph.advance == pytest.approx(drawn.width / high, abs=1e-9), letter


def test_outlines_fill_the_pixels_that_another_renderer_fills() -> None:
    """MuPDF sets the same letters from the same file at 100 points a height; areas agree within a hundredth."""
    size = 100.0
    for letter in "AOBg8":
        page = pymupdf.open().new_page(width=300, height=300)
        page.insert_font(fontname="legend", fontfile=str(FOLDER / FILES[False]))
        page.insert_text((60, 200), letter, fontname="legend", fontsize=size)
        pixels = page.get_pixmap(dpi=288, colorspace=pymupdf.csGRAY)
        dark = sum(255 - value for value in pixels.samples) / 255 * (72 / 288) ** 2
        mine = abs(sum(c.area for c in typeface().glyph(letter).contours)) * (size * unit(False) / 1000) ** 2
        assert mine == pytest.approx(dark, rel=0.01), letter


def test_strokes_are_as_heavy_as_they_are_read_best() -> None:
    """A sixth of the height dark on light; a seventh to an eighth light on dark (DOD-HDBK-791, 6-5.3.2)."""
    wide = {light: box_of(typeface(light=light).glyph("I").contours) for light in (False, True)}
    dark, light = (wide[k][2] - wide[k][0] for k in (False, True))
    assert pytest.approx(dark, abs=0.015) == 1 / 6.0
    assert 1 / 8.0 - 0.005 <= light <= 1 / 7.0


def test_no_letter_crosses_itself_so_a_knife_cuts_each_line_once() -> None:
    for light in (False, True):
        for letter in LETTERS:
            rings = [Polygon(c.polygon(12)) for c in typeface(light=light).glyph(letter).contours]
            assert all(ring.is_valid for ring in rings), letter
            assert not any(a.exterior.crosses(b.exterior) for k, a in enumerate(rings) for b in rings[k + 1 :]), letter


def test_letters_the_font_lacks_are_named() -> None:
    assert letters_lacking("START ÄΔЖ ½") == ()
    assert letters_lacking("安 A שלום") == ("安", "ש", "ל", "ו", "ם")
    with pytest.raises(CatalogueError, match="no “安”"):
        typeface().glyph("安")


@pytest.mark.parametrize("name", SIGNS)
def test_a_sign_is_one_high_and_can_be_cut(name: str) -> None:
    contours = sign_contours(name)
    x0, y0, x1, y1 = box_of(contours)
    assert x0 == pytest.approx(0, abs=0.13) and -1e-9 <= y0 < y1 <= 1 + 1e-9 and 0 < x1 - x0 <= 1.6
    assert max(x1 - x0, y1 - y0) >= 0.88
    for contour in contours:
        ring = Polygon(contour.polygon(16))
        assert ring.is_valid and ring.area > 0.01
    sign = SIGNS[name]
    assert sign.words and bool(sign.number) == bool(sign.sure)


def test_public_symbols_go_by_their_numbers() -> None:
    """IEC 60417: 5007 on, 5008 off, 5009 stand-by, 5010 on and off by one push (pages about them were seen)."""
    numbers = {name: sign.number for name, sign in SIGNS.items() if sign.sure == "seen"}
    assert numbers == {
        "on": "IEC 60417-5007",
        "off": "IEC 60417-5008",
        "stand-by": "IEC 60417-5009",
        "on-off": "IEC 60417-5010",
        "earth": "IEC 60417-5017",
    }


def test_there_is_no_sign_of_another_name() -> None:
    with pytest.raises(CatalogueError, match="no sign “flame”"):
        sign_contours("flame")
