"""The corners of a board as screws see them: sharp ones, and set back ones along their curve.

A corner is where a disc as large as the distance that is asked for does not fit in: a curve of at least that radius is
an edge like any other. What is measured is the way to the curve, never that to where the corner would be if sharp.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from app.fit.features.features import Floats
from app.fit.features.layout import Distances
from app.geometry.outline import Outline
from app.geometry.pieces import ArcPiece, EllipsePiece, flattened_piece

_SAG = 0.0005  # mm: chords of a curve are no farther from it
_SHARES = 64  # points along an elliptic curve by which its tightest bend is found
_APART = 2.0  # mm between points that stand for a curve
_OFF = 0.02  # mm they may be farther than the curve is from a place 25 mm off it: half of 1² over 25


def to_corners(outline: Outline, points: Floats, asked: float, off: float) -> Distances:
    """Distance [mm] from points to the nearest corner, and the place on it; infinite where none is near.

    Args:
        outline: the rim.
        points: shape (n, 2) [mm].
        asked: distance that is asked for [mm].
        off: allowances that are taken off what is measured [mm].
    """
    found = (np.full(len(points), np.inf), np.zeros(len(points)), np.zeros(len(points)))
    for corner, curve in zip(outline.corners, outline.curves, strict=True):
        to_sharp = np.hypot(points[:, 0] - corner.x, points[:, 1] - corner.y)
        rows = np.flatnonzero(to_sharp < asked + off + (max(corner.setback or (0.0,)) if curve else 0.0))
        if curve is not None and not _is_corner(curve, asked):
            # Where it would be counted if it were sharp it still is: nobody is told less than before it was set back.
            rows = rows[to_sharp[rows] < asked + off] if _turns_out(curve) else rows[:0]
        if not len(rows):
            continue
        if isinstance(curve, ArcPiece):
            nearest = _to_arc(points[rows], curve)
        else:
            chords = np.array([(corner.x, corner.y) * 2]) if curve is None else _chords(curve)
            nearest = _to_chords(points[rows], chords)
        nearer = nearest[0] < found[0][rows]
        for now, new in zip(found, nearest, strict=True):
            now[rows[nearer]] = new[nearer]
    return found


def corner_points(outline: Outline, asked: float) -> Floats:
    """Points that stand for the corners, and how much farther than ``asked`` to keep from each: rows x, y, more [mm].

    A curve that is an edge has one where it would be if it were sharp, as :func:`to_corners` counts it.
    """
    found: list[tuple[float, float, float]] = []
    for corner, curve in zip(outline.corners, outline.curves, strict=True):
        if curve is not None and _is_corner(curve, asked):
            found += [(x, y, _OFF) for x, y in _spaced(_chords(curve))]
        elif curve is None or _turns_out(curve):
            found.append((corner.x, corner.y, 0.0))
    return np.array(found).reshape(-1, 3)


def _is_corner(curve: ArcPiece | EllipsePiece, asked: float) -> bool:
    return _tightest(curve) < asked


def _turns_out(curve: ArcPiece | EllipsePiece) -> bool:
    """Whether the corner points outward: the rim, counter-clockwise, turns left there."""
    if isinstance(curve, ArcPiece):
        return curve.sweep > 0
    (ax, ay), (cx, cy), (bx, by) = curve.a, curve.control, curve.b
    return (cx - ax) * (by - cy) - (cy - ay) * (bx - cx) > 0


@lru_cache(maxsize=512)
def _tightest(curve: ArcPiece | EllipsePiece) -> float:
    """Least radius of a curve [mm]; of an elliptic one by circles through three points next to each other."""
    if isinstance(curve, ArcPiece):
        return curve.radius
    p = np.array([curve.at(k / _SHARES) for k in range(_SHARES + 1)])
    u, v = p[1:-1] - p[:-2], p[2:] - p[1:-1]
    across = np.abs(u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0])
    sides = np.hypot(*u.T) * np.hypot(*v.T) * np.hypot(*(u + v).T)
    return float((sides / np.maximum(2 * across, 1e-12)).min())


@lru_cache(maxsize=512)
def _chords(curve: ArcPiece | EllipsePiece) -> Floats:
    """A curve as rows ax, ay, bx, by [mm]."""
    points = np.array([*flattened_piece(curve, _SAG), curve.b])
    return np.hstack((points[:-1], points[1:]))


def _spaced(chords: Floats) -> list[tuple[float, float]]:
    """Points along chords no more than ``_APART`` mm apart, both ends among them."""
    lengths = np.hypot(chords[:, 2] - chords[:, 0], chords[:, 3] - chords[:, 1])
    along = np.concatenate(((0.0,), np.cumsum(lengths)))
    at = np.linspace(0.0, along[-1], int(np.ceil(along[-1] / _APART)) + 1)
    ends = np.vstack((chords[:, :2], chords[-1:, 2:]))
    x, y = (np.interp(at, along, ends[:, axis]) for axis in (0, 1))
    return list(zip(x.tolist(), y.tolist(), strict=True))


def _to_arc(points: Floats, arc: ArcPiece) -> Distances:
    """Distance of each point from an arc, exactly, and the place on it, each of shape (n,) [mm]."""
    centre, ends = np.array(arc.centre), np.array((arc.a, arc.b))
    away = points - centre
    far = np.hypot(*away.T)
    start, turn = np.arctan2(*(ends[0] - centre)[::-1]), np.radians(arc.sweep)
    along = np.mod((np.arctan2(away[:, 1], away[:, 0]) - start) * np.sign(turn), 2 * np.pi)
    beside = (along <= abs(turn)) & (far > 0)
    on_it = centre + away * (arc.radius / np.where(far > 0, far, 1.0))[:, None]
    to_ends = np.hypot(*(points[:, None] - ends).transpose(2, 0, 1))
    feet = np.where(beside[:, None], on_it, ends[to_ends.argmin(axis=1)])
    return np.hypot(*(points - feet).T), feet[:, 0], feet[:, 1]


def _to_chords(points: Floats, chords: Floats) -> Distances:
    """Distance of each point from the nearest chord, and the place on it, each of shape (n,) [mm]."""
    a, ahead = chords[:, :2], chords[:, 2:] - chords[:, :2]
    square = np.maximum((ahead**2).sum(axis=1), 1e-30)
    share = np.clip(((points[:, None] - a) * ahead).sum(axis=2) / square, 0.0, 1.0)
    feet = a + share[..., None] * ahead
    away = np.hypot(*(points[:, None] - feet).transpose(2, 0, 1))
    best = away.argmin(axis=1)
    every = np.arange(len(points))
    return away[every, best], feet[every, best, 0], feet[every, best, 1]
