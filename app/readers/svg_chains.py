"""Lines of an SVG file by group, transforms applied, y up."""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterator
from typing import Any, Final

from app.errors import DocumentError
from app.geometry.shapes import Point
from app.readers.biarcs import cubic, fitted
from app.readers.chain import Chain, Lines
from app.readers.pieces import Bend, Piece, Straight

_MOST: Final = 50_000
_MM: Final = {"mm": 1.0, "cm": 10.0, "in": 25.4, "pt": 25.4 / 72, "pc": 25.4 / 6}
"""mm by unit: CSS Values and Units 3, section 5.2."""

_ROOT: Final = re.compile(r"<(?:\w+:)?svg\b[^>]*>", re.S)


def read_svg(data: bytes, within: float) -> Lines:
    """The lines of every shape that is drawn.

    Args:
        data: the file.
        within: how far a bend may be from a curve that is none, as a share of the drawing's size.

    Raises:
        DocumentError: it is no SVG file, is damaged, tries to bring other files in, or holds too much.
    """
    text = _text(data)
    shapes = list(_shapes(_parsed(text), ""))
    if len(shapes) > _MOST:
        raise DocumentError(f"It holds more than {_MOST:,} shapes. Export the outline alone.")
    size = _size(shapes)
    chains: list[Chain] = []
    curves, worst = 0, 0.0
    for layer, path in shapes:
        for pieces, fits, off in _chains(path, within * size):
            curves, worst = curves + fits, max(worst, off)
            if pieces:
                chains.append(Chain(layer, tuple(pieces)))
    return Lines(tuple(chains), _mm(text), curves, worst)


def _text(data: bytes) -> str:
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise DocumentError(f"It is not written in UTF-8 (byte {error.start}). Save it as a plain SVG file.") from error
    head = text[:100_000].lower()
    if "<!entity" in text.lower() or re.search(r"<!doctype[^>]*\[", head):
        raise DocumentError(
            "It declares entities of its own, which an outline does not need. Save it as a plain SVG file."
        )
    if "<svg" not in head and ":svg" not in head:
        raise DocumentError("There is no SVG drawing in it. Choose a file that ends in .svg or .dxf.")
    return text


def _parsed(text: str) -> Any:
    from xml.etree.ElementTree import ParseError

    import svgelements

    try:
        return svgelements.SVG.parse(io.StringIO(text), reify=True, ppi=96.0)
    except ParseError as error:
        line, column = error.position
        raise DocumentError(f"Line {line}, column {column}: it is no sound XML. Export it again.") from error
    except (ValueError, KeyError, TypeError, IndexError, AttributeError, ZeroDivisionError, RecursionError) as error:
        raise DocumentError("A shape of it cannot be read. Export it again as plain paths.") from error


def _shapes(group: Any, layer: str) -> Iterator[tuple[str, Any]]:
    """Every shape as a path, with the name of the group it is in."""
    import svgelements

    for item in group:
        values = getattr(item, "values", None) or {}
        if str(values.get("display", "")) == "none" or str(values.get("visibility", "")) == "hidden":
            continue
        if isinstance(item, svgelements.Group):
            yield from _shapes(item, str(item.id or layer))
        elif isinstance(item, svgelements.Shape):
            # A shape that is turned keeps its transform to itself until it is made a path.
            yield layer, abs(svgelements.Path(item))


def _size(shapes: list[tuple[str, Any]]) -> float:
    points = [p for _, path in shapes for segment in path for p in (segment.start, segment.end) if p is not None]
    xs, ys = [float(p.x) for p in points], [float(p.y) for p in points]
    return math.hypot(max(xs) - min(xs), max(ys) - min(ys)) if points else 1.0


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


def _mm(text: str) -> float | None:
    """How many mm one of the library's pixels is, if the root gives its width or height in a unit of length.

    The library has its own rounded numbers for some units; what it makes of one unit is what counts.
    """
    import svgelements

    root = _ROOT.search(text)
    sides = re.findall(r"\b(?:width|height)\s*=\s*[\"']\s*[\d.eE+-]+\s*([a-zA-Z]+)", root[0]) if root else []
    for side in sides:
        if side.lower() in _MM:
            return _MM[side.lower()] / float(svgelements.Length(f"1{side.lower()}").value(ppi=96.0))
    return None


def _up(point: Any) -> Point:
    return (float(point.x), -float(point.y))
