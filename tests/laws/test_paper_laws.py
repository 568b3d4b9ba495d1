"""Laws of the sheets on random boards: nothing lost, nothing apart, and no better tiling on a fine grid."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from app.catalogue.load import catalogue
from app.model.printing import Printing
from app.paper.sheet.layout import layouts
from app.paper.sheet.seams import BREATH, NEAR, THROUGH, Holes, place_seams
from app.paper.sheet.sheets import plan_sheets
from app.paper.sheet.tiling import BLEED, Circle, Tiling, tile
from tests.long_run import examples
from tests.unit.drafting.boards import two_player

PAPERS = ("a4", "letter", "legal", "a3")
OVERLAP = catalogue().rule("tile-overlap")

circles = st.lists(st.tuples(st.floats(0, 1), st.floats(0, 1), st.floats(4, 40)), max_size=14)
boards = st.tuples(st.floats(120, 1200), st.floats(80, 450))


def tiled(
    size: tuple[float, float], holes: list[tuple[float, float, float]], paper: str
) -> tuple[Tiling, list[Circle]]:
    width, depth = size
    at = [(u * width, v * depth, r) for u, v, r in holes]
    return tile((0, 0, width, depth), at, layouts(catalogue().papers[paper]), OVERLAP), at


def counts(seams: np.ndarray, at: np.ndarray, radius: np.ndarray) -> tuple[int, int, int]:
    """Centres a seam runs through, comes near, and holes it cuts, by their definitions."""
    off = np.abs(seams[:, None] - at[None, :])
    return int((off < THROUGH).sum()), int((off < NEAR).sum()), int((off < radius + BREATH).sum())


def least_on_a_grid(
    low: float, high: float, room: float, at: np.ndarray, radius: np.ndarray, count: int
) -> tuple[int, int, int]:
    """The least that ``count − 1`` seams cost with each at any tenth of a millimetre its windows allow."""
    step, half = room - OVERLAP, OVERLAP / 2
    reach = []
    for k in range(1, count):
        first = max(low + half, high + half - (count - k) * step - OVERLAP)
        last = min(low + room - half + (k - 1) * step, high - half)
        reach.append(np.arange(first, last + 1e-9, max((last - first) / 60, 0.1)))
    best = (10**9, 0, 0)
    for seams in itertools.product(*reach):
        if all(b - a <= step + 1e-9 for a, b in itertools.pairwise(seams)):
            best = min(best, counts(np.array(seams), at, radius))
    return best


@examples(12)
@given(boards, circles, st.sampled_from(PAPERS))
def test_the_tiling_is_never_beaten_on_a_fine_grid(
    size: tuple[float, float], holes: list[tuple[float, float, float]], paper: str
) -> None:
    """Fewest sheets first; then over every way the paper lies the seams of each axis by themselves, as they cross."""
    tiling, at = tiled(size, holes, paper)
    x, y, r = (np.array([c[k] for c in at]) for k in range(3))
    mine = np.array(tiling.cost.key[:3])
    for layout in layouts(catalogue().papers[paper]):
        numbers = []
        for length, room in zip(size, layout.room, strict=True):
            numbers.append(max(1, math.ceil((length + 2 * BLEED - OVERLAP) / (room - OVERLAP) - 1e-9)))
        sheets = numbers[0] * numbers[1]
        assert len(tiling.tiles) <= sheets
        assume(max(numbers) <= 4)
        if sheets == len(tiling.tiles):
            across = least_on_a_grid(-BLEED, size[0] + BLEED, layout.room[0], x, r, numbers[0])
            along = least_on_a_grid(-BLEED, size[1] + BLEED, layout.room[1], y, r, numbers[1])
            assert tuple(mine) <= tuple(np.array(across) + np.array(along))


@examples(25)
@given(st.lists(st.tuples(st.floats(5, 500), st.floats(2, 45)), max_size=14), st.floats(351, 519))
def test_of_seams_that_cost_the_same_the_most_even_are_taken(holes: list[tuple[float, float]], length: float) -> None:
    """Two seams in windows of 180 mm: no pair on a grid costs the same and lies nearer to thirds."""
    room, overlap = 180.0, 10.0
    at, radius = (np.array([h[k] for h in holes]) for k in (0, 1))
    seams, cost, weighed = place_seams(0.0, length, room, overlap, Holes(at, radius))
    assert len(seams) == 2 and weighed >= 2
    thirds = np.array([length / 3, 2 * length / 3])
    mine = float(((np.array(seams) - thirds) ** 2).sum())
    assert mine == pytest.approx(cost.uneven)
    places = np.arange(overlap / 2, length, 1.0)
    for a, b in itertools.combinations(places, 2):
        fits = a + overlap / 2 <= room and b - a + overlap <= room and length - b + overlap / 2 <= room
        nearer = (a - thirds[0]) ** 2 + (b - thirds[1]) ** 2 < mine - 1e-6
        if fits and nearer:
            assert counts(np.array([a, b]), at, radius) > (cost.through, cost.near, cost.cut)


@examples(50)
@given(boards, circles, st.sampled_from(PAPERS))
def test_every_centre_is_on_a_sheet_and_every_hole_that_can_be_is_whole_on_one(
    size: tuple[float, float], holes: list[tuple[float, float, float]], paper: str
) -> None:
    """A hole no wider than the overlap beyond its seam is whole on the one side or the other."""
    tiling, at = tiled(size, holes, paper)
    for x, y, r in at:
        windows = [t.window for t in tiling.tiles]
        assert any(w[0] <= x <= w[2] and w[1] <= y <= w[3] for w in windows)
        half = tiling.overlap / 2
        free = all(abs(s - x) >= r - half for s in tiling.vertical) and all(
            abs(s - y) >= r - half for s in tiling.horizontal
        )
        inside = x - r >= -BLEED and y - r >= -BLEED and x + r <= size[0] + BLEED and y + r <= size[1] + BLEED
        if free and inside:
            assert any(w[0] <= x - r and w[1] <= y - r and x + r <= w[2] and y + r <= w[3] for w in windows)


@examples(25)
@given(
    st.floats(640, 1300),
    st.floats(260, 420),
    st.sampled_from(PAPERS),
    st.floats(9, 30),
    st.sampled_from(["top", "under"]),
)
def test_both_sheets_of_a_seam_agree_on_its_marks_and_join_each_other(
    width: float, depth: float, paper: str, overlap: float, face: str
) -> None:
    """A mark stands on both pages at its place of the board: page less offset is the same to 0.001 mm."""
    board = two_player(round(width, 1), round(depth, 1))
    plan = plan_sheets(board, face, Printing(catalogue().papers[paper], overlap=overlap))  # type: ignore[arg-type]
    tiles = set(plan.tiling.tiles)
    for seam in plan.seams:
        assert {seam.first, seam.second} <= tiles
        assert len(seam.marks) >= 2
        places = []
        for one in (seam.first, seam.second):
            x0, y0, x1, y1 = one.window
            page = [(at[0] + one.offset[0], at[1] + one.offset[1]) for _, at in seam.marks]
            room = plan.tiling.layout.window
            assert all(room[0] - 1e-6 <= x <= room[2] + 1e-6 and room[1] - 1e-6 <= y <= room[3] + 1e-6 for x, y in page)
            assert all(x0 <= at[0] <= x1 and y0 <= at[1] <= y1 for _, at in seam.marks)
            places.append([(x - one.offset[0], y - one.offset[1]) for x, y in page])
        assert np.abs(np.array(places[0]) - np.array(places[1])).max() < 0.001


@examples(25)
@given(st.floats(640, 1300), st.floats(260, 420), st.sampled_from(PAPERS))
def test_the_underside_is_the_mirror_image_to_the_last_digit(width: float, depth: float, paper: str) -> None:
    """A place x of the top is at width − x, for every centre, y the same."""
    board = two_player(round(width, 1), round(depth, 1))
    holes = {h.centre for p in board.drilled for h in p.holes}
    under = plan_sheets(board, "under", catalogue().papers[paper]).template
    for x, y in holes:
        assert any(abs(board.width - x - u) < 1e-9 and abs(y - v) < 1e-9 for u, v in under.centres)


@pytest.mark.parametrize("paper", PAPERS)
def test_one_orientation_and_no_empty_sheet(paper: str) -> None:
    tiling, _ = tiled((1200.0, 400.0), [(0.2, 0.3, 15.0), (0.7, 0.6, 15.0)], paper)
    assert tiling.orientation in ("portrait", "landscape")
    for one in tiling.tiles:
        x0, y0, x1, y1 = one.cell
        assert x0 < 1200 and x1 > 0 and y0 < 400 and y1 > 0
