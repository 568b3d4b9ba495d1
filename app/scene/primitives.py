"""Drawing primitives: millimetres, y up, style already resolved.

A writer draws these and decides nothing. Circles stay circles to the last step, because a drill
file needs a circle and not a polygon.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Literal

from msgspec import Struct, field

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]


class Style(Struct, frozen=True):
    """How a primitive looks.

    Args:
        stroke: line colour ``#rrggbb``, or None for no line.
        width: line width [mm].
        dash: on and off lengths [mm]; empty for a continuous line.
        fill: fill colour ``#rrggbb``, or None.
        opacity: 0 to 1, of line and fill.
        role: what the primitive stands for (``outline``, ``hole``, ``flange``…): the class name in SVG,
            so that a screen's stylesheet may restyle it.
    """

    stroke: str | None = "#23272b"
    width: float = 0.25
    dash: tuple[float, ...] = ()
    fill: str | None = None
    opacity: float = 1.0
    role: str = ""


class Line(Struct, frozen=True):
    """A straight line from ``a`` to ``b`` [mm]."""

    a: Point
    b: Point
    style: Style
    layer: str = ""


class Circle(Struct, frozen=True):
    """A full circle [mm]."""

    centre: Point
    radius: float
    style: Style
    layer: str = ""


class Arc(Struct, frozen=True):
    """A circular arc from angle ``start`` turning by ``sweep`` [degrees, anticlockwise positive; mm]."""

    centre: Point
    radius: float
    start: float
    sweep: float
    style: Style
    layer: str = ""


class LineTo(Struct, frozen=True):
    """A straight step of a path to ``end`` [mm]."""

    end: Point


class ArcTo(Struct, frozen=True):
    """A circular step of a path to ``end`` about ``centre``, by ``sweep`` [degrees, anticlockwise]."""

    end: Point
    centre: Point
    sweep: float


class CubicTo(Struct, frozen=True):
    """A cubic Bézier step of a path, for curves that are not circular [mm]."""

    control1: Point
    control2: Point
    end: Point


class MoveTo(Struct, frozen=True):
    """A step of a closed path that closes what was drawn so far and begins another ring at ``end`` [mm].

    A fill leaves out what two rings turn about in opposite senses, as the inside of a letter O.
    """

    end: Point


Step = LineTo | ArcTo | CubicTo | MoveTo


class Path(Struct, frozen=True):
    """A connected line of steps from ``start``; ``closed`` joins the end to the start [mm]."""

    start: Point
    steps: tuple[Step, ...]
    style: Style
    closed: bool = False
    layer: str = ""


class Text(Struct, frozen=True):
    """A line of text standing on its baseline at ``at``.

    Args:
        at: anchor point on the baseline [mm].
        text: the words; never contains a line break.
        size: font size, the height of the em square [mm].
        style: ``fill`` is the colour of the letters; ``stroke`` is not used.
        anchor: which end of the text stands at ``at``.
        angle: turning of the baseline, anticlockwise [degrees].
        bold: heavier letters.
    """

    at: Point
    text: str
    size: float
    style: Style
    anchor: Anchor = "start"
    angle: float = 0.0
    bold: bool = False
    layer: str = ""


class Group(Struct, frozen=True):
    """Items that belong together: a layer that is swapped on screen, or one placement.

    Args:
        items: what is in it, drawn in order.
        name: identifier, unique in the scene (``id`` in SVG); empty for none.
        data: attributes written as ``data-…`` in SVG, as ``{"placement": "p1"}``.
        title: words for a pointer at rest and for a screen reader; empty for none.
        clip: rectangle (x0, y0, x1, y1) [mm] outside which nothing of the group is drawn; None for none.
        shift: moved by (dx, dy) [mm] before drawing; the clip is in the group's own coordinates, before that.
        role: class name in SVG.
    """

    items: tuple[Item, ...]
    name: str = ""
    data: Mapping[str, str] = field(default_factory=dict)
    title: str = ""
    clip: tuple[float, float, float, float] | None = None
    shift: Point = (0.0, 0.0)
    role: str = ""


Item = Line | Circle | Arc | Path | Text | Group


class Scene(Struct, frozen=True):
    """A drawing: the window ``(x0, y0)`` to ``(x1, y1)`` [mm], y up, and what is in it.

    Args:
        title: document title for file metadata.
        note: one line of description for file metadata (units, face, size).
        stretch: what the page is enlarged by along x and y when it is written, for a printer that does not print
            true; the window and everything in it are what shall come out on the paper.
    """

    x0: float
    y0: float
    x1: float
    y1: float
    items: tuple[Item, ...]
    title: str = ""
    note: str = ""
    stretch: tuple[float, float] = (1.0, 1.0)

    @property
    def width(self) -> float:
        """Width of the window [mm]."""
        return self.x1 - self.x0

    @property
    def height(self) -> float:
        """Height of the window [mm]."""
        return self.y1 - self.y0


def walk(items: tuple[Item, ...], shift: Point = (0.0, 0.0)) -> Iterator[tuple[Item, Point]]:
    """Every primitive that is not a group, with the total shift [mm] of the groups around it."""
    for item in items:
        if isinstance(item, Group):
            yield from walk(item.items, (shift[0] + item.shift[0], shift[1] + item.shift[1]))
        else:
            yield item, shift
