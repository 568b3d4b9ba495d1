"""Lines of an SVG file by group, transforms applied, y up."""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterator
from typing import Any, Final
from xml.etree.ElementTree import Element

from app.geometry.shapes import Point
from app.readers.biarcs import cubic, fitted
from app.readers.chain import Chain, Lines, check_count, finest
from app.readers.faults import told_as
from app.readers.pieces import Bend, Piece, StraightPiece
from app.readers.svg_tree import plain_text, svg_tree

MOST_SHAPES: Final = 5_000
"""Most shapes of a file, each as often as it is used; a board with two hundred parts has about a thousand."""

_MM: Final = {"mm": 1.0, "cm": 10.0, "in": 25.4, "pt": 25.4 / 72, "pc": 25.4 / 6}
"""mm by unit: CSS Values and Units 3, section 5.2."""

_SIDE: Final = re.compile(r"\s*[\d.eE+-]+\s*([a-zA-Z]+)\s*")


def read_svg(data: bytes, within: float) -> Lines:
    """The lines of every shape that is drawn.

    Args:
        data: the file.
        within: how far a bend may be from a curve that is none, as a share of the drawing's size.

    Raises:
        DocumentError: it is no SVG file, is damaged, tries to bring other files in, or holds too much.
    """
    root = svg_tree(data, MOST_SHAPES)
    mm = _mm(root)
    chains: list[Chain] = []
    count, curves, worst = 0, 0, 0.0
    with told_as("One of its shapes cannot be read. Export it again as plain paths."):
        shapes = list(_shapes(_parsed(plain_text(root)), ""))
        within = finest(within, _size(shapes), mm)
        for layer, path in shapes:
            for pieces, fits, off in _chains(path, within):
                curves, worst, count = curves + fits, max(worst, off), count + len(pieces)
                check_count(count)
                if pieces:
                    chains.append(Chain(layer, tuple(pieces)))
    return Lines(tuple(chains), mm, curves, worst, down=True)


def _parsed(text: str) -> Any:
    import svgelements

    return svgelements.SVG.parse(io.StringIO(text), reify=False, ppi=96.0)


def _shapes(group: Any, layer: str) -> Iterator[tuple[str, Any]]:
    """Every shape as a path, with the name of the group it is in."""
    import svgelements

    for item in group:
        values = getattr(item, "values", None) or {}
        if str(values.get("display", "")) == "none" or str(values.get("visibility", "")) == "hidden":
            continue
        if isinstance(item, (svgelements.Group, svgelements.Use)):
            yield from _shapes(item, str(item.id or layer))
        elif isinstance(item, svgelements.Shape):
            yield layer, svgelements.Path(item)


def _size(shapes: list[tuple[str, Any]]) -> float:
    """From corner to corner of all that is drawn, hardly more than touched: curves are asked at a few points.

    A drawing of circles is mostly arcs of a quarter or half a turn, whose ends and middles reach as far as they do;
    of other curves a little is missed, and the bends made of them are the finer for it.
    """
    points = [place(at) for _, path in shapes for place in (_Placing(path.transform),) for at in _touched(path)]
    if not points:
        return 1.0
    xs, ys = zip(*points, strict=True)
    size = math.hypot(max(xs) - min(xs), max(ys) - min(ys))
    return size if math.isfinite(size) else math.inf


def _touched(path: Any) -> Iterator[Any]:
    """Points of a path, in its own coordinates: ends of its segments, and places between them on bends."""
    import svgelements

    for segment in path:
        yield from (end for end in (segment.start, segment.end) if end is not None)
        if isinstance(segment, svgelements.Arc):
            yield segment.point(0.5)
        elif isinstance(segment, (svgelements.CubicBezier, svgelements.QuadraticBezier)):
            yield from (segment.point(t) for t in (0.25, 0.5, 0.75))


def _chains(path: Any, within: float) -> Iterator[tuple[list[Piece], int, float]]:
    """The subpaths of a path, each with how many curves were made of bends, and how far off they are."""
    import svgelements

    place = _Placing(path.transform)
    pieces: list[Piece] = []
    fits, worst = 0, 0.0
    for segment in path:
        if isinstance(segment, svgelements.Move):
            if pieces:
                yield pieces, fits, worst
            pieces, fits, worst = [], 0, 0.0
            continue
        if segment.start is None or segment.end is None:
            continue
        a, b = place(segment.start), place(segment.end)
        if isinstance(segment, svgelements.Arc) and _circular(segment) and place.keeps_shape:
            pieces.append(Bend(a, b, place(segment.center), math.degrees(float(segment.sweep)) * place.turn))
        elif isinstance(segment, (svgelements.Line, svgelements.Close)):
            if math.dist(a, b) > 0:
                pieces.append(StraightPiece(a, b))
        else:
            fits += 1
            for p, q, r, t in _cubics(segment):
                found, off = fitted(cubic(place(p), place(q), place(r), place(t)), within)
                pieces += found
                worst = max(worst, off)
    if pieces:
        yield pieces, fits, worst


def _circular(arc: Any) -> bool:
    return abs(float(arc.rx) - float(arc.ry)) <= 1e-7 * max(float(arc.rx), 1e-12)


def _cubics(segment: Any) -> Iterator[tuple[Any, Any, Any, Any]]:
    """The points of the cubic curves a segment is, or nearly is."""
    import svgelements

    if isinstance(segment, svgelements.CubicBezier):
        yield segment.start, segment.control1, segment.control2, segment.end
    elif isinstance(segment, svgelements.QuadraticBezier):
        a, c, b = segment.start, segment.control, segment.end
        yield a, a + (c - a) * (2 / 3), b + (c - b) * (2 / 3), b
    else:  # sixteen cubics a turn are within a ten-millionth of an arc's radius
        for curve in segment.as_cubic_curves(max(1, math.ceil(abs(float(segment.sweep)) / (math.tau / 16)))):
            yield curve.start, curve.control1, curve.control2, curve.end


class _Placing:
    """Where a transform puts points of a file, y up.

    The library's own transforms make of a sheared arc one of another ellipse, so arcs are placed here.

    Args:
        matrix: the library's, from a shape's coordinates to pixels, y down.
    """

    def __init__(self, matrix: Any) -> None:
        self._rows = tuple(float(getattr(matrix, name)) for name in "abcdef")
        a, b, c, d, _, _ = self._rows
        size = math.hypot(a, b) * math.hypot(c, d)
        self.keeps_shape = abs(a * c + b * d) <= 1e-9 * size and abs(math.hypot(a, b) - math.hypot(c, d)) <= (
            1e-9 * math.hypot(a, b)
        )
        """Whether circles stay circles."""
        self.turn = -1.0 if a * d - b * c > 0 else 1.0
        """1 if what turns by the file's positive angle turns anticlockwise here, else -1."""

    def __call__(self, point: Any) -> Point:
        a, b, c, d, e, f = self._rows
        x, y = float(point.x), float(point.y)
        return (a * x + c * y + e, 0.0 - (b * x + d * y + f))


def _mm(root: Element) -> float | None:
    """How many mm one of the library's pixels is, if the root gives its width or height in a unit of length.

    The library has its own rounded numbers for some units; what it makes of one unit is what counts.
    """
    import svgelements

    for side in ("width", "height"):
        found = _SIDE.fullmatch(root.get(side, ""))
        unit = found[1].lower() if found else ""
        if unit in _MM:
            return _MM[unit] / float(svgelements.Length(f"1{unit}").value(ppi=96.0))
    return None
