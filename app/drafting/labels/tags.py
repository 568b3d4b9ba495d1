"""Small plates with words, set where they cover neither parts nor each other."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

import numpy as np
import numpy.typing as npt
from msgspec import Struct, field
from propcache.api import cached_property

from app.drafting.forms import Box, rounded_box
from app.scene.bounds import bounds
from app.scene.metrics import CAP_HEIGHT, text_box, text_width
from app.scene.primitives import Group, Item, Line, Path, Point, Style, Text

_WIDE = 1.15
"""A screen's own font may be wider than the one words are measured by."""

Floats = npt.NDArray[np.float64]
_NONE = np.zeros(0, np.intp)


class TagSpace(Struct, dict=True):
    """What is already taken while tags are set one after another.

    Args:
        discs: circles (x, y, radius) better not covered [mm].
        boxes: rectangles that must not be covered [mm].
        soft: rectangles better not covered [mm].
        frame: rectangle tags stay inside [mm].
        disc_cost: what covering a disc at all costs, in mm of what else is covered.
        soft_cost: the same for a soft rectangle.
    """

    frame: Box
    discs: Sequence[tuple[float, float, float]] = ()
    boxes: list[Box] = field(default_factory=list)
    soft: Sequence[Box] = ()
    disc_cost: float = 10.0
    soft_cost: float = 10.0

    def costs(self, boxes: Floats) -> Floats:
        """How much a tag at each of ``boxes``, shape (n, 4), would cover; 0 for nothing [mm]."""
        x0, y0, x1, y1 = np.ascontiguousarray(boxes.T)
        low, high = boxes.min(axis=0).tolist(), boxes.max(axis=0).tolist()
        reach = (low[0], low[1], high[2], high[3])
        total = self._outside(boxes, reach)
        for bx0, by0, bx1, by1 in self.boxes:
            if reach[0] < bx1 and bx0 < reach[2] and reach[1] < by1 and by0 < reach[3]:
                covered = (x0 < bx1) & (bx0 < x1) & (y0 < by1) & (by0 < y1)
                total += np.where(covered, 1000.0 + np.minimum(x1, bx1) - np.maximum(x0, bx0), 0.0)
        discs, soft = _within(self._disc_boxes, reach), _within(self._soft_boxes, reach)
        if len(discs):
            cx, cy, r = self._disc_table[discs].T[:, :, None]
            dx = np.maximum(_over(x0 - cx), cx - x1)
            dy = np.maximum(_over(y0 - cy), cy - y1)
            near = r - np.hypot(dx, dy)
            total += np.where(near > 0, self.disc_cost + near, 0.0).sum(axis=0)
        if len(soft):
            sx0, sy0, sx1, sy1 = self._soft_boxes[soft].T[:, :, None]
            overlap = np.minimum(np.minimum(x1, sx1) - np.maximum(x0, sx0), np.minimum(y1, sy1) - np.maximum(y0, sy0))
            total += np.where(overlap > 0, self.soft_cost + overlap, 0.0).sum(axis=0)
        return total

    def _outside(self, boxes: Floats, reach: Box) -> Floats:
        """What each of ``boxes``, which all lie in ``reach``, costs by leaving the frame."""
        fx0, fy0, fx1, fy1 = self.frame
        if reach[0] >= fx0 and reach[1] >= fy0 and reach[2] <= fx1 and reach[3] <= fy1:
            return np.zeros(len(boxes))
        x0, y0, x1, y1 = boxes.T
        outside = _over(fx0 - x0) + _over(fy0 - y0) + _over(x1 - fx1) + _over(y1 - fy1)
        return np.where(outside > 1e-9, self.disc_cost + 50.0 * outside, 0.0)

    @cached_property
    def _disc_table(self) -> Floats:
        return np.array(self.discs, float).reshape(-1, 3)

    @cached_property
    def _disc_boxes(self) -> Floats:
        x, y, r = self._disc_table.T
        return np.stack([x - r, y - r, x + r, y + r], axis=1)

    @cached_property
    def _soft_boxes(self) -> Floats:
        return np.array(self.soft, float).reshape(-1, 4)

    def crossed(self, boxes: Floats, to: Point) -> Floats:
        """How many discs a line from the rim of each of ``boxes``, shape (n, 4), to a point would cross."""
        low, high = boxes.min(axis=0).tolist(), boxes.max(axis=0).tolist()
        reach = (min(low[0], to[0]), min(low[1], to[1]), max(high[2], to[0]), max(high[3], to[1]))
        discs = _within(self._disc_boxes, reach)
        if not len(discs):
            return np.zeros(len(boxes))
        x0, y0, x1, y1 = boxes.T[:, :, None]
        ax, ay = np.clip(to[0], x0, x1), np.clip(to[1], y0, y1)
        cx, cy, r = self._disc_table[discs].T[:, None, :]
        dx, dy = to[0] - ax, to[1] - ay
        t = np.clip(((cx - ax) * dx + (cy - ay) * dy) / np.maximum(dx * dx + dy * dy, 1e-12), 0.0, 1.0)
        return np.asarray((np.hypot(ax + t * dx - cx, ay + t * dy - cy) < r - 0.1).sum(axis=1), float)

    def best(self, boxes: Iterable[Box] | Floats, tolls: Sequence[float] | Floats = ()) -> Box:
        """The first of ``boxes`` that covers least, ``tolls`` added; it is taken from now on."""
        tried = boxes if isinstance(boxes, np.ndarray) else np.array(list(boxes), float)
        costs = self.costs(tried)
        if len(tolls):
            costs += tolls
        x0, y0, x1, y1 = tried[int(costs.round(6).argmin())].tolist()
        self.boxes.append((x0, y0, x1, y1))
        return self.boxes[-1]


def _within(boxes: Floats, reach: Box) -> npt.NDArray[np.intp]:
    """Which of ``boxes`` touch the rectangle ``reach``."""
    if not len(boxes):
        return _NONE
    x0, y0, x1, y1 = boxes.T
    return np.flatnonzero((x1 >= reach[0]) & (x0 <= reach[2]) & (y1 >= reach[1]) & (y0 <= reach[3]))


def _over(value: Floats) -> Floats:
    return np.maximum(value, 0.0)


def tag_size(words: str, size: float) -> Point:
    """Width and height of a tag with ``words`` in letters of ``size`` [mm]."""
    return (_WIDE * text_width(words, size, bold=True) + 1.2 * size, 1.65 * size)


def tag(box: Box, words: str, size: float, ground: Style, ink: Style, lead: float = 0.0) -> tuple[Item, ...]:
    """A rounded plate with ``words`` in the middle of what ``lead`` leaves of it at its start [mm]."""
    x0, y0, x1, y1 = box
    at = ((x0 + lead + x1) / 2, (y0 + y1) / 2 - CAP_HEIGHT * size / 2)
    return (rounded_box(box, 0.4 * (y1 - y0), ground), Text(at, words, size, ink, "middle", bold=True))


def around(at: Point, clear: float, size: Point) -> Floats:
    """Boxes of ``size`` round a point, ``clear`` mm and farther off: above first, then the sides, then below.

    Returns:
        x0, y0, x1, y1 of each, shape (n, 4) [mm].
    """
    w, h = size
    d = np.repeat((clear, clear + h, clear + 2.2 * h, clear + 4.0 * h, clear + 7.0 * h), len(_WAYS))
    return boxes_at(at[0] + _ROUND[:, 0] * (d + w / 2), at[1] + _ROUND[:, 1] * (d + h / 2), size)


_WAYS = ((0.0, 1.0), (1.0, 0.7), (-1.0, 0.7), (1.0, 0.0), (-1.0, 0.0), (0.0, -1.0), (1.0, -0.7), (-1.0, -0.7))
_ROUND = np.tile(np.array(_WAYS), (5, 1))


def boxes_at(x: Floats, y: Floats, size: Point) -> Floats:
    """Boxes of ``size`` about middles, as x0, y0, x1, y1, shape (n, 4) [mm]."""
    w, h = size
    found: Floats = np.column_stack((x - w / 2, y - h / 2, x + w / 2, y + h / 2))
    return found


def word_boxes(group: Group) -> list[Box]:
    """Rectangles round the words of a group and the plates they stand on, for others to avoid [mm]."""
    plates = [a for a, b in pairwise(group.items) if isinstance(a, Path) and isinstance(b, Text)]
    boxes = [box for plate in plates if (box := bounds((plate,)))]
    for item in group.items:
        if isinstance(item, Text):
            corners = text_box(item)
            edge = 0.5 * item.size
            boxes.append((corners[0][0] - edge, corners[0][1] - edge, corners[2][0] + edge, corners[2][1] + edge))
    return boxes


def leader(box: Box, to: Point, style: Style) -> Line:
    """A line from the nearest point of a tag's rim to what it is about."""
    x0, y0, x1, y1 = box
    return Line((min(max(to[0], x0), x1), min(max(to[1], y0), y1)), to, style)
