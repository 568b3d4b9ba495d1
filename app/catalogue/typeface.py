"""The typeface of legends: letters as outlines, from the open font that the printed sheets use as well.

Two weights are for two grounds (DOD-HDBK-791, 6-5.3.2): strokes a sixth of the height dark on light, a seventh to an
eighth light on dark. The semibold face has 1/5.6, the regular one 1/7.9.
"""

from __future__ import annotations

from functools import lru_cache
from importlib.util import find_spec
from io import BytesIO
from pathlib import Path
from typing import Any, Final

from msgspec import Struct
from propcache.api import cached_property

from app.errors import CatalogueError
from app.geometry.contours import Box, Contour, Piece, box_of
from app.geometry.shapes import Point

_FACES: Final = {False: "SourceSansPro-Semibold.ttf", True: "SourceSansPro-Regular.ttf"}
"""By whether the letters are light on a dark ground. SIL Open Font License 1.1; its text lies beside the files."""


class Glyph(Struct, frozen=True, dict=True):
    """One letter, capitals 1 high, standing on y = 0.

    Args:
        advance: how far the next one stands from it.
        contours: its rings; none of a blank.
    """

    advance: float
    contours: tuple[Contour, ...]

    @cached_property
    def box(self) -> Box:
        """Round its rings; there are some."""
        return box_of(self.contours)


class Typeface:
    """One weight of the typeface; letters are read when they are first asked for.

    Args:
        light: whether it is for light letters on a dark ground.
    """

    def __init__(self, light: bool) -> None:
        from fontTools.ttLib import TTFont

        self._font = TTFont(BytesIO(_file(_FACES[light]).read_bytes()), lazy=True)  # a file would stay open
        self._names: dict[int, str] = self._font.getBestCmap()
        self._glyphs: Any = self._font.getGlyphSet()
        self._known: dict[str, Glyph] = {}
        # Measured, not taken from the table: capitals with flat ends are a little lower than it says.
        self.units = self._cap_height()

    @property
    def letters(self) -> frozenset[str]:
        """Every character it has."""
        return frozenset(map(chr, self._names))

    def glyph(self, letter: str) -> Glyph:
        """A letter.

        Raises:
            CatalogueError: it has none.
        """
        found = self._known.get(letter)
        if found is None:
            name = self._names.get(ord(letter))
            if name is None:
                raise CatalogueError(f"The typeface has no “{letter}”. Leave it out, or choose a sign.")
            found = self._known[letter] = self._drawn(name)
        return found

    def _drawn(self, name: str) -> Glyph:
        from fontTools.pens.recordingPen import DecomposingRecordingPen

        pen, recorded = _ContourPen(1.0 / self.units), DecomposingRecordingPen(self._glyphs)
        drawn = self._glyphs[name]
        drawn.draw(recorded)  # letters with accents are put together from others
        recorded.replay(pen)
        return Glyph(drawn.width / self.units, tuple(pen.contours))

    def _cap_height(self) -> float:
        from fontTools.pens.boundsPen import BoundsPen

        pen = BoundsPen(self._glyphs)
        self._glyphs[self._names[ord("H")]].draw(pen)
        return float(pen.bounds[3])


@lru_cache(maxsize=2)
def typeface(*, light: bool = False) -> Typeface:
    """The weight for dark letters, or for ``light`` ones on a dark ground."""
    return Typeface(light)


@lru_cache(maxsize=256)
def letters_lacking(text: str) -> tuple[str, ...]:
    """Characters of a text that the typeface does not have, each once; right-to-left scripts are among them."""
    if text.isascii():  # every sign that can be printed is there, and the font need not be read
        return tuple(dict.fromkeys(c for c in text if not c.isprintable()))
    known = typeface().letters & typeface(light=True).letters
    return tuple(dict.fromkeys(c for c in text if c not in known))


def _file(name: str) -> Path:
    spec = find_spec("font_source_sans_pro")
    file = Path(spec.origin).parent / "files" / name if spec is not None and spec.origin is not None else None
    if file is None or not file.is_file():
        raise CatalogueError("The typeface of legends is not installed. Install the package font-source-sans-pro.")
    return file


class _ContourPen:
    """Takes a glyph's outline as the font library draws it, its quadratic curves as the same cubic ones."""

    def __init__(self, scale: float) -> None:
        self._scale = scale
        self.contours: list[Contour] = []
        self._start: Point = (0.0, 0.0)
        self._here: Point = (0.0, 0.0)
        self._pieces: list[Piece] = []

    def moveTo(self, point: Point) -> None:  # noqa: N802 - the library's protocol
        self._start = self._here = self._at(point)
        self._pieces = []

    def lineTo(self, point: Point) -> None:  # noqa: N802
        self._here = self._at(point)
        self._pieces.append((self._here,))

    def curveTo(self, *points: Point) -> None:  # noqa: N802
        a, b, c = (self._at(p) for p in points)
        self._pieces.append((a, b, c))
        self._here = c

    def qCurveTo(self, *points: Point | None) -> None:  # noqa: N802
        """A run of quadratic curves; between two control points the curve passes their middle (TrueType)."""
        if points[-1] is None:  # a ring without a point on it begins between its last and its first control point
            ring = [self._at(p) for p in points[:-1] if p is not None]
            self._start = self._here = _between(ring[-1], ring[0], 0.5)
            placed = [*ring, self._start]
        else:
            placed = [self._at(p) for p in points if p is not None]
        *controls, end = placed
        for k, control in enumerate(controls):
            stop = _between(control, controls[k + 1], 0.5) if k + 1 < len(controls) else end
            self._pieces.append((_between(self._here, control, 2 / 3), _between(stop, control, 2 / 3), stop))
            self._here = stop

    def closePath(self) -> None:  # noqa: N802
        if self._pieces:
            self.contours.append(Contour(self._start, tuple(self._pieces)))

    def endPath(self) -> None:  # noqa: N802
        """An open line has no inside: there is none in this font."""

    def _at(self, point: Point) -> Point:
        return (self._scale * point[0], self._scale * point[1])


def _between(a: Point, b: Point, t: float) -> Point:
    return (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]))
