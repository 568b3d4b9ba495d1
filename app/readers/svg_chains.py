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
from app.readers.pieces import Bend, Piece, Straight
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
    with told_as("A shape of it cannot be read. Export it again as plain paths."):
        shapes = list(_shapes(_parsed(plain_text(root)), ""))
        within = finest(within, _size(shapes), mm)
        for layer, path in shapes:
            for pieces, fits, off in _chains(path, within):
                curves, worst, count = curves + fits, max(worst, off), count + len(pieces)
                check_count(count)
                if pieces:
                    chains.append(Chain(layer, tuple(pieces)))
    return Lines(tuple(chains), mm, curves, worst)


def _parsed(text: str) -> Any:
    import svgelements

    return svgelements.SVG.parse(io.StringIO(text), reify=True, ppi=96.0)


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
            # A shape that is turned keeps its transform to itself until it is made a path.
            yield layer, abs(svgelements.Path(item))


def _size(shapes: list[tuple[str, Any]]) -> float:
    points = [p for _, path in shapes for segment in path for p in (segment.start, segment.end) if p is not None]
    xs, ys = [float(p.x) for p in points], [float(p.y) for p in points]
    size = math.hypot(max(xs) - min(xs), max(ys) - min(ys)) if points else 1.0
    return size if math.isfinite(size) else math.inf


def _chains(path: Any, within: float) -> Iterator[tuple[list[Piece], int, float]]:
    """The subpaths of a path, each with how many curves were made of bends, and how far off they are."""
    import svgelements

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
        a, b = _up(segment.start), _up(segment.end)
        if isinstance(segment, svgelements.Arc) and _circular(segment):
            pieces.append(_bend(segment, a, b))
        elif isinstance(segment, (svgelements.Line, svgelements.Close)):
            if math.dist(a, b) > 0:
                pieces.append(Straight(a, b))
        else:
            for curve in _cubics(segment):
                found, off = fitted(cubic(*curve), within)
                pieces += found
                fits, worst = fits + 1, max(worst, off)
    if pieces:
        yield pieces, fits, worst


def _circular(arc: Any) -> bool:
    return abs(float(arc.rx) - float(arc.ry)) <= 1e-7 * max(float(arc.rx), 1e-12)


def _bend(arc: Any, a: Point, b: Point) -> Bend:
    # The y axis of the file points down, so its positive sweep is clockwise here.
    return Bend(a, b, _up(arc.center), -math.degrees(float(arc.sweep)))


def _cubics(segment: Any) -> Iterator[tuple[Point, Point, Point, Point]]:
    import svgelements

    if isinstance(segment, svgelements.CubicBezier):
        yield _up(segment.start), _up(segment.control1), _up(segment.control2), _up(segment.end)
    elif isinstance(segment, svgelements.QuadraticBezier):
        a, c, b = _up(segment.start), _up(segment.control), _up(segment.end)
        q = (a[0] + 2 / 3 * (c[0] - a[0]), a[1] + 2 / 3 * (c[1] - a[1]))
        r = (b[0] + 2 / 3 * (c[0] - b[0]), b[1] + 2 / 3 * (c[1] - b[1]))
        yield a, q, r, b
    else:  # an arc of an ellipse: sixteen cubics a turn are within 1e-9 of it
        for curve in segment.as_cubic_curves(max(1, math.ceil(abs(float(segment.sweep)) / (math.tau / 16)))):
            yield from _cubics(curve)


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


def _up(point: Any) -> Point:
    return (float(point.x), 0.0 - float(point.y))
