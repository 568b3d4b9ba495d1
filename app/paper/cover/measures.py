"""What a builder measures on the board itself: overall size, diagonals, and three distances between holes."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from itertools import chain

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from app.drafting.template.pattern_marks import outermost
from app.geometry.outline import Corner
from app.model.resolved import Placed, ResolvedBoard
from app.scene.primitives import Point

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]

_SAME = 1e-6
_MANY = 200  # holes, of which every pair is looked at
_WAYS = 180
_LEAST = 20.0  # shorter distances show no error of scale [mm]
_APART = 0.15  # share of a distance that must be news beside those chosen before it


class LetteredHole(Struct, frozen=True):
    """A hole's centre on the top face [mm], and the letter it is known by."""

    name: str
    at: Point


class Pair(Struct, frozen=True):
    """A distance to measure between two holes.

    Args:
        a, b: the holes.
        length: from centre to centre [mm].
        limit: by how much it may be off: both holes by the allowance of the drilling method [mm].
        news: whether it tells something the pairs before it do not.
    """

    a: LetteredHole
    b: LetteredHole
    length: float
    limit: float
    news: bool = True


class Diagonals(Struct, frozen=True):
    """The diagonals of a board, or why they cannot be measured.

    Args:
        lengths: front left to back right, and front right to back left [mm]; empty if they cannot be measured.
        limit: by how much each may be off if every edge is off by its allowance [mm].
        between: what they are measured between, or why they cannot be.
    """

    lengths: tuple[float, ...]
    limit: float
    between: str


def lettered_holes(board: ResolvedBoard) -> tuple[LetteredHole, ...]:
    """The first hole of everything that is drilled, and the outermost of a pattern, by their letters.

    One without a letter of its own gets a name.
    """
    placed = [p for p in board.drilled if p.holes]
    count = Counter(p.label for p in placed)
    found: list[LetteredHole] = []
    # A grid of squares as wide as two places may differ: what is the same lies in the same square or beside it.
    squares: dict[tuple[int, int], list[Point]] = {}
    for p, at, called in chain(*map(_named, placed)):
        x, y = at
        i, j = math.floor(x / _SAME), math.floor(y / _SAME)
        about = [q for a in (i - 1, i, i + 1) for b in (j - 1, j, j + 1) for q in squares.get((a, b), ())]
        if any(math.dist(q, at) < _SAME for q in about):
            continue
        squares.setdefault((i, j), []).append(at)
        name = called if p.label and count[p.label] == 1 else f"hole {len(found) + 1}"
        found.append(LetteredHole(name, at))
    return tuple(found)


def _named(placed: Placed) -> list[tuple[Placed, Point, str]]:
    """The first hole of a part by its letter; of a pattern the outermost, by their numbers."""
    pattern = placed.part.pattern
    if not placed.holes:
        return []
    if pattern is None:
        return [(placed, placed.holes[0].centre, placed.label)]
    numbers = pattern.holes.numbers
    return [(placed, placed.holes[k].centre, f"{placed.label}-{numbers[k]}") for k in outermost(placed)]


def hole_pairs(board: ResolvedBoard) -> tuple[Pair, ...]:
    """Up to three distances that together tell most of how the sheets lie.

    The first is between the holes farthest apart. A distance of length L at angle a to the front shows a scale error
    along x by L cos² a, one along y by L sin² a, and a shear by L sin a cos a. Each further pair is the one with the
    longest part, in these three, that the pairs before it do not show (Gram and Schmidt); so the three are neither
    parallel nor short. Where all holes lie in a line the rest are its longest other distances, and are no news. Of more
    than ``_MANY`` holes only the outermost are paired.
    """
    found = lettered_holes(board)
    limit = 2 * board.tooling.drilling.position
    pairs = telling_pairs(np.array([hole.at for hole in found], float).reshape(-1, 2))
    return tuple(_pair(found, index, length, limit, news) for index, length, news in pairs)


def telling_pairs(at: Floats) -> tuple[tuple[tuple[int, int], float, bool], ...]:
    """The same of places, shape (n, 2) [mm]: which two each, how far apart [mm], and whether it is news."""
    kept = _outermost(at)
    one, other = (kept[side] for side in np.triu_indices(len(kept), 1))
    step = at[other] - at[one]
    length = np.hypot(step[:, 0], step[:, 1])
    far = length >= _LEAST
    one, other, step, length = one[far], other[far], step[far], length[far]
    if not len(length):
        return ()
    shown = (
        np.column_stack((step[:, 0] ** 2, math.sqrt(2) * step[:, 0] * step[:, 1], step[:, 1] ** 2)) / length[:, None]
    )
    chosen = _independent(shown, length)
    return tuple(((int(one[k]), int(other[k])), float(length[k]), news) for k, news in chosen)


def _outermost(at: Floats) -> Ints:
    """Numbers of the places that long distances are measured between, in order: all, or of many those farthest out.

    Of two distances in one direction the longer shows more; so of many holes only those are paired that are the
    outermost in one of ``_WAYS`` directions.
    """
    if len(at) <= _MANY:
        return np.arange(len(at))
    turns = 2 * np.pi * np.arange(_WAYS) / _WAYS
    return np.unique(np.argmax(at @ np.stack((np.cos(turns), np.sin(turns))), axis=0))


def _pair(found: Sequence[LetteredHole], index: tuple[int, int], length: float, limit: float, news: bool) -> Pair:
    a, b = sorted((found[i] for i in index), key=lambda hole: hole.at)
    return Pair(a, b, length, limit, news)


def _independent(shown: Floats, length: Floats) -> list[tuple[int, bool]]:
    """Rows to choose, and whether each is news; the first is the longest, for every row is as long as its pair."""
    left = shown.copy()
    chosen: list[tuple[int, bool]] = []
    for _ in range(min(3, len(shown))):
        norms = np.hypot(np.hypot(left[:, 0], left[:, 1]), left[:, 2])
        norms[[k for k, _ in chosen]] = -1.0
        k = int(np.argmax(np.round(norms, 6)))
        news = not chosen or bool(norms[k] >= max(_LEAST, _APART * length[k]))
        if not news:
            rest = np.where(np.isin(np.arange(len(length)), [c for c, _ in chosen]), -1.0, np.round(length, 6))
            k = int(np.argmax(rest))
        chosen.append((k, news))
        if news:
            axis = left[k] / norms[k]
            left = left - np.outer(left @ axis, axis)
    return chosen


def diagonals(board: ResolvedBoard) -> Diagonals:
    """The two diagonals between the board's four outer corners, and between what exactly they are measured."""
    if _sawn_last(board):
        long = math.hypot(board.width, board.depth_front_to_back)
        limit = 2 * board.tooling.drilling.edge * (board.width + board.depth_front_to_back) / long
        return Diagonals((long, long), limit, "Between the corners of the blank, before it is sawn to the rim.")
    corners = _four(board)
    if corners is None:
        said = "This outline has no four corners to measure diagonals between: check it is square by the holes instead."
        return Diagonals((), 0.0, said)
    fl, fr, br, bl = corners
    lengths = (math.dist((fl.x, fl.y), (br.x, br.y)), math.dist((fr.x, fr.y), (bl.x, bl.y)))
    limit = 2 * board.tooling.drilling.edge * (board.width + board.depth_front_to_back) / min(lengths)
    if any(c.setback for c in corners):
        between = "Between the corners before they are rounded; afterwards, extend the edges with a rule."
    else:
        between = "From corner to corner."
    return Diagonals(lengths, limit, between)


def _sawn_last(board: ResolvedBoard) -> bool:
    """Whether a blank is laid out first: the rim is round at a datum edge, or leaves no edge to find a corner by."""
    set_back = any(corner.setback for corner in board.outline.corners)
    return bool(board.round_edges & {"left", "front"} or (set_back and board.round_edges))


def _four(board: ResolvedBoard) -> tuple[Corner, Corner, Corner, Corner] | None:
    """Front left, front right, back right and back left corner; None if the outline has no such four.

    They are the corners of an outline that has four, or those in the corners of the rectangle round it.
    """
    x0, y0, x1, y1 = board.outline.bounds
    places = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    corners = board.outline.corners
    near = [min(corners, key=lambda c, p=p: math.dist((c.x, c.y), p)) for p in places]  # type: ignore[misc]
    if len({(c.x, c.y) for c in near}) < 4:
        return None
    if len(corners) > 4 and any(math.dist((c.x, c.y), p) > _SAME for c, p in zip(near, places, strict=True)):
        return None
    return (near[0], near[1], near[2], near[3])
