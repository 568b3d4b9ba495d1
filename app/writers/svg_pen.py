"""The pen that turns primitives into SVG elements, and how names and numbers are written."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import TypeVar

from svgwrite.base import BaseElement, Title
from svgwrite.container import Group as Container
from svgwrite.masking import ClipPath
from svgwrite.path import Path as PathElement
from svgwrite.shapes import Circle as CircleElement
from svgwrite.shapes import Line as LineElement
from svgwrite.shapes import Rect
from svgwrite.text import Text as TextElement

from app.errors import WriterError
from app.scene.bounds import arc_ends
from app.scene.curves import arc_pieces
from app.scene.metrics import knows, text_width
from app.scene.primitives import (
    Arc,
    ArcTo,
    Circle,
    CubicTo,
    Group,
    Item,
    Line,
    LineTo,
    MoveTo,
    Path,
    Point,
    Style,
    Text,
)
from app.writers.guard import words

_Element = TypeVar("_Element", bound=BaseElement)

_SHORTEST_FITTED = 12  # shorter words have room to spare, and look squeezed beside their neighbours
_PLAIN = re.compile(r"[A-Za-z0-9_-]")
_KEY = re.compile(r"[a-z][a-z0-9-]*")


class SvgPen:
    """Turns primitives into elements; holds the place of the origin and how groups are written."""

    def __init__(
        self,
        *,
        x0: float = 0.0,
        y1: float = 0.0,
        prefix: str = "",
        names: bool = True,
        interactive: bool = False,
        fitted: bool = False,
    ) -> None:
        self._x0 = x0
        self._y1 = y1
        self._prefix = prefix
        self._names = names
        self._interactive = interactive
        self._fitted = fitted
        self._clips = 0

    def draw(self, items: Iterable[Item]) -> Iterator[BaseElement]:
        """One element for each item, in order."""
        for item in items:
            match item:
                case Group():
                    yield self._group(item)
                case Line():
                    (x1, y1), (x2, y2) = self.xy(item.a), self.xy(item.b)
                    yield _styled(LineElement(start=(x1, y1), end=(x2, y2), debug=False), item.style)
                case Circle():
                    circle = CircleElement(center=self.xy(item.centre), r=number(item.radius), debug=False)
                    yield _styled(circle, item.style)
                case Arc() | Path():
                    yield _styled(PathElement(d=self.path(item), debug=False), item.style)
                case Text():
                    yield self._text(item)

    def path(self, item: Path | Arc) -> str:
        """The steps of a path or of an arc, as an element has them."""
        if isinstance(item, Path):
            return self._path(item)
        start, end = arc_ends(item)
        steps = " ".join(self._arc(start, ArcTo(end, item.centre, item.sweep)))
        return f"M{self._pair(start)} {steps}"

    def xy(self, point: Point) -> tuple[str, str]:
        """A place, counted from the corner of the drawing and downward."""
        return number(point[0] - self._x0), number(self._y1 - point[1])

    def _pair(self, point: Point) -> str:
        return ",".join(self.xy(point))

    def _path(self, path: Path) -> str:
        parts = [f"M{self._pair(path.start)}"]
        here = path.start
        for step in path.steps:
            match step:
                case LineTo():
                    parts.append(f"L{self._pair(step.end)}")
                case ArcTo():
                    parts += self._arc(here, step)
                case MoveTo():
                    parts.append(f"Z M{self._pair(step.end)}")
                case CubicTo():
                    parts.append("C" + " ".join(map(self._pair, (step.control1, step.control2, step.end))))
            here = step.end
        return " ".join([*parts, "Z"] if path.closed else parts)

    def _arc(self, start: Point, arc: ArcTo) -> Iterator[str]:
        radius = number(((start[0] - arc.centre[0]) ** 2 + (start[1] - arc.centre[1]) ** 2) ** 0.5)
        # A quarter at most: over half a turn, end points rounded by 0.0001 mm would move the centre by 0.1 mm.
        for end, sweep in arc_pieces(start, arc.end, arc.centre, arc.sweep, 90.0):
            # Anticlockwise with y up is against the sense of SVG's positive angles.
            yield f"A{radius},{radius} 0 0 {0 if sweep > 0 else 1} {self._pair(end)}"

    def _text(self, item: Text) -> TextElement:
        text = words(item.text)
        x, y = self.xy(item.at)
        element = TextElement(text, x=[x], y=[y], debug=False)
        element["font-size"] = number(item.size)
        if item.anchor != "start":
            element["text-anchor"] = item.anchor
        if item.bold:
            element["font-weight"] = "bold"
        if item.angle % 360.0:
            element["transform"] = f"rotate({number(-item.angle)},{x},{y})"
        if width := self.width(text, item):
            element["textLength"] = width
            element["lengthAdjust"] = "spacingAndGlyphs"
        return _styled(element, item.style, line=False)

    def width(self, text: str, item: Text) -> str:
        """How wide the words of an item shall be; empty where the reader's font decides."""
        # In a file the words keep the width they were laid out with, whatever font the reader has; on
        # our own page that would look squeezed, and the drawing leaves room for a wider font.
        fitted = self._fitted and len(text) >= _SHORTEST_FITTED and knows(text)
        return number(text_width(text, item.size, item.bold)) if fitted else ""

    def _group(self, group: Group) -> Container:
        element = self.shell(group)
        for child in self.contents(group):
            element.add(child)
        return element

    def shell(self, group: Group) -> Container:
        """The element of a group with nothing in it."""
        element = Container(debug=False)
        element.attribs.update(self.attributes_of(group))
        return element

    def attributes_of(self, group: Group) -> dict[str, str]:
        """The attributes of the element of a group."""
        element: dict[str, str] = {}
        if group.name and self._names:
            # In a file dots may stay: a layer's name is its id, which nothing selects by.
            element["id"] = self._prefix + (layer_id(group.name) if self._fitted else identifier(group.name))
        if group.role:
            element["class"] = words(group.role)
        for key, value in group.data.items():
            element[f"data-{_data_key(key)}"] = words(value)
        if group.title and group.data and self._interactive:
            element["tabindex"] = "0"
            element["role"] = "button"
            element["aria-label"] = words(group.title)
            roles = group.role.split()
            if "part" in roles:  # chosen or not: what a ring shows to the eye
                element["aria-pressed"] = "true" if "selected" in roles else "false"
        if group.shift != (0.0, 0.0):
            element["transform"] = f"translate({number(group.shift[0])},{number(-group.shift[1])})"
        return element

    def contents(self, group: Group) -> Iterator[BaseElement]:
        """What stands inside the element of ``group``: whole in itself, so that it can be exchanged alone."""
        if group.title:
            yield Title(words(group.title))
        if group.clip is None:
            yield from self.draw(group.items)
            return
        clip, clipped = self.clip(group.name, group.clip)
        yield clip
        for child in self.draw(group.items):
            clipped.add(child)
        yield clipped

    def clip(self, name: str, box: tuple[float, float, float, float]) -> tuple[ClipPath, Container]:
        """The window of a group, and the element, with nothing in it yet, of what is seen through it."""
        clip = self._clip(name, box)
        clipped = Container(debug=False)
        clipped["clip-path"] = f"url(#{clip['id']})"
        return clip, clipped

    def _clip(self, name: str, box: tuple[float, float, float, float]) -> ClipPath:
        x0, y0, x1, y1 = box
        self._clips += 1
        clip = ClipPath(debug=False)
        clip["id"] = f"{self._prefix}clip-{identifier(name) or self._clips}"
        size = number(x1 - x0), number(y1 - y0)
        clip.add(Rect(insert=self.xy((x0, y1)), size=size, debug=False))
        return clip


def _styled(element: _Element, style: Style, *, line: bool = True) -> _Element:
    element.attribs.update(attributes(style, line))
    return element


@lru_cache(maxsize=512)
def attributes(style: Style, line: bool) -> dict[str, str]:
    """The presentation attributes of a style; ``line`` is False for words, which have no line around them."""
    attributes = {"fill": style.fill or "none"}
    if line and style.stroke:
        attributes["stroke"] = style.stroke
        attributes["stroke-width"] = number(style.width)
        if style.dash:
            attributes["stroke-dasharray"] = " ".join(number(length) for length in style.dash)
    if style.opacity < 1.0:
        # Of fill and line each, as in the PDF: "opacity" would have a browser paint each element on a layer of its own.
        if style.fill:
            attributes["fill-opacity"] = number(style.opacity)
        if "stroke" in attributes:
            attributes["stroke-opacity"] = number(style.opacity)
    if style.role:
        attributes["class"] = words(style.role)
    return attributes


def number(value: float) -> str:
    """A number without needless digits, to 0.0001."""
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


@lru_cache(maxsize=4096)
def identifier(name: str) -> str:
    """``name`` as an id that is also a CSS selector; other characters become ``_`` code ``_``."""
    safe = "".join(c if _PLAIN.match(c) else f"_{ord(c):x}_" for c in name)
    return f"_{ord(safe[0]):x}_{safe[1:]}" if safe[:1].isdigit() or safe[:1] == "-" else safe


def layer_id(name: str) -> str:
    """``name`` as an id in a file of its own, where dots may stay (XML 1.0, production 4a)."""
    first, *more = name.split(".")
    return ".".join([identifier(first), *(identifier(f"x{part}")[1:] for part in more)])


def _data_key(key: str) -> str:
    if not _KEY.fullmatch(key):
        raise WriterError(f"“{words(key)}” cannot name a data attribute; use a-z, digits and hyphens.")
    return key
