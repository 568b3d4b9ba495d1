"""Pages against the standards of paper, and bars against the units they are named by."""

from __future__ import annotations

import math

import pytest

from app.catalogue.load import catalogue
from app.model.part import Face
from app.paper.sheet.sheets import plan_sheets, template_pages
from app.scene.bounds import bounds
from tests.unit.drafting.boards import two_player
from tests.unit.paper.ink import group

INCH = 25.4  # international inch of 1959, exact


def a_series(n: int) -> tuple[float, float]:
    """ISO 216: A(n) has the area 2^−n m² and sides in the ratio 1 : √2, rounded to whole mm (down, from 0.2 up)."""
    short, long = 1000 * 2 ** (-n / 2 - 0.25), 1000 * 2 ** (-n / 2 + 0.25)
    return math.floor(short + 0.2), math.floor(long + 0.2)


SIZES = {
    "a4": a_series(4),
    "a3": a_series(3),
    "a2": a_series(2),
    "a1": a_series(1),
    "a0": a_series(0),
    "letter": (8.5 * INCH, 11 * INCH),  # ASME Y14.1, size A
    "tabloid": (11 * INCH, 17 * INCH),  # ASME Y14.1, size B
    "ansi-c": (17 * INCH, 22 * INCH),  # ASME Y14.1, size C
    "ansi-d": (22 * INCH, 34 * INCH),  # ASME Y14.1, size D
    "legal": (8.5 * INCH, 14 * INCH),  # trade size
}

papers = pytest.mark.parametrize("name", list(SIZES))
faces: tuple[Face, Face] = ("top", "under")


def test_the_rule_gives_the_published_sizes() -> None:
    assert (a_series(4), a_series(3), a_series(0)) == ((210, 297), (297, 420), (841, 1189))  # ISO 216, table 1


def test_every_paper_of_the_catalogue_is_held_against_its_standard() -> None:
    assert set(SIZES) == set(catalogue().papers)
    for name, size in SIZES.items():
        paper = catalogue().papers[name]
        assert (paper.width, paper.height) == pytest.approx(size, abs=1e-9)


@papers
@pytest.mark.parametrize("face", faces)
def test_every_page_has_the_size_of_its_paper(name: str, face: Face) -> None:
    for page in template_pages(two_player(), face, catalogue().papers[name]):
        assert sorted((page.width, page.height)) == pytest.approx(sorted(SIZES[name]), abs=1e-9)


@papers
@pytest.mark.parametrize("face", faces)
def test_both_bars_along_both_axes_on_every_page(name: str, face: Face) -> None:
    for page in template_pages(two_player(), face, catalogue().papers[name]):
        for axis, along in (("x", 0), ("y", 1)):
            for unit, length in (("mm", 100.0), ("inch", 4 * INCH)):
                bar = group(page, f"bar-{axis}-{unit}")
                box = bounds(bar.items)
                assert box is not None
                assert box[along + 2] - box[along] == pytest.approx(length, abs=1e-9)
                # Filled rectangles only: a stroke would add its width to the length.
                assert all(i.style.stroke is None and i.style.fill for i in bar.items if hasattr(i, "style"))


@pytest.mark.parametrize("name", ["a4", "letter"])
@pytest.mark.parametrize("face", faces)
def test_ink_fits_the_other_paper_too(name: str, face: Face) -> None:
    """A page made for A4 and centred on Letter, or the other way round, stays 6.35 mm (1/4 in) inside it."""
    layout = plan_sheets(two_player(), face, catalogue().papers[name]).tiling.layout
    for other in ("a4", "letter"):
        width, height = SIZES[other] if layout.orientation == "portrait" else SIZES[other][::-1]
        x0, y0, x1, y1 = layout.ink
        dx, dy = (width - layout.page[0]) / 2, (height - layout.page[1]) / 2
        assert min(x0 + dx, y0 + dy, width - x1 - dx, height - y1 - dy) >= 0.25 * INCH - 1e-9


def test_tiles_overlap_by_more_than_the_paper_may_be_off() -> None:
    # ISO 216, tolerances: ±2 mm for sides over 150 up to 600 mm.
    assert plan_sheets(two_player(), "top", catalogue().papers["a4"]).tiling.overlap > 2.0
