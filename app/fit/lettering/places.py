"""Where a legend would stand if nothing were in its way, and the places round about that it may go to instead."""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct

from app.fit.features.features import Floats
from app.fit.lettering.ink import Ink
from app.fit.lettering.laid import LaidLegend, pose_of
from app.geometry.contours import Pose
from app.model.legend import Legend

_FULL = 330.0
"""Degrees of a circle that a ring may take: its beginning is told from its end. Common practice, no source."""

_OUT, _ALONG = 6, 6
_STEP = 0.5
"""A legend may go up to so many steps outward and to either side, each as long as half its height."""

_ASIDE = 0.7
"""How much less a step to the side is thought of than one outward."""


class LegendLine(Struct, frozen=True):
    """What legends on one side of their parts have in common, so that they stand on one line.

    Args:
        low: how far the deepest of them reaches below its baseline, in heights of capitals.
        high: how far the highest of them reaches above it, likewise.
    """

    low: float
    high: float


def nominal(
    owner: int, legend: Legend, ink: Ink, at: tuple[float, float], rim: Floats, need: float, line: LegendLine
) -> LaidLegend:
    """A legend at the place it has by itself.

    Args:
        owner: index of its placement.
        legend: what is asked for.
        ink: its pieces.
        at: the part's origin [mm].
        rim: how far the part reaches from there to the left, front, right, back and all round [mm].
        need: least distance from what lies on the board [mm].
        line: what it has in common with others on its side.
    """
    if legend.place == "ring":
        return _ring(owner, legend, ink, at, float(rim[4]) + need, line)
    x, y = at
    flat = pose_of(0.0, 0.0, legend.turn)
    middle = flat.at(((ink.box[0] + ink.box[2]) / 2, ink.height / 2))
    if legend.place == "free":
        dx, dy = x + legend.x - middle[0], y + legend.y - middle[1]
        return _straight(owner, legend, ink, dx, dy)
    corners = [flat.at(p) for p in _box_corners(ink, line if legend.turn == 0 else None)]
    xs, ys = zip(*corners, strict=True)
    dx, dy = x - middle[0], y - middle[1]
    if legend.place == "back":
        dy = y + float(rim[3]) + need - min(ys)
    elif legend.place == "front":
        dy = y - float(rim[1]) - need - max(ys)
    elif legend.place == "right":
        dx = x + float(rim[2]) + need - min(xs)
    else:
        dx = x - float(rim[0]) - need - max(xs)
    return _straight(owner, legend, ink, dx, dy)


def shifts(laid: LaidLegend, rim: Floats) -> Floats:
    """Shifts to try for a legend on a side, the nearest first, shape (n, 2) [mm].

    It goes no further aside than its part, or itself, is wide: whose it is has to be plain.
    """
    step = _STEP * laid.ink.height
    low, high = laid.quads.min(axis=(0, 1)), laid.quads.max(axis=(0, 1))
    across = laid.legend.place in ("back", "front")
    own = max(float(rim[0]), float(rim[2])) if across else max(float(rim[1]), float(rim[3]))
    half = max(own, float(high[0] - low[0] if across else high[1] - low[1]) / 2)
    many = max(_ALONG, math.ceil(half / step))
    pace = half / many
    out = step * np.arange(_OUT + 1)
    along = pace * np.arange(-many, many + 1)
    o, a = (grid.ravel() for grid in np.meshgrid(out, along, indexing="ij"))
    order = np.lexsort((a < 0, o + _ASIDE * np.abs(a)))
    o, a = o[order], a[order]
    sign = 1.0 if laid.legend.place in ("back", "right") else -1.0
    return np.stack((a, sign * o) if across else (sign * o, a), axis=1)


def _straight(owner: int, legend: Legend, ink: Ink, dx: float, dy: float) -> LaidLegend:
    pose = pose_of(dx, dy, legend.turn)
    return LaidLegend(owner, legend, ink, (pose,) * len(ink.pieces))


def _box_corners(ink: Ink, line: LegendLine | None) -> list[tuple[float, float]]:
    x0, y0, x1, y1 = ink.box
    if line is not None:
        y0, y1 = min(y0, -line.low * ink.height), max(y1, line.high * ink.height)
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def _ring(owner: int, legend: Legend, ink: Ink, at: tuple[float, float], radius: float, line: LegendLine) -> LaidLegend:
    """Letters round a part. In its front half they stand the other way up, or nobody could read them from there."""
    front = math.cos(math.radians(legend.turn)) < -1e-9
    low, high = line.low * ink.height, line.high * ink.height
    base = radius + (high if front else low)
    inner = base - ink.height if front else base  # where letters come nearest each other
    turning = 1.0 if front else -1.0
    middle = (ink.pieces[0].middle + ink.pieces[-1].middle) / 2
    poses = []
    for piece in ink.pieces:
        angle = 90.0 + legend.turn + turning * math.degrees((piece.middle - middle) / inner)
        c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
        # The baseline runs along the circle: to the right of whoever looks from the middle, or from outside.
        along = (s, -c) if not front else (-s, c)
        x, y = at[0] + base * c - piece.middle * along[0], at[1] + base * s - piece.middle * along[1]
        poses.append(Pose(x, y, *along))
    long = math.degrees(ink.length / inner) > _FULL
    return LaidLegend(owner, legend, ink, tuple(poses), "too long" if long else "")
