"""What a maker made, as the rules about air and sound look at it: its holes, and what hangs behind them."""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct

from app.fit.detail import Detail
from app.fit.features.features import HOLE, Floats, Ints
from app.fit.features.layout import Layout, subjects_of
from app.fit.finding import FindingOf
from app.geometry.shapes import Point
from app.model.maker.making import Making
from app.model.resolved import Placed, ResolvedBoard


class MadeHoles(Struct, frozen=True, eq=False):
    """What one maker made on a board.

    Args:
        making: the maker, with what it was asked.
        behind: what hangs behind its holes; None where that was deleted, or is not drilled.
        subjects: ids of its placements, of the holes first.
        centres: of the holes of its patterns, shape (n, 2) [mm].
        widths: of these as they are drilled, shape (n,) [mm].
        areas: of these, shape (n,) [mm²].
    """

    making: Making
    behind: Placed | None
    subjects: tuple[str, ...]
    centres: Floats
    widths: Floats
    areas: Floats

    @property
    def where(self) -> Point:
        """Its middle [mm]."""
        return (self.behind.x, self.behind.y) if self.behind else (self.making.x, self.making.y)


def made_holes(layout: Layout, maker: str) -> list[MadeHoles]:
    """What every maker of that name made on a board."""
    return [_of(layout, each) for each in layout.board.makers if each.maker == maker]


def _of(layout: Layout, making: Making) -> MadeHoles:
    own = [k for k, placed in enumerate(layout.placed) if placed.maker == making.id]
    patterned = [k for k in own if layout.patterned[k]]
    behind = [k for k in own if not layout.patterned[k]]
    features = layout.features
    rows: Ints = np.flatnonzero(np.isin(features.owner, patterned) & (features.kind == HOLE))
    shapes = features.shapes.take(rows)
    widths = 2 * shapes.radii
    spans = np.hypot(*(shapes.points.max(axis=1) - shapes.points.min(axis=1)).T) if len(rows) else np.zeros(0)
    areas = math.pi / 4 * widths**2 + spans * widths
    subjects = (*subjects_of(layout, patterned), *subjects_of(layout, behind))
    return MadeHoles(making, layout.placed[behind[0]] if behind else None, subjects, shapes.centres, widths, areas)


def making_of(board: ResolvedBoard, finding: FindingOf[Detail]) -> Making | None:
    """The maker that a finding is about: of its subjects, or the one that its cause begins with."""
    makers = {each.id: each for each in board.makers}
    for subject in finding.subjects:
        placed = board.placed(subject)
        if placed is not None and placed.maker in makers:
            return makers[placed.maker]
    return makers.get(finding.detail.cause.partition(" ")[0])


def pieces_of(layout: Layout, making: Making) -> tuple[str, ...]:
    """Ids of what a maker placed."""
    return subjects_of(layout, [k for k, placed in enumerate(layout.placed) if placed.maker == making.id])


def board_sides(layout: Layout, making: Making) -> tuple[float, float]:
    """Width and height of the board along the axes of a maker that made it, which may be turned by quarters [mm]."""
    x0, y0, x1, y1 = layout.board.outline.bounds
    return (y1 - y0, x1 - x0) if round(making.angle) % 180 == 90 else (x1 - x0, y1 - y0)


def made_by(layout: Layout, maker: str) -> list[Making]:
    """The makers of that name on a board."""
    return [each for each in layout.board.makers if each.maker == maker]
