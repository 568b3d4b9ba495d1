"""What of a template shows in a window, asked once for every page: a page need not look at the whole board."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import numpy.typing as npt
from propcache.api import cached_property

from app.drafting.template.drill_template import Mark, Template
from app.paper.sheet.layout import Box
from app.paper.sheet.tiling import Circle
from app.scene.bounds import bounds
from app.scene.curves import flatten_cubic
from app.scene.primitives import ArcTo, CubicTo, Item, LineTo, Path, Point

Segment = tuple[Point, Point]
_SAG = 0.05  # how far a straight piece of a bend may be from it [mm]

Floats = npt.NDArray[np.float64]


class Stock:
    """The items of a template with the rectangles they lie in."""

    def __init__(self, template: Template) -> None:
        self.template = template

    @cached_property
    def _circles(self) -> Floats:
        return np.array(self.template.circles, float).reshape(-1, 3)

    @cached_property
    def _circle_boxes(self) -> Floats:
        x, y, r = self._circles.T
        return np.column_stack([x - r, y - r, x + r, y + r])

    @cached_property
    def _holes(self) -> Floats:
        return _boxes(self.template.holes)

    @cached_property
    def _outlines(self) -> Floats:
        return _boxes(self.template.outline)

    @cached_property
    def _crosses(self) -> Floats:
        return _boxes(self.template.crosses)

    @cached_property
    def _rims(self) -> list[Segment]:
        return [piece for rim in self.template.outline for piece in rim_segments(rim)]

    @cached_property
    def _rim_boxes(self) -> Floats:
        ends = np.array(self._rims, float).reshape(-1, 2, 2)
        return np.hstack([ends.min(axis=1), ends.max(axis=1)])

    @cached_property
    def _marks(self) -> Floats:
        return np.array([mark.at for mark in self.template.marks], float).reshape(-1, 2)

    def outline(self, window: Box) -> list[Path]:
        """The rim and the openings that may show in ``window``."""
        return [self.template.outline[k] for k in _touching(self._outlines, window)]

    def holes(self, window: Box) -> list[Item]:
        """Circles and other cut-outs that show in ``window`` at all."""
        return [self.template.holes[k] for k in _touching(self._holes, window)]

    def crosses(self, window: Box) -> list[Item]:
        """Lines of the crosses that show in ``window`` at all."""
        return [self.template.crosses[k] for k in _touching(self._crosses, window)]

    def circles(self, window: Box) -> list[Circle]:
        """The largest circles about their centres that may show in ``window``."""
        return [self.template.circles[k] for k in _touching(self._circle_boxes, window)]

    def centres(self, window: Box, about: float) -> list[Point]:
        """The centres in ``window``, or no more than ``about`` from it [mm]."""
        at = self._circles[:, :2]
        boxes = np.hstack([at - about, at + about])
        return [self.template.centres[k] for k in _touching(boxes, window)]

    def rims(self, window: Box) -> Floats:
        """Rectangles round the pieces of the board's rims that may show in ``window``, shape (n, 4)."""
        found: Floats = self._rim_boxes[_touching(self._rim_boxes, window)]
        return found

    def rim_lines(self, window: Box) -> list[Segment]:
        """The pieces themselves."""
        return [self._rims[k] for k in _touching(self._rim_boxes, window)]

    def marks(self, window: Box) -> list[Mark]:
        """What is written beside the holes whose centres are in ``window``."""
        return [self.template.marks[k] for k in _touching(np.hstack([self._marks, self._marks]), window)]


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


def _boxes(items: Sequence[Item]) -> Floats:
    whole = (-np.inf, -np.inf, np.inf, np.inf)
    return np.array([bounds((item,)) or whole for item in items], float).reshape(-1, 4)


def _touching(boxes: Floats, window: Box) -> npt.NDArray[np.intp]:
    x0, y0, x1, y1 = window
    return np.nonzero((boxes[:, 0] <= x1) & (boxes[:, 2] >= x0) & (boxes[:, 1] <= y1) & (boxes[:, 3] >= y0))[0]
