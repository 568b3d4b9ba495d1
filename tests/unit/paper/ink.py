"""Measures on drawn pages, worked out from the primitives alone."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from app.scene.primitives import Arc, ArcTo, Circle, CubicTo, Group, Item, Line, LineTo, Path, Point, Scene, Text

Box = tuple[float, float, float, float]
_SHARES = [k / 100 for k in range(1, 101)]


def drawn(scene: Scene) -> Iterator[tuple[Item, Point, Box | None]]:
    """Every primitive with its total shift and the clip it stands under, in page coordinates."""
    yield from _drawn(scene.items, (0.0, 0.0), None)


def _drawn(items: tuple[Item, ...], shift: Point, clip: Box | None) -> Iterator[tuple[Item, Point, Box | None]]:
    for item in items:
        if not isinstance(item, Group):
            yield item, shift, clip
            continue
        moved = (shift[0] + item.shift[0], shift[1] + item.shift[1])
        here = clip
        if item.clip is not None:
            x0, y0, x1, y1 = item.clip
            here = (x0 + moved[0], y0 + moved[1], x1 + moved[0], y1 + moved[1])
        yield from _drawn(item.items, moved, here)


def group(scene: Scene, name: str) -> Group:
    """The group of that name."""
    found = [g for g in _groups(scene.items) if g.name == name]
    assert len(found) == 1, f"{len(found)} groups named {name}"
    return found[0]


def _groups(items: tuple[Item, ...]) -> Iterator[Group]:
    for item in items:
        if isinstance(item, Group):
            yield item
            yield from _groups(item.items)


def distance(item: Item, point: Point) -> float:
    """From a point to the nearest ink of a line, circle, arc or path, half its line width taken off [mm].

    Curves count by chords, at most 0.01 mm off. Words are measured elsewhere.
    """
    match item:
        case Line():
            found = _to_segment(point, item.a, item.b)
        case Circle():
            found = abs(math.dist(point, item.centre) - item.radius)
        case Arc():
            ends = [_on(item, item.start + item.sweep * k / 400) for k in range(401)]
            found = _to_chain(point, ends)
        case Path():
            found = _to_chain(point, chain(item))
        case _:
            return math.inf
    return found - (item.style.width / 2 if item.style.stroke else 0.0)


def _on(arc: Arc, angle: float) -> Point:
    a = math.radians(angle)
    return (arc.centre[0] + arc.radius * math.cos(a), arc.centre[1] + arc.radius * math.sin(a))


def chain(path: Path) -> list[Point]:
    """A path as points; curves by chords."""
    points = [path.start]
    for step in path.steps:
        here = points[-1]
        match step:
            case LineTo():
                points.append(step.end)
            case ArcTo():
                r, start = math.dist(here, step.centre), math.atan2(here[1] - step.centre[1], here[0] - step.centre[0])
                for k in range(1, 101):
                    a = start + math.radians(step.sweep) * k / 100
                    points.append((step.centre[0] + r * math.cos(a), step.centre[1] + r * math.sin(a)))
            case CubicTo():
                weights = [((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3) for t in _SHARES]
                four = (here, step.control1, step.control2, step.end)
                for w in weights:
                    x, y = (sum(f * p[i] for f, p in zip(w, four, strict=True)) for i in (0, 1))
                    points.append((x, y))
    return [*points, path.start] if path.closed else points


def _to_chain(point: Point, points: list[Point]) -> float:
    return min(_to_segment(point, a, b) for a, b in pairwise(points))


def _to_segment(p: Point, a: Point, b: Point) -> float:
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = dx * dx + dy * dy
    t = 0.0 if length == 0 else min(max(((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / length, 0.0), 1.0)
    return math.hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy)


def text_boxes(scene: Scene) -> list[tuple[str, Box]]:
    """Words and the upright rectangle round each, in page coordinates."""
    from app.scene.metrics import text_box

    found = []
    for item, (dx, dy), _ in drawn(scene):
        if isinstance(item, Text):
            xs, ys = zip(*text_box(item), strict=True)
            found.append((item.text, (min(xs) + dx, min(ys) + dy, max(xs) + dx, max(ys) + dy)))
    return found


def overlapping(boxes: list[tuple[str, Box]], by: float = 0.05) -> list[tuple[str, str]]:
    """Pairs of words whose rectangles overlap by more than ``by`` both ways [mm]."""
    left, low, right, high = np.array([box for _, box in boxes]).reshape(-1, 4).T
    wide = np.minimum.outer(right, right) - np.maximum.outer(left, left)
    tall = np.minimum.outer(high, high) - np.maximum.outer(low, low)
    pairs = np.argwhere(np.triu((wide > by) & (tall > by), 1))
    return [(boxes[i][0], boxes[j][0]) for i, j in pairs.tolist()]
