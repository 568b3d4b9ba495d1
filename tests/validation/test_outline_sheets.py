"""Are the curves on the sheets of an outline true to size, and can their pages be read?

Written as PDF on A4 and Letter, and read by PyMuPDF, which had no part in writing it: the rim by formula, within
0.01 mm; a tick at every point of the table; no two words over one another.

Sources: ISO 32000-1, 8.3.2.3 (72 points to the inch). How far letters reach above and below their baseline: outlines of
the embedded font, l and ř 0.78, g and ] 0.23 em.
"""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import numpy.typing as npt
import pymupdf
import pytest
import shapely

from app.catalogue.load import catalogue
from app.errors import ProofError
from app.geometry.outline import Corner, Outline
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.paper.kinds.outline_marking import OUTLINE_MARKING, OutlineSheets
from app.paper.outline.outline_plan import plotting_of
from app.paper.sheet_kind import SheetJob, bound_leaves, bound_pages
from app.proof import prove_sheets
from app.shop.outline_marks import outline_marks
from app.values import replace
from app.writers import pdf
from tests.reading.measure import POINT
from tests.unit.drafting.boards import bare, two_player

Floats = npt.NDArray[np.float64]

WIDTH, DEPTH, ROUND, LONG, SHORT = 700.0, 320.0, 90.0, 160.0, 70.0
CASES = [("a4", "mm"), ("letter", "inch")]


@cache
def made(paper: str, units: str) -> tuple[SheetJob, OutlineSheets, bytes]:
    """Right corners round, the back left one a quarter of an ellipse, the front left one cut off."""
    corners = (
        Corner(60, 0), Corner(WIDTH, 0, (ROUND, ROUND)), Corner(WIDTH, DEPTH, (ROUND, ROUND)),
        Corner(0, DEPTH, (LONG, SHORT)), Corner(0, 40),
    )  # fmt: skip
    board = replace(two_player(WIDTH, DEPTH, units=units), outline=Outline(corners))
    job = SheetJob(board, Printing(catalogue().papers[paper]))
    data = pdf.write(tuple(bound_pages(OUTLINE_MARKING, job)), title="t", subject="")
    return job, OutlineSheets(job), data


def curves_by_formula() -> list[Floats]:
    """Points of the three curves, from their circles and their ellipse."""
    turn = np.linspace(0.0, np.pi / 2, 2001)
    c, s = np.cos(turn), np.sin(turn)
    return [
        np.stack((WIDTH - ROUND + ROUND * s, ROUND - ROUND * c), axis=1),
        np.stack((WIDTH - ROUND + ROUND * c, DEPTH - ROUND + ROUND * s), axis=1),
        np.stack((LONG - LONG * s, DEPTH - SHORT + SHORT * c), axis=1),
    ]


def drawn(page: pymupdf.Page, offset: tuple[float, float]) -> tuple[list[Floats], Floats]:
    """Lines of a page on the board [mm]: curves as points, straight ones by their ends, shape (n, 2, 2)."""
    high = page.rect.height

    def there(p: pymupdf.Point) -> tuple[float, float]:
        return (p.x * POINT - offset[0], (high - p.y) * POINT - offset[1])

    curves, straight = [], []
    t = np.linspace(0.0, 1.0, 60)[:, None]
    for item in (item for path in page.get_drawings() for item in path["items"]):
        if item[0] == "c":
            a, p, q, b = (np.array(there(point)) for point in item[1:5])
            curves.append((1 - t) ** 3 * a + 3 * (1 - t) ** 2 * t * p + 3 * (1 - t) * t * t * q + t**3 * b)
        elif item[0] == "l":
            straight.append((there(item[1]), there(item[2])))
    return curves, np.array(straight).reshape(-1, 2, 2)


@pytest.mark.parametrize(("paper", "units"), CASES)
def test_curves_and_ticks_are_where_the_formula_has_them(paper: str, units: str) -> None:
    job, sheets, data = made(paper, units)
    points = np.vstack([c.plot.true for c in outline_marks(job.board, plotting_of(job.board, job.printing)).curves])
    seen, ticked = [np.zeros(2001, np.bool_) for _ in range(3)], np.zeros(len(points), np.bool_)
    with pymupdf.open(stream=data, filetype="pdf") as file:
        assert len(file) == len(sheets) == len(bound_leaves(OUTLINE_MARKING, job))
        for number, tile in enumerate(sheets.plan.tiling.tiles, start=len(sheets.words)):
            curves, straight = drawn(file[number], tile.offset)
            x0, y0, x1, y1 = tile.window
            rim = shapely.union_all([shapely.LineString(c) for c in curves if len(c)])
            for one, wanted in zip(seen, curves_by_formula(), strict=True):
                here = (wanted[:, 0] > x0) & (wanted[:, 0] < x1) & (wanted[:, 1] > y0) & (wanted[:, 1] < y1)
                if here.any():
                    assert shapely.distance(rim, shapely.points(wanted[here])).max() <= 0.01
                one |= here
            middles = straight.mean(axis=1)
            apart = np.hypot(*np.moveaxis(points[:, None] - middles[None], 2, 0)).min(axis=1, initial=math.inf)
            ticked |= apart <= 0.01
    assert all(one.all() for one in seen), "every bit of every curve is on some sheet"
    assert ticked.all()


@pytest.mark.parametrize(("paper", "units"), CASES)
def test_no_words_lie_over_others_and_all_stand_on_the_paper(paper: str, units: str) -> None:
    _, _, data = made(paper, units)
    with pymupdf.open(stream=data, filetype="pdf") as file:
        for page in file:
            boxes = []
            for block in page.get_text("dict")["blocks"]:
                for span in (s for line in block.get("lines", ()) for s in line["spans"] if line["dir"] == (1.0, 0.0)):
                    if span["text"].strip():
                        x, y = span["origin"]
                        boxes.append((x, y - 0.78 * span["size"], span["bbox"][2], y + 0.23 * span["size"]))
            rows = np.array(boxes)
            assert rows[:, :2].min() >= 0
            assert (rows[:, 2:] <= (page.rect.width, page.rect.height)).all()
            i, j = np.triu_indices(len(rows), 1)
            wide = np.minimum(rows[i, 2], rows[j, 2]) - np.maximum(rows[i, 0], rows[j, 0])
            high = np.minimum(rows[i, 3], rows[j, 3]) - np.maximum(rows[i, 1], rows[j, 1])
            assert not ((wide > 0.05) & (high > 0.05)).any(), page.number


@pytest.mark.parametrize(("paper", "units"), CASES)
def test_the_tables_say_every_point_as_it_is_marked(paper: str, units: str) -> None:
    job, sheets, data = made(paper, units)
    with pymupdf.open(stream=data, filetype="pdf") as file:
        words = " ".join(" ".join(file[k].get_text().split()) for k in range(len(sheets.words)))
    assert "MARK OUT THE OUTLINE" in words
    if units == "mm":
        # By hand: 10 mm up the right corner's flat part, 90 - sqrt(90² - 10²) = 0.557, read as 0.5.
        assert "620 0.5 −0.06" in words
        assert "measure 160 mm along the back edge, 70 mm down the left edge" in words
        assert "measure 60 mm along the front edge, 40 mm up the left edge" in words
    else:
        assert 'Ordinates every 1/2", rounded to 1/32 in.' in words
    assert len(OUTLINE_MARKING.rows(job)) == sum(
        len(c.plot.axes) for c in outline_marks(job.board, plotting_of(job.board, job.printing)).curves
    )


def test_a_rim_a_tenth_of_a_millimetre_off_is_not_handed_out() -> None:
    job, _, data = made("a4", "mm")
    assert prove_sheets(OUTLINE_MARKING, data, job) is not None
    corners = list(job.board.outline.corners)
    corners[1] = replace(corners[1], setback=(ROUND + 0.5, ROUND + 0.5))  # 0.2 mm further in at its middle
    other = SheetJob(replace(job.board, outline=Outline(tuple(corners))), job.printing)
    with pytest.raises(ProofError):
        prove_sheets(OUTLINE_MARKING, data, other)


def boards() -> list[ResolvedBoard]:
    """Oval, slot-shaped, round, of 20 mm and of 5 m."""

    def shaped(*corners: Corner) -> ResolvedBoard:
        return replace(bare(400, 200), outline=Outline(corners))

    def cornered(width: float, depth: float, a: float, b: float) -> ResolvedBoard:
        places = ((0, 0, (b, a)), (width, 0, (a, b)), (width, depth, (b, a)), (0, depth, (a, b)))
        return shaped(*(Corner(x, y, s) for x, y, s in places))

    return [
        cornered(500, 240, 250, 120), cornered(600, 150, 75, 75), cornered(20, 20, 10, 10),
        cornered(300, 300, 150, 150),
        shaped(Corner(0, 0), Corner(5000, 0), Corner(5000, 600, (40, 2500)), Corner(0, 600, (2500, 40))),
    ]  # fmt: skip


@pytest.mark.parametrize("board", boards(), ids=["oval", "slot", "20 mm", "round", "5 m"])
def test_boards_of_every_shape_have_sheets_that_are_proved(board: ResolvedBoard) -> None:
    job = SheetJob(board, Printing(catalogue().papers["a4"]))
    data = pdf.write(tuple(bound_pages(OUTLINE_MARKING, job)), title="t", subject="")
    proof = prove_sheets(OUTLINE_MARKING, data, job)
    assert proof is not None
    marks = outline_marks(board, plotting_of(board, job.printing))
    assert len(marks.curves) >= 2
    assert marks.strays <= 0.5


def test_a_plain_rectangle_has_one_page_that_says_so() -> None:
    job = SheetJob(bare(400, 200), Printing(catalogue().papers["a4"]))
    sheets = OutlineSheets(job)
    data = pdf.write(tuple(bound_pages(OUTLINE_MARKING, job)), title="t", subject="")
    with pymupdf.open(stream=data, filetype="pdf") as file:
        assert len(file) == len(sheets) == 1
        assert "level or upright" in " ".join(file[0].get_text().split())
    assert prove_sheets(OUTLINE_MARKING, data, job) is not None
