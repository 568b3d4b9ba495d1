"""Items enlarged about the origin; widths of lines stay as they are."""

from __future__ import annotations

from collections.abc import Iterable

from app.scene.primitives import Arc, ArcTo, Circle, CubicTo, Group, Item, Line, LineTo, Path, Point, Step, Text


def scaled(items: Iterable[Item], k: float) -> tuple[Item, ...]:
    """Every item ``k`` times as large about (0, 0), letters too."""
    return tuple(_item(item, k) for item in items)


def _item(item: Item, k: float) -> Item:
    match item:
        case Line():
            return Line(_at(item.a, k), _at(item.b, k), item.style, item.layer)
        case Circle():
            return Circle(_at(item.centre, k), k * item.radius, item.style, item.layer)
        case Arc():
            return Arc(_at(item.centre, k), k * item.radius, item.start, item.sweep, item.style, item.layer)
        case Path():
            steps = tuple(_step(step, k) for step in item.steps)
            return Path(_at(item.start, k), steps, item.style, item.closed, item.layer)
        case Text():
            at = _at(item.at, k)
            return Text(at, item.text, k * item.size, item.style, item.anchor, item.angle, item.bold, item.layer)
        case Group():
            clip = item.clip and (k * item.clip[0], k * item.clip[1], k * item.clip[2], k * item.clip[3])
            inner = scaled(item.items, k)
            return Group(inner, item.name, item.data, item.title, clip, _at(item.shift, k), item.role)


def _at(p: Point, k: float) -> Point:
    return (k * p[0], k * p[1])


def _step(step: Step, k: float) -> Step:
    match step:
        case LineTo():
            return LineTo(_at(step.end, k))
        case ArcTo():
            return ArcTo(_at(step.end, k), _at(step.centre, k), step.sweep)
        case CubicTo():
            return CubicTo(_at(step.control1, k), _at(step.control2, k), _at(step.end, k))
