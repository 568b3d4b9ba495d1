"""Tilings: every hole is on the sheets, windows overlap, nothing empty is printed."""

from __future__ import annotations

import itertools
import math
import time

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from app.catalogue.load import catalogue
from app.errors import PaperError
from app.geometry.outline import Corner, Outline
from app.model.tooling import Paper
from app.paper.sheet.layout import layouts
from app.paper.sheet.tiling import Tiling, tile
from tests.long_run import examples
from tests.unit.drafting.boards import A3, A4, INVENTED, LETTER

OVERLAP = 10.0

papers = st.sampled_from([A4, LETTER, A3, catalogue().papers["legal"], catalogue().papers["tabloid"]])
circles = st.lists(st.tuples(st.floats(0, 1), st.floats(0, 1), st.floats(1.5, 51)), min_size=0, max_size=40)


def made(paper: Paper, width: float, depth: float, holes: list[tuple[float, float, float]]) -> Tiling:
    at = [(x * width, y * depth, r) for x, y, r in holes]
    return tile((0, 0, width, depth), at, layouts(paper), OVERLAP)


@given(papers, st.floats(120, 1250), st.floats(90, 480), circles)
@examples(40)
def test_every_hole_is_on_a_sheet(
    paper: Paper, width: float, depth: float, holes: list[tuple[float, float, float]]
) -> None:
    tiling = made(paper, width, depth, holes)
    for u, v, r in holes:
        x, y = u * width, v * depth
        windows = [t.window for t in tiling.tiles]
        assert any(a <= x <= c and b <= y <= d for a, b, c, d in windows)
        cut = any(abs(x - s) < r for s in tiling.vertical) or any(abs(y - s) < r for s in tiling.horizontal)
        # The rim may reach over the board's edge; what the sheets must show ends 1.5 mm beyond it.
        inside = r <= x <= width - r and r <= y <= depth - r
        if inside and (not cut or 2 * r <= OVERLAP):
            assert any(a <= x - r and x + r <= c and b <= y - r and y + r <= d for a, b, c, d in windows)


@given(papers, st.floats(120, 1250), st.floats(90, 480), circles)
@examples(25)
def test_windows_overlap_and_cover_the_board(
    paper: Paper, width: float, depth: float, holes: list[tuple[float, float, float]]
) -> None:
    tiling = made(paper, width, depth, holes)
    assert len(tiling.tiles) == tiling.rows * tiling.columns
    by_place = {(t.row, t.column): t for t in tiling.tiles}
    for (row, column), here in by_place.items():
        right, front = by_place.get((row, column + 1)), by_place.get((row + 1, column))
        if right:
            assert here.window[2] - right.window[0] >= OVERLAP - 1e-6
        if front:
            assert front.window[3] - here.window[1] >= OVERLAP - 1e-6
    corners = [t.window for t in tiling.tiles]
    assert min(c[0] for c in corners) <= 0 and max(c[2] for c in corners) >= width
    assert min(c[1] for c in corners) <= 0 and max(c[3] for c in corners) >= depth
    room = tiling.layout.room
    for x0, y0, x1, y1 in corners:
        assert (x1 - x0, y1 - y0) == pytest.approx(room)


@given(papers, st.floats(120, 1250), st.floats(90, 480), circles, st.floats(0, 60), st.booleans())
@examples(40)
def test_no_way_to_use_the_paper_that_is_passed_over_is_better(
    paper: Paper, width: float, depth: float, holes: list[tuple[float, float, float]], cut: float, opened: bool
) -> None:
    """Beside each way searched by itself, of a board with its corners cut off and an opening as large as a sheet."""
    box, at = (0.0, 0.0, width, depth), [(x * width, y * depth, r) for x, y, r in holes]
    c, (x, y) = min(cut, depth / 2), (width / 4, depth / 4)
    rim = [
        (c, 0.0),
        (width - c, 0.0),
        (width, c),
        (width, depth - c),
        (width - c, depth),
        (c, depth),
        (0.0, depth - c),
        (0.0, c),
    ]
    openings = [[(x, y), (3 * x, y), (3 * x, 3 * y), (x, 3 * y)]] if opened else []
    ways = layouts(paper)
    each = [tile(box, at, (way,), OVERLAP, rim=rim, openings=openings) for way in ways]
    best = min(range(len(ways)), key=lambda k: (len(each[k].tiles), each[k].cost.key[:3], k, each[k].cost.key[3]))
    found = tile(box, at, ways, OVERLAP, rim=rim, openings=openings)
    assert (found.layout, found.tiles, found.cost) == (ways[best], each[best].tiles, each[best].cost)
    board = shapely.Polygon(rim, openings)
    shown = [t for t in found.tiles if board.intersection(shapely.box(*t.cell)).area > 0.9e-3]
    assert list(found.tiles) == shown, "no sheet is empty"


def test_fewest_sheets_over_both_ways_the_paper_lies() -> None:
    for width, depth in itertools.product((200, 400, 600, 640, 900, 1200), (150, 220, 240, 300, 400)):
        tiling = made(A4, width, depth, [])
        least = min(
            math.ceil(max(width + 3 - OVERLAP, 1) / (w - OVERLAP))
            * math.ceil(max(depth + 3 - OVERLAP, 1) / (h - OVERLAP))
            for w, h in (layout.room for layout in layouts(A4))
        )
        assert len(tiling.tiles) == least


def test_sheets_with_nothing_of_the_board_are_left_out() -> None:
    # An L: 900 mm along the front but only 200 deep, and 200 wide but 700 deep at the left.
    outline = Outline(
        (Corner(0, 0), Corner(900, 0), Corner(900, 200), Corner(200, 200), Corner(200, 700), Corner(0, 700))
    )
    tiling = tile((0, 0, 900, 700), [], layouts(A4), OVERLAP, rim=outline.flattened())
    assert len(tiling.tiles) < tiling.rows * tiling.columns
    for t in tiling.tiles:
        x0, y0, x1, y1 = t.cell
        assert (x0 < 900 and y0 < 200) or (x0 < 200 and y0 < 700), "a sheet off both arms of the L"
        assert x1 > 0 and y1 > 0


def test_a_sheet_wholly_in_an_opening_is_left_out() -> None:
    hole = Outline((Corner(150, 150), Corner(850, 150), Corner(850, 850), Corner(150, 850)))
    rim = [(0.0, 0.0), (1000.0, 0.0), (1000.0, 1000.0), (0.0, 1000.0)]
    tiling = tile((0, 0, 1000, 1000), [], layouts(A4), OVERLAP, rim=rim, openings=[hole.flattened()])
    for t in tiling.tiles:
        x0, y0, x1, y1 = t.cell
        assert not (x0 >= 150 and x1 <= 850 and y0 >= 150 and y1 <= 850)
    assert len(tiling.tiles) < tiling.rows * tiling.columns


def test_a_large_board_is_tiled_in_little_time() -> None:
    holes = [((k % 20 + 0.5) / 20, (k // 20 + 0.5) / 5, 15.0) for k in range(100)]
    start = time.process_time()
    made(A4, 1200, 400, holes)
    assert time.process_time() - start < 2.0  # 0.2 s on a machine with nothing else to do


@pytest.mark.parametrize(("width", "height"), [(105.0, 148.0), (150.0, 150.0), (60.0, 2000.0)])
def test_a_paper_too_small_is_refused_with_what_is_needed(width: float, height: float) -> None:
    paper = Paper("small", "Small", width, height, INVENTED)
    with pytest.raises(PaperError, match=r"needs at least \d+ × \d+ mm.*Choose a larger paper"):
        layouts(paper)


def test_a_paper_as_large_as_the_board_takes_one_sheet() -> None:
    roll = Paper("roll", "Roll", 914.0, 1300.0, INVENTED)
    assert len(made(roll, 1200, 400, []).tiles) == 1
