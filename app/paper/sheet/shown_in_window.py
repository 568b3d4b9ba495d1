"""What of a template shows in a window, asked once for every page: a page need not look at the whole board."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import chain, pairwise

import numpy as np
import numpy.typing as npt
from propcache.api import cached_property

from app.drafting.template.drill_template import Template
from app.drafting.template.pattern_marks import CentreMark
from app.paper.sheet.layout import Box
from app.scene.bounds import bounds
from app.scene.curves import flatten_cubic
from app.scene.primitives import ArcTo, Circle, CubicTo, Item, Line, LineTo, Path, Point, Text

Disc = tuple[float, float, float]
Segment = tuple[Point, Point]
_SAG = 0.05  # how far a straight piece of a bend may be from it [mm]

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]


class Boxes:
    """Rectangles that are asked again and again which of them touch another.

    Args:
        rows: the rectangles, shape (n, 4) [mm].
    """

    def __init__(self, rows: Floats) -> None:
        self.rows = rows
        self._sides = np.ascontiguousarray(rows.T)

    def touching(self, window: Box) -> Ints:
        """Which touch a rectangle, in their order."""
        x0, y0, x1, y1 = self._sides
        touch = (x0 <= window[2]) & (x1 >= window[0]) & (y0 <= window[3]) & (y1 >= window[1])
        found: Ints = touch.nonzero()[0]
        return found

    def pairs(self, windows: Floats) -> tuple[Ints, Ints]:
        """Rows of ``windows``, shape (m, 4), and of the rectangles that touch each, in their order."""
        x0, y0, x1, y1 = self._sides
        u0, v0, u1, v1 = windows.T[:, :, None]
        i, j = np.nonzero((x0 <= u1) & (x1 >= u0) & (y0 <= v1) & (y1 >= v0))
        return i, j


class Stock:
    """The items of a template with the rectangles they lie in."""

    def __init__(self, template: Template) -> None:
        self.template = template

    @cached_property
    def discs(self) -> Floats:
        """The largest circle about each centre, shape (n, 3): x, y, radius [mm]."""
        return np.array(self.template.circles, float).reshape(-1, 3)

    @cached_property
    def disc_boxes(self) -> Boxes:
        """The rectangles round them."""
        return _round_boxes(self.discs)

    @cached_property
    def rounds(self) -> Floats:
        """Circles among the holes, shape (n, 3): x, y, radius [mm]."""
        found = [(*item.centre, item.radius) for item in self.template.holes if isinstance(item, Circle)]
        return np.array(found, float).reshape(-1, 3)

    @cached_property
    def round_boxes(self) -> Boxes:
        """The rectangles round them."""
        return _round_boxes(self.rounds)

    @cached_property
    def cross_boxes(self) -> Boxes:
        """The rectangles round the lines of crosses."""
        return _boxes_round(self._cross_ends)

    @cached_property
    def rim_boxes(self) -> Boxes:
        """The rectangles round straight pieces of the board's rims."""
        return _boxes_round(self._rim_ends)

    @cached_property
    def _crosses(self) -> list[Line]:
        return [line for line in self.template.crosses if isinstance(line, Line)]

    @cached_property
    def _cross_ends(self) -> Floats:
        return _ends((line.a, line.b) for line in self._crosses)

    @cached_property
    def _rim_ends(self) -> Floats:
        return _ends(piece for rim in self.template.outline for piece in rim_segments(rim))

    @cached_property
    def _pieces(self) -> Floats:
        """Everything straight, by its ends, shape (n, 2, 2): crosses, rims, cut-outs that are no circles."""
        cuts = _ends(piece for item in self.template.holes if isinstance(item, Path) for piece in rim_segments(item))
        return np.concatenate([self._cross_ends, self._rim_ends, cuts])

    @cached_property
    def _piece_boxes(self) -> Boxes:
        return _boxes_round(self._pieces)

    @cached_property
    def _holes(self) -> Boxes:
        return _boxes(self.template.holes)

    @cached_property
    def _outlines(self) -> Boxes:
        return _boxes(self.template.outline)

    @cached_property
    def _marks(self) -> Boxes:
        at = np.array([mark.at for mark in self.template.marks], float).reshape(-1, 2)
        return Boxes(np.hstack([at, at]))

    @cached_property
    def _numbers(self) -> Boxes:
        at = np.array([text.at for text in self.template.numbers], float).reshape(-1, 2)
        return Boxes(np.hstack([at, at]))

    def numbers(self, window: Box) -> list[Text]:
        """The numbers of holes of patterns that stand in ``window``."""
        return [self.template.numbers[k] for k in self._numbers.touching(window).tolist()]

    def outline(self, window: Box) -> list[Path]:
        """The rim and the openings that may show in ``window``."""
        return [self.template.outline[k] for k in self._outlines.touching(window).tolist()]

    def holes(self, window: Box) -> list[Item]:
        """Circles and other cut-outs that show in ``window`` at all."""
        return [self.template.holes[k] for k in self._holes.touching(window).tolist()]

    def crosses(self, window: Box) -> list[Line]:
        """Lines of the crosses that show in ``window`` at all."""
        return [self._crosses[k] for k in self.cross_boxes.touching(window).tolist()]

    def circles(self, window: Box) -> Floats:
        """The largest circles about their centres that may show in ``window``, shape (n, 3)."""
        found: Floats = self.discs[self.disc_boxes.touching(window)]
        return found

    def centres(self, window: Box, about: float) -> Floats:
        """The centres in ``window``, or no more than ``about`` from it, shape (n, 2) [mm]."""
        x0, y0, x1, y1 = window
        x, y = self.discs[:, 0], self.discs[:, 1]
        near = (x >= x0 - about) & (x <= x1 + about) & (y >= y0 - about) & (y <= y1 + about)
        found: Floats = self.discs[near, :2]
        return found

    def rims(self, window: Box) -> list[Disc]:
        """The circles among the holes that may show in ``window``: x, y, radius [mm]."""
        return [(x, y, r) for x, y, r in self.rounds[self.round_boxes.touching(window)].tolist()]

    def pieces(self, window: Box) -> Floats:
        """Everything straight that may show in ``window``, by its ends, shape (n, 2, 2) [mm]."""
        found: Floats = self._pieces[self._piece_boxes.touching(window)]
        return found

    def marks(self, window: Box) -> list[CentreMark]:
        """What is written beside the holes whose centres are in ``window``."""
        return [self.template.marks[k] for k in self._marks.touching(window).tolist()]


def rim_segments(rim: Path) -> list[Segment]:
    """A rim as straight pieces; those of bends are about 3 mm long."""
    found: list[Segment] = []
    here = rim.start
    for step in (*rim.steps, LineTo(rim.start)):
        points = [here]
        if isinstance(step, ArcTo):
            radius, turn = math.dist(here, step.centre), math.radians(step.sweep)
            count = max(2, int(radius * abs(turn) / 3.0))
            start = math.atan2(here[1] - step.centre[1], here[0] - step.centre[0])
            for k in range(1, count):
                angle = start + turn * k / count
                points.append((step.centre[0] + radius * math.cos(angle), step.centre[1] + radius * math.sin(angle)))
        if isinstance(step, CubicTo):
            points += flatten_cubic(here, (step.control1, step.control2, step.end), _SAG)[:-1]
        points.append(step.end)
        found += pairwise(points)
        here = step.end
    return found


def _ends(segments: Iterable[Segment]) -> Floats:
    numbers = chain.from_iterable(chain.from_iterable(segments))  # several times as fast as tuples in tuples
    return np.fromiter(numbers, float).reshape(-1, 2, 2)


def _boxes_round(ends: Floats) -> Boxes:
    return Boxes(np.hstack([ends.min(axis=1), ends.max(axis=1)]))


def _round_boxes(rounds: Floats) -> Boxes:
    x, y, r = rounds.T
    return Boxes(np.column_stack([x - r, y - r, x + r, y + r]))


def _boxes(items: Sequence[Item]) -> Boxes:
    return Boxes(np.array([_box(item) for item in items], float).reshape(-1, 4))


def _box(item: Item) -> Box:
    return bounds((item,)) or (-np.inf, -np.inf, np.inf, np.inf)
