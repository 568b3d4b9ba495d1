"""Contrast and completeness of the palette."""

import re

import pytest

from app.scene import palette
from app.scene.primitives import Style

NAMED = {name: value for name, value in vars(palette).items() if isinstance(value, Style)}


def luminance(colour: str) -> float:
    """Relative luminance as defined by WCAG 2.2 (sRGB)."""
    linear = []
    for start in (1, 3, 5):
        value = int(colour[start : start + 2], 16) / 255
        linear.append(value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4)
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio as defined by WCAG 2.2."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_contrast_formula_gives_the_published_extreme() -> None:
    # WCAG 2.2, definition of contrast ratio: black on white is 21 to 1.
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)


@pytest.mark.parametrize("scheme", [palette.LIGHT, palette.DARK], ids=["light", "dark"])
@pytest.mark.parametrize("ground", ["page", "card", "raised"])
@pytest.mark.parametrize("words", ["ink", "muted", "teal", "teal-deep", "stop", "caution", "clear"])
def test_words_reach_wcag_contrast(scheme: dict[str, str], ground: str, words: str) -> None:
    # WCAG 2.2 success criterion 1.4.3 (AA): 4.5 to 1.
    assert contrast(scheme[words], scheme[ground]) >= 4.5


@pytest.mark.parametrize("scheme", [palette.LIGHT, palette.DARK], ids=["light", "dark"])
@pytest.mark.parametrize("ground", ["page", "card", "raised"])
def test_borders_of_fields_reach_wcag_contrast(scheme: dict[str, str], ground: str) -> None:
    # WCAG 2.2 success criterion 1.4.11 (AA): 3 to 1 for what makes a control recognisable.
    assert contrast(scheme["field"], scheme[ground]) >= 3.0


@pytest.mark.parametrize("scheme", [palette.LIGHT, palette.DARK], ids=["light", "dark"])
@pytest.mark.parametrize("tone", ["stop", "caution", "teal"])
def test_words_on_a_pale_ground_of_their_own_tone(scheme: dict[str, str], tone: str) -> None:
    assert contrast(scheme[tone], scheme[f"{tone}-pale"]) >= 4.5
    assert contrast(scheme["ink"], scheme[f"{tone}-pale"]) >= 4.5


@pytest.mark.parametrize("material", ["mdf", "plywood", "acrylic", "metal"])
def test_what_is_drawn_on_a_board_can_be_seen(material: str) -> None:
    # WCAG 2.2 success criterion 1.4.11 (AA): 3 to 1 for shapes; 1.4.3: 4.5 to 1 for letters.
    ground = palette.LIGHT[material]
    assert contrast(palette.LIGHT["ink"], ground) >= 4.5
    for tone in ("stop", "caution", "teal", "teal-deep", "muted"):
        assert contrast(palette.LIGHT[tone], ground) >= 3.0


def test_every_sheet_colour_of_words_reads_on_white() -> None:
    for name, style in NAMED.items():
        if name.startswith("TEXT") and name != "TEXT_LIGHT":
            assert style.fill is not None
            assert contrast(style.fill, "#ffffff") >= 4.5, name
    assert contrast(palette.FLAG_TEXT.fill or "", palette.FLAG.fill or "") >= 4.5


def test_styles_are_complete() -> None:
    assert NAMED
    for name, style in NAMED.items():
        for colour in (style.stroke, style.fill):
            assert colour is None or re.fullmatch("#[0-9a-f]{6}", colour), name
        assert style.stroke or style.fill, name
        assert style.role, name
        assert 0.1 <= style.width <= 1.0, name
    roles = [style.role for style in NAMED.values()]
    assert len(roles) == len(set(roles))


def test_every_material_kind_has_a_look_and_an_unknown_one_too() -> None:
    for kind in ("mdf", "plywood", "acrylic", "aluminium", "steel", "cork"):
        assert palette.board(kind).fill == palette.layer_cut(kind).fill
        assert palette.grain(kind).stroke
    assert palette.board("steel") == palette.board("aluminium")
    assert palette.board("acrylic") != palette.board("mdf")


def test_css_variables_carry_the_same_values() -> None:
    lines = palette.css_variables().splitlines()
    assert f"--ink: {palette.INK};" in lines
    assert len(lines) == len(palette.LIGHT)
    assert set(palette.DARK) <= set(palette.LIGHT)
    assert f"--ink: {palette.DARK['ink']};" in palette.css_variables(dark=True)


def test_default_ink_of_a_style_is_the_palette_ink() -> None:
    assert Style().stroke == palette.INK
