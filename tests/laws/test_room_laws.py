"""Laws of making room, on many crowded boards, beside another search that knows nothing of the rules' code.

The other search minimises with scipy's SLSQP (D. Kraft, A software package for sequential quadratic programming,
DFVLR-FB 88-28, 1988) from many starts, on limits written out anew here for round parts on a rectangle.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

import numpy as np
import numpy.typing as npt
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import minimize

from app.fit.report.report import check
from app.geometry.outline import rectangle_outline
from app.model.resolved import Placed, ResolvedBoard
from app.room.make import MOVING, Attempt, attempt, shifted
from app.values import replace
from tests.long_run import examples
from tests.unit.fit.boards import CATALOGUE, at, board, button

Floats = npt.NDArray[np.float64]

# Hole and flange of two round parts [mm]; the smaller has the wider rim for its hole.
PARTS = (button(28, flange=32), button(24, flange=30))
HOLES, RIMS = (14.0, 12.0), (16.0, 15.0)
WEB, GAP, EDGE, OVERHANG = 5.0, 0.5, 12.0, 0.5  # what the boards of these tests ask for [mm], no allowance
ROUNDING = 0.15  # mm to a part: shifts are in tenths, along both axes
SPARE = 0.01  # mm

places = st.floats(-12, 12, allow_nan=False).map(lambda v: round(v, 3))


@st.composite
def decks(draw: st.DrawFn, least: int, most: int) -> ResolvedBoard:
    """A board about as large as its parts need, the parts anywhere near a loose grid."""
    count = draw(st.integers(least, most))
    columns = draw(st.integers(1, count))
    rows = math.ceil(count / columns)
    pitch = draw(st.floats(31, 40))
    spare = draw(st.floats(0, 30))
    parts = []
    for k in range(count):
        x = 26 + spare / 2 + (k % columns) * pitch + draw(places)
        y = 26 + spare / 2 + (k // columns) * pitch + draw(places)
        kind = draw(st.sampled_from((0, 1)))
        parts.append(at(x, y, PARTS[kind], name=f"p{k}", locked=draw(st.integers(0, 9)) == 0))
    return board(*parts, outline=rectangle_outline(52 + (columns - 1) * pitch + spare, 52 + (rows - 1) * pitch + spare))


def kind_of(placed: Placed) -> int:
    return PARTS.index(placed.part)


def pairs_of(judged: ResolvedBoard) -> list[tuple[int, int]]:
    """Parts of a kind that are each other's image about the centre line, and so are kept that way."""
    found: list[tuple[int, int]] = []
    for (i, a), (j, b) in itertools.combinations(enumerate(judged.placements), 2):
        image = abs(a.x + b.x - judged.width) < 0.02 and abs(a.y - b.y) < 0.01 and abs(2 * a.x - judged.width) > 0.02
        if image and a.part is b.part and not any({i, j} & set(pair) for pair in found):
            found.append((i, j))
    return found


def follows_of(judged: ResolvedBoard, *, loose: bool) -> Floats:
    """How placements follow free numbers: one row for each of their coordinates, one column for each number.

    Pairs stay pairs and what is on the line between them stays there; locked parts stay. A part whose image is
    locked stays too, or, ``loose``, goes its own way.
    """
    locked = [p.locked for p in judged.placements]
    pairs = [(i, j) for i, j in pairs_of(judged) if not (loose and locked[i] != locked[j])]
    upright = [bool(pairs_of(judged)) and abs(2 * p.x - judged.width) < 0.02 for p in judged.placements]
    columns: list[Floats] = []
    second, mate = {j for _, j in pairs}, dict(pairs)
    for i, fixed in enumerate(locked):
        other = mate.get(i)
        if fixed or i in second or (other is not None and locked[other]):
            continue
        for axis, sign in ((0, -1.0), (1, 1.0)):
            if axis == 0 and upright[i]:
                continue
            column = np.zeros((len(locked), 2))
            column[i, axis] = 1.0
            if other is not None:
                column[other, axis] = sign
            columns.append(column.ravel())
    return np.array(columns).reshape(len(columns), 2 * len(locked)).T


class Limits:
    """The limits of a board of round parts, as one vector that is nowhere negative where all are kept.

    Args:
        judged: the board.
        spare: room asked for beyond every limit [mm].
        loose: whether a part whose image is locked goes its own way.
    """

    def __init__(self, judged: ResolvedBoard, spare: float = 0.0, *, loose: bool = True) -> None:
        self.start = np.array([(p.x, p.y) for p in judged.placements])
        kinds = [kind_of(p) for p in judged.placements]
        self.follows = follows_of(judged, loose=loose)
        free = np.abs(self.follows).sum(axis=1).reshape(-1, 2).any(axis=1)
        self.free = free
        pairs = itertools.combinations(range(len(kinds)), 2)
        self.pairs = np.array([(i, j) for i, j in pairs if free[i] or free[j]], np.intp).reshape(-1, 2)
        holes, rims = np.array(HOLES)[kinds], np.array(RIMS)[kinds]
        i, j = self.pairs.T
        self.apart = np.maximum(holes[i] + holes[j] + WEB, rims[i] + rims[j] + GAP) + spare
        self.margin = np.maximum(holes + EDGE, rims + OVERHANG) + spare
        self.size = np.array([judged.width, judged.depth_front_to_back])

    def moves(self, numbers: Floats) -> Floats:
        return (self.follows @ numbers).reshape(-1, 2)

    def slack(self, numbers: Floats) -> Floats:
        at_ = self.start + self.moves(numbers)
        gaps = at_[self.pairs[:, 0]] - at_[self.pairs[:, 1]]
        low = (at_ - self.margin[:, None])[self.free]
        high = (self.size - self.margin[:, None] - at_)[self.free]
        return np.concatenate((np.hypot(*gaps.T) - self.apart, low.ravel(), high.ravel()))

    def total(self, numbers: Floats) -> float:
        return float(np.sqrt((self.moves(numbers) ** 2).sum(axis=1) + 1e-10).sum())

    def starts(self, count: int) -> Iterator[Floats]:
        """From near where the parts are to anywhere on the board."""
        rng = np.random.default_rng(7)
        for k in range(count):
            if k % 2 == 0:
                yield rng.normal(0, 5 + 5 * (k % 5), (self.follows.shape[1],))
            else:
                off = np.minimum(self.margin.min(), self.size / 2)
                anywhere = rng.uniform(off, self.size - off, self.start.shape)
                nearest: Floats = np.linalg.pinv(self.follows) @ (anywhere - self.start).ravel()
                yield nearest


def searched(judged: ResolvedBoard, starts: int, spare: float = 0.0, *, loose: bool = True) -> float | None:
    """The smallest sum of distances that the other search finds [mm]; None if it finds no way.

    Args:
        judged: the board.
        starts: how many.
        spare: room asked for beyond every limit [mm].
        loose: whether a part whose image is locked goes its own way.
    """
    limits = Limits(judged, spare, loose=loose)
    if limits.follows.size == 0:
        return 0.0 if limits.slack(np.zeros(0)).min(initial=0.0) >= -1e-6 else None
    best: float | None = None
    for start in limits.starts(starts):
        found = minimize(
            limits.total,
            start,
            method="SLSQP",
            constraints={"type": "ineq", "fun": limits.slack},
            options={"maxiter": 200, "ftol": 1e-9},
        )
        if limits.slack(found.x).min(initial=0.0) >= -1e-6 and (best is None or found.fun < best):
            best = float(found.fun)
    return best


def tried(judged: ResolvedBoard) -> Attempt:
    return attempt(judged, CATALOGUE)


@examples(10)
@given(decks(2, 9))
def test_it_clears_everything_or_there_is_no_way(judged: ResolvedBoard) -> None:
    found = tried(judged)
    if found.after is None:
        assert found.moves == ()
        # A way without a hundredth of a millimetre to spare is none for a person either; a proof allows for none.
        assert searched(judged, 24, 0.0 if found.proven else SPARE) is None, "another search found a way"
        return
    after = check(shifted(judged, {m.placement: (m.dx, m.dy) for m in found.moves}), CATALOGUE)
    locked = {p.id for p in judged.placements if p.locked}
    assert [f for f in after.open if f.rule in MOVING and not set(f.subjects) <= locked] == []
    assert not locked & {m.placement for m in found.moves}
    assert len(after.open) <= len(found.before.open)


@examples(6)
@given(decks(2, 4))
def test_nothing_better_is_found_by_more_than_a_twentieth(judged: ResolvedBoard) -> None:
    found = tried(judged)
    if found.after is None:
        assert searched(judged, 60, 0.0 if found.proven else SPARE) is None
        return
    best = searched(judged, 60, loose=found.loose)
    assert best is not None
    assert found.total <= 1.05 * best + ROUNDING * len(found.moves)


@examples(10)
@given(decks(1, 4), st.integers(0, 20))
def test_symmetric_in_symmetric_out(half: ResolvedBoard, nearness: int) -> None:
    # The half with its image beside it, as near to it as it happens to be.
    middle = half.width + nearness - 20
    parts = [p for q in half.placements for p in (q, image(q, middle))]
    judged = replace(half, placements=tuple(parts), outline=rectangle_outline(2 * middle, half.depth_front_to_back))
    assume(all(abs(p.x - middle) > 0.5 for p in judged.placements))
    found = tried(judged)
    if found.after is None:
        return
    after = {p.id: p for p in found.after.board.placements}
    for q in half.placements:
        one, other = after[q.id], after[f"{q.id}i"]
        assert math.isclose(one.x + other.x, 2 * middle, abs_tol=1e-6)
        assert math.isclose(one.y, other.y, abs_tol=1e-6)


def image(placed: Placed, middle: float) -> Placed:
    """The placement mirrored about a line across."""
    twin = at(2 * middle - placed.x, placed.y, placed.part, name=f"{placed.id}i", locked=placed.locked)
    return replace(twin, angle=-placed.angle)


@examples(10)
@given(decks(2, 9))
def test_what_room_was_made_on_needs_no_more(judged: ResolvedBoard) -> None:
    found = tried(judged)
    if found.after is not None:
        again = tried(found.after.board)
        assert again.wanted == ()
        assert again.moves == ()


@examples(10)
@given(decks(2, 7))
def test_the_same_board_gives_the_same_answer(judged: ResolvedBoard) -> None:
    assert tried(judged).moves == tried(judged).moves
