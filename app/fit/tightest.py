"""What was judged, and where a board is tightest: how many pairs of what, and the nearest of each with their margin.

A rule speaks of what falls short. This tells of everything else too, so that *fits* can be believed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from app.catalogue.load import Catalogue
from app.fit.allowance import worst_between
from app.fit.asked import asked_between
from app.fit.layout import Layout, layout_of, subjects_of
from app.fit.table import BETWEEN
from app.fit.things import SPANNER, WIRES, WORDS, Floats, Ints
from app.fit.tightest_board import Tried, against_board, of_openings
from app.model.resolved import ResolvedBoard

_SHOWN = 3
_FIRST = 8.0  # mm: looked this far first, then twice as far until enough are found


@dataclass(frozen=True, slots=True)
class Nearest:
    """One of the tightest of its kind.

    Args:
        subjects: placement ids; none for what is of the board itself.
        measured: what there is, worst case [mm].
        required: what is needed so that nothing is found [mm].
    """

    subjects: tuple[str, ...]
    measured: float
    required: float

    @property
    def margin(self) -> float:
        """Measured less required [mm]; negative where a rule has found something."""
        return self.measured - self.required


@dataclass(frozen=True, slots=True)
class Tightest:
    """What was judged of two kinds of things.

    Args:
        what, other: the kinds, as a builder calls them.
        tried: how many pairs of them there are.
        nearest: the tightest, at most three, the tightest first.
    """

    what: str
    other: str
    tried: int
    nearest: tuple[Nearest, ...]


def tightest(board: ResolvedBoard, catalogue: Catalogue) -> tuple[Tightest, ...]:
    """Every two kinds that rules judged on a board, the tightest first.

    It looks further than the rules have to, so it is made when somebody asks.
    """
    layout = layout_of(board, catalogue)
    if not layout.placed:
        return _ordered([_shown(layout, tried) for tried in of_openings(layout)])
    found = [_shown(layout, tried) for tried in (*_pairs(layout), *against_board(layout), *of_openings(layout))]
    return _ordered(found)


def _ordered(found: list[Tightest]) -> tuple[Tightest, ...]:
    return tuple(sorted(found, key=lambda t: (t.nearest[0].margin if t.nearest else np.inf, t.what, t.other)))


def _pairs(layout: Layout) -> Iterator[Tried]:
    """Every two kinds of things of different placements that a rule judges."""
    things = layout.things
    many = np.zeros((len(layout.placed), len(WORDS)), np.int64)
    np.add.at(many, (things.owner, things.kind), 1)
    total = many.sum(axis=0)
    pairs = np.outer(total, total) - many.T @ many
    for (a, b), cell in BETWEEN.items():
        count = int(pairs[a, b]) // (2 if a == b else 1)
        if not cell.rules or {a, b} & {SPANNER, WIRES} or not count:
            continue
        first, second, measured, required = _nearest(layout, a, b, min(count, _SHOWN))
        yield Tried(WORDS[a], WORDS[b], count, np.stack((first, second), axis=1), measured, required)


def _nearest(layout: Layout, a: int, b: int, wanted: int) -> tuple[Ints, Ints, Floats, Floats]:
    """Owners, worst distance and need of the nearest pairs of two kinds, of as many as ``wanted`` at least."""
    things, one, other = layout.things, layout.things.of(a), layout.things.of(b)
    x0, y0, x1, y1 = layout.board.outline.bounds
    most, reach = 4 * float(np.hypot(x1 - x0, y1 - y0)) + 1000.0, _FIRST + 2 * layout.allowance.position
    while True:
        pairs = things.shapes.take(one).against(things.shapes.take(other), reach)
        i, j = one[pairs.first], other[pairs.second]
        keep = (things.owner[i] != things.owner[j]) & ((a != b) | (i < j))
        i, j, distance = i[keep], j[keep], pairs.distance[keep]
        if len(np.unique(np.minimum(i, j) * len(things) + np.maximum(i, j))) >= wanted or reach > most:
            break
        reach *= 2
    required = np.maximum(*asked_between(layout, i, j))
    asked = np.isfinite(required)
    i, j, distance, required = i[asked], j[asked], distance[asked], required[asked]
    return things.owner[i], things.owner[j], worst_between(distance, layout.allowance), required


def _shown(layout: Layout, tried: Tried) -> Tightest:
    """The tightest few, each placement or pair of them once."""
    order = np.argsort(tried.measured - tried.required, kind="stable")
    nearest: dict[tuple[str, ...], Nearest] = {}
    for row in order.tolist():
        owners = dict.fromkeys(k for k in tried.owners[row].tolist() if k >= 0)
        subjects = subjects_of(layout, list(owners))
        if subjects not in nearest or not subjects:
            key = subjects or (str(row),)
            nearest[key] = Nearest(subjects, float(tried.measured[row]), float(tried.required[row]))
        if len(nearest) == _SHOWN:
            break
    return Tightest(tried.what, tried.other, tried.tried, tuple(nearest.values()))
