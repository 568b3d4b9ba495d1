"""The true-size drawing of an outline to mark out: its curves with their points ticked, and nothing drilled."""

from __future__ import annotations

import math

import numpy as np

from app.drafting.template.drill_template import Template, drill_template
from app.drafting.template.pattern_marks import CentreMark
from app.model.resolved import ResolvedBoard
from app.scene.palette import CROSS
from app.scene.primitives import Item, Line, Point
from app.shop.outline_marks import MarkedCurve, OutlineMarks
from app.units import Unit
from app.values import replace

_TICK, _END = 2.5, 5.0  # from the curve to either side [mm]
_NAMED = 5  # every so many points bear their number
_ROOM = 12.0  # from one number to the next, as wide as one is [mm]
_CLEAR = 2.0  # words keep so far from a point [mm]


def outline_template(board: ResolvedBoard, marks: OutlineMarks, unit: Unit) -> Template:
    """The rim and the openings of a board at true size, with a tick at every point of its curves.

    A tick lies along its ordinate; the ends of a curve or a sloped line have one along both datum edges. The ends and
    every fifth point of a curve bear the numbers of the table of offsets: ``2.5`` is point 5 of curve 2.

    Args:
        board: the board, of which nothing but the outline and the openings is drawn.
        marks: what has to be marked out of it.
        unit: unit of the words.
    """
    bare = drill_template(board.populated(()), "top", unit=unit)
    x0, y0, _, _ = board.outline.bounds
    ticks: list[Item] = []
    words: list[CentreMark] = []
    for curve in marks.curves:
        ticks += _ticks(curve, (x0, y0))
        words += _numbers(curve, (x0, y0))
    for line in marks.lines:
        for x, y in line.ends:
            ticks += _cross((x + x0, y + y0), _END)
        (ax, ay), (bx, by) = line.ends
        words.append(CentreMark(((ax + bx) / 2 + x0, (ay + by) / 2 + y0), _CLEAR, f"line {line.number}", ()))
    return replace(bare, crosses=tuple(ticks), marks=tuple(_apart(words)))


def _apart(words: list[CentreMark]) -> list[CentreMark]:
    """Without the numbers that follow another too closely to be read: the ticks between can be counted."""
    kept: list[CentreMark] = []
    for mark in words:
        if not kept or math.dist(kept[-1].at, mark.at) >= _ROOM:
            kept.append(mark)
    return kept


def _ticks(curve: MarkedCurve, datum: Point) -> list[Item]:
    plot, found = curve.plot, []
    for axis, at in zip(plot.axes, (plot.true + np.array(datum)).tolist(), strict=True):
        if axis < 0:
            found += _cross((at[0], at[1]), _END)
            continue
        reach = (0.0, _TICK) if axis == 0 else (_TICK, 0.0)
        a, b = (at[0] - reach[0], at[1] - reach[1]), (at[0] + reach[0], at[1] + reach[1])
        found.append(Line(a, b, CROSS))
    return found


def _cross(at: Point, reach: float) -> list[Item]:
    (x, y) = at
    return [Line((x - reach, y), (x + reach, y), CROSS), Line((x, y - reach), (x, y + reach), CROSS)]


def _numbers(curve: MarkedCurve, datum: Point) -> list[CentreMark]:
    count = len(curve.plot.axes)
    at = (curve.plot.true + np.array(datum)).tolist()
    # The last fifth one beside the end would be one too many.
    named = [k for k in range(count) if k in (0, count - 1) or ((k + 1) % _NAMED == 0 and k < count - 3)]
    return [CentreMark((at[k][0], at[k][1]), _CLEAR, f"{curve.number}.{k + 1}", ()) for k in named]
