"""Circles among the lines of a file, found for all lines at once.

A circle is fitted by least squares to points along the line (Kåsa 1976), so that no reader has to be believed about a
centre.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from app.proof.curves import Bezier, Bow, Trace

Floats = npt.NDArray[np.float64]

_THIRDS = np.array([0.0, 1 / 3, 2 / 3])
_CHUNK = 20_000  # lines fitted at a time, so that a file of any length takes the same memory


class Ring(Struct, frozen=True):
    """A circle found in a file, or most of one.

    Args:
        x, y: its centre.
        diameter: its width.
        turn: how much of it is there [radians].
        layer: the layer it is on.
    """

    x: float
    y: float
    diameter: float
    turn: float
    layer: str = ""


def rings(traces: Sequence[Trace], tolerance: float) -> list[Ring | None]:
    """For each line the circle it lies on within ``tolerance`` [mm]; None for one that lies on none."""
    alike: dict[tuple[type, int, int], list[int]] = {}
    found: list[Ring | None] = [None] * len(traces)
    for k, trace in enumerate(traces):
        if trace.round:
            alike.setdefault(_form(trace), []).append(k)
    for form, every in alike.items():
        for first in range(0, len(every), _CHUNK):
            rows = every[first : first + _CHUNK]
            some = [traces[k] for k in rows]
            for k, ring in zip(rows, _fitted(_points(some, form), some, tolerance), strict=True):
                found[k] = ring
    return found


def ring(trace: Trace, tolerance: float) -> Ring | None:
    """As :func:`rings`, of one line."""
    return rings((trace,), tolerance)[0]


def _form(trace: Trace) -> tuple[type, int, int]:
    """What two lines have to share for their points to be worked out together: kind, pieces, points to a piece."""
    kinds = {type(curve) for curve in trace.curves}
    if kinds == {Bezier}:
        return Bezier, len(trace.curves), 3
    if kinds == {Bow}:
        counts = {_count(curve.sweep) for curve in trace.curves if isinstance(curve, Bow)}
        if len(counts) == 1:
            return Bow, len(trace.curves), counts.pop()
    return Trace, len(trace.points()), 0


def _count(sweep: float) -> int:
    return max(2, math.ceil(abs(sweep) / (math.pi / 6)))


def _points(traces: Sequence[Trace], form: tuple[type, int, int]) -> Floats:
    """Points all along lines of one form, and the end of each, shape (lines, points, 2)."""
    kind, pieces, each = form
    if kind is Bow:
        rows = np.array([(*c.centre, c.radius, c.start, c.sweep) for t in traces for c in t.curves if type(c) is Bow])
        shares = np.arange(each + 1) / each
        angles = rows[:, 3, None] + shares * rows[:, 4, None]
        along = rows[:, None, :2] + rows[:, 2, None, None] * np.stack((np.cos(angles), np.sin(angles)), axis=2)
    elif kind is Bezier:
        four = np.array([(c.a, c.p, c.q, c.b) for t in traces for c in t.curves if type(c) is Bezier])
        t, s = np.append(_THIRDS, 1.0), 1.0 - np.append(_THIRDS, 1.0)
        weights = np.stack((s**3, 3 * s * s * t, 3 * s * t * t, t**3), axis=1)
        along = np.einsum("tk,ckd->ctd", weights, four)
    else:
        return np.array([[*trace.points(), trace.curves[-1].b] for trace in traces])
    along = along.reshape(len(traces), pieces, -1, 2)
    starts = along[:, :, :-1].reshape(len(traces), -1, 2)
    return np.concatenate((starts, along[:, -1:, -1]), axis=1)


def _fitted(points: Floats, traces: Sequence[Trace], tolerance: float) -> list[Ring | None]:
    """The circle that fits each row of points best, with the layer of its line; None where one is farther off."""
    middle = points.mean(axis=1)
    local = points - middle[:, None]
    square = (local**2).sum(axis=2)
    # With the mean at the origin the normal equations of 2 x·c + rest = x² fall apart: two for c, one for rest.
    (xx, xy), (_, yy) = np.moveaxis(2 * np.einsum("npi,npj->nij", local, local), 0, 2)
    bx, by = np.moveaxis((local * square[..., None]).sum(axis=1), 1, 0)
    det = xx * yy - xy * xy
    flat = det <= 1e-12 * (xx + yy) ** 2  # all of it on one line
    det = np.where(flat, 1.0, det)
    centre = np.stack(((yy * bx - xy * by) / det, (xx * by - xy * bx) / det), axis=1)
    radius = np.sqrt(np.maximum(0.0, square.mean(axis=1) + (centre**2).sum(axis=1)))
    spokes = local - centre[:, None]
    away = np.abs(np.hypot(spokes[..., 0], spokes[..., 1]) - radius[:, None]).max(axis=1)
    angles = np.unwrap(np.arctan2(spokes[..., 1], spokes[..., 0]), axis=1)
    turns = np.abs(angles[:, -1] - angles[:, 0])
    good = ~flat & (radius > 0.0) & (away <= tolerance)
    at = (middle + centre).tolist()
    rows = zip(good.tolist(), at, (2 * radius).tolist(), turns.tolist(), traces, strict=True)
    return [Ring(x, y, wide, turn, trace.layer) if fits else None for fits, (x, y), wide, turn, trace in rows]
