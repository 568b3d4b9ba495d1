"""Is what is printed as large as what was drawn?

One sheet with the holes of a control deck, invented for this test, is written as PDF on every paper and then
measured twice by programs that had no part in writing it: its vectors by PyMuPDF, within 0.01 mm, and its pixels by
pdftoppm at 600 dpi with a circle fitted to the ink, within 0.05 mm. A pixel is 25.4 / 600 = 0.042 mm.

Sources: ISO 216 (A sizes), ASME Y14.1 (8.5 × 11, 11 × 17 in), common practice for Legal (8.5 × 14 in);
ISO 32000-1, 8.3.2.3 (72 units to the inch); CSS Values and Units (1 in = 25.4 mm = 96 px); 1 in = 25.4 mm exactly
(international yard and pound agreement, 1959).
"""

import io
from functools import lru_cache

import numpy as np
import numpy.typing as npt
import pikepdf
import pytest

from app.scene import palette
from app.scene.primitives import Circle, Group, Item, Line, LineTo, Path, Point, Scene, Text
from app.writers import pdf, svg
from tests.reading.measure import (
    fit_circle,
    nearest,
    page_sizes,
    pdf_circles,
    pdf_lines,
    raster,
    raster_circle,
    svg_circles,
)

INCH = 25.4
PAPERS = {
    "A4": (210.0, 297.0),
    "A3": (297.0, 420.0),
    "Letter": (8.5 * INCH, 11 * INCH),
    "Legal": (8.5 * INCH, 14 * INCH),
    "Tabloid": (11 * INCH, 17 * INCH),
}
# Centres [mm] and diameters [mm]; sizes of hole saws and Forstner bits, and uneven numbers on purpose.
HOLES = [
    ((30.0, 40.0), 3.0),
    ((55.013, 62.47), 24.0),
    ((101.6, 88.9), 28.575),
    ((140.333, 60.667), 30.0),
    ((70.0, 130.0), 57.15),
    ((150.005, 140.995), 76.2),
    ((95.25, 215.9), 100.0),
]
SHIFT = (0.137, 0.911)
"""A sheet's stretch of a board does not begin at a round number."""


def cross(centre: Point, reach: float) -> list[Item]:
    """The arms of a centre mark, with a gap at the very centre."""
    x, y = centre
    ends = [((x - reach, y), (x - 0.5, y)), ((x + 0.5, y), (x + reach, y))]
    ends += [((x, y - reach), (x, y - 0.5)), ((x, y + 0.5), (x, y + reach))]
    return [Line(a, b, palette.CROSS) for a, b in ends]


@lru_cache(maxsize=8)
def sheet(paper: str) -> bytes:
    width, height = PAPERS[paper]
    items: list[Item] = []
    for (x, y), diameter in HOLES:
        items += [Circle((x, y), diameter / 2, palette.HOLE, "TOP_THROUGH"), *cross((x, y), diameter / 2 + 5.0)]
        items.append(Text((x + 2.0, y + 2.0), f"{diameter:g}", 4.0, palette.TEXT, bold=True))
    # Check bars: 100 mm along x, 4 in along y, drawn as boxes.
    for (x, y), (w, h) in (((20.0, 10.0), (100.0, 4.0)), ((10.0, 20.0), (4.0, 4 * INCH))):
        corners = ((x + w, y), (x + w, y + h), (x, y + h))
        items.append(Path((x, y), tuple(LineTo(corner) for corner in corners), palette.BAR_DARK, closed=True))
    board = Group(tuple(items), shift=SHIFT, clip=(0.0, 0.0, width, height))
    return pdf.write([Scene(0.0, 0.0, width, height, (board,), "True size", "all lengths in mm")])


@lru_cache(maxsize=2)
def pixels(paper: str) -> npt.NDArray[np.uint8]:
    return raster(sheet(paper))


@pytest.mark.parametrize("paper", PAPERS)
def test_a_page_is_the_named_paper(paper: str) -> None:
    (size,) = page_sizes(sheet(paper))
    assert size == pytest.approx(PAPERS[paper], abs=0.001)
    with pikepdf.open(io.BytesIO(sheet(paper))) as file:
        page = file.pages[0].obj
        assert [float(v) for v in page.MediaBox] == [float(v) for v in page.CropBox]
        assert "/UserUnit" not in page
        assert file.Root.ViewerPreferences.PrintScaling == pikepdf.Name("/None")


@pytest.mark.parametrize("paper", PAPERS)
def test_every_hole_in_the_file_is_true_within_a_hundredth(paper: str) -> None:
    found = pdf_circles(sheet(paper))
    assert len(found) == len(HOLES)
    for (x, y), diameter in HOLES:
        circle = nearest(found, x + SHIFT[0], y + SHIFT[1], diameter)
        assert circle.x == pytest.approx(x + SHIFT[0], abs=0.01)
        assert circle.y == pytest.approx(y + SHIFT[1], abs=0.01)
        assert circle.diameter == pytest.approx(diameter, abs=0.01)
        assert circle.spread <= 0.01


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("hole", HOLES, ids=lambda hole: f"{hole[1]:g} mm")
def test_every_hole_on_paper_is_true_within_half_a_tenth(paper: str, hole: tuple[Point, float]) -> None:
    (x, y), diameter = hole
    image = pixels(paper)
    assert (image.shape[1], image.shape[0]) == pytest.approx(
        tuple(side / INCH * 600 for side in PAPERS[paper]), abs=1.0
    )
    circle = raster_circle(image, (x + SHIFT[0], y + SHIFT[1], diameter))
    assert circle.x == pytest.approx(x + SHIFT[0], abs=0.05)
    assert circle.y == pytest.approx(y + SHIFT[1], abs=0.05)
    assert circle.diameter == pytest.approx(diameter, abs=0.05)


@pytest.mark.parametrize("paper", PAPERS)
def test_check_bars_measure_a_hundred_millimetres_and_four_inches(paper: str) -> None:
    lines = pdf_lines(sheet(paper))
    along_x = {round(abs(x1 - x0), 2) for x0, y0, x1, y1 in lines if abs(y1 - y0) < 0.001}
    along_y = {round(abs(y1 - y0), 2) for x0, y0, x1, y1 in lines if abs(x1 - x0) < 0.001}
    assert 100.0 in along_x
    assert 101.6 in along_y


def test_the_centre_of_a_hole_is_left_free_of_ink() -> None:
    # No ink within 0.3 mm of a centre, so that a punch finds it.
    image = pixels("A4")
    for (x, y), _ in HOLES:
        column = (x + SHIFT[0]) * 600 / INCH
        row = image.shape[0] - (y + SHIFT[1]) * 600 / INCH
        reach = 0.3 * 600 / INCH
        # Rows and columns of the pixels around the centre.
        rows, columns = np.indices((24, 24)) + np.array([int(row) - 12, int(column) - 12])[:, None, None]
        near = np.hypot(rows + 0.5 - row, columns + 0.5 - column) <= reach
        assert near.sum() > 100
        assert image[rows[near], columns[near]].min() == 255


def test_the_same_holes_are_true_in_svg() -> None:
    width, height = PAPERS["A4"]
    items = tuple(Circle(centre, diameter / 2, palette.HOLE) for centre, diameter in HOLES)
    found = svg_circles(svg.write(Scene(0.0, 0.0, width, height, (Group(items, shift=SHIFT),))))
    assert len(found) == len(HOLES)
    for (x, y), diameter in HOLES:
        circle = nearest(found, x + SHIFT[0], y + SHIFT[1], diameter)
        assert (circle.x, circle.y) == pytest.approx((x + SHIFT[0], y + SHIFT[1]), abs=0.001)
        assert circle.diameter == pytest.approx(diameter, abs=0.001)


def test_the_instrument_itself_sees_an_error_of_a_tenth() -> None:
    """The raster measure must tell a hole that is 0.1 mm off, in size or in place, from a true one."""
    wrong = [((60.1, 60.0), 30.0), ((60.0, 60.0), 30.1)]
    for centre, diameter in wrong:
        page = Scene(0.0, 0.0, 120.0, 120.0, (Circle(centre, diameter / 2, palette.HOLE),))
        circle = raster_circle(raster(pdf.write([page])), (60.0, 60.0, 30.0))
        assert circle.x == pytest.approx(centre[0], abs=0.03)
        assert circle.diameter == pytest.approx(diameter, abs=0.03)
        assert max(abs(circle.x - 60.0), abs(circle.diameter - 30.0)) > 0.05


def test_a_circle_is_fitted_exactly_to_points_on_it() -> None:
    angles = np.linspace(0.0, 4.0, 9)
    points = np.column_stack((500.0 + 12.5 * np.cos(angles), -3.0 + 12.5 * np.sin(angles)))
    circle = fit_circle(points)
    assert (circle.x, circle.y, circle.diameter) == pytest.approx((500.0, -3.0, 25.0), abs=1e-9)
    assert circle.spread < 1e-9
