"""Items at other places, larger or turned; widths of lines stay as they are."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from msgspec import Struct

from app.scene.primitives import Arc, ArcTo, Circle, CubicTo, Group, Item, Line, LineTo, MoveTo, Path, Point, Step, Text


class Similarity(Struct, frozen=True):
    """How items are enlarged and turned about (0, 0), by quarters of a turn.

    Args:
        at: from a place to where it comes.
        size: how many times as large everything becomes.
        turn: how far it is turned, anticlockwise [degrees]; a clip stays upright, so it is a number of quarters.
    """

    at: Callable[[Point], Point]
    size: float = 1.0
    turn: float = 0.0

    def items(self, items: Iterable[Item]) -> tuple[Item, ...]:
        """Every item where it comes, words too."""
        return tuple(map(self._item, items))

    def _item(self, item: Item) -> Item:
        at, k = self.at, self.size
        match item:
            case Line():
                return Line(at(item.a), at(item.b), item.style, item.layer)
            case Circle():
                return Circle(at(item.centre), k * item.radius, item.style, item.layer)
            case Arc():
                start = item.start + self.turn
                return Arc(at(item.centre), k * item.radius, start, item.sweep, item.style, item.layer)
            case Path():
                return Path(at(item.start), tuple(map(self._step, item.steps)), item.style, item.closed, item.layer)
            case Text():
                size, angle = k * item.size, item.angle + self.turn
                return Text(at(item.at), item.text, size, item.style, item.anchor, angle, item.bold, item.layer)
            case Group():
                clip, shift = item.clip and self._box(item.clip), at(item.shift)
                return Group(self.items(item.items), item.name, item.data, item.title, clip, shift, item.role)

    def _step(self, step: Step) -> Step:
        at = self.at
        match step:
            case LineTo():
                return LineTo(at(step.end))
            case ArcTo():
                return ArcTo(at(step.end), at(step.centre), step.sweep)
            case MoveTo():
                return MoveTo(at(step.end))
            case CubicTo():
                return CubicTo(at(step.control1), at(step.control2), at(step.end))

    def _box(self, box: tuple[float, float, float, float]) -> tuple[float, float, float, float]:
        (ax, ay), (bx, by) = self.at(box[:2]), self.at(box[2:])
        return (min(ax, bx), min(ay, by), max(ax, bx), max(ay, by))
