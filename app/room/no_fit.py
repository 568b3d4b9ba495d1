"""What must not overlap, seen as one point kept outside of one convex shape.

Two shapes a and b are far enough apart where the shift of a against b lies outside of their difference, grown
by what is needed between them. That shape does not change as the parts move, only the point does.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from propcache.api import cached_property

from app.fit.features.features import Floats, Ints
from app.geometry.convex import gaps_between, lacks_between
from app.room.constraints import Constraints

_LEAST = 1e-3  # mm: the least radius of a forbidden shape, so that its rim has one normal everywhere


class Sides(Struct, frozen=True, eq=False, dict=True):
    """Pairs of shapes to keep apart.

    Args:
        a: cores of the first shapes where they are, shape (n, k, 2) [mm].
        b: those of the second ones.
        need: distance asked for between the cores, shape (n,) [mm].
        units: unit of the first and of the second, −1 for what stays, shape (n, 2).
        signs: of their shifts across, shape (n, 2).
    """

    a: Floats
    b: Floats
    need: Floats
    units: Ints
    signs: Floats

    @cached_property
    def _apart(self) -> Floats:
        """From the middle of each second core to that of the first, shape (n, 2) [mm]."""
        found: Floats = _middles(self.a) - _middles(self.b)
        return found

    @cached_property
    def _spans(self) -> Floats:
        """Distance of the middles beyond which no pair is short, shape (n,) [mm]."""
        found: Floats = _spans(self.a) + _spans(self.b) + self.need
        return found

    def near(self, moves: Floats, reach: float) -> tuple[Ints, Floats, Floats]:
        """Pairs with less than ``reach`` mm to spare when the units are shifted by ``moves``, shape (m, 2) [mm].

        Returns:
            Which they are, what each has to spare [mm], and the way its first leaves its second, shape (k, 2).
        """
        by = np.concatenate((moves, np.zeros((1, 2))))[self.units]
        by[..., 0] *= self.signs
        shift = by[:, 0] - by[:, 1]
        apart = self._apart + shift
        rows = np.flatnonzero(np.hypot(apart[:, 0], apart[:, 1]) - self._spans < reach)
        gaps = gaps_between(self.a[rows] + shift[rows][:, None], self.b[rows])
        slack = gaps.distance - self.need[rows]
        close = slack < reach
        return rows[close], slack[close], -gaps.direction[close]

    def lacks(self, shifts: Floats, count: int) -> tuple[Floats, Floats]:
        """What all pairs lack for many shifts at once, and the ways out.

        Args:
            shifts: of the first of each pair against the second, all pairs ``count`` times, shape (count·n, 2) [mm].
            count: how many times.

        Returns:
            The lack, at least 0 [mm], and the way the first leaves the second, shape (count·n,) and (count·n, 2).
        """
        apart = np.tile(self._apart, (count, 1)) + shifts
        lack, way = np.zeros(len(shifts)), np.zeros((len(shifts), 2))
        near = np.flatnonzero(np.hypot(apart[:, 0], apart[:, 1]) < np.tile(self._spans, count))
        rows = near % max(len(self.need), 1)
        lack[near], ways = lacks_between(self.a[rows] + shifts[near][:, None], self.b[rows], self.need[rows])
        way[near] = -ways
        return lack, way

    def rim(self, row: int, angle: float) -> Floats:
        """The point of the rim of a pair's forbidden shape that lies furthest towards ``angle`` [rad], shape (2,) [mm].

        It is of the shift of the first against the second.
        """
        normal = np.array([math.cos(angle), math.sin(angle)])
        a, b = self.a[row], self.b[row]
        found: Floats = b[(b @ normal).argmax()] - a[(a @ normal).argmin()] + max(self.need[row], _LEAST) * normal
        return found

    def gains(self, rows: Ints, normals: Floats) -> Floats:
        """What pairs gain along ``normals``, shape (k, 2), for each mm their units move, shape (k, 2, 2)."""
        gains = np.stack((normals, -normals), axis=1)
        gains[:, :, 0] *= self.signs[rows]
        return gains


def _middles(cores: Floats) -> Floats:
    found: Floats = (cores.min(axis=1) + cores.max(axis=1)) / 2
    return found


def _spans(cores: Floats) -> Floats:
    off = cores - _middles(cores)[:, None]
    found: Floats = np.hypot(off[..., 0], off[..., 1]).max(axis=1, initial=0.0)
    return found


def sides_of(members: Sequence[Constraints]) -> tuple[Sides, ...]:
    """All pairs of some boards that share their units: the round ones, and the others."""
    found: list[Sides] = []
    for odd in (False, True):
        some = [s for g in members for s in _some_sides(g, odd)]
        if not some:
            continue
        most = max(max(s.a.shape[1], s.b.shape[1]) for s in some)
        columns = zip(*((_padded(s.a, most), _padded(s.b, most), s.need, s.units, s.signs) for s in some), strict=True)
        all_of = Sides(*(np.concatenate(column) for column in columns))
        found.append(all_of if odd else _largest(all_of))
    return tuple(s for s in found if len(s.need))


def _some_sides(constraints: Constraints, odd: bool) -> list[Sides]:
    units, signs = np.append(constraints.unit, -1), np.append(constraints.sign, 1.0)
    found = []
    for need in constraints.apart:
        a, b, i, j = need.a.shapes, need.b.shapes, need.first, need.second
        which = (a.circular[i] & b.circular[j]) != odd
        i, j = i[which], j[which]
        if not len(i):
            continue
        owners = np.stack((need.a.owner[i], need.b.owner[j]), axis=1)
        asked = need.need[which] + a.radii[i] + b.radii[j]
        one, other = (a.points[i], b.points[j]) if odd else (a.points[i][:, :1], b.points[j][:, :1])
        found.append(Sides(one, other, asked, units[owners], signs[owners]))
    return found


def _padded(cores: Floats, most: int) -> Floats:
    last = np.repeat(cores[:, -1:], most - cores.shape[1], axis=1)
    return np.concatenate((cores, last), axis=1)


def _largest(sides: Sides) -> Sides:
    """Of round pairs about the same middles only the one that asks for most."""
    places = np.round(np.concatenate((sides.a[:, 0], sides.b[:, 0]), axis=1) * 1e4)
    key = np.concatenate((places, sides.units, sides.signs), axis=1)
    order = np.lexsort((-sides.need, *key.T))
    fresh = np.concatenate(([True], (key[order][1:] != key[order][:-1]).any(axis=1)))[: len(order)]
    kept = order[fresh]
    return Sides(sides.a[kept], sides.b[kept], sides.need[kept], sides.units[kept], sides.signs[kept])
