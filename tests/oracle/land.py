"""The board seen from above: its rim from the corners of the document, and how far things lie inside it.

A corner set back ``(a, b)`` is the picture of a circular arc: the arc that joins two legs as long as each other at the
same angle, its legs then stretched to ``a`` and ``b``.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property
from itertools import combinations

import numpy as np
import numpy.typing as npt
from manifold3d import CrossSection, JoinType, OpType
from msgspec import Struct

from app.document.schema import BoardEntry, CornerEntry
from tests.oracle.flat import SIDES, Flat, Floats, after, depths_in, to_segments

Flags = npt.NDArray[np.bool_]
SAG = 0.001  # how far a chord of a set-back corner may be from it [mm]
SHARP = 1e-9


class Straight(Struct, frozen=True, eq=False):
    """A straight piece of the outer rim, the board on its left [mm]; whether either end is a sharp corner of it."""

    a: Floats
    b: Floats
    index: int

    @property
    def outward(self) -> Floats:
        """Unit vector off the board."""
        along = self.b - self.a
        unit: Floats = np.array([along[1], -along[0]]) / np.hypot(*along)
        return unit

    @property
    def edge(self) -> str:
        """The edge it belongs to, by its outward normal."""
        nx, ny = self.outward
        if abs(ny) >= abs(nx) * (1 - 1e-9):
            return "front" if ny < 0 else "back"
        return "left" if nx < 0 else "right"


class Bend(Struct, frozen=True, eq=False, dict=True):
    """The set-back corner before the straight piece of the same index: points along it [mm]."""

    points: Floats
    index: int

    @cached_property
    def tightest(self) -> float:
        """Its least radius: way along it over the angle it turns by there [mm]."""
        steps = np.diff(self.points, axis=0)
        lengths, angles = np.hypot(*steps.T), np.arctan2(steps[:, 1], steps[:, 0])
        turned = np.abs((np.diff(angles) + math.pi) % (2 * math.pi) - math.pi)
        return float(((lengths[1:] + lengths[:-1]) / 2 / turned).min())

    def distance(self, at: Floats) -> float:
        """Of a place from it [mm]."""
        a, along = self.points[:-1], np.diff(self.points, axis=0)
        share = (((at - a) * along).sum(axis=1) / (along**2).sum(axis=1)).clip(0.0, 1.0)
        return float(np.hypot(*(a + share[:, None] * along - at).T).min())


class Loop(Struct, frozen=True, eq=False, dict=True):
    """A closed line of corners, anticlockwise: the outer rim or that of an opening."""

    corners: Floats
    straights: tuple[Straight, ...]
    bends: tuple[Bend | None, ...]  # one for each corner; None where it is sharp

    @cached_property
    def points(self) -> Floats:
        """All of it as points, each once [mm]."""
        rows = []
        for k, corner in enumerate(self.corners):
            bend = self.bends[k]
            rows.append(corner[None] if bend is None else bend.points)
        found = np.concatenate(rows)
        once: Floats = found[np.hypot(*(found - np.roll(found, 1, axis=0)).T) > SHARP]
        return once

    @cached_property
    def section(self) -> CrossSection:
        """What it encloses."""
        return CrossSection([self.points.tolist()])

    def to_corner(self, at: Floats, asked: float, off: float) -> Depth:
        """How far a place is from the nearest corner [mm], where screws keep ``asked`` mm and ``off`` for allowances.

        A bend into which a disc of the radius ``asked`` fits is an edge, unless the place is nearer than that to where
        the corner would be, were it sharp and pointing outward.
        """
        low = high = math.inf
        for k, corner in enumerate(self.corners):
            bend, sharp = self.bends[k], float(np.hypot(*(corner - at)))
            if bend is None:
                low, high = min(low, sharp), min(high, sharp)
                continue
            into, out = corner - self.corners[k - 1], self.corners[(k + 1) % len(self.corners)] - corner
            near = sharp < asked + off and into[0] * out[1] > into[1] * out[0]
            here = bend.distance(at)
            if near or bend.tightest < asked * 1.01:
                low = min(low, here)
            if near or bend.tightest < asked * 0.99:
                high = min(high, here)
        return Depth(low, high)


def loop_of(corners: Sequence[CornerEntry]) -> Loop:
    """A closed line of the document's corners, turned anticlockwise."""
    at = np.array([(c.x, c.y) for c in corners], np.float64)
    setbacks = [c.setback or (0.0, 0.0) for c in corners]
    nxt = np.roll(at, -1, axis=0)
    if float((at[:, 0] * nxt[:, 1] - at[:, 1] * nxt[:, 0]).sum()) < 0:
        at, setbacks = at[::-1], [(b, a) for a, b in reversed(setbacks)]
    bends = [_bend(at[k - 1], at[k], at[(k + 1) % len(at)], setbacks[k], k) for k in range(len(at))]
    straights = []
    for k in range(len(at)):
        before, after = bends[k], bends[(k + 1) % len(at)]
        a = at[k] if before is None else before.points[-1]
        b = at[(k + 1) % len(at)] if after is None else after.points[0]
        if np.hypot(*(b - a)) > 1e-6:
            straights.append(Straight(a, b, k))
    return Loop(at, tuple(straights), tuple(bends))


def _bend(before: Floats, at: Floats, after: Floats, setback: tuple[float, float], index: int) -> Bend | None:
    """A set-back corner as points from its start to its end; None for a sharp one."""
    a, b = setback
    into, out = (at - before) / np.hypot(*(at - before)), (after - at) / np.hypot(*(after - at))
    turn = math.atan2(into[0] * out[1] - into[1] * out[0], into[0] * out[0] + into[1] * out[1])
    if a <= 0 or b <= 0 or abs(turn) < 1e-6:
        return None
    # An arc that joins legs of length 1: about a centre at right angles to both ends, of radius 1 / tan(turn / 2).
    radius = 1 / math.tan(abs(turn) / 2)
    largest = radius * max(a, b)
    steps = max(4, math.ceil(abs(turn) / (2 * math.acos(1 - min(SAG / largest, 0.5)))))
    sweep = np.linspace(0.0, abs(turn), steps + 1)
    # From the corner, along the way in and square to it.
    ahead, aside = radius * np.sin(sweep) - 1, radius * (1 - np.cos(sweep))
    # The same points by the two legs: −x along the way in, y along the way out.
    y = aside / math.sin(abs(turn))
    x = ahead - y * math.cos(turn)
    return Bend(at + x[:, None] * a * into + y[:, None] * b * out, index)


class Land(Struct, frozen=True, eq=False, dict=True):
    """The board as a piece of ground: outer rim and openings."""

    rim: Loop
    openings: tuple[Loop, ...]

    @cached_property
    def section(self) -> CrossSection:
        """The board seen from above."""
        parts = [self.rim.section, *(o.section for o in self.openings)]
        return CrossSection.batch_boolean(parts, OpType.Subtract) if len(parts) > 1 else parts[0]

    @cached_property
    def tangled(self) -> bool:
        """Whether openings meet each other or the rim: the board is a stop, and how far in things lie means little."""
        pairs = combinations([o.section for o in self.openings], 2)
        out = (o.section - self.rim.section for o in self.openings)
        return any((a ^ b).area() > 0 for a, b in pairs) or any(o.area() > 0 for o in out)

    @cached_property
    def whole(self) -> Ground:
        """All of the board's boundary."""
        return Ground(self.section)

    @cached_property
    def outer(self) -> Ground:
        """The outer rim alone."""
        return Ground(self.rim.section)

    @cached_property
    def pierced(self) -> Ground | None:
        """A plane with nothing but the openings in it; None without any."""
        if not self.openings:
            return None
        x0, y0, x1, y1 = self.rim.section.bounds()
        far = CrossSection.square((x1 - x0 + 4e3, y1 - y0 + 4e3)).translate((x0 - 2e3, y0 - 2e3))
        holes = [o.section for o in self.openings]
        return Ground(CrossSection.batch_boolean([far, *holes], OpType.Subtract))


def land_of(board: BoardEntry) -> Land:
    """The ground of a board in the document."""
    return Land(loop_of(board.outline.corners), tuple(loop_of(o) for o in board.outline.openings))


class Depth(Struct, frozen=True):
    """How far a thing lies inside a piece of ground [mm].

    Args:
        low: no less than this; minus the least shift that brings it in, where it hangs over.
        high: no more than this; minus how far it hangs over at its furthest, or how deep the rim is in it. The two
            differ only where it hangs over two edges at once, and either can be called how far it is out.
    """

    low: float
    high: float


class Ground:
    """A region of the plane that things have to lie in."""

    def __init__(self, section: CrossSection) -> None:
        self.section = section
        self._known: dict[tuple[Flat, float], Depth | None] = {}
        rings = [np.asarray(ring, np.float64) for ring in section.to_polygons()]
        self.a = np.concatenate(rings)
        self.b = np.concatenate([after(ring) for ring in rings])

    def holds(self, points: Floats) -> Flags:
        """Which of n points lie in it: a ray to the right crosses the boundary an odd number of times."""
        (ax, ay), (bx, by) = self.a.T, self.b.T
        x, y = points[:, :1], points[:, 1:]
        across = (ay > y) != (by > y)
        rise = np.where(by == ay, 1.0, by - ay)
        crossed: Flags = (across & (ax + (y - ay) / rise * (bx - ax) > x)).sum(axis=1) % 2 == 1
        return crossed

    def inside(self, thing: Flat, within: float) -> Depth | None:
        """How far a thing lies inside; None if by more than ``within`` mm."""
        key = (thing, within)
        if key not in self._known:
            self._known[key] = self._inside(thing, within)
        return self._known[key]

    def _inside(self, thing: Flat, within: float) -> Depth | None:
        a, b = self._about(thing.box, within)
        core = thing.core
        nxt = after(core)
        gap = min(float(to_segments(core, a, b).min()), float(to_segments(a, core, nxt).min()))
        clear = self.holds(thing.middle[None])[0] and not _crossed(a, b, core, nxt) and gap >= thing.radius
        clear = clear and (len(core) < 3 or float(depths_in(a, core).max()) <= 0)  # no opening lies wholly in it
        if not clear:
            return self._over(thing)
        return Depth(gap - thing.radius, gap - thing.radius) if gap - thing.radius <= within else None

    def _over(self, thing: Flat) -> Depth:
        """Of a thing that hangs over the boundary."""
        size = max(thing.box[2] - thing.box[0], thing.box[3] - thing.box[1])
        out = CrossSection([thing.polygon.tolist()]) - self.section
        far = float(to_segments(thing.middle[None], self.a, self.b).min())
        a, b = self._about(thing.box, far + size)  # no point of it has its nearest side further off
        reach = 0.0
        for ring in out.to_polygons():
            points = np.asarray(ring)
            off = ~self.holds(points)
            d = to_segments(points[off], a, b).min(axis=1)
            reach = max(reach, float(d.max(initial=0.0)))
        reach = max(reach, _rim_in(thing, a, b))
        return Depth(-max(self._shift(thing, 3 * size + far + 60.0), reach), -reach)

    def _about(self, box: tuple[float, float, float, float], more: float) -> tuple[Floats, Floats]:
        """The sides near a box; all of them where none is."""
        (x0, y0, x1, y1), (a, b) = box, (self.a, self.b)
        near = (np.minimum(a[:, 0], b[:, 0]) < x1 + more) & (np.maximum(a[:, 0], b[:, 0]) > x0 - more)
        near &= (np.minimum(a[:, 1], b[:, 1]) < y1 + more) & (np.maximum(a[:, 1], b[:, 1]) > y0 - more)
        return (a[near], b[near]) if near.any() else (a, b)

    def _shift(self, thing: Flat, reach: float) -> float:
        """The least shift that brings a thing wholly in [mm]: out of the swelling of all that is outside."""
        x, y = thing.middle
        window = CrossSection.square((2 * reach, 2 * reach)).translate((x - reach, y - reach))
        outside = window - self.section
        core = thing.core - thing.middle
        swollen = [outside.translate((-cx, -cy)) for cx, cy in core.tolist()]
        if len(core) > 1:
            for ring in outside.to_polygons():
                points = np.asarray(ring)
                ends = np.stack((points, after(points)), axis=1)
                swollen += [CrossSection.hull_points([tuple(p - c) for p in pair for c in core]) for pair in ends]
        taken = CrossSection.batch_boolean(swollen, OpType.Add)
        if thing.radius > 0:
            taken = taken.offset(thing.radius, JoinType.Round, circular_segments=SIDES)
        free = window.translate((0.0, 0.0)) - taken
        rings = [np.asarray(ring) for ring in free.to_polygons()]
        if not rings:
            return reach
        a, b = np.concatenate(rings), np.concatenate([after(r) for r in rings])
        return float(to_segments(thing.middle[None], a, b).min())


def _crossed(a: Floats, b: Floats, p: Floats, q: Floats) -> bool:
    """Whether any segment from ``a`` to ``b`` crosses any from ``p`` to ``q``."""

    def side(o: Floats, d: Floats, x: Floats) -> Floats:
        value: Floats = (d - o)[..., 0] * (x - o)[..., 1] - (d - o)[..., 1] * (x - o)[..., 0]
        return value

    a, b, p, q = a[:, None], b[:, None], p[None], q[None]
    return bool(((side(a, b, p) * side(a, b, q) < 0) & (side(p, q, a) * side(p, q, b) < 0)).any())


def _rim_in(thing: Flat, a: Floats, b: Floats) -> float:
    """How deep sides from ``a`` to ``b`` reach into a thing [mm]."""
    x0, y0, x1, y1 = thing.box
    keep = (np.minimum(a[:, 0], b[:, 0]) < x1) & (np.maximum(a[:, 0], b[:, 0]) > x0)
    keep &= (np.minimum(a[:, 1], b[:, 1]) < y1) & (np.maximum(a[:, 1], b[:, 1]) > y0)
    a, b = a[keep], b[keep]
    if not len(a):
        return 0.0
    steps = [np.linspace(0.0, 1.0, max(2, math.ceil(min(n / 0.2, 400)))) for n in np.hypot(*(b - a).T)]
    points = np.concatenate([p + k[:, None] * (q - p) for p, q, k in zip(a, b, steps, strict=True)])
    inside = (points > (x0, y0)).all(axis=1) & (points < (x1, y1)).all(axis=1)
    return float(depths_in(points[inside], thing.polygon).max(initial=0.0))
