"""Scenes as PDF, one page each, true size.

A page is exactly as large as its scene, times its stretch: MediaBox and CropBox in points of 1/72 in
(ISO 32000-1, 8.3.2.3), with no UserUnit, because viewers that ignore it would scale the page. The viewer is
asked not to scale, not to choose a tray by page size and not to print on both sides. The same pages give the
same bytes: dates in the file are fixed and the font subsets depend on the words only.

Circles and arcs become Béziers within 0.0002 mm (``app.scene.curves.arc_to_cubics``); numbers have 4 decimals
of a point. Words are set in an embedded font that has Latin, Greek and Cyrillic letters; a character it lacks
is replaced by one that means the same, else by a question mark.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache, lru_cache
from io import BytesIO
from math import cos, radians, sin
from threading import Lock
from typing import Any, Final

from app.errors import WriterError
from app.scene.bounds import arc_ends
from app.scene.curves import Cubic, arc_to_cubics
from app.scene.primitives import (
    Arc,
    ArcTo,
    Circle,
    CubicTo,
    Group,
    Item,
    Line,
    LineTo,
    Path,
    Point,
    Scene,
    Step,
    Style,
    Text,
)
from app.writers.guard import check_scene, words
from app.writers.pdf_fonts import BOLD, REGULAR, letters_known, printable, width

POINT: Final = 72.0 / 25.4
"""Points in a millimetre."""


_PAINT: Final = {(True, False): "S", (False, True): "f*", (True, True): "B*", (False, False): ""}
"""Painting operator for (line, fill): ISO 32000-1, table 60, even-odd."""

_CURVE: Final = " ".join(["%.4f"] * 6) + " c"

# The library keeps fonts in tables of the whole process; the web server writes from several threads.
_lock = Lock()


def write(pages: Sequence[Scene], *, title: str = "", subject: str = "") -> bytes:
    """A PDF file with one page for each of ``pages``, true size.

    Args:
        pages: the drawings, in order; each page is as large as its scene's window [mm].
        title: document title; the first page's own if empty.
        subject: one line of description; the first page's note if empty.

    Raises:
        WriterError: there are no pages, or one has an empty window or a number that cannot be drawn.
    """
    if not pages:
        raise WriterError("There is no page to write; give at least one.")
    for page in pages:
        check_scene(page)
    from reportlab import rl_config

    with _lock:
        before = rl_config.useA85
        rl_config.useA85 = 0  # plain bytes: a fifth smaller, and no slow encoding as text
        try:
            return _write(pages, words(title or pages[0].title), words(subject or pages[0].note))
        finally:
            rl_config.useA85 = before


def _write(pages: Sequence[Scene], title: str, subject: str) -> bytes:
    from reportlab.pdfgen.canvas import Canvas

    letters = letters_known()
    buffer = BytesIO()
    canvas = Canvas(buffer, pageCompression=1, invariant=1, initialFontName=REGULAR)
    canvas.setTitle(title)
    canvas.setSubject(subject)
    canvas.setAuthor("Holewise")
    canvas.setCreator("Holewise")
    _ask_for_actual_size(canvas)
    for page in pages:
        size = (page.width * page.stretch[0] * POINT, page.height * page.stretch[1] * POINT)
        canvas.setPageSize(size)
        canvas.setCropBox((0.0, 0.0, *size))
        if page.stretch != (1.0, 1.0):
            canvas.scale(*page.stretch)
        _Pen(canvas, letters, (page.x0, page.y0)).draw(page.items, (0.0, 0.0))
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def _ask_for_actual_size(canvas: Any) -> None:
    canvas.setViewerPreference("PrintScaling", "None")
    # A sheet that is stuck on a board has nothing to say on its back.
    canvas.setViewerPreference("Duplex", "Simplex")
    # The library checks preferences against a list that lacks this one (ISO 32000-1, table 150).
    preferences = canvas._doc.Catalog.ViewerPreferences  # noqa: SLF001
    preferences.dict["PickTrayByPDFSize"] = "false"


class _Pen:
    """Draws primitives on the current page; ``origin`` is the lower left corner of the window [mm]."""

    def __init__(self, canvas: Any, letters: frozenset[str], origin: Point) -> None:
        self._canvas = canvas
        self._letters = letters
        self._origin = origin
        self._shift: Point = (0.0, 0.0)
        self._style: Style | None = None
        self._opacity = 1.0  # what a new page starts with

    def draw(self, items: Iterable[Item], shift: Point) -> None:
        """Draw ``items`` in order, moved by ``shift`` [mm]."""
        for item in items:
            self._shift = shift
            match item:
                case Group():
                    self._group(item, (shift[0] + item.shift[0], shift[1] + item.shift[1]))
                case Text():
                    self._text(item)
                case _:
                    self._shape(item)

    def _xy(self, point: Point) -> Point:
        return (
            (point[0] + self._shift[0] - self._origin[0]) * POINT,
            (point[1] + self._shift[1] - self._origin[1]) * POINT,
        )

    def _group(self, group: Group, shift: Point) -> None:
        if group.clip is None:
            self.draw(group.items, shift)
            return
        self._shift = shift
        x0, y0, x1, y1 = group.clip
        (left, low), (right, high) = self._xy((x0, y0)), self._xy((x1, y1))
        before = self._opacity
        self._canvas.saveState()
        window = self._canvas.beginPath()
        window.rect(left, low, right - left, high - low)
        self._canvas.clipPath(window, stroke=0, fill=0)
        self._style = None
        self.draw(group.items, shift)
        self._canvas.restoreState()
        self._style, self._opacity = None, before

    def _shape(self, item: Line | Circle | Arc | Path) -> None:
        style = item.style
        paint = _PAINT[style.stroke is not None, style.fill is not None]
        if not paint:
            return
        self._use(style)
        match item:
            case Line():
                outline = [f"{self._pair(item.a)} m {self._pair(item.b)} l"]
            case Circle():
                outline = self._round(item)
            case Arc():
                start, end = arc_ends(item)
                outline = self._follow(start, (ArcTo(end, item.centre, item.sweep),))
            case Path():
                outline = self._follow(item.start, item.steps)
                if item.closed:
                    outline.append("h")
        # Written as operators (ISO 32000-1, table 59): the library's own path object takes three times as long.
        self._canvas.addLiteral(" ".join([*outline, paint]))

    def _follow(self, start: Point, steps: Iterable[Step]) -> list[str]:
        outline = [f"{self._pair(start)} m"]
        here = start
        for step in steps:
            match step:
                case LineTo():
                    outline.append(f"{self._pair(step.end)} l")
                case ArcTo():
                    outline += map(self._curve, arc_to_cubics(here, step.end, step.centre, step.sweep))
                case CubicTo():
                    outline.append(self._curve((step.control1, step.control2, step.end)))
            here = step.end
        return outline

    def _round(self, circle: Circle) -> list[str]:
        # A board is mostly circles: what all of them have in common is worked out once.
        r, (x, y) = circle.radius * POINT, self._xy(circle.centre)
        pieces = [_CURVE % tuple([(x, y)[k % 2] + r * v for k, v in enumerate(six)]) for six in _eighths()]
        return [f"{x + r:.4f} {y:.4f} m", *pieces, "h"]

    def _curve(self, curve: Cubic) -> str:
        (ax, ay), (bx, by), (cx, cy) = curve
        (x, y), (x0, y0) = self._shift, self._origin
        return _CURVE % (
            (ax + x - x0) * POINT, (ay + y - y0) * POINT, (bx + x - x0) * POINT, (by + y - y0) * POINT,
            (cx + x - x0) * POINT, (cy + y - y0) * POINT,
        )  # fmt: skip

    def _pair(self, point: Point) -> str:
        x, y = self._xy(point)
        return f"{x:.4f} {y:.4f}"

    def _use(self, style: Style) -> None:
        if style is self._style:
            return
        self._style = style
        self._canvas.addLiteral(_operators(style))
        if style.opacity != self._opacity:
            self._opacity = style.opacity
            self._canvas.setStrokeAlpha(style.opacity)
            self._canvas.setFillAlpha(style.opacity)

    def _text(self, item: Text) -> None:
        text = printable(item.text, self._letters)
        if item.style.fill is None or not text.strip():
            return
        self._use(item.style)
        font, size = BOLD if item.bold else REGULAR, item.size * POINT
        x, y = self._xy(item.at)
        turn = radians(item.angle)
        along, up = cos(turn), sin(turn)
        if item.anchor != "start":
            back = width(text, font) * size * (0.5 if item.anchor == "middle" else 1.0)
            x, y = x - back * along, y - back * up
        block = self._canvas.beginText()
        block.setTextTransform(along, up, -up, along, x, y)
        block.setFont(font, size)
        block.textOut(text)
        self._canvas.drawText(block)


@cache
def _eighths() -> tuple[tuple[float, ...], ...]:
    """A circle of radius 1 about the origin, as Béziers from its rightmost point: six coordinates each."""
    return tuple((*a, *b, *c) for a, b, c in arc_to_cubics((1.0, 0.0), (1.0, 0.0), (0.0, 0.0), 360.0))


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
