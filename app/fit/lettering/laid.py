"""A legend at its place on a board."""

from __future__ import annotations

import math
from typing import Literal

import numpy as np
from msgspec import Struct
from propcache.api import cached_property

from app.fit.features.features import Floats
from app.fit.lettering.ink import Ink
from app.geometry.clearance import ShapeSet
from app.geometry.contours import Contour, Pose
from app.geometry.shapes import Point
from app.model.legend import Legend
from app.values import replace

Trouble = Literal["", "no room", "too long"]


class LaidLegend(Struct, frozen=True, eq=False, dict=True):
    """A legend at its place.

    Args:
        owner: index of its placement among those that are drilled.
        legend: what is asked for.
        ink: its pieces.
        poses: where each piece comes; of a straight one they are all the same.
        trouble: ``no room`` where no free place was found on its side, ``too long`` for the ring it should make.
    """

    owner: int
    legend: Legend
    ink: Ink
    poses: tuple[Pose, ...]
    trouble: Trouble = ""

    @property
    def straight(self) -> bool:
        """Whether it stands on a straight baseline."""
        return self.legend.place != "ring"

    @cached_property
    def quads(self) -> Floats:
        """What it covers, as boxes: one of a straight legend, one for each letter of a ring, shape (n, 4, 2) [mm]."""
        if self.straight:
            return np.array([_corners(self.ink.box, self.poses[0])])
        return np.array([_corners(p.box, pose) for p, pose in zip(self.ink.pieces, self.poses, strict=True)])

    @cached_property
    def shapes(self) -> ShapeSet:
        """The same, ready for distance questions."""
        return quad_set(self.quads)

    @property
    def middle(self) -> Point:
        """Middle of what it covers [mm]."""
        low, high = self.quads.min(axis=(0, 1)), self.quads.max(axis=(0, 1))
        return (float(low[0] + high[0]) / 2, float(low[1] + high[1]) / 2)

    @property
    def anchor(self) -> Point:
        """What a straight one is measured to: the middle of its ink along its baseline, half a capital above it [mm].

        So legends on one line have one measure, whatever letters they have.
        """
        x0, _, x1, _ = self.ink.box
        return self.poses[0].at(((x0 + x1) / 2, self.ink.height / 2))

    @property
    def contours(self) -> tuple[Contour, ...]:
        """All its rings where they come [mm]."""
        return tuple(
            contour.placed(pose)
            for piece, pose in zip(self.ink.pieces, self.poses, strict=True)
            for contour in piece.contours
        )

    def shifted(self, dx: float, dy: float) -> LaidLegend:
        """The same, moved by (dx, dy) [mm]."""
        poses = tuple(replace(pose, x=pose.x + dx, y=pose.y + dy) for pose in self.poses)
        return replace(self, poses=poses)


def pose_of(x: float, y: float, turn: float) -> Pose:
    """A pose at a place, turned anticlockwise [mm, degrees]; exact for quarters of a turn."""
    c, s = (round(v) if turn % 90 == 0 else v for v in (math.cos(math.radians(turn)), math.sin(math.radians(turn))))
    return Pose(x, y, c, s)


def quad_set(quads: Floats) -> ShapeSet:
    """Boxes by their corners, shape (n, 4, 2), ready for distance questions."""
    return ShapeSet(quads, np.full(len(quads), 4, np.intp), np.zeros(len(quads)))


def _corners(box: tuple[float, float, float, float], pose: Pose) -> list[Point]:
    x0, y0, x1, y1 = box
    return [pose.at(p) for p in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))]
