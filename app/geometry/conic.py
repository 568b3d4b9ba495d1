"""The curve of a set-back corner as a rational quadratic, asked at many places at once.

A circular corner is one too: its control point is the corner, its weight the cosine of half the angle it turns.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from app.geometry.shapes import Point

Floats = npt.NDArray[np.float64]

_STEPS = 4  # of Gauss and Newton; a batten begins so near that two would do


class Conic(Struct, frozen=True):
    """The curve ``a``, ``control``, ``b`` with the middle ``weight``, tangent to both legs [mm]."""

    a: Point
    control: Point
    b: Point
    weight: float

    def at(self, t: Floats) -> Floats:
        """Points at parameters from 0 to 1, shape (n, 2) [mm]."""
        u, m, v = (1 - t) ** 2, 2 * t * (1 - t) * self.weight, t * t
        weights = np.stack((u, m, v), axis=1) / (u + m + v)[:, None]
        found: Floats = weights @ np.array((self.a, self.control, self.b))
        return found

    def velocity(self, t: Floats) -> Floats:
        """Derivative of the points by the parameter, shape (n, 2) [mm]."""
        a, c, b = (np.array(p) for p in (self.a, self.control, self.b))
        w, s = self.weight, 1 - t
        over = s * s + 2 * w * s * t + t * t
        ways = np.stack((w * s * s, s * t, w * t * t), axis=1) @ np.stack((c - a, b - a, b - c))
        found: Floats = 2 * ways / (over * over)[:, None]
        return found

    @property
    def diagonals(self) -> tuple[float, ...]:
        """Parameters, ends left out, where it runs at 45 degrees to the datum edges, in order."""
        a, c, b = (np.array(p) for p in (self.a, self.control, self.b))
        found: set[float] = set()
        for normal in ((1.0, -1.0), (1.0, 1.0)):
            legs = (self.weight * (c - a) @ normal, (b - a) @ normal, self.weight * (b - c) @ normal)
            roots = _roots(*(np.array([leg]) for leg in legs)).ravel()
            found.update(float(t) for t in roots if 1e-9 < t < 1 - 1e-9)
        return tuple(sorted(found))

    def where(self, axis: int, u: Floats, low: float, high: float) -> Floats:
        """Parameters between ``low`` and ``high`` at which a coordinate is ``u``, shape (n,).

        Between them the coordinate only rises or only falls.
        """
        a, c, b = self.a[axis] - u, self.control[axis] - u, self.b[axis] - u
        roots = _roots(a, 2 * self.weight * c, b)
        off = np.where(np.isnan(roots), np.inf, np.maximum(low - roots, roots - high))
        chosen = np.take_along_axis(roots, off.argmin(axis=0)[None], axis=0)[0]
        return np.asarray(np.clip(chosen, low, high), np.float64)

    def apart(self, points: Floats, near: Floats) -> Floats:
        """Distance of points to the curve, drawn out straight past its ends, shape (n,) [mm].

        Args:
            points: shape (n, 2) [mm].
            near: parameters near those of the nearest places.
        """
        t = near
        for _ in range(_STEPS):
            ahead = self.velocity(t)
            t = np.clip(t + ((points - self.at(t)) * ahead).sum(axis=1) / (ahead * ahead).sum(axis=1), 0.0, 1.0)
        ahead, away = self.velocity(t), points - self.at(t)
        across = np.abs(away[:, 0] * ahead[:, 1] - away[:, 1] * ahead[:, 0])
        return np.asarray(across / np.hypot(ahead[:, 0], ahead[:, 1]), np.float64)


def _roots(p: Floats, q: Floats, r: Floats) -> Floats:
    """Both t of p (1 - t)² + q t (1 - t) + r t² = 0, shape (2, n); nan where there is none."""
    with np.errstate(invalid="ignore", divide="ignore"):
        half = -(q + np.copysign(np.sqrt(np.maximum(q * q - 4 * p * r, 0.0)), q)) / 2
        return np.stack((half / (half + r), p / (p + half)))
