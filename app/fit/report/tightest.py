"""What was judged, and where a board is tightest: how many pairs of what, and the nearest of each with their margin.

A rule speaks of what falls short. This tells of everything else too, so that *fits* can be believed.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from msgspec import Struct

from app.catalogue.load import Catalogue
from app.fit.features.features import KINDS, SPANNER, WIRES, Floats, Ints
from app.fit.features.layout import Layout, layout_of, subjects_of
from app.fit.limits.allowance import worst_between
from app.fit.limits.pair_table import BETWEEN
from app.fit.limits.required_distances import asked_between, most_asked
from app.fit.report.tightest_board import Tried, against_board, of_openings
from app.fit.report.tightest_legends import of_legends
from app.model.resolved import ResolvedBoard

_FEW = 1000  # pairs of two kinds: so few are measured at once, whatever is between them
_SHOWN = 3
_FIRST = 8.0  # mm: looked this far first, then further until nothing beyond can be tighter
_MOST = 400_000  # pairs looked at: where so many are let off, the tightest of the near ones are told


class Nearest(Struct, frozen=True):
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


class Tightest(Struct, frozen=True):
    """What was judged of two kinds of features.

    Args:
        what, other: the kinds, as a builder calls them.
        tried: how many pairs of them there are.
        nearest: the tightest, at most three, the tightest first. Of a heap (:mod:`app.fit.features.heaps`) each is
        measured to
            the one it is on, and not to every other.
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
    tried = (*_pairs(layout), *against_board(layout), *of_openings(layout), *of_legends(layout))
    found = [_shown(layout, each) for each in tried]
    return _ordered(found)


def _ordered(found: list[Tightest]) -> tuple[Tightest, ...]:
    return tuple(sorted(found, key=lambda t: (t.nearest[0].margin if t.nearest else np.inf, t.what, t.other)))


def _pairs(layout: Layout) -> Iterator[Tried]:
    """Every two kinds of features of different placements that a rule judges."""
    features = layout.features
    many = np.zeros((len(layout.placed), len(KINDS)), np.int64)
    np.add.at(many, (features.owner, features.kind), 1)
    total = many.sum(axis=0)
    pairs = np.outer(total, total) - many.T @ many
    for (a, b), cell in BETWEEN.items():
        count = int(pairs[a, b]) // (2 if a == b else 1)
        if not cell.rules or {a, b} & {SPANNER, WIRES} or not count:
            continue
        first, second, measured, required = _nearest(layout, a, b)
        yield Tried(KINDS[a], KINDS[b], count, np.stack((first, second), axis=1), measured, required)


def _nearest(layout: Layout, a: int, b: int) -> tuple[Ints, Ints, Floats, Floats]:
    """Owners, worst distance and need of pairs of two kinds, the tightest few of them included.

    What is further off may be tighter where more is asked of it, so it looks as far as that can be.
    """
    features, one, other = layout.features, layout.features.of(a), layout.features.of(b)
    x0, y0, x1, y1 = layout.board.outline.bounds
    off = 2 * layout.allowance.position
    furthest, reach = 4 * float(np.hypot(x1 - x0, y1 - y0)) + 1000.0, _FIRST + off
    if len(one) * len(other) <= _FEW:
        reach = furthest
    while True:
        i, j, distance = _within(layout, one, other, reach)
        looked = len(i)
        keep = (features.owner[i] != features.owner[j]) & ((a != b) | (i < j))
        i, j, measured = i[keep], j[keep], worst_between(distance[keep], layout.allowance)
        required = np.maximum(*asked_between(layout, i, j))
        asked = np.isfinite(required)
        i, j, measured, required = i[asked], j[asked], measured[asked], required[asked]
        margin = measured - required
        order = np.argsort(margin, kind="stable")
        low, high = np.minimum(features.owner[i], features.owner[j]), np.maximum(features.owner[i], features.owner[j])
        once = np.sort(np.unique((low * len(layout.placed) + high)[order], return_index=True)[1])
        enough = margin[order][once][_SHOWN - 1 :]
        needed = float(enough[0]) + off + most_asked(layout) if len(enough) else 2 * reach
        if needed <= reach or reach > furthest or looked > _MOST or looked >= len(one) * len(other):
            return features.owner[i], features.owner[j], measured, required
        reach = max(needed, reach + _FIRST)


def _within(layout: Layout, one: Ints, other: Ints, reach: float) -> tuple[Ints, Ints, Floats]:
    """Features of ``one`` and of ``other`` closer than ``reach`` mm, and how close; none of two that lie in heaps."""
    shapes, some = layout.features.shapes, layout.stacked[layout.features.owner]
    found = []
    for a, b in ((one[~some[one]], other), (one[some[one]], other[~some[other]])) if some.any() else ((one, other),):
        pairs = shapes.take(a).against(shapes.take(b), reach)
        found.append((a[pairs.first], b[pairs.second], pairs.distance))
    i, j, distance = (np.concatenate(side) for side in zip(*found, strict=True))
    return i, j, distance


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
