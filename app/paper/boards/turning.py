"""Items turned by a quarter, anticlockwise: what stood upright is then read from the right."""

from __future__ import annotations

from collections.abc import Iterable

from app.scene.primitives import Arc, ArcTo, Circle, CubicTo, Group, Item, Line, LineTo, Path, Point, Step, Text


def quarter(p: Point) -> Point:
    """A place turned about (0, 0)."""
    return (-p[1], p[0])


def quartered(items: Iterable[Item]) -> tuple[Item, ...]:
    """Every item turned about (0, 0), words too."""
    return tuple(map(_item, items))


def _item(item: Item) -> Item:
    match item:
        case Line():
            return Line(quarter(item.a), quarter(item.b), item.style, item.layer)
        case Circle():
            return Circle(quarter(item.centre), item.radius, item.style, item.layer)
        case Arc():
            return Arc(quarter(item.centre), item.radius, item.start + 90.0, item.sweep, item.style, item.layer)
        case Path():
            return Path(quarter(item.start), tuple(map(_step, item.steps)), item.style, item.closed, item.layer)
        case Text():
            at, angle = quarter(item.at), item.angle + 90.0
            return Text(at, item.text, item.size, item.style, item.anchor, angle, item.bold, item.layer)
        case Group():
            clip = item.clip and (-item.clip[3], item.clip[0], -item.clip[1], item.clip[2])
            inner = quartered(item.items)
            return Group(inner, item.name, item.data, item.title, clip, quarter(item.shift), item.role)


def _step(step: Step) -> Step:
    match step:
        case LineTo():
            return LineTo(quarter(step.end))
        case ArcTo():
            return ArcTo(quarter(step.end), quarter(step.centre), step.sweep)
        case CubicTo():
            return CubicTo(quarter(step.control1), quarter(step.control2), quarter(step.end))
