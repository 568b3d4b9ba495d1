"""The rectangle around drawing primitives."""

from __future__ import annotations

from collections.abc import Iterable

from app.scene.curves import angle_of, arc_extremes, at_angle, cubic_extremes
from app.scene.metrics import text_box
from app.scene.primitives import Arc, ArcTo, Circle, Group, Item, Line, LineTo, MoveTo, Path, Point, Text, walk

Box = tuple[float, float, float, float]
"""A rectangle (x0, y0, x1, y1) [mm]."""


def bounds(items: Iterable[Item], *, with_text: bool = True) -> Box | None:
    """The smallest rectangle around ``items`` [mm], or None if there is nothing.

    Exact for lines, circles, arcs and curves, as drawn by a pen without width; text counts by the estimate
    of its box. Clips of groups are not considered.
    """
    xs: list[float] = []
    ys: list[float] = []
    for item, (dx, dy) in walk(tuple(items)):
        if isinstance(item, Text) and not with_text:
            continue
        for x, y in _extremes(item):
            xs.append(x + dx)
            ys.append(y + dy)
    return (min(xs), min(ys), max(xs), max(ys)) if xs else None


def _extremes(item: Item) -> Iterable[Point]:
    match item:
        case Line():
            return (item.a, item.b)
        case Circle():
            (x, y), r = item.centre, item.radius
            return ((x - r, y - r), (x + r, y + r))
        case Arc():
            return arc_extremes(item.centre, item.radius, item.start, item.sweep)
        case Path():
            return _path_extremes(item)
        case Text():
            return text_box(item)
        case Group():
            return ()


def _path_extremes(path: Path) -> list[Point]:
    here = path.start
    points = [here]
    for step in path.steps:
        match step:
            case LineTo() | MoveTo():
                points.append(step.end)
            case ArcTo():
                radius = ((here[0] - step.centre[0]) ** 2 + (here[1] - step.centre[1]) ** 2) ** 0.5
                points += arc_extremes(step.centre, radius, angle_of(step.centre, here), step.sweep)
            case _:
                points += cubic_extremes(here, (step.control1, step.control2, step.end))
        here = step.end
    return points


def arc_ends(arc: Arc) -> tuple[Point, Point]:
    """Where an arc begins and ends [mm]."""
    return (
        at_angle(arc.centre, arc.radius, arc.start),
        at_angle(arc.centre, arc.radius, arc.start + arc.sweep),
    )
