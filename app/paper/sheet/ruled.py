"""The lines a builder rules on the board first, and lays every sheet on: errors then cannot add up."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Literal

import numpy as np
from msgspec import Struct

from app.drafting.template.drill_template import Template
from app.model.resolved import ResolvedBoard
from app.paper.sheet.tiling import Circle, Tiling
from app.units import INCH, Unit
from app.values import replace

_INSET = 8.0
"""A ruled line keeps this far from a seam, so that both its ends are seen on its sheet [mm]."""


class RuledLine(Struct, frozen=True):
    """A line ruled on the board, right across it.

    Args:
        axis: ``x`` for an upright line, ``y`` for one along the front.
        at: its place in the drawing [mm].
        distance: from the left datum edge (``x``) or the front (``y``), as it is measured on the board [mm].
        centre: whether it is the centre line of the board.
    """

    axis: Literal["x", "y"]
    at: float
    distance: float
    centre: bool


def ruled_lines(
    board: ResolvedBoard, template: Template, tiling: Tiling, unit: Unit, above: Sequence[RuledLine] = ()
) -> tuple[RuledLine, ...]:
    """One upright line for each column of sheets and one along the front for each row.

    The centre line is used where a column has it; the others lie at round distances from the datum edges,
    where they cross fewest holes. Lines that are drawn on the other face already, ``above``, are used again where a
    column or row has one: a distance that is measured twice is one that can be mistaken twice.
    """
    x0, y0, x1, y1 = board.outline.bounds
    view, step = template.view, INCH / 2 if unit is Unit.INCH else 10.0
    lines = []
    columns = [x0, *tiling.vertical, x1]
    for a, b in pairwise(columns):
        if a + _INSET <= view.axis <= b - _INSET:
            lines.append(RuledLine("x", view.axis, view.axis - x0, centre=True))
            continue
        same = [(view.x(x0 + line.distance), line) for line in above if line.axis == "x"]
        if found := _again(same, a, b, template.circles, 0):
            lines.append(found)
            continue
        at = _round_place(a, b, view.x(x0), -step if view.mirrored else step, template.circles, 0, (a + b) / 2)
        lines.append(RuledLine("x", at, abs(at - view.x(x0)), centre=False))
    rows = [y0, *tiling.horizontal, y1]
    for a, b in pairwise(rows):
        if found := _again([(line.at, line) for line in above if line.axis == "y"], a, b, template.circles, 1):
            lines.append(found)
            continue
        at = _round_place(a, b, y0, step, template.circles, 1, a + 0.35 * (b - a))
        lines.append(RuledLine("y", at, at - y0, centre=False))
    return tuple(lines)


def _again(
    same: Sequence[tuple[float, RuledLine]], low: float, high: float, circles: Sequence[Circle], axis: int
) -> RuledLine | None:
    """Of lines at their places on this face, the one between two seams that crosses least; None if none is."""
    inside = [(at, line) for at, line in same if low + _INSET <= at <= high - _INSET]
    if not inside:
        return None
    tolls = _tolls([at for at, _ in inside], circles, axis)
    at, line = inside[tolls.index(min(tolls))]
    return replace(line, at=at)


def _round_place(
    low: float, high: float, datum: float, step: float, circles: Sequence[Circle], axis: int, wish: float
) -> float:
    """A place between two seams at a whole number of steps from the datum edge, best clear of holes [mm]."""
    for inset, fine in ((_INSET, 1), (_INSET, 2), (2.0, 4), (0.5, 20)):
        pace = step / fine
        numbers = sorted(((low + inset - datum) / pace, (high - inset - datum) / pace))
        first, last = -int(-numbers[0] // 1), int(numbers[1] // 1)
        places = [datum + k * pace for k in range(first, last + 1) if k > 0]
        if places:
            tolls = _tolls(places, circles, axis)
            return min(zip(places, tolls, strict=True), key=lambda p: (p[1] + abs(p[0] - wish), p[0]))[0]
    return (low + high) / 2


def _tolls(places: Sequence[float], circles: Sequence[Circle], axis: int) -> list[float]:
    """How much is against a line at each place: 12 mm of detour for each hole it crosses, 5 for each cross it nears."""
    rows = np.array(circles, float).reshape(-1, 3)
    off = np.abs(rows[None, :, axis] - np.array(places)[:, None]) - rows[None, :, 2]
    return [float(toll) for toll in 12.0 * (off < 1.0).sum(axis=1) + 5.0 * ((off >= 1.0) & (off < 7.0)).sum(axis=1)]
