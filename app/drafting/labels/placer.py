"""Sets words where they cover nothing: many places tried at once, always the same one chosen."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import ceil, dist, hypot

import numpy as np
from msgspec import Struct
from propcache.api import cached_property

from app.drafting.labels.canvas import Canvas
from app.drafting.labels.covered import Covered
from app.drafting.labels.free_rows import FreeRow
from app.drafting.labels.ink_mask import LINE, RIM, SOLID, InkMask, Ints
from app.drafting.labels.nearby import Nearby
from app.drafting.labels.rectangles import Box, Disc, Flags, Floats, all_within, around, gap, meet, turned
from app.scene.primitives import Point

_AMBIGUOUS = 2.5  # words this near to two holes [mm] might be taken for the wrong one's
_DOUBT = 5.0  # toll of that for every further hole
_CROSSED = 20.0  # toll of a leader for every line of another hole it crosses
_AIR = 0.35  # between a leader and words or other leaders [mm]
_STEP = 0.25  # at which a leader is looked at [mm]


class Obstacles(Struct, frozen=True):
    """What is drawn on a sheet before any words, all of which they keep clear of.

    Args:
        frame: rectangle all words stay inside [mm].
        discs: circles (x, y, radius), each the largest about its centre: neither words nor leaders in them [mm].
        rims: every circle that is drawn; words inside a hole keep off them [mm].
        boxes: rectangles neither words nor leaders may touch, such as marks [mm].
        lines: straight lines from a to b that words keep clear of, and leaders cross only if they must,
            also as an array of shape (n, 2, 2) [mm].
        ruled: lines that can be broken where words stand, if there is no better place [mm].
        air: what stays free between words and any of them [mm].
    """

    frame: Box
    discs: Sequence[Disc] = ()
    rims: Sequence[Disc] = ()
    boxes: Sequence[Box] = ()
    lines: Sequence[tuple[Point, Point]] | Floats = ()
    ruled: Sequence[tuple[Point, Point]] = ()
    air: float = 0.4


class Placer:
    """What is taken on a sheet: the ground, and the words and leaders set so far.

    Args:
        ground: what is drawn before any words.
        canvas: memory for its rasters, which it needs to itself; None for its own.
    """

    def __init__(self, ground: Obstacles, canvas: Canvas | None = None) -> None:
        self._canvas = canvas or Canvas()
        self.frame = ground.frame
        self._air = ground.air
        self._discs = Nearby[Disc](((x - r, y - r, x + r, y + r), (x, y, r)) for x, y, r in ground.discs)
        self._taken: Nearby[Box] = Nearby()
        self._ruled_boxes = [around(a, b, ground.air + 0.1) for a, b in ground.ruled]
        self._ruled = np.array(self._ruled_boxes, float).reshape(-1, 4)
        self._ground = ground
        self._ink = self._with_lines()
        self._ink.rings([(x, y, 0.0, r + ground.air) for x, y, r in ground.discs])
        self._ink.boxes(np.array(ground.boxes, float).reshape(-1, 4))
        if not all_within(ground.rims, ground.discs):
            self._draw_rims(self._ink)
        self._outside = Covered(self._ink, self._canvas)

    def _with_lines(self) -> InkMask:
        found = InkMask(self.frame, self._canvas)
        found.lines(np.asarray(self._ground.lines, float).reshape(-1, 2, 2), self._air)
        return found

    def _draw_rims(self, ink: InkMask) -> None:
        """Circles as lines."""
        ink.rings([(x, y, r - self._air, r + self._air) for x, y, r in self._ground.rims], RIM)

    @cached_property
    def _inside(self) -> Covered:
        """What is in the way of words in their own hole; most sheets have none."""
        ink = self._with_lines()
        self._draw_rims(ink)
        ink.boxes(np.array(self._ground.boxes, float).reshape(-1, 4))
        return Covered(ink, self._canvas)

    def free(self, boxes: Floats, *, inside: bool = False, across: bool = False) -> Flags:
        """Which of ``boxes``, shape (n, 4), cover nothing.

        Args:
            boxes: where words might stand [mm].
            inside: they stand in their own hole, and only have to keep off every line in it.
            across: they may stand on a ruled line, which is then broken.
        """
        x0, y0, x1, y1 = boxes.T
        fx0, fy0, fx1, fy1 = self.frame
        good: Flags = (x0 >= fx0 - 1e-9) & (y0 >= fy0 - 1e-9) & (x1 <= fx1 + 1e-9) & (y1 <= fy1 + 1e-9)
        good[good] = ~(self._inside if inside else self._outside).any(boxes[good])
        if not across and len(self._ruled):
            good &= ~meet(boxes, self._ruled).any(axis=1)
        held = boxes[good]
        if len(held):
            low, high = held[:, :2].min(axis=0).tolist(), held[:, 2:].max(axis=0).tolist()
            taken = self._taken.near((low[0], low[1], high[0], high[1]))
            if taken:
                good[good] = ~meet(held, np.array(taken)).any(axis=1)
        return good

    def is_free(self, box: Box) -> bool:
        """Whether a single box covers nothing: as :meth:`free`, in a fraction of the time."""
        x0, y0, x1, y1 = self.frame
        if box[0] < x0 - 1e-9 or box[1] < y0 - 1e-9 or box[2] > x1 + 1e-9 or box[3] > y1 + 1e-9:
            return False
        return not (self._outside.at(box) or self.taken(box) or self.crossed(box))

    @property
    def holes(self) -> int:
        """How many circles there are, at least 1."""
        return max(1, len(self._ground.discs))

    def doubt(self, boxes: Floats) -> Floats:
        """What is against each of ``boxes`` because the words in it might be taken for those of another hole."""
        return _DOUBT * np.maximum(self._near(boxes) - 1.0, 0.0)

    def doubts(self, boxes: Floats) -> Floats:
        """The same of several holes' boxes, shape (holes, n, 4)."""
        found = np.zeros(boxes.shape[:2])
        x0, y0, x1, y1 = sides = np.ascontiguousarray(boxes.transpose(2, 0, 1))
        cx, cy, r = discs = np.array(self._ground.discs, float).reshape(-1, 3).T
        left, right = x0.min(axis=1) - _AMBIGUOUS, x1.max(axis=1) + _AMBIGUOUS
        low, high = y0.min(axis=1) - _AMBIGUOUS, y1.max(axis=1) + _AMBIGUOUS
        i, j = np.nonzero(
            (cx + r >= left[:, None])
            & (cx - r <= right[:, None])
            & (cy + r >= low[:, None])
            & (cy - r <= high[:, None])
        )
        if len(i):
            (x0, y0, x1, y1), (cx, cy, r) = sides[:, i], discs[:, j, None]
            dx, dy = np.maximum(np.maximum(x0 - cx, cx - x1), 0.0), np.maximum(np.maximum(y0 - cy, cy - y1), 0.0)
            near = dx * dx + dy * dy < (r + _AMBIGUOUS) ** 2
            some, first = np.unique(i, return_index=True)
            found[some] = np.add.reduceat(near.astype(float), first, axis=0)
        return np.asarray(_DOUBT * np.maximum(found - 1.0, 0.0))

    def crossed(self, box: Box) -> bool:
        """Whether a ruled line runs through ``box``."""
        return bool(self._ruled_over(box))

    def _ruled_over(self, box: Box) -> list[Box]:
        """What ruled lines through ``box`` take, with their distance [mm]."""
        return [b for b in self._ruled_boxes if b[0] < box[2] and box[0] < b[2] and b[1] < box[3] and box[1] < b[3]]

    def first_in_grid(self, columns: Floats, rows: Floats) -> tuple[int, int] | None:
        """The first box of a grid that covers nothing, row by row: its row and column; None if each covers something.

        Args:
            columns: where each column of boxes begins and ends along x, in order, shape (n, 2) [mm].
            rows: where each row does along y, in order, shape (m, 2) [mm].
        """
        x0, y0, x1, y1 = self.frame
        good = ((rows[:, 0] >= y0 - 1e-9) & (rows[:, 1] <= y1 + 1e-9))[:, None] & (
            (columns[:, 0] >= x0 - 1e-9) & (columns[:, 1] <= x1 + 1e-9)
        )
        good &= ~self._outside.grid(columns, rows)
        whole = (columns[0, 0], rows[0, 0], columns[-1, 1], rows[-1, 1])
        taken = np.array([*self.taken(whole), *self._ruled_over(whole)], float).reshape(-1, 4)
        spans = np.column_stack(
            [*_touched(columns, taken[:, 0], taken[:, 2]), *_touched(rows, taken[:, 1], taken[:, 3])]
        )
        for left, right, low, high in spans.tolist():
            good[low:high, left:right] = False
        found = np.flatnonzero(good)
        if not len(found):
            return None
        row, column = divmod(int(found[0]), len(columns))
        return row, column

    def row(self, band: tuple[float, float], axis: int) -> FreeRow | None:
        """A row words may stand in, as long as nothing more is taken; None if it leaves the frame.

        Args:
            band: where the row begins and ends across [mm].
            axis: 0 for a row along x, 1 for one along y.
        """
        if band[0] < self.frame[1 - axis] - 1e-9 or band[1] > self.frame[3 - axis] + 1e-9:
            return None
        ends = (self.frame[axis], self.frame[axis + 2])
        whole = turned((ends[0], band[0], ends[1], band[1]), axis)

        def taken() -> list[tuple[float, float]]:
            return [(box[axis], box[axis + 2]) for box in (*self.taken(whole), *self._ruled_over(whole))]

        return FreeRow(self._outside.across(band, axis), (self._ink.x, self._ink.y)[axis], self._ink.side, ends, taken)

    def nearer(self, box: Box, own: Disc) -> float:
        """How much nearer words in ``box`` are to their own hole than to any other [mm]; no more is told than 9."""
        about = (box[0] - 15.0, box[1] - 15.0, box[2] + 15.0, box[3] + 15.0)
        x, y, _ = own
        others = [gap(box, disc) for disc in self._discs.near(about) if hypot(disc[0] - x, disc[1] - y) > 1e-6]
        return min(min(others, default=9.0) - gap(box, own), 9.0)

    def leader_cost(self, a: Point, b: Point) -> float | None:
        """What is against a leader from ``a`` to ``b``: the lines it crosses; None if it cannot be drawn there."""
        step = (b[0] - a[0], b[1] - a[1])
        low_x, low_y, high_x, high_y = around(a, (a[0] + step[0], a[1] + step[1]), 0.0)
        fx0, fy0, fx1, fy1 = self.frame
        if low_x < fx0 or low_y < fy0 or high_x > fx1 or high_y > fy1:
            return None
        points = np.array(a) + _shares(ceil(dist(a, b) / _STEP) + 1) * np.array(step)
        ink = self._ink.pixels[self._ink.places(points)]
        if (ink & SOLID).any():
            return None
        x, y = points.T
        for x0, y0, x1, y1 in self.taken(around(a, b, 1.0)):
            if ((x > x0 - _AIR) & (x < x1 + _AIR) & (y > y0 - _AIR) & (y < y1 + _AIR)).any():
                return None
        lines = (ink & LINE) > 0
        return _CROSSED * float((lines[1:] & ~lines[:-1]).sum() + lines[0])

    def take(self, box: Box) -> None:
        """From now on ``box`` is covered, and what stands beside it keeps its distance."""
        held = (box[0] - self._air, box[1] - self._air, box[2] + self._air, box[3] + self._air)
        self._taken.add(held, held)

    def take_line(self, a: Point, b: Point) -> None:
        """From now on a leader runs from ``a`` to ``b``."""
        count = max(1, ceil(dist(a, b)))
        points = np.array(a) + np.arange(count + 1)[:, None] / count * (np.array(b) - np.array(a))
        low, high = np.minimum(points[:-1], points[1:]) - _AIR, np.maximum(points[:-1], points[1:]) + _AIR
        for x0, y0, x1, y1 in np.hstack([low, high]).tolist():
            self._taken.add((x0, y0, x1, y1), (x0, y0, x1, y1))

    def taken(self, box: Box) -> list[Box]:
        """What words and leaders that touch ``box`` take, with their distance [mm]."""
        return [b for b in self._taken.near(box) if b[0] < box[2] and box[0] < b[2] and b[1] < box[3] and box[1] < b[3]]

    def _near(self, boxes: Floats) -> Floats:
        """How many holes each of ``boxes`` is so near to that it might be theirs."""
        low, high = boxes[:, :2].min(axis=0) - _AMBIGUOUS, boxes[:, 2:].max(axis=0) + _AMBIGUOUS
        discs = self._discs.near((float(low[0]), float(low[1]), float(high[0]), float(high[1])))
        if not discs:
            return np.zeros(len(boxes))
        cx, cy, r = np.array(discs).T
        x0, y0, x1, y1 = boxes.T[:, :, None]
        dx = np.maximum(np.maximum(x0 - cx, cx - x1), 0.0)
        dy = np.maximum(np.maximum(y0 - cy, cy - y1), 0.0)
        return np.asarray((dx * dx + dy * dy < (r + _AMBIGUOUS) ** 2).sum(axis=1), float)


@lru_cache(maxsize=1024)
def _shares(count: int) -> Floats:
    """Shares of a line at which it is looked at, shape (count, 1)."""
    return np.linspace(0.0, 1.0, count)[:, None]


def _touched(stretches: Floats, low: Floats, high: Floats) -> tuple[Ints, Ints]:
    """The first of some stretches, in order, that overlaps each ``low`` to ``high``, and the one after the last."""
    return stretches[:, 1].searchsorted(low, "right"), stretches[:, 0].searchsorted(high, "left")
