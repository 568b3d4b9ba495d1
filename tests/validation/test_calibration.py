"""Does the print doctor tell what a printer did, and does its correction undo it?

The check sheet is written as PDF and printed by a printer made here: pikepdf wraps the page's content in a matrix and
keeps or changes the size of the paper, as a print dialog does. pdftoppm draws the result at 600 dpi (a pixel is
25.4 / 600 = 0.042 mm), the frame's outer edges are found in the pixels alone, and what was measured goes to the
doctor as a builder would type it. Holes and bars of corrected sheets are read back by PyMuPDF.

Sources: ISO 216 (A4: 210 × 297 mm); ASME Y14.1 (size A: 8.5 × 11 in = 215.9 × 279.4 mm); ISO 32000-1, 8.3.2.3
(72 points to the inch) and 8.3.4 (matrices); 4 mm left white by laser printers (makers' manuals).
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pikepdf
import pymupdf
import pytest

from app.catalogue.load import catalogue
from app.model.printing import PrintCorrection, Printing
from app.paper.check.check_frame import CheckBar
from app.paper.check.check_sheet import check_sheet
from app.paper.check.doctor import Diagnosis, diagnose
from app.paper.sheet.sheets import template_pages
from app.units import Unit
from app.writers import pdf
from tests.long_run import by_turns
from tests.reading.measure import POINT, pdf_circles, raster
from tests.unit.drafting.boards import two_player

Floats = npt.NDArray[np.float64]
PAPERS = {"a4": (210.0, 297.0), "letter": (8.5 * 25.4, 11 * 25.4)}
TRUE_ON_PAPER = 0.05
"""Largest error in the pixels [mm]."""

DPI = 600
Matrix = tuple[float, float, float, float]


def printed(data: bytes, matrix: Matrix, onto: str = "") -> bytes:
    """What a printer makes of a file: every page's content turned by ``matrix`` about its middle, on another paper.

    The middle of the page comes to lie on the middle of the paper.
    """
    a, b, c, d = matrix
    with pikepdf.open(io.BytesIO(data)) as file:
        for page in file.pages:
            width, height = (float(v) for v in page.mediabox[2:])
            wide, high = (side / POINT for side in PAPERS[onto]) if onto else (width, height)
            e = wide / 2 - a * width / 2 - c * height / 2
            f = high / 2 - b * width / 2 - d * height / 2
            numbers = " ".join(f"{v:.8f}" for v in (a, b, c, d, e, f))
            page.contents_add(f"q {numbers} cm\n".encode(), prepend=True)
            page.contents_add(b"\nQ")
            page.mediabox = page.cropbox = pikepdf.Array([0, 0, wide, high])
        out = io.BytesIO()
        file.save(out)
    return out.getvalue()


def edge(line: Floats) -> float:
    """Where ink begins along ``line`` of darkness from 0 to 1, in pixels: a pixel half covered is half dark."""
    full = int(np.argmax(line > 0.98))
    assert line[full] > 0.98, "no ink along this line"
    start = full
    while start > 0 and line[start - 1] > 0.02:
        start -= 1
    return float(full - line[start:full].sum())


def darkness(part: npt.NDArray[np.uint8], full: float) -> Floats:
    """From 0, white, to 1, as dark as the darkest of the page."""
    return np.clip((255.0 - part.astype(float)) / full, 0.0, 1.0)


@lru_cache(maxsize=4)
def corners(data: bytes) -> dict[str, tuple[float, float]]:
    """The four outer corners of the outermost ink of a page [mm], x right, y up.

    Each corner's x is read along rows in the level side that ends there, its y along columns in the upright side; so
    a frame that has become a trapezoid or a parallelogram is told from a rectangle.
    """
    image = raster(data, dpi=DPI)
    full = 255.0 - float(image.min())
    rows = np.flatnonzero(np.count_nonzero(image < 255.0 - 0.5 * full, axis=1) > 100)
    inside = round(0.8 / 25.4 * DPI)  # within a side of the frame, which is 2.5 mm thick
    height = image.shape[0]
    found = {}
    for level in ("bottom", "top"):
        for upright in ("left", "right"):
            row = rows[0] + inside if level == "top" else rows[-1] - inside
            along = darkness(image[row - 3 : row + 4], full).mean(axis=0)
            x = edge(along) if upright == "left" else len(along) - edge(along[::-1])
            column = round(x) + (inside if upright == "left" else -inside)
            up = darkness(image[:, column - 3 : column + 4], full).mean(axis=1)
            y = edge(up) if level == "top" else height - edge(up[::-1])
            found[f"{level} {upright}"] = (x * 25.4 / DPI, (height - y) * 25.4 / DPI)
    return found


ENDS = {
    "A": ("bottom left", "bottom right"), "B": ("top left", "top right"),
    "C": ("bottom left", "top left"), "D": ("bottom right", "top right"),
    "E": ("bottom left", "top right"), "F": ("bottom right", "top left"),
}  # fmt: skip


def measured(data: bytes) -> dict[str, float]:
    """Length of every bar as a rule laid on the paper shows it [mm]."""
    at = corners(data)
    return {name: math.dist(at[a], at[b]) for name, (a, b) in ENDS.items()}


def sheet(
    paper: str, unit: Unit = Unit.MM, correction: PrintCorrection | None = None
) -> tuple[bytes, tuple[CheckBar, ...]]:
    made = check_sheet(
        two_player(), Printing(catalogue().papers[paper], correction=correction or PrintCorrection()), unit=unit
    )
    return pdf.write((made.scene,)), made.bars


def judged(data: bytes, bars: tuple[CheckBar, ...], paper: str, correction: PrintCorrection | None = None) -> Diagnosis:
    # As it is typed: to a tenth of a millimetre.
    typed = {name: round(length, 1) for name, length in measured(data).items()}
    return diagnose(bars, typed, Printing(catalogue().papers[paper], correction=correction or PrintCorrection()))


papers = pytest.mark.parametrize("paper", list(PAPERS))
units = pytest.mark.parametrize("unit", list(Unit))


@papers
@units
def test_a_true_print_measures_true(paper: str, unit: Unit, pdftoppm: Path) -> None:
    data, bars = sheet(paper, unit)
    found = measured(data)
    for bar in bars:
        assert found[bar.name] == pytest.approx(bar.length, abs=TRUE_ON_PAPER)
    assert judged(data, bars, paper).cause == "true"


def even(factor: float) -> Matrix:
    return (factor, 0.0, 0.0, factor)


@pytest.mark.parametrize(
    ("paper", "onto", "factor", "cause"),
    [
        ("a4", "letter", 279.4 / 297, "a4-onto-letter"),  # 94.07 %
        ("letter", "a4", 210 / 215.9, "letter-onto-a4"),  # 97.27 %
        ("a4", "", 202 / 210, "fit-to-page"),  # 4 mm left white on every side
        ("letter", "", 207.9 / 215.9, "fit-to-page"),
        ("a4", "", 1.035, "borderless"),  # 3.7 mm over each side
        ("letter", "", 0.75, "dots-72-96"),
        ("a4", "", 0.87, "unknown"),
    ],
)
def test_a_wrong_setting_is_told_by_what_it_does(
    paper: str, onto: str, factor: float, cause: str, pdftoppm: Path
) -> None:
    data, bars = sheet(paper)
    made = printed(data, even(factor), onto)
    found = measured(made)
    for bar in bars:
        assert found[bar.name] == pytest.approx(factor * bar.length, abs=TRUE_ON_PAPER)
    said = judged(made, bars, paper)
    assert said.cause == cause
    assert said.correction is None


@papers
def test_a_sheet_for_the_other_paper_at_actual_size_is_whole_and_true(paper: str, pdftoppm: Path) -> None:
    data, bars = sheet(paper)
    other = next(p for p in PAPERS if p != paper)
    assert judged(printed(data, even(1.0), other), bars, paper).cause == "true"


OWN = [(0.996, 1.002), (1.002, 0.996), (0.994, 0.9945), (1.0, 0.985)]
"""Printers' own errors along the short and the long side of the paper."""


@pytest.mark.parametrize(("own", "paper"), by_turns(OWN, list(PAPERS)))
def test_a_correction_makes_the_same_printer_print_true(paper: str, own: tuple[float, float], pdftoppm: Path) -> None:
    printer = (own[0], 0.0, 0.0, own[1])
    data, bars = sheet(paper)
    said = judged(printed(data, printer), bars, paper)
    assert said.cause == "printer"
    assert said.correction is not None
    # The reading, typed to 0.1 mm, leaves half of that over the length of a bar.
    again, lengths = sheet(paper, correction=said.correction)
    found = measured(printed(again, printer))
    for bar in lengths:
        assert found[bar.name] == pytest.approx(bar.length, abs=0.05 * bar.length / 190.0 + TRUE_ON_PAPER)
    assert judged(printed(again, printer), lengths, paper, said.correction).cause == "true"


@pytest.mark.parametrize(("own", "paper"), by_turns(OWN[:2], list(PAPERS)))
def test_with_the_exact_correction_everything_is_true_within_the_pixels(
    paper: str, own: tuple[float, float], pdftoppm: Path
) -> None:
    correction = PrintCorrection(1 / own[0], 1 / own[1])
    data, bars = sheet(paper, correction=correction)
    found = measured(printed(data, (own[0], 0.0, 0.0, own[1])))
    for bar in bars:
        assert found[bar.name] == pytest.approx(bar.length, abs=TRUE_ON_PAPER)


@papers
@pytest.mark.parametrize("own", OWN[:2], ids=str)
def test_holes_and_check_bars_of_corrected_sheets_come_out_true(paper: str, own: tuple[float, float]) -> None:
    """On a lying sheet the printer's axes are the paper's: the short side is up the page."""
    board, correction = two_player(), PrintCorrection(1 / own[0], 1 / own[1])
    pages = template_pages(board, "top", Printing(catalogue().papers[paper], correction=correction))
    data = pdf.write(pages)
    lying = pages[0].width > pages[0].height
    made = printed(data, (own[1], 0, 0, own[0]) if lying else (own[0], 0, 0, own[1]))
    wanted = [2 * hole.shape.radius for p in board.drilled for hole in p.holes]
    found = [circle.diameter for n in range(len(pages)) for circle in pdf_circles(made, n)]
    assert found
    assert all(min(abs(d - w) for w in [*wanted, *others(board)]) <= 0.01 for d in found)
    plain = pdf_circles(printed(pdf.write(pages), even(1.0)), 0)
    assert len(plain) < len(pdf_circles(made, 0))  # uncorrected by the printer they would not even be circles
    with pymupdf.open(stream=made, filetype="pdf") as file:
        for page in file:
            lengths = list(dark_lengths(page))
            for want in (100.0, 101.6):  # 4 in
                for axis in (0, 1):
                    assert any(abs(box[axis] - want) <= 0.01 for box in lengths), (page.number, want, axis)


def others(board: object) -> list[float]:
    """Diameters of circles on a template that are no through holes: counterbores, screw pilots, set-back corners."""
    from app.drafting.template.drill_template import drill_template
    from app.model.resolved import ResolvedBoard
    from app.scene.primitives import Circle

    assert isinstance(board, ResolvedBoard)
    return [72.0, *(2 * c.radius for c in drill_template(board, "top").holes if isinstance(c, Circle))]


def dark_lengths(page: pymupdf.Page) -> Iterator[tuple[float, float]]:
    """Width and height [mm] of every filled dark rectangle of a page."""
    for drawing in page.get_drawings():
        if drawing["type"] == "f" and sum(drawing["fill"] or (1, 1, 1)) < 1.5:
            yield drawing["rect"].width * POINT, drawing["rect"].height * POINT


@papers
def test_a_sheet_fed_askew_is_told_from_one_that_is_scaled(paper: str, pdftoppm: Path) -> None:
    data, bars = sheet(paper)
    said = judged(printed(data, (1.0, 0.0, 0.006, 1.0)), bars, paper)
    assert said.cause == "skew" and said.correction is None
    assert said.out_of_square == pytest.approx(0.6, abs=0.05)


def test_the_measure_itself_finds_an_error_of_a_tenth(pdftoppm: Path) -> None:
    """A measure that says true to everything would pass all of the above that should be true."""
    data, bars = sheet("a4")
    found = measured(printed(data, (1 + 0.1 / 190.0, 0.0, 0.0, 1.0)))
    assert found["A"] == pytest.approx(190.1, abs=0.03)
    assert found["C"] == pytest.approx(bars[2].length, abs=0.03)
