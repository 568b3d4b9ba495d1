"""Finding free places for words: a raster that never calls covered paper free, and an index that looks only near by."""

from __future__ import annotations

from math import dist, hypot

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.drafting.labels.covered import Covered
from app.drafting.labels.crowding import CROWDED, FILLED, crowding
from app.drafting.labels.first_places import first_places
from app.drafting.labels.hole_words import set_words
from app.drafting.labels.ink_mask import InkMask
from app.drafting.labels.nearby import Nearby
from app.drafting.labels.placer import Obstacles, Placer
from app.drafting.labels.word_key import WordKey, works_of
from app.drafting.labels.word_places import WordSetting
from app.drafting.template.drill_template import drill_template
from app.model.resolved import ResolvedBoard
from tests.boards.dense_boards import dense_board
from tests.long_run import examples
from tests.unit.drafting.boards import two_player

FRAME = (0.0, 0.0, 100.0, 80.0)
PIXEL = 0.25

places = st.floats(0, 100)
sizes = st.floats(0.1, 20)
boxes = st.tuples(places, places, sizes, sizes).map(lambda b: (b[0], b[1], b[0] + b[2], b[1] + b[3]))


@examples(40)
@given(boxes, st.tuples(places, st.floats(0, 80), sizes), st.floats(0, 1))
def test_no_rectangle_over_a_ring_is_called_free_and_one_a_pixel_off_is(
    box: tuple[float, float, float, float], disc: tuple[float, float, float], share: float
) -> None:
    """A ring from ``share`` of its radius on: touched where its nearest point lies within, its farthest beyond."""
    (x, y, r), (x0, y0, x1, y1) = disc, box
    mask = InkMask(FRAME)
    mask.rings([(x, y, share * r, r)])
    near = hypot(max(x0 - x, x - x1, 0.0), max(y0 - y, y - y1, 0.0))
    far = max(hypot(u - x, v - y) for u in (x0, x1) for v in (y0, y1))
    found = bool(Covered(mask).any(np.array([box]))[0])
    inside = x1 <= FRAME[2] and y1 <= FRAME[3]
    if inside and near < r and far > share * r:
        assert found
    if near > r + 2 * PIXEL or far < share * r - 2 * PIXEL:
        assert not found


@examples(40)
@given(st.lists(boxes, max_size=30), boxes)
def test_everything_that_touches_a_rectangle_is_found(
    rows: list[tuple[float, float, float, float]], box: tuple[float, float, float, float]
) -> None:
    index = Nearby((row, number) for number, row in enumerate(rows))
    found = index.near(box)
    assert found == sorted(set(found))
    for number, row in enumerate(rows):
        if row[0] <= box[2] and box[0] <= row[2] and row[1] <= box[3] and box[1] <= row[3]:
            assert number in found


@examples(40)
@given(st.lists(boxes, min_size=1, max_size=30), boxes)
def test_the_same_is_found_among_few_rows_and_among_many(
    rows: list[tuple[float, float, float, float]], box: tuple[float, float, float, float]
) -> None:
    """The squares of a grid are filled only where there are many rows; what lies far off makes them many here."""
    few: Nearby[int] = Nearby((row, number) for number, row in enumerate(rows))
    many: Nearby[int] = Nearby((row, number) for number, row in enumerate(rows))
    for number in range(100):
        many.add((9000.0, 9000.0, 9001.0, 9001.0), -number)
    assert few.near(box) == many.near(box)


@pytest.mark.parametrize("side", [10, 100])
def test_what_is_looked_at_does_not_grow_with_the_board(side: int) -> None:
    """Of side² points 20 mm apart, those in the squares of 16 mm about a place: 2 or 3 each way, however many more."""
    points = [(20.0 * i, 20.0 * j) for i in range(side) for j in range(side)]
    index = Nearby(((x, y, x, y), (x, y)) for x, y in points)
    assert 1 <= len(index.near((70.0, 70.0, 90.0, 90.0))) <= 9


def test_a_leader_is_refused_in_a_hole_and_over_words_and_pays_for_a_line() -> None:
    line = ((50.0, 10.0), (50.0, 60.0))
    placer = Placer(Obstacles(FRAME, discs=[(20.0, 20.0, 6.0)], rims=[(20.0, 20.0, 6.0)], lines=[line]))
    assert placer.leader_cost((10.0, 40.0), (40.0, 40.0)) == 0.0
    assert placer.leader_cost((10.0, 20.0), (40.0, 20.0)) is None, "through the hole"
    once, twice = (placer.leader_cost((40.0, y), (60.0, y)) for y in (30.0, 70.0))
    assert once is not None and once > 0.0 and twice == 0.0
    placer.take((20.0, 38.0, 30.0, 42.0))
    assert placer.leader_cost((10.0, 40.0), (40.0, 40.0)) is None, "over words"
    assert placer.leader_cost((90.0, 40.0), (120.0, 40.0)) is None, "off the sheet"


def crowded_placer(seed: int) -> Placer:
    """Holes, lines and words at random."""
    rng = np.random.default_rng(seed)
    discs = [(float(x), float(y), 5.0) for x, y in rng.uniform(0, 80, (9, 2))]
    lines = [((float(x), 0.0), (float(x), 80.0)) for x in rng.uniform(0, 100, 4)]
    ruled = [((0.0, 33.0), (100.0, 33.0)), ((61.0, 0.0), (61.0, 80.0))]
    placer = Placer(Obstacles(FRAME, discs=discs, lines=lines, ruled=ruled))
    for x, y in rng.uniform(0, 80, (6, 2)).tolist():
        placer.take((x, y, x + 9.0, y + 4.0))
    return placer


@pytest.mark.parametrize("seed", range(4))
def test_one_box_and_boxes_in_a_row_are_told_as_all_boxes_are(seed: int) -> None:
    placer, answers = crowded_placer(seed), set()
    for axis in (0, 1):
        for across in np.arange(-4.0, 100.0, 3.3).tolist():
            starts = np.arange(-6.0, 101.0, 1.7)
            row = placer.row((across, across + 3.0), axis)
            for length in (2.0, 7.0, 30.0):
                ends = starts + length
                rows = np.column_stack([starts, np.full_like(starts, across), ends, np.full_like(starts, across + 3)])
                boxes = rows if axis == 0 else rows[:, [1, 0, 3, 2]]
                free = placer.free(boxes)
                assert [placer.is_free((a, b, c, d)) for a, b, c, d in boxes.tolist()] == free.tolist()
                first = row.first(starts, length) if row else None
                assert first == (int(np.argmax(free)) if free.any() else None)
                answers.add(first is None)
    assert answers == {True, False}


@pytest.mark.parametrize("board", [two_player(), dense_board(40, 24.0), dense_board(30, 21.0)])
def test_words_stand_where_they_would_if_holes_were_not_weighed_together(board: ResolvedBoard) -> None:
    """With the first places told and without, in turn over the same sheet: the same words at the same places."""
    template = drill_template(board, "top")
    x0, y0, x1, y1 = template.box
    ground = Obstacles((x0, y0, x1, y1), discs=template.circles, rims=template.circles)
    ways = [WordSetting((x0, y0, (x0 + x1) / 2, y1), own=m.at[0] < (x0 + x1) / 2) for m in template.marks]
    together, alone = Placer(ground), Placer(ground)
    keys = [WordKey(works_of(template.marks), 9) for _ in range(2)]
    told = 0
    for mark, way, first in zip(template.marks, ways, first_places(template.marks, together, ways), strict=True):
        places = list(first)
        told += len(places) > 0
        assert [p.toll for p in places] == sorted(p.toll for p in places)
        assert set_words(mark, together, keys[0], way, places) == set_words(mark, alone, keys[1], way)
    assert told > 0


def test_words_that_may_stand_on_a_ruled_line_stand_there_only_if_they_are_let() -> None:
    placer = Placer(Obstacles(FRAME, ruled=[((0.0, 40.0), (100.0, 40.0))]))
    over = np.array([(10.0, 38.0, 30.0, 42.0)])
    assert not placer.free(over).any()
    assert placer.free(over, across=True).all()


def test_only_close_holes_are_crowded() -> None:
    """A usual deck has places for a key; 12 mm holes 20 mm apart have none, and no room for long words either."""
    assert crowding(drill_template(two_player(), "top")) < FILLED
    close, wide = (crowding(drill_template(dense_board(110, pitch), "top")) for pitch in (20.0, 60.0))
    assert wide < FILLED < CROWDED < close


def test_near_centres_are_one_centre() -> None:
    """Of one part whose hole and counterbore share a centre there is one cross, as wide as the counterbore."""
    template = drill_template(dense_board(10, 30.0, 20.0), "under")
    assert len(template.centres) == 10
    assert all(r == 10.0 for _, _, r in template.circles)
    assert min(dist(a, b) for a in template.centres for b in template.centres if a != b) == pytest.approx(30.0)
