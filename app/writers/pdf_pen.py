"""What stands on one page of a PDF, as operators of its content stream (ISO 32000-1, annex A).

The library's own objects for paths and words take several times as long, and a board of hundreds of holes has
thousands of them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import lru_cache
from math import cos, radians, sin
from typing import Any, Final

from app.scene.bounds import arc_ends
from app.scene.curves import arc_to_cubics
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
    Step,
    Style,
    Text,
)
from app.writers.pdf_fonts import FontLettering

POINT: Final = 72.0 / 25.4
"""Points in a millimetre."""

_PAINT: Final = {(True, False): "S", (False, True): "f*", (True, True): "B*", (False, False): ""}
"""Painting operator for (line, fill): ISO 32000-1, table 60, even-odd."""

# Numbers are put into a template of their own several times as fast as piece by piece.
_MOVE: Final = "%.4f %.4f m"
_TO: Final = "%.4f %.4f l"
_NEXT: Final = "\n"
_LINE: Final = f"{_MOVE} {_TO} "
_CURVE: Final = " ".join(["%.4f"] * 6) + " c"
_TURN: Final = " ".join(["%.6f"] * 4)


class PdfPen:
    """Draws primitives on the pages of a document, one page after another.

    Args:
        canvas: the library's pages.
        lettering: the letters of the document.
    """

    def __init__(self, canvas: Any, lettering: FontLettering) -> None:
        self._canvas = canvas
        self._lettering = lettering
        self._furniture: dict[tuple[int, Point], tuple[Group, str]] = {}
        self._draw: Mapping[type, Callable[[Any], None]] = {
            Line: self._line, Circle: self._circle, Arc: self._arc,
            Path: self._path, Text: self._text, Group: self._group,
        }  # fmt: skip

    def page(self, items: Iterable[Item], origin: Point) -> None:
        """Draw ``items`` in order on the page at hand; ``origin`` is the lower left corner of its window [mm]."""
        self._code: list[str] = self._canvas._code  # noqa: SLF001 - a call for each operator takes as long as making it
        self._shift: Point = (-origin[0], -origin[1])
        self._opacity, self._plain = 1.0, True  # what a new page starts with
        self._forget()
        for item in items:
            if isinstance(item, Group) and item.clip is None and item.shift == (0.0, 0.0):
                self._same_again(item)
            else:
                self._draw[type(item)](item)

    def _forget(self) -> None:
        """From now on nothing is known of the style and the letters that are set."""
        self._style: Style | None = None
        self._font: tuple[str, float] | None = None

    def _same_again(self, group: Group) -> None:
        """Draw a group; what stands at one place on every page, as check bars do, is worked out once."""
        key, code = (id(group), self._shift), self._code
        self._forget()
        if self._opacity == 1.0 and key in self._furniture:
            code.append(self._furniture[key][1])
        else:
            begun = len(code)
            self._plain = self._opacity == 1.0
            self._group(group)
            if self._plain:
                self._furniture[key] = (group, "\n".join(code[begun:]))  # with the group, so that its id stays its own
        self._forget()

    def _group(self, group: Group) -> None:
        shift = self._shift
        self._shift = (shift[0] + group.shift[0], shift[1] + group.shift[1])
        if group.clip is None:
            for item in group.items:
                self._draw[type(item)](item)
        else:
            self._clipped(group, group.clip)
        self._shift = shift

    def _clipped(self, group: Group, clip: tuple[float, float, float, float]) -> None:
        left, low = self._pair((clip[0], clip[1]))
        before = self._opacity
        self._canvas.saveState()
        size = ((clip[2] - clip[0]) * POINT, (clip[3] - clip[1]) * POINT)
        self._code.append(f"{left:.4f} {low:.4f} {size[0]:.4f} {size[1]:.4f} re W* n")
        self._forget()
        for item in group.items:
            self._draw[type(item)](item)
        self._canvas.restoreState()
        self._forget()
        self._opacity = before

    def _pair(self, point: Point) -> Point:
        """A place in points of the page."""
        shift = self._shift
        return (point[0] + shift[0]) * POINT, (point[1] + shift[1]) * POINT

    def _line(self, line: Line) -> None:
        if line.style.stroke is None:
            return
        if line.style is not self._style:
            self._use(line.style)
        (ax, ay), (bx, by), (dx, dy) = line.a, line.b, self._shift
        ends = ((ax + dx) * POINT, (ay + dy) * POINT, (bx + dx) * POINT, (by + dy) * POINT)
        self._code.append(_LINE % ends + ("S" if line.style.fill is None else "B*"))

    def _circle(self, circle: Circle) -> None:
        if paint := _painted(circle.style):
            self._use(circle.style)
            # A board is mostly circles of a few sizes: each size is written out once, and moved to its place.
            x, y = self._pair(circle.centre)
            self._code.append(f"q 1 0 0 1 {x:.4f} {y:.4f} cm {_round(circle.radius)} {paint} Q")

    def _arc(self, arc: Arc) -> None:
        start, end = arc_ends(arc)
        self._follow(start, (ArcTo(end, arc.centre, arc.sweep),), arc.style)

    def _path(self, path: Path) -> None:
        self._follow(path.start, path.steps, path.style, closed=path.closed)

    def _follow(self, start: Point, steps: Iterable[Step], style: Style, *, closed: bool = False) -> None:
        paint = _painted(style)
        if not paint:
            return
        self._use(style)
        outline = [_MOVE % self._pair(start)]
        here = start
        for step in steps:
            match step:
                case LineTo():
                    outline.append(_TO % self._pair(step.end))
                case ArcTo():
                    cubics = arc_to_cubics(here, step.end, step.centre, step.sweep)
                    outline.extend(self._curve(*cubic) for cubic in cubics)
                case MoveTo():
                    outline.append("h " + _MOVE % self._pair(step.end))
                case CubicTo():
                    outline.append(self._curve(step.control1, step.control2, step.end))
            here = step.end
        if closed:
            outline.append("h")
        outline.append(paint)
        self._code.append(" ".join(outline))

    def _curve(self, first: Point, second: Point, end: Point) -> str:
        return _CURVE % (*self._pair(first), *self._pair(second), *self._pair(end))

    def _use(self, style: Style) -> None:
        if style is self._style:
            return
        self._style = style
        self._code.append(_operators(style))
        if style.opacity != self._opacity:
            self._opacity = style.opacity
            self._plain = False  # opacity is in a table of the page, which no other has
            self._canvas.setStrokeAlpha(style.opacity)
            self._canvas.setFillAlpha(style.opacity)

    def _text(self, text: Text) -> None:
        style, said = text.style, self._lettering.said(text.text, text.bold)
        if style.fill is None or not said.shown:
            return
        if style is not self._style:
            self._use(style)
        (x, y), (dx, dy), size = text.at, self._shift, text.size * POINT
        x, y = (x + dx) * POINT, (y + dy) * POINT
        along, up, turn = _turned(text.angle)
        if text.anchor != "start":
            back = said.width * size * (0.5 if text.anchor == "middle" else 1.0)
            x, y = x - back * along, y - back * up
        shown = []
        for font, letters in said.shown:
            if (font, size) != self._font:
                self._font = (font, size)
                shown.append(f"{font} {size:.4f} Tf\n{letters}")
            else:
                shown.append(letters)
        self._code.append(f"BT {turn} {x:.4f} {y:.4f} Tm\n{_NEXT.join(shown)}\nET")


@lru_cache(maxsize=256)
def _round(radius: float) -> str:
    """A circle about the origin, from its rightmost point [mm, written in points]."""
    r = radius * POINT
    pieces = arc_to_cubics((r, 0.0), (r, 0.0), (0.0, 0.0), 360.0)
    return " ".join([f"{r:.4f} 0 m", *(_CURVE % (*a, *b, *c) for a, b, c in pieces), "h"])


def _painted(style: Style) -> str:
    """The operator that paints a path in this style; empty if it shows nothing."""
    return _PAINT[style.stroke is not None, style.fill is not None]


@lru_cache(maxsize=64)
def _turned(angle: float) -> tuple[float, float, str]:
    """Cosine and sine of an angle [degrees], and the operands that turn words by it."""
    along, up = cos(radians(angle)), sin(radians(angle))
    return along, up, _TURN % (along, up, -up, along)


@lru_cache(maxsize=1024)
def _operators(style: Style) -> str:
    """Operators that set colours, width and dashes (ISO 32000-1, tables 57 and 74); opacity is set apart."""
    operators = []
    if style.stroke is not None:
        dashes = " ".join(f"{length * POINT:.4f}" for length in style.dash)
        colour = " ".join(f"{part:.4f}" for part in _rgb(style.stroke))
        operators.append(f"{colour} RG {style.width * POINT:.4f} w [{dashes}] 0 d")
    if style.fill is not None:
        operators.append(" ".join(f"{part:.4f}" for part in _rgb(style.fill)) + " rg")
    return " ".join(operators)


@lru_cache(maxsize=256)
def _rgb(colour: str) -> tuple[float, float, float]:
    """Red, green and blue from 0 to 1 of ``#rrggbb``."""
    red, green, blue = (int(colour[start : start + 2], 16) / 255.0 for start in (1, 3, 5))
    return red, green, blue
